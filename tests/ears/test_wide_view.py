"""The second ear's arithmetic against references: the standard library's error function, SciPy's spectra and,
where torch is installed, the same network in torch."""

from __future__ import annotations

import math
import sys
from pathlib import Path

import numpy as np
import pytest
from scipy.signal import stft
from scipy.signal.windows import hann

from handsfree.ears.model_folder import find_second_ear
from handsfree.ears.second_ear import WEIGHTS, read_weights
from handsfree.ears.wide_view import MELS, POINTS, RATE, SHIFT, erf, log_mel, mel_weights, view_of

TRAINING = Path(__file__).parents[2] / "models" / "training"


def sound(seconds: float, seed: int = 1) -> np.ndarray:
    rng = np.random.default_rng(seed)
    time = np.arange(int(seconds * RATE)) / RATE
    tones = sum(np.sin(2 * np.pi * 220 * k * time) / k for k in range(1, 9))
    swelling = 0.05 * tones * (1 + np.sin(2 * np.pi * 3 * time))
    return (swelling + 0.005 * rng.standard_normal(len(time))).astype(np.float32)


def test_the_error_function_is_that_of_the_standard_library() -> None:
    x = np.linspace(-6, 6, 2001).astype(np.float32)
    assert erf(x) == pytest.approx([math.erf(value) for value in x], abs=4e-7)


def test_the_mel_triangles_have_equal_area_and_the_scale_of_their_source() -> None:
    """M. Slaney, "Auditory Toolbox" (1998): 66.7 Hz steps below 1 kHz, above it steps of 6.4 to the power of 1/27;
    each triangle divided by half its width."""
    weights = mel_weights()
    assert weights.shape == (POINTS // 2 + 1, MELS)
    hertz = np.linspace(0, RATE / 2, POINTS // 2 + 1)
    middle = (weights * hertz[:, None]).sum(0) / weights.sum(0)
    wide = np.arange(50, MELS)  # wide enough for bins of 40 Hz to sample them well
    assert weights.sum(0)[wide] * 40.0 == pytest.approx(np.ones(len(wide)), rel=0.1)
    step = (15 + math.log(8.0) / (math.log(6.4) / 27)) / (MELS + 1)
    growth = np.diff(np.log(middle[wide])).mean()
    assert growth == pytest.approx(step * math.log(6.4) / 27, rel=0.02)


def test_the_spectrum_is_that_of_scipy() -> None:
    samples = sound(1.0)
    padded = np.pad(samples, POINTS // 2, mode="reflect")
    _, _, spectrum = stft(
        padded, RATE, hann(POINTS, sym=False), POINTS, POINTS - SHIFT, boundary=None, padded=False, scaling="spectrum"
    )
    power = np.abs(spectrum.T[: len(samples) // SHIFT] * hann(POINTS, sym=False).sum()) ** 2
    mel = np.log10(np.maximum(power @ mel_weights(), 1e-10))
    assert log_mel(samples) == pytest.approx((np.maximum(mel, mel.max() - 8) + 4) / 4, abs=1e-4)


def test_louder_is_the_same_picture_shifted() -> None:
    quiet = sound(0.5)
    assert log_mel(10 * quiet) - log_mel(quiet) == pytest.approx(np.full((50, MELS), 0.5), abs=1e-4)


def test_torch_makes_the_same_of_an_utterance() -> None:
    torch = pytest.importorskip("torch", reason="needs torch (extra [train])")
    sys.path.insert(0, str(TRAINING))
    from whisper_encoder import WhisperEncoder
    from whisper_encoder import log_mel as torch_mel

    weights = read_weights(find_second_ear() / WEIGHTS)
    ours = {k.removeprefix("encoder."): v for k, v in weights.items() if k.startswith("encoder.")}
    theirs = WhisperEncoder()
    theirs.places = torch.nn.Parameter(torch.zeros(ours["places"].shape))
    theirs.load_state_dict({name: torch.from_numpy(value) for name, value in ours.items()})
    samples = sound(2.2)
    with torch.no_grad():
        mel = torch_mel(torch.from_numpy(samples)[None], torch.tensor([len(samples)]))
        wanted = theirs.eval()(mel)[0].numpy()
    found = view_of(samples, ours)
    assert found.shape == wanted.shape
    assert np.abs(found - wanted).max() < 2e-3
