"""The acoustic model: a factorised time-delay network, small enough to run on a phone-class core.

fbank -> floor -> batch norm -> affine over 5 frames -> one layer that keeps every third frame -> n layers that look
left and right in steps of 3 frames -> phones. Each layer goes through a narrow linear bottleneck held near orthogonal
(Povey et al., "Semi-orthogonal low-rank matrix factorization for deep neural networks", Interspeech 2018) and adds
0.66 of its input. The offsets may be lopsided: what lies to the right has to be waited for, what lies to the left is
free.
"""

from dataclasses import asdict, dataclass

import torch
from torch import nn
from torch.nn import functional as F

from features import MEL_BINS
from phones import PDF_COUNT

SUBSAMPLING = 3
"""Input frames per output frame. Vosk's word times assume 3."""

FEATURE_FLOOR = 4.0
"""log energies below it are lifted to it, so that digital silence (-15.9) is no outlier."""

SKIP_SCALE = 0.66
FIRST_OFFSETS = (-2, -1, 0, 1, 2)
SUBSAMPLING_OFFSETS = (-1, 0, 1)
BATCH_NORM_EPSILON = 1e-3
BATCH_NORM_MOMENTUM = 0.02


@dataclass(frozen=True, slots=True)
class NetworkShape:
    """Sizes. `offsets`: per layer the inputs it joins, in output frames (30 ms)."""

    hidden: int = 512
    bottleneck: int = 128
    prefinal: int = 256
    offsets: tuple[tuple[int, ...], ...] = (
        (-1, 0, 1),
        (-1, 0, 1),
        (-2, 0, 1),
        (-2, 0, 1),
        (-3, 0, 1),
        (-3, 0),
        (-3, 0),
        (-3, 0),
        (-3, 0),
        (-3, 0),
    )
    dropout: float = 0.1

    @property
    def left_context(self) -> int:
        """Input frames needed before an output frame's own."""
        return -min(FIRST_OFFSETS) - min(SUBSAMPLING_OFFSETS) - SUBSAMPLING * sum(min(o) for o in self.offsets)

    @property
    def right_context(self) -> int:
        """Input frames needed after an output frame's own: the ear's least delay."""
        return max(FIRST_OFFSETS) + max(SUBSAMPLING_OFFSETS) + SUBSAMPLING * sum(max(o) for o in self.offsets)

    def as_dict(self) -> dict:
        return asdict(self)

    @classmethod
    def from_dict(cls, saved: dict) -> "NetworkShape":
        return cls(**{**saved, "offsets": tuple(tuple(o) for o in saved["offsets"])})


class KaldiBatchNorm(nn.Module):
    """(x - mean) / sqrt(variance + 0.001) without learned scale or offset, over all but the last dimension."""

    def __init__(self, size: int) -> None:
        super().__init__()
        self.register_buffer("mean", torch.zeros(size))
        self.register_buffer("variance", torch.ones(size))

    def forward(self, x: torch.Tensor) -> torch.Tensor:
        flat = x.reshape(-1, x.shape[-1])
        return F.batch_norm(
            flat,
            self.mean,
            self.variance,
            training=self.training,
            momentum=BATCH_NORM_MOMENTUM,
            eps=BATCH_NORM_EPSILON,
        ).view_as(x)


def splice(x: torch.Tensor, offsets: tuple[int, ...], stride: int = 1) -> torch.Tensor:
    """(N, T, C) -> (N, T', C * len(offsets)): at every stride-th frame the frames at these offsets side by side."""
    low, high = min(offsets), max(offsets)
    steps = (x.shape[1] - (high - low) - 1) // stride + 1
    return torch.cat([x[:, o - low : o - low + (steps - 1) * stride + 1 : stride] for o in offsets], 2)


class FactoredLayer(nn.Module):
    """splice -> bottleneck -> affine -> relu -> batch norm, plus the scaled input."""

    def __init__(self, shape: NetworkShape, offsets: tuple[int, ...], stride: int = 1) -> None:
        super().__init__()
        self.offsets, self.stride, self.dropout = offsets, stride, shape.dropout
        self.linear = nn.Linear(shape.hidden * len(offsets), shape.bottleneck, bias=False)
        self.affine = nn.Linear(shape.bottleneck, shape.hidden)
        self.norm = KaldiBatchNorm(shape.hidden)

    def forward(self, x: torch.Tensor) -> torch.Tensor:
        y = self.norm(F.relu(self.affine(self.linear(splice(x, self.offsets, self.stride)))))
        if self.training and self.dropout > 0:  # one factor per channel for a whole utterance
            y = y * (1 + 2 * self.dropout * (2 * torch.rand_like(y[:, :1]) - 1))
        centre = x[:, -min(self.offsets) :: self.stride][:, : y.shape[1]]
        return y + SKIP_SCALE * centre


class Head(nn.Module):
    """affine -> relu -> batch norm -> one output per pdf."""

    def __init__(self, shape: NetworkShape) -> None:
        super().__init__()
        self.pre = nn.Linear(shape.hidden, shape.prefinal)
        self.norm = KaldiBatchNorm(shape.prefinal)
        self.out = nn.Linear(shape.prefinal, PDF_COUNT)

    def forward(self, x: torch.Tensor) -> torch.Tensor:
        return self.out(self.norm(F.relu(self.pre(x))))


class AcousticNetwork(nn.Module):
    """The whole. `chain` is what ships; `cross_entropy` only steadies the training."""

    def __init__(self, shape: NetworkShape) -> None:
        super().__init__()
        self.shape = shape
        self.input_norm = KaldiBatchNorm(MEL_BINS)
        self.first = nn.Linear(MEL_BINS * len(FIRST_OFFSETS), shape.hidden)
        self.first_norm = KaldiBatchNorm(shape.hidden)
        self.subsample = FactoredLayer(shape, SUBSAMPLING_OFFSETS, SUBSAMPLING)
        self.layers = nn.ModuleList(FactoredLayer(shape, offsets) for offsets in shape.offsets)
        self.chain, self.cross_entropy = Head(shape), Head(shape)
        for head in (self.chain, self.cross_entropy):
            nn.init.zeros_(head.out.weight)
            nn.init.zeros_(head.out.bias)

    def forward(
        self, features: torch.Tensor, lengths: torch.Tensor, mask: torch.Tensor | None = None
    ) -> tuple[torch.Tensor, torch.Tensor]:
        """features (N, T, 40), lengths (N,) in frames -> two (N, T', PDF_COUNT); output j sits at input frame 3 j."""
        x = self.hidden(features, lengths, mask)
        return self.chain(x), self.cross_entropy(x)

    def hidden(self, features: torch.Tensor, lengths: torch.Tensor, mask: torch.Tensor | None = None) -> torch.Tensor:
        """What both heads look at: (N, T', hidden).

        Beyond its ends an utterance is continued with its edge frame, as Vosk does. `mask` (N, T, 40) multiplies the
        normalised input (1 keeps).
        """
        steps = (features.shape[1] + SUBSAMPLING - 1) // SUBSAMPLING
        frame = torch.arange(
            -self.shape.left_context, SUBSAMPLING * (steps - 1) + self.shape.right_context + 1, device=features.device
        )
        index = torch.minimum(frame.clamp(min=0)[None], (lengths - 1)[:, None])
        x = self.input_norm(F.relu(features - FEATURE_FLOOR))
        if mask is not None:
            x = x * mask
        x = torch.gather(x, 1, index[:, :, None].expand(-1, -1, x.shape[2]))
        x = self.first_norm(F.relu(self.first(splice(x, FIRST_OFFSETS))))
        x = self.subsample(x)
        for layer in self.layers:
            x = layer(x)
        return x

    @torch.no_grad()
    def pull_to_orthogonal(self) -> None:
        """One step towards semi-orthogonal bottlenecks with a free scale (Kaldi's constraint with scale -1)."""
        for layer in (self.subsample, *self.layers):
            weight = layer.linear.weight
            product = weight @ weight.t()
            scale = product.square().sum() / product.diagonal().sum()
            product.diagonal().sub_(scale)
            weight.sub_((0.125 / scale) * (product @ weight))


def inside(steps: torch.Tensor, like: torch.Tensor) -> torch.Tensor:
    """(N,) lengths -> (N, T) of booleans: where `like` (N, T, .) is not padding."""
    return torch.arange(like.shape[1], device=like.device)[None] < steps[:, None]


def output_lengths(frames: torch.Tensor) -> torch.Tensor:
    """Input frames -> output frames."""
    return (frames + SUBSAMPLING - 1) // SUBSAMPLING
