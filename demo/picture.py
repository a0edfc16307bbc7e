"""Makes demo/screen.svg, README's picture, from the running screen: what the demo's recording said, heard again.

    python demo/picture.py
"""

from __future__ import annotations

import argparse
import sys
import tempfile
import tomllib
from pathlib import Path

from handsfree.cli import main as handsfree
from handsfree.journal.reader import JournalReader
from handsfree.nouns import Heard
from handsfree.opening import open_pass, settings_of
from handsfree.screen.picture import picture_now
from handsfree.screen_command import look_of

HERE = Path(__file__).parent
UNTIL = "sixty nine twenty four"
"""The picture is taken at this question."""


def heard_in_the_demo(folder: Path) -> list[Heard]:
    """Everything up to the question, as the recogniser heard it."""
    if handsfree(["demo", "--plain", "--journal", str(folder / "demo.journal")]) != 0:
        sys.exit(1)
    with JournalReader.read(folder / "demo.journal") as journal:
        lines = [line.heard for line in journal.heard_lines()]
    last = next(i for i, heard in enumerate(lines) if heard.text == UNTIL)
    return lines[: last + 1]


def main() -> None:
    script = tomllib.loads((HERE / "script.toml").read_text(encoding="utf-8"))
    with tempfile.TemporaryDirectory() as folder:
        said = heard_in_the_demo(Path(folder))
        args = argparse.Namespace(
            journal=str(Path(folder) / "picture.journal"), instrument=script["instrument"], plan=script["plan"],
            new_sitting=False, weights=None, device=None, model=None, settings=None, follow=None, doing=None,
        )  # fmt: skip
        with open_pass(args, settings_of(args)) as opened:
            svg = picture_now(opened.session, look_of(opened), said)
    (HERE / "screen.svg").write_text(svg, encoding="utf-8")


if __name__ == "__main__":
    main()
