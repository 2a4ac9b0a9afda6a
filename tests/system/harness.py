# SPDX-License-Identifier: Apache-2.0
"""What the system tests share: a workshop of its own in the private PostgreSQL, its daemon, and a client.

Runs under deploy/with-services, with Debian's python3 and python3-zmq. Nothing outlives the services' directory.
"""
import itertools
import json
import os
import pathlib
import signal
import subprocess
import time
import uuid

import zmq

SOURCE = pathlib.Path(__file__).resolve().parents[2]
BUILD = pathlib.Path(os.environ["ELLWAND_BUILD_DIR"])
SERVICES = pathlib.Path(os.environ["ELLWAND_SERVICES"])
PRINTER = pathlib.Path(os.environ["ELLWAND_TEST_PRINTER_DIR"])
QUEUE = os.environ["ELLWAND_TEST_QUEUE"]
PROTOCOL = b"ELLWAND1"
# Errors after which the same request is right to be sent again, under its id.
COME_BACK = ("busy", "shutting-down", "store-unavailable", "store-busy", "timeout", "retry", "outcome-unknown")
SANITIZER_REPORTS = ("AddressSanitizer", "LeakSanitizer", "runtime error:")
_numbers = itertools.count(1)


class Refused(Exception):
    """The daemon's error reply."""

    def __init__(self, verb, error):
        super().__init__(f"{verb}: {error['code']} at '{error.get('where', '')}': {error['message']}")
        self.code = error["code"]
        self.where = error.get("where", "")
        self.message = error["message"]


class NoAnswer(Exception):
    """Nothing came within the time; whether the request was done is not known."""


def service(function):
    """Calls one of the functions of deploy/lib/services.sh: postgres_kill, cups_start, ..."""
    script = 'set -eu; . "$ELLWAND_SERVICES"; "$1"'
    subprocess.run(["bash", "-c", script, "bash", function], check=True, timeout=90)


def run(*command, timeout=120, **options):
    """A program that must succeed; its standard output as text."""
    done = subprocess.run([str(word) for word in command], capture_output=True, text=True, timeout=timeout,
                          **options)
    if done.returncode != 0:
        raise AssertionError(f"{command} ended with {done.returncode}:\n{done.stdout}{done.stderr}")
    return done.stdout


def until(seconds, what, condition):
    """Waits for `condition` to give something true, which is returned."""
    end = time.monotonic() + seconds
    while True:
        found = condition()
        if found:
            return found
        if time.monotonic() > end:
            raise AssertionError(f"{what}: not within {seconds} s")
        time.sleep(0.05)


class Key:
    def __init__(self, name):
        self.name = name
        self.public, self.secret = zmq.curve_keypair()

    def write(self, path):
        path.touch(mode=0o600)
        path.write_text(f"name {self.name}\npublic {self.public.decode()}\nsecret {self.secret.decode()}\n")


class Client:
    """One DEALER socket with one key. Asking again with the same request id is the caller's business."""

    def __init__(self, endpoint, server_key, key):
        self.endpoint, self.server_key, self.key = endpoint, server_key, key
        self.context = zmq.Context.instance()
        self.socket = None

    def _connect(self):
        self.socket = self.context.socket(zmq.DEALER)
        self.socket.linger = 0
        self.socket.reconnect_ivl_max = 500
        self.socket.curve_serverkey = self.server_key
        self.socket.curve_publickey = self.key.public
        self.socket.curve_secretkey = self.key.secret
        self.socket.connect(self.endpoint)

    def close(self):
        if self.socket:
            self.socket.close()
            self.socket = None

    def ask(self, verb, body=None, request_id=None, seconds=20):
        """The result of one request. Refused when the daemon says no, NoAnswer when it says nothing."""
        identity = (request_id or uuid.uuid4().hex).encode()
        if self.socket is None:
            self._connect()
        self.socket.send_multipart([PROTOCOL, verb.encode(), identity, json.dumps(body or {}).encode()])
        end = time.monotonic() + seconds
        while self.socket.poll(max(0, int((end - time.monotonic()) * 1000))):
            version, answered, status, reply = self.socket.recv_multipart()[:4]
            assert version == PROTOCOL
            if answered != identity:
                continue  # the late answer to a request given up before
            document = json.loads(reply)
            if status == b"ok":
                return document
            assert status == b"error", status
            raise Refused(verb, document)
        self.close()
        raise NoAnswer(verb)

    def insist(self, verb, body=None, request_id=None, seconds=60, patience=1):
        """Sends the request under its one id until it is answered, as a client does whose daemon may die."""
        identity = request_id or uuid.uuid4().hex
        end = time.monotonic() + seconds
        while time.monotonic() < end:
            try:
                return self.ask(verb, body, identity, seconds=patience)
            except NoAnswer:
                continue
            except Refused as refused:
                if refused.code not in COME_BACK:
                    raise
                time.sleep(0.1)
        raise NoAnswer(f"{verb} within {seconds} s")


class Daemon:
    """One `ellwandd` with its configuration. A workshop is one with a database; `Workshop.another` gives it company."""

    def __init__(self, folder, name):
        self.folder = folder
        self.process = None
        self.log = folder / f"{name}.log"
        # Unix sockets: tests never meet on a port.
        self.endpoint, self.events = f"ipc://{folder}/{name}.requests", f"ipc://{folder}/{name}.events"
        self.configuration = folder / f"{name}.conf"

    def configure(self, database, workshop):
        self.configuration.write_text(
            f'database = "host={os.environ["PGHOST"]} port={os.environ["PGPORT"]}'
            f' dbname={database} user=ellwand_daemon";\n'
            f'workshop = "{workshop}";\n'
            f'listen = "{self.endpoint}";\n'
            f'events = "{self.events}";\n'
            f'key_file = "{self.folder}/daemon.key";\n'
            f'cups_server = "{os.environ["CUPS_SERVER"]}";\n'
        )

    def launch(self):
        """Starts the daemon without waiting for it."""
        with open(self.log, "ab") as log:
            self.process = subprocess.Popen(
                [BUILD / "ellwandd", "run", "--config", self.configuration],
                stdin=subprocess.DEVNULL, stdout=log, stderr=log)

    def lives(self):
        return self.process is not None and self.process.poll() is None

    def kill(self):
        self.process.kill()
        self.process.wait()

    def stop(self):
        """Asks the daemon to end, as a service manager does; it must do so in time, and well."""
        self.process.send_signal(signal.SIGTERM)
        code = self.process.wait(timeout=30)
        assert code == 0, f"the daemon ended with {code}:\n{self.log_text()[-4000:]}"
        self.process = None

    def log_text(self):
        return self.log.read_text(errors="replace") if self.log.exists() else ""

    def end(self):
        """Kills it if it runs; nothing that a sanitizer reported passes in silence."""
        if self.lives():
            self.kill()
        text = self.log_text()
        for report in SANITIZER_REPORTS:
            assert report not in text, f"the daemon's log holds a sanitizer's report:\n{text[-8000:]}"


class Workshop(Daemon):
    """A database with an empty workshop, a daemon's configuration and keys of every role."""

    def __init__(self):
        number = next(_numbers)
        folder = SERVICES.parent / f"workshop{os.getpid()}-{number}"
        folder.mkdir(mode=0o700)
        super().__init__(folder, "ellwandd")
        self.database = f"workshop_{os.getpid()}_{number}"
        # Print jobs are known by the workshop's name and their number, and the print scheduler may be shared.
        self.name = f"workshop-{os.getpid()}-{number}"
        self.daemon_key = Key("daemon")
        self.keys = {role: Key(role) for role in ("desk", "saw", "stores", "manager")}
        self.clients, self.others = [], []
        self._prepare()

    def _prepare(self):
        run("createdb", "-T", "template0", self.database)
        owner = f"dbname={self.database}"
        run(BUILD / "ellwandd", "migrate", "--owner", owner)
        self.sql("alter role ellwand_daemon login")
        run(BUILD / "ellwandd", "workshop", self.name, "An invented workshop", "--owner", owner)
        for role, key in self.keys.items():
            # A key may begin with "-": nothing after "--" is taken for an option.
            run(BUILD / "ellwandd", "key", "--owner", owner, "--", self.name, role, key.public.decode(), role)
        self.daemon_key.write(self.folder / "daemon.key")
        self.configure(self.database, self.name)

    def another(self):
        """A second daemon on the same database, under the same key, not yet started."""
        daemon = Daemon(self.folder, f"ellwandd-{len(self.others) + 2}")
        daemon.configure(self.database, self.name)
        self.others.append(daemon)
        return daemon

    def sql(self, statement):
        """The rows of one statement, as lines of text, asked past the daemon."""
        return run("psql", "-qXAt", "-v", "ON_ERROR_STOP=1", "-d", self.database, "-c", statement).splitlines()

    def start(self):
        """Starts the daemon and waits until it answers."""
        self.launch()
        self.client("desk").insist("ping", seconds=30)

    def client(self, role):
        client = Client(self.endpoint, self.daemon_key.public, self.keys[role])
        self.clients.append(client)
        return client

    def close(self):
        for client in self.clients:
            client.close()
        for daemon in (self, *self.others):
            daemon.end()

    def __enter__(self):
        return self

    def __exit__(self, kind, error, trace):
        if error is not None:
            print(f"the end of the daemon's log:\n{self.log_text()[-4000:]}")
        self.close()
        if error is None:
            run("dropdb", "--force", self.database)
