#!/usr/bin/python3
"""The command `ellwand`: exit codes, output, settings. SPDX-License-Identifier: Apache-2.0"""
import json
import os
import pathlib
import re
import signal
import subprocess
import sys
import tempfile
import time
import unittest

DONE, REFUSED, USAGE, UNREACHABLE, LATE, KEY, TROUBLE = range(7)


class Command(unittest.TestCase):
    @classmethod
    def setUpClass(cls):
        cls.folder = tempfile.TemporaryDirectory(prefix="ellwand-command.")
        cls.home = pathlib.Path(cls.folder.name)
        cls.server = subprocess.Popen([SERVE], stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True)
        cls.access = a = json.loads(cls.server.stdout.readline())
        cls.key("server.key.public", "server", a["server"])
        cls.key("mine.key", "saw-1", a["public"], a["secret"])
        cls.key("other.key", "stranger", a["stranger_public"], a["stranger_secret"])
        settings = cls.home / ".config/ellwand/client.conf"
        settings.parent.mkdir(parents=True)
        settings.write_text(
            f'server = "{a["endpoint"]}";\nserver_key = "{cls.home}/server.key.public";\nkey = "{cls.home}/mine.key";\n'
        )

    @classmethod
    def tearDownClass(cls):
        cls.server.stdin.close()
        assert cls.server.wait(30) == 0
        cls.server.stdout.close()
        cls.folder.cleanup()

    @classmethod
    def key(cls, file, name, public, secret=None):
        path = cls.home / file
        path.write_text(f"name {name}\npublic {public}\n" + (f"secret {secret}\n" if secret else ""))
        path.chmod(0o600)

    def environment(self):
        kept = {name: value for name, value in os.environ.items() if not name.startswith("ELLWAND_")}
        return kept | {"HOME": str(self.home), "XDG_CONFIG_HOME": "", "LC_ALL": "C.UTF-8"}

    def run_ellwand(self, *words, code=DONE, given=""):
        done = subprocess.run([ELLWAND, *words], capture_output=True, text=True, input=given, env=self.environment(),
                              cwd=self.home, timeout=60)
        self.assertEqual(done.returncode, code, f"{words}: {done.stdout}{done.stderr}")
        self.assertNotIn("Sanitizer", done.stderr)
        return done

    def test_ping_for_people_and_for_programs(self):
        self.assertRegex(self.run_ellwand("ping").stdout, r"(?m)^your key +saw-1$")
        told = json.loads(self.run_ellwand("--json", "ping").stdout)
        self.assertEqual(told["key"], "saw-1")
        self.assertEqual(json.loads(self.run_ellwand("ping", "--json").stdout)["protocol"], "ELLWAND1")

    def test_results_go_to_standard_output_and_trouble_to_standard_error(self):
        done = self.run_ellwand("call", "refuse", code=REFUSED)
        self.assertEqual((done.stdout, done.stderr), ("", "order: No order A7.\n"))
        self.assertNotIn("\033", self.run_ellwand("ping").stdout, "colours in a pipe")

    def test_exit_codes(self):
        self.run_ellwand(code=USAGE)
        self.run_ellwand("paint", code=USAGE)
        self.run_ellwand("ping", "surplus", code=USAGE)
        self.run_ellwand("call", code=USAGE)
        self.run_ellwand("ping", "--colour", code=USAGE)
        self.run_ellwand("ping", "--timeout", "soon", code=USAGE)
        self.run_ellwand("call", "Not A Verb", code=USAGE)
        self.run_ellwand("call", "echo", "{broken", code=USAGE)
        self.run_ellwand("ping", "--key", "absent.key", code=USAGE)
        self.run_ellwand("ping", "--server", "tcp://127.0.0.1:1", "--timeout", "0.3", code=UNREACHABLE)
        self.run_ellwand("ping", "--server-key", "mine.key", "--timeout", "1", code=UNREACHABLE)
        self.run_ellwand("call", "sleep", "900", "--timeout", "0.2", code=LATE)
        self.run_ellwand("ping", "--key", "other.key", code=KEY)

    def test_asking_again_after_no_answer(self):
        late = self.run_ellwand("call", "sleep", "600", "--timeout", "0.2", code=LATE)
        again = re.search(r"--request-id (\S+)$", late.stderr.strip())[1]
        self.assertEqual(json.loads(self.run_ellwand("call", "sleep", "600", "--request-id", again).stdout), 600)
        first = self.run_ellwand("--json", "call", "count", "--request-id", "cli-1").stdout
        self.assertEqual(self.run_ellwand("--json", "call", "count", "--request-id", "cli-1").stdout, first)

    def test_body_from_standard_input(self):
        body = {"a": [1, 2.5, "é"]}
        told = self.run_ellwand("call", "echo", "-", given=json.dumps(body)).stdout
        self.assertEqual(json.loads(told), body)

    def test_data_cannot_command_the_terminal(self):
        done = self.run_ellwand("call", "echo", '{"x":"\\u001b[2J"}')
        self.assertNotIn("\033", done.stdout)

    def test_watch_shows_events_and_ends(self):
        watch = subprocess.Popen([ELLWAND, "watch", "order", "--count", "2", "--json"], stdout=subprocess.PIPE,
                                 text=True, env=self.environment())
        time.sleep(1)
        self.server.stdin.write("events 5\n")
        self.server.stdin.flush()
        self.assertEqual(self.server.stdout.readline(), "done\n")
        lines = watch.communicate(timeout=20)[0].splitlines()
        self.assertEqual(watch.returncode, 0)
        self.assertEqual([json.loads(line)["topic"] for line in lines], ["order.taken"] * 2)
        quiet = subprocess.Popen([ELLWAND, "watch", "none"], stdout=subprocess.PIPE, text=True, env=self.environment())
        time.sleep(1)
        quiet.send_signal(signal.SIGINT)
        self.assertEqual(quiet.communicate(timeout=20)[0], "")
        self.assertEqual(quiet.returncode, 0)

    def test_every_command_explains_itself(self):
        listed = self.run_ellwand("--help").stdout
        names = self.run_ellwand("--commands").stdout.splitlines()
        self.assertGreater(len(names), 80)
        for person in ("Anyone", "Order desk", "Saw", "Stores", "The manager", "Setting up a workshop"):
            self.assertIn(f"\n{person}:\n", listed)
        self.assertLessEqual(max(map(len, listed.splitlines())), 79)
        for name in names:
            self.assertRegex(listed, rf"(?m)^  {name.split()[0]}( |$)")
            told = self.run_ellwand(*name.split(), "--help").stdout
            self.assertTrue(told.startswith(f"Usage: ellwand {name} [OPTION...]"), told)
            self.assertIn("--server=ENDPOINT", told)

    def test_commands_are_found_by_their_words(self):
        names = self.run_ellwand("--commands").stdout.splitlines()
        self.assertEqual(names, sorted(names))
        self.assertTrue({"ping", "order take", "order list"} <= set(names))
        group = self.run_ellwand("order", code=USAGE).stderr
        self.assertIn("  order take ", group)
        self.assertNotIn("  plan ", group)
        self.assertIn("no such command", self.run_ellwand("zork", code=USAGE).stderr)
        self.assertIn("Did you mean order?", self.run_ellwand("ordr", code=USAGE).stderr)
        self.assertIn("Did you mean order list?", self.run_ellwand("ordr", "list", code=USAGE).stderr)
        self.assertEqual(self.run_ellwand("order", "--help").stdout, self.run_ellwand("help", "order").stdout)
        told = self.run_ellwand("help", "order", "list").stdout.splitlines()
        self.assertEqual(self.run_ellwand("order", "list", "--help").stdout.splitlines()[:8], told[:8])
        self.assertIn("  kit pick ", self.run_ellwand("help", "stores").stdout)
        self.assertIn("no such command", self.run_ellwand("help", "zork", code=USAGE).stderr)

    def test_a_new_key_serves_and_is_kept_to_oneself(self):
        told = json.loads(self.run_ellwand("key", "new", "press-2", "--json").stdout)
        secret = self.home / told["secret_file"]
        self.assertEqual(secret.stat().st_mode & 0o777, 0o600)
        self.assertNotIn("secret ", (self.home / told["public_file"]).read_text().replace("# ", ""))
        self.run_ellwand("key", "new", "press-2", code=USAGE)
        self.run_ellwand("ping", "--key", str(secret), code=KEY)
        secret.chmod(0o644)
        self.assertIn("chmod 600", self.run_ellwand("ping", "--key", str(secret), code=USAGE).stderr)

    def test_cutlist_without_a_daemon(self):
        problem = {"kerf": 2.2, "lead_trim": 10, "bars": [{"name": "six", "length": 6000}],
                   "pieces": [{"name": "W1", "length": 1830, "quantity": 3}, {"name": "W2", "length": 1200}]}
        (self.home / "p.json").write_text(json.dumps(problem))
        plan = json.loads(self.run_ellwand("cutlist", "p.json", "--json").stdout)
        # By hand: three of 1830 and one of 1200 with kerfs need 6698.8 mm, so two bars; each costs its length.
        self.assertEqual((plan["cost"], plan["proven"], plan["unmet"]), (12000, True, []))
        for bar in plan["bars"]:
            pieces = sum(1830 if name == "W1" else 1200 for name in bar["pieces"])
            self.assertEqual(round(10 + pieces + bar["dust"] + bar["remainder"], 1), 6000)
        self.assertIn("W2", self.run_ellwand("cutlist", "p.json").stdout)
        (self.home / "p.csv").write_text("name,length,quantity\nW1,183 cm,3\nW2,1200,1\n")
        csv = self.run_ellwand("cutlist", "p.csv", "--bar", "six=6000", "--kerf", "2.2", "--lead-trim", "10", "--json")
        self.assertEqual(json.loads(csv.stdout)["cost"], 12000)
        problem["pieces"][0]["length"] = 6001
        (self.home / "long.json").write_text(json.dumps(problem))
        self.assertEqual(json.loads(self.run_ellwand("cutlist", "long.json", "--json", code=REFUSED).stdout)["unmet"][0]
                         ["piece"], "W1")

    def test_cutlist_names_what_is_wrong(self):
        for text, says in (
            ('{"kerf":2', r"line 1, column"),
            ('{"kerf":-1,"bars":[],"pieces":[]}', r"kerf"),
            ('{"kerf":0,"bars":[{"name":"a","length":6000}],"pieces":[{"name":"b","lenght":1}]}', r"pieces\[0\]"),
            ("[" * 10000, r"nested"),
        ):
            (self.home / "wrong.json").write_text(text)
            done = subprocess.run([ELLWAND, "cutlist", "wrong.json"], capture_output=True, text=True, cwd=self.home,
                                  env=self.environment(), timeout=60)
            self.assertIn(done.returncode, (REFUSED, USAGE))
            self.assertRegex(done.stderr, says)
        self.run_ellwand("cutlist", "absent.json", code=USAGE)

    def test_takeoff_without_a_daemon(self):
        demo = SOURCES / "sql/demo"
        order = demo / "orders/A1001.json"
        told = json.loads(self.run_ellwand("takeoff", str(order), "--catalogue", str(demo / "catalogue.json"),
                                           "--json").stdout)
        self.assertEqual(told["order"], "A1001")
        for window in told["windows"]:
            self.assertEqual(sum(piece["length"] for piece in window["pieces"]), window["cut_total"])
        self.assertIn("from midpoint",
                      self.run_ellwand("takeoff", str(order), "--catalogue", str(demo / "catalogue.json")).stdout)
        self.run_ellwand("takeoff", str(order), code=USAGE)
        self.run_ellwand("takeoff", str(order), "--catalogue", str(order), code=REFUSED)

    def test_a_full_disk_is_no_success(self):
        with open("/dev/full", "w", encoding="ascii") as full:
            done = subprocess.run([ELLWAND, "ping"], stdout=full, stderr=subprocess.PIPE, env=self.environment(),
                                  check=False, timeout=60)
        self.assertEqual(done.returncode, TROUBLE)


if __name__ == "__main__":
    ELLWAND, SERVE, SOURCES = sys.argv[1], sys.argv[2], pathlib.Path(sys.argv[3])
    unittest.main(argv=sys.argv[:1], verbosity=2)
