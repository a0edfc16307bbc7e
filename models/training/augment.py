"""One recording, many rooms: speed, reverberation, microphone, noise, level, for a whole batch on the GPU.

The order is that of the real thing: the voice, its room, noise beside it, the microphone's band and colour (a laptop,
an 8 kHz headset, a telephone codec), the gain, the converter's clipping and rounding to 16 bits.
"""

import math
from dataclasses import dataclass

import torch

from features import HIGH_HZ, LOW_HZ
from noises import SAMPLE_RATE, Chance, fast_length, mixed

FULL_SCALE = 32767.0
SLOWEST, FASTEST = 0.86, 1.17
LOWEST_SNR_DB, HIGHEST_SNR_DB = -3.0, 25.0
LOWEST_TALK_DB = 3.0
"""Whose words count is known by loudness alone."""
QUIETEST_DBFS, LOUDEST_DBFS, CLIPPED_DBFS = -38.0, -1.0, 7.0
ROOM_SECONDS = 0.45
MU = 255.0


@dataclass(frozen=True, slots=True)
class Sounds:
    """N clips, padded with zeros to one length. Samples in the range of 16-bit integers.

    The samples live on the GPU, the numbers about them on the host, so that nobody has to wait for a size.
    """

    samples: torch.Tensor  # (N, L)
    lengths: torch.Tensor  # (N,) samples
    leads: torch.Tensor  # (N,) samples before the first word that are padding of ours

    def pin_memory(self) -> "Sounds":
        """For the loader: memory that the GPU copies from by itself."""
        return Sounds(self.samples.pin_memory(), self.lengths, self.leads)

    def column(self, numbers: torch.Tensor) -> torch.Tensor:
        """(N,) numbers of the host as an (N, 1) column beside the samples."""
        return numbers.to(self.samples.device, non_blocking=True)[:, None]


def _inside(sounds: Sounds) -> torch.Tensor:
    place = torch.arange(sounds.samples.shape[1], device=sounds.samples.device)
    return place[None] < sounds.column(sounds.lengths)


def at_other_speed(sounds: Sounds, chance: Chance, share: float = 0.85) -> Sounds:
    """Faster or slower, pitch and all, as a tape would be."""
    rows, samples = sounds.samples.shape
    ratio = chance.ratios(share, SLOWEST, FASTEST, rows)
    lengths = (sounds.lengths / ratio).long()
    place = torch.arange(int(lengths.max()), device=chance.device)[None] * sounds.column(ratio)
    left = place.long().clamp(max=samples - 2)
    fraction = (place - left).clamp(0, 1)
    value = torch.gather(sounds.samples, 1, left) * (1 - fraction)
    value += torch.gather(sounds.samples, 1, left + 1) * fraction
    moved = Sounds(value, lengths, (sounds.leads / ratio).long())
    return Sounds(moved.samples * _inside(moved), lengths, moved.leads)


def room_responses(chance: Chance, rows: int) -> torch.Tensor:
    """(rows, samples): direct sound, a few early reflections (desk, fallboard), a decaying tail of 0.08 to 0.6 s."""
    samples = int(ROOM_SECONDS * SAMPLE_RATE)
    time = torch.arange(samples, device=chance.device) / SAMPLE_RATE
    tail = chance.normal(rows, samples) * torch.exp(-6.9 * time / chance.uniform(0.08, 0.6, rows, 1))
    tail *= time > chance.uniform(0, 0.008, rows, 1)
    below_direct = 10.0 ** (-chance.uniform(0, 14, rows, 1) / 20)
    response = tail / (tail.square().sum(1, keepdim=True).sqrt() + 1e-9) * below_direct
    reflections = torch.zeros_like(response)
    reflections.scatter_add_(1, chance.integers(8, 400, rows, 4), chance.uniform(-0.5, 0.5, rows, 4))
    response += reflections * chance.happens(0.6, rows, 1)
    response[:, 0] = 1.0
    return response


def frequency_gains(chance: Chance, rows: int, bins: int, band_share: float) -> torch.Tensor:
    """(rows, bins) factors from 0 Hz to 8 kHz: a smooth curve, a tilt, a resonance, and the band limits of a
    device."""
    hertz = torch.linspace(0, SAMPLE_RATE / 2, bins, device=chance.device)[None].clamp(min=1.0)
    knots = torch.tensor([1.0, 150, 400, 900, 1800, 3200, 5000, 8000], device=chance.device)
    levels = chance.normal(rows, len(knots)) * chance.uniform(0, 5, rows, 1)
    right = torch.searchsorted(knots, hertz[0]).clamp(1, len(knots) - 1)
    along = (hertz[0] - knots[right - 1]) / (knots[right] - knots[right - 1])
    decibels = levels[:, right - 1] * (1 - along) + levels[:, right] * along
    tilt = chance.uniform(-2.2, 2.2, rows, 1) * chance.happens(0.5, rows, 1)
    decibels += tilt * torch.log2(hertz.clamp(min=100) / 1000)
    octaves = torch.log2(hertz / chance.uniform(300, 5000, rows, 1)) / chance.uniform(0.1, 0.6, rows, 1)
    bump = chance.uniform(-12, 10, rows, 1) * torch.exp(-0.5 * octaves.square())
    decibels += bump * chance.happens(0.3, rows, 1)
    return 10.0 ** ((decibels - _band_loss(chance, rows, hertz, band_share)).clamp(-80, 30) / 20)


def _band_loss(chance: Chance, rows: int, hertz: torch.Tensor, share: float) -> torch.Tensor:
    """Decibels lost outside the band of a telephone or headset (under 4 kHz), a codec (under 7 kHz) or a laptop."""
    kind = chance.uniform(0, 1, rows, 1)
    telephone, codec = kind < 0.55, kind < 0.75
    low = torch.where(telephone, chance.uniform(150, 350, rows, 1), chance.uniform(20, 400, rows, 1))
    high = torch.where(telephone, chance.uniform(3300, 4000, rows, 1), chance.uniform(3700, 7000, rows, 1))
    high = torch.where(codec, high, 1e6)
    loss = 10 * torch.log10(1 + (low / hertz) ** chance.uniform(3, 8, rows, 1))
    loss += 10 * torch.log10(1 + (hertz / high).clamp(max=10) ** chance.uniform(16, 60, rows, 1)).clamp(max=80)
    return loss * chance.happens(share, rows, 1)


def filtered(samples: torch.Tensor, gains: torch.Tensor, response: torch.Tensor | None = None) -> torch.Tensor:
    """Through a room (or none) and a frequency curve."""
    size = _filter_size(samples.shape[1])
    spectrum = torch.fft.rfft(samples, size) * gains
    if response is not None:
        spectrum = spectrum * torch.fft.rfft(response, size)
    return torch.fft.irfft(spectrum, size)[:, : samples.shape[1]]


def _filter_size(samples: int) -> int:
    return fast_length(samples + int(ROOM_SECONDS * SAMPLE_RATE))


def speech_level(sounds: Sounds) -> torch.Tensor:
    """(N, 1) root mean square of the loudest 0.1 s or so."""
    squares = torch.nn.functional.avg_pool1d(sounds.samples.square().unsqueeze(1), 1600, 800, ceil_mode=True)
    return squares.squeeze(1).amax(1, keepdim=True).sqrt() + 1e-3


def with_noise(sounds: Sounds, chance: Chance, voices: torch.Tensor, share: float) -> Sounds:
    """Noise -3 to 25 dB below the voice, talk 3 to 25; the voice's power is that over the whole clip."""
    samples, inside = sounds.samples, _inside(sounds)
    rows = len(samples)
    power = (samples.square().sum(1, keepdim=True) / sounds.column(sounds.lengths)).sqrt()
    noise, talk = mixed(chance, samples.shape[1], voices, rows)
    swell = torch.nn.functional.interpolate(
        chance.uniform(0.3, 1.5, rows, 1, 8), samples.shape[1], mode="linear", align_corners=True
    )[:, 0]
    noise = torch.where(chance.happens(0.3, rows, 1), noise * swell, noise)
    lowest = torch.where(talk, LOWEST_TALK_DB, LOWEST_SNR_DB).to(chance.device, non_blocking=True)
    below = 10.0 ** (-(lowest + (HIGHEST_SNR_DB - lowest) * chance.uniform(0, 1, rows, 1)) / 20)
    return Sounds(
        samples + noise * power * below * chance.happens(share, rows, 1) * inside, sounds.lengths, sounds.leads
    )


def _telephone_codec(samples: torch.Tensor, peak: torch.Tensor) -> torch.Tensor:
    """8-bit mu-law (ITU-T G.711) and back."""
    x = (samples / peak).clamp(-1, 1)
    code = torch.sign(x) * torch.log1p(MU * x.abs()) / torch.log(torch.tensor(1 + MU))
    code = torch.round(code * 127) / 127
    return torch.sign(code) * ((1 + MU) ** code.abs() - 1) / MU * peak


def at_some_level(sounds: Sounds, chance: Chance) -> Sounds:
    """Gain, a little converter noise, sometimes digital silence in front, clipping, rounding."""
    samples = sounds.samples
    rows = len(samples)
    peak = 3.0 * speech_level(sounds)
    samples = torch.where(chance.happens(0.06, rows, 1), _telephone_codec(samples, peak), samples)
    loud = torch.where(
        chance.happens(0.07, rows, 1),
        chance.uniform(LOUDEST_DBFS, CLIPPED_DBFS, rows, 1),
        chance.uniform(QUIETEST_DBFS, LOUDEST_DBFS, rows, 1),
    )
    samples = samples * (FULL_SCALE * 10.0 ** (loud / 20) / peak)
    hiss = chance.uniform(0, 1.5, rows, 1) * chance.happens(0.5, rows, 1)
    samples = samples + chance.normal(*samples.shape) * hiss
    silent = sounds.column(sounds.leads) * chance.happens(0.15, rows, 1)
    place = torch.arange(samples.shape[1], device=samples.device)
    samples = samples * (place[None] >= silent) * _inside(sounds)
    return Sounds(samples.round().clamp(-FULL_SCALE - 1, FULL_SCALE), sounds.lengths, sounds.leads)


def augmented(sounds: Sounds, chance: Chance, heavy_share: float = 0.67) -> tuple[Sounds, Sounds]:
    """The batch at other speeds, and the same in some room, noise and microphone. Both have the same lengths."""
    plain = at_other_speed(sounds, chance)
    rows, samples = plain.samples.shape
    heavy = chance.happens(heavy_share, rows, 1)
    gains = frequency_gains(chance, rows, _filter_size(samples) // 2 + 1, band_share=0.4)
    gains = torch.where(chance.happens(0.7, rows, 1) & heavy, gains, 1.0)
    response = room_responses(chance, rows)
    dry = torch.zeros_like(response)
    dry[:, 0] = 1.0
    response = torch.where(chance.happens(0.45, rows, 1) & heavy, response, dry)
    heard = Sounds(filtered(plain.samples, gains, response) * _inside(plain), plain.lengths, plain.leads)
    noisy = with_noise(heard, chance, plain.samples, share=0.85)
    recorded = filtered(noisy.samples, frequency_gains(chance, rows, _filter_size(samples) // 2 + 1, band_share=0.7))
    noisy_samples = torch.where(chance.happens(0.25, rows, 1), recorded, noisy.samples)
    result = torch.where(heavy, noisy_samples, heard.samples)
    return plain, at_some_level(Sounds(result, plain.lengths, plain.leads), chance)


def at_other_tempo(
    features: list[torch.Tensor], lengths: torch.Tensor, chance: Chance, share: float = 0.3
) -> tuple[list[torch.Tensor], torch.Tensor]:
    """Faster or slower at the same pitch: features (N, T, .) of the same clips, all stretched alike; new lengths.

    Lengths are on the host, before and after.
    """
    ratio = chance.ratios(share, 0.83, 1.2, len(lengths))
    stretched = (lengths / ratio).long().clamp(min=1)
    last, step = ((x.to(chance.device, non_blocking=True)[:, None]) for x in (lengths - 1, ratio))
    place = torch.minimum(torch.arange(int(stretched.max()), device=chance.device)[None] * step, last)
    left = place.long()
    right = torch.minimum(left + 1, last)
    fraction = (place - left)[:, :, None]

    def at(frames: torch.Tensor, index: torch.Tensor) -> torch.Tensor:
        return torch.gather(frames, 1, index[:, :, None].expand(-1, -1, frames.shape[2]))

    return [at(x, left) * (1 - fraction) + at(x, right) * fraction for x in features], stretched


def with_other_vocal_tracts(features: list[torch.Tensor], chance: Chance, share: float = 0.6) -> list[torch.Tensor]:
    """Formants moved by up to an eighth without touching pitch or tempo: the mel bins read elsewhere, all clips'
    alike."""
    rows, _, bins = features[0].shape
    low, high = (1127.0 * math.log(1 + hertz / 700.0) for hertz in (LOW_HZ, HIGH_HZ))
    step = (high - low) / (bins + 1)
    hertz = 700.0 * (torch.exp((low + step * torch.arange(1, bins + 1, device=chance.device)) / 1127.0) - 1)
    factor = torch.where(chance.happens(share, rows, 1), chance.uniform(0.88, 1.12, rows, 1), 1.0)
    place = ((1127.0 * torch.log1p(hertz * factor / 700.0) - low) / step - 1).clamp(0, bins - 1)
    left = place.long().clamp(max=bins - 2)
    fraction = (place - left)[:, None]

    def at(frames: torch.Tensor, index: torch.Tensor) -> torch.Tensor:
        return torch.gather(frames, 2, index[:, None].expand(-1, frames.shape[1], -1))

    return [at(x, left) * (1 - fraction) + at(x, left + 1) * fraction for x in features]


def feature_mask(chance: Chance, rows: int, frames: int, bins: int) -> torch.Tensor:
    """(rows, frames, bins) of 0 and 1: two bands of up to 6 bins and, each 1.2 s, up to 13 frames are hidden.

    Park et al., "SpecAugment", Interspeech 2019.
    """
    bin_index = torch.arange(bins, device=chance.device)[None, None]
    frame_index = torch.arange(frames, device=chance.device)[None, :, None]
    mask = torch.ones(rows, frames, bins, dtype=torch.bool, device=chance.device)
    for _ in range(2):
        width = chance.uniform(0, 7, rows, 1, 1)
        start = chance.uniform(0, 1, rows, 1, 1) * (bins - width)
        mask &= (bin_index < start) | (bin_index >= start + width)
    for _ in range(max(1, frames // 120)):
        width = chance.uniform(0, 14, rows, 1, 1) * chance.happens(0.7, rows, 1, 1)
        start = chance.uniform(0, 1, rows, 1, 1) * (frames - width)
        mask &= (frame_index < start) | (frame_index >= start + width)
    return mask.float()
