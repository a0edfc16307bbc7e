"""Made-up readings for the journal's tests."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from decimal import Decimal

from handsfree.nouns import Alternative, Context, Heard, Quantity, Standing, Took, Utterance, Word

RATE = 16_000


def took(key: int, grams: str, quantity: Quantity = Quantity.DOWN, replaces: int | None = None) -> Took:
    return Took(key, quantity, Decimal(grams), Standing.TAKEN, 0.97, replaces)


def heard(text: str, seconds: float = 0.0, context: Context = Context.TOUCH) -> Heard:
    """With a made-up sound of that length, or typed when it is 0."""
    best = Alternative(text, 0.97, (Word(text.split(" ")[0], 0.1, 0.3, 0.9),))
    alternatives = (best, Alternative("", 0.03))
    if not seconds:
        return Heard(alternatives, context, via="keyboard")
    saw = b"".join((i % 200 * 100).to_bytes(2, "little", signed=True) for i in range(int(seconds * RATE)))
    return Heard(alternatives, context, utterance=Utterance(saw, RATE, start=1.25, speech_end=1.25 + seconds))


class Clock:
    """A minute later at each look."""

    def __init__(self) -> None:
        self.time = datetime(2031, 5, 6, 9, 0, tzinfo=UTC)

    def __call__(self) -> datetime:
        self.time += timedelta(minutes=1)
        return self.time
