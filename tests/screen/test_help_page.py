"""The help page: every sentence of the grammar and every key is on it, at any width."""

from __future__ import annotations

import pytest
from textual.binding import Binding

from handsfree.screen.app import HandsfreeApp
from handsfree.screen.help import help_lines
from handsfree.screen.styled import plain
from handsfree.words import guide


def test_every_sentence_and_every_key_stands_there() -> None:
    page = "\n".join(plain(help_lines(120)))
    for sentence in guide.sentences():
        assert sentence.say.replace("*", "") in page
    for binding in HandsfreeApp.BINDINGS:
        assert isinstance(binding, Binding)
        if binding.show:
            assert binding.key.replace("ctrl+q", "Ctrl+Q").replace("f", "F") in page


@pytest.mark.parametrize("columns", [40, 58, 76, 196])
def test_it_keeps_to_its_width(columns: int) -> None:
    assert max(map(len, plain(help_lines(columns)))) <= columns


def test_cautions_stand_there() -> None:
    page = " ".join("\n".join(plain(help_lines(78))).split())
    assert "local codes and licensed practice come first" in page
    assert "lead" in page
