"""Sounds of a workshop with a piano in it, made on the fly, for a batch at a time: (rows, samples), each of power 1.

There is no open recording of one. Made here: noise of any colour, mains hum, a fan, knocks of wood and tools, ringing
partials of piano strings at the frequencies of the 88 keys, and talk (one voice beside, or many as babble).
"""

import math
from collections.abc import Callable

import torch

SAMPLE_RATE = 16000
KEYS = 88
A4_KEY, A4_HZ = 49, 440.0
RING_SECONDS = 1.5


class Chance:
    """Random tensors from one generator on one device: a seed gives the same noise again."""

    def __init__(self, seed: int, device: torch.device) -> None:
        self.device = device
        self.generator = torch.Generator(device=device).manual_seed(seed)
        self.on_host = torch.Generator().manual_seed(seed)
        """For choices that decide sizes: asking the GPU for them would stop it until it has answered."""

    def uniform(self, low: float, high: float, *size: int) -> torch.Tensor:
        return low + (high - low) * torch.rand(*size, generator=self.generator, device=self.device)

    def normal(self, *size: int) -> torch.Tensor:
        return torch.randn(*size, generator=self.generator, device=self.device)

    def integers(self, low: int, high: int, *size: int) -> torch.Tensor:
        return torch.randint(low, high, size, generator=self.generator, device=self.device)

    def ratios(self, share: float, low: float, high: float, rows: int) -> torch.Tensor:
        """On the host: 1, or for a `share` of the rows a number from low to high."""
        drawn = torch.rand(2, rows, generator=self.on_host)
        return torch.where(drawn[0] < share, low + (high - low) * drawn[1], 1.0)

    def happens(self, probability: float, *size: int) -> torch.Tensor:
        return torch.rand(*size, generator=self.generator, device=self.device) < probability


def fast_length(samples: int) -> int:
    """A length not below `samples` that a Fourier transform likes (a power of two times 1, 1.25, 1.5 or 1.75)."""
    power = 1 << max(0, (samples - 1).bit_length() - 1)
    return next(power * q // 4 for q in (4, 5, 6, 7, 8) if power * q // 4 >= samples)


def convolved(signal: torch.Tensor, kernel: torch.Tensor) -> torch.Tensor:
    """Row by row, cut to the signal's length."""
    samples = signal.shape[1]
    size = fast_length(samples + kernel.shape[1])
    return torch.fft.irfft(torch.fft.rfft(signal, size) * torch.fft.rfft(kernel, size), size)[:, :samples]


def to_unit_power(x: torch.Tensor) -> torch.Tensor:
    return x / (x.square().mean(1, keepdim=True).sqrt() + 1e-6)


def coloured(chance: Chance, rows: int, samples: int, low: float = 0.0, high: float = 2.2) -> torch.Tensor:
    """Power falling as frequency to the minus `low`..`high`: white to brown."""
    size = fast_length(samples)
    spectrum = torch.fft.rfft(chance.normal(rows, size))
    frequency = torch.arange(spectrum.shape[1], device=chance.device).clamp(min=size // 500)
    slope = chance.uniform(low, high, rows, 1)
    return to_unit_power(torch.fft.irfft(spectrum * frequency ** (-slope / 2), size)[:, :samples])


def _harmonics(chance: Chance, rows: int, samples: int, fundamental: torch.Tensor, count: int) -> torch.Tensor:
    time = torch.arange(samples, device=chance.device) / SAMPLE_RATE
    total = torch.zeros(rows, samples, device=chance.device)
    for harmonic in range(1, count + 1):
        level = chance.uniform(0, 1, rows, 1) / harmonic
        phase = chance.uniform(0, 2 * math.pi, rows, 1)
        total += level * torch.sin(2 * math.pi * harmonic * fundamental * time + phase)
    return to_unit_power(total)


def hum(chance: Chance, rows: int, samples: int) -> torch.Tensor:
    """Mains of 50 or 60 Hz with harmonics, over faint noise."""
    mains = 50.0 + 10.0 * chance.happens(0.5, rows, 1)
    return to_unit_power(_harmonics(chance, rows, samples, mains, 9) + 0.3 * coloured(chance, rows, samples))


def fan(chance: Chance, rows: int, samples: int) -> torch.Tensor:
    """Rushing air with the tone of the blades."""
    blades = chance.uniform(60, 350, rows, 1)
    tone = chance.uniform(0.05, 0.6, rows, 1) * _harmonics(chance, rows, samples, blades, 5)
    return to_unit_power(coloured(chance, rows, samples, 0.5, 2.0) + tone)


def _struck(chance: Chance, rows: int, samples: int, kernel: torch.Tensor, most: int) -> torch.Tensor:
    """One to `most` strikes at random moments."""
    strikes = torch.zeros(rows, samples, device=chance.device)
    places = chance.integers(0, samples, rows, most)
    force = chance.uniform(0.2, 1, rows, most) * (chance.uniform(0, 1, rows, most) < chance.uniform(0.2, 1, rows, 1))
    force[:, 0] = 1.0
    strikes.scatter_add_(1, places, force)
    return to_unit_power(convolved(strikes, kernel) + 0.001 * chance.normal(rows, samples) * kernel.std())


def knocks(chance: Chance, rows: int, samples: int) -> torch.Tensor:
    """Wood, keys and tools: short bursts with a few damped modes."""
    time = torch.arange(int(0.4 * SAMPLE_RATE), device=chance.device) / SAMPLE_RATE
    kernel = chance.normal(rows, len(time)) * torch.exp(-time * chance.uniform(40, 400, rows, 1))
    for _ in range(3):
        mode = torch.sin(2 * math.pi * time * chance.uniform(80, 3000, rows, 1))
        kernel += chance.uniform(0, 2, rows, 1) * mode * torch.exp(-time * chance.uniform(12, 120, rows, 1))
    return _struck(chance, rows, samples, kernel, 12)


def ringing(chance: Chance, rows: int, samples: int) -> torch.Tensor:
    """Strings left ringing: partials n f sqrt(1 + B n^2) of a key, the higher the sooner gone.

    The stiff-string formula is Fletcher's ("Normal vibration frequencies of a stiff piano string", J. Acoust. Soc.
    Am. 36, 1964); B and the decay times are drawn widely, from memory of common values.
    """
    time = torch.arange(int(RING_SECONDS * SAMPLE_RATE), device=chance.device) / SAMPLE_RATE
    kernel = torch.zeros(rows, len(time), device=chance.device)
    key = chance.integers(1, KEYS + 1, rows, 1)
    fundamental = A4_HZ * 2.0 ** ((key - A4_KEY) / 12)
    stiffness = 10.0 ** chance.uniform(-4, -2.5, rows, 1)
    decay = chance.uniform(0.7, 6, rows, 1)
    for partial in range(1, 11):
        frequency = partial * fundamental * (1 + stiffness * partial**2).sqrt()
        audible = frequency < 0.5 * SAMPLE_RATE
        level = audible * chance.uniform(0.1, 1, rows, 1) / partial ** chance.uniform(0.3, 1.5, rows, 1)
        kernel += level * torch.sin(2 * math.pi * frequency * time) * torch.exp(-time * decay * partial**0.7)
    return _struck(chance, rows, samples, kernel, 5)


def _rolled(chance: Chance, voices: torch.Tensor, rows: int, samples: int) -> torch.Tensor:
    """Random stretches of other clips, one a row."""
    pick = chance.integers(0, len(voices), rows)
    start = chance.integers(0, voices.shape[1], rows, 1)
    place = (start + torch.arange(samples, device=chance.device)) % voices.shape[1]
    return to_unit_power(torch.gather(voices[pick], 1, place))


def talk_beside(chance: Chance, rows: int, samples: int, voices: torch.Tensor) -> torch.Tensor:
    """One other voice, half the time two."""
    second = chance.uniform(0.3, 1, rows, 1) * chance.happens(0.5, rows, 1)
    return to_unit_power(_rolled(chance, voices, rows, samples) + second * _rolled(chance, voices, rows, samples))


def babble(chance: Chance, rows: int, samples: int, voices: torch.Tensor) -> torch.Tensor:
    """Many other voices."""
    total = torch.zeros(rows, samples, device=chance.device)
    for _ in range(6):
        total += chance.uniform(0.2, 1, rows, 1) * _rolled(chance, voices, rows, samples)
    return to_unit_power(total)


MADE: tuple[tuple[float, Callable[[Chance, int, int], torch.Tensor]], ...] = (
    (0.25, coloured), (0.05, hum), (0.20, fan), (0.10, knocks), (0.10, ringing),
)  # fmt: skip
TALK: tuple[tuple[float, Callable[[Chance, int, int, torch.Tensor], torch.Tensor]], ...] = (
    (0.10, talk_beside), (0.20, babble),
)  # fmt: skip
"""Share of each kind among the noisy clips."""


def mixed(chance: Chance, samples: int, voices: torch.Tensor, rows: int) -> tuple[torch.Tensor, torch.Tensor]:
    """For each row one kind of noise, by the shares above; and (rows, 1) on the host, whether it is talk."""
    kinds: list[tuple[float, Callable[[int], torch.Tensor]]] = []
    kinds += [(share, lambda count, make=make: make(chance, count, samples)) for share, make in MADE]
    kinds += [(share, lambda count, make=make: make(chance, count, samples, voices)) for share, make in TALK]
    shares = torch.tensor([share for share, _ in kinds])
    chosen = torch.multinomial(shares, rows, replacement=True, generator=chance.on_host)
    noise = torch.zeros(rows, samples, device=chance.device)
    for index, (_, make) in enumerate(kinds):
        at = (chosen == index).nonzero()[:, 0]
        if len(at):
            noise[at.to(chance.device, non_blocking=True)] = make(len(at))
    return noise, (chosen >= len(MADE))[:, None]
