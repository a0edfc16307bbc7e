"""The documents are under test: what README says must be what the program is."""

from __future__ import annotations

import re
import shlex
import tomllib
from pathlib import Path

import pytest

from handsfree.cli import build_parser
from handsfree.words import guide

TOP = Path(__file__).parents[2]
README = (TOP / "README.md").read_text(encoding="utf-8")


def section(title: str) -> str:
    found = re.search(rf"^## {re.escape(title)}$(.*?)(?=^## |\Z)", README, re.M | re.S)
    assert found, f"README has no section {title}"
    return found[1]


@pytest.mark.parametrize("title", ["Run", "Test"])
def test_one_command_stands_alone_in_its_block(title: str) -> None:
    blocks = re.findall(r"^```\w*\n(.*?)^```", section(title), re.M | re.S)
    assert len(blocks) == 1
    assert len(blocks[0].strip().splitlines()) == 1


def test_the_language_is_the_grammar_s_own() -> None:
    """Made with: python -m handsfree.words.guide"""
    assert guide.table_markdown().strip() in README


def commands() -> list[str]:
    choices = next(a.choices for a in build_parser()._actions if a.choices and hasattr(a.choices, "keys"))
    return list(choices)


def shown() -> list[str]:
    """Every command line in a block of README."""
    blocks = re.findall(r"^```\w*\n(.*?)^```", README, re.M | re.S)
    return [line for block in blocks for line in block.splitlines() if line.startswith("handsfree")]


@pytest.mark.parametrize("line", shown())
def test_a_command_that_is_shown_is_one(line: str) -> None:
    build_parser().parse_args(shlex.split(line, comments=True)[1:])


def test_commands_are_shown() -> None:
    assert len(shown()) >= 5


@pytest.mark.parametrize("command", commands())
def test_every_command_stands_in_readme(command: str) -> None:
    assert f"handsfree {command}" in section("Commands")


def test_every_dependency_stands_in_readme_with_its_reason() -> None:
    project = tomllib.loads((TOP / "pyproject.toml").read_text(encoding="utf-8"))["project"]
    listed = [*project["dependencies"], *project["optional-dependencies"]["test"]]
    names = {re.split(r"[=<>\[; ]", d)[0] for d in listed}
    text = section("Dependencies")
    missing = {n for n in names if not re.search(rf"`{re.escape(n)}`", text)}
    assert not missing


def test_cautions_privacy_and_licence_are_said() -> None:
    for title in ("Privacy", "Cautions", "Licence", "Microphone", "Commands"):
        assert len(section(title)) > 100
