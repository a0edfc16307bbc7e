"""Sound to words, by the Vosk recogniser: the only file that knows it.

Each context has its own model folder (the shared net, its own strict grammar), each utterance its own decoder
(making one takes 0.3 ms), so that the same clip always gives the same words, whatever was said before it.
"""

from __future__ import annotations

import json
import threading
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any, Protocol

from handsfree.ears.alternatives import Chance, RawAlternative, as_alternatives
from handsfree.ears.blocks import RATE
from handsfree.ears.second_ear import SecondEar
from handsfree.errors import NoModel
from handsfree.nouns import OTHER_TALK, Alternative, Context, Word

MOST_ALTERNATIVES = 24
"""Ways of hearing an utterance that are asked for: many are twins ("castor", "castors"), to be added up."""


@dataclass(frozen=True, slots=True)
class Hint:
    """What the decoder thinks in the middle of an utterance."""

    text: str
    """The words so far; they lag 0.1 to 0.3 s behind the sound."""
    silent: bool
    """It has seen no speech for the last half second or more."""


class Decoding(Protocol):
    """One utterance under way."""

    def accept(self, pcm: bytes) -> Hint:
        """More sound: 16-bit little-endian mono at 16 kHz."""
        ...

    def finish(self) -> tuple[Alternative, ...]:
        """All that it may have been, best first, never empty. Nothing is accepted afterwards."""
        ...


class Recogniser(Protocol):
    """The seam between sound and words; scripted.py is its stand-in."""

    def begin(self, context: Context) -> Decoding: ...


class VoskRecogniser:
    """One loaded model for each context, made when first needed: that takes a tenth of a second or two, as Vosk
    compiles the net for its grammar. `warm` and `begin` may be called from any thread."""

    def __init__(
        self,
        folder_of: Callable[[Context], Path],
        second: SecondEar | None = None,
        chance_in: Callable[[Context], Chance | None] = lambda context: None,
    ) -> None:
        """`folder_of`: a prepared model folder (see model_folder.py); called for one at a time, may take its time.
        `second`: asked about every finished utterance. `chance_in`: a context's chances (see sureness.GRAMMAR)."""
        self._folder_of = folder_of
        self._second = second
        self._chance_in = chance_in
        self._models: dict[Context, Any] = {}
        self._loading = threading.Lock()

    def warm(self, *contexts: Context) -> None:
        """Load now what would otherwise be loaded at the first word. NoModel where it cannot be."""
        for context in contexts:
            self._model(context)

    def begin(self, context: Context) -> Decoding:
        if context is Context.REMARK:
            return Unheard()
        return _VoskDecoding(self._model(context), self._second, self._chance_in(context))

    def _model(self, context: Context) -> Any:
        with self._loading:
            if context not in self._models:
                self._models[context] = load_model(self._folder_of(context))
            return self._models[context]


SHORTEST_REMARK = 0.5
"""Seconds of sound; what is shorter is a knock."""


class Unheard:
    """A remark: nothing of it is decoded, it is other talk from beginning to end, and stands as sound."""

    def __init__(self, around: float = 2.1, text: str = "") -> None:
        """`around`: seconds before the onset and of the pause at the end, which are no speech; `text`: what was heard
        before, shown meanwhile."""
        self._seconds = -around
        self._text = text

    def accept(self, pcm: bytes) -> Hint:
        self._seconds += len(pcm) / (2 * RATE)
        return Hint(self._text, False)

    def finish(self) -> tuple[Alternative, ...]:
        return (Alternative(OTHER_TALK if self._seconds >= SHORTEST_REMARK else "", 1.0),)


def load_model(folder: Path) -> Any:
    """Vosk's model of a folder, its chatter silenced. NoModel for a folder that is none."""
    import vosk

    vosk.SetLogLevel(-1)
    missing = [name for name in ("am/final.mdl", "conf/model.conf", "graph/Gr.fst") if not (folder / name).is_file()]
    if missing:
        # asked first: Vosk ends the whole program over some of these
        raise NoModel(f"the model folder {folder} lacks {missing[0]}", do="Install handsfree again, or give --model.")
    try:
        return vosk.Model(str(folder))
    except Exception as error:  # the vendor raises nothing narrower
        raise NoModel(f"the model {folder} cannot be loaded ({error})", do="Install handsfree again.") from error


class _VoskDecoding:
    def __init__(self, model: Any, second: SecondEar | None, chance: Chance | None) -> None:
        import vosk

        self._second = second
        self._chance = chance
        self._pcm = bytearray()
        self._decoder = vosk.KaldiRecognizer(model, RATE)
        self._decoder.SetMaxAlternatives(MOST_ALTERNATIVES)
        self._decoder.SetWords(True)

    def accept(self, pcm: bytes) -> Hint:
        self._pcm += pcm
        silent = bool(self._decoder.AcceptWaveform(pcm))
        return Hint(json.loads(self._decoder.PartialResult())["partial"], silent)

    def finish(self) -> tuple[Alternative, ...]:
        found = json.loads(self._decoder.FinalResult()).get("alternatives", [])
        return as_alternatives(map(_raw, found), self._again, self._chance)

    def _again(self, texts: Sequence[str]) -> list[float] | None:
        return self._second.scores(bytes(self._pcm), texts) if self._second else None


def _raw(found: dict[str, Any]) -> RawAlternative:
    words = tuple(Word(w["word"], w["start"], w["end"], 0.0) for w in found.get("result", []))
    return RawAlternative(found["text"].strip(), found["confidence"], words)
