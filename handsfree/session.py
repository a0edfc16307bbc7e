"""The one place where the rooms meet: understand, judge, keep, then answer.

`hear` returns only when what was heard and what it became are kept, so whatever is confirmed aloud is on disk. The
sheet is never stored: it is the fold of the journal's facts; a session opened again goes on where the last one was.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from functools import partial

from handsfree.ears.beside_words import sounds_after, unclear_before
from handsfree.ears.one_voice import of_one_voice
from handsfree.journal.memory import Keeps
from handsfree.journal.sheet import apply, fold
from handsfree.journal.walk import walk_apply, walk_fold
from handsfree.judgement.around import Around
from handsfree.judgement.commands import plan_facts
from handsfree.judgement.count_ways import swings_within
from handsfree.judgement.dialogue import judge
from handsfree.judgement.limits import HEARD_WELL, Limits
from handsfree.judgement.new_sitting import asked_back, new_sitting
from handsfree.judgement.one_breath import not_moved, together
from handsfree.judgement.this_pass import in_pass, pass_facts
from handsfree.judgement.walk import judge_walk
from handsfree.judgement.walk_meanings import Trade
from handsfree.nouns import (
    COUNTING,
    WALKING,
    Alternative,
    Context,
    Counted,
    Earcon,
    Fact,
    GoTo,
    Heard,
    Kept,
    NewSitting,
    Noted,
    Outcome,
    Pass,
    PassSet,
    Plan,
    Puzzle,
    Reading,
    Said,
    Same,
    Sheet,
    Speech,
    Turn,
    Walk,
    context_of,
    walk_context_of,
)
from handsfree.voice.lines import greeting, voiced
from handsfree.voice.walk_lines import walk_greeting, walk_voiced
from handsfree.words import parts
from handsfree.words.count_times import joined, timed
from handsfree.words.flowing import in_one_flow
from handsfree.words.grammar import understand
from handsfree.words.one_breath import pieces

NOTE_HEARD = 0.2
"""Share of the recogniser from which on what was not understood may have been a note."""
TRADE = Trade(parts.route, parts.contradictory, parts.belongs, parts.ordinary)


class Session:
    """A pass over one instrument, by voice and by keyboard. Not for two threads at once."""

    def __init__(
        self, journal: Keeps, limits: Limits | None = None, *, renewable: bool = False, news: str = ""
    ) -> None:
        """`renewable`: whoever runs it begins a new sitting when that is taken; `news`: the greeting says this
        first."""
        self._journal = journal
        self._limits = limits or Limits()
        facts = tuple(journal.facts())
        self._sheet, self._walk = fold(facts), walk_fold(facts)
        self._count: tuple[Counted, float] | None = None
        """The count just taken, and when its utterance began: a late number may still join it."""
        self._notes: tuple[tuple[int, float], ...] = ()
        """What the note said last may have been, where that was not sure: what is said of no key may be of it."""
        self._news = news
        self._renewable, self._new_sitting_asked = renewable, False
        self._around = Around()
        """What was heard just before tells something of what is heard now."""

    @property
    def sheet(self) -> Sheet:
        """All that stands, is asked, and where the pass is."""
        return self._sheet

    @property
    def walk(self) -> Walk:
        """The same of the walkthrough."""
        return self._walk

    @property
    def limits(self) -> Limits:
        return self._limits

    @property
    def context(self) -> Context:
        """What to listen for next."""
        return walk_context_of(self._walk) if self._walking else context_of(self._sheet)

    @property
    def _walking(self) -> bool:
        return self._sheet.doing is Pass.WALKTHROUGH

    def greeting(self) -> Turn:
        """What to say at the opening: where the pass goes on; a question that was open is asked again."""
        greeting = self._walk_greeting() if self._walking else self._keys_greeting()
        return replace(greeting, line=" ".join(filter(None, (self._news, greeting.line))))

    def _keys_greeting(self) -> Turn:
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

        The alternatives are read in the context that they were recognised in. Raises DiskTrouble or JournalBusy when
        it cannot be kept: then nothing of it happened, and it may be said again. Of several keys in one breath, each
        is kept as if it had been said alone: those before the trouble stand.
        """
        if heard.context not in COUNTING:
            return self._hear(heard)
        first, *more = pieces(heard, partial(understand, context=heard.context))
        turn = self._hear(first, goes_on=bool(more))
        for n, piece in enumerate(more, start=1):
            turn = together(turn, self._hear(replace(piece, context=self.context), goes_on=n < len(more)))
        return turn

    def _hear(self, heard: Heard, goes_on: bool = False) -> Turn:
        """`goes_on`: another key was named in the same breath."""
        said = tuple(
            (one, a.share * share)
            for a in heard.alternatives
            for one, share in self._ways(self._understood(a, heard))
        )
        walking = heard.context in WALKING or (heard.context is Context.STANDING_BY and self._walking)
        if walking:
            limits = self._around.walk_limits(self._limits, heard, self._walk)
            turn = self._over(walk_voiced(judge_walk(said, self._walk, limits, TRADE), self._walk))
        else:
            limits = self._around.limits(self._limits, heard, self._sheet)
            judged = self._around.turn(judge(said, self._sheet, limits), heard, self._sheet)
            turn = voiced(judged, self._sheet)
            if goes_on:
                turn = replace(turn, line=voiced(not_moved(judged), self._sheet).line)
        if isinstance(turn.said, NewSitting) and turn.outcome is Outcome.TAKEN:
            empty = not (self._sheet.entries or self._walk.items or self._walk.remarks)
            unsettled, again = len(self._sheet.questions) + len(self._walk.questions), self._new_sitting_asked
            turn = new_sitting(turn, elsewhere=not self._renewable, empty=empty, again=again, unsettled=unsettled)
        before = self._sheet
        self._fold(self._journal.append(heard, turn.facts))
        self._around = self._around.after_walk(turn, heard) if walking else self._around.after(turn, heard, before)
        if turn.outcome is not Outcome.IGNORED:
            self._count = _count_taken(turn, heard)
        self._notes = self._unsure_notes(said, turn)
        self._new_sitting_asked = asked_back(turn, self._new_sitting_asked)
        return turn

    def typed(self, text: str) -> Turn:
        """A sentence from the keyboard: sure of its words, judged like any other."""
        context = self.context
        if context not in WALKING and _is_noted(text, context):
            context = Context.WALKTHROUGH
        return self.hear(Heard((Alternative(text, 1.0),), context, via="keyboard"))

    def set_plan(self, plan: Plan) -> None:
        """The plan from the command line; the one that is under way goes on where it is."""
        if plan != self._sheet.plan:
            self._keep_unheard(plan_facts(plan, *in_pass(self._sheet, self._limits)))

    def set_pass(self, doing: Pass) -> None:
        """The pass from the command line; the one that is under way goes on where it is."""
        if doing is not self._sheet.doing:
            self._keep_unheard(pass_facts(doing, self._sheet, self._limits))

    def _over(self, turn: Turn) -> Turn:
        """From the walkthrough to the keys: where their pass goes on is for their judgement to say."""
        wanted = next((f.doing for f in turn.facts if isinstance(f, PassSet)), None)
        if wanted is None or wanted is Pass.WALKTHROUGH:
            return turn
        rest = tuple(f for f in turn.facts if not isinstance(f, PassSet))
        return replace(turn, facts=(*rest, *pass_facts(wanted, self._sheet, self._limits)))

    def _walk_greeting(self) -> Turn:
        asking = None if self._walk.standing_by else self._walk.asking
        return Turn(
            Outcome.ASKED if asking else Outcome.IGNORED,
            line=walk_greeting(self._walk),
            speech=Speech.QUESTION if asking else Speech.REPLY,
            earcon=Earcon.QUESTION if asking else None,
            why=asking.asked.why.value if asking else "",
            finding=asking.asked.finding if asking else None,
        )

    def _understood(self, alternative: Alternative, heard: Heard) -> Said:
        said, words = understand(alternative.text, heard.context), alternative.words
        if heard.utterance is None:
            return said
        if heard.utterance.cut and isinstance(said, GoTo | Same):
            return Puzzle(alternative.text, "the beginning was not heard, say it again")
        if isinstance(said, Counted):
            pcm = heard.utterance.pcm
            said = timed(said, words, partial(sounds_after, pcm), partial(unclear_before, pcm))
            said = replace(said, unclear=said.unclear or (heard.utterance.cut and said.key is None))
        elif isinstance(said, Reading) and self._sheet.doing is Pass.TOUCH:
            one_voice = in_one_flow(words) and of_one_voice(heard.utterance.pcm, words)
            said = replace(said, scattered=not one_voice, unclear=heard.utterance.cut)
        elif isinstance(said, Reading) and self._sheet.doing is Pass.SWINGS and words:
            before_it = heard.utterance.cut or unclear_before(heard.utterance.pcm, words[0].start)
            before_it = before_it or self._sooner_than_swung(said, heard.utterance.start + words[0].start)
            said = replace(said, unclear=said.key is None and before_it)
        if self._count is None or self._notes:
            return said
        before, began = self._count
        return joined(before, heard.utterance.start - began, said, words)

    def _sooner_than_swung(self, said: Reading, at: float) -> bool:
        """Whether a total said `at` so many seconds comes sooner after the last count than a hammer swings that
        often: it is no total of the next one. A cough is heard as a number, too."""
        if self._count is None or not self._count[0].times:
            return False
        before, began = self._count
        return swings_within(at - began - before.times[-1]) < (said.amounts[0].value or 0)

    def _ways(self, said: Said) -> Sequence[tuple[Said, float]]:
        """Where the note said just before was not sure, a count without one may be of any key that it may have been,
        or of none of them."""
        bare = isinstance(said, Reading | Counted) and said.key is None
        if not self._notes or not bare or self._sheet.doing is not Pass.SWINGS:
            return [(said, 1.0)]
        assert isinstance(said, Reading | Counted)
        rest = max(0.0, 1.0 - sum(share for _, share in self._notes))
        return [*((replace(said, key=key), share) for key, share in self._notes), (replace(said, unclear=True), rest)]

    def _unsure_notes(self, said: Sequence[tuple[Said, float]], turn: Turn) -> tuple[tuple[int, float], ...]:
        """What a note may have been that did not lead anywhere: alone, or right after a count."""
        if self._sheet.doing is not Pass.SWINGS:
            return ()
        if turn.outcome is Outcome.IGNORED:
            alone = [(one.key, share) for one, share in said if isinstance(one, GoTo)]
            heard = sum(share for _, share in alone)
            # mostly a note: then it was one, whichever
            whole = heard if heard >= HEARD_WELL else 1.0
            return tuple((key, share / whole) for key, share in alone) if heard >= NOTE_HEARD else self._notes
        if not isinstance(turn.said, Counted) or turn.outcome is Outcome.ASKED:
            return ()
        if turn.said.then is not None and turn.said.then == self._sheet.place:
            return ()
        named = ((one.then, share) for one, share in said if isinstance(one, Counted))
        elsewhere = tuple((key, share) for key, share in named if key not in (None, self._sheet.place))
        return elsewhere if sum(share for _, share in elsewhere) >= NOTE_HEARD else ()

    def write_down(self, facts: tuple[Fact, ...]) -> None:
        """Facts that nobody said: words of a remark, typed later. Raises DiskTrouble or JournalBusy: then
        nothing of it was kept."""
        self._keep_unheard(facts)

    def _keep_unheard(self, facts: tuple[Fact, ...]) -> None:
        self._fold(self._journal.append_unheard(facts))

    def _fold(self, kept: tuple[Kept, ...]) -> None:
        sheet, walk = self._sheet, self._walk
        for one in kept:
            sheet, walk = apply(sheet, one), walk_apply(walk, one)
        # only then: the ear asks for `context` from its own thread, and must not meet half of a turn
        self._sheet, self._walk = sheet, walk


def _is_noted(text: str, context: Context) -> bool:
    """Whether it notes something of the sitting (climate, hammer weights ...), which can be typed in every pass."""
    if context is Context.STANDING_BY or not isinstance(understand(text, context), Puzzle):
        return False
    return isinstance(understand(text, Context.WALKTHROUGH), Noted)


def _count_taken(turn: Turn, heard: Heard) -> tuple[Counted, float] | None:
    said, taken = turn.said, turn.outcome in (Outcome.TAKEN, Outcome.CORRECTED)
    if not taken or not isinstance(said, Counted) or said.then is not None or heard.utterance is None:
        return None
    return said, heard.utterance.start
