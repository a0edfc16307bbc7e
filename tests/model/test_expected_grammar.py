"""The sitting's expectation in the recogniser's own search: what it adds to a score is known, and taken out again."""

from __future__ import annotations

import json
from dataclasses import replace
from pathlib import Path

import pytest

from handsfree.ears.alternatives import RawAlternative
from handsfree.ears.blocks import RATE
from handsfree.ears.favour import GRAPH_SCALE, favour, impartial
from handsfree.ears.model_folder import find_model, prepare_context
from handsfree.ears.recogniser import load_model
from handsfree.nouns import Arc, Automaton, Context
from handsfree.words.grammar import automaton

PLAIN = Automaton(0, (Arc(0, 1, "b", 1.0), Arc(0, 1, "d", 1.0), Arc(1, 2, "four", 0.5)), {2: 0.25})
LEANING = Automaton(0, (Arc(0, 1, "b", 2.0), Arc(0, 1, "d", 0.25), Arc(1, 2, "four", 0.5)), {2: 0.0})


def test_favour_is_the_difference_of_the_costs() -> None:
    favoured = favour(PLAIN, LEANING)
    assert favoured("d four") == pytest.approx(1.0)
    assert favoured("b four") == pytest.approx(-0.75)
    assert [favoured(text) for text in ("", "[unk]", "four", "b", "d four four")] == [0, 0, 0, 0, 0]


def test_what_was_added_is_taken_out() -> None:
    guess = RawAlternative("d four", 100.0, ())
    assert impartial(guess, favour(PLAIN, LEANING)).score == pytest.approx(100.0 - GRAPH_SCALE * 1.0)


RECORDING = Path(__file__).parents[2] / "demo" / "recording.flac"
"""A public-domain synthetic voice."""
SECONDS = 6.0


def confidences(machine: Automaton, pcm: bytes, folder: Path) -> dict[str, float]:
    """Vosk's own n-best scores."""
    import vosk

    decoder = vosk.KaldiRecognizer(load_model(prepare_context(find_model(), machine, folder)), RATE)
    decoder.SetMaxAlternatives(8)
    decoder.AcceptWaveform(pcm)
    return {one["text"].strip(): one["confidence"] for one in json.loads(decoder.FinalResult())["alternatives"]}


def test_how_much_of_the_grammars_costs_vosk_counts(tmp_path: Path) -> None:
    """One cost made two nats less, and the score of each sentence that has it rises by GRAPH_SCALE of that."""
    import soundfile

    sound, _ = soundfile.read(RECORDING, dtype="int16", frames=round(SECONDS * RATE))
    plain = automaton(Context.TOUCH)
    before = confidences(plain, sound.tobytes(), tmp_path / "plain")
    best = max(before, key=lambda text: before[text])
    first = best.split()[0]
    cheaper = tuple(
        replace(arc, cost=arc.cost - 2) if (arc.source, arc.word) == (plain.start, first) else arc
        for arc in plain.arcs
    )
    after = confidences(replace(plain, arcs=cheaper), sound.tobytes(), tmp_path / "cheaper")
    assert len(best.split()) >= 4, "the recording begins with a reading"
    assert after[best] - before[best] == pytest.approx(2 * GRAPH_SCALE, abs=0.02)
