"""What the model costs: size, load time, memory, real-time factor on one core, delay of partial results."""

from __future__ import annotations

import json
import subprocess
import sys
import time
from collections.abc import Iterator, Sequence
from pathlib import Path

import numpy as np

from eval_ears import loaded
from eval_sets import Item
from handsfree.ears.second_ear import SecondEar

RATE = 16000
BLOCK = 320
"""20 ms."""


def machine_figures(
    model: Path, prepared: Path, clips: Sequence[np.ndarray], items: Sequence[Item], figures: dict[str, float]
) -> Iterator[str]:
    """`prepared`: the model with the touch grammar."""
    import vosk

    size = sum(path.stat().st_size for path in model.rglob("*") if path.is_file()) / 1e6
    started = time.perf_counter()
    net = loaded(prepared)
    load = time.perf_counter() - started
    started, seconds = time.process_time(), 0.0
    for samples in clips:
        decoder = vosk.KaldiRecognizer(net, RATE)
        decoder.AcceptWaveform(samples.tobytes())
        decoder.FinalResult()
        seconds += len(samples) / RATE
    factor = (time.process_time() - started) / seconds
    delays = sorted(delay for item in items[:60] if (delay := settled(net, item.samples)) is not None)
    typical, late = delays[len(delays) // 2], delays[len(delays) * 9 // 10]
    memory = resident(prepared)
    figures.update(
        size_mb=round(size, 2), load_s=round(load, 3), resident_mb=round(memory, 1),
        real_time_factor=round(factor, 4), settled_partial_s=round(typical, 3),
    )  # fmt: skip
    yield (
        f"{size:.1f} MB on disk, loaded in {load:.2f} s, {memory:.0f} MB resident, real-time factor {factor:.3f}"
        " on one core"
    )
    yield f"last partial result settled {typical:.2f} s after the last word's end (median), {late:.2f} s (90 %)"


def second_figures(folder: Path, clips: Sequence[np.ndarray], figures: dict[str, float]) -> Iterator[str]:
    """What the second ear costs for each utterance, with 24 alternatives."""
    size = sum(path.stat().st_size for path in folder.iterdir()) / 1e6
    started = time.perf_counter()
    second = SecondEar(folder)
    load = time.perf_counter() - started
    texts = [f"{a} {b} fifty {c}" for a in "abcd" for b in ("two", "three") for c in ("one", "two", "six")]
    started, seconds = time.process_time(), 0.0
    for samples in clips:
        second.scores(samples.tobytes(), texts)
        seconds += len(samples) / RATE
    held = held_by_second(folder)
    factor = (time.process_time() - started) / seconds
    figures.update(
        second_size_mb=round(size, 2), second_load_s=round(load, 3), second_mb=round(held, 1),
        second_real_time_factor=round(factor, 4),
    )  # fmt: skip
    costs = f"{held:.0f} MB more, {factor:.3f} of each utterance's length on one core"
    yield f"{size:.1f} MB on disk, loaded in {load:.2f} s, {costs}"


def held_by_second(folder: Path) -> float:
    """Megabytes that a fresh process takes more once the second ear has scored four seconds (Linux)."""
    code = (
        "import sys; from pathlib import Path; from handsfree.ears.second_ear import SecondEar;"
        "held = lambda: int(next(line.split()[1] for line in open('/proc/self/status') if line.startswith('VmRSS')));"
        "before = held(); ear = SecondEar(Path(sys.argv[1])); ear.scores(bytes(128000), ['c four'] * 24);"
        "print(held() - before)"
    )
    done = subprocess.run([sys.executable, "-c", code, str(folder)], check=True, capture_output=True, text=True)
    return int(done.stdout) / 1024


def settled(net: object, samples: np.ndarray) -> float | None:
    """Seconds from the end of the last word (as the decoder places it) to the block after which the partial result
    did not change any more; the sound goes on with 1 s of near silence. Computing time left out."""
    import vosk

    decoder = vosk.KaldiRecognizer(net, RATE)
    decoder.SetWords(True)
    rng = np.random.default_rng(1)
    whole = np.concatenate([samples, (rng.standard_normal(RATE) * 3).astype(np.int16)])
    last, changed = "", 0.0
    for start in range(0, len(whole) - BLOCK, BLOCK):
        if decoder.AcceptWaveform(whole[start : start + BLOCK].tobytes()):
            break
        text = json.loads(decoder.PartialResult())["partial"]
        if text != last:
            last, changed = text, (start + BLOCK) / RATE
    found = json.loads(decoder.FinalResult()) if not last else json.loads(decoder.Result() or "{}")
    words = found.get("result", [])
    return changed - words[-1]["end"] if words and found.get("text") == last else None


def resident(prepared: Path) -> float:
    """Megabytes of a fresh process that holds the model and a decoder (Linux)."""
    code = (
        "import sys, vosk; vosk.SetLogLevel(-1); m = vosk.Model(sys.argv[1]);"
        "k = vosk.KaldiRecognizer(m, 16000); k.AcceptWaveform(bytes(64000)); k.FinalResult();"
        "print(next(line.split()[1] for line in open('/proc/self/status') if line.startswith('VmHWM')))"
    )
    done = subprocess.run([sys.executable, "-c", code, str(prepared)], check=True, capture_output=True, text=True)
    return int(done.stdout) / 1024
