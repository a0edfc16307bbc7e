"""A room without air: a PulseAudio of our own whose loudspeaker is heard by its microphone.

A null sink is the air, a remapped source the microphone; the sound library sees both as the device "pulse". Nothing
of the person's own PulseAudio is touched: own folder, own socket, own process, ended by its own id.
"""

from __future__ import annotations

import os
import shutil
import subprocess
import time
from pathlib import Path

import pytest

TOOLS = ("pulseaudio", "pactl", "paplay")
PATIENCE = 10.0


def skip_without_pulseaudio() -> None:
    """By name; a machine that has PulseAudio and no plug-in or no PortAudio is to fail, not to skip."""
    missing = [tool for tool in TOOLS if shutil.which(tool) is None]
    if missing:
        pytest.skip(f"needs PulseAudio ({', '.join(missing)} not on this machine)")


class VirtualRoom:
    """Start, stop, play into it, pull the microphone out."""

    def __init__(self, folder: Path) -> None:
        self.socket = folder / "native"
        self._folder = folder
        self._server: subprocess.Popen[bytes] | None = None
        self._environ = {
            **os.environ,
            "PULSE_SERVER": f"unix:{self.socket}",
            "PULSE_RUNTIME_PATH": str(folder),
            "XDG_RUNTIME_DIR": str(folder),
            "XDG_CONFIG_HOME": str(folder),
            "HOME": str(folder),
        }

    def start(self) -> None:
        command = ["pulseaudio", "-n", "--daemonize=no", "--use-pid-file=no", "--exit-idle-time=-1"]
        for module in (
            f"module-native-protocol-unix socket={self.socket} auth-anonymous=1",
            "module-null-sink sink_name=air rate=48000",
            "module-remap-source source_name=microphone master=air.monitor",
        ):
            command += ["-L", module]
        with (self._folder / "log").open("ab") as log:
            self._server = subprocess.Popen(
                command, env={k: v for k, v in self._environ.items() if k != "PULSE_SERVER"}, stdout=log, stderr=log
            )
        until = time.monotonic() + PATIENCE
        while "microphone" not in self.control("list", "short", "sources", check=False):
            assert self._server.poll() is None, (self._folder / "log").read_text()
            assert time.monotonic() < until, "PulseAudio did not start"
            time.sleep(0.05)
        self.control("set-default-source", "microphone")
        self.control("set-default-sink", "air")

    def stop(self) -> None:
        """As a crash would: no goodbye to its clients."""
        if self._server is not None:
            self._server.kill()
            self._server.wait(PATIENCE)
            self._server = None
            self.socket.unlink(missing_ok=True)

    def wait_for_listener(self, patience: float) -> None:
        """Until somebody records from the microphone."""
        until = time.monotonic() + patience
        while not self.control("list", "short", "source-outputs"):
            assert time.monotonic() < until, "nobody records from the microphone"
            time.sleep(0.05)

    def control(self, *words: str, check: bool = True) -> str:
        return subprocess.run(
            ["pactl", *words], env=self._environ, capture_output=True, text=True, check=check, timeout=PATIENCE
        ).stdout

    def play(self, path: Path) -> None:
        """A recording into the air; returns when it is over."""
        subprocess.run(["paplay", str(path)], env=self._environ, check=True, timeout=120)
