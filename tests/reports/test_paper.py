"""The report page: harmless and whole whatever was said, valid, readable, traceable."""

from __future__ import annotations

import io
import re
from dataclasses import replace
from decimal import Decimal
from pathlib import Path

import html5lib
import pytest

from handsfree.cli import main
from handsfree.journal.sheet import fold
from handsfree.journal.store import Journal
from handsfree.measured import measured
from handsfree.nouns import (
    Asked,
    Context,
    Doubt,
    Fact,
    Finding,
    FindingTook,
    Kept,
    Proposal,
    Quantity,
    Question,
    Sitting,
    Standing,
    Took,
    Withdrew,
)
from handsfree.reckoning.summary import compare, figures
from handsfree.reports.paper import CAUTIONS, report
from handsfree.reports.part import Part
from handsfree.reports.style import DARK, LIGHT
from tests.journal.made import heard

DOWN = Quantity.DOWN
WHEN = "2031-03-14T09:30:00+00:00"
SITTING = Sitting(1, "Made-up grand", WHEN, "handsfree test", "model test", {"weight_step_g": "0.5"})


def took(key: int, quantity: Quantity, value: str | None) -> Took:
    return Took(key, quantity, None if value is None else Decimal(value), Standing.TAKEN, 0.97)


def kept(facts: list[Fact], heard: str = "c four fifty two") -> list[Kept]:
    return [Kept(n, WHEN, n, heard, None, fact) for n, fact in enumerate(facts, start=1)]


def part(facts: list[Fact], heard: str = "c four fifty two", sitting: Sitting = SITTING) -> Part:
    sheet = fold(kept(facts, heard))
    return Part(sitting, sheet, figures(measured(sheet, sitting)), "ab" * 32, {"Place": "nowhere"})


def touch(shift: str = "0") -> list[Fact]:
    facts: list[Fact] = []
    for key in range(40, 52):
        facts.append(took(key, Quantity.DOWN, str(Decimal("52.5") + Decimal(shift) + key % 3)))
        facts.append(took(key, Quantity.UP, str(Decimal(26) - Decimal(shift))))
    return facts


def page_of(*parts: Part, **more: object) -> str:
    comparison = compare(*(measured(p.sheet, p.sitting) for p in parts)) if len(parts) == 2 else None
    return report(parts, comparison, WHEN, "test", **more).decode("utf-8")  # type: ignore[arg-type]


def assert_valid(page: str) -> None:
    """html5lib in strict mode raises at the first parse error of the HTML standard's own parsing algorithm."""
    html5lib.HTMLParser(strict=True).parse(page)


HOSTILE = [
    "<script>alert(1)</script>",
    '"><img src=x onerror=alert(1)>',
    "=cmd|'/c calc'!A0",
    "line one\r\nline two",
    "\u202eright to left\u202c and \u05e2\u05d1\u05e8\u05d9\u05ea",
    "x" * 10_000,
    "nul\x00bell\x07",
    "]]>&amp;&lt;",
]


@pytest.mark.parametrize("words", HOSTILE, ids=range(len(HOSTILE)))
def test_what_was_said_is_shown_whole_and_does_nothing(words: str) -> None:
    named = replace(SITTING, instrument=words)
    page = page_of(replace(part(touch(), words, named), details={"Place": words}), treated=(words,), made_with=words)
    assert_valid(page)
    assert "<script" not in page
    assert "<img" not in page
    shown = html5lib.parse(page, namespaceHTMLElements=False)
    cell = next(b.text for b in shown.iter("bdi"))
    visible = re.sub(r"[\x00-\x08\x0b\x0c\x0e-\x1f]", "\ufffd", words).replace("\r\n", "\n")
    assert cell == visible


@pytest.mark.parametrize(
    "facts",
    [[], [took(40, Quantity.DOWN, "52")], [took(40, Quantity.DOWN, "52"), took(40, Quantity.UP, None)], touch()],
    ids=["nothing", "one value", "no return", "an octave"],
)
def test_a_page_of_little_is_a_page_too(facts: list[Fact]) -> None:
    page = page_of(part(facts))
    assert_valid(page)
    assert "nan" not in re.sub(r"<style>.*?</style>", "", page, flags=re.S).lower().split()


def test_nothing_from_outside_is_needed_to_read_it() -> None:
    page = page_of(part(touch()), part(touch("1")))
    assert_valid(page)
    assert not re.search(r'(src|href)="(?!data:|#)', page)
    assert "url(" not in page
    assert "@import" not in page


def test_each_value_is_traced_to_what_was_said() -> None:
    asked = Asked(Question((Proposal(45, Quantity.DOWN, Decimal(91), 0.5),), Doubt.RANGE, "A four, ninety one down?"))
    facts: list[Fact] = [took(40, Quantity.DOWN, "52"), took(41, Quantity.DOWN, "53"), Withdrew(2), asked]
    page = page_of(part(facts))
    provenance = page[page.index("Where each value comes from") :]
    for piece in (WHEN, "c four fifty two", "0.97", "withdrawn: in no figure", "asked, not answered: in no figure"):
        assert piece in provenance
    assert "1 value was doubtful, asked about and not answered: in no figure." in page
    figures_of_keys = page[page.index("Every key that was read") : page.index("How it was measured")]
    assert "91" not in figures_of_keys
    assert "53" not in figures_of_keys


def test_what_was_not_read_is_said() -> None:
    page = page_of(part(touch()))
    assert "12 of 88 keys were read" in page
    assert "76 keys not read; nothing is claimed of them." in page
    assert "hammers were not let swing" in page


def test_cautions_stand_in_every_report() -> None:
    page = page_of(part([]))
    assert len(CAUTIONS) == page[page.index(">Cautions</h2>") :].count("<li>")
    assert "qualified technician decides" in page


def test_plots_say_in_words_what_they_show() -> None:
    page = page_of(part(touch()))
    for svg in re.findall(r"<svg viewBox.*?</svg>", page, re.S):
        labelled = re.search(r'aria-labelledby="(\S+) (\S+)"', svg)
        assert labelled
        assert all(f'id="{i}"' in svg for i in labelled.groups())
    assert "down: 12 keys, from 52.5 to 54.5 g." in page


def test_a_gap_of_more_than_an_octave_is_not_drawn_over() -> None:
    facts: list[Fact] = [took(k, Quantity.DOWN, "52") for k in (10, 11, 40, 41)]
    assert page_of(part(facts)).count("<polyline") == 2


def test_a_bound_is_not_drawn_as_a_value() -> None:
    facts = [*touch(), took(52, Quantity.DOWN, "58"), took(52, Quantity.UP, None)]
    page = page_of(part(facts))
    assert "friction: 12 keys, from" in page
    assert "\u2265 29" in page


def luminance(colour: str) -> float:
    """Relative luminance by WCAG 2 (from memory)."""
    channels = [int(colour[i : i + 2], 16) / 255 for i in (1, 3, 5)]
    linear = [c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in channels]
    return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]


@pytest.mark.parametrize("scheme", [LIGHT, DARK], ids=["light", "dark"])
@pytest.mark.parametrize("role", ["text", "soft", "accent", "flag", "s1", "s2", "s3"])
def test_contrast_is_that_of_wcag_aa(scheme: dict[str, str], role: str) -> None:
    """4.5 to 1 for text, WCAG 2 success criterion 1.4.3 (from memory)."""
    for ground in ("ground", "band"):
        one, other = sorted((luminance(scheme[role]), luminance(scheme[ground])), reverse=True)
        assert (one + 0.05) / (other + 0.05) >= 4.5


def typed_pass(folder: Path, lines: str, monkeypatch: pytest.MonkeyPatch) -> Path:
    journal = folder / "made-up.journal"
    monkeypatch.setattr("sys.stdin", io.StringIO(lines))
    assert main(["listen", "--typed", "--plain", "--journal", str(journal), "--instrument", "Made-up grand"]) == 0
    return journal


def test_verify_sees_what_was_added_since(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    journal = typed_pass(tmp_path, "c4 52 28\n", monkeypatch)
    page = tmp_path / "report.html"
    assert main(["report", "--journal", str(journal), "--out", str(page), "--treated", "flanges eased"]) == 0
    assert_valid(page.read_text(encoding="utf-8"))
    assert main(["verify", str(page), "--journal", str(journal)]) == 0
    typed_pass(tmp_path, "d4 53 27\n", monkeypatch)
    assert main(["verify", str(page), "--journal", str(journal)]) == 1


def test_what_was_typed_is_called_typed(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    journal = typed_pass(tmp_path, "c4 52 28\nwalkthrough\nhammers grooved 3\n", monkeypatch)
    with Journal.open(journal) as writer:
        finding = FindingTook(Finding("hammers", "grooved", "", 3), Standing.TAKEN, 0.97)
        writer.append(heard("hammers grooved 3", 0.2, Context.WALKTHROUGH), [finding])
    assert main(["report", "--journal", str(journal), "--out", str(tmp_path / "page.html")]) == 0
    page = re.sub("<[^>]*>", "", (tmp_path / "page.html").read_text(encoding="utf-8"))
    assert page.count("\u201chammers grooved 3\u201d, taken, typed") == 1
    assert page.count("\u201chammers grooved 3\u201d, taken, sureness 0.97") == 1
    assert "2 of 2 were typed" in page


def test_an_instrument_named_later_has_its_name(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    journal, page = str(tmp_path / "made-up.journal"), tmp_path / "page.html"
    monkeypatch.setattr("sys.stdin", io.StringIO("c4 52 28\ninstrument Fernhall grand\n"))
    assert main(["listen", "--typed", "--journal", journal]) == 0
    assert main(["report", "--journal", journal, "--out", str(page)]) == 0
    assert "<h1>Fernhall grand</h1>" in page.read_text(encoding="utf-8")
    assert main(["verify", str(page), "--journal", journal]) == 0
    capsys.readouterr()
    assert main(["figures", "--journal", journal]) == 0
    assert capsys.readouterr().out.startswith("Fernhall grand, sitting 1\n")
    assert main(["export", "--journal", journal, "--tidy", "-"]) == 0
    assert "\n1,Fernhall grand,1," in capsys.readouterr().out.replace("\r", "")


def test_a_page_without_fingerprint_cannot_be_verified(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    journal = typed_pass(tmp_path, "c4 52 28\n", monkeypatch)
    other = tmp_path / "other.html"
    other.write_text("<p>nothing</p>", encoding="utf-8")
    assert main(["verify", str(other), "--journal", str(journal)]) == 2


def test_every_sound_that_was_kept_can_be_heard_beside_its_value(tmp_path: Path) -> None:
    journal, page = tmp_path / "made-up.journal", tmp_path / "report.html"
    with Journal.open(journal, "Made-up grand") as writer:
        both = [took(40, DOWN, "52"), took(40, Quantity.UP, "28")]
        writer.append(heard("c four fifty two twenty eight", 0.3), both)
        writer.append(heard("53"), [took(41, DOWN, "53")])
        writer.append(heard("fifty four", 0.3), [took(42, DOWN, "54")])
        lost = writer.append(heard("fifty five", 0.3), [took(43, DOWN, "55")])[0].clip
        assert lost is not None
        (writer.clips_folder / lost).unlink()
    assert main(["report", "--journal", str(journal), "--out", str(page), "--clip", "all"]) == 0
    text = page.read_text(encoding="utf-8")
    assert_valid(text)
    sounds = re.findall(r'<p class="sound">(.*?)<audio controls="" src="data:audio/flac', text)
    told = [re.sub(r"<.*?>", "", sound) for sound in sounds]
    once = ["No. 1, C4 down 52\xa0g. No. 2, C4 up 28\xa0g. ", "No. 4, D4 down 54\xa0g. "]
    assert told == once, "each sound once, with all said in it"
    linked = re.findall(r'<a href="#(sound-[^"]*)">', text)
    assert linked == ["sound-1-down", "sound-2-up", "sound-4-down"]
    assert all(text.count(f'id="{place}"') == 1 for place in linked)
    assert main(["verify", str(page), "--journal", str(journal)]) == 0


def test_a_clip_that_was_not_kept_is_named(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    journal = typed_pass(tmp_path, "c4 52 28\n", monkeypatch)
    out = str(tmp_path / "report.html")
    assert main(["report", "--journal", str(journal), "--out", out, "--clip", "2"]) == 2
    assert main(["report", "--journal", str(journal), "--out", out, "--clip", "999"]) == 2
    assert "there is no value, finding or remark 999" in capsys.readouterr().err


def test_an_interval_names_its_confidence_and_no_table_stands_twice() -> None:
    """The keys of both sittings lie in one section."""
    page = page_of(part(touch()), part(touch("1")))
    assert ">95 % interval</th>" in page
    assert page.count("<caption>The same") == 1


def test_the_words_are_those_of_the_key_that_was_taken() -> None:
    (fact, *_) = touch()
    one = part([fact], heard="f four forty nine")
    told = "Between words that sound alike the plan decided"
    assert told not in page_of(one)
    page = page_of(replace(one, words={1: "a four forty nine"}))
    assert told in page
    assert "a four forty nine</bdi>" in page
    assert "f four forty nine</bdi>" not in page
