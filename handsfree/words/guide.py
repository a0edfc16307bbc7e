"""The language as a table for people, from the same sentences that the machine listens for."""

from __future__ import annotations

from handsfree.words.likely import Expectation
from handsfree.words.sentences import Sentence, answer_sentences, touch_sentences


def rows() -> tuple[Sentence, ...]:
    """Every sentence of the touch pass, then the answers to a question."""
    return touch_sentences(Expectation()) + answer_sentences(Expectation())


def table_markdown() -> str:
    """A Markdown table: what you say, what it does, examples."""
    lines = ["| say | what happens | for example |", "| --- | --- | --- |"]
    for sentence in rows():
        examples = "<br>".join(f"\u201c{e}\u201d" for e in sentence.examples)
        lines.append(f"| {sentence.say} | {sentence.does} | {examples} |")
    return "\n".join(lines) + "\n"
