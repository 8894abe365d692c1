"""A page in a headless Chromium, driven over the browser's own debugging pipe: no package is needed."""

from __future__ import annotations

import base64
import json
import os
import shutil
import subprocess
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

import pytest

BINARY = shutil.which("chromium") or shutil.which("chromium-browser")
needs_chromium = pytest.mark.skipif(
    BINARY is None or shutil.which("bash") is None,
    reason="there is no chromium (or no bash to start it with) here: the page is not tested in a browser",
)
_FLAGS = (
    "--headless --no-sandbox --disable-gpu --disable-quic --no-first-run --disable-background-networking "
    "--disable-component-update --disable-sync --disable-dev-shm-usage --remote-debugging-pipe"
).split()
_KEYS = {
    "Enter": (13, "\r"),
    "Escape": (27, ""),
    "Tab": (9, ""),
    "ArrowRight": (39, ""),
    "ArrowLeft": (37, ""),
}


class Browser:
    """One browser with one page. Everything it complains about and asks the network for is kept."""

    def __init__(self, to: int, back: int) -> None:
        self._to = to
        self._back = back
        self._left = b""
        self._number = 0
        self._session: str | None = None
        self.complaints: list[str] = []
        self.requests: list[str] = []
        self._loaded = 0
        target = self.call("Target.createTarget", url="about:blank")["targetId"]
        self._session = self.call("Target.attachToTarget", targetId=target, flatten=True)["sessionId"]
        for domain in ("Page", "Runtime", "Log", "Network"):
            self.call(f"{domain}.enable")

    def call(self, method: str, **parameters: Any) -> dict[str, Any]:
        """One command and its answer."""
        self._number += 1
        number = self._number
        message: dict[str, Any] = {"id": number, "method": method, "params": parameters}
        if self._session:
            message["sessionId"] = self._session
        os.write(self._to, json.dumps(message).encode() + b"\0")
        while True:
            answer = self._next()
            if answer.get("id") == number:
                assert "error" not in answer, answer
                result: dict[str, Any] = answer["result"]
                return result

    def _next(self) -> dict[str, Any]:
        while b"\0" not in self._left:
            more = os.read(self._back, 1 << 20)
            assert more, "the browser has gone"
            self._left += more
        raw, _, self._left = self._left.partition(b"\0")
        message: dict[str, Any] = json.loads(raw)
        self._note(message)
        return message

    def _note(self, message: dict[str, Any]) -> None:
        parameters = message.get("params", {})
        match message.get("method"):
            case "Runtime.exceptionThrown":
                self.complaints.append(json.dumps(parameters["exceptionDetails"])[:600])
            case "Runtime.consoleAPICalled":
                self.complaints.append(json.dumps(parameters["args"])[:600])
            case "Log.entryAdded":
                self.complaints.append(json.dumps(parameters["entry"])[:600])
            case "Network.requestWillBeSent":
                self.requests.append(parameters["request"]["url"])
            case "Page.loadEventFired":
                self._loaded += 1

    def open(self, file: Path, hash_: str = "") -> None:
        """Load a file afresh and wait until it has."""
        self.call("Page.navigate", url="about:blank")
        self._wait()
        self.call("Page.navigate", url=file.as_uri() + hash_)
        self._wait()

    def _wait(self) -> None:
        while not self._loaded:
            self._next()
        self._loaded = 0

    def run(self, script: str) -> Any:
        """The value of an expression in the page."""
        found = self.call("Runtime.evaluate", expression=script, returnByValue=True, awaitPromise=True)
        assert "exceptionDetails" not in found, found["exceptionDetails"]
        return found["result"].get("value")

    def until(self, condition: str, seconds: int = 10) -> None:
        """Until an expression in the page is true, or the time is up; what is asserted then says which."""
        self.run(
            "new Promise((done) => { const start = Date.now(); const look = () => "
            f"({condition}) || Date.now() - start > {seconds * 1000} ? done() : setTimeout(look, 10); look(); }})"
        )

    def press(self, key: str) -> None:
        """One key, down and up."""
        code, text = _KEYS[key]
        common = {"key": key, "code": key, "windowsVirtualKeyCode": code}
        self.call("Input.dispatchKeyEvent", type="keyDown", text=text, **common)
        self.call("Input.dispatchKeyEvent", type="keyUp", **common)

    def type(self, text: str) -> None:
        """Text into what has the focus."""
        self.call("Input.insertText", text=text)

    def look(self, width: int, height: int, *, dark: bool = False) -> None:
        """The size of the window and the colours the system asks for."""
        self.call(
            "Emulation.setDeviceMetricsOverride",
            width=width,
            height=height,
            deviceScaleFactor=1,
            mobile=False,
        )
        scheme = {"name": "prefers-color-scheme", "value": "dark" if dark else "light"}
        self.call("Emulation.setEmulatedMedia", features=[scheme])

    def shoot(self, file: Path, *, whole: bool = True) -> None:
        """A picture of the page, all of it or the window only."""
        shot = self.call("Page.captureScreenshot", format="png", captureBeyondViewport=whole)
        file.write_bytes(base64.b64decode(shot["data"]))

    def print(self, file: Path) -> None:
        """The page as it is printed."""
        made = self.call("Page.printToPDF", printBackground=False, preferCSSPageSize=True)
        file.write_bytes(base64.b64decode(made["data"]))


@contextmanager
def browser() -> Iterator[Browser]:
    """A browser with a profile of its own, ended afterwards."""
    assert BINARY is not None
    theirs_in, ours_out = os.pipe()
    ours_in, theirs_out = os.pipe()
    with tempfile.TemporaryDirectory() as profile:
        command = [BINARY, *_FLAGS, f"--user-data-dir={profile}", "about:blank"]
        # The browser reads commands from descriptor 3 and answers on 4; a plain sh knows no number above 9.
        shell = ["bash", "-c", f'exec "$@" 3<&{theirs_in} 4>&{theirs_out}', "bash", *command]
        process = subprocess.Popen(
            shell, pass_fds=(theirs_in, theirs_out), stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL
        )
        os.close(theirs_in)
        os.close(theirs_out)
        try:
            yield Browser(ours_out, ours_in)
        finally:
            os.close(ours_out)
            os.close(ours_in)
            process.terminate()
            process.wait(30)
