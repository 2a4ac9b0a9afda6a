# SPDX-License-Identifier: Apache-2.0
"""The command `ellwand` as a person of one role types it."""
import json
import subprocess

import small


class Shell:
    def __init__(self, workshop, role="manager"):
        folder = workshop.folder
        workshop.keys[role].write(folder / f"{role}.key")
        (folder / "server.key").write_text(f"name daemon\npublic {workshop.daemon_key.public.decode()}\n")
        self.access = ["--server", workshop.endpoint, "--server-key", folder / "server.key", "--key", folder / f"{role}.key"]

    def run(self, *words, code=0, given=None):
        done = subprocess.run([small.harness.BUILD / "ellwand", *map(str, words), *self.access], capture_output=True, text=True,
                              input=given, timeout=60)
        assert done.returncode == code, f"{words} ended with {done.returncode}:\n{done.stdout}{done.stderr}"
        return done.stdout if code == 0 else done.stderr

    def json(self, *words):
        return json.loads(self.run(*words, "--json"))
