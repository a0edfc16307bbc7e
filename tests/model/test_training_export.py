"""A network goes out as final.mdl and comes back the same, and Vosk itself hears the same with it."""

import json
import shutil
import sys
from dataclasses import replace
from pathlib import Path

import pytest

np = pytest.importorskip("numpy")
torch = pytest.importorskip("torch", reason="needs torch (extra [train])")
REPOSITORY = Path(__file__).resolve().parents[2]
sys.path.insert(0, str(REPOSITORY / "models" / "training"))

from checkpoints import looking_elsewhere, read_start  # noqa: E402
from export import acoustic_model, export  # noqa: E402
from kaldi_format import KaldiReader  # noqa: E402
from network import AcousticNetwork, NetworkShape  # noqa: E402
from read_mdl import read_network  # noqa: E402

SHIPPED = REPOSITORY / "models" / "keybed-en"
RECORDING = REPOSITORY.parent / "shared" / "speech" / "spelled" / "s02" / "numbers.opus"
SMALL = NetworkShape(hidden=32, bottleneck=8, prefinal=16, offsets=((-1, 0, 1), (-3, 0), (0,)))


def with_random_statistics(shape):
    torch.manual_seed(4)
    network = AcousticNetwork(shape)
    for parameter in network.parameters():
        torch.nn.init.normal_(parameter, std=0.2)
    for name, buffer in network.named_buffers():
        buffer.copy_(torch.rand_like(buffer) + (0.5 if name.endswith("variance") else 0))
    return network.eval()


@torch.no_grad()
def outputs(network):
    features = torch.randn(2, 50, 40, generator=torch.Generator().manual_seed(1)) * 3 + 10
    return network(features, torch.tensor([50, 41]))[0]


@pytest.mark.parametrize(("compress", "most"), [(False, 1e-5), (True, 2e-3)])
def test_what_goes_out_comes_back(tmp_path, compress, most):
    network = with_random_statistics(SMALL)
    (tmp_path / "final.mdl").write_bytes(acoustic_model(network, compress))
    back = read_network(tmp_path / "final.mdl")
    assert back.shape.offsets == network.shape.offsets
    assert (outputs(back) - outputs(network)).abs().max() < most * outputs(network).abs().max()


def test_context_follows_from_the_offsets():
    """By hand: 2 + 1 frames at the front, then three times the offsets' sums."""
    assert (SMALL.left_context, SMALL.right_context) == (3 + 3 * (1 + 3), 3 + 3 * 1)


def test_padding_after_the_end_changes_nothing():
    network = with_random_statistics(SMALL)
    features = torch.randn(1, 41, 40) * 3 + 10
    longer = torch.cat([features, torch.full((1, 30, 40), 99.0)], 1)
    with torch.no_grad():
        alone, padded = network(features, torch.tensor([41]))[0], network(longer, torch.tensor([41]))[0]
    assert torch.allclose(alone, padded[:, : alone.shape[1]], atol=1e-5)


def test_no_future_beyond_the_right_context_is_used():
    network = with_random_statistics(SMALL)
    features = torch.randn(1, 60, 40) * 3 + 10
    changed = features.clone()
    changed[:, 30 + SMALL.right_context + 1 :] += 5
    with torch.no_grad():
        before, after = (network(x, torch.tensor([60]))[0] for x in (features, changed))
    assert torch.allclose(before[:, :11], after[:, :11], atol=1e-5)
    assert not torch.allclose(before[:, 11:], after[:, 11:], atol=1e-5)


def test_a_network_made_to_look_less_far_ahead_keeps_what_it_still_looks_at():
    """What the dropped offset saw is made nothing first, so that nothing may change."""
    network = with_random_statistics(SMALL)
    with torch.no_grad():
        network.layers[0].linear.weight[:, 2 * SMALL.hidden :] = 0
    less = replace(SMALL, offsets=((-1, 0), *SMALL.offsets[1:]))
    narrowed = looking_elsewhere(network, less).eval()
    assert narrowed.shape.right_context == SMALL.right_context - 3
    assert torch.allclose(outputs(narrowed), outputs(network), atol=1e-5)
    again = looking_elsewhere(narrowed, SMALL).eval()
    assert torch.allclose(outputs(again), outputs(network), atol=1e-5)


def test_what_ships_can_be_trained_further():
    start = read_start(SHIPPED / "am" / "final.mdl")
    features = torch.randn(1, 50, 40, generator=torch.Generator().manual_seed(1)) * 3 + 10
    with torch.no_grad():
        chain, side = start(features, torch.tensor([50]))
    assert torch.equal(chain, side)


def test_a_broken_file_is_refused_with_a_reason(tmp_path):
    (tmp_path / "cut.mdl").write_bytes(acoustic_model(with_random_statistics(SMALL))[:-2000])
    with pytest.raises(ValueError, match=r"ends early|not found"):
        read_network(tmp_path / "cut.mdl")
    with pytest.raises(ValueError, match="not a binary Kaldi file"):
        KaldiReader(b"<TransitionModel>")


def test_the_shipped_model_reads():
    network = read_network(SHIPPED / "am" / "final.mdl")
    assert outputs(network).isfinite().all()


def test_vosk_hears_the_same_with_the_model_written_anew(tmp_path):
    """The shipped final.mdl, read into torch and exported again, gives Vosk the same words and nearly the same
    scores."""
    vosk = pytest.importorskip("vosk")
    soundfile = pytest.importorskip("soundfile")
    if not RECORDING.is_file():
        pytest.skip("needs the human speech in ../shared/speech")
    vosk.SetLogLevel(-1)
    shutil.copytree(SHIPPED, tmp_path / "model")
    export(read_network(SHIPPED / "am" / "final.mdl"), tmp_path / "model")
    samples, _ = soundfile.read(RECORDING, dtype="int16")
    heard = []
    for folder in (SHIPPED, tmp_path / "model"):
        words = "zero oh one two three four five six seven eight nine"
        recogniser = vosk.KaldiRecognizer(vosk.Model(str(folder)), 16000, json.dumps(words.split()))
        recogniser.SetMaxAlternatives(2)
        recogniser.AcceptWaveform(samples.tobytes())
        heard.append(json.loads(recogniser.FinalResult())["alternatives"])
    assert [a["text"] for a in heard[0]] == [a["text"] for a in heard[1]]
    assert heard[0][0]["confidence"] == pytest.approx(heard[1][0]["confidence"], rel=0.01)
