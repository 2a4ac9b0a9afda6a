# SPDX-License-Identifier: Apache-2.0
"""The command `ellwand` with the manager's key."""
import json
import subprocess

import small


class Shell:
    def __init__(self, workshop):
        folder = workshop.folder
        workshop.keys["manager"].write(folder / "manager.key")
        (folder / "server.key").write_text(f"name daemon\npublic {workshop.daemon_key.public.decode()}\n")
        self.access = ["--server", workshop.endpoint, "--server-key", folder / "server.key", "--key", folder / "manager.key"]

    def run(self, *words, code=0):
        done = subprocess.run([small.harness.BUILD / "ellwand", *map(str, words), *self.access], capture_output=True, text=True, timeout=60)
        assert done.returncode == code, f"{words} ended with {done.returncode}:\n{done.stdout}{done.stderr}"
        return done.stdout if code == 0 else done.stderr

    def json(self, *words):
        return json.loads(self.run(*words, "--json"))
