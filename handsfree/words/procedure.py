"""The procedure words, which every pass over the keys takes; most are radiotelephony's."""

from __future__ import annotations

from collections.abc import Callable

from handsfree import nouns
from handsfree.nouns import OffKeyboard, Pass, Said
from handsfree.words.expressions import EMPTY, Act, Alt, Expression, Word, meaning, one_of, phrase, seq
from handsfree.words.notes import Note
from handsfree.words.plans import NO_PLAN, keys_expression
from handsfree.words.sentence import Sentence, with_key


def procedure_sentences(named: Note) -> tuple[Sentence, ...]:
    return (
        Sentence("disregard", "Withdraws the last reading; it stays in the journal as withdrawn.", ("disregard",),
                 meaning(nouns.Disregard(), "disregard"), 0.02),
        Sentence("same", "The same values as the key before; a note may stand before it.",
                 ("same", "D four same"),
                 perhaps_named(Word("same"), seq(named.any, Word("same")), nouns.Same), 0.02),
        Sentence("next, back, skip", "Moves along the plan: on, back one key, or past a key that is left out.",
                 ("next", "back", "skip"), _move(), 0.03),
        Sentence("say again", "Repeats the question or the last reading.", ("say again",),
                 meaning(nouns.SayAgain(), "say again"), 0.01),
        Sentence("read back", "Says the current row, or the one of a note.", ("read back", "read back E five"),
                 seq(phrase("read back"), perhaps_named(EMPTY, named.any, nouns.ReadBack)), 0.015),
        Sentence("stand by", "Takes nothing in until \"go ahead\".", ("stand by",),
                 meaning(nouns.StandBy(), "stand by"), 0.01),
        Sentence("go ahead", "Listens again.", ("go ahead",), go_ahead(), 0.003),
        Sentence("*plan*", "Sets the keys to go through: every key, the naturals, the sharps, an octave, each of "
                 "some letters, a list; \"up the compass\" or \"down the compass\" may follow. \"no plan\" ends it. "
                 "Once a plan is under way or values stand, say \"plan\" first: talk about keys must not change it.",
                 ("every key", "the naturals down the compass", "octave four", "each C and F",
                  "keys A four C five and E five", "plan the sharps", "no plan"),
                 _plan(), 0.012),
        pass_sentence(),
        new_sitting_sentence(),
    )  # fmt: skip


def pass_sentence() -> Sentence:
    return Sentence(
        "touch pass, swing pass, walkthrough",
        "What is taken: the weights of each key, the swings of its hammer, or what is seen of the parts. The plan "
        "goes on at the first key that lacks what the pass takes.",
        ("touch pass", "swing pass", "walkthrough"),
        any_pass(),
        0.004,
    )


def new_sitting_sentence() -> Sentence:
    return Sentence(
        "new sitting",
        "Said twice: closes this sitting, which stays as it is, and begins the next one at this instrument, such as "
        "after a treatment.",
        ("new sitting",),
        meaning(nouns.NewSitting(), "new sitting"),
        0.001,
    )


def yes() -> Alt:
    return Alt(((0.5, Word("affirm")), (0.5, Word("yes"))))


def no() -> Alt:
    return Alt(((0.5, Word("negative")), (0.5, Word("no"))))


def go_ahead() -> Act:
    return meaning(nouns.GoAhead(), "go ahead")


def perhaps_named(rest: Expression, named_rest: Expression, make: Callable[..., Said]) -> Alt:
    """`rest`, mostly alone, else after a note; `make` takes the key (None where no note is said) and the rest."""
    alone = Act(rest, lambda *values: make(None, *values))
    return Alt(((0.8, alone), (0.2, Act(named_rest, with_key(make)))))


def _move() -> Alt:
    return Alt(
        (
            (0.5, meaning(nouns.Move("next"), "next")),
            (0.3, meaning(nouns.Move("back"), "back")),
            (0.2, meaning(nouns.Move("skip"), "skip")),
        )
    )


def _plan() -> Alt:
    def wanted(named: bool) -> Callable[[nouns.Plan | OffKeyboard], Said]:
        return lambda plan: plan if isinstance(plan, OffKeyboard) else nouns.PlanWanted(plan, named)

    keys = keys_expression()
    return Alt(
        (
            (0.7, Act(keys, wanted(False))),
            (0.25, Act(seq(Word("plan"), keys), wanted(True))),
            (0.05, meaning(nouns.PlanWanted(NO_PLAN, True), phrase("no plan"))),
        )
    )


def any_pass() -> Alt:
    """Any of the three, the one under way too: whoever is not sure asks for it."""
    return Alt(
        (
            (0.4, meaning(nouns.PassWanted(Pass.SWINGS), one_of("swing pass", "swings pass"))),
            (0.4, meaning(nouns.PassWanted(Pass.TOUCH), "touch pass")),
            (0.2, meaning(nouns.PassWanted(Pass.WALKTHROUGH), "walkthrough")),
        )
    )
