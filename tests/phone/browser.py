"""A headless browser with a small screen and a finger, driven by its own debugging protocol."""

from __future__ import annotations

import base64
import json
import os
import shlex
import shutil
import subprocess
import tempfile
import time
from collections.abc import Iterator
from contextlib import contextmanager
from functools import cache
from pathlib import Path

NAMES = ("chromium", "chromium-browser", "google-chrome", "chrome")
"""What the program may be called; Debian's is the first."""
WIDE_PX, HIGH_PX = 360, 740
PATIENCE_S = 60.0


@cache
def browser_found() -> str | None:
    """Path of a browser, None where there is none, or but a stub that asks to install one."""
    paths = (path for name in NAMES if (path := shutil.which(name)))
    return next((path for path in paths if _says_its_version(path)), None)


def _says_its_version(path: str) -> bool:
    asked = subprocess.run([path, "--version"], capture_output=True, check=False)
    return asked.returncode == 0


class Page:
    """One page of the browser."""

    def __init__(self, read, write) -> None:
        self._read, self._write = read, write
        self._rest, self._number = b"", 0
        self.session = ""
        self.events: list[dict] = []

    def call(self, method: str, **params):
        """Ask the browser for something and wait for its answer."""
        self._number += 1
        asked = {"id": self._number, "method": method, "params": params}
        if self.session:
            asked["sessionId"] = self.session
        self._write.write(json.dumps(asked).encode() + b"\0")
        self._write.flush()
        while True:
            heard = self._hear()
            if heard.get("id") == self._number:
                assert "error" not in heard, (method, heard["error"])
                return heard["result"]
            self.events.append(heard)

    def _hear(self) -> dict:
        while b"\0" not in self._rest:
            piece = os.read(self._read.fileno(), 1 << 20)
            assert piece, "the browser has gone"
            self._rest += piece
        whole, _, self._rest = self._rest.partition(b"\0")
        return json.loads(whole)

    def open(self, path: Path, address: str = "") -> None:
        """Open a file afresh, at an address within it."""
        self.call("Page.navigate", url="about:blank")
        self.call("Page.navigate", url=f"{path.as_uri()}{address}")
        self.wait("document.readyState === 'complete'")

    def go(self, address: str) -> None:
        """Follow an address within the file: '#/wire/106'."""
        self.run(f"location.hash = {json.dumps(address)}")
        self.wait("new Promise(done => setTimeout(() => done(true), 30))")

    def run(self, expression: str):
        """The value of an expression in the page."""
        found = self.call(
            "Runtime.evaluate", expression=expression, returnByValue=True, awaitPromise=True
        )
        assert "exceptionDetails" not in found, found["exceptionDetails"]
        return found["result"].get("value")

    def wait(self, expression: str) -> None:
        """Wait until an expression is true."""
        until = time.monotonic() + PATIENCE_S
        while not self.run(expression):
            assert time.monotonic() < until, expression
            time.sleep(0.02)

    def text(self, selector: str = "main") -> str:
        """What can be read of an element."""
        return self.run(f"document.querySelector({json.dumps(selector)}).innerText")

    def tap(self, selector: str, containing: str = "") -> None:
        """Put a finger on the first element of a kind that shows a text; it must be hit."""
        spot = self.run(
            f"""(() => {{
              const said = {json.dumps(containing)};
              const all = [...document.querySelectorAll({json.dumps(selector)})]
                .filter(e => e.checkVisibility() && e.textContent.includes(said));
              if (!all.length) return null;
              all[0].scrollIntoView({{block: "center", inline: "center"}});
              const box = all[0].getBoundingClientRect();
              const [x, y] = [box.x + box.width / 2, box.y + box.height / 2];
              const hit = document.elementFromPoint(x, y);
              return {{x, y, hit: all[0].contains(hit) || (hit && hit.contains(all[0]))}};
            }})()"""
        )
        assert spot, f"no {selector} with “{containing}” to be seen"
        assert spot["hit"], f"something lies over {selector} with “{containing}”"
        self.tap_at(spot["x"], spot["y"])

    def tap_at(self, x: float, y: float) -> None:
        """Put a finger down and lift it."""
        self.call("Input.dispatchTouchEvent", type="touchStart", touchPoints=[{"x": x, "y": y}])
        self.call("Input.dispatchTouchEvent", type="touchEnd", touchPoints=[])
        self.wait("new Promise(done => setTimeout(() => done(true), 40))")

    def touch(self, kind: str, *points: tuple[float, float]) -> None:
        """Fingers down, moved or up at places."""
        fingers = [{"x": x, "y": y, "id": n} for n, (x, y) in enumerate(points)]
        self.call("Input.dispatchTouchEvent", type=kind, touchPoints=fingers)

    def key(self, name: str, code: int) -> None:
        """Press a key of the keyboard."""
        for kind in ("keyDown", "keyUp"):
            more = {"text": "\r"} if name == "Enter" and kind == "keyDown" else {}
            self.call(
                "Input.dispatchKeyEvent",
                type=kind,
                key=name,
                code=name,
                windowsVirtualKeyCode=code,
                **more,
            )

    def type(self, selector: str, text: str) -> None:
        """Write into a field that was emptied before."""
        self.run(
            f"(e => {{ e.focus(); e.value = ''; }})(document.querySelector({json.dumps(selector)}))"
        )
        self.call("Input.insertText", text=text)
        self.wait("new Promise(done => setTimeout(() => done(true), 30))")

    def media(self, kind: str = "", scheme: str = "light") -> None:
        """Show as on a screen or in print, on a light or dark phone."""
        self.call(
            "Emulation.setEmulatedMedia",
            media=kind,
            features=[{"name": "prefers-color-scheme", "value": scheme}],
        )

    def picture(self, path: Path, whole: bool = False) -> None:
        """Keep what is on the screen, or all of the page, as a PNG."""
        shot = self.call("Page.captureScreenshot", format="png", captureBeyondViewport=whole)
        path.write_bytes(base64.b64decode(shot["data"]))

    def asked_for(self) -> list[str]:
        """Everything that the page asked for since it was opened, but itself and what it holds."""
        return [
            event["params"]["request"]["url"]
            for event in self.events
            if event.get("method") == "Network.requestWillBeSent"
            and event["params"].get("type") != "Document"
            and not event["params"]["request"]["url"].startswith("data:")
        ]

    def complaints(self) -> list[str]:
        """What the browser found wrong with the page and its script."""
        return [
            json.dumps(event["params"])
            for event in self.events
            if event.get("method") in ("Runtime.exceptionThrown", "Log.entryAdded")
        ]


@contextmanager
def browsing() -> Iterator[Page]:
    """A browser with one page of a phone's size; it is ended, with all it keeps, at the end."""
    program = browser_found()
    assert program
    to_browser, from_us = os.pipe()
    to_us, from_browser = os.pipe()
    with tempfile.TemporaryDirectory(ignore_cleanup_errors=True) as home:
        words = [
            program,
            "--headless=new",
            "--no-sandbox",
            "--disable-gpu",
            "--disable-dev-shm-usage",
            "--no-first-run",
            "--disable-background-networking",
            "--disable-component-update",
            "--hide-scrollbars",
            f"--user-data-dir={home}",
            "--remote-debugging-pipe",
            "about:blank",
        ]
        started = subprocess.Popen(
            ["bash", "-c", f"exec {shlex.join(words)} 3<&{to_browser} 4>&{from_browser}"],
            pass_fds=(to_browser, from_browser),
            stdout=subprocess.DEVNULL,
            stderr=subprocess.DEVNULL,
            # Pages of the book are set with no font of the machine; a telephone has its own.
            env={k: v for k, v in os.environ.items() if k != "FONTCONFIG_FILE"},
        )
        os.close(to_browser)
        os.close(from_browser)
        with os.fdopen(to_us, "rb", 0) as read, os.fdopen(from_us, "wb") as write:
            page = Page(read, write)
            try:
                _begin(page)
                yield page
                page.session = ""
                page.call("Browser.close")
            finally:
                try:
                    started.wait(10)
                except subprocess.TimeoutExpired:
                    started.kill()
                    started.wait()


def _begin(page: Page) -> None:
    """A page as wide as a small phone, with a finger in place of a mouse."""
    target = page.call("Target.createTarget", url="about:blank")["targetId"]
    session = page.call("Target.attachToTarget", targetId=target, flatten=True)
    page.session = session["sessionId"]
    for room in ("Page", "Runtime", "Network", "Log"):
        page.call(f"{room}.enable")
    page.call(
        "Emulation.setDeviceMetricsOverride",
        width=WIDE_PX,
        height=HIGH_PX,
        deviceScaleFactor=2,
        mobile=True,
    )
    page.call("Emulation.setTouchEmulationEnabled", enabled=True)
    page.media()
