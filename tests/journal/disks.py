"""A small disk of its own, to be filled."""

from __future__ import annotations

import os
import shutil
import subprocess
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import pytest


@contextmanager
def small_disk(folder: Path) -> Iterator[Path]:
    """8 MB in memory, mounted at `folder`; skips the test where that is not allowed."""
    if shutil.which("mount") is None or os.name != "posix" or os.geteuid() != 0:
        pytest.skip("needs root, to mount a small disk")
    folder.mkdir()
    done = subprocess.run(["mount", "-t", "tmpfs", "-o", "size=8m", "tmpfs", str(folder)], capture_output=True)
    if done.returncode != 0:
        pytest.skip(f"needs the right to mount a small disk: {done.stderr.decode().strip()}")
    try:
        yield folder
    finally:
        subprocess.run(["umount", str(folder)], check=True)


def fill(disk: Path, leave: int) -> Path:
    """The file that takes up all but `leave` bytes."""
    filler = disk / "filler"
    filler.write_bytes(b"\0" * (shutil.disk_usage(disk).free - leave))
    return filler
