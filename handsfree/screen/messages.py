"""What threads send to the screen: they never touch a widget, they post one of these."""

from __future__ import annotations

from textual.message import Message

from handsfree.nouns import EarEvent


class EarSaid(Message):
    """Something from the ears."""

    def __init__(self, event: EarEvent) -> None:
        super().__init__()
        self.event = event


class EarsEnded(Message):
    """The listening is over, with the reason if it is a trouble."""

    def __init__(self, why: str = "") -> None:
        super().__init__()
        self.why = why


class MachineWrote(Message):
    """What a general model made of a remark's sound."""

    def __init__(self, number: int, words: str, trouble: str) -> None:
        super().__init__()
        self.number = number
        self.words = words
        self.trouble = trouble
