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
temperature = "fahrenheit"

[judgement]
down_g = [40, 70.5]
up_g = [15, 40]
friction_g = [5, 20]
swings = [1, 30]
heaviest_g = 200
repeat_g = 1
take = 0.95
take_note = 0.9
take_count = 0.91
take_in_noise = 0.99
take_finding = 0.8
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
    assert limits.fahrenheit
    assert (limits.take_note, limits.take_count) == (0.9, 0.91)
    assert (limits.swings, limits.take_in_noise, limits.take_finding) == (Range(Decimal(1), Decimal(30)), 0.99, 0.8)


def test_what_is_not_set_is_as_the_judgement_has_it() -> None:
    assert limits_of(Settings()) == Limits()


@pytest.mark.parametrize(
    ("text", "message"),
    [
        ("read_back = 'sometimes'", r"read_back = \"sometimes\" will not do: .*'never', 'questions' or 'every'"),
        ("weight_step_g = 'half'", 'weight_step_g = "half" will not do: it should be a number, without quotes'),
        ("weight_step_g = 0", "weight_step_g = 0 will not do: it should be greater than 0"),
        ("weight_step_g = true", "weight_step_g = true will not do"),
        ("voice = 1", "voice = 1 will not do"),
        ("voice = 'yes'", 'voice = "yes" will not do: it should be true or false'),
        ("release_angle_deg = 400", "release_angle_deg = 400 will not do"),
        ("readback = 'every'", r"no setting 'readback'\. Did you mean read_back\? There are weights, weight_step_g"),
        ("colour = 'red'", r"no setting 'colour'\. There are weights, weight_step_g"),
        ("device = 3", "device = 3 will not do: it should be text in quotes"),
        ("judgement = 3", "judgement = 3 will not do: it is a table"),
        ("[touch]\nsections = {bass = [0, 29]}", r"touch\.sections\.bass\.0 = 0 will not do: .* at least 1"),
        ("[touch]\nsections = {bass = [29, 1]}", "each section is its first and its last key"),
        ("[touch]\nsections = {bass = [1, 29], treble = [29, 88]}", "no key is in two"),
        ("[judgement]\nheaviest_g = -4", "judgement.heaviest_g = -4 will not do: it should be greater than 0"),
        ("[judgement]\ntake = 2", "judgement.take = 2 will not do: it should be at most 1"),
        ("[judgement]\ndown_g = [1]", r"judgement\.down_g = \[1\] will not do: it should hold 2 numbers"),
        ("[judgement]\ndown_g = 1", r"judgement\.down_g = 1 will not do: it should be two numbers"),
        ("[judgement]\ndown_g = [70, 40]", "the lower one must stand first"),
        ("[judgement]\ndown = [1, 2]", r"no setting 'judgement\.down'\. Did you mean down_g\? There are down_g"),
        ("voice = ", "x is not TOML"),
        ("voice = true\nvoice = false", "x is not TOML"),
    ],
)
def test_what_makes_no_sense_is_named(text: str, message: str) -> None:
    with pytest.raises(BadSettings, match=message) as caught:
        parse_settings(text, "x")
    assert "\n" not in str(caught.value)
    assert str(caught.value).endswith(".")


def test_sections_may_be_one_key_long() -> None:
    text = "[touch]\nsections = {low = [1, 4], one = [5, 5], high = [6, 88]}"
    assert parse_settings(text, "x").touch.sections == {"low": [1, 4], "one": [5, 5], "high": [6, 88]}


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
