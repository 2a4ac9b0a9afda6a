#!/usr/bin/python3
"""A workshop's first day: the packages are made, and the README's "Setting up a workshop" is done word for word.

What the README's commands do to a machine is done below a folder here: programs named in shims stand for those that
would change the machine, and /etc/ellwand and /usr/share/doc lie in that folder. SPDX-License-Identifier: Apache-2.0
"""
import os
import pathlib
import re
import shutil
import signal
import socket
import stat
import subprocess
import sys
import unittest

sys.path.insert(0, str(pathlib.Path(__file__).resolve().parents[1]))
from harness import BUILD, SERVICES, SOURCE, run  # noqa: E402  (the path is set above)

ROOT = SERVICES.parent / "installed"
HOME = ROOT / "home"

# sudo becomes the database's user of that name, as PostgreSQL's peer authentication would see it; systemctl does what
# the unit says; apt unpacks.
SHIMS = {
    "sudo": """
user=root
if [ "$1" = -u ]; then user=$2; shift 2; fi
case $user in
    root) ;;
    postgres) export PGUSER=$OWNER ;;
    ellwand) export PGUSER=ellwand ;;
    *) echo "no user $user" >&2; exit 1 ;;
esac
exec "$@"
""",
    "apt": """
[ "$1" = install ] || exit 1
shift
for word; do
    case $word in
        *.deb) dpkg-deb -x "$word" "$ROOT" ;;
        *) apt-cache show "$word" >/dev/null || exit 1 ;;
    esac
done
""",
    "chown": """
[ "$1" = ellwand: ] && [ -e "$2" ]
""",
    "systemctl": """
[ "$*" = "enable --now ellwandd" ] || exit 1
unit=$ROOT/usr/lib/systemd/system/ellwandd.service
grep -qx 'User=ellwand' "$unit"
command=$(sed -n "s|^ExecStart=|$ROOT|p" "$unit" | sed "s|/etc/ellwand|$ROOT/etc/ellwand|")
PGUSER=ellwand setsid $command >"$ROOT/log" 2>&1 &
echo $! >"$ROOT/pid"
""",
}


def readme_commands():
    """The indented lines of the section, comments taken off."""
    text = (SOURCE / "README.md").read_text()
    section = text[text.index("## Setting up a workshop"):]
    section = section[:section.index("\n## ", 4)]
    return [re.sub(r"\s+# .*", "", line.strip()) for line in re.findall(r"(?m)^    (\S.*)$", section)]


def free_port():
    with socket.socket() as taken:
        taken.bind(("127.0.0.1", 0))
        return taken.getsockname()[1]


class SettingUp(unittest.TestCase):
    @classmethod
    def setUpClass(cls):
        run("dropdb", os.environ["PGDATABASE"])  # the README makes one of that name
        (ROOT / "shims").mkdir(parents=True)
        HOME.mkdir()
        for name, script in SHIMS.items():
            path = ROOT / "shims" / name
            path.write_text("#!/bin/bash\nset -eu" + script)
            path.chmod(0o755)
        cls.ports = {"5577": str(free_port()), "5578": str(free_port())}
        kept = {name: value for name, value in os.environ.items() if not name.startswith("ELLWAND_")}
        cls.environment = kept | {
            "PATH": f"{ROOT}/shims:{ROOT}/usr/bin:{ROOT}/usr/sbin:{os.environ['PATH']}", "HOME": str(HOME),
            "XDG_CONFIG_HOME": "", "ROOT": str(ROOT), "OWNER": os.environ["PGUSER"], "PGUSER": "nobody", "LC_ALL": "C.UTF-8"}
        cls.environment.pop("PGDATABASE", None)
        cls.done = [(line, cls.do(line)) for line in readme_commands()]

    @classmethod
    def tearDownClass(cls):
        if (ROOT / "pid").exists():
            os.kill(int((ROOT / "pid").read_text()), signal.SIGTERM)

    @classmethod
    def do(cls, line):
        """One line of the README, in a shell. What it prints."""
        if line == "deploy/package":
            return cls.pack()
        line = line.replace("./build/packages", str(ROOT / "packages"))
        for place in ("/etc/ellwand", "/usr/share/doc"):
            line = re.sub(rf"(?<![\w.]){place}", f"{ROOT}{place}", line)
        told = cls.shell(cls.with_ports(line))
        configuration = ROOT / "etc/ellwand/ellwandd.conf"
        if "tee" in line.split():  # "edit as you like"
            text = cls.with_ports(configuration.read_text().replace("/etc/ellwand/", f"{ROOT}/etc/ellwand/"))
            configuration.write_text(f'{text}cups_server = "{os.environ["CUPS_SERVER"]}";\n')
        if line.startswith("sudo apt install"):  # what the package's tmpfiles.d entry makes
            mode = re.search(r"(?m)^d /etc/ellwand (\d+) root ellwand", (ROOT / "usr/lib/tmpfiles.d/ellwand.conf").read_text())[1]
            (ROOT / "etc/ellwand").mkdir(parents=True, mode=int(mode, 8))
        return told

    @classmethod
    def with_ports(cls, text):
        for usual, ours in cls.ports.items():
            text = text.replace(f":{usual}", f":{ours}")
        return text

    @classmethod
    def pack(cls):
        """What deploy/package does after building, from the build under test."""
        return run("cpack", "--config", BUILD / "CPackConfig.cmake", "-B", ROOT / "packages")

    @classmethod
    def shell(cls, line, code=0):
        done = subprocess.run(["bash", "-euo", "pipefail", "-c", line], capture_output=True, text=True, timeout=60, check=False,
                              env=cls.environment, cwd=HOME)
        if done.returncode != code:
            log = (ROOT / "log").read_text() if (ROOT / "log").exists() else ""
            raise AssertionError(f"{line}\nended with {done.returncode}:\n{done.stdout}{done.stderr}{log}")
        return done.stdout + done.stderr

    def test_the_readme_ends_with_an_order_taken(self):
        self.assertGreater(len(self.done), 15)
        self.assertRegex(self.done[-1][1], r"A1001 taken: windows \d")
        told = dict(self.done)
        self.assertRegex(told["ellwand ping"], r"(?m)^your key +boss$")
        self.assertIn("is right", told["sudo -u ellwand ellwandd check --config /etc/ellwand/ellwandd.conf"])
        self.assertIn("A1001", self.shell("ellwand order list"))

    def test_the_examples_of_the_manual_work(self):
        page = run("man", "-l", next(ROOT.glob("usr/share/man/man1/ellwand.1.gz")), env={**os.environ, "MANWIDTH": "200"})
        examples = re.findall(r"(?m)^ {8,}((?:cd|ellwand) .*)$", page[page.index("EXAMPLES"):page.index("CAUTION")])
        self.assertEqual(len(examples), 5)
        for line in examples:
            line = self.with_ports(line.replace("/usr/share", f"{ROOT}/usr/share").replace("daemon.key.public", f"{HOME}/daemon.key.public"))
            if line.startswith("cd "):
                place = line
            elif not line.startswith("ellwand join"):  # there is a key already
                self.shell(f"{place} && {line.replace('A1001', 'A1005') if 'order' in line else line}")

    def test_secrets_are_kept(self):
        for path in (ROOT / "etc/ellwand/daemon.key", HOME / ".config/ellwand/boss.key"):
            self.assertEqual(stat.S_IMODE(path.stat().st_mode), 0o600, path)
        self.assertEqual(stat.S_IMODE((ROOT / "etc/ellwand").stat().st_mode), 0o750)
        self.assertEqual(stat.S_IMODE((HOME / ".config/ellwand").stat().st_mode), 0o700)

    def test_a_configuration_that_cannot_work_says_so_and_is_not_tried_again(self):
        right = (ROOT / "etc/ellwand/ellwandd.conf").read_text()
        self.shell("PGUSER=$OWNER createdb empty")
        key = ROOT / "open.key"
        shutil.copy(ROOT / "etc/ellwand/daemon.key", key)
        key.chmod(0o640)
        for mode, old, new, says in (
            (0o640, 'workshop = "main"', 'workshop = "other"', "ellwandd workshop"),
            (0o640, "dbname=ellwand", f"dbname=empty user={os.environ['PGUSER']}", "run `ellwandd migrate`"),
            (0o644, "dbname=ellwand", "dbname=ellwand password=x", "chmod o="),
            (0o640, str(ROOT / "etc/ellwand/daemon.key"), str(key), "chmod 600"),
            (0o640, 'log = "notice"', 'log = "loud"', "one of error, notice, debug"),
        ):
            path = ROOT / "wrong.conf"
            path.write_text(right.replace(old, new))
            path.chmod(mode)
            for command in ("check", "run"):
                self.assertIn(says, self.shell(f"PGUSER=ellwand ellwandd {command} --config {path}", code=2))
        path.write_text(right.replace("dbname=ellwand", "dbname=ellwand password=x"))
        path.chmod(0o640)
        self.assertIn("is right", self.shell(f"PGUSER=ellwand ellwandd check --config {path}"))

    def test_joining_writes_over_nothing(self):
        settings = HOME / ".config/ellwand/client.conf"
        before = settings.read_text()
        self.assertIn("already", self.shell("ellwand join tcp://127.0.0.1:1 daemon.key.public --name boss", code=1))
        self.assertEqual(settings.read_text(), before)
        # On another machine, under another name; a manager lets it in by the file.
        self.shell(self.with_ports("XDG_CONFIG_HOME=$HOME/other ellwand join tcp://127.0.0.1:5577 daemon.key.public --name anna"))
        self.shell("XDG_CONFIG_HOME=$HOME/other ellwand ping", code=5)
        self.shell("ellwand key add anna other/ellwand/anna.key.public --roles saw")
        self.assertRegex(self.shell("XDG_CONFIG_HOME=$HOME/other ellwand ping"), r"(?m)^your key +anna$")
        self.shell("ellwand join 'tcp://a\"b' daemon.key.public", code=2)

    def test_the_library_serves_a_program_of_others(self):
        self.shell("ellwand key new shop --out shop.key && ellwand key add shop shop.key.public --roles desk")
        libraries = next(ROOT.glob("usr/lib/*/libellwand-client.so.0")).parent
        example = ROOT / "usr/share/doc/libellwand-client-dev/examples"
        flags = f"PKG_CONFIG_PATH={libraries}/pkgconfig PKG_CONFIG_SYSROOT_DIR={ROOT} pkg-config --cflags --libs"
        strict = "gcc -std=c17 -Wall -Wextra -Wpedantic -Werror"
        self.shell(f"{strict} {example}/take_order.c -o shared $({flags} ellwand-client)")
        self.shell(f"{strict} -D_GNU_SOURCE {example}/take_order.c -o static -L{libraries} -l:libellwand-client.a"
                   f" $(pkg-config --libs libzmq jansson uuid) -lm -I{ROOT}/usr/include")
        both = "".join(f"#include <ellwand/{path.name}>\n" for path in sorted((SOURCE / "include/ellwand").glob("*.h")))
        (HOME / "headers.cpp").write_text(both + 'const char *version = ell_version();\n')
        self.shell(f"clang -std=c++17 -Wall -Wextra -Werror -c headers.cpp -I{ROOT}/usr/include && nm headers.o | grep -w ell_version")
        self.shell(f"cmake -S {example} -B by-cmake -G Ninja -DCMAKE_PREFIX_PATH={ROOT}/usr -DCMAKE_C_COMPILER_WORKS=yes"
                   f" -DCMAKE_C_COMPILER=gcc -DCMAKE_BUILD_RPATH={libraries} && ninja -C by-cmake")
        for program, order in (("shared", "A1002"), ("static", "A1003"), ("by-cmake/take_order", "A1004")):
            text = f"LD_LIBRARY_PATH={libraries} ./{program} {self.with_ports('tcp://127.0.0.1:5577')} daemon.key.public shop.key" \
                   f" {ROOT}/usr/share/doc/ellwand/examples/orders/{order}.json shop-{order}"
            told = self.shell(text)
            self.assertIn(f'"{order}"', told)
            self.assertEqual(self.shell(text), told, "the same id did not give the same answer")
        self.assertNotIn("libellwand", self.shell("readelf -d static"))
        self.assertIn("libellwand-client.so.0", self.shell("readelf -d shared"))


if __name__ == "__main__":
    unittest.main(verbosity=2)
