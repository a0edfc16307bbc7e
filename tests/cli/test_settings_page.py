"""`handsfree settings`: a file that says what is in force, and can be begun with."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from handsfree.cli import main
from handsfree.judgement.limits import Limits
from handsfree.measured import touch_of
from handsfree.opening import limits_of
from handsfree.reckoning.touch_settings import TouchSettings
from handsfree.settings import JudgementTable, Settings, TouchTable, parse_settings
from handsfree.settings_page import meanings, page
from tests.cli.test_settings import EVERYTHING

NAMES = {*Settings.model_fields, *JudgementTable.model_fields, *TouchTable.model_fields} - {"judgement", "touch"}


def taken_in(text: str) -> str:
    """With every "#" before a setting or a table taken away."""
    return re.sub(r"(?m)^#(?=[\w\"]+ = |\[)", "", text)


def test_nothing_set_sets_nothing() -> None:
    assert parse_settings(page(Settings()), "page") == Settings()


def test_what_stands_behind_the_signs_is_what_is_in_force() -> None:
    text = taken_in(page(Settings()))
    settings = parse_settings(text, "page")
    assert settings.model_copy(update={"judgement": JudgementTable(), "touch": TouchTable()}) == Settings()
    assert limits_of(settings) == Limits()
    assert touch_of(settings) == TouchSettings()
    assert set(re.findall(r"(?m)^(\w+) = ", text)) >= NAMES - {"sections"}


@pytest.mark.parametrize(
    "text", [EVERYTHING, '[touch]\ndown_ideal_low = 47.5\n[touch.sections]\n"low end" = [1, 40]\nhigh = [41, 88]\n']
)
def test_what_is_set_comes_back(text: str) -> None:
    settings = parse_settings(text, "own")
    assert parse_settings(page(settings), "page") == settings
    assert limits_of(parse_settings(taken_in(page(settings)), "page")) == limits_of(settings)


def test_every_setting_has_its_meaning() -> None:
    for table, names in ((Settings, Settings.model_fields), (TouchSettings, TouchTable.model_fields)):
        assert set(names) - {"judgement", "touch"} <= {name for name, told in meanings(table).items() if told}
    assert {name.removesuffix("_g") for name in JudgementTable.model_fields} <= set(meanings(Limits))


def test_words_to_choose_from_are_named() -> None:
    told = page(Settings()).replace("\n# ", " ")
    assert 'One of: "never", "questions", "every".\n#read_back = "questions"' in told


def test_the_command(tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("XDG_CONFIG_HOME", str(tmp_path))
    monkeypatch.delenv("HANDSFREE_SETTINGS", raising=False)
    own = tmp_path / "own.toml"
    own.write_text('weights = "down"\n', encoding="utf-8")
    assert main(["settings", "--settings", str(own)]) == 0
    assert '\nweights = "down"\n' in capsys.readouterr().out
    assert main(["settings"]) == 0
    out, err = capsys.readouterr()
    assert '\n#weights = "down and up"\n' in out
    assert err == f"handsfree: settings belong into {tmp_path / 'handsfree' / 'settings.toml'}\n"
