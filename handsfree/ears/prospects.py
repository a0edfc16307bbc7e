"""What the grammar says of the words so far, for the endpointer: does the sentence go on, is it a count?"""

from __future__ import annotations

from collections.abc import Callable

from handsfree.ears.beat import Beat, patience, seen
from handsfree.ears.endpoint import Moment
from handsfree.ears.recogniser import Hint
from handsfree.nouns import Completeness, Context


class Prospects:
    """What the grammar says of a text so far: functions of the words room, or stand-ins.

    The last answer is remembered, since the text changes far less often than blocks come.
    """

    def __init__(
        self,
        completeness: Callable[[str, Context], Completeness],
        chance_of_more: Callable[[str, Context], float] = lambda text, context: 0.6,
        counting: Callable[[str, Context], int | None] = lambda text, context: None,
        begins_remark: Callable[[str, Context], bool] = lambda text, context: False,
    ) -> None:
        """`counting`: where the count in a text is (0: it is to begin again); None: there is no count in it.
        `begins_remark`: whether what goes on from there is a remark, kept as sound."""
        self.begins_remark = begins_remark
        self._completeness = completeness
        self._chance_of_more = chance_of_more
        self._asked: tuple[str, Context] | None = None
        self._answer = (Completeness.NOTHING, 0.0)
        self._counting = counting
        self._number: int | None = None
        self._beat = Beat()

    def moment(self, level: float, hint: Hint, context: Context, at: float = 0.0) -> Moment:
        """What the endpointer needs to know of one block, `at` seconds after the utterance began."""
        if context is Context.REMARK:
            return Moment(level, hint.text, free=True)
        question = (hint.text, context)
        if question != self._asked:
            self._answer = (self._completeness(*question), self._chance_of_more(*question))
            self._number = self._counting(*question)
            self._asked = question
        if self._number is None:
            self._beat = Beat()
            return Moment(level, hint.text, *self._answer, hint.silent)
        self._beat = seen(self._beat, at, self._number)
        return Moment(level, hint.text, *self._answer, hint.silent, patience(self._beat))
