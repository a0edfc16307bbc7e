"""A real process takes a pass and is killed, again and again: what it confirmed is there, and the plan goes on."""

from __future__ import annotations

import json
import os
import random
import signal
import subprocess
import sys
import threading
from dataclasses import dataclass, field
from decimal import Decimal
from itertools import zip_longest
from pathlib import Path

import pytest

from handsfree.errors import JournalUnreadable
from handsfree.journal.reader import JournalReader
from handsfree.journal.sheet import fold
from handsfree.nouns import Quantity

KILLS = 60
SEED = 88
LINES = 8
"""What a run is given; it is killed somewhere among them."""
LAST_KEY_TO_BEGIN_AT = 88 - LINES
UNITS = ["", "one", "two", "three", "four", "five"]


@dataclass
class Pass:
    """What must stand, by this test's own simple rules: a reading goes to the next key, a correction to the last."""

    place: int = 1
    standing: dict[tuple[int, Quantity], Decimal] = field(default_factory=dict)

    def take(self, correction: bool, down: Decimal, up: Decimal) -> int:
        key = self.place - 1 if correction else self.place
        self.standing |= {(key, Quantity.DOWN): down, (key, Quantity.UP): up}
        self.place = key + 1
        return key


@dataclass(frozen=True)
class Line:
    text: str
    correction: bool
    down: Decimal
    up: Decimal


def made_lines(chance: random.Random, count: int, correction_first: bool) -> list[Line]:
    lines = []
    for i in range(count):
        unit, half, up = chance.randrange(6), chance.random() < 0.5, chance.randrange(6)
        correction = (i > 0 or correction_first) and chance.random() < 0.2
        words = ["correction"] * correction + ["fifty", UNITS[unit]] + ["and a half"] * half + ["twenty", UNITS[up]]
        down = Decimal(50 + unit) + (Decimal("0.5") if half else 0)
        lines.append(Line(" ".join(w for w in words if w), correction, down, Decimal(20 + up)))
    return lines


def killed(journal: Path, lines: list[Line], chance: random.Random, new_sitting: bool) -> list[dict[str, object]]:
    """One run of the real command, killed at a random moment: the turns that it had confirmed until then.

    A third of the kills fall anywhere from the start of the process on, the others right after a confirmation.
    """
    command = [sys.executable, "-m", "handsfree", "listen", "--typed", "--plain", "--journal", str(journal)]
    command += ["--plan", "every", "--instrument", "made up"] + ["--new-sitting"] * new_sitting
    by_time = chance.random() < 1 / 3
    enough = len(lines) + 1 if by_time else chance.randint(1, len(lines))
    patience = chance.uniform(0, 0.8) if by_time else chance.uniform(0, 0.004)
    pipe = subprocess.PIPE
    confirmed = []
    with subprocess.Popen(command, stdin=pipe, stdout=pipe, stderr=pipe) as process:
        assert process.stdin
        assert process.stdout
        assert process.stderr
        process.stdin.write("".join(line.text + "\n" for line in lines).encode())
        process.stdin.flush()
        killer = threading.Timer(patience, process.kill)
        if by_time:
            killer.start()
        for line in process.stdout:
            if line.endswith(b"\n"):  # else cut off: not confirmed
                confirmed.append(json.loads(line))
                if len(confirmed) == enough:
                    killer.start()
        killer.join()
        complaint = process.stderr.read().decode()
    assert (process.returncode, complaint) == (-signal.SIGKILL, "")
    return confirmed


@dataclass
class Found:
    """What the journal says after a kill; an empty one when the process died before there was a journal."""

    lines: int = 0
    sittings: int = 0
    standing: dict[tuple[int, Quantity], Decimal | None] = field(default_factory=dict)
    place: int | None = None


def found_in(journal: Path) -> Found:
    try:
        with JournalReader.read(journal) as reader:
            sheet = fold(reader.facts())
            values = {place: entry.value for place, entry in sheet.standing.items()}
            return Found(len(list(reader.heard_lines())), len(reader.sittings()), values, sheet.place)
    except JournalUnreadable:
        return Found()


@pytest.mark.skipif(os.name != "posix", reason="needs SIGKILL")
def test_killed_at_any_moment_nothing_confirmed_is_lost(tmp_path: Path) -> None:
    journal = tmp_path / "pass.journal"
    chance = random.Random(SEED)
    expected, before = Pass(), Found()
    confirmed = unconfirmed = 0
    for _ in range(KILLS):
        fresh = expected.place > LAST_KEY_TO_BEGIN_AT
        lines = made_lines(chance, LINES, correction_first=expected.place > 1 and not fresh)
        turns = killed(journal, lines, chance, new_sitting=fresh)
        found = found_in(journal)
        if found.sittings > before.sittings:
            expected, before = Pass(), Found(sittings=found.sittings)
        kept = found.lines - before.lines
        assert len(turns) <= kept <= len(turns) + 1, "kept first, then confirmed, one at a time"
        for line, said in zip_longest(lines[:kept], turns):
            key = expected.take(line.correction, line.down, line.up)
            if said:
                assert (said["outcome"] in ("taken", "corrected"), said["key"], said["heard"]) == (
                    True,
                    key,
                    line.text,
                )
        assert found.standing == expected.standing
        if found.lines:
            assert found.place == expected.place, "the plan goes on at the right key"
        confirmed += len(turns)
        unconfirmed += kept - len(turns)
        before = found
    print(f"{KILLS} kills, {confirmed} readings confirmed, {unconfirmed} kept but not yet confirmed")
    assert confirmed > KILLS
