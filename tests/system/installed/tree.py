#!/usr/bin/python3
"""What `cmake --install` lays down: files, symbols, hardening, manual, completion. SPDX-License-Identifier: Apache-2.0"""
import pathlib
import re
import shutil
import subprocess
import sys
import tempfile
import unittest

SOURCE = pathlib.Path(__file__).resolve().parents[3]
HEADERS = SOURCE / "include/ellwand"


def run(*command, **options):
    done = subprocess.run([str(word) for word in command], capture_output=True, text=True, timeout=60, check=False,
                          **options)
    if done.returncode != 0:
        raise AssertionError(f"{command} ended with {done.returncode}:\n{done.stdout}{done.stderr}")
    return done.stdout


def version():
    return re.search(r'#define ELL_VERSION "(.*)"', (HEADERS / "version.h").read_text())[1]


class Tree(unittest.TestCase):
    @classmethod
    def setUpClass(cls):
        cls.folder = tempfile.TemporaryDirectory(prefix="ellwand-tree.")
        cls.prefix = pathlib.Path(cls.folder.name) / "usr"
        run("cmake", "--install", BUILD, "--prefix", cls.prefix)
        cls.libraries = next(cls.prefix.glob("lib/**/libellwand-client.so")).parent
        cls.shipped = [cls.prefix / "bin/ellwand", cls.prefix / "sbin/ellwandd", cls.libraries / "libellwand-client.so"]

    @classmethod
    def tearDownClass(cls):
        cls.folder.cleanup()

    def test_everything_is_there(self):
        wanted = {"bin/ellwand", "sbin/ellwandd", "include/ellwand/client.h", "include/ellwand/length.h",
                  "include/ellwand/protocol.h", "include/ellwand/version.h", "lib/systemd/system/ellwandd.service",
                  "lib/sysusers.d/ellwand.conf", "lib/tmpfiles.d/ellwand.conf", "share/man/man1/ellwand.1",
                  "share/man/man5/ellwand-client.conf.5", "share/man/man5/ellwandd.conf.5", "share/man/man8/ellwandd.8",
                  "share/bash-completion/completions/ellwand", "share/doc/ellwand/LICENSE", "share/doc/ellwand/README.md",
                  "share/doc/libellwand-client-dev/protocol.md", "share/doc/libellwand-client-dev/examples/take_order.c",
                  "share/doc/ellwandd/examples/ellwandd.conf"}
        wanted |= {f"share/doc/ellwand/examples/{path.relative_to(SOURCE / 'sql/demo')}"
                   for path in (SOURCE / "sql/demo").rglob("*") if path.is_file()}
        there = {str(path.relative_to(self.prefix)) for path in self.prefix.rglob("*")}
        self.assertEqual(wanted - there, set())
        names = {path.name for path in self.libraries.iterdir()}
        soname = re.search(r"SONAME.*\[(.*)\]", run("readelf", "-d", self.libraries / "libellwand-client.so"))[1]
        self.assertRegex(soname, r"^libellwand-client\.so\.\d+$")
        self.assertLessEqual({soname, f"libellwand-client.so.{version()}", "libellwand-client.a"}, names)

    def test_one_version(self):
        for program in ("bin/ellwand", "sbin/ellwandd"):
            self.assertEqual(run(self.prefix / program, "--version").split()[1], version())
        numbers = re.findall(r"#define ELL_VERSION_(?:MAJOR|MINOR|PATCH) (\d+)", (HEADERS / "version.h").read_text())
        self.assertEqual(".".join(numbers), version())
        told = (self.libraries / "pkgconfig/ellwand-client.pc").read_text()
        self.assertIn(f"Version: {version()}\n", told)

    def test_the_library_gives_what_its_headers_say_and_no_more(self):
        headers = "".join(path.read_text() for path in HEADERS.glob("*.h"))
        public = set(re.findall(r"ELL_API[^;(]*?\b(ell_\w+)\(", headers))
        self.assertGreater(len(public), 10)
        listed = run("nm", "-D", "--defined-only", self.libraries / "libellwand-client.so").splitlines()
        symbols = {line.split()[2] for line in listed if line.split()[1] != "A"}
        self.assertEqual({symbol.split("@")[0] for symbol in symbols}, public)
        self.assertTrue(all("@@ELLWAND_CLIENT_" in symbol for symbol in symbols), symbols)
        archived = run("nm", "-g", "--defined-only", self.libraries / "libellwand-client.a").splitlines()
        self.assertEqual({line.split()[2] for line in archived if len(line.split()) == 3}, public)

    def test_what_is_shipped_is_hardened(self):
        for path in self.shipped:
            told = run("readelf", "-hldW", path)
            self.assertRegex(told, r"Type: +DYN", path)
            self.assertIn("GNU_RELRO", told, path)
            self.assertRegex(told, r"BIND_NOW|Flags:.*NOW", path)
            self.assertRegex(told, r"GNU_STACK.* RW ", path)
            self.assertNotRegex(told, r"R(UN)?PATH", path)
            needed = run("nm", "-D", "--undefined-only", path)
            self.assertIn("__stack_chk_fail", needed, path)
            self.assertRegex(needed, r"__\w+_chk@", path)

    def test_the_place_of_the_build_does_not_show(self):
        places = [str(SOURCE).encode(), str(BUILD).encode()]
        for path in self.prefix.rglob("*"):
            content = path.read_bytes() if path.is_file() else b""
            for place in places:
                self.assertNotIn(place, content, path)

    def page(self, path):
        return run("man", "--warnings", "-l", self.prefix / "share/man" / path,
                   env={"MANWIDTH": "500", "LC_ALL": "C.UTF-8", "PATH": "/usr/bin:/bin", "MAN_KEEP_FORMATTING": ""})

    def test_pages_are_sound(self):
        for path in (self.prefix / "share/man").glob("man*/*"):
            done = subprocess.run(["man", "--warnings=w", "-l", "-Tutf8", path], capture_output=True, text=True, timeout=60,
                                  check=True)
            self.assertEqual(done.stderr, "", path)

    def test_the_manual_tells_what_help_tells(self):
        page = " ".join(self.page("man1/ellwand.1").split())
        names = run(self.prefix / "bin/ellwand", "--commands").splitlines()
        for name in names:
            told = run(self.prefix / "bin/ellwand", *name.split(), "--help")
            head = " ".join(told.split("\n\n")[0].removeprefix("Usage: ").replace("`", "").split())
            self.assertTrue(head in page, f"not in ellwand(1): {head}")
            section = page[page.index(head):]
            for option in re.findall(r"(?m)^ +--([a-z-]+(?:=\S+)?)", told):
                place = page if option.split("=")[0] in COMMON else section
                self.assertTrue(f"--{option}" in place, f"not in ellwand(1) at {name}: {option}")
        service = " ".join(self.page("man8/ellwandd.8").split())
        told = run(self.prefix / "sbin/ellwandd", "--help")
        commands = re.findall(r"(?m)^  ([a-z]+(?: [A-Z ]+[A-Z])?)(?:  |$)", told[told.index("Commands:"):])
        self.assertGreater(len(commands), 5)
        for command in commands:
            self.assertTrue(f" {command} " in service, f"not in ellwandd(8): {command}")
        keys = re.findall(r"(?m)^#?([a-z_]+) = ", run(self.prefix / "sbin/ellwandd", "configuration"))
        configuration = self.page("man5/ellwandd.conf.5")
        for key in keys:
            self.assertRegex(configuration, rf"(?m)^ +{key} = ")

    def complete(self, *words):
        script = self.prefix / "share/bash-completion/completions/ellwand"
        quoted = " ".join(f"'{word}'" for word in ("ellwand", *words))
        done = run("bash", "-uc", f'source "{script}"; COMP_WORDS=({quoted}); COMP_CWORD={len(words)}; _ellwand;'
                   ' printf "%s\\n" "${COMPREPLY[@]}"', cwd=SOURCE)
        return set(done.split())

    def test_completion(self):
        self.assertEqual(self.complete("or"), {"order"})
        self.assertEqual(self.complete("order", "ta"), {"take"})
        self.assertEqual(self.complete("--json", "order", "ta"), {"take"})
        self.assertEqual(self.complete("--server", "tcp://x", "order", "ta"), {"take"})
        self.assertEqual(self.complete("--server", "=", "tcp", "order", "ta"), {"take"})
        self.assertEqual(self.complete("cutlist", "--time"), {"--time-limit=", "--timeout="})
        self.assertEqual(self.complete("order", "list", "--js"), {"--json"})
        self.assertEqual(self.complete("takeoff", "LICE"), {"LICENSE"})
        self.assertEqual(self.complete("takeoff", "--catalogue", "LICE"), {"LICENSE"})
        self.assertEqual(self.complete("takeoff", "--catalogue", "=", "LICE"), {"LICENSE"})
        self.assertIn("LICENSE", self.complete("takeoff", "--catalogue", "="))
        # Where no file is meant none is offered.
        self.assertEqual(self.complete("order", "show", "LICE"), set())
        self.assertEqual(self.complete("takeoff", "--timeout", "LICE"), set())
        first = {name.split()[0] for name in run(self.prefix / "bin/ellwand", "--commands").splitlines()}
        self.assertEqual(self.complete(""), first)

    @unittest.skipUnless(shutil.which("systemd-analyze"), "no systemd here")
    def test_the_unit(self):
        unit = self.prefix / "lib/systemd/system/ellwandd.service"
        self.assertIn(f"ExecStart={self.prefix}/sbin/ellwandd run", unit.read_text())
        done = subprocess.run(["systemd-analyze", "verify", "--man=no", "--recursive-errors=no", unit],
                              capture_output=True, text=True, timeout=60, check=False)
        self.assertEqual((done.returncode, done.stderr), (0, ""))
        # 0 is shut off from everything, 10 from nothing; below 2 systemd calls it OK.
        run("systemd-analyze", "security", "--offline=true", "--threshold=20", "--no-pager", unit)


COMMON = {"server", "server-key", "key", "config", "timeout", "request-id", "json", "help", "usage", "version"}

if __name__ == "__main__":
    BUILD = pathlib.Path(sys.argv[1])
    unittest.main(argv=sys.argv[:1], verbosity=2)
