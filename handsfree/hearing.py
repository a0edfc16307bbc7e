"""Puts ears and voice together: the model, the grammar of each context, a source of sound, the loudspeaker."""

from __future__ import annotations

import tempfile
import threading
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from datetime import datetime, timedelta
from functools import cache
from math import inf
from pathlib import Path

from handsfree.ears.blocks import Source
from handsfree.ears.listening import Listener
from handsfree.ears.model_folder import find_model, find_second_ear, prepare_context, verify
from handsfree.ears.prospects import Prospects
from handsfree.ears.recogniser import VoskRecogniser
from handsfree.ears.second_ear import WEIGHTS, SecondEar
from handsfree.ears.source import FileSource
from handsfree.ears.strict_grammar import (
    UNKNOWN_COSTS,
    WALK_UNKNOWN_COSTS,
    with_other_talk,
    without_epsilons,
)
from handsfree.errors import BadUsage, NoMicrophone
from handsfree.journal.store import local_time
from handsfree.nouns import COUNTING, WALKING, Context, Heard, Speech
from handsfree.settings import Settings
from handsfree.voice.speaker import Speaker, make_speaker
from handsfree.words import grammar
from handsfree.words.count_so_far import counting
from handsfree.words.following import Follower
from handsfree.words.walk_sentences import begins_remark

TOGETHER = (
    (Context.TOUCH, Context.ANSWER),
    (Context.SWINGS, Context.SWINGS_ANSWER),
    (Context.WALKTHROUGH, Context.WALK_ANSWER),
)
"""The contexts of each pass: loaded before listening begins, or the first answer would wait for it."""

VOICED = {
    "never": frozenset[Speech](),
    "questions": frozenset({Speech.QUESTION, Speech.REPLY}),
    "every": frozenset(Speech),
}
"""The setting `read_back` -> the kinds of lines that are spoken."""


@dataclass(frozen=True, slots=True)
class Hearing:
    """A model that is there and whole, with its grammars loaded."""

    name: str
    """Name, version and checksum, for the record."""
    recogniser: VoskRecogniser

    def listener(self, source: Source, context: Callable[[], Context]) -> Listener:
        """`context`: what to listen for, asked at the beginning of each utterance."""
        now = context()
        self.recogniser.warm(*next((those for those in TOGETHER if now in those), TOGETHER[0]))
        prospects = Prospects(grammar.completeness, grammar.chance_of_more, _counting, begins_remark)
        return Listener(source, self.recogniser, prospects, context)


def _counting(text: str, context: Context) -> int | None:
    return counting(text) if context in COUNTING else None


@cache
def _listened_for(context: Context) -> Follower:
    """All that the ear can find in a context, as its strict grammar has it: sentences, other talk, silence."""
    return Follower(without_epsilons(with_other_talk(grammar.automaton(context), UNKNOWN_COSTS)))


def chance_in(context: Context) -> Callable[[str], float] | None:
    """Chances for the passes in which they differ much: where swings are counted, slips are listened for."""
    if context not in COUNTING:
        return None

    def chance(text: str) -> float:
        known = _listened_for(context).log_chance(text.split())
        return -inf if known is None else known

    return chance


def _named(folder: Path, file: str) -> str:
    """Name, version and what the checksum of its largest file begins with; NoModel where it is not whole."""
    manifest = verify(folder)
    return f"{manifest.name} {manifest.version} {manifest.files[file][:16]}"


@contextmanager
def hearing(settings: Settings) -> Iterator[Hearing]:
    """Raises NoModel, before anything else is opened, where there is no usable model."""
    folder = find_model(Path(settings.model).expanduser() if settings.model else None)
    second = find_second_ear()
    name = f"{_named(folder, 'am/final.mdl')}, {_named(second, WEIGHTS)}"
    with tempfile.TemporaryDirectory(prefix="handsfree-") as scratch:

        def prepared(context: Context) -> Path:
            # the walkthrough's language is larger: other talk must be favoured less
            costs = WALK_UNKNOWN_COSTS if context in WALKING else UNKNOWN_COSTS
            place = Path(scratch) / context.name.lower()
            return prepare_context(folder, grammar.automaton(context), place, unknown_costs=costs)

        recogniser = VoskRecogniser(prepared, SecondEar(second), chance_in)
        recogniser.warm(Context.STANDING_BY)
        yield Hearing(name, recogniser)


@contextmanager
def sound(
    file: str | None, settings: Settings, *, realtime: bool, must: bool
) -> Iterator[tuple[Source, Speaker | None]]:
    """Where the sound comes from, and the loudspeaker that belongs to a microphone (a recording has none).

    `must`: without a screen, where nobody could type, a missing microphone is an error at once. Raises NoSound,
    NoMicrophone.
    """
    if file is not None:
        with FileSource(file, realtime=realtime) as source:
            yield source, None
        return
    from handsfree.ears.microphone import Microphone, check

    device = settings.device or None
    if must:
        try:
            check(device)
        except NoMicrophone as error:
            raise NoMicrophone(error.problem, do=f"{error.do} Here: --typed, or --from FILE.") from error
    playing = threading.Lock()
    speaker = make_speaker(
        voice=settings.voice,
        words_a_minute=settings.voice_rate,
        natural_voice=settings.natural_voice,
        earcons=settings.earcons,
        playing=playing,
    )
    microphone = Microphone(device, playing=playing)
    try:
        yield microphone, speaker
    finally:
        microphone.close()


class RecordingClock:
    """The time at which something was said in a recording that began at a known time."""

    def __init__(self, started: datetime) -> None:
        self._now = self._started = started

    def __call__(self) -> datetime:
        return self._now

    def reach(self, heard: Heard) -> None:
        """This was said last."""
        if heard.utterance:
            self._now = self._started + timedelta(seconds=heard.utterance.speech_end)


def clock_of(started: str | None) -> Callable[[], datetime]:
    """The clock for readings' times; `started`: the beginning of the recording, RFC 3339. Raises BadUsage."""
    if started is None:
        return local_time
    try:
        moment = datetime.fromisoformat(started)
    except ValueError:
        moment = None
    if moment is None or moment.tzinfo is None:
        raise BadUsage(f"{started!r} is no time with offset", do="Write it like 2031-05-06T09:00:00+02:00.")
    return RecordingClock(moment)
