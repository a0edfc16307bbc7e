"""What the screen needs of the rest of the house, as protocols: whoever fits can drive it, a test or a machine."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from typing import Protocol

from handsfree.nouns import Context, Earcon, EarEvent, Heard, Quantity, Sheet, Speech, Turn, Walk
from handsfree.reckoning.results import Figures, Interval
from handsfree.words.remark_places import Place


class SessionPort(Protocol):
    """handsfree.session.Session, as far as the screen knows it. All calls come from the screen's own thread."""

    @property
    def sheet(self) -> Sheet:
        """What stands now."""
        ...

    @property
    def context(self) -> Context:
        """What is listened for next."""
        ...

    def greeting(self) -> Turn:
        """What to say at the opening; a question that was open is asked again."""
        ...

    def hear(self, heard: Heard) -> Turn:
        """Something said; raises DiskTrouble if it could not be kept, and then nothing of it stands."""
        ...

    def typed(self, text: str) -> Turn:
        """The same by keyboard."""
        ...


class ListenerPort(Protocol):
    """handsfree.ears.listening.Listener; `events` runs in a thread of its own, the rest is called from others."""

    @property
    def hearing(self) -> bool:
        """Whether somebody is in the middle of a sentence: better not to talk now."""
        ...

    def events(self) -> Iterator[EarEvent]:
        """Ends when the listening ends."""
        ...

    def close_ears(self) -> None: ...

    def open_ears(self) -> None: ...

    def mute(self, on: bool) -> None: ...

    def close(self) -> None:
        """Ends `events`."""
        ...


class SpeakerPort(Protocol):
    """handsfree.voice.speaker.Speaker; calls return when the sound is over, and never raise."""

    @property
    def trouble(self) -> str:
        """Why the last sound was not heard; "" when it was."""
        ...

    def say(self, text: str) -> None: ...

    def earcon(self, which: Earcon) -> None: ...

    def play(self, pcm: bytes, rate: int) -> None:
        """A clip (16-bit little-endian mono), to its end."""
        ...

    def stop(self) -> None:
        """Cut short what is being said or played."""
        ...


class RemarksPort(Protocol):
    """handsfree.remarks.Remarks; what cannot be done raises HandsfreeError. `words_by_machine` is called from a
    thread of its own, the rest from the screen's."""

    @property
    def general_model(self) -> str:
        """ "" = there is none to write remarks down."""
        ...

    def write(self, number: int, text: str) -> None: ...

    def put(self, number: int, place: Place) -> None: ...

    def sound(self, number: int) -> tuple[bytes, int]:
        """16-bit little-endian mono, and its rate in hertz."""
        ...

    def words_by_machine(self, number: int) -> str: ...

    def write_by_machine(self, number: int, words: str) -> None: ...


@dataclass(frozen=True, slots=True)
class Look:
    """What a screen is opened with."""

    title: str = ""
    """The instrument, as the person named it."""
    opened: str = ""
    """What to know of the sitting until something is said; "" = nothing."""
    new_sitting: bool = False
    """Whether a new sitting can be begun from here (see `app.run`)."""
    dark: bool = True
    wanted: frozenset[Quantity] = frozenset({Quantity.DOWN, Quantity.UP})
    """What makes a key complete in this pass."""
    voiced: frozenset[Speech] = frozenset({Speech.QUESTION, Speech.REPLY})
    """Which kinds of lines are spoken."""
    figures: Callable[[Sheet], Figures] | None = None
    """What the readings mean; None: the figures page says that there is nothing."""
    torques: Callable[[Sheet], Mapping[int, Interval]] | None = None
    """Key -> friction torque of its flange, mN m, where hammers were weighed."""
    walk: Callable[[], Walk] | None = None
    """The walkthrough as it stands; None: this screen shows none."""
    remarks: RemarksPort | None = None
    """What can be done with spoken remarks; None: nothing here."""
    watch: Callable[[], str] | None = None
    """Asked after each turn: a lasting trouble in one line (sound clips are not kept ...), "" = none."""
