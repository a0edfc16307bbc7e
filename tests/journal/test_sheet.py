"""The fold: every kind of fact, and what becomes of entries, questions and the place."""

from __future__ import annotations

from decimal import Decimal

import pytest

from handsfree.journal.sheet import apply, fold
from handsfree.nouns import (
    Asked,
    Context,
    Doubt,
    Fact,
    Kept,
    Plan,
    PlanSet,
    Proposal,
    PutOff,
    Quantity,
    Question,
    Settled,
    Sheet,
    Standing,
    StoodBy,
    Took,
    Went,
    WentAhead,
    Withdrew,
    context_of,
)

C4, D4 = 40, 42
DOWN, UP, SWINGS = Quantity.DOWN, Quantity.UP, Quantity.SWINGS
AT = "2031-03-14T09:30:00+00:00"


def kept(*facts: Fact | tuple[Fact, str]) -> list[Kept]:
    """Facts with what was heard; each heard on its own unless given a text, when equal texts are one utterance."""
    row = []
    texts: dict[str, int] = {}
    for n, one in enumerate(facts, start=1):
        fact, text = one if isinstance(one, tuple) else (one, f"heard {n}")
        row.append(Kept(n, AT, texts.setdefault(text, len(texts) + 1), text, f"{n:06d}.flac", fact))
    return row


def took(key: int, quantity: Quantity, value: str | None, standing: Standing = Standing.TAKEN,
         replaces: int | None = None) -> Took:  # fmt: skip
    assert standing in (Standing.TAKEN, Standing.CONFIRMED, Standing.CORRECTED)
    return Took(key, quantity, None if value is None else Decimal(value), standing, 0.97, replaces)  # type: ignore[arg-type]


def question(value: str, *, key: int = C4, quantity: Quantity = DOWN, otherwise: str | None = None) -> Question:
    other = (Proposal(key, quantity, Decimal(otherwise), 0.6),) if otherwise else ()
    return Question((Proposal(key, quantity, Decimal(value), 0.6),), Doubt.RANGE, "...?", other)


def test_nothing_folds_to_an_empty_sheet() -> None:
    assert fold([]) == Sheet()


def test_a_value_stands_with_where_it_came_from() -> None:
    sheet = fold(kept((took(C4, DOWN, "52.5"), "c four fifty two and a half")))
    entry = sheet.standing[C4, DOWN]
    assert (entry.n, entry.value, entry.standing) == (1, Decimal("52.5"), Standing.TAKEN)
    assert (entry.heard_text, entry.at, entry.clip, entry.heard_n) == (
        "c four fifty two and a half", AT, "000001.flac", 1)  # fmt: skip
    assert sheet.column(DOWN) == {C4: Decimal("52.5")}
    assert sheet.last_n == 1


def test_no_return_is_in_no_column() -> None:
    sheet = fold(kept(took(C4, UP, None), took(D4, UP, "28")))
    assert sheet.column(UP) == {D4: Decimal(28)}
    assert sheet.no_return() == {C4}


def test_a_correction_takes_over() -> None:
    sheet = fold(kept(took(C4, DOWN, "52"), took(C4, DOWN, "54", Standing.CORRECTED, replaces=1)))
    assert sheet.standing[C4, DOWN].n == 2
    assert [e.standing for e in sheet.entries] == [Standing.WITHDRAWN, Standing.CORRECTED]
    assert sheet.entries[0].came_as is Standing.TAKEN
    assert not sheet.repeats()


def test_a_value_of_another_key_takes_over_too() -> None:
    sheet = fold(kept(took(C4, DOWN, "52"), took(D4, DOWN, "52", Standing.CORRECTED, replaces=1)))
    assert [(e.key, e.standing) for e in sheet.entries] == [(C4, Standing.WITHDRAWN), (D4, Standing.CORRECTED)]
    assert list(sheet.standing) == [(D4, DOWN)]


def test_a_withdrawn_correction_brings_nothing_wrong_back() -> None:
    sheet = fold(kept(took(C4, DOWN, "52"), took(C4, DOWN, "54", Standing.CORRECTED, replaces=1), Withdrew(2)))
    assert not sheet.standing
    assert {e.standing for e in sheet.entries} == {Standing.WITHDRAWN}


def test_a_withdrawn_repeat_brings_the_first_measurement_back() -> None:
    """Also where the repeat had been corrected in between."""
    sheet = fold(
        kept(
            took(C4, DOWN, "52"),
            took(C4, DOWN, "53", replaces=1),
            took(C4, DOWN, "52.5", Standing.CORRECTED, replaces=2),
            Withdrew(3),
        )
    )
    assert sheet.standing[C4, DOWN].n == 1
    assert [e.standing for e in sheet.entries] == [Standing.TAKEN, Standing.WITHDRAWN, Standing.WITHDRAWN]


def test_repeats_are_pairs_of_measurements() -> None:
    """Three measurements, the second one corrected: two pairs, the wrong value in none of them."""
    sheet = fold(
        kept(
            took(C4, DOWN, "52"),
            took(C4, DOWN, "63", replaces=1),
            took(C4, DOWN, "53", Standing.CORRECTED, replaces=2),
            took(C4, DOWN, "52.5", replaces=3),
            took(D4, DOWN, "50"),
        )
    )
    pairs = [(a.value, b.value) for a, b in sheet.repeats()]
    assert pairs == [(Decimal(53), Decimal("52.5")), (Decimal(52), Decimal(53))]


SAID_AGAIN = (
    (took(C4, UP, "28"), "ninety one twenty eight"),
    (Asked(question("91")), "ninety one twenty eight"),
    (Settled(2, "no"), "no"),
    (took(C4, DOWN, "51"), "fifty one twenty eight"),
    (took(C4, UP, "28", replaces=1), "fifty one twenty eight"),
)
"""Facts with the words that they came from."""


def test_saying_a_reading_again_is_no_second_measurement() -> None:
    """The down was asked about and denied; the whole reading is said again, the up with the same value."""
    second = "fifty two twenty eight"
    facts = kept(
        *SAID_AGAIN,
        (took(C4, DOWN, "52", replaces=4), second),
        (took(C4, UP, "28", replaces=5), second),
    )
    assert not fold(facts[:5]).repeats()
    assert [(a.n, b.n) for a, b in fold(facts).repeats()] == [(4, 6), (5, 7)]


def test_nor_is_a_correction_of_what_was_said_again() -> None:
    """As above, and then corrected: the up of the first, half denied reading measured nothing."""
    corrected = "correction fifty four twenty four"
    facts = kept(
        *SAID_AGAIN,
        (took(C4, DOWN, "54", Standing.CORRECTED, replaces=4), corrected),
        (took(C4, UP, "24", Standing.CORRECTED, replaces=5), corrected),
    )
    assert not fold(facts).repeats()


def test_a_later_pass_does_not_undo_a_repeat() -> None:
    """The weights of a key were measured twice; that its hammer was let swing afterwards changes nothing of that."""
    first = (took(C4, DOWN, "52"), took(C4, UP, "28"))
    weights = (*first, took(C4, DOWN, "53", replaces=1), took(C4, UP, "28", replaces=2))
    facts = kept(*((fact, f"line {n // 2}") for n, fact in enumerate(weights)), (took(C4, SWINGS, "7"), "seven"))
    assert [(a.n, b.n) for a, b in fold(facts[:4]).repeats()] == [(1, 3), (2, 4)]
    assert [(a.n, b.n) for a, b in fold(facts).repeats()] == [(1, 3), (2, 4)]


def test_a_repeat_that_was_asked_about_is_told_apart() -> None:
    sheet = fold(
        kept(
            took(C4, DOWN, "52"),
            took(C4, DOWN, "58", Standing.CONFIRMED, replaces=1),
            took(D4, DOWN, "50"),
            took(D4, DOWN, "51", replaces=3),
        )
    )
    assert [(a.n, b.n) for a, b in sheet.repeats()] == [(3, 4)]
    assert [e.n for e in sheet.repeats_confirmed()] == [2]


def test_withdrawing_what_no_longer_stands_changes_nothing() -> None:
    facts = kept(took(C4, DOWN, "52"), Withdrew(1), Withdrew(1), Withdrew(99))
    assert fold(facts).entries == fold(facts[:2]).entries


def test_a_question_is_open_until_settled() -> None:
    facts = kept(Asked(question("81")), PutOff(1), Settled(1, "disregarded"))
    asked, waiting, settled = fold(facts[:1]), fold(facts[:2]), fold(facts)
    assert asked.asking is not None
    assert context_of(asked) is Context.ANSWER
    assert waiting.asking is None
    assert waiting.questions[0].put_off
    assert [e.standing for e in waiting.entries] == [Standing.UNSETTLED]
    assert not settled.questions
    assert [e.standing for e in settled.entries] == [Standing.WITHDRAWN]


def test_a_confirmed_value_keeps_the_words_it_was_said_in() -> None:
    """Not the "yes" that confirmed it: those words and that sound are the reading's."""
    sheet = fold(
        kept(
            (Asked(question("81")), "c four eighty one"),
            (took(C4, DOWN, "81", Standing.CONFIRMED), "yes"),
            (Settled(1, "yes"), "yes"),
        )
    )
    (entry,) = sheet.entries
    assert entry == sheet.standing[C4, DOWN]
    assert (entry.heard_text, entry.heard_n, entry.clip) == ("c four eighty one", 1, "000001.flac")
    assert entry.standing is Standing.CONFIRMED
    assert not sheet.questions


def test_another_value_leaves_what_was_heard_withdrawn() -> None:
    sheet = fold(
        kept(
            (Asked(question("81")), "c four eighty one"),
            (took(C4, DOWN, "51", Standing.CORRECTED), "fifty one"),
            (Settled(1, "other value"), "fifty one"),
        )
    )
    assert [(e.value, e.standing) for e in sheet.entries] == [
        (Decimal(81), Standing.WITHDRAWN),
        (Decimal(51), Standing.CORRECTED),
    ]
    assert sheet.standing[C4, DOWN].heard_text == "fifty one"


def test_the_second_guess_keeps_the_words_of_the_first() -> None:
    sheet = fold(
        kept(
            (Asked(question("59", otherwise="55")), "c four fifty nine"),
            (Asked(question("55")), "no"),
            (Settled(1, "no"), "no"),
            (took(C4, DOWN, "55", Standing.CONFIRMED), "yes"),
            (Settled(2, "yes"), "yes"),
        )
    )
    assert sheet.standing[C4, DOWN].heard_text == "c four fifty nine"


def test_a_value_that_is_asked_about_once_more_keeps_its_words() -> None:
    """The up was asked about; the answer named the down, so both are asked about now."""
    both = Question((Proposal(C4, DOWN, Decimal(51), 1.0), Proposal(C4, UP, Decimal(52), 1.0)), Doubt.RANGE, "")
    sheet = fold(
        kept(
            (Asked(question("52", quantity=UP)), "fifty two"),
            (Asked(both), "down fifty one"),
            (Settled(1, "other value"), "down fifty one"),
        )
    )
    open_ones = {e.quantity: e.heard_text for e in sheet.entries if e.standing is Standing.UNSETTLED}
    assert open_ones == {DOWN: "down fifty one", UP: "fifty two"}


def test_asking_again_is_the_same_question() -> None:
    facts = kept(Asked(question("81")), Asked(question("81")))
    sheet = fold(facts)
    (again,) = sheet.questions
    assert (again.n, again.times, again.came_back) == (2, 2, False)
    assert [(e.n, e.heard_text) for e in sheet.entries] == [(2, "heard 1")]


def test_a_question_that_was_put_off_comes_back() -> None:
    (again,) = fold(kept(Asked(question("81")), PutOff(1), Asked(question("81")))).questions
    assert (again.n, again.times, again.came_back, again.put_off) == (3, 1, True, False)


@pytest.mark.parametrize(("key", "came_back"), [(C4, True), (D4, False)])
def test_what_follows_up_a_question_that_came_back_came_back_too(key: int, came_back: bool) -> None:
    """The plan does not move because of its answer, either; a question about another key is a new one."""
    again = [Asked(question("81")), PutOff(1), Asked(question("81"))]
    asking = fold(kept(*again, Asked(question("61", key=key)))).asking
    assert asking is not None
    assert (asking.n, asking.came_back) == (4, came_back)


def test_of_one_place_only_the_last_value_stands_whatever_it_names() -> None:
    """Total: a fact that does not name what it takes over from leaves no two values standing."""
    sheet = fold(kept(took(C4, DOWN, "52"), took(C4, DOWN, "54")))
    assert [(e.n, e.standing) for e in sheet.entries] == [(1, Standing.WITHDRAWN), (2, Standing.TAKEN)]
    assert sheet.column(DOWN) == {C4: Decimal(54)}


def test_only_the_newest_question_is_asked() -> None:
    """It was spoken last: an answer can mean no other."""
    sheet = fold(kept(Asked(question("81")), Asked(question("91", key=D4))))
    assert sheet.asking is not None
    assert sheet.asking.n == 2
    assert [q.put_off for q in sheet.questions] == [True, False]


def test_place_plan_and_standing_by() -> None:
    plan = Plan("two", (C4, D4))
    facts = kept(PlanSet(plan), Went(C4), StoodBy(), WentAhead(), Went(D4))
    assert fold(facts[:2]).place == C4
    assert fold(facts[:2]).plan == plan
    assert context_of(fold(facts[:3])) is Context.STANDING_BY
    assert not fold(facts[:4]).standing_by
    assert fold(facts).place == D4


def test_one_fact_at_a_time_is_the_same() -> None:
    facts = kept(PlanSet(Plan("one", (C4,))), Went(C4), took(C4, DOWN, "52"), Asked(question("9", quantity=UP)))
    sheet = Sheet()
    for i, fact in enumerate(facts, start=1):
        sheet = apply(sheet, fact)
        assert sheet == fold(facts[:i])
