"""Stream time against wall time, with made-up arrivals."""

from __future__ import annotations

import random

import pytest

from handsfree.ears import clock
from handsfree.ears.blocks import BLOCK_SAMPLES, BLOCK_SECONDS, RATE, Block
from handsfree.ears.clock import StreamClock


@pytest.fixture
def now(monkeypatch: pytest.MonkeyPatch) -> list[float]:
    """The wall, to be set."""
    wall = [1000.0]
    monkeypatch.setattr(clock.time, "monotonic", lambda: wall[0])
    return wall


def block(number: int, arrived: float) -> Block:
    return Block(b"", number * BLOCK_SAMPLES, arrived)


def test_late_blocks_do_not_move_the_beginning(now: list[float]) -> None:
    """Blocks are held up by 0 to 200 ms on their way; one that is not at all tells the truth."""
    stream, rng = StreamClock(realtime=True), random.Random(1)
    for number in range(500):
        stream.take(block(number, 1000.0 + (number + 1) * BLOCK_SECONDS + (rng.random() ** 4) * 0.2))
    now[0] = 1012.0
    assert stream.ms_since(10.0) == pytest.approx(2000, abs=5)


def test_a_slow_card_is_followed(now: list[float]) -> None:
    """100 parts in a million for two hours are 0.7 s; a sound card may be off by that."""
    stream = StreamClock(realtime=True)
    blocks = round(7200 / BLOCK_SECONDS)
    for number in range(0, blocks, 1):
        stream.take(block(number, 1000.0 + (number + 1) * BLOCK_SECONDS * 1.0001))
    now[0] = 1000.0 + blocks * BLOCK_SECONDS * 1.0001 + 0.3
    assert stream.ms_since(blocks * BLOCK_SECONDS) == pytest.approx(300, abs=5)


def test_a_device_that_came_back_counts_anew(now: list[float]) -> None:
    stream = StreamClock(realtime=True)
    stream.take(block(0, 1000.02))
    later = 10 * RATE // BLOCK_SAMPLES
    stream.take(block(later, 1010.1))
    now[0] = 1010.5
    assert stream.ms_since(10.02) == pytest.approx(400, abs=1)


def test_a_recording_knows_the_work_only(now: list[float]) -> None:
    stream = StreamClock(realtime=False)
    stream.take(block(0, 999.0))
    now[0] = 1000.25
    assert stream.ms_since(0.0) == pytest.approx(250)
