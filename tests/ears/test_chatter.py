"""C libraries may not spoil the screen, and Python's own words must still come through."""

from __future__ import annotations

import subprocess
import sys

CODE = """
import os, sys
from handsfree.ears.chatter import hush_native_chatter
os.write(2, b"before;")
hush_native_chatter()
os.write(2, b"a library speaks;")
print("python speaks;", end="", file=sys.stderr)
print("the screen is drawn", end="", file=sys.__stderr__)
assert sys.__stderr__.fileno() != 2
"""


def test_only_python_is_heard_afterwards() -> None:
    done = subprocess.run([sys.executable, "-c", CODE], capture_output=True, text=True, check=True)
    assert done.stderr == "before;python speaks;the screen is drawn"


def test_nothing_happens_without_a_standard_error() -> None:
    closed = "import os; os.close(2); from handsfree.ears.chatter import hush_native_chatter; hush_native_chatter()"
    subprocess.run([sys.executable, "-c", closed], check=True)
