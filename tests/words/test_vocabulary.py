"""The ear must know every word of the language: the model's word list and lexicon against the grammar."""

from __future__ import annotations

from pathlib import Path

import pytest

from handsfree.nouns import Context
from handsfree.words.grammar import vocabulary

MODELS = Path(__file__).parents[2] / "models"
GRAPH_WORDS = MODELS / "keybed-en" / "graph" / "words.txt"
LEXICON = MODELS / "training" / "lexicon.tsv"


def first_column(path: Path) -> set[str]:
    if not path.is_file():
        pytest.skip(f"no {path.relative_to(MODELS.parent)} in this checkout")
    return {line.split()[0] for line in path.read_text(encoding="utf-8").splitlines() if line.strip()}


@pytest.mark.parametrize("path", [GRAPH_WORDS, LEXICON], ids=["model", "lexicon"])
def test_the_model_knows_every_word(path: Path) -> None:
    assert vocabulary() - first_column(path) == set()


def test_the_words_are_lower_case_and_few() -> None:
    words = vocabulary()
    assert all(word.isascii() and word.replace("-", "").isalpha() and word == word.lower() for word in words)
    assert {"a", "c", "charlie", "fifty", "half", "disregard", "compass", "ahead", "again", "seized"} <= words
    assert all(len(vocabulary(context)) < 120 for context in (Context.ANSWER, Context.SWINGS_ANSWER))
