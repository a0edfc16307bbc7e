"""The sentences of the swing pass, and the answers to its questions."""

from __future__ import annotations

from handsfree import nouns
from handsfree.words.counting import Counts, Next, counted, counted_again, with_following
from handsfree.words.expressions import Act, Alt, Expression, Word, meaning, seq
from handsfree.words.notes import Note
from handsfree.words.procedure import no, perhaps_named, yes
from handsfree.words.sentence import Sentence, with_key


def swing_sentences(named: Note, said: Counts) -> tuple[Sentence, ...]:
    """Without the procedure words, which are those of every pass."""
    named_total = named.before(said.total, said.total_in_words)
    return (
        Sentence(
            "*note* *count*",
            "Name the key, let the hammer fall, count its swings: one number a swing, from one. A silence closes the "
            "count, or the next note, whose count may follow at once. \"again\" drops it, and the count begins anew.",
            ("A four one two three four five six seven", "one two three again one two three four five",
             "one two three four B four", "A four one two three four five B four one two three"),
            Alt(((0.4, Act(named.before(said.run, _nothing_in_words(said)), with_key(counted))),
                 (0.6, Act(said.run, lambda run: counted(None, run))))),
            0.45,
        ),
        Sentence(
            "*note* *total*",
            "The count said at once; zero or seized for a hammer that does not swing. Up to three keys in a breath.",
            ("A four seven", "seven", "six and a half swings", "seized", "A four seven B four six"),
            Alt(((0.3, Act(seq(named_total, said.following), with_key(_total))),
                 (0.7, Act(seq(said.total, said.following), lambda *said: _total(None, *said))))),
            0.20,
        ),
        Sentence("*note*", "Goes to that key.", ("A flat three", "alfa four", "key one"),
                 Act(named.any, with_key(nouns.GoTo)), 0.25),
        Sentence("again *count*", "The count begins anew, after a pause, too.", ("again", "again one two three four"),
                 Act(said.again, lambda run: counted_again(None, run)), 0.02),
        Sentence("correction *total*", "The last count was wrong, this is the right one; a note may stand before it.",
                 ("correction eight", "correction C four six"),
                 seq(Word("correction"), perhaps_named(said.total, named_total, nouns.Correction)), 0.03),
    )  # fmt: skip


def _total(key: int | None, amounts: tuple[nouns.Amount, ...], following: Next) -> nouns.Said:
    return with_following(nouns.Reading(key, amounts), following)


def _nothing_in_words(said: Counts) -> Expression:
    """A count begins with a digit: after "key forty" it would be part of the note."""
    return Act(said.again, lambda run: run)


def swing_answer_sentences(said: Counts) -> tuple[Sentence, ...]:
    return (
        Sentence("affirm, yes", "The count as heard is right.", ("affirm", "yes"),
                 meaning(nouns.Answer(True), yes()), 0.6),
        Sentence("negative, no", "The count as heard is wrong; it is dropped.", ("negative", "no"),
                 meaning(nouns.Answer(False), no()), 0.3),
        Sentence("negative *total*", "It is wrong, this is right. The right total alone does as well, or a count.",
                 ("negative eight", "no eight"),
                 Act(seq(no(), said.total), lambda parts: nouns.Correction(None, parts)), 0.08),
        Sentence("affirm *total*", "The total repeated: taken like the total alone.", ("affirm seven", "yes seven"),
                 Act(seq(yes(), said.total), lambda parts: nouns.Reading(None, parts)), 0.02),
    )  # fmt: skip
