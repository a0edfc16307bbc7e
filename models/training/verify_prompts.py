"""Did the speakers of `spelled` say what they were asked to say? Lists the clips that had better be listened to.

    python models/training/verify_prompts.py ../shared/speech models/keybed-en

Every clip is decoded with a loop over letters or digits and compared with its prompt. A clip in which much differs
says something else (the name as a word, another number) or is hard to hear; which of both is for a person to decide.
What was decided stands in `corpora.SAID_OTHERWISE`, and is marked here.
"""

from __future__ import annotations

import argparse
import tempfile
from collections.abc import Sequence
from pathlib import Path

from corpora import SAID_OTHERWISE, read_prompts, with_alternatives
from eval_ears import loop, strict
from eval_score import Tally
from eval_sets import DIGITS, lowered, read_sound

SUSPICIOUS = 0.4
"""Share of the words."""
LETTERS = "abcdefghijklmnopqrstuvwxyz"


def difference(prompt: Sequence[str], heard: Sequence[str]) -> float:
    """Share of the prompt's words that were not heard, with all the ways of saying them allowed."""
    tally = Tally()
    tally.add(lowered(with_alternatives(list(prompt))), list(heard), None)
    return tally.word_error / 100


def main() -> None:
    parser = argparse.ArgumentParser(description="list the clips of spelled that differ from their prompts")
    parser.add_argument("speech", type=Path)
    parser.add_argument("model", type=Path, help="a Vosk folder of this family")
    choice = parser.parse_args()
    with tempfile.TemporaryDirectory() as folder:
        words = {"names": [*LETTERS, "double"], "numbers": [*DIGITS, "oh", "double"]}
        listen = {kind: strict(choice.model, loop(said), Path(folder) / kind) for kind, said in words.items()}
        for name, prompt in read_prompts(choice.speech / "spelled"):
            kind = Path(name).stem
            if kind not in listen:
                continue
            heard = listen[kind](read_sound(choice.speech / "spelled" / name))
            if difference(prompt, heard) >= SUSPICIOUS:
                known = "known" if name.removesuffix(".opus") in SAID_OTHERWISE else "NEW"
                print(f"{known}\t{name}\tasked: {' '.join(prompt)}\theard: {' '.join(heard)}", flush=True)


if __name__ == "__main__":
    main()
