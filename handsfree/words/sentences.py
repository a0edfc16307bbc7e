"""The sentences of the touch pass: each with what it does, for people, and its expression, for the machine."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from handsfree import nouns
from handsfree.nouns import Context, OffKeyboard, Said
from handsfree.words.amounts import Weights, weights
from handsfree.words.expressions import EMPTY, Act, Alt, Expression, Word, meaning, phrase, seq
from handsfree.words.likely import Expectation, key_chance
from handsfree.words.notes import Note, note
from handsfree.words.plans import plan_expression


@dataclass(frozen=True, slots=True)
class Sentence:
    """One way to say something to the tool, in all its variants."""

    say: str
    """The pattern, for people."""
    does: str
    examples: tuple[str, ...]
    expression: Expression
    """Means exactly one `Said`."""
    weight: float
    """How often it is said, relative to the others of its context."""


def _with_key(make: Callable[..., Said]) -> Callable[..., Said]:
    """`make` for what begins with a note: a note that no piano has is refused, whatever follows it."""

    def made(key: int | OffKeyboard, *rest: object) -> Said:
        return key if isinstance(key, OffKeyboard) else make(key, *rest)

    return made


def touch_sentences(named: Note, said: Weights) -> tuple[Sentence, ...]:
    named_weights = named.before(said.any, said.in_words)
    return (
        Sentence(
            "*note* *weights*",
            "Takes the weights at that key and goes on from there. One number is the down weight (or the up weight "
            "where only that is missing), two are down, then up.",
            ("C four fifty two twenty eight", "foxtrot sharp four five two two eight", "key forty nine fifty one"),
            Act(named_weights, _with_key(nouns.Reading)),
            0.30,
        ),
        Sentence(
            "*weights*",
            "The same at the key where the plan is; the plan moves on after a complete reading.",
            ("fifty two twenty eight", "fifty two and a half", "up twenty six", "down fifty two up twenty six",
             "fifty eight no return"),
            Act(said.any, lambda parts: nouns.Reading(None, parts)),
            0.45,
        ),
        Sentence("*note*", "Goes to that key.", ("A flat three", "alfa four", "key one"),
                 Act(named.any, _with_key(nouns.GoTo)), 0.05),
        Sentence("correction *weights*", "The last value was wrong, this is the right one; a note may stand before "
                 "the weights.", ("correction fifty four", "correction up twenty four",
                                  "correction C four fifty four twenty six"),
                 seq(Word("correction"), _perhaps_named(said.any, named_weights, nouns.Correction)), 0.04),
        Sentence("disregard", "Withdraws the last reading; it stays in the journal as withdrawn.", ("disregard",),
                 meaning(nouns.Disregard(), "disregard"), 0.02),
        Sentence("same", "The same values as the key before; a note may stand before it.",
                 ("same", "D four same"),
                 _perhaps_named(Word("same"), seq(named.any, Word("same")), nouns.Same), 0.02),
        Sentence("next, back, skip", "Moves along the plan: on, back one key, or past a key that is left out.",
                 ("next", "back", "skip"), _move(), 0.03),
        Sentence("say again", "Repeats the question or the last reading.", ("say again",),
                 meaning(nouns.SayAgain(), "say again"), 0.01),
        Sentence("read back", "Says the current row, or the one of a note.", ("read back", "read back E five"),
                 seq(phrase("read back"), _perhaps_named(EMPTY, named.any, nouns.ReadBack)), 0.015),
        Sentence("stand by", "Takes nothing in until \"go ahead\".", ("stand by",),
                 meaning(nouns.StandBy(), "stand by"), 0.01),
        Sentence("go ahead", "Listens again.", ("go ahead",), _go_ahead(), 0.003),
        Sentence("*plan*", "Sets the keys to go through: every key, the naturals, the sharps, an octave, each of "
                 "some letters, a list; \"up the compass\" or \"down the compass\" may follow. \"no plan\" ends it.",
                 ("every key", "the naturals down the compass", "octave four", "each C and F",
                  "keys A four C five and E five", "no plan"),
                 Act(plan_expression(), _plan_wanted), 0.012),
    )  # fmt: skip


def answer_sentences(said: Weights) -> tuple[Sentence, ...]:
    """What only an open question makes sense of."""
    return (
        Sentence("affirm, yes", "The value as heard is right.", ("affirm", "yes"),
                 meaning(nouns.Answer(True), _yes()), 0.6),
        Sentence("negative, no", "The value as heard is wrong; it is dropped.", ("negative", "no"),
                 meaning(nouns.Answer(False), _no()), 0.3),
        Sentence("negative *weights*", "It is wrong, this is right. The right value alone does as well.",
                 ("negative fifty four", "no fifty four"),
                 Act(seq(_no(), said.any), lambda parts: nouns.Correction(None, parts)), 0.08),
        Sentence("affirm *weights*", "The value repeated: taken like the value alone.",
                 ("affirm sixty one", "yes sixty one"),
                 Act(seq(_yes(), said.any), lambda parts: nouns.Reading(None, parts)), 0.02),
    )  # fmt: skip


def standing_by_sentences() -> tuple[Sentence, ...]:
    return (Sentence("go ahead", "Listens again.", ("go ahead",), _go_ahead(), 1.0),)


def _yes() -> Alt:
    return Alt(((0.5, Word("affirm")), (0.5, Word("yes"))))


def _no() -> Alt:
    return Alt(((0.5, Word("negative")), (0.5, Word("no"))))


def _go_ahead() -> Act:
    return meaning(nouns.GoAhead(), "go ahead")


def _perhaps_named(rest: Expression, named_rest: Expression, make: Callable[..., Said]) -> Alt:
    """`rest`, mostly alone, else after a note; `make` takes the key (None where no note is said) and the rest."""
    alone = Act(rest, lambda *values: make(None, *values))
    return Alt(((0.8, alone), (0.2, Act(named_rest, _with_key(make)))))


def _move() -> Alt:
    return Alt(
        (
            (0.5, meaning(nouns.Move("next"), "next")),
            (0.3, meaning(nouns.Move("back"), "back")),
            (0.2, meaning(nouns.Move("skip"), "skip")),
        )
    )


def _plan_wanted(plan: nouns.Plan | OffKeyboard) -> Said:
    return plan if isinstance(plan, OffKeyboard) else nouns.PlanWanted(plan)


TOUCH_SHARE = {Context.TOUCH: 1.0, Context.ANSWER: 0.5}
"""Share of the touch pass's sentences in a context; the rest answer the question."""


def sentences(context: Context, expected: Expectation) -> tuple[tuple[float, Sentence], ...]:
    """The sentences of a context with their chances, which add up to 1."""
    if context is Context.STANDING_BY:
        groups = [(1.0, standing_by_sentences())]
    elif context in TOUCH_SHARE:
        share, said = TOUCH_SHARE[context], weights(expected)
        groups = [(share, touch_sentences(note(key_chance(expected.key)), said))]
        if share < 1:
            groups.append((1 - share, answer_sentences(said)))
    else:
        raise ValueError(f"no sentences for the {context} pass yet: use the touch pass")
    return tuple(
        (share * s.weight / sum(other.weight for other in group), s) for share, group in groups for s in group
    )
