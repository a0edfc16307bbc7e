"""Learning to see speech as somebody does who has heard much more of it.

A small network trained on a hundred people learns those people. The encoder of a general recogniser tells letters
apart that it has never met in our corpora (a linear classifier on it, trained on the training speakers: 3 of 231
letters of the development speakers wrong, 27 on our own network's last layer). So our network is also asked to
predict, from the noisy sound, what that encoder makes of the clean one (Romero et al., "FitNets: hints for thin deep
nets", 2015), and, where there is a second ear already, what that one thinks of the phones (Ba and Caruana, "Do deep
nets really need to be deep?", 2014).
"""

from pathlib import Path

import torch
from torch import nn
from torch.nn import functional as F

from augment import FULL_SCALE, Sounds
from network import KaldiBatchNorm, inside
from phones import PDF_COUNT
from second_ear import LONGEST_PLACES, read_second_ear
from whisper_encoder import FRAME_SECONDS, LONGEST_FRAMES, WIDTH, log_mel, read_encoder

LONGEST_SAMPLES = int(LONGEST_FRAMES * FRAME_SECONDS * 16000)
FIRST_FRAME_SECONDS, FRAME_SHIFT_SECONDS = 0.0125, 0.01
"""The middle of a filter-bank frame."""
ROWS_AT_ONCE = 32


class Listener:
    """The encoder, as it came, and a second ear: clips in, what they make of them at each filter-bank frame out."""

    def __init__(self, weights: Path, device: torch.device, second: Path | None = None) -> None:
        """`second`: the weights that ship in the second ear's folder."""
        self.encoder = read_encoder(weights).to(device).eval()
        self.second = read_second_ear(second).to(device).eval() if second else None
        self.kind = torch.bfloat16 if device.type == "cuda" else torch.float32

    @property
    def sizes(self) -> tuple[int, ...]:
        """How many numbers of a frame come from whom."""
        return (WIDTH, PDF_COUNT) if self.second else (WIDTH,)

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

    @torch.no_grad()
    def phones(self, sounds: Sounds) -> torch.Tensor:
        """(N, T, 82), each 20 ms, at most 16 s: the second ear's outputs."""
        assert self.second is not None
        samples = sounds.samples[:, : int(LONGEST_PLACES * FRAME_SECONDS * 16000)] / FULL_SCALE
        lengths = sounds.lengths.to(samples.device).clamp(max=samples.shape[1])
        outputs = []
        for start in range(0, len(samples), ROWS_AT_ONCE):
            part = slice(start, start + ROWS_AT_ONCE)
            with torch.autocast(samples.device.type, self.kind, enabled=self.kind != torch.float32):
                view = self.second.encoder(log_mel(samples[part], lengths[part]), lengths[part] // 160)
            outputs.append(self.second.chain(view.float()))
        return torch.cat(outputs)

    def __call__(self, sounds: Sounds, frames: int) -> torch.Tensor:
        """(N, frames, sum of sizes): what they make of it, at the filter-bank frames."""
        seen = [self.views(sounds)] if self.second is None else [self.views(sounds), self.phones(sounds)]
        return torch.cat([at_frames(view, frames) for view in seen], 2)


def at_frames(view: torch.Tensor, frames: int) -> torch.Tensor:
    """(N, T, C), each 20 ms -> (N, frames, C), each 10 ms, by straight lines between them."""
    place = (FIRST_FRAME_SECONDS + FRAME_SHIFT_SECONDS * torch.arange(frames, device=view.device)) / FRAME_SECONDS
    left = place.long().clamp(max=view.shape[1] - 2)
    fraction = (place - left).clamp(max=1.0)[None, :, None]
    return view[:, left] * (1 - fraction) + view[:, left + 1] * fraction


class Likeness(nn.Module):
    """A linear map from the network's last layer to that view, and how far off it is. Only for training."""

    def __init__(self, hidden: int, rate: float, sizes: tuple[int, ...] = (WIDTH,)) -> None:
        """`sizes`: of the view's parts, which count alike."""
        super().__init__()
        self.sizes = sizes
        self.norm = KaldiBatchNorm(sum(sizes))
        self.map = nn.Linear(hidden, sum(sizes))
        self.optimizer = torch.optim.AdamW(self.map.parameters(), lr=rate, betas=(0.9, 0.98))

    def forward(self, hidden: torch.Tensor, view: torch.Tensor, steps: torch.Tensor) -> torch.Tensor:
        """Mean squared difference, in standard deviations of the view, a sum over its parts; 1 for each is knowing
        nothing. hidden (N, T', H), view (N, T', sum of sizes), steps (N,)."""
        there = inside(steps, hidden)
        unlike = (self.map(hidden[there]) - self.norm(view[there])).square().mean(0)
        return torch.stack([part.mean() for part in unlike.split(self.sizes)]).sum()

    def update(self, rate: float) -> None:
        """One step; the network's own follows the same loss."""
        for group in self.optimizer.param_groups:
            group["lr"] = rate
        self.optimizer.step()
        self.optimizer.zero_grad(set_to_none=True)
