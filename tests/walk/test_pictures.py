"""Photographs matched by EXIF time (EXIF 2.31: DateTimeOriginal, OffsetTimeOriginal). All pictures are made here."""

from __future__ import annotations

import io
import sys
from dataclasses import replace
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest
from PIL import Image

from handsfree.errors import BadUsage
from handsfree.nouns import Finding, Item, Remark, Standing, Walk
from handsfree.picture_files import pictures_of
from handsfree.pictures import Shown, clock_offset, shown, taken_at


def item(n: int, part: str, at: str, standing: Standing = Standing.TAKEN) -> Item:
    return Item(n, Finding(part, "worn", "", 3), standing, 1.0, "", f"2031-03-14T{at}.000+01:00", None)


WALK = Walk(
    items=(
        item(1, "hammers", "11:00:10"),
        item(2, "lid", "11:02:00", Standing.WITHDRAWN),
        item(3, "dampers", "11:05:00"),
    ),
    remarks=(Remark(9, "dampers", 3, "2031-03-14T11:06:00.000+01:00", None),),
)


def photograph(path: Path, taken: str | None, offset: str | None = None, size: tuple[int, int] = (40, 20)) -> None:
    image = Image.new("RGB", size, (90, 60, 30))
    exif = image.getexif()
    if taken:
        exif.get_ifd(0x8769)[0x9003] = taken
    if offset:
        exif.get_ifd(0x8769)[0x9011] = offset
    exif[0x0112] = 6  # stored turned by a quarter
    exif.get_ifd(0x8825)[1] = "N"  # a place on earth
    image.save(path, exif=exif)


@pytest.mark.parametrize(("taken", "part"), [
    ("11:00:00", "hammers"),  # just before it is said
    ("11:00:10", "hammers"), ("11:04:59", "hammers"),  # what was withdrawn claims nothing
    ("11:05:00", "dampers"), ("11:20:59", "dampers"),
    ("10:58:00", None), ("11:21:01", None),
])  # fmt: skip
def test_a_picture_belongs_to_what_was_said_last(taken: str, part: str | None) -> None:
    found = shown(datetime.fromisoformat(f"2031-03-14T{taken}+01:00"), WALK)
    assert (found.part if found else None) == part


def test_a_finding_that_was_corrected_later_keeps_its_photographs() -> None:
    first = item(1, "lid", "11:00:00")
    wrong = item(2, "hammers", "11:05:00", Standing.WITHDRAWN)
    right = replace(item(3, "hammers", "11:30:00", Standing.CORRECTED), replaces=2)
    found = shown(datetime.fromisoformat("2031-03-14T11:06:00+01:00"), Walk(items=(first, wrong, right)))
    assert found == Shown("hammers", 3)


def test_nothing_is_matched_to_nothing() -> None:
    assert shown(datetime(2031, 3, 14, tzinfo=UTC), Walk()) is None


@pytest.mark.parametrize(("written", "offset", "ahead", "is_at"), [
    ("2031:03:14 11:00:30", None, 0, "2031-03-14T10:00:30+00:00"),  # the clock of the place
    ("2031:03:14 10:00:30", "+00:00", 0, "2031-03-14T10:00:30+00:00"),
    ("2031:03:14 05:00:30", "-05:00", 0, "2031-03-14T10:00:30+00:00"),
    ("2031:03:14 11:02:00", None, 90, "2031-03-14T10:00:30+00:00"),
    ("2031:03:14 11:00:00\0", None, -30, "2031-03-14T10:00:30+00:00"),
    ("2031:03:14 11:00:30", "   :  ", 0, "2031-03-14T10:00:30+00:00"),  # EXIF 2.31: blanks where it is not known
    ("2031:03:14 11:00:30", "later", 0, "2031-03-14T10:00:30+00:00"),
    ("2031:03:14 10:00:30", "Z", 0, "2031-03-14T10:00:30+00:00"),
])  # fmt: skip
def test_when_it_was_taken(written: str, offset: str | None, ahead: int, is_at: str) -> None:
    assert taken_at(written, offset, WALK, timedelta(seconds=ahead)) == datetime.fromisoformat(is_at)


@pytest.mark.parametrize("written", ["0000:00:00 00:00:00", "    :  :     :  :  ", "yesterday", "2031-03-14"])
def test_what_is_no_time(written: str) -> None:
    assert taken_at(written, None, WALK, timedelta()) is None


def test_a_sitting_that_crosses_the_change_to_summer_time() -> None:
    """A camera without an offset shows the time of the place: gone on with weeks later, that is an hour on."""
    later = replace(item(20, "lid", "11:00:00"), at="2031-04-02T11:00:00.000+02:00")
    walk = replace(WALK, items=(*WALK.items, later))
    winter, summer = (taken_at(at, None, walk, timedelta()) for at in ("2031:03:14 11:06:00", "2031:04:02 11:01:00"))
    assert winter == datetime.fromisoformat("2031-03-14T11:06:00+01:00")
    assert summer == datetime.fromisoformat("2031-04-02T11:01:00+02:00")
    assert [shown(at, walk) for at in (winter, summer) if at] == [Shown("dampers", 3), Shown("lid", 20)]


@pytest.mark.parametrize(("taken", "expected"), [
    ("11:00:05", Shown("hammers", 1)), ("11:03:30", Shown("strings", None)), ("11:04:30", Shown("keys", None)),
    ("11:05:10", Shown("dampers", 3)), ("11:07:30", Shown("lid", None)), ("11:08:30", Shown("dampers", 3)),
])  # fmt: skip
def test_a_picture_taken_before_anything_is_said_of_a_part_belongs_to_that_part(taken: str, expected: Shown) -> None:
    """ "Strings?" - a photograph - "rusty three": between two items it is of the part that it was at."""
    ways = (("11:00:10", "hammers"), ("11:03:00", "strings"), ("11:04:00", "keys"), ("11:05:00", "dampers"),
            ("11:07:00", "lid"), ("11:08:00", "dampers"))  # fmt: skip
    walk = replace(WALK, went=tuple((f"2031-03-14T{at}.000+01:00", part) for at, part in ways))
    assert shown(datetime.fromisoformat(f"2031-03-14T{taken}+01:00"), walk) == expected


@pytest.mark.parametrize(("taken", "part"), [
    ("2031-03-14T11:20:00", "dampers"), ("2031-03-15T09:00:00", None), ("2031-03-18T08:57:00", None),
    ("2031-03-18T08:59:00", "lid"), ("2031-03-18T09:40:00", "lid"), ("2031-03-18T12:00:00", None),
])  # fmt: skip
def test_between_two_visits_other_pianos_are_photographed(taken: str, part: str | None) -> None:
    second = (replace(item(20, "lid", ""), at="2031-03-18T09:00:00.000+01:00"),
              replace(item(21, "keys", ""), at="2031-03-18T09:50:00.000+01:00"))  # fmt: skip
    found = shown(datetime.fromisoformat(f"{taken}+01:00"), replace(WALK, items=(*WALK.items, *second)))
    assert (found.part if found else None) == part


def test_where_nothing_stands_but_a_part_was_gone_to() -> None:
    walk = Walk(went=(("2031-03-14T11:00:00.000+01:00", "lid"),))
    assert shown(datetime.fromisoformat("2031-03-14T11:01:00+01:00"), walk) == Shown("lid", None)


@pytest.mark.parametrize(("text", "seconds"), [("+90s", 90), ("-1m30s", -90), ("+1h", 3600), ("+1h1m1s", 3661)])
def test_clock_offset(text: str, seconds: int) -> None:
    assert clock_offset(text) == timedelta(seconds=seconds)


@pytest.mark.parametrize("text", ["", "+", "90", "1m", "+1d", "+1:30", "+1s1m"])
def test_no_clock_offset(text: str) -> None:
    assert clock_offset(text) is None


def test_a_folder_of_photographs(tmp_path: Path) -> None:
    photograph(tmp_path / "b.jpg", "2031:03:14 11:05:30", size=(4000, 2000))
    photograph(tmp_path / "a.jpg", "2031:03:14 10:01:00", "+00:00")
    photograph(tmp_path / "late.jpg", "2031:03:14 15:00:00")
    photograph(tmp_path / "timeless.jpg", None)
    (tmp_path / "broken.jpg").write_bytes(b"\xff\xd8 no picture")
    photograph(tmp_path / "cut.jpg", "2031:03:14 11:05:30", size=(400, 200))
    (tmp_path / "cut.jpg").write_bytes((tmp_path / "cut.jpg").read_bytes()[:-300])
    (tmp_path / "camera.NEF").write_bytes(b"II*\0")
    (tmp_path / "notes.txt").write_text("no picture")
    (tmp_path / "DCIM" / "100" / ".thumbnails").mkdir(parents=True)
    photograph(tmp_path / "DCIM" / "100" / "c.jpg", "2031:03:14 11:07:00")
    photograph(tmp_path / "DCIM" / "100" / ".thumbnails" / "c.jpg", "2031:03:14 11:07:00")
    before = {p: (p.read_bytes(), p.stat().st_mtime_ns) for p in tmp_path.rglob("*.*") if p.is_file()}
    found = pictures_of(tmp_path, WALK, timedelta())
    assert [(p.name, p.part, p.item) for p in found.placed] == [
        ("a.jpg", "hammers", 1), ("b.jpg", "dampers", 3), ("DCIM/100/c.jpg", "dampers", 3),
    ]  # fmt: skip
    assert [line.partition(":")[0] for line in found.left_out] == [
        "broken.jpg", "camera.NEF", "cut.jpg", "timeless.jpg",
    ]  # fmt: skip
    assert found.elsewhere == ("late.jpg, taken 2031-03-14 15:00:00",)
    after = {p: (p.read_bytes(), p.stat().st_mtime_ns) for p in tmp_path.rglob("*.*") if p.is_file()}
    assert after == before, "originals are never changed"


@pytest.mark.parametrize(("tags", "at"), [
    ({0x9003: "2031:03:14 10:01:00", 0x9010: "+00:00"}, "2031-03-14T11:01:00+01:00"),
    ({0x9004: "2031:03:14 10:01:00", 0x9012: "+00:00"}, "2031-03-14T11:01:00+01:00"),
    ({0x9004: "2031:03:14 11:01:00"}, "2031-03-14T11:01:00+01:00"),
])  # fmt: skip
def test_cameras_that_write_less(tmp_path: Path, tags: dict[int, str], at: str) -> None:
    """EXIF 2.31: an offset for DateTime alone (that time being the same), or DateTimeDigitized alone."""
    image = Image.new("RGB", (40, 20))
    exif = image.getexif()
    exif[0x0132] = "2031:03:14 10:01:00"
    exif.get_ifd(0x8769).update(tags)
    image.save(tmp_path / "a.jpg", exif=exif)
    (picture,) = pictures_of(tmp_path, WALK, timedelta()).placed
    assert picture.taken_at == at


def test_the_offset_of_a_later_change_says_nothing(tmp_path: Path) -> None:
    image = Image.new("RGB", (40, 20))
    exif = image.getexif()
    exif[0x0132] = "2031:06:01 10:01:00"
    exif.get_ifd(0x8769).update({0x9003: "2031:03:14 11:01:00", 0x9010: "+09:00"})
    image.save(tmp_path / "a.jpg", exif=exif)
    assert pictures_of(tmp_path, WALK, timedelta()).placed[0].taken_at == "2031-03-14T11:01:00+01:00"


def test_nothing_is_said_to_have_no_time_where_nobody_walked_round(tmp_path: Path) -> None:
    photograph(tmp_path / "a.jpg", "2031:03:14 11:05:30")
    assert pictures_of(tmp_path, Walk(), timedelta()).elsewhere == ("a.jpg, taken 2031:03:14 11:05:30",)


def test_a_copy_is_upright_small_and_tells_no_place(tmp_path: Path) -> None:
    photograph(tmp_path / "a.jpg", "2031:03:14 11:01:00", size=(4000, 2000))
    (picture,) = pictures_of(tmp_path, WALK, timedelta()).placed
    copy = Image.open(io.BytesIO(picture.content))
    assert copy.size == (800, 1600)
    assert not dict(copy.getexif())


def test_a_telephones_own_format(tmp_path: Path) -> None:
    heif = pytest.importorskip("pillow_heif", reason="pillow-heif is not installed: HEIC files are left out, named")
    heif.register_heif_opener()
    photograph(tmp_path / "a.heic", "2031:03:14 11:05:30", size=(400, 200))
    (picture,) = pictures_of(tmp_path, WALK, timedelta()).placed
    assert picture.part == "dampers"
    assert Image.open(io.BytesIO(picture.content)).format == "JPEG"


def test_a_telephones_own_format_where_it_cannot_be_read(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setitem(sys.modules, "pillow_heif", None)
    (tmp_path / "a.HEIC").write_bytes(b"\0\0\0\x18ftypheic")
    assert pictures_of(tmp_path, WALK, timedelta()).left_out == ("a.HEIC: cannot be read here, save it as JPEG",)


def test_a_folder_that_is_none() -> None:
    with pytest.raises(BadUsage, match="cannot look into"):
        pictures_of(Path("/no/such/folder"), WALK, timedelta())
