"""Rooms and noises do what their names say: lengths, bands, frequencies, levels; the same seed the same sound."""

import sys
from pathlib import Path

import pytest

torch = pytest.importorskip("torch", reason="needs torch (extra [train])")
sys.path.insert(0, str(Path(__file__).parents[2] / "models" / "training"))

import augment  # noqa: E402
import noises  # noqa: E402
from augment import Sounds  # noqa: E402
from noises import Chance  # noqa: E402

CPU = torch.device("cpu")


def voices(rows=6, samples=24000):
    generator = torch.Generator().manual_seed(2)
    lengths = torch.linspace(samples // 2, samples, rows).long()
    wave = torch.randn(rows, samples, generator=generator) * 2000
    wave *= torch.arange(samples)[None] < lengths[:, None]
    return Sounds(wave, lengths, torch.full((rows,), 800))


def test_augmented_sound_is_16_bit_sound_of_the_same_length_as_the_plain():
    for seed in range(4):
        plain, varied = augment.augmented(voices(), Chance(seed, CPU))
        assert plain.samples.shape == varied.samples.shape
        assert torch.equal(plain.lengths, varied.lengths)
        assert varied.samples.isfinite().all()
        assert varied.samples.min() >= -32768
        assert varied.samples.max() <= 32767
        assert torch.equal(varied.samples, varied.samples.round())
        after = torch.arange(varied.samples.shape[1])[None] >= varied.lengths[:, None]
        assert (varied.samples * after).abs().max() == 0


def test_the_same_seed_gives_the_same_sound_and_another_seed_does_not():
    first, again, other = (augment.augmented(voices(), Chance(seed, CPU))[1].samples for seed in (1, 1, 2))
    assert torch.equal(first, again)
    assert first.shape != other.shape or not torch.equal(first, other)


def test_speed_moves_pitch_and_length_together():
    """A 1000 Hz tone of one second, `ratio` times as fast, is a 1000 * ratio Hz tone of 1 / ratio seconds."""
    tone = torch.sin(2 * torch.pi * 1000 * torch.arange(16000) / 16000)[None] * 5000
    moved = augment.at_other_speed(Sounds(tone, torch.tensor([16000]), torch.tensor([0])), Chance(5, CPU), share=1.0)
    length = int(moved.lengths[0])
    ratio = 16000 / length
    assert augment.SLOWEST - 0.01 < ratio < augment.FASTEST + 0.01
    peak = torch.fft.rfft(moved.samples[0, :length]).abs().argmax() * 16000 / length
    assert float(peak) == pytest.approx(1000 * ratio, rel=0.01)


@pytest.mark.parametrize("make", [make for _, make in noises.MADE], ids=lambda make: make.__name__)
def test_every_noise_has_power_one(make):
    noise = make(Chance(3, CPU), 4, 32000)
    assert noise.shape == (4, 32000)
    assert noise.square().mean(1).sqrt() == pytest.approx(torch.ones(4), abs=0.02)


class OneKey(Chance):
    """Draws this key whenever a key is drawn."""

    key = 49

    def integers(self, low, high, *size):
        drawn = super().integers(low, high, *size)
        return torch.full_like(drawn, self.key) if (low, high) == (1, noises.KEYS + 1) else drawn


@pytest.mark.parametrize(("key", "hertz"), [(49, 440.0), (40, 261.63), (64, 1046.5), (16, 65.41)])
def test_strings_ring_at_key_frequencies(key, hertz):
    """Equal temperament from A4 = 440 Hz (ISO 16; C4 261.63, C6 1046.5, C2 65.41 Hz: from memory)."""
    chance = OneKey(8, CPU)
    chance.key = key
    power = torch.fft.rfft(noises.ringing(chance, 30, 64000)).abs().square().mean(0)

    def near(frequency):
        return power[int(frequency * 0.985 * 4) : int(frequency * 1.015 * 4) + 1].max()

    assert near(hertz) > 20 * near(hertz * 2 ** (1 / 12))
    assert near(hertz) > 20 * near(hertz * 2 ** (-1 / 12))


def test_noise_stays_within_the_bounds_of_its_level():
    clean = voices()
    noisy = augment.with_noise(clean, Chance(6, CPU), clean.samples, share=1.0)
    power = clean.samples.square().sum(1) / clean.lengths
    added = (noisy.samples - clean.samples).square().sum(1) / clean.lengths
    snr = 10 * torch.log10(power / added)
    assert (snr > augment.LOWEST_SNR_DB - 10).all()  # a swelling or knocking noise may be louder for a moment
    assert (snr < augment.HIGHEST_SNR_DB + 14).all()


def test_band_limits_leave_nothing_above_the_band():
    gains = augment._band_loss(Chance(1, CPU), 400, torch.linspace(1, 8000, 801)[None], share=1.0)
    telephones = gains[:, 700] > 20  # 7 kHz is lost
    assert 0.3 < telephones.float().mean() < 0.9
    assert (gains[:, 100] < 10).all()  # 1 kHz is always there


def test_masks_hide_a_little_and_nothing_more():
    mask = augment.feature_mask(Chance(2, CPU), 50, 300, 40)
    assert set(mask.unique().tolist()) == {0.0, 1.0}
    assert 0.6 < mask.mean() < 0.95


def test_tempo_keeps_clips_together():
    frames = torch.arange(100.0)[None, :, None].expand(3, 100, 40)
    given = torch.tensor([100, 80, 60])
    (one, two), lengths = augment.at_other_tempo([frames, frames * 2], given, Chance(4, CPU), share=1.0)
    assert torch.allclose(one * 2, two)
    for row, length in zip(one, lengths.tolist(), strict=True):
        assert row[0, 0] == 0
        assert (row[1:length, 0] > row[: length - 1, 0]).all()


def test_vocal_tracts_of_natural_length_are_left_alone():
    frames = torch.randn(3, 20, 40)
    (same,) = augment.with_other_vocal_tracts([frames], Chance(1, CPU), share=0.0)
    assert torch.allclose(same, frames, atol=1e-3)
