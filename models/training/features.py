"""Log mel filter banks, number for number what Vosk computes from `conf/fbank.conf`, for whole batches on a GPU.

Vosk uses Kaldi's feature code: 25 ms frames every 10 ms, no partial frames at the edges, DC removed and pre-emphasis
within each frame, Povey window, power spectrum of 512 points, 40 triangular mel filters from 20 to 7600 Hz, natural
log. No dither, no energy. `tests/model/test_training_features.py` compares with Kaldi's code in the
kaldi-native-fbank wheel.
"""

import math
from functools import lru_cache

import torch

SAMPLE_RATE = 16000
FRAME_SAMPLES = 400
SHIFT_SAMPLES = 160
FFT_POINTS = 512
MEL_BINS = 40
LOW_HZ, HIGH_HZ = 20.0, 7600.0
PREEMPHASIS = 0.97
ENERGY_FLOOR = 1.1920929e-07
"""float32 epsilon, Kaldi's floor before the log: digital silence comes out as -15.9."""

FBANK_CONF = f"""--dither=0
--num-mel-bins={MEL_BINS}
--low-freq={LOW_HZ:.0f}
--high-freq={HIGH_HZ:.0f}
--use-energy=false
--allow-upsample=true
--allow-downsample=true
"""


def frame_count(samples: int) -> int:
    """Whole 25 ms frames in so many samples (0 if shorter than one)."""
    return 0 if samples < FRAME_SAMPLES else 1 + (samples - FRAME_SAMPLES) // SHIFT_SAMPLES


def frame_counts(samples: torch.Tensor) -> torch.Tensor:
    """`frame_count` of each element."""
    return torch.where(samples < FRAME_SAMPLES, 0, 1 + (samples - FRAME_SAMPLES) // SHIFT_SAMPLES)


def _mel(hertz: float) -> float:
    return 1127.0 * math.log(1.0 + hertz / 700.0)


@lru_cache(maxsize=8)
def _mel_weights(device: torch.device) -> torch.Tensor:
    """(FFT_POINTS / 2 + 1, MEL_BINS) triangles, linear in mel, with Kaldi's zero weight for the last bin."""
    low, high = _mel(LOW_HZ), _mel(HIGH_HZ)
    step = (high - low) / (MEL_BINS + 1)
    weights = torch.zeros(FFT_POINTS // 2 + 1, MEL_BINS, dtype=torch.float64)
    for bin_index in range(FFT_POINTS // 2):
        mel = _mel(bin_index * SAMPLE_RATE / FFT_POINTS)
        for filter_index in range(MEL_BINS):
            left = low + filter_index * step
            centre, right = left + step, left + 2 * step
            if left < mel < right:
                weights[bin_index, filter_index] = (
                    (mel - left) / step if mel <= centre else (right - mel) / step
                )
    return weights.float().to(device)


@lru_cache(maxsize=8)
def _povey_window(device: torch.device) -> torch.Tensor:
    n = torch.arange(FRAME_SAMPLES, dtype=torch.float64)
    hann = 0.5 - 0.5 * torch.cos(2 * math.pi * n / (FRAME_SAMPLES - 1))
    return hann.pow(0.85).float().to(device)


def fbank(samples: torch.Tensor) -> torch.Tensor:
    """(..., n) samples in the range of 16-bit integers -> (..., frames, 40) log mel energies."""
    frames = samples.float().unfold(-1, FRAME_SAMPLES, SHIFT_SAMPLES)
    frames = frames - frames.mean(-1, keepdim=True)
    before = torch.cat([frames[..., :1], frames[..., :-1]], -1)
    windowed = (frames - PREEMPHASIS * before) * _povey_window(samples.device)
    spectrum = torch.fft.rfft(windowed, FFT_POINTS)
    power = spectrum.real.square() + spectrum.imag.square()
    return torch.log((power @ _mel_weights(samples.device)).clamp(min=ENERGY_FLOOR))
