#!/usr/bin/python3
"""Compares include/ellwand/protocol.md with the program. SPDX-License-Identifier: Apache-2.0

    check_page.py verbs ELLWANDD SOURCES    every verb, with its roles and whether it changes anything, and no other
    check_page.py codes SOURCES             every code of an error that a client may be sent
    check_page.py scan ELLWANDD SOURCES     what scan.look names as next steps: verbs there are, for every state that is no end
"""
import json
import pathlib
import re
import subprocess
import sys

# What can reach a client's reply: these folders, and statements that refuse.
CODE_SOURCES = ("daemon/common", "daemon/desk", "daemon/takeoff", "daemon/wire", "sql")
CODE_PATTERNS = (
    r'fault_set\(\s*&?[\w.>-]+,\s*"([a-z-]+)"',
    r'form_wrong\(\s*&?[\w.>-]+,\s*[^,]+,\s*"([a-z-]+)"',
    r"refuse\(\s*'([a-z-]+)'",
)
# Told on the daemon's standard error, at its start or by its threads, never to a client.
AT_START = {"bad-option", "bad-endpoint", "broken", "unknown-workshop", "no-file", "bad-csv"}
# Reasons that a print job or a plan carries, not errors of a verb.
OF_JOBS = {"cannot-write", "changed", "no-folder", "print-refused", "print-unreachable"}


def page_verbs(page):
    found = {}
    for name, rest in re.findall(r"^### ([a-z.-]+)\n\n(.*)$", page, re.M):
        line = re.match(r"Roles: ([a-z, ]+); changes: (yes|no)\.", rest)
        assert line, f"{name}: no line 'Roles: ..; changes: ..' below its heading"
        roles = sorted(line[1].split(", "))
        found[name] = (["desk", "manager", "saw", "stores"] if roles == ["any"] else roles, line[2] == "yes")
    return found


def check_verbs(page, daemon):
    told = json.loads(subprocess.run([daemon, "verbs"], check=True, capture_output=True, text=True).stdout)
    program = {verb["verb"]: (sorted(verb["roles"]), verb["changes"]) for verb in told}
    written = page_verbs(page)
    assert len(program) > 10, "the program tells hardly any verbs"
    return (
        [f"{name}: not on the page" for name in sorted(program.keys() - written.keys())]
        + [f"{name}: on the page only" for name in sorted(written.keys() - program.keys())]
        + [
            f"{name}: the page says {written[name]}, the program {program[name]}"
            for name in sorted(program.keys() & written.keys())
            if program[name] != written[name]
        ]
    )


def check_codes(page, sources):
    used = {}
    for folder in CODE_SOURCES:
        for file in sorted((sources / folder).rglob("*")):
            if file.suffix in (".c", ".sql"):
                text = file.read_text()
                for pattern in CODE_PATTERNS:
                    for code in re.findall(pattern, text):
                        used.setdefault(code, file.relative_to(sources))
    assert len(used) > 30, "hardly any codes were found in the sources"
    section = page[page.index("## Codes of errors"):]
    written = set(re.findall(r"`([a-z-]+)`", section))
    return [
        f"{code} ({file}): not on the page"
        for code, file in sorted(used.items())
        if code not in written | AT_START | OF_JOBS and not code.endswith("-")
    ]


def check_scan(daemon, sources):
    """A scan that leads nowhere is a person who stands there: every state from which a step is allowed has one named."""
    told = json.loads(subprocess.run([daemon, "verbs"], check=True, capture_output=True, text=True).stdout)
    verbs = {verb["verb"] for verb in told}
    steps = set()
    for file in sorted((sources / "sql/migrations").glob("*.sql")):
        for kind, state in re.findall(r"\('([a-z-]+)', '([a-z-]+)', '[a-z-]+'\)", file.read_text()):
            steps.add((kind, state))
    named = re.findall(r"^    \('([a-z]+)', (?:'([a-z-]+)'|null), '([a-z.-]+)', '", (sources / "sql/queries/scan/look.sql").read_text(), re.M)
    assert len(named) > 20 and len(steps) > 30, "hardly anything was found in the sources"
    has = {(kind, state) for kind, state, _ in named}
    wanted = {("bin", ""), ("part", "")}
    for kind, like in (("piece", "piece"), ("kit", "kit"), ("order", "order"), ("window", "order"), ("bar", "bar"), ("offcut", "bar")):
        wanted |= {(kind, state) for step, state in steps if step == like and state != "written-off"}
    return [f"{kind} {state}: no step is named" for kind, state in sorted(wanted - has)] + [
        f"{kind} {state}: there is no verb {verb}" for kind, state, verb in named if verb not in verbs
    ]


def main():
    sources = pathlib.Path(sys.argv[-1])
    page = (sources / "include/ellwand/protocol.md").read_text()
    if sys.argv[1] == "scan":
        wrong = check_scan(sys.argv[2], sources)
    else:
        wrong = check_verbs(page, sys.argv[2]) if sys.argv[1] == "verbs" else check_codes(page, sources)
    print("\n".join(wrong) or "The page and the program agree.")
    return len(wrong) > 0


if __name__ == "__main__":
    sys.exit(main())
