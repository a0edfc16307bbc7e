"""What every source of sound gives: blocks of 20 ms in the model's own format, with their place in time.

Microphone, file and stand-in all speak this, so that there is one path from here on: what is tested with a file is
what listens in the workshop.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Protocol

from handsfree.nouns import EarChanged

RATE = 16_000
"""Hertz: what the model was trained on."""
BLOCK_SAMPLES = 320
"""20 ms: short enough to react in time, long enough to measure a level."""
BLOCK_BYTES = 2 * BLOCK_SAMPLES
BLOCK_SECONDS = BLOCK_SAMPLES / RATE


@dataclass(frozen=True, slots=True)
class Block:
    """20 ms of sound."""

    pcm: bytes
    """16-bit little-endian mono at RATE, BLOCK_SAMPLES long."""
    position: int
    """Samples since listening began, of its first sample. Never goes back; jumps over time without a device."""
    arrived: float
    """When it came, on the monotonic clock, in seconds."""

    @property
    def end(self) -> float:
        """Seconds since listening began, of its end."""
        return (self.position + BLOCK_SAMPLES) / RATE


class Source(Protocol):
    """Where sound comes from."""

    @property
    def realtime(self) -> bool:
        """Whether sound comes at its own speed, or as fast as it is taken."""
        ...

    @property
    def open_air(self) -> bool:
        """Whether our own loudspeaker can be heard in it; only then must the ears close while we speak."""
        ...

    def blocks(self) -> Iterator[Block | EarChanged]:
        """Sound and what happens to the device, until the sound ends or `close` is called."""
        ...

    def close(self) -> None:
        """End `blocks`; may be called from another thread, and more than once."""
        ...
