"""A grammar that expects something comes in behind the ear's back: nothing waits for it, nothing breaks by it."""

from __future__ import annotations

import threading
from collections.abc import Iterator
from pathlib import Path

import pytest

from handsfree.ears import recogniser
from handsfree.ears.recogniser import Expected, Grammar, VoskRecogniser
from handsfree.errors import NoModel
from handsfree.nouns import Context

TOUCH, ANSWER = Context.TOUCH, Context.ANSWER


class Grammars:
    """Makes grammars when it is allowed to."""

    def __init__(self) -> None:
        self.made: list[tuple[Context, Expected]] = []
        self.may_go_on = threading.Event()
        self.may_go_on.set()
        self.trouble: Exception | None = None

    def __call__(self, context: Context, expected: Expected) -> Grammar:
        if expected is not None:
            assert self.may_go_on.wait(5)
            if self.trouble:
                raise self.trouble
        self.made.append((context, expected))
        return Grammar(Path(context.name) / str(expected))


@pytest.fixture
def grammars(monkeypatch: pytest.MonkeyPatch) -> Iterator[Grammars]:
    """Models are their folders, and decoding is knowing which model it was."""
    monkeypatch.setattr(recogniser, "load_model", lambda folder: folder)
    monkeypatch.setattr(recogniser, "_VoskDecoding", lambda loaded: str(loaded.model))
    made = Grammars()
    yield made
    made.may_go_on.set()


def test_what_is_expected_is_decoded_with(grammars: Grammars) -> None:
    ears = VoskRecogniser(grammars)
    assert ears.begin(TOUCH) == "TOUCH/None"
    ears.expect(TOUCH, "c four", wait=True)
    assert ears.begin(TOUCH) == "TOUCH/c four"
    assert ears.begin(ANSWER) == "ANSWER/None"
    ears.expect(TOUCH, None)
    assert ears.begin(TOUCH) == "TOUCH/None"


def test_an_utterance_that_begins_too_soon_takes_the_older_grammar(grammars: Grammars) -> None:
    ears = VoskRecogniser(grammars)
    ears.expect(TOUCH, "c four", wait=True)
    grammars.may_go_on.clear()
    ears.expect(TOUCH, "d four")
    assert ears.begin(TOUCH) == "TOUCH/c four"
    grammars.may_go_on.set()
    ears.expect(TOUCH, "d four", wait=True)
    assert ears.begin(TOUCH) == "TOUCH/d four"


def test_what_was_overtaken_is_never_made(grammars: Grammars) -> None:
    ears = VoskRecogniser(grammars)
    grammars.may_go_on.clear()
    for key in ("one", "two", "three", "four", "five"):
        ears.expect(TOUCH, key)
    grammars.may_go_on.set()
    ears.expect(TOUCH, "six", wait=True)
    assert ears.begin(TOUCH) == "TOUCH/six"
    made = [expected for _, expected in grammars.made if expected]
    assert len(made) <= 2  # at most the one that was under way, and the last
    assert made[-1] == "six"


def test_going_back_loads_nothing_anew(grammars: Grammars) -> None:
    ears = VoskRecogniser(grammars)
    for key in ("one", "two", "one", "two"):
        ears.expect(TOUCH, key, wait=True)
    assert [expected for _, expected in grammars.made] == ["one", "two"]
    for number in range(20):
        ears.expect(TOUCH, number, wait=True)
    ears.expect(TOUCH, "one", wait=True)
    assert [expected for _, expected in grammars.made].count("one") == 2  # memory is not filled without end


@pytest.mark.parametrize("trouble", [OSError(28, "No space left on device"), NoModel("a word is missing", do="-")])
def test_hearing_goes_on_without_what_could_not_be_made(grammars: Grammars, trouble: Exception) -> None:
    ears = VoskRecogniser(grammars)
    ears.expect(TOUCH, "c four", wait=True)
    grammars.trouble = trouble
    ears.expect(TOUCH, "d four", wait=True)
    assert ears.begin(TOUCH) == "TOUCH/c four"
    grammars.trouble = None
    ears.expect(TOUCH, "e four", wait=True)
    assert ears.begin(TOUCH) == "TOUCH/e four"


def test_closing_ends_it_whatever_is_still_expected(grammars: Grammars) -> None:
    ears = VoskRecogniser(grammars)
    ears.expect(TOUCH, "c four", wait=True)
    ears.close()
    ears.expect(TOUCH, "d four", wait=True)
    assert ears.begin(TOUCH) == "TOUCH/c four"
