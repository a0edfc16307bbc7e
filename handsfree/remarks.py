"""What can be done with remarks after they were made, for the command and the screen alike: hear one, write it down,
have a general speech model of the person's own find its words (marked as the machine's), put it where it belongs.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field
from pathlib import Path
from typing import TYPE_CHECKING

from handsfree.errors import BadUsage
from handsfree.nouns import Fact, Remark, RemarkPlaced, RemarkTyped, Walk
from handsfree.words.remark_places import Place, for_machine, standing

if TYPE_CHECKING:
    from handsfree.ears.dictation import Dictation


@dataclass
class Remarks:
    """The remarks of one sitting. What is asked for and cannot be done raises BadUsage, a full disk DiskTrouble."""

    walk: Callable[[], Walk]
    keep: Callable[[tuple[Fact, ...]], None]
    """Puts facts that nobody said into the journal."""
    clips: Path
    general_model: str = ""
    """Folder of a general Vosk model of the person's own; "" = none."""
    _dictation: Dictation | None = field(default=None, repr=False)

    def remark(self, number: int) -> Remark:
        known = standing(self.walk())
        found = next((remark for remark in known if remark.n == number), None)
        if found is None:
            there = ", ".join(str(remark.n) for remark in known) or "none"
            raise BadUsage(f"there is no remark {number} in this sitting", do=f"There are: {there}.")
        return found

    def write(self, number: int, text: str) -> None:
        """What a person wrote is its words, whatever stood there."""
        self.keep((RemarkTyped(self.remark(number).n, text.strip(), "keyboard"),))

    def put(self, number: int, place: Place) -> None:
        self.keep((RemarkPlaced(self.remark(number).n, place.part, place.item),))

    def sound(self, number: int) -> tuple[bytes, int]:
        """16-bit little-endian mono, and its rate in hertz."""
        from handsfree.journal.clips import read_clip

        remark = self.remark(number)
        if remark.clip is None:
            raise BadUsage(f"remark {remark.n} has no sound", do="It was typed, or its sound could not be kept.")
        try:
            return read_clip(self.clips / remark.clip)
        except OSError as error:
            what = f"cannot read the sound of remark {remark.n} ({error})"
            raise BadUsage(what, do=f"Look into {self.clips}.") from error

    def for_machine(self) -> tuple[int, ...]:
        """Numbers of those that a machine may write down."""
        return tuple(r.n for r in standing(self.walk()) if for_machine(r))

    def words_by_machine(self, number: int) -> str:
        """What the general model hears; takes its time and touches nothing. Raises NoModel too."""
        from handsfree.ears.dictation import Dictation

        pcm, rate = self.sound(number)
        if self._dictation is None:
            self._dictation = Dictation(Path(self.general_model).expanduser())
        return self._dictation.words(pcm, rate)

    def write_by_machine(self, number: int, words: str) -> None:
        """Keeps them, marked, unless there are none or a person was faster."""
        if words and for_machine(self.remark(number)):
            self.keep((RemarkTyped(number, words, "machine"),))
