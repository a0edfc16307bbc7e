"""Plans by name: as given to --plan, as spoken, and back from a journal."""

from __future__ import annotations

import pytest

from handsfree.nouns import Context, OffKeyboard, Plan, PlanWanted
from handsfree.reckoning.compass import is_sharp
from handsfree.words.expressions import sample
from handsfree.words.grammar import understand
from handsfree.words.plans import NO_PLAN, plan_expression, plan_named
from tests.words.choosing import as_likely


@pytest.mark.parametrize(
    ("text", "name", "keys"),
    [
        ("none", "none", ()),
        ("no plan", "none", ()),
        ("every", "every key", tuple(range(1, 89))),
        ("every key", "every key", tuple(range(1, 89))),
        ("every down", "every key, down the compass", tuple(range(88, 0, -1))),
        ("octave four", "octave four", tuple(range(40, 52))),
        ("Octave 4", "octave four", tuple(range(40, 52))),
        ("octave 0", "octave zero", (1, 2, 3)),
        ("octave 8", "octave eight", (88,)),
        ("octave four, down the compass", "octave four, down the compass", tuple(range(51, 39, -1))),
        # CHECKS 3: all C keys and all A keys.
        ("each C", "each C", (4, 16, 28, 40, 52, 64, 76, 88)),
        ("each A", "each A", (1, 13, 25, 37, 49, 61, 73, 85)),
        ("each c and f", "each C and F", (4, 9, 16, 21, 28, 33, 40, 45, 52, 57, 64, 69, 76, 81, 88)),
        ("each C#", "each C sharp", (5, 17, 29, 41, 53, 65, 77)),
        ("A0,C1,49", "keys A0, C1, A4", (1, 4, 49)),
        ("49 1 4", "keys A4, A0, C1", (49, 1, 4)),
        ("F#4, Bb3", "keys F#4, A#3", (46, 38)),
        ("c5,a4 up", "keys C5, A4, up the compass", (49, 52)),
        ("keys A four C five", "keys A4, C5", (49, 52)),
    ],
)
def test_a_plan_by_name(text: str, name: str, keys: tuple[int, ...]) -> None:
    assert plan_named(text) == Plan(name, keys)


def test_naturals_and_sharps() -> None:
    # CHECKS 3: 52 white and 36 black keys.
    for name, count, sharp in (("naturals", 52, False), ("sharps", 36, True)):
        plan = plan_named(name)
        assert plan is not None
        assert len(plan.keys) == count
        assert {is_sharp(k) for k in plan.keys} == {sharp}
        assert plan.keys == tuple(sorted(plan.keys))


@pytest.mark.parametrize(
    "text",
    ["", "everything", "octave nine", "octave", "A0,8x", "89", "0", "A0,H3", "D8", "c4,,d9", "each", "4 x", "up"],
)
def test_no_such_plan(text: str) -> None:
    assert plan_named(text) is None


def test_the_name_of_a_plan_is_the_plan_again() -> None:
    choose, expression = as_likely(seed=17), plan_expression()
    for _ in range(500):
        words, (plan,) = sample(expression, choose)
        if isinstance(plan, OffKeyboard):  # a list may name a note that no piano has
            assert understand(" ".join(words), Context.TOUCH) == plan
            continue
        assert isinstance(plan, Plan)
        assert plan_named(plan.name) == plan, words
        assert understand(" ".join(words), Context.TOUCH) == PlanWanted(plan, named=plan == NO_PLAN)
        if plan.keys:
            assert understand(" ".join(["plan", *words]), Context.TOUCH) == PlanWanted(plan, named=True)
        assert len(set(plan.keys)) == len(plan.keys) or plan.name.startswith("keys ")
        assert plan.keys or plan == NO_PLAN


def test_a_long_list_comes_back_too() -> None:
    plan = plan_named(",".join(str(k) for k in range(88, 0, -1)))
    assert plan is not None
    assert plan.keys == tuple(range(88, 0, -1))
    assert plan_named(plan.name) == plan
