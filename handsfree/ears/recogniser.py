"""Sound to words, by the Vosk recogniser: the only file that knows it.

Each context has its own model folder (the shared net, its own strict grammar), each utterance its own decoder
(making one takes 0.3 ms), so that the same clip always gives the same words, whatever was said before it.
"""

from __future__ import annotations

import json
import threading
from collections import OrderedDict
from collections.abc import Callable, Hashable
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass
from pathlib import Path
from typing import Any, Protocol

from handsfree.ears.alternatives import RawAlternative, as_alternatives
from handsfree.ears.blocks import RATE
from handsfree.ears.favour import Favour, impartial, no_favour
from handsfree.errors import NoModel
from handsfree.nouns import Alternative, Context, Word

KEPT = 4
"""Grammars with an expectation kept loaded, 9 MB each: going to and fro between two keys loads nothing."""
MOST_ALTERNATIVES = 24
"""Ways of hearing an utterance that are asked for: many are twins ("castor", "castors"), to be added up."""


@dataclass(frozen=True, slots=True)
class Hint:
    """What the decoder thinks in the middle of an utterance."""

    text: str
    """The words so far; they lag 0.2 to 0.4 s behind the sound."""
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

    def expect(self, context: Context, expected: Expected, wait: bool = False) -> None:
        """What the sitting makes likely in the next utterances; `wait`: until it is ready, however long it takes."""
        ...

    def begin(self, context: Context) -> Decoding: ...


Expected = Hashable
"""What the sitting expects, as the words room understands it; None: nothing in particular."""


@dataclass(frozen=True, slots=True)
class Grammar:
    """What to decode with."""

    folder: Path
    """A prepared model folder (see model_folder.py)."""
    favour: Favour = no_favour
    """What the expectation in it is worth to each text."""


@dataclass(frozen=True, slots=True)
class _Loaded:
    model: Any
    favour: Favour


class VoskRecogniser:
    """One loaded model for each context, made when first needed, and one with what is expected there.

    Loading takes a tenth of a second or two (Vosk compiles the net anew), so the grammar of an expectation is made
    and loaded by a thread as soon as the expectation is known; an utterance that begins before it is ready is decoded
    with the one before. `warm`, `expect` and `begin` may be called from any thread.
    """

    def __init__(self, grammar_of: Callable[[Context, Expected], Grammar]) -> None:
        """`grammar_of`: called for one at a time, may take its time."""
        self._grammar_of = grammar_of
        self._plain: dict[Context, _Loaded] = {}
        self._expecting: dict[Context, _Loaded] = {}
        self._wanted: tuple[Context, Expected] | None = None
        self._cached: OrderedDict[tuple[Context, Expected], _Loaded] = OrderedDict()
        self._loading = threading.Lock()
        self._worker = ThreadPoolExecutor(1, "grammar")

    def warm(self, *contexts: Context) -> None:
        """Load now what would otherwise be loaded at the first word. NoModel where it cannot be."""
        for context in contexts:
            self._usual(context)

    def expect(self, context: Context, expected: Expected, wait: bool = False) -> None:
        self._wanted = (context, expected)
        if expected is None:
            self._expecting.pop(context, None)
            return
        if (ready := self._cached.get(self._wanted)) is not None:
            self._expecting[context] = ready
            return
        try:
            job = self._worker.submit(self._prepare, context, expected)
        except RuntimeError:
            return  # closed meanwhile: nothing more will be said
        if wait:
            job.result()

    def begin(self, context: Context) -> Decoding:
        if context is Context.REMARK:
            return Unheard()
        loaded = self._expecting.get(context) or self._usual(context)
        return _VoskDecoding(loaded)

    def close(self) -> None:
        """Ends the thread; its files may be removed then."""
        self._worker.shutdown(cancel_futures=True)

    def _prepare(self, context: Context, expected: Expected) -> None:
        """In the worker: what was wanted last counts, what was overtaken is left out."""
        wanted = (context, expected)
        if wanted != self._wanted:
            return
        if wanted not in self._cached:
            try:
                self._cached[wanted] = self._load(context, expected)
            except (NoModel, OSError):
                return  # an expectation only helps: without it, hearing goes on as before
            if len(self._cached) > KEPT:
                self._cached.popitem(last=False)
        if wanted == self._wanted:
            self._expecting[context] = self._cached[wanted]

    def _usual(self, context: Context) -> _Loaded:
        with self._loading:
            if context not in self._plain:
                self._plain[context] = self._load(context, None)
            return self._plain[context]

    def _load(self, context: Context, expected: Expected) -> _Loaded:
        grammar = self._grammar_of(context, expected)
        return _Loaded(load_model(grammar.folder), grammar.favour)


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
        return (Alternative("[unk]" if self._seconds >= SHORTEST_REMARK else "", 1.0),)


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
    def __init__(self, loaded: _Loaded) -> None:
        import vosk

        self._favour = loaded.favour
        self._decoder = vosk.KaldiRecognizer(loaded.model, RATE)
        self._decoder.SetMaxAlternatives(MOST_ALTERNATIVES)
        self._decoder.SetWords(True)

    def accept(self, pcm: bytes) -> Hint:
        silent = bool(self._decoder.AcceptWaveform(pcm))
        return Hint(json.loads(self._decoder.PartialResult())["partial"], silent)

    def finish(self) -> tuple[Alternative, ...]:
        found = json.loads(self._decoder.FinalResult()).get("alternatives", [])
        return as_alternatives(impartial(_raw(one), self._favour) for one in found)


def _raw(found: dict[str, Any]) -> RawAlternative:
    words = tuple(Word(w["word"], w["start"], w["end"], 0.0) for w in found.get("result", []))
    return RawAlternative(found["text"].strip(), found["confidence"], words)
