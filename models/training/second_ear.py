"""The second ear: takes its time over a finished utterance, and hears letters that a streaming network mixes up.

The encoder of `whisper_encoder.py`, which sees the whole utterance, and a head with the phones of our own network,
trained together by LF-MMI on our corpora in rooms and noise (`train_second.py`). Every output frame is 20 ms.
"""

from __future__ import annotations

from pathlib import Path

import numpy as np
import torch
from torch import nn

from handsfree.ears.second_ear import read_weights
from network import Head, NetworkShape
from whisper_encoder import WIDTH, WhisperEncoder, eight_bits, encoder_lengths

PREFINAL = 256
LONGEST_PLACES = 800
"""16 s: longer utterances are not looked at twice."""


class SecondEar(nn.Module):
    """`chain` is what ships; `cross_entropy` only steadies the training."""

    def __init__(self, encoder: WhisperEncoder) -> None:
        super().__init__()
        shape = NetworkShape(hidden=WIDTH, prefinal=PREFINAL)
        self.encoder = encoder
        self.chain, self.cross_entropy = Head(shape), Head(shape)
        for head in (self.chain, self.cross_entropy):
            nn.init.zeros_(head.out.weight)
            nn.init.zeros_(head.out.bias)

    def forward(self, mel: torch.Tensor, lengths: torch.Tensor) -> tuple[torch.Tensor, torch.Tensor]:
        """(N, T, 80) and lengths in mel frames -> two (N, (T + 1) // 2, PDF_COUNT)."""
        view = self.encoder(mel, lengths)
        return self.chain(view), self.cross_entropy(view)


def read_second_ear(path: Path) -> SecondEar:
    """From the weights that ship; the head that only steadies the training is untrained."""
    ear = SecondEar(WhisperEncoder())
    state = {name: torch.from_numpy(value) for name, value in read_weights(path).items()}
    known = state["encoder.places"]
    state["encoder.places"] = torch.cat([known, ear.encoder.places.detach()[len(known) :]])
    missing, unexpected = ear.load_state_dict(state, strict=False)
    if unexpected or any(not name.startswith("cross_entropy.") for name in missing):
        raise ValueError(f"{path} is no second ear: {unexpected or missing}")
    return ear


def second_steps(samples: torch.Tensor) -> torch.Tensor:
    """Samples of each utterance -> output frames."""
    return encoder_lengths(samples // 160)


def write_weights(path: Path, state: dict[str, torch.Tensor]) -> None:
    """8 bits a weight; without the head that only steadies the training."""
    weights = {
        name: value.detach().cpu().numpy() for name, value in state.items() if not name.startswith("cross_entropy")
    }
    weights["encoder.places"] = weights["encoder.places"][:LONGEST_PLACES]
    np.savez_compressed(path, **eight_bits(weights))
