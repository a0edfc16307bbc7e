"""Stream time to wall time: how long ago was a moment of the sound?"""

from __future__ import annotations

import time

from handsfree.ears.blocks import BLOCK_SECONDS, Block

DRIFT = 200e-6
"""Seconds a second that a sound card's clock and the machine's may differ by."""


class StreamClock:
    """Watches blocks arrive.

    Of a source in real time, the block that was least late tells when the stream began; later ones only were held up
    on their way. Of any other source, only the time since its last block was taken is known, and that is processing.
    """

    def __init__(self, realtime: bool) -> None:
        self._realtime = realtime
        self._began = float("inf")
        self._last_end = 0.0
        self._last_taken = 0.0

    def take(self, block: Block) -> None:
        if block.end - self._last_end > 2 * BLOCK_SECONDS:
            self._began = float("inf")  # a device came back: its delay is another one
        self._last_end = block.end
        self._last_taken = time.monotonic()
        self._began = min(self._began + DRIFT * BLOCK_SECONDS, block.arrived - block.end)

    def ms_since(self, seconds: float) -> float:
        """Milliseconds from a moment of the stream, in seconds since listening began, until now."""
        since = self._began + seconds if self._realtime else self._last_taken
        return max(0.0, (time.monotonic() - since) * 1000)
