"""Learning to see speech as somebody does who has heard much more of it.

A small network trained on a hundred people learns those people. The encoder of a general recogniser tells letters
apart that it has never met in our corpora (a linear classifier on it, trained on the training speakers: 3 of 231
letters of the development speakers wrong, 27 on our own network's last layer). So our network is also asked to
predict, from the noisy sound, what that encoder makes of the clean one (Romero et al., "FitNets: hints for thin deep
nets", 2015).
"""

from pathlib import Path

import torch
from torch import nn
from torch.nn import functional as F

from augment import FULL_SCALE, Sounds
from network import KaldiBatchNorm, inside
from whisper_encoder import FRAME_SECONDS, LONGEST_FRAMES, WIDTH, log_mel, read_encoder

LONGEST_SAMPLES = int(LONGEST_FRAMES * FRAME_SECONDS * 16000)
FIRST_FRAME_SECONDS, FRAME_SHIFT_SECONDS = 0.0125, 0.01
"""The middle of a filter-bank frame."""
ROWS_AT_ONCE = 32


class Listener:
    """The encoder, as it came: clips in, what it makes of them at each filter-bank frame out."""

    def __init__(self, weights: Path, device: torch.device) -> None:
        self.encoder = read_encoder(weights).to(device).eval()
        self.kind = torch.bfloat16 if device.type == "cuda" else torch.float32

    @torch.no_grad()
    def views(self, sounds: Sounds) -> torch.Tensor:
        """(N, 1500, 384), each 20 ms. Clips are filled up to 30 s with silence, as it was trained."""
        samples = sounds.samples / FULL_SCALE
        level = samples.square().sum(1, keepdim=True) / sounds.column(sounds.lengths)
        samples = samples * (0.08 / (level.sqrt() + 1e-5)).clamp(max=30.0)
        samples = F.pad(samples, (0, LONGEST_SAMPLES - samples.shape[1]))
        lengths = torch.full((len(samples),), LONGEST_SAMPLES, device=samples.device)
        views = []
        for start in range(0, len(samples), ROWS_AT_ONCE):
            part = slice(start, start + ROWS_AT_ONCE)
            with torch.autocast(samples.device.type, self.kind, enabled=self.kind != torch.float32):
                views.append(self.encoder(log_mel(samples[part], lengths[part])).float())
        return torch.cat(views)

    def __call__(self, sounds: Sounds, frames: int) -> torch.Tensor:
        """(N, frames, 384): the views at the filter-bank frames."""
        view = self.views(sounds)
        place = (FIRST_FRAME_SECONDS + FRAME_SHIFT_SECONDS * torch.arange(frames, device=view.device)) / FRAME_SECONDS
        left = place.long().clamp(max=LONGEST_FRAMES - 2)
        fraction = (place - left)[None, :, None]
        return view[:, left] * (1 - fraction) + view[:, left + 1] * fraction


class Likeness(nn.Module):
    """A linear map from the network's last layer to that view, and how far off it is. Only for training."""

    def __init__(self, hidden: int, rate: float) -> None:
        super().__init__()
        self.norm = KaldiBatchNorm(WIDTH)
        self.map = nn.Linear(hidden, WIDTH)
        self.optimizer = torch.optim.AdamW(self.map.parameters(), lr=rate, betas=(0.9, 0.98))

    def forward(self, hidden: torch.Tensor, view: torch.Tensor, steps: torch.Tensor) -> torch.Tensor:
        """Mean squared difference, in standard deviations of the view; 1 is knowing nothing. hidden (N, T', H), view
        (N, T', 384), steps (N,)."""
        there = inside(steps, hidden)
        return (self.map(hidden[there]) - self.norm(view[there])).square().mean()

    def update(self, rate: float) -> None:
        """One step; the network's own follows the same loss."""
        for group in self.optimizer.param_groups:
            group["lr"] = rate
        self.optimizer.step()
        self.optimizer.zero_grad(set_to_none=True)
