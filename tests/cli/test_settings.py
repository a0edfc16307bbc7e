"""One file of settings: what is not set has a default, what makes no sense is named."""

from __future__ import annotations

from decimal import Decimal
from pathlib import Path

import pytest

from handsfree.errors import BadSettings
from handsfree.judgement.limits import Limits, Range
from handsfree.opening import limits_of
from handsfree.settings import JudgementTable, Settings, journal_path, parse_settings, read_settings


def test_without_a_file_everything_has_a_default(tmp_path: Path) -> None:
    settings = read_settings(None, {"XDG_CONFIG_HOME": str(tmp_path)})
    assert settings == Settings()
    assert (settings.read_back, settings.weights) == ("questions", "down and up")


EVERYTHING = """
weights = "down"
weight_step_g = 0.5
swing = "to and fro"
release_angle_deg = 45
read_back = "every"
voice = false
voice_rate = 200
natural_voice = "/made/up/voice.onnx"
earcons = false
device = "usb"
general_model = "/models/big"
model = "/models/mine"
keep_clips = false
journal = "/data/all.journal"
theme = "light"

[judgement]
down_g = [40, 70.5]
up_g = [15, 40]
friction_g = [5, 20]
heaviest_g = 200
repeat_g = 1
take = 0.95
overrule = 0.3
surprise = 0
"""


def test_everything_can_be_set() -> None:
    settings = parse_settings(EVERYTHING, "x")
    # what touch is wanted is the figures' own affair, and tested with them
    assert set(Settings.model_fields) - {"touch"} == settings.model_fields_set
    assert set(JudgementTable.model_fields) == settings.judgement.model_fields_set
    assert (settings.weight_step_g, settings.release_angle_deg) == (Decimal("0.5"), 45.0)
    limits = limits_of(settings)
    assert (limits.down, limits.take, limits.weights) == (Range(Decimal(40), Decimal("70.5")), 0.95, "down")


def test_what_is_not_set_is_as_the_judgement_has_it() -> None:
    assert limits_of(Settings()) == Limits()


@pytest.mark.parametrize(
    ("text", "message"),
    [
        ("read_back = 'sometimes'", r"read_back = sometimes will not do: .*'never', 'questions' or 'every'"),
        ("weight_step_g = 'half'", "weight_step_g = half will not do"),
        ("weight_step_g = 0", "weight_step_g = 0 will not do: it should be greater than 0"),
        ("weight_step_g = true", "weight_step_g = True will not do"),
        ("voice = 1", "voice = 1 will not do"),
        ("voice = 'yes'", "voice = yes will not do"),
        ("release_angle_deg = 400", "release_angle_deg = 400 will not do"),
        ("readback = 'every'", r"no setting 'readback'\. Remove it; there are weights, weight_step_g"),
        ("[judgement]\ntake = 2", "judgement.take = 2 will not do"),
        ("[judgement]\ndown_g = [1]", r"judgement\.down_g = .* will not do"),
        ("[judgement]\ndown_g = [70, 40]", "the lower one must stand first"),
        ("[judgement]\ndown = [1, 2]", r"no setting 'judgement\.down'\. Remove it; there are down_g"),
        ("voice = ", "x is not TOML"),
        ("voice = true\nvoice = false", "x is not TOML"),
    ],
)
def test_what_makes_no_sense_is_named(text: str, message: str) -> None:
    with pytest.raises(BadSettings, match=message) as caught:
        parse_settings(text, "x")
    assert "\n" not in str(caught.value)
    assert str(caught.value).endswith(".")


def test_the_file_named_on_the_command_line_comes_first(tmp_path: Path) -> None:
    for name, step in (("named", 2), ("environ", 3), ("handsfree/settings", 4)):
        (tmp_path / name).with_suffix(".toml").parent.mkdir(exist_ok=True)
        (tmp_path / name).with_suffix(".toml").write_text(f"weight_step_g = {step}")
    environ = {"XDG_CONFIG_HOME": str(tmp_path)}
    assert read_settings(None, environ).weight_step_g == 4
    environ["HANDSFREE_SETTINGS"] = str(tmp_path / "environ.toml")
    assert read_settings(None, environ).weight_step_g == 3
    assert read_settings(str(tmp_path / "named.toml"), environ).weight_step_g == 2


def test_a_file_that_was_named_must_be_there(tmp_path: Path) -> None:
    for named, environ in (
        (str(tmp_path / "no.toml"), {}),
        (None, {"HANDSFREE_SETTINGS": str(tmp_path / "no.toml")}),
    ):
        with pytest.raises(BadSettings, match="there is no file"):
            read_settings(named, environ)


def test_a_file_that_is_no_text(tmp_path: Path) -> None:
    (tmp_path / "s.toml").write_bytes(b"\xff\xfe\x00")
    with pytest.raises(BadSettings, match="cannot read settings"):
        read_settings(str(tmp_path / "s.toml"), {})
    with pytest.raises(BadSettings, match="cannot read settings"):
        read_settings(str(tmp_path), {})


def test_the_journal_that_is_meant() -> None:
    environ = {"XDG_DATA_HOME": "/data"}
    assert journal_path("a", Settings(journal="b"), environ) == Path("a")
    assert journal_path(None, Settings(journal="b"), environ) == Path("b")
    assert journal_path(None, Settings(), environ) == Path("/data/handsfree/readings.journal")
