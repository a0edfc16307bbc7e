"""A headless Chromium, led over a pipe by its debugging protocol: pages at any width, in any scheme, on any paper."""

from __future__ import annotations

import base64
import json
import os
import select
import subprocess
import sys
import time
from pathlib import Path
from typing import Any

FLAGS = (
    "--headless", "--no-sandbox", "--disable-gpu", "--no-first-run", "--disable-background-networking",
    "--disable-component-update", "--disable-sync", "--disable-dev-shm-usage", "--hide-scrollbars",
    "--remote-debugging-pipe",
)  # fmt: skip
LAUNCH = """
import fcntl, os, sys
to, out = (fcntl.fcntl(int(n), fcntl.F_DUPFD, 10) for n in sys.argv[1:3])
os.dup2(to, 3)
os.dup2(out, 4)
os.execv(sys.argv[3], sys.argv[3:])
"""
"""The protocol's pipes are descriptors 3 (to the browser) and 4 (from it); duplicates keep clear of both."""
PATIENCE = 120.0
"""Seconds for one answer: these machines are shared."""


class Browser:
    """One browser with one page in it."""

    def __init__(self, program: str, folder: Path) -> None:
        ours_in, theirs_out = os.pipe()
        theirs_in, self._to = os.pipe()
        self._from, self._rest, self._number = ours_in, b"", 0
        self._folder = folder
        command = [program, *FLAGS, f"--user-data-dir={folder / 'profile'}", "about:blank"]
        quiet = subprocess.DEVNULL
        launch = [sys.executable, "-c", LAUNCH, str(theirs_in), str(theirs_out), *command]
        self._process = subprocess.Popen(launch, pass_fds=(theirs_in, theirs_out), stdout=quiet, stderr=quiet)
        os.close(theirs_in)
        os.close(theirs_out)
        self._session = ""

    def __enter__(self) -> Browser:
        target = next(t for t in self._ask("Target.getTargets")["targetInfos"] if t["type"] == "page")
        self._session = self._ask("Target.attachToTarget", targetId=target["targetId"], flatten=True)["sessionId"]
        return self

    def __exit__(self, *_: object) -> None:
        os.close(self._to)  # it ends by itself when nobody leads it any more
        os.close(self._from)
        try:
            self._process.wait(20)
        except subprocess.TimeoutExpired:
            self._process.kill()
            self._process.wait()

    def show(self, page: str, width: int = 1280, height: int = 900) -> None:
        """Load a page, of this width in CSS pixels."""
        file = self._folder / "page.html"
        file.write_text(page, encoding="utf-8")
        self.resize(width, height)
        self.page("Page.navigate", url=file.as_uri())
        until = time.monotonic() + PATIENCE
        while self.evaluate("document.readyState + location.href") != f"complete{file.as_uri()}":
            assert time.monotonic() < until, "the page does not load"
            time.sleep(0.05)

    def resize(self, width: int, height: int = 900) -> None:
        self.page(
            "Emulation.setDeviceMetricsOverride", width=width, height=height, deviceScaleFactor=1, mobile=width < 600
        )

    def prefer(self, media: str = "", **features: str) -> None:
        """`media`: "print" or "screen"; features such as prefers_color_scheme="dark", forced_colors="active"."""
        wanted = [{"name": name.replace("_", "-"), "value": value} for name, value in features.items()]
        self.page("Emulation.setEmulatedMedia", media=media, features=wanted)

    def evaluate(self, expression: str) -> Any:
        """The value of a JavaScript expression in the page."""
        answer = self.page("Runtime.evaluate", expression=expression, returnByValue=True)
        assert "exceptionDetails" not in answer, answer
        return answer["result"].get("value")

    def picture(self, whole: bool = True) -> bytes:
        """PNG."""
        return base64.b64decode(
            self.page("Page.captureScreenshot", format="png", captureBeyondViewport=whole)["data"]
        )

    def printed(self, wide: float, high: float) -> bytes:
        """PDF on paper of this size, inches."""
        answer = self.page(
            "Page.printToPDF", paperWidth=wide, paperHeight=high, printBackground=True, preferCSSPageSize=False
        )
        return base64.b64decode(answer["data"])

    def page(self, method: str, **parameters: Any) -> dict[str, Any]:
        return self._ask(method, self._session, **parameters)

    def _ask(self, method: str, session: str | None = None, **parameters: Any) -> dict[str, Any]:
        self._number += 1
        message: dict[str, Any] = {"id": self._number, "method": method, "params": parameters}
        if session:
            message["sessionId"] = session
        text = json.dumps(message).encode() + b"\0"
        while text:
            text = text[os.write(self._to, text) :]
        while True:
            answer = json.loads(self._line())
            if answer.get("id") == self._number:
                assert "error" not in answer, answer
                result: dict[str, Any] = answer["result"]
                return result

    def _line(self) -> bytes:
        until = time.monotonic() + PATIENCE
        while b"\0" not in self._rest:
            ready, _, _ = select.select([self._from], [], [], max(0.0, until - time.monotonic()))
            assert ready, "the browser does not answer"
            more = os.read(self._from, 1 << 16)
            assert more, "the browser has gone"
            self._rest += more
        line, _, self._rest = self._rest.partition(b"\0")
        return line
