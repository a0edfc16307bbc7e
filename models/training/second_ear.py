"""The second ear: takes its time over a finished utterance, and hears letters that a streaming network mixes up.

The encoder of `whisper_encoder.py`, which sees the whole utterance, and a head with the phones of our own network,
trained together by LF-MMI on our corpora in rooms and noise (`train_second.py`). Every output frame is 20 ms.

    python second_ear.py TRAINED.npz models/second-ear --version 1.0 [--corpora corpora.json] [--figures figures.json]

writes the folder that ships: weights of 8 bits, the lexicon, the manifest (corpora and figures: those of the present
one where none are given).
"""

from __future__ import annotations

import argparse
import shutil
from pathlib import Path

import numpy as np
import torch
from torch import nn

from lexicon import read_lexicon
from network import Head, NetworkShape
from phones import BASE_PHONES, GARBAGE_PRONUNCIATION
from whisper_encoder import WIDTH, WhisperEncoder, eight_bits, encoder_lengths

PREFINAL = 256
LONGEST_PLACES = 800
"""16 s: longer utterances are not looked at twice."""
GARBAGE_WORD = "[unk]"


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


def lexicon_lines() -> list[str]:
    """`word TAB phone numbers` for every pronunciation of the vocabulary, and for other talk."""
    said = {GARBAGE_WORD: [GARBAGE_PRONUNCIATION]}
    said |= {word: [choice.phones for choice in choices] for word, choices in read_lexicon().items()}
    number = {phone: str(place) for place, phone in enumerate(BASE_PHONES)}
    return [
        f"{word}\t{' '.join(number[phone] for phone in phones)}"
        for word, choices in said.items()
        for phones in choices
    ]


def main() -> None:
    from handsfree.ears.second_ear import LEXICON, WEIGHTS
    from manifest import rewrite_manifest

    parser = argparse.ArgumentParser(description="write the second ear's folder")
    parser.add_argument("trained", type=Path)
    parser.add_argument("folder", type=Path)
    parser.add_argument("--version", required=True)
    parser.add_argument("--corpora", type=Path)
    parser.add_argument("--figures", type=Path)
    args = parser.parse_args()
    args.folder.mkdir(parents=True, exist_ok=True)
    shutil.copyfile(args.trained, args.folder / WEIGHTS)
    (args.folder / LEXICON).write_text("\n".join(lexicon_lines()) + "\n", encoding="utf-8")
    rewrite_manifest(args.folder, args.version, "release", args.corpora, args.figures)


if __name__ == "__main__":
    main()
