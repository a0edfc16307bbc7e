"""Dialogues as files: what is said, what the tool answers, and the table that must stand at the end.

    # why this dialogue exists
    pass: swings                    what is taken from now on, as the command line says it
    plan: naturals                  how the pass is set up; also `weights: down`
    you: c four sixty one           one thing said; alternatives with shares: `you: b four .6 | d four .4`
    at once: d four fifty two       the same, begun before the question under way was heard
    count: one .3 two .9 three 1.5  counted aloud, each word with the time at which it begins, in seconds;
                                    alternatives: `count: one .3 two .9 70% | two .9 30%`
    type: c4 52 28                  the same from the keyboard
    it: asked: C four, ...?         outcome, then the whole spoken line (nothing after the colon: nothing is said)
    at: D4                          where the pass is now: a key, or a part
    restart                         the process ends and a new one opens the journal; `it:` then is its greeting
    ---
    C4,down,61,confirmed            the table: what stands and what is unsettled, by key, down before up
    hammers,grooved,bass,3,taken    of the walkthrough: part, finding, place, grade ("-": none), oldest first
    remark: hammers: ...            remarks that stand; (sound) for a spoken one
    noted: humidity=48              circumstances

Adding a case needs no Python. Figures, instruments and findings are made up; what is asked about follows the query
limits (common practice, no source). After each dialogue the journal's facts alone must fold to the same sheet and the
same walkthrough, also after they went through JSON.
"""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

from handsfree.journal.facts_json import fact_from_json, fact_to_json
from handsfree.journal.sheet import fold
from handsfree.journal.walk import walk_fold
from tests.dialogues.stage import Stage

FILES = sorted(Path(__file__).parent.glob("*.txt"))


@pytest.mark.parametrize("path", FILES, ids=lambda p: p.stem)
def test_dialogue(path: Path) -> None:
    stage = Stage()
    rows = stage.play(path)
    assert stage.table() == rows, path.name
    kept = [replace(k, fact=fact_from_json(*fact_to_json(k.fact))) for k in stage.journal.facts()]
    assert kept == list(stage.journal.facts())
    assert (fold(kept), walk_fold(kept)) == (stage.session.sheet, stage.session.walk)


def test_there_are_dialogues_of_every_pass() -> None:
    texts = [path.read_text(encoding="utf-8") for path in FILES]
    for said, least in (("you:", 80), ("count:", 10), ("pass: walkthrough", 20)):
        assert sum(said in text for text in texts) >= least, said
