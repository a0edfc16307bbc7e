"""The second ear's training: the encoder read from its file, the listener's places in time, 8 bits, learning."""

import struct
import sys
from pathlib import Path

import pytest

np = pytest.importorskip("numpy")
torch = pytest.importorskip("torch", reason="needs torch (extra [train])")
sys.path.insert(0, str(Path(__file__).parents[2] / "models" / "training"))

from augment import Sounds  # noqa: E402
from likeness import Likeness, Listener  # noqa: E402
from phones import PDF_COUNT  # noqa: E402
from second_ear import SecondEar, read_second_ear, second_steps, write_weights  # noqa: E402
from whisper_encoder import WIDTH, WhisperEncoder, eight_bits, log_mel, read_ctranslate2, read_encoder  # noqa: E402


def small_numbers(encoder):
    generator = torch.Generator().manual_seed(4)
    with torch.no_grad():
        for value in encoder.parameters():
            value.copy_(0.05 * torch.randn(value.shape, generator=generator))
        for name, value in encoder.named_parameters():
            if "norm.weight" in name:
                value.add_(1.0)
    return encoder.eval()


@pytest.fixture(scope="module")
def encoder_file(tmp_path_factory):
    path = tmp_path_factory.mktemp("encoder") / "encoder.npz"
    state = {name: value.numpy() for name, value in small_numbers(WhisperEncoder()).state_dict().items()}
    np.savez_compressed(path, **eight_bits(state))
    return path


def test_eight_bits_are_near_enough(encoder_file):
    mel = torch.rand(1, 120, 80, generator=torch.Generator().manual_seed(1))
    with torch.no_grad():
        wanted, found = (ear(mel) for ear in (small_numbers(WhisperEncoder()), read_encoder(encoder_file).eval()))
    assert torch.corrcoef(torch.stack([wanted.flatten(), found.flatten()]))[0, 1] > 0.995


def test_padding_is_not_seen(encoder_file):
    """An utterance in a batch with a longer one gives what it gives alone."""
    ear = read_encoder(encoder_file).eval()
    generator = torch.Generator().manual_seed(2)
    short = torch.rand(1, 80, 80, generator=generator)
    both = torch.cat([torch.nn.functional.pad(short, (0, 0, 0, 60)), torch.rand(1, 140, 80, generator=generator)])
    with torch.no_grad():
        alone, together = ear(short), ear(both, torch.tensor([80, 140]))
    assert torch.allclose(alone[0], together[0, :40], atol=1e-4)


def test_the_loudest_place_of_each_clip_sets_its_own_floor():
    generator = torch.Generator().manual_seed(3)
    quiet, loud = 0.001 * torch.randn(8000, generator=generator), 0.5 * torch.randn(16000, generator=generator)
    batch = torch.stack([torch.nn.functional.pad(quiet, (0, 8000)), loud])
    together = log_mel(batch, torch.tensor([8000, 16000]))
    alone = log_mel(quiet[None], torch.tensor([8000]))
    assert torch.allclose(together[0, :48], alone[0, :48], atol=1e-4)


def test_the_view_is_taken_at_the_middle_of_each_filter_bank_frame(encoder_file, monkeypatch):
    """Filter-bank frame i lies at 12.5 ms + 10 ms i, the encoder's frame k at 20 ms k."""
    listener = Listener(encoder_file, torch.device("cpu"))
    clock = torch.arange(1500.0)[None, :, None].expand(1, -1, WIDTH) * 0.020
    monkeypatch.setattr(listener, "views", lambda sounds: clock)
    found = listener(Sounds(torch.zeros(1, 16000), torch.tensor([16000]), torch.tensor([0])), 98)
    assert torch.allclose(found[0, :, 0], 0.0125 + 0.010 * torch.arange(98.0), atol=1e-5)


def test_likeness_is_one_for_knowing_nothing_and_falls_when_learnt():
    torch.manual_seed(1)
    likeness = Likeness(hidden=16, rate=0.02)
    with torch.no_grad():
        likeness.map.weight.zero_()
        likeness.map.bias.zero_()
    hidden = torch.randn(2, 200, 16)
    view = hidden @ torch.randn(16, WIDTH) + 3.0
    steps = torch.tensor([200, 150])
    assert float(likeness(hidden, view, steps).detach()) == pytest.approx(1.0, abs=0.02)
    for _ in range(300):
        loss = likeness(hidden, view, steps)
        loss.backward()
        likeness.update(0.02)
    assert float(loss.detach()) < 0.1


def test_what_ships_has_no_second_head_and_as_many_frames_as_promised(tmp_path):
    ear = SecondEar(small_numbers(WhisperEncoder())).eval()
    write_weights(tmp_path / "second.npz", ear.state_dict())
    saved = np.load(tmp_path / "second.npz")
    assert not [name for name in saved.files if name.startswith("cross_entropy")]
    assert saved["chain.out.weight"].dtype == np.int8
    samples = torch.randn(1, 16123) * 0.1
    with torch.no_grad():
        chain, _ = ear(log_mel(samples, torch.tensor([16123])), torch.tensor([16123 // 160]))
    assert chain.shape[1] == int(second_steps(torch.tensor([16123]))[0]) == 50


def test_the_second_ear_that_ships_hears_in_training_as_in_the_product():
    """torch against the product's numpy, on noise with a voice's pulse in it."""
    from handsfree.ears.model_folder import find_second_ear
    from handsfree.ears.second_ear import SecondEar as Shipped

    folder = find_second_ear()
    generator = np.random.default_rng(5)
    samples = (0.05 * generator.standard_normal(24000)).astype(np.float32)
    samples[::130] += 0.4
    shipped = Shipped(folder).outputs(samples)
    with torch.no_grad():
        ear = read_second_ear(folder / "weights.npz").eval()
        chain, _ = ear(log_mel(torch.from_numpy(samples)[None], torch.tensor([24000])), torch.tensor([150]))
    assert np.abs(chain[0].numpy() - shipped).max() < 1e-2


def test_likeness_to_two_listeners_counts_each_alike_and_keeps_time(encoder_file, monkeypatch):
    listener = Listener(encoder_file, torch.device("cpu"))
    listener.second = SecondEar(small_numbers(WhisperEncoder())).eval()
    assert listener.sizes == (WIDTH, PDF_COUNT)
    clock = torch.arange(1500.0)[None, :, None] * 0.020
    monkeypatch.setattr(listener, "views", lambda sounds: clock.expand(1, -1, WIDTH))
    monkeypatch.setattr(listener, "phones", lambda sounds: clock[:, :50].expand(1, -1, PDF_COUNT))
    found = listener(Sounds(torch.zeros(1, 16000), torch.tensor([16000]), torch.tensor([0])), 98)
    assert found.shape == (1, 98, WIDTH + PDF_COUNT)
    inner = slice(0, 96)  # the second ear's last frame lies at 0.98 s
    assert torch.allclose(found[0, inner], (0.0125 + 0.010 * torch.arange(96.0))[:, None], atol=1e-5)

    likeness = Likeness(hidden=16, rate=0.02, sizes=listener.sizes)
    with torch.no_grad():
        likeness.map.weight.zero_()
        likeness.map.bias.zero_()
    hidden, view = torch.randn(2, 300, 16), torch.randn(2, 300, WIDTH + PDF_COUNT)
    nothing_known = likeness(hidden, view, torch.tensor([300, 300]))
    assert float(nothing_known.detach()) == pytest.approx(2.0, abs=0.05)


def ctranslate2_file(path, spec, arrays):
    """The format as CTranslate2's documentation of `model.bin` has it (version 6), for float32 arrays."""
    def text(value):
        return struct.pack("<H", len(value) + 1) + value.encode() + b"\0"

    data = struct.pack("<I", 6) + text(spec) + struct.pack("<II", 3, len(arrays))
    for name, value in arrays.items():
        data += text(name) + struct.pack(f"<B{value.ndim}I", value.ndim, *value.shape)
        data += struct.pack("<BI", 0, value.nbytes) + value.tobytes()
    path.write_bytes(data)


def test_the_encoder_s_part_of_a_file_is_read_by_name(tmp_path):
    value = np.arange(6, dtype=np.float32).reshape(2, 3)
    ctranslate2_file(tmp_path / "model.bin", "WhisperSpec", {
        "encoder/layer_1/self_attention/linear_0/weight": value, "decoder/layer_0/ffn/linear_0/weight": value,
        "encoder/num_heads": np.array([6], np.float32),
    })  # fmt: skip
    found = read_ctranslate2(tmp_path / "model.bin")
    assert list(found) == ["blocks.1.joint.weight"]
    assert np.array_equal(found["blocks.1.joint.weight"], value)


def test_another_kind_of_model_is_refused(tmp_path):
    ctranslate2_file(tmp_path / "model.bin", "TransformerSpec", {})
    with pytest.raises(ValueError, match="no Whisper model"):
        read_ctranslate2(tmp_path / "model.bin")
