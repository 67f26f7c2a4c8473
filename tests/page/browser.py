"""Chromium without a window, told what to do over a pair of pipes; nothing but Python's own library is needed.

The protocol is Chromium's own, the DevTools protocol, as its page describes it: one JSON message after another, each ended
by a zero byte, in on descriptor 3 and out on descriptor 4.
"""

import base64
import json
import os
import re
import select
import shutil
import subprocess
import tempfile
import time

FOUND = next((path for name in ("chromium", "chromium-browser", "chrome", "google-chrome") if (path := shutil.which(name))),
             None)
PATIENCE = 60  # seconds; only a hang takes so long


class Browser:
    """A page at a time: `told` is all that it wrote or failed at, `fetched` what it asked for."""

    session = None

    def __init__(self):
        self.folder = tempfile.TemporaryDirectory()
        to_read, self.to = os.pipe()
        self.back, to_write = os.pipe()

        def descriptors():
            # Out of the way first: one of them may be 3 or 4 itself.
            high = [os.dup(to_read), os.dup(to_write)]
            while min(high) < 5:
                high = [os.dup(each) for each in high]
            os.dup2(high[0], 3)
            os.dup2(high[1], 4)

        words = ["--headless=new", "--remote-debugging-pipe", "--disable-gpu", "--hide-scrollbars", "--no-first-run",
                 "--disable-background-networking", "--disable-component-update", "--disable-dev-shm-usage",
                 f"--user-data-dir={self.folder.name}", "about:blank"]
        if os.geteuid() == 0:
            words.insert(0, "--no-sandbox")
        self.process = subprocess.Popen([FOUND, *words], stdin=subprocess.DEVNULL, stdout=subprocess.DEVNULL,
                                        stderr=subprocess.DEVNULL, preexec_fn=descriptors, close_fds=False)
        os.close(to_read)
        os.close(to_write)
        self.number, self.rest = 0, b""
        self.told, self.fetched, self.events = [], [], []
        try:
            self.attach()
        except (AssertionError, OSError):
            self.close()
            raise

    def attach(self):
        target = self.ask("Target.createTarget", url="about:blank")["targetId"]
        self.session = self.ask("Target.attachToTarget", targetId=target, flatten=True)["sessionId"]
        for domain in ("Page", "Runtime", "Network", "Log"):
            self.ask(domain + ".enable")

    def close(self):
        self.process.kill()
        self.process.wait()
        os.close(self.to)
        os.close(self.back)
        for _ in range(20):  # its helpers may still be writing
            try:
                return self.folder.cleanup()
            except OSError:
                time.sleep(0.1)

    def message(self):
        until = time.monotonic() + PATIENCE
        while b"\0" not in self.rest:
            if not select.select([self.back], [], [], max(0, until - time.monotonic()))[0]:
                raise AssertionError("the browser says nothing")
            piece = os.read(self.back, 1 << 20)
            if not piece:
                raise AssertionError("the browser has gone")
            self.rest += piece
        one, self.rest = self.rest.split(b"\0", 1)
        return json.loads(one)

    def heed(self, message):
        what, with_ = message.get("method"), message.get("params", {})
        if what == "Runtime.exceptionThrown":
            self.told.append(with_["exceptionDetails"]["text"])
        elif what == "Runtime.consoleAPICalled":
            self.told.append(" ".join(str(each.get("value")) for each in with_["args"]))
        elif what == "Log.entryAdded":
            self.told.append(with_["entry"]["text"])
        elif what == "Network.requestWillBeSent":
            self.fetched.append(with_["request"]["url"])
        self.events.append(what)

    def ask(self, method, **params):
        self.number += 1
        message = {"id": self.number, "method": method, "params": params}
        if self.session:
            message["sessionId"] = self.session
        os.write(self.to, json.dumps(message).encode() + b"\0")
        while True:
            answer = self.message()
            if answer.get("id") != self.number:
                self.heed(answer)
                continue
            if "error" in answer:
                raise AssertionError(f"{method}: {answer['error']}")
            return answer["result"]

    def show(self, file, width=1280, height=800, dark=False):
        self.ask("Emulation.setDeviceMetricsOverride", width=width, height=height, deviceScaleFactor=1, mobile=width < 600)
        self.ask("Emulation.setEmulatedMedia",
                 features=[{"name": "prefers-color-scheme", "value": "dark" if dark else "light"}])
        self.told, self.fetched, self.events = [], [], []
        self.ask("Page.navigate", url=file.resolve().as_uri())
        while "Page.loadEventFired" not in self.events:
            self.heed(self.message())

    def value(self, expression):
        """What an expression in the page's terms comes to."""
        answer = self.ask("Runtime.evaluate", expression=expression, returnByValue=True)
        assert "exceptionDetails" not in answer, answer
        return answer["result"].get("value")

    def picture(self):
        size = self.ask("Page.getLayoutMetrics")["cssContentSize"]
        answer = self.ask("Page.captureScreenshot", format="png", captureBeyondViewport=True,
                          clip={"x": 0, "y": 0, "width": size["width"], "height": size["height"], "scale": 1})
        return base64.b64decode(answer["data"])

    def printed(self, width, height):
        """The page as a PDF on paper of so many inches, with the margins that it asks for itself."""
        answer = self.ask("Page.printToPDF", paperWidth=width, paperHeight=height, printBackground=False)
        return base64.b64decode(answer["data"])
