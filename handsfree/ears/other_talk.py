"""Somebody else's talk in the way: the screen says so, else nothing seems to happen. Pure, one step a block."""

from __future__ import annotations

from dataclasses import dataclass, replace

from handsfree.nouns import OTHER_TALK, Context

LONG = 6.0
"""Seconds of it from which on it is told; hardly anybody speaks that long to himself ..."""
FADES = 0.5
"""... where a second of quiet takes away so many: people talk in turns."""
MOST = 9.0
"""Seconds that count at most."""
OVER = 6.0
"""Seconds of quiet after which it is over."""
IN_THE_WAY = "Other talk is in the way: say readings in a pause of it, or say stand by"
NOT_MINDED = frozenset({Context.STANDING_BY, Context.REMARK})
"""Where everything is other talk."""


@dataclass(frozen=True, slots=True)
class OtherTalk:
    seconds: float = 0.0
    """Of talk, less what has faded."""
    quiet: float = 0.0
    """Seconds since it was last heard."""
    told: bool = False

    @property
    def message(self) -> str:
        return IN_THE_WAY if self.told else ""

    def step(self, seconds: float, context: Context | None, text: str) -> OtherTalk:
        """After `seconds` more. `context`: of the utterance under way, None: there is none; `text`: its words so
        far."""
        if context in NOT_MINDED:
            return OtherTalk()
        if context is None:
            quiet = self.quiet + seconds
            left = max(0.0, self.seconds - FADES * seconds)
            return OtherTalk() if quiet >= OVER else replace(self, seconds=left, quiet=quiet)
        if set(text.split()) != {OTHER_TALK}:
            return self
        so_far = min(MOST, self.seconds + seconds)
        return OtherTalk(so_far, told=self.told or so_far >= LONG)

    def heard(self, text: str) -> OtherTalk:
        """After an utterance; whatever was meant for the tool ends the talk."""
        return OtherTalk() if text and OTHER_TALK not in text.split() else self
