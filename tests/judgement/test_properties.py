"""What must hold after any row of sentences, sure or not, by voice or by keyboard."""

from __future__ import annotations

from decimal import Decimal

from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from handsfree.journal.memory import MemoryJournal
from handsfree.journal.sheet import fold
from handsfree.judgement.limits import Limits
from handsfree.nouns import (
    Alternative,
    Asked,
    Correction,
    Heard,
    Outcome,
    Quantity,
    Reading,
    Same,
    Sheet,
    Standing,
    Turn,
    context_of,
)
from handsfree.session import Session
from handsfree.words.grammar import understand
from handsfree.words.plans import plan_named

SILENCE = Heard((Alternative("", 1.0),), context_of(Sheet()))

notes = st.sampled_from(["c four", "d four", "e four", "f four", "b four", "c nine", "key seven"])
weights = st.sampled_from(
    ["fifty two", "fifty", "fifteen", "fifty five", "fifty nine", "twenty eight", "forty", "ninety one", "zero",
     "one hundred and sixty", "fifty two twenty eight", "fifty twenty five", "thirty forty five", "forty forty",
     "fifty two and a half", "up twenty six", "down fifty one", "down fifty up zero", "fifty two no return",
     "no return", "eighty one thirty"]
)  # fmt: skip
commands = st.sampled_from(
    ["yes", "no", "affirm", "negative", "next", "back", "skip", "same", "disregard", "say again", "read back",
     "stand by", "go ahead", "the naturals", "octave four", "no plan", "[unk]", "[unk] fifty two", "",
     "fifty two eight", "negative fifty four", "yes eighty one"]
)  # fmt: skip
sentences = st.one_of(
    weights,
    st.builds("{} {}".format, notes, weights),
    notes,
    commands,
    st.builds("correction {}".format, weights),
    st.builds("correction {} {}".format, notes, weights),
    st.builds("{} same".format, notes),
    st.builds("read back {}".format, notes),
)


@st.composite
def utterances(draw: st.DrawFn) -> tuple[Alternative, ...]:
    texts = draw(st.lists(sentences, min_size=1, max_size=3, unique=True))
    first = draw(st.sampled_from([0.4, 0.55, 0.75, 0.95])) if len(texts) > 1 else 1.0
    rest = [(1 - first) / (len(texts) - 1)] * (len(texts) - 1) if len(texts) > 1 else []
    return tuple(Alternative(t, p) for t, p in zip(texts, [first, *rest], strict=True))


passes = st.lists(utterances(), max_size=14)
plans = st.sampled_from(["none", "naturals", "keys C4, D4, E4", "octave four down"])
often = settings(max_examples=150, deadline=None, suppress_health_check=[HealthCheck.too_slow])


class Pass:
    """A session that keeps what was said to it."""

    def __init__(self, plan: str, limits: Limits | None = None) -> None:
        self.journal = MemoryJournal()
        self.session = Session(self.journal, limits)
        if plan_named(plan):
            self.session.set_plan(plan_named(plan))  # type: ignore[arg-type]

    def hear(self, alternatives: tuple[Alternative, ...]) -> Turn:
        return self.session.hear(Heard(alternatives, self.session.context))


def values_in(heard: Heard) -> set[Decimal | None]:
    """All values in any alternative; zero grams up may stand as no return."""
    said = [understand(a.text, heard.context) for a in heard.alternatives]
    amounts = [a.value for s in said if isinstance(s, Reading | Correction) for a in s.amounts]
    return {*amounts, *(None for v in amounts if v == 0)}


def repeats_another(heard: Heard) -> bool:
    return any(isinstance(understand(a.text, heard.context), Same) for a in heard.alternatives)


@often
@given(plans, passes)
def test_no_value_stands_that_was_never_said(plan: str, heard: list[tuple[Alternative, ...]]) -> None:
    """Each entry names the utterance that it came from, and that one holds the value, in one of its alternatives."""
    touch = Pass(plan)
    for alternatives in heard:
        touch.hear(alternatives)
    for entry in touch.session.sheet.standing.values():
        assert entry.heard_n is not None
        source = touch.journal.heard[entry.heard_n - 1]
        assert entry.value in values_in(source) or repeats_another(source), entry


def keys_in(heard: Heard) -> set[int | None]:
    said = [understand(a.text, heard.context) for a in heard.alternatives]
    return {s.key for s in said if isinstance(s, Reading | Correction | Same)}


@often
@given(plans, passes)
def test_no_value_stands_where_nobody_put_it(plan: str, heard: list[tuple[Alternative, ...]]) -> None:
    """The key was named, or it was where the pass was, or what the question was about, or (for a correction) the key
    read last."""
    touch = Pass(plan)
    could_be: list[set[int | None]] = []
    for alternatives in heard:
        sheet = touch.session.sheet
        last = max(sheet.entries, key=lambda e: e.n, default=None)
        could_be.append({sheet.place, *(q.question.proposals[0].key for q in sheet.questions if not q.put_off)})
        corrects = any(a.text.startswith(("correction", "negative")) for a in alternatives)
        if corrects and last is not None:
            could_be[-1].add(last.key)
        touch.hear(alternatives)
    for entry in touch.session.sheet.standing.values():
        assert entry.heard_n is not None
        source = touch.journal.heard[entry.heard_n - 1]
        assert entry.key in keys_in(source) | could_be[entry.heard_n - 1], entry


@often
@given(plans, passes)
def test_the_table_is_possible_and_consistent(plan: str, heard: list[tuple[Alternative, ...]]) -> None:
    touch = Pass(plan)
    for alternatives in heard:
        turn = touch.hear(alternatives)
        sheet = touch.session.sheet
        downs, ups = sheet.column(Quantity.DOWN), sheet.column(Quantity.UP)
        assert all(0 < d <= 150 for d in downs.values())
        assert all(ups[k] <= downs[k] for k in ups.keys() & downs.keys())
        assert all(e.value is not None for (_, q), e in sheet.standing.items() if q is Quantity.DOWN)
        assert sum(not q.put_off for q in sheet.questions) <= 1
        unsettled = {e.n for e in sheet.entries if e.standing is Standing.UNSETTLED}
        assert unsettled == {q.n for q in sheet.questions}
        stands = {e.n for e in sheet.standing.values()}
        alive = {e.n for e in sheet.entries if e.standing not in (Standing.UNSETTLED, Standing.WITHDRAWN)}
        assert stands == alive
        if turn.outcome is Outcome.IGNORED:
            assert not turn.facts


@often
@given(plans, passes)
def test_the_question_that_was_spoken_is_the_one_that_is_answered(
    plan: str, heard: list[tuple[Alternative, ...]]
) -> None:
    touch = Pass(plan)
    for alternatives in heard:
        turn = touch.hear(alternatives)
        if any(isinstance(f, Asked) for f in turn.facts):
            asking = touch.session.sheet.asking
            assert asking is not None
            assert asking.question.line
            assert turn.line.endswith(asking.question.line)


@often
@given(plans, passes)
def test_silence_never_changes_anything(plan: str, heard: list[tuple[Alternative, ...]]) -> None:
    touch = Pass(plan)
    for alternatives in heard:
        before = touch.session.sheet
        turn = touch.hear(SILENCE.alternatives)
        assert not turn.facts
        assert not turn.line
        assert touch.session.sheet == before
        touch.hear(alternatives)


@often
@given(plans, passes)
def test_the_facts_alone_give_the_sheet(plan: str, heard: list[tuple[Alternative, ...]]) -> None:
    """Opened again at any moment, the sitting is as it was; and what was heard gives the same facts again."""
    touch, again = Pass(plan), Pass(plan)
    for alternatives in heard:
        touch.hear(alternatives)
        assert fold(touch.journal.facts()) == touch.session.sheet
    for said in touch.journal.heard:
        again.session.hear(said)
    assert list(again.journal.facts()) == list(touch.journal.facts())


@often
@given(passes)
def test_talk_is_never_a_reading(heard: list[tuple[Alternative, ...]]) -> None:
    """Whatever the weaker alternatives of a stretch of talk hold."""
    touch = Pass("naturals")
    for alternatives in heard:
        weak = tuple(Alternative(a.text, a.share * 0.4) for a in alternatives)
        talk = (Alternative("[unk]", 0.6), *weak)
        touch.hear(talk)
    assert not touch.session.sheet.entries


@often
@given(plans, passes)
def test_nothing_said_is_lost(plan: str, heard: list[tuple[Alternative, ...]]) -> None:
    """Entries are never dropped: all that was ever taken is still there, standing or withdrawn."""
    touch = Pass(plan)
    taken: set[int] = set()
    for alternatives in heard:
        touch.hear(alternatives)
        entries = touch.session.sheet.entries
        assert taken <= {e.n for e in entries}
        taken |= {
            e.n for e in entries if e.standing is not Standing.UNSETTLED and e.came_as is not Standing.UNSETTLED
        }
        assert len(touch.journal.heard) > 0
