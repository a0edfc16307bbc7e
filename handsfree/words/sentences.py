"""The sentences of each context: what each does, for people, and its expression, for the machine."""

from __future__ import annotations

from handsfree import nouns
from handsfree.nouns import COUNTING, Context
from handsfree.words.amounts import Weights, weights
from handsfree.words.counting import counts
from handsfree.words.expressions import Act, Alt, Word, meaning, seq
from handsfree.words.likely import any_key
from handsfree.words.notes import Note, note
from handsfree.words.procedure import go_ahead, no, perhaps_named, procedure_sentences, yes
from handsfree.words.sentence import Sentence, with_key
from handsfree.words.swing_sentences import swing_answer_sentences, swing_sentences


def touch_sentences(named: Note, said: Weights) -> tuple[Sentence, ...]:
    named_weights = named.before(said.any, said.in_words)
    return (
        Sentence(
            "*note* *weights*",
            "Takes the weights at that key and goes on from there. One number is the down weight (or the up weight "
            "where only that is missing), two are down, then up.",
            ("C four fifty two twenty eight", "foxtrot sharp four five two two eight", "key forty nine fifty one"),
            Act(named_weights, with_key(nouns.Reading)),
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
                 Act(named.any, with_key(nouns.GoTo)), 0.05),
        Sentence("correction *weights*", "The last value was wrong, this is the right one; a note may stand before "
                 "the weights.", ("correction fifty four", "correction up twenty four",
                                  "correction C four fifty four twenty six"),
                 seq(_correction(), perhaps_named(said.any, named_weights, nouns.Correction)), 0.04),
        *procedure_sentences(named),
    )  # fmt: skip


def answer_sentences(said: Weights) -> tuple[Sentence, ...]:
    """What only an open question makes sense of."""
    return (
        Sentence("affirm, yes", "The value as heard is right.", ("affirm", "yes"),
                 meaning(nouns.Answer(True), yes()), 0.6),
        Sentence("negative, no", "The value as heard is wrong; it is dropped.", ("negative", "no"),
                 meaning(nouns.Answer(False), no()), 0.3),
        Sentence("negative *weights*", "It is wrong, this is right. The right value alone does as well.",
                 ("negative fifty four", "no fifty four"),
                 Act(seq(no(), said.any), lambda parts: nouns.Correction(None, parts)), 0.08),
        Sentence("affirm *weights*", "The value repeated: taken like the value alone.",
                 ("affirm sixty one", "yes sixty one"),
                 Act(seq(yes(), said.any), lambda parts: nouns.Reading(None, parts)), 0.02),
    )  # fmt: skip


def standing_by_sentences() -> tuple[Sentence, ...]:
    return (Sentence("go ahead", "Listens again.", ("go ahead",), go_ahead(), 1.0),)


def _correction() -> Alt:
    """ "Fifty two - no, correction fifty three"."""
    return Alt(((0.9, Word("correction")), (0.1, seq(no(), Word("correction")))))


ANSWERS = 0.5
"""Share of the answers where a question is open; the rest are the pass's own sentences."""


def sentences(context: Context) -> tuple[tuple[float, Sentence], ...]:
    """The sentences of a context with their chances, which add up to 1."""
    named = note(any_key)
    groups: list[tuple[float, tuple[Sentence, ...]]]
    if context is Context.STANDING_BY:
        groups = [(1.0, standing_by_sentences())]
    elif context in (Context.TOUCH, Context.ANSWER):
        said = weights()
        groups = [(1.0, touch_sentences(named, said)), (ANSWERS, answer_sentences(said))]
    elif context in COUNTING:
        counted = counts()
        own = (*swing_sentences(named, counted), *procedure_sentences(named))
        groups = [(1.0, own), (ANSWERS, swing_answer_sentences(counted))]
    else:
        raise ValueError(f"no sentences for the {context} pass here")
    if context in (Context.TOUCH, Context.SWINGS):
        groups = groups[:1]
    elif len(groups) > 1:
        groups[0] = (1 - ANSWERS, groups[0][1])
    return tuple(
        (share * s.weight / sum(other.weight for other in group), s) for share, group in groups for s in group
    )
