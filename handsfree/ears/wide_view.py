"""What the second ear makes of a whole utterance: log mel spectrum, two convolutions, four transformer blocks. Pure.

The encoder of Whisper (Radford et al., "Robust speech recognition via large-scale weak supervision", 2022) in numpy,
for one utterance at a time; `models/training/whisper_encoder.py` is the same for training.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from functools import lru_cache

import numpy as np
import numpy.typing as npt

Floats = npt.NDArray[np.float32]
Weights = Mapping[str, Floats]

RATE = 16000
SHIFT = 160
"""Samples from one mel frame to the next: 10 ms. The view has a frame for every second one."""
POINTS = 400
MELS = 80
HEADS = 6
EPSILON = 1e-5
RANGE = 8.0
"""Decades below the loudest place that are looked at: 80 dB."""


def view_of(samples: Floats, weights: Weights) -> Floats:
    """(n,) samples in -1..1, at least 0.03 s -> (ceil(n // 160 / 2), width), one row each 20 ms."""
    x = _gelu(_convolved(log_mel(samples), weights, "first", 1))
    x = _gelu(_convolved(x, weights, "second", 2))
    x = x + weights["places"][: len(x)]
    block = 0
    while f"blocks.{block}.joint.weight" in weights:
        x = _block(x, weights, f"blocks.{block}.")
        block += 1
    return _layer_norm(x, weights, "norm")


def log_mel(samples: Floats) -> Floats:
    """(n,) -> (n // 160, 80)."""
    padded = np.pad(samples, POINTS // 2, mode="reflect")
    frames = np.lib.stride_tricks.sliding_window_view(padded, POINTS)[::SHIFT][: len(samples) // SHIFT]
    window = (0.5 - 0.5 * np.cos(2 * np.pi * np.arange(POINTS) / POINTS)).astype(np.float32)
    spectrum = np.fft.rfft(frames * window)
    power = (spectrum.real**2 + spectrum.imag**2).astype(np.float32)
    mel = np.log10(np.maximum(power @ mel_weights(), 1e-10))
    found: Floats = ((np.maximum(mel, mel.max() - RANGE) + 4.0) / 4.0).astype(np.float32)
    return found


@lru_cache(maxsize=1)
def mel_weights() -> Floats:
    """(POINTS / 2 + 1, MELS) triangles of equal area, 0 to 8 kHz, on a scale linear below 1 kHz and logarithmic above
    (M. Slaney, "Auditory Toolbox", 1998)."""
    log_step = math.log(6.4) / 27
    mels = np.linspace(0, 15 + math.log(8.0) / log_step, MELS + 2)
    corners = np.where(mels < 15, mels * 200.0 / 3, 1000.0 * np.exp(log_step * (mels - 15)))
    bins = np.linspace(0, RATE / 2, POINTS // 2 + 1)[:, None]
    rising = (bins - corners[:-2]) / np.diff(corners)[:-1]
    falling = (corners[2:] - bins) / np.diff(corners)[1:]
    triangles = np.maximum(0, np.minimum(rising, falling)) * 2.0 / (corners[2:] - corners[:-2])
    found: Floats = triangles.astype(np.float32)
    return found


def _affine(x: Floats, weights: Weights, name: str) -> Floats:
    product: Floats = x @ weights[name + ".weight"].T
    return np.add(product, weights[name + ".bias"])


def _convolved(x: Floats, weights: Weights, name: str, stride: int) -> Floats:
    """Over three frames, the ends filled with nothing."""
    kernel = weights[name + ".weight"]
    padded = np.pad(x, ((1, 1), (0, 0)))
    steps = (len(x) - 1) // stride + 1
    parts = (padded[k : k + (steps - 1) * stride + 1 : stride] @ kernel[:, :, k].T for k in range(3))
    found: Floats = sum(parts) + weights[name + ".bias"]
    return found


def _block(x: Floats, weights: Weights, name: str) -> Floats:
    x = x + _affine(_attended(_layer_norm(x, weights, name + "attention_norm"), weights, name), weights, name + "out")
    wide = _gelu(_affine(_layer_norm(x, weights, name + "forward_norm"), weights, name + "wide"))
    return x + _affine(wide, weights, name + "narrow")


def _attended(x: Floats, weights: Weights, name: str) -> Floats:
    """Every frame looks at all others, in HEADS ways."""
    frames, width = x.shape
    joint = _affine(x, weights, name + "joint").reshape(frames, 3, HEADS, width // HEADS)
    query, key, value = joint.transpose(1, 2, 0, 3)
    likeness = query @ key.transpose(0, 2, 1) / np.float32(math.sqrt(width // HEADS))
    likeness = np.exp(likeness - likeness.max(2, keepdims=True))
    seen = (likeness / likeness.sum(2, keepdims=True)) @ value
    found: Floats = seen.transpose(1, 0, 2).reshape(frames, width)
    return found


def _layer_norm(x: Floats, weights: Weights, name: str) -> Floats:
    centred = x - x.mean(1, keepdims=True)
    spread = np.sqrt((centred**2).mean(1, keepdims=True) + np.float32(EPSILON))
    found: Floats = centred / spread * weights[name + ".weight"] + weights[name + ".bias"]
    return found


def _gelu(x: Floats) -> Floats:
    """x times the normal distribution's share below x."""
    half: Floats = 0.5 * x * (1 + erf(x * np.float32(math.sqrt(0.5))))
    return half


def erf(x: Floats) -> Floats:
    """The error function within 1.5e-7: M. Abramowitz and I. Stegun, "Handbook of mathematical functions", 7.1.26."""
    t = 1 / (1 + np.float32(0.3275911) * np.abs(x))
    polynomial = np.zeros_like(t)
    for coefficient in (1.061405429, -1.453152027, 1.421413741, -0.284496736, 0.254829592):
        polynomial = (polynomial + np.float32(coefficient)) * t
    found: Floats = np.copysign(1 - polynomial * np.exp(-x * x), x)
    return found
