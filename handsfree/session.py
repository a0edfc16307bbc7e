"""The one place where the rooms meet: understand, judge, keep, then answer.

`hear` returns only when what was heard and what it became are kept, so whatever is confirmed aloud is on disk. The
sheet is never stored: it is the fold of the journal's facts; a session opened again goes on where the last one was.
"""

from __future__ import annotations

from handsfree.journal.memory import Keeps
from handsfree.journal.sheet import apply, fold
from handsfree.judgement.commands import plan_facts
from handsfree.judgement.dialogue import judge
from handsfree.judgement.limits import Limits
from handsfree.nouns import (
    Alternative,
    Context,
    Earcon,
    Fact,
    Heard,
    Kept,
    Outcome,
    Plan,
    Said,
    Sheet,
    Speech,
    Turn,
    context_of,
)
from handsfree.voice.lines import greeting, voiced
from handsfree.words.grammar import understand


class Session:
    """A pass over one instrument, by voice and by keyboard. Not for two threads at once."""

    def __init__(self, journal: Keeps, limits: Limits | None = None) -> None:
        self._journal = journal
        self._limits = limits or Limits()
        self._sheet = fold(journal.facts())

    @property
    def sheet(self) -> Sheet:
        """All that stands, is asked, and where the pass is."""
        return self._sheet

    @property
    def limits(self) -> Limits:
        return self._limits

    @property
    def context(self) -> Context:
        """What to listen for next."""
        return context_of(self._sheet)

    def greeting(self) -> Turn:
        """What to say at the opening: where the pass goes on; a question that was open is asked again."""
        asking = None if self._sheet.standing_by else self._sheet.asking
        return Turn(
            Outcome.ASKED if asking else Outcome.IGNORED,
            line=greeting(self._sheet),
            speech=Speech.QUESTION if asking else Speech.REPLY,
            earcon=Earcon.QUESTION if asking else None,
            key=asking.question.proposals[0].key if asking else self._sheet.place,
            why=asking.question.why.value if asking else "",
        )

    def hear(self, heard: Heard) -> Turn:
        """What becomes of one thing heard; it is kept when this returns.

        The alternatives are read in the context that they were recognised in. Raises DiskTrouble when it cannot be
        kept: then nothing of it happened, and it may be said again.
        """
        said = tuple((self._understood(a, heard.context), a.share) for a in heard.alternatives)
        turn = voiced(judge(said, self._sheet, self._limits), self._sheet)
        self._fold(self._journal.append(heard, turn.facts))
        return turn

    def typed(self, text: str) -> Turn:
        """A sentence from the keyboard: sure of its words, judged like any other."""
        return self.hear(Heard((Alternative(text, 1.0),), self.context, via="keyboard"))

    def set_plan(self, plan: Plan) -> None:
        """The plan from the command line; the one that is under way goes on where it is."""
        if plan != self._sheet.plan:
            self._keep_unheard(plan_facts(plan, self._sheet, self._limits))

    def _understood(self, alternative: Alternative, context: Context) -> Said:
        return understand(alternative.text, context)

    def _keep_unheard(self, facts: tuple[Fact, ...]) -> None:
        self._fold(self._journal.append_unheard(facts))

    def _fold(self, kept: tuple[Kept, ...]) -> None:
        for one in kept:
            self._sheet = apply(self._sheet, one)
