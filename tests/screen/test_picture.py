"""The README's picture: the same twice, readable as XML, and with nothing from the network."""

from __future__ import annotations

from xml.etree import ElementTree

from scripted import ScriptedSession, taken

from handsfree.nouns import Alternative, Context, Heard
from handsfree.screen.picture import picture
from handsfree.screen.ports import Look


def new_session() -> ScriptedSession:
    return ScriptedSession({"c4 52 28": taken(40, "52", "28", go=41)})


async def test_the_same_twice() -> None:
    first = await picture(new_session(), Look("Made-up grand"), ("c4 52 28",))
    second = await picture(new_session(), Look("Made-up grand"), ("c4 52 28",))
    assert first == second


async def test_by_ear() -> None:
    heard = Heard((Alternative("c4 52 28", 0.97),), Context.TOUCH)
    first = await picture(new_session(), Look("Made-up grand"), (heard,))
    assert "LISTENING" in first
    assert "97%" in first
    assert first == await picture(new_session(), Look("Made-up grand"), (heard,))


async def test_it_shows_the_reading_and_needs_no_network() -> None:
    svg = await picture(new_session(), Look("Made-up grand"), ("c4 52 28",), columns=80, rows=24)
    letters = "".join(ElementTree.fromstring(svg).itertext()).replace("\xa0", " ")
    assert "Made-up grand" in letters
    assert "TAKEN" in letters
    without_namespace = svg.replace('xmlns="http://www.w3.org/2000/svg"', "")
    assert "http" not in without_namespace
    assert "url(http" not in svg
