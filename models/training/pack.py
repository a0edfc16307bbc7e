"""All corpora as one file that travels to the machine with the GPU: recordings as they are, texts, pronunciations.

`python pack.py SPEECH_FOLDER PACK [SYNTHETIC_FOLDER] [--everyone]` writes it; `load` reads and decodes it. A zip:
index.json (clips and pronunciations) and the recordings. A word that neither the lexicon nor the CMU dictionary knows
becomes the garbage word in talk; in speech for the tool it is an error. The speakers who test stay out, unless
`--everyone` takes them in for a network that is not to be measured on them; talk that tests stays out always.
"""

import argparse
import io
import json
import zipfile
from collections import Counter
from collections.abc import Iterable
from concurrent.futures import ProcessPoolExecutor
from dataclasses import dataclass
from pathlib import Path

import numpy as np

from corpora import GARBAGE_WORD, TALK, BadCorpus, Clip, SpokenWord, read_all
from hmm import Slots
from lexicon import BY_HAND, BadLexicon, dictionary_pronunciations, read_lexicon
from phones import GARBAGE_PRONUNCIATION

SAMPLE_RATE = 16000
Pronouncing = dict[str, list[list[str]]]


@dataclass(slots=True)
class LoadedClip:
    """A clip with its sound, 16 kHz mono."""

    name: str
    corpus: str
    speaker: str
    split: str
    slots: Slots
    spoken: list[SpokenWord]
    samples: np.ndarray  # int16

    @property
    def seconds(self) -> float:
        return len(self.samples) / SAMPLE_RATE


def pronunciations_for(words: set[str]) -> tuple[Pronouncing, set[str]]:
    """Base phones of each word, and the words that nobody knows. "A" is the letter only, "a" either."""
    by_hand, look_up = read_lexicon(), dictionary_pronunciations()
    known: Pronouncing = {GARBAGE_WORD: [list(GARBAGE_PRONUNCIATION)]}
    unknown = set()
    for word in words:
        found = [list(p.phones) for p in by_hand.get(word.lower()) or look_up(word)]
        if word == "A":
            found = [phones for phones in found if phones == ["EY"]]
        if found:
            known[word] = found
        else:
            unknown.add(word)
    return known, unknown


def _as_json(clip: Clip, unknown: set[str]) -> dict:
    def known(word: str) -> str:
        return GARBAGE_WORD if word in unknown else word

    return {
        "name": clip.name, "corpus": clip.corpus, "speaker": clip.speaker, "split": clip.split,
        "slots": [[[known(word) for word in words] for words in alternatives] for alternatives in clip.slots],
        "spoken": [[spoken.word, spoken.start, spoken.end] for spoken in clip.spoken],
    }  # fmt: skip


def words_of(clips: Iterable[Clip]) -> set[str]:
    return {word for clip in clips for alternatives in clip.slots for said in alternatives for word in said}


def check_recordings(paths: Iterable[Path]) -> None:
    """BadCorpus names the first one that is broken or not 16 kHz mono."""
    import soundfile

    for path in paths:
        try:
            found = soundfile.info(path)
        except (OSError, RuntimeError) as problem:
            raise BadCorpus(f"{path} is no recording that can be read: {problem}") from problem
        if found.samplerate != SAMPLE_RATE or found.channels != 1:
            raise BadCorpus(f"{path} has {found.samplerate} Hz and {found.channels} channels; 16 kHz mono is needed")


def write(clips: list[Clip], pack: Path, everyone: bool = False) -> None:
    """Test clips stay out; with `everyone` only the talk among them does."""
    kept = ("an4", "spelled") if everyone else ()
    clips = [clip for clip in clips if clip.slots and (clip.split != "test" or clip.corpus in kept)]
    check_recordings(clip.path for clip in clips)
    words = words_of(clips)
    pronunciations, unknown = pronunciations_for(words)
    ours = sorted(unknown & words_of(clip for clip in clips if clip.corpus not in TALK))
    if ours:
        raise BadLexicon(f"no pronunciation for: {', '.join(ours)}. Add a line to {BY_HAND.name} for each")
    pack.parent.mkdir(parents=True, exist_ok=True)
    with zipfile.ZipFile(pack, "w", zipfile.ZIP_STORED) as file:
        index = {"pronunciations": pronunciations, "clips": [_as_json(clip, unknown) for clip in clips]}
        file.writestr("index.json", json.dumps(index), zipfile.ZIP_DEFLATED)
        for clip in clips:
            file.write(clip.path, clip.name)
    print(f"{pack}: {len(clips)} clips, {len(words)} words, {len(unknown)} of them unknown")


def decoded(data: bytes) -> np.ndarray:
    """The 16-bit samples of a recording's file."""
    import soundfile

    samples, rate = soundfile.read(io.BytesIO(data), dtype="int16")
    if rate != SAMPLE_RATE or samples.ndim != 1:
        raise ValueError(f"a recording has {rate} Hz and shape {samples.shape}; 16 kHz mono is needed")
    return samples


def load(pack: Path, workers: int = 4, only: int | None = None) -> tuple[list[LoadedClip], Pronouncing]:
    """Decode everything (`only` so many clips, for a trial)."""
    with zipfile.ZipFile(pack) as file:
        index = json.loads(file.read("index.json"))
        entries = index["clips"]
        if only is not None:
            entries = entries[:: max(1, len(entries) // only)]
        sounds = [file.read(entry["name"]) for entry in entries]
    with ProcessPoolExecutor(workers) as pool:
        recordings = list(pool.map(decoded, sounds, chunksize=16))
    clips = [
        LoadedClip(
            entry["name"], entry["corpus"], entry["speaker"], entry["split"], entry["slots"],
            [SpokenWord(*spoken) for spoken in entry["spoken"]], samples,
        )
        for entry, samples in zip(entries, recordings, strict=True)
    ]  # fmt: skip
    return clips, index["pronunciations"]


def main() -> None:
    parser = argparse.ArgumentParser(description="put all corpora into one file")
    parser.add_argument("speech", type=Path)
    parser.add_argument("pack", type=Path)
    parser.add_argument("synthetic", type=Path, nargs="?")
    parser.add_argument("--everyone", action="store_true", help="the speakers who test as well")
    choice = parser.parse_args()
    try:
        clips = read_all(choice.speech, choice.synthetic)
        print(Counter((clip.corpus, clip.split) for clip in clips))
        write(clips, choice.pack, choice.everyone)
    except (BadCorpus, BadLexicon) as problem:
        raise SystemExit(f"{problem}") from None


if __name__ == "__main__":
    main()
