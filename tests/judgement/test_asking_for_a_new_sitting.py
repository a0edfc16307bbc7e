"""A sitting that was left cannot be gone on with: "new sitting" is said twice, with nothing in between but talk."""

from __future__ import annotations

import pytest

from handsfree.journal.memory import MemoryJournal
from handsfree.nouns import Alternative, Heard, Outcome, Pass, Turn
from handsfree.session import Session


def session(doing: Pass, *said: str, renewable: bool = True) -> Session:
    made = Session(MemoryJournal(), renewable=renewable)
    made.set_pass(doing)
    for text in said:
        made.typed(text)
    return made


def say(made: Session, **ways: float) -> Turn:
    """By voice; "_" for a space, "talk" for other talk."""
    texts = {"[unk]" if way == "talk" else way.replace("_", " "): share for way, share in ways.items()}
    return made.hear(Heard(tuple(Alternative(text, share) for text, share in texts.items()), made.context))


@pytest.mark.parametrize(("doing", "said"), [(Pass.TOUCH, "c4 52 28"), (Pass.SWINGS, "c4 7"),
                                             (Pass.WALKTHROUGH, "hammers good")])  # fmt: skip
def test_it_is_asked_back_once_in_every_pass(doing: Pass, said: str) -> None:
    made = session(doing, said)
    first = say(made, new_sitting=1.0)
    assert (first.outcome, first.line) == (Outcome.ASKED, "A new sitting at this instrument? Say it once more.")
    assert say(made, talk=1.0).outcome is Outcome.IGNORED
    assert say(made, new_sitting=1.0).outcome is Outcome.TAKEN


@pytest.mark.parametrize(("doing", "said", "between"), [
    (Pass.TOUCH, "c4 52 28", "d4 50 26"), (Pass.TOUCH, "c4 52 28", "next"), (Pass.WALKTHROUGH, "lid good", "next"),
])  # fmt: skip
def test_anything_else_in_between_takes_it_back(doing: Pass, said: str, between: str) -> None:
    made = session(doing, said)
    say(made, new_sitting=1.0)
    made.typed(between)
    assert say(made, new_sitting=1.0).outcome is Outcome.ASKED


def test_questions_that_would_stay_open_are_told() -> None:
    made = session(Pass.TOUCH, "c4 26 28", "walkthrough", "dampers good four")
    assert say(made, new_sitting=1.0).line.endswith("Say it once more. 2 to settle will stay unsettled.")


def test_what_is_not_surely_heard_asks_for_nothing() -> None:
    for made in (session(Pass.TOUCH, "c4 52 28"), session(Pass.WALKTHROUGH, "lid good")):
        assert say(made, new_sitting=0.7, talk=0.3).outcome is Outcome.IGNORED


@pytest.mark.parametrize("doing", [Pass.TOUCH, Pass.WALKTHROUGH])
def test_an_empty_sitting_is_gone_on_with(doing: Pass) -> None:
    assert say(session(doing), new_sitting=1.0).line == "This sitting is still empty."


def test_where_none_can_be_begun_it_says_so() -> None:
    made = session(Pass.TOUCH, "c4 52 28", renewable=False)
    assert say(made, new_sitting=1.0).line == "A new sitting is begun on the screen."
