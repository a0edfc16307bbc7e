"""A recogniser that hears what it is told to: the stand-in for tests and for trying the rest without a model."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from handsfree.ears.blocks import RATE
from handsfree.ears.recogniser import Decoding, Hint
from handsfree.nouns import Alternative, Context

DECODER_WAIT = 0.5
"""Seconds without a new word after which the decoder says that it hears silence, as Vosk's rule 2 does."""


@dataclass(frozen=True, slots=True)
class Script:
    """One utterance as it will be heard."""

    partials: Sequence[tuple[float, str]] = ()
    """(seconds from the beginning of the utterance, the text from then on), in order of time."""
    alternatives: tuple[Alternative, ...] = ()
    """What it is in the end; empty: the last partial, surely."""


class ScriptedRecogniser:
    """Hears one script after the other, whatever the sound; silence when they are used up."""

    def __init__(self, scripts: Iterable[Script]) -> None:
        self._scripts = iter(scripts)
        self.begun: list[Context] = []
        """The context of each utterance so far."""
        self.decodings: list[ScriptedDecoding] = []

    def begin(self, context: Context) -> Decoding:
        self.begun.append(context)
        self.decodings.append(ScriptedDecoding(next(self._scripts, Script())))
        return self.decodings[-1]


class ScriptedDecoding:
    """One utterance of a script."""

    def __init__(self, script: Script) -> None:
        self._script = script
        self.pcm = bytearray()
        """All that was accepted."""

    def accept(self, pcm: bytes) -> Hint:
        self.pcm += pcm
        changed, text = self._at(len(self.pcm) / (2 * RATE))
        return Hint(text, len(self.pcm) / (2 * RATE) - changed >= DECODER_WAIT)

    def finish(self) -> tuple[Alternative, ...]:
        _, text = self._at(float("inf"))
        return self._script.alternatives or (Alternative(text, 1.0),)

    def _at(self, seconds: float) -> tuple[float, str]:
        """When the text last changed, and what it is."""
        past = [(when, text) for when, text in self._script.partials if when <= seconds]
        return past[-1] if past else (0.0, "")
