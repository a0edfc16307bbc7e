"""One TOML file that says how this technician likes to work; without it everything has a sensible default.

Found at --settings, else at $HANDSFREE_SETTINGS, else at handsfree/settings.toml in the folder for settings of this
user ($XDG_CONFIG_HOME or ~/.config). Strict: an unknown key or a value of the wrong kind is an error that names it,
because a setting that is quietly ignored is found out on the wrong day.
"""

from __future__ import annotations

import os
import tomllib
from collections.abc import Mapping
from decimal import Decimal
from itertools import pairwise
from pathlib import Path
from typing import Annotated, Any, Literal

from pydantic import AfterValidator, BaseModel, BeforeValidator, ConfigDict, Field, ValidationError, model_validator

from handsfree.errors import BadSettings
from handsfree.nouns import HIGHEST_KEY, LOWEST_KEY
from handsfree.reckoning.touch_settings import TouchSettings
from handsfree.settings_faults import fault


def _as_decimal(value: Any) -> Any:
    return Decimal(value) if isinstance(value, int) and not isinstance(value, bool) else value


def _as_float(value: Any) -> Any:
    return float(value) if isinstance(value, (int, Decimal)) and not isinstance(value, bool) else value


Grams = Annotated[Decimal, BeforeValidator(_as_decimal)]
Real = Annotated[float, BeforeValidator(_as_float)]
Share = Annotated[float, BeforeValidator(_as_float), Field(ge=0, le=1)]


class _Table(BaseModel):
    model_config = ConfigDict(strict=True, frozen=True, extra="forbid")


def _rising(span: list[Decimal]) -> list[Decimal]:
    if not span[0] < span[1]:
        raise ValueError("the lower one must stand first")
    return span


Span = Annotated[list[Grams], Field(min_length=2, max_length=2), AfterValidator(_rising)]


class JudgementTable(_Table):
    """When to ask, table [judgement]; what is not set is as in judgement/limits.py, which says what each one does."""

    down_g: Span | None = None
    """Lowest and highest plausible down weight, grams."""
    up_g: Span | None = None
    friction_g: Span | None = None
    swings: Span | None = None
    """Fewest and most plausible swings."""
    heaviest_g: Annotated[Grams, Field(gt=0)] | None = None
    repeat_g: Annotated[Grams, Field(ge=0)] | None = None
    take: Share | None = None
    take_note: Share | None = None
    take_count: Share | None = None
    take_in_noise: Share | None = None
    take_finding: Share | None = None
    overrule: Share | None = None
    surprise: Share | None = None


Stretch = Annotated[
    list[Annotated[int, Field(ge=LOWEST_KEY, le=HIGHEST_KEY)]], Field(min_length=2, max_length=2)
]


def _apart(sections: dict[str, list[int]]) -> dict[str, list[int]]:
    those = sorted(sections.values())
    if any(first > last for first, last in those) or any(a[1] >= b[0] for a, b in pairwise(those)):
        raise ValueError("each section is its first and its last key, and no key is in two")
    return sections


Wanted = Annotated[Grams, Field(ge=0, le=200)]


RISING = (
    ("down_light", "down_ideal_low", "down_ideal_high", "down_acceptable", "down_too_heavy"),
    ("swings_tight", "swings_wanted", "swings_loose"),
)


class TouchTable(_Table):
    """The touch wanted, table [touch]; what is not set is as in reckoning/touch_settings.py, which explains each."""

    down_ideal_low: Wanted | None = None
    down_ideal_high: Wanted | None = None
    down_acceptable: Wanted | None = None
    down_too_heavy: Wanted | None = None
    down_light: Wanted | None = None
    up_slow: Wanted | None = None
    friction_target_bass: Wanted | None = None
    friction_target_treble: Wanted | None = None
    friction_margin: Wanted | None = None
    friction_low: Wanted | None = None
    swings_wanted: Wanted | None = None
    swings_tight: Wanted | None = None
    swings_loose: Wanted | None = None
    flange_gain: Wanted | None = None
    balance_hole_gain: Wanted | None = None
    balance_shift_share: Annotated[Grams, Field(ge=0, le=1)] | None = None
    confidence: Annotated[Grams, Field(ge=Decimal("0.5"), le=Decimal("0.9999"))] | None = None
    sections: Annotated[dict[str, Stretch], AfterValidator(_apart)] | None = None
    """Name -> first and last key number: bass = [1, 26]."""

    @model_validator(mode="after")
    def _in_order(self) -> TouchTable:
        """What is lighter or fewer stands below; what is not set counts as usual."""
        usual = TouchSettings()
        for names in RISING:
            values = [own if (own := getattr(self, name)) is not None else getattr(usual, name) for name in names]
            if values != sorted(values):
                raise ValueError(f"{', '.join(names)} must rise in this order")
        return self


class Settings(_Table):
    """Everything that can be set; each field is a key of the file."""

    weights: Literal["down and up", "down"] = "down and up"
    """What a pass takes at each key: with "down", the plan moves on after the down weight."""
    weight_step_g: Annotated[Grams, Field(gt=0, le=20)] = Decimal(1)
    """Grams: the smallest difference that the technician's set of weights can make."""
    swing: Literal["one way", "to and fro"] = "one way"
    """What counts as one swing; stored with each sitting, because the trade has no single definition."""
    release_angle_deg: Annotated[Real, Field(gt=0, le=120)] = 90.0
    """Degrees from hanging at which the hammer is let go."""
    temperature: Literal["celsius", "fahrenheit"] = "celsius"
    """What a temperature without a unit is in."""

    read_back: Literal["never", "questions", "every"] = "questions"
    """What is spoken: nothing, questions and replies only, or every reading as well."""
    voice: bool = True
    """Speak at all; False shows the lines on the screen only."""
    voice_rate: Annotated[int, Field(ge=80, le=450)] = 170
    """Words a minute."""
    natural_voice: str = ""
    """File of a piper voice (.onnx; needs the extra `voice`); "" = the synthesiser that comes along."""
    earcons: bool = True
    """The short sounds."""

    device: str = ""
    """Name (or part of it) of the microphone; "" = the system's usual one."""
    model: str = ""
    """Folder of the recogniser's model; "" = the one that comes with handsfree."""
    general_model: str = ""
    """Folder of a general Vosk model of your own, that writes spoken remarks down when asked to; "" = none."""
    keep_clips: bool = True
    """Keep the sound of each utterance beside the journal (never while standing by). The sound of a remark is kept in
    any case: it was asked for, and it is the remark."""
    journal: str = ""
    """The journal to use without --journal; "" = handsfree/readings.journal in the folder for data of this user."""
    theme: Literal["dark", "light"] = "dark"
    """How the screen begins; F3 changes it."""
    judgement: JudgementTable = JudgementTable()
    touch: TouchTable = TouchTable()


def settings_file(named: str | None, environ: Mapping[str, str]) -> tuple[Path, bool]:
    """The file to read, and whether it must be there (someone named it)."""
    wanted = named or environ.get("HANDSFREE_SETTINGS")
    if wanted:
        return Path(wanted).expanduser(), True
    home = environ.get("XDG_CONFIG_HOME") or "~/.config"
    return Path(home).expanduser() / "handsfree" / "settings.toml", False


def journal_path(named: str | None, settings: Settings, environ: Mapping[str, str] = os.environ) -> Path:
    """The journal that is meant: the one named, else that of the settings, else the usual one."""
    wanted = named or settings.journal
    if wanted:
        return Path(wanted).expanduser()
    home = environ.get("XDG_DATA_HOME") or "~/.local/share"
    return Path(home).expanduser() / "handsfree" / "readings.journal"


def parse_settings(text: str, name: str) -> Settings:
    """Settings from the text of a TOML file; `name` is for messages. Raises BadSettings."""
    try:
        table = tomllib.loads(text, parse_float=Decimal)
    except tomllib.TOMLDecodeError as error:
        raise BadSettings(f"{name} is not TOML: {error}", do="Mend that line, or move the file aside.") from error
    try:
        return Settings.model_validate(table)
    except ValidationError as error:
        raise fault(error, name, {"": Settings, "judgement": JudgementTable, "touch": TouchTable}) from error


def read_settings(named: str | None = None, environ: Mapping[str, str] = os.environ) -> Settings:
    """The settings of this user. Raises BadSettings."""
    path, must_be_there = settings_file(named, environ)
    try:
        text = path.read_text(encoding="utf-8")
    except FileNotFoundError as error:
        if not must_be_there:
            return Settings()
        raise BadSettings(f"there is no file {path}", do="Check --settings, or HANDSFREE_SETTINGS.") from error
    except (OSError, UnicodeDecodeError) as error:
        raise BadSettings(f"cannot read settings from {path} ({error})", do="Mend it, or move it aside.") from error
    return parse_settings(text, str(path))
