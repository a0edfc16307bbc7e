"""The fold of a walkthrough: what becomes of findings, questions and remarks."""

from __future__ import annotations

from handsfree.journal.walk import walk_fold
from handsfree.nouns import (
    Doubt,
    Fact,
    Finding,
    FindingAsked,
    FindingTook,
    Kept,
    PutOff,
    RemarkKept,
    RemarkPlaced,
    RemarkTyped,
    Settled,
    Standing,
    Walk,
    WentTo,
    Withdrew,
)

GROOVED = Finding("hammers", "grooved", "", 3)


def fold(*facts: Fact) -> Walk:
    """Facts numbered from 1, each said at a time and in words of its own."""
    at = "2031-03-14T11:{:02}:00+01:00".format
    return walk_fold(Kept(n, at(n), n, f"said {n}", f"{n:06d}.flac", fact) for n, fact in enumerate(facts, start=1))


def took(finding: Finding, standing: Standing = Standing.TAKEN, replaces: int | None = None) -> FindingTook:
    assert standing in (Standing.TAKEN, Standing.CONFIRMED, Standing.CORRECTED)
    return FindingTook(finding, standing, 0.97, replaces)  # type: ignore[arg-type]


def asked(finding: Finding) -> FindingAsked:
    return FindingAsked(finding, Doubt.UNSURE, "Hammers?", 0.6)


def test_a_finding_stands_with_where_it_came_from() -> None:
    (item,) = fold(took(GROOVED)).stands
    assert (item.n, item.finding, item.heard_text, item.clip) == (1, GROOVED, "said 1", "000001.flac")


def test_a_confirmed_finding_keeps_the_words_and_the_sound_in_which_it_was_said() -> None:
    (item,) = fold(asked(GROOVED), took(GROOVED, Standing.CONFIRMED), Settled(1, "yes")).items
    assert (item.n, item.standing) == (2, Standing.CONFIRMED)
    assert (item.heard_text, item.clip, item.at) == ("said 1", "000001.flac", "2031-03-14T11:01:00+01:00")


def test_another_finding_of_the_same_turn_does_not_take_those_words() -> None:
    other = Finding("hammers", "worn", "", 3)
    walk = fold(asked(GROOVED), took(other), Settled(1, "other value"))
    assert [(i.heard_text, i.standing) for i in walk.items] == [
        ("said 1", Standing.WITHDRAWN),
        ("said 2", Standing.TAKEN),
    ]


def test_what_takes_its_place_makes_it_stand_no_more() -> None:
    walk = fold(took(GROOVED), took(Finding("hammers", "grooved", "", 4), Standing.CORRECTED, replaces=1))
    assert [(i.n, i.standing) for i in walk.items] == [(1, Standing.WITHDRAWN), (2, Standing.CORRECTED)]


def test_a_grade_that_was_taken_over_stands_again_when_that_is_withdrawn() -> None:
    regraded = took(Finding("hammers", "grooved", "", 4), replaces=1)
    assert [i.n for i in fold(took(GROOVED), regraded, Withdrew(2)).stands] == [1]


def test_what_a_correction_called_wrong_does_not() -> None:
    right = took(Finding("hammers", "grooved", "", 4), Standing.CORRECTED, replaces=1)
    assert not fold(took(GROOVED), right, Withdrew(2)).stands


def test_a_question_counts_how_often_it_is_asked_and_waits_for_another() -> None:
    walk = fold(asked(GROOVED), asked(GROOVED))
    assert walk.asking is not None
    assert (walk.asking.n, walk.asking.times) == (2, 2)
    walk = fold(asked(GROOVED), asked(Finding("lid", "loose")))
    assert [(q.n, q.put_off) for q in walk.questions] == [(1, True), (2, False)]
    walk = fold(asked(GROOVED), PutOff(1), asked(GROOVED))
    assert walk.asking is not None
    assert walk.asking.times == 1, "put off and asked again, it begins anew"


def test_remarks_are_written_down_placed_and_withdrawn() -> None:
    walk = fold(
        RemarkKept("hammers", None),
        RemarkKept("lid", None),
        RemarkTyped(1, "soft all over", "machine"),
        RemarkPlaced(1, "dampers", None),
        Withdrew(2),
    )
    first, second = walk.remarks
    assert (first.text, first.by, first.part) == ("soft all over", "machine", "dampers")
    assert (second.text, second.by, second.part, second.withdrawn) == ("", "", "lid", True)


def remarks(*facts: Fact) -> list[tuple[str, int | None]]:
    return [(r.part, r.item) for r in fold(*facts).remarks]


def test_a_remark_stays_with_a_finding_that_is_corrected_or_confirmed_or_asked_about_again() -> None:
    hinges = Finding("hinges", "loose", "", 3)
    said = (took(GROOVED), RemarkKept("hammers", 1))
    assert remarks(*said, took(hinges, Standing.CORRECTED, 1)) == [("hinges", 3)]
    asks = (asked(GROOVED), RemarkKept("hammers", 1))
    assert remarks(*asks, asked(GROOVED)) == [("hammers", 3)]
    assert remarks(*asks, asked(GROOVED), took(GROOVED, Standing.CONFIRMED), Settled(3, "yes")) == [("hammers", 4)]


def test_a_remark_goes_back_to_the_grade_that_stands_again() -> None:
    worse = Finding("hammers", "grooved", "", 4)
    said = (took(GROOVED), RemarkKept("hammers", 1), took(worse, Standing.CONFIRMED, 1))
    assert remarks(*said) == [("hammers", 3)]
    assert remarks(*said, Withdrew(3)) == [("hammers", 1)]


def test_where_it_went_and_when_is_known() -> None:
    went = fold(WentTo("lid"), took(GROOVED), WentTo("hammers")).went
    assert went == (("2031-03-14T11:01:00+01:00", "lid"), ("2031-03-14T11:03:00+01:00", "hammers"))
