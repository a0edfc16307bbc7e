"""A piece of sound to be played."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Sound:
    pcm: bytes
    """16-bit little-endian mono."""
    rate: int
    """Hertz."""

    @property
    def seconds(self) -> float:
        return len(self.pcm) / (2 * self.rate)
