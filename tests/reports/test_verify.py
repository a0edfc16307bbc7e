"""What `verify` says of a journal or a page that somebody touched."""

from __future__ import annotations

import io
import shutil
import sqlite3
from pathlib import Path

import pytest

from handsfree.cli import main
from handsfree.reports.made_with import made_from_text
from handsfree.reports.walk_section import MATCHED

PASS = "c4 52 28\nd4 53 27\nc5 91 30\nyes\ne4 54 26\n"


@pytest.fixture(autouse=True)
def no_settings_of_ours(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    monkeypatch.setenv("XDG_CONFIG_HOME", str(tmp_path / "config"))
    monkeypatch.setenv("XDG_DATA_HOME", str(tmp_path / "data"))
    monkeypatch.delenv("HANDSFREE_SETTINGS", raising=False)


class House:
    """A journal and the report that was made from it."""

    def __init__(self, folder: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]) -> None:
        self.journal, self.page = folder / "made-up.journal", folder / "report.html"
        self._monkeypatch, self._capsys = monkeypatch, capsys
        self.listen(PASS)
        self.report()

    def listen(self, typed: str, instrument: str = "Made-up grand", *more: str) -> None:
        self._monkeypatch.setattr("sys.stdin", io.StringIO(typed))
        args = ["listen", "--typed", "--plain", "--journal", str(self.journal), "--instrument", instrument, *more]
        assert main(args) == 0

    def report(self, *more: str) -> None:
        assert main(["report", "--journal", str(self.journal), "--out", str(self.page), *more]) == 0

    def verify(self, journal: Path | None = None) -> tuple[int, list[str]]:
        self._capsys.readouterr()
        code = main(["verify", str(self.page), "--journal", str(journal or self.journal)])
        return code, self._capsys.readouterr().out.splitlines()

    def alter(self, *statements: str) -> None:
        """As somebody would who knows how: the triggers go first."""
        with sqlite3.connect(self.journal) as connection:
            names = connection.execute("SELECT name FROM sqlite_master WHERE type = 'trigger'").fetchall()
            for statement in (*(f"DROP TRIGGER {name}" for (name,) in names), *statements):
                connection.execute(statement)
        connection.close()

    def rewrite(self, old: str, new: str) -> None:
        text = self.page.read_text(encoding="utf-8")
        assert old in text
        self.page.write_text(text.replace(old, new), encoding="utf-8")


@pytest.fixture
def house(tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]) -> House:
    return House(tmp_path, monkeypatch, capsys)


def test_untouched_both_agree(house: House) -> None:
    code, lines = house.verify()
    assert code == 0
    assert [line.split(",")[0] for line in lines] == ["sitting 1: agrees", "the page: agrees"]


@pytest.mark.parametrize(
    "statement",
    [
        """UPDATE fact SET body = replace(body, '"91"', '"51"')""",
        "DELETE FROM fact WHERE n = (SELECT max(n) FROM fact WHERE kind = 'took')",
        "UPDATE heard SET alternatives = replace(alternatives, 'c5 91', 'c5 51')",
        "UPDATE sitting SET instrument = 'Another grand'",
        "UPDATE sitting SET opened_at = '2031-01-01T00:00:00+00:00'",
        "UPDATE fact SET at = '2031-01-01T00:00:00+00:00' WHERE kind = 'asked'",
    ],
    ids=["value", "removed", "words", "instrument", "day", "time"],
)
def test_an_altered_journal_is_found_out(house: House, statement: str) -> None:
    house.alter(statement)
    code, lines = house.verify()
    assert code == 1
    assert "does not agree: the facts differ" in lines[0]
    assert len(lines) == 1, "nothing is said of a page that can no longer be made"


def test_facts_in_another_order_are_found_out(house: House) -> None:
    moves = ((2, 1000), (3, 2), (1000, 3))
    house.alter(*(f"UPDATE fact SET n = {to} WHERE n = {n}" for n, to in moves))
    code, lines = house.verify()
    assert code == 1
    assert "reordered" in lines[0]


def test_facts_that_came_since_are_told_from_altered_ones(house: House) -> None:
    house.listen("f4 55 25\n")
    code, lines = house.verify()
    assert code == 1
    assert "facts of the report agree, but" in lines[0]
    assert "came since" in lines[0]
    assert lines[1] == "the page: agrees, it says what these facts say"


def test_another_journal_is_named(house: House, tmp_path: Path) -> None:
    shutil.copy(house.journal, tmp_path / "kept.journal")
    house.journal.unlink()
    house.listen("c4 50 25\n", "Another grand")
    code, lines = house.verify()
    assert code == 1
    assert "sitting 1 is of Another grand" in lines[0]


def test_of_two_sittings_the_altered_one_is_named(house: House) -> None:
    house.listen("c4 50 30\nd4 51 28\n", "Made-up grand", "--new-sitting")
    house.report("--against", "1")
    house.alter("""UPDATE fact SET body = replace(body, '"91"', '"51"')""")
    code, lines = house.verify()
    assert code == 1
    assert [line.split(":")[0] for line in lines] == ["sitting 1", "sitting 2"], "and nothing of the page"
    assert "does not agree" in lines[0]
    assert "agrees" in lines[1]


def test_a_sitting_that_is_not_there(house: House) -> None:
    house.listen("c4 50 26\n", "Made-up grand", "--new-sitting")
    house.report()
    house.journal.unlink()
    house.listen(PASS)
    code, lines = house.verify()
    assert code == 1
    assert "no such sitting" in lines[0]


@pytest.mark.parametrize(
    ("old", "new"),
    [
        ('<td class="n">91</td>', '<td class="n">51</td>'),
        ("confirmed when asked", "taken"),
        ("Lead key weights: wash hands", "Lead key weights: no need to wash hands"),
        ("</main>", "<p>All keys were eased.</p></main>"),
    ],
    ids=["figure", "standing", "caution", "added"],
)
def test_an_altered_page_is_found_out(house: House, old: str, new: str) -> None:
    """Though its fingerprint was left as it is."""
    house.rewrite(old, new)
    code, lines = house.verify()
    assert code == 1
    assert lines[0].startswith("sitting 1: agrees")
    assert lines[1].startswith("the page: does not agree")


def test_the_difference_is_shown(house: House) -> None:
    house.rewrite('<td class="n">91</td>', '<td class="n">51</td>')
    assert '"52 51 30' in house.verify()[1][1]
    assert '"52 91 30' in house.verify()[1][1]


def test_a_page_that_hides_how_it_was_made_is_no_proof(house: House) -> None:
    house.rewrite('name="handsfree-made-with"', 'name="something-else"')
    code, lines = house.verify()
    assert code == 1
    assert lines[1].startswith("the page: cannot be checked")


def test_what_the_writer_gave_and_two_sittings_are_made_anew_too(house: House) -> None:
    house.listen("c4 50 30\nd4 51 28\ne4 51 29\n", "Made-up grand", "--new-sitting")
    house.report("--against", "1", "--treated", 'flanges "eased" & <i>oiled</i>', "--place", "a\tworkshop")
    code, lines = house.verify()
    assert code == 0, lines
    assert len(lines) == 3


@pytest.mark.parametrize("text", ["", "{}", "[]", '{"sittings": [1]}', '{"sittings": [], "facts": []}', "\ud800"])
def test_nonsense_is_no_way_of_making(text: str) -> None:
    assert made_from_text(text) is None


def test_photographs_are_named_as_not_checked_and_hide_nothing(house: House) -> None:
    """Of pictures nothing is in the journal; but no text may slip in where they stand."""
    figure = (
        '<section class="photographs"><h3>Pictures</h3><p>' + MATCHED + '</p><div class="pictures"><figure>'
        '<img src="data:image/jpeg;base64,AAAA" alt="Photograph: lid"><figcaption>lid, <bdi>a.jpg</bdi>, '
        '<time datetime="2031-03-14T09:30:00+00:00">2031-03-14, 09:30 UTC</time></figcaption></figure></div>'
        "</section>"
    )
    house.rewrite("</main>", figure + "</main>")
    assert house.verify()[1][1].endswith("; 1 photograph with captions not checked: no journal holds that")
    house.rewrite("</figure></div>", "</figure><p>All keys were eased.</p></div>")
    assert house.verify()[0] == 1


def test_a_camera_s_clock_may_be_behind(house: House, tmp_path: Path) -> None:
    (tmp_path / "pictures").mkdir()
    house.report("--pictures", str(tmp_path / "pictures"), "--clock-offset", "-20s")


def test_the_word_of_the_technician_is_named_as_not_checked(house: House) -> None:
    house.report("--technician", "A. Example", "--treated", "flanges eased")
    assert house.verify()[1][1].endswith("; technician, what was treated not checked: no journal holds that")


def test_a_change_that_nobody_reads_is_shown_as_it_stands(house: House) -> None:
    house.rewrite("viewBox=", "viewbox=")
    code, lines = house.verify()
    assert code == 1
    assert "viewbox=" in lines[-1]


def test_two_names_are_two_instruments_unless_one_says_otherwise(house: House) -> None:
    house.listen("c4 50 30\nd4 51 28\n", "Another grand")
    for more, title in ((), "Side by side"), (("--no-instruments",), "What changed"):
        house.report("--against", "1", *more)
        assert f"<h2 id=\"c1\">{title}</h2>" in house.page.read_text(encoding="utf-8")
        assert house.verify()[0] == 0
