"""A client of ellwandd, written from include/ellwand/protocol.md. SPDX-License-Identifier: Apache-2.0"""
import json
import time
import uuid

import zmq

VERSION = b"ELLWAND1"


class Refused(Exception):
    """The daemon's error: code, message, where."""

    def __init__(self, error):
        super().__init__(f"{error['code']}: {error['message']}")
        self.code, self.where = error["code"], error["where"]


class Unknown(Exception):
    """No answer in time: whether the request was done is not known; its id is in `request_id`."""

    def __init__(self, request_id):
        super().__init__(request_id)
        self.request_id = request_id


def secure(socket, server, public, secret):
    socket.linger = 0
    socket.curve_serverkey = server.encode()
    socket.curve_publickey, socket.curve_secretkey = public.encode(), secret.encode()
    return socket


class Client:
    def __init__(self, endpoint, server, public, secret, kind=zmq.DEALER):
        self.endpoint, self.keys = endpoint, (server, public, secret)
        self.context = zmq.Context()
        self.socket = secure(self.context.socket(kind), *self.keys)
        self.socket.connect(endpoint)
        self.sent = 0

    def close(self):
        self.context.destroy(linger=0)

    def send(self, verb, request_id, body):
        self.socket.send_multipart([VERSION, verb.encode(), request_id.encode(), json.dumps(body).encode()])
        self.sent += 1

    def receive(self, request_id, seconds):
        """The answer to this request, passing over answers to others; None when none came."""
        until = time.monotonic() + seconds
        while self.socket.poll(max(0, int((until - time.monotonic()) * 1000))):
            version, same, status, body = self.socket.recv_multipart()
            if version == VERSION and same.decode() == request_id:
                return status.decode(), json.loads(body)
        return None

    def call(self, verb, body=None, request_id=None, seconds=10):
        request_id = request_id or str(uuid.uuid4())
        until, pause = time.monotonic() + seconds, 0.05
        while time.monotonic() < until:
            self.send(verb, request_id, body or {})
            answer = self.receive(request_id, min(seconds / 10, max(0, until - time.monotonic())))
            if answer is None:
                continue
            status, result = answer
            if status == "ok":
                return result
            if result["code"] not in ("busy", "shutting-down"):
                raise Refused(result)
            time.sleep(pause)
            pause = min(1, pause * 2)
        raise Unknown(request_id)

    def events(self, prefix=""):
        """A socket that hears events; its host is ours, its port as ping tells."""
        told = self.call("ping")["events"]
        host = self.endpoint.rsplit(":", 1)[0]
        socket = secure(self.context.socket(zmq.SUB), *self.keys)
        socket.subscribe(prefix.encode())
        socket.connect(f"{host}:{told.rsplit(':', 1)[1]}")
        return socket
