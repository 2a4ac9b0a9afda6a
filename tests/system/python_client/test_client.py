#!/usr/bin/python3
"""Calls, errors, ids and events from a client that knows the protocol page only. SPDX-License-Identifier: Apache-2.0"""
import json
import subprocess
import sys
import threading
import time
import unittest

import zmq

from client import Client, Refused, Unknown


class Protocol(unittest.TestCase):
    @classmethod
    def setUpClass(cls):
        cls.server = subprocess.Popen([SERVE], stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True)
        cls.access = json.loads(cls.server.stdout.readline())

    @classmethod
    def tearDownClass(cls):
        cls.server.stdin.close()
        code = cls.server.wait(30)
        cls.server.stdout.close()
        assert code == 0, f"the server ended with {code}"

    def setUp(self):
        self.client = self.connect()

    def tearDown(self):
        self.client.close()

    def connect(self, kind=zmq.DEALER, who=""):
        a = self.access
        return Client(a["endpoint"], a["server"], a[who + "public"], a[who + "secret"], kind)

    def steer(self, line):
        self.server.stdin.write(line + "\n")
        self.server.stdin.flush()
        self.assertEqual(self.server.stdout.readline(), "done\n")

    def test_ping_tells_who_we_are(self):
        result = self.client.call("ping")
        self.assertEqual((result["daemon"], result["protocol"], result["key"]), ("ellwandd", "ELLWAND1", "saw-1"))

    def test_call_from_both_kinds_of_socket(self):
        body = {"order": "A1001", "customer": "Søren & \"Zoë\" 窓", "length": 1874.5}
        self.assertEqual(self.client.call("echo", body), body)
        req = self.connect(zmq.REQ)
        self.assertEqual(req.call("echo", body), body)
        req.close()

    def test_error_has_code_message_and_where(self):
        with self.assertRaises(Refused) as caught:
            self.client.call("refuse")
        self.assertEqual((caught.exception.code, caught.exception.where), ("no-such-order", "order"))

    def test_wrong_frames_are_named(self):
        for frames, code, where in (
            ([b"ELLWAND2", b"ping", b"w-1", b"{}"], "wrong-version", "frame 1, version"),
            ([b"ELLWAND1", b"PING", b"w-1", b"{}"], "bad-frames", "frame 2, verb"),
            ([b"ELLWAND1", b"ping", b"w 1", b"{}"], "bad-frames", "frame 3, request id"),
            ([b"ELLWAND1", b"ping", b"w-1"], "bad-frames", "message"),
            ([b"ELLWAND1", b"ping", b"w-1", b" " * (8388608 + 1)], "too-large", "frame 4, body"),
        ):
            self.client.socket.send_multipart(frames)
            self.assertTrue(self.client.socket.poll(5000), where)
            _, _, status, body = self.client.socket.recv_multipart()
            error = json.loads(body)
            self.assertEqual((status, error["code"], error["where"]), (b"error", code, where))

    def test_the_same_id_is_done_once(self):
        first = self.client.call("count", request_id="once-1")
        for _ in range(3):
            self.assertEqual(self.client.call("count", request_id="once-1"), first)
        other = self.connect()
        self.assertEqual(other.call("count", request_id="once-1"), first)
        self.assertNotEqual(other.call("count", request_id="once-2"), first)
        other.close()

    def test_no_answer_in_time_and_asked_again(self):
        with self.assertRaises(Unknown) as caught:
            self.client.call("sleep", 700, seconds=0.2)
        self.assertEqual(self.client.call("sleep", 700, caught.exception.request_id), 700)

    def test_resend_over_a_restart(self):
        """Calls go on while the daemon stops and starts; each is counted once, in order."""
        counted = []

        def work():
            client = self.connect()
            for i in range(60):
                counted.append(client.call("count", request_id=f"restart-{i}", seconds=20)["count"])
                time.sleep(0.01)
            client.close()

        worker = threading.Thread(target=work)
        worker.start()
        time.sleep(0.2)
        self.steer("restart")
        worker.join(60)
        self.assertFalse(worker.is_alive())
        self.assertEqual(counted, list(range(counted[0], counted[0] + 60)))

    def test_events_and_signs_of_life(self):
        orders, alive = self.client.events("order"), self.client.events("alive")
        time.sleep(0.3)
        self.steer("events 3")
        for left in (3, 2, 1):
            self.assertTrue(orders.poll(5000))
            topic, version, body = orders.recv_multipart()
            self.assertEqual((topic, version, json.loads(body)), (b"order.taken", b"ELLWAND1", {"left": left}))
        self.assertTrue(alive.poll(6000))
        topic, version, body = alive.recv_multipart()
        self.assertEqual((topic, version), (b"alive", b"ELLWAND1"))
        self.assertGreaterEqual(json.loads(body)["events"], 3)

    def test_a_stranger_gets_no_further_than_the_handshake(self):
        stranger = self.connect(who="stranger_")
        monitor = stranger.socket.get_monitor_socket(zmq.EVENT_HANDSHAKE_FAILED_AUTH)
        stranger.send("ping", "s-1", {})
        self.assertTrue(monitor.poll(5000))
        self.assertIsNone(stranger.receive("s-1", 0.5))
        stranger.socket.disable_monitor()
        stranger.close()


if __name__ == "__main__":
    SERVE = sys.argv.pop(1)
    unittest.main(verbosity=2)
