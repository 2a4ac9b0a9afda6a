# SPDX-License-Identifier: Apache-2.0
"""More printer programs beside the one of deploy/with-services, each with a queue of its own."""
import os
import pathlib
import random
import subprocess
import time

import harness


def attributes(sizes, document_format):
    """The attribute file of a 300 dpi label printer for these sizes ("100x50", mm)."""
    library = harness.SOURCE / "deploy" / "lib" / "printer-attributes.sh"
    text = harness.run("bash", "-c", f'. "{library}"; printer_attributes "$@"', "bash", *sizes)
    return text.replace('"application/pdf",', f'"{document_format}",') if document_format else text


class Printer:
    """An IPP printer program that takes labels of these sizes; out/ holds what it printed, ctl/behave steers it. One with a
    `document_format` refuses PDF."""

    def __init__(self, name, sizes, document_format=None):
        self.name = name
        self.folder = harness.SERVICES.parent / f"printer-{name}-{os.getpid()}"
        for part in ("out", "ctl", "spool"):
            (self.folder / part).mkdir(parents=True)
        (self.folder / "attributes.conf").write_text(attributes(sizes, document_format))
        self.behave = self.folder / "ctl" / "behave"
        self.process, self.port = None, None
        self.start()
        # The scheduler is told that it takes PDF, so that the printer itself is the one to refuse.
        ppd = ("-P", harness.SERVICES.parent / "cups" / "etc" / "ppd" / f"{harness.QUEUE}.ppd") if document_format else ("-m", "everywhere")
        harness.run("lpadmin", "-p", name, "-E", "-v", self.uri(), *ppd, "-o", "printer-error-policy=retry-current-job")
        harness.until(20, "the queue is ready", lambda: self._ppd().exists() and self._ppd().stat().st_size > 0)

    def _ppd(self):
        return harness.SERVICES.parent / "cups" / "etc" / "ppd" / f"{self.name}.ppd"

    def uri(self):
        return f"ipp://localhost:{self.port}/ipp/print"

    def _answers(self):
        test = harness.SOURCE / "deploy" / "services" / "printer.test"
        return subprocess.run(["ipptool", "-q", self.uri(), test], check=False, timeout=30,
                              stderr=subprocess.DEVNULL).returncode == 0

    def start(self):
        """On a port that is free; it stays the same."""
        environment = dict(os.environ, DBUS_SYSTEM_BUS_ADDRESS=f"unix:path={harness.PRINTER}/bus.sock",
                           PRINTER_CONTROL=str(self.folder / "ctl"), PRINTER_OUT=str(self.folder / "out"))
        for _ in range(20):
            port = self.port or random.randrange(20000, 32000)
            with open(self.folder / "log", "ab") as log:
                self.process = subprocess.Popen(
                    ["ippeveprinter", "-r", "off", "-n", "localhost", "-p", str(port), "-d", self.folder / "spool",
                     "-D", f"file://{self.folder}/out", "-c", harness.PRINTER / "print-command",
                     "-a", self.folder / "attributes.conf", self.name],
                    stdin=subprocess.DEVNULL, stdout=log, stderr=log, env=environment)
            before, self.port = self.port, port
            end = time.monotonic() + 15
            while time.monotonic() < end and self.process.poll() is None:
                if self._answers():
                    return
                time.sleep(0.05)
            self.port = before
        raise AssertionError(f"the printer program {self.name} does not answer:\n{(self.folder / 'log').read_text()[-2000:]}")

    def stop(self):
        self.process.terminate()
        self.process.wait(timeout=20)

    def documents(self):
        return sorted(pathlib.Path(self.folder / "out").glob("*.prn"))
