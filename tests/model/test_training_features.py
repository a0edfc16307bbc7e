"""Our filter banks against Kaldi's own code (the kaldi-native-fbank wheel), which is what Vosk runs on the
microphone."""

import sys
from pathlib import Path

import pytest

np = pytest.importorskip("numpy")
torch = pytest.importorskip("torch", reason="needs torch (extra [train])")
kaldi = pytest.importorskip("kaldi_native_fbank", reason="needs kaldi-native-fbank (extra [train])")
sys.path.insert(0, str(Path(__file__).parents[2] / "models" / "training"))

import features  # noqa: E402


def kaldi_fbank(samples):
    options = kaldi.FbankOptions()
    options.frame_opts.dither = 0
    options.frame_opts.samp_freq = features.SAMPLE_RATE
    options.frame_opts.snip_edges = True
    options.mel_opts.num_bins = features.MEL_BINS
    options.mel_opts.low_freq, options.mel_opts.high_freq = features.LOW_HZ, features.HIGH_HZ
    options.use_energy = False
    computer = kaldi.OnlineFbank(options)
    computer.accept_waveform(features.SAMPLE_RATE, samples.astype(np.float32))
    computer.input_finished()
    return np.stack([computer.get_frame(i) for i in range(computer.num_frames_ready)])


def sounds():
    rng = np.random.default_rng(3)
    time = np.arange(16000) / 16000
    yield "noise", rng.normal(0, 3000, 16000)
    yield "tone over digital silence", np.where(time < 0.5, 0, 8000 * np.sin(2 * np.pi * 440 * time))
    yield "clipped", np.clip(rng.normal(0, 30000, 12345), -32768, 32767)
    yield "one frame", rng.normal(0, 100, features.FRAME_SAMPLES)


@pytest.mark.parametrize("name", dict(sounds()))
def test_the_same_numbers_as_kaldi(name):
    samples = dict(sounds())[name]
    samples = samples.round().astype(np.int16)
    ours, theirs = features.fbank(torch.from_numpy(samples)).numpy(), kaldi_fbank(samples)
    assert ours.shape == theirs.shape == (features.frame_count(len(samples)), features.MEL_BINS)
    assert np.abs(ours - theirs).max() < 5e-3


def test_the_configuration_that_vosk_reads_says_the_same():
    said = dict(line.removeprefix("--").split("=") for line in features.FBANK_CONF.splitlines())
    assert int(said["num-mel-bins"]) == features.MEL_BINS
    assert (float(said["low-freq"]), float(said["high-freq"])) == (features.LOW_HZ, features.HIGH_HZ)
    assert said["dither"] == "0"
    assert said["use-energy"] == "false"


def test_frame_counts_of_short_sounds():
    assert [features.frame_count(n) for n in (0, 399, 400, 559, 560)] == [0, 0, 1, 1, 2]
    assert features.frame_counts(torch.tensor([0, 399, 400, 559, 560])).tolist() == [0, 0, 1, 1, 2]
