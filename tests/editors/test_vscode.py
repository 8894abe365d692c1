"""VS Code with the extension that is built here, in a headless Chromium.

Opt-in, for it needs some 800 MB that no other test does: with `MEMLINT_CODE_SERVER` naming the program of an
installed npm package `code-server` (4.139 runs on Node 24), and npm and Chromium on the path. Pictures go to
the folder that `MEMLINT_PICTURES` names, where it is set.
"""

from __future__ import annotations

import json
import os
import shutil
import socket
import subprocess
import sys
import time
import urllib.error
import urllib.parse
import urllib.request
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path

import pytest
from real_editors import CONFIGS, MENDED, copy_of_sorter
from reports.chromium import Browser, browser, needs_chromium

PROGRAM = os.environ.get("MEMLINT_CODE_SERVER")
PICTURES = os.environ.get("MEMLINT_PICTURES")
LIMIT = 90.0
SETTINGS = {
    "security.workspace.trust.enabled": False,
    "workbench.startupEditor": "none",
    "workbench.secondarySideBar.defaultVisibility": "hidden",
    "chat.disableAIFeatures": True,
    "telemetry.telemetryLevel": "off",
    # It asks a login shell what the path is, where this environment's is unknown.
    "memlint.server.command": [str(Path(sys.executable).parent / "memlint"), "serve"],
}

pytestmark = [
    pytest.mark.skipif(PROGRAM is None, reason="opt-in: MEMLINT_CODE_SERVER does not name a code-server"),
    needs_chromium,
]


def until(what: str, holds: Callable[[], bool], page: Browser | None = None) -> None:
    end = time.monotonic() + LIMIT
    while not holds():
        if time.monotonic() > end:
            if page is not None:
                picture(page, "in-vain")
            pytest.fail(f"waited in vain for {what}")
        time.sleep(0.2)


def build(folder: Path) -> Path:
    """The extension, built by the one command that its README names."""
    source = folder / "extension"
    shutil.copytree(
        CONFIGS / "vscode", source, ignore=shutil.ignore_patterns("node_modules", "out", "*.vsix")
    )
    subprocess.run("npm ci && npm run package", shell=True, cwd=source, check=True, capture_output=True)
    return source / "memlint.vsix"


@contextmanager
def served(folder: Path, extension: Path) -> Iterator[str]:
    """A running VS Code with the extension; its address."""
    assert PROGRAM is not None
    data = folder / "data"
    (data / "User").mkdir(parents=True)
    (data / "User" / "settings.json").write_text(json.dumps(SETTINGS), encoding="utf-8")
    environment = os.environ | {"HOME": str(folder), "EXTENSIONS_GALLERY": "{}"}
    # The Node of the package that stands beside it, if there is one: the system's may be too old.
    node = Path(PROGRAM).parent / "node"
    start = [str(node) if node.exists() else "node", str(Path(PROGRAM).resolve())]
    kept = [f"--user-data-dir={data}", f"--extensions-dir={folder / 'extensions'}"]
    subprocess.run([*start, *kept, "--install-extension", extension], env=environment, check=True)
    with socket.socket() as free:
        free.bind(("127.0.0.1", 0))
        port = free.getsockname()[1]
    address = f"http://127.0.0.1:{port}"
    quiet = [
        "--auth=none",
        "--disable-telemetry",
        "--disable-update-check",
        "--disable-getting-started-override",
    ]
    process = subprocess.Popen([*start, *kept, *quiet, f"--bind-addr=127.0.0.1:{port}"], env=environment)
    try:
        until("the server", lambda: _answers(address))
        yield address
    finally:
        process.terminate()
        process.wait(30)


def _answers(address: str) -> bool:
    try:
        with urllib.request.urlopen(f"{address}/healthz", timeout=5) as answer:
            return bool(answer.status == 200)
    except (urllib.error.URLError, ConnectionError, TimeoutError):
        return False


def shown(page: Browser) -> str:
    """All text of the page, with the blanks as one reads them."""
    return str(page.run("document.body?.innerText ?? ''")).replace("\u00a0", " ")


def palette(page: Browser, text: str) -> None:
    """Runs a command, as a user does with F1."""
    for kind in ("rawKeyDown", "keyUp"):
        page.call("Input.dispatchKeyEvent", type=kind, key="F1", code="F1", windowsVirtualKeyCode=112)
    until(
        "the palette", lambda: bool(page.run("!!document.querySelector('.quick-input-widget input')")), page
    )
    page.type(text)
    time.sleep(1)
    page.press("Enter")


def picture(page: Browser, name: str) -> None:
    if PICTURES:
        page.shoot(Path(PICTURES) / f"vscode-{name}.png", whole=False)


def test_vscode_shows_findings_hints_device_and_overview_and_applies_an_offer(tmp_path: Path) -> None:
    file = copy_of_sorter(tmp_path)
    with served(tmp_path, build(tmp_path)) as address, browser() as page:
        page.look(1400, 800)
        host = urllib.parse.urlsplit(address).netloc
        query = {
            "folder": str(file.parents[1]),
            "payload": json.dumps([["openFile", f"vscode-remote://{host}{file}"]]),
        }
        page.call("Page.navigate", url=f"{address}/?{urllib.parse.urlencode(query)}")
        until("the hint", lambda: "2 x 1 = 2 block" in shown(page), page)
        # 72 of 96 bulk are more of the device than 41 of 220 block.
        until("the device in the status bar", lambda: "sorter-m · bulk 75 %" in shown(page), page)
        assert "100 % full" in shown(page)

        palette(page, "Problems: Focus on Problems View")
        until("the finding", lambda: "its intent says 256 x 24" in shown(page), page)
        picture(page, "findings")

        # To the declaration, then the light bulb's menu; the offer that mends the intent is its first.
        palette(page, "Go to Line/Column")
        time.sleep(1)
        page.type("24:11")
        page.press("Enter")
        time.sleep(1)
        palette(page, "Quick Fix...")
        menu = "document.querySelector('.action-widget')?.innerText ?? ''"
        until("the offers", lambda: MENDED in str(page.run(menu)).replace("\u00a0", " "), page)
        picture(page, "offers")
        page.press("Enter")
        until("no finding", lambda: "its intent says 256 x 24" not in shown(page), page)
        assert f"//@mem in block; {MENDED}" in shown(page)

        palette(page, "memlint: Which Configuration")
        until("the configuration", lambda: "is judged by" in shown(page), page)
        picture(page, "configuration")

        palette(page, "memlint: Open the Overview Page")
        until("the panel", lambda: bool(page.run("!!document.querySelector('iframe.webview')")), page)
        time.sleep(4)
        picture(page, "overview")
