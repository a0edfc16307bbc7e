"""The lattice-free MMI objective: how much more probable the right words are than all phone sequences together.

For each frame the gradient with respect to the network's outputs is the difference of two posteriors: that of the
utterance's own HMM (numerator) less that of the phone bigram (denominator). Povey et al., "Purely sequence-trained
neural networks for ASR based on lattice-free MMI", Interspeech 2016. Forward and backward run in the probability
domain, rescaled at every frame; the numerator in float64, because a poor model may leave the right path 1e-40 behind
for a while.

This file is the plain version in torch, right on any device; `lfmmi_triton` computes the same in two GPU kernels.
"""

from collections.abc import Sequence
from dataclasses import dataclass, fields

import numpy as np
import torch

from hmm import DenominatorHmm, UtteranceHmm

TINY = 1e-290
LOGIT_RANGE = 60.0
"""Outputs that far below a frame's best count as if they were just so far."""


@dataclass(frozen=True, slots=True)
class NumeratorBatch:
    """Utterance HMMs padded to one size. N utterances, n arcs, K arcs in, M arcs out."""

    sources: torch.Tensor  # (N, K, n) int32
    source_weights: torch.Tensor  # (N, K, n) float32
    targets: torch.Tensor  # (N, M, n) int32
    target_weights: torch.Tensor  # (N, M, n) float32
    initial: torch.Tensor  # (N, n) float32
    final: torch.Tensor  # (N, n) float32
    forward_pdfs: torch.Tensor  # (N, n) int64
    loop_pdfs: torch.Tensor  # (N, n) int64

    def to(self, device: torch.device) -> "NumeratorBatch":
        return NumeratorBatch(*(getattr(self, f.name).to(device, non_blocking=True) for f in fields(self)))

    def pin_memory(self) -> "NumeratorBatch":
        """For the loader: memory that the GPU copies from by itself."""
        return NumeratorBatch(*(getattr(self, f.name).pin_memory() for f in fields(self)))


@dataclass(frozen=True, slots=True)
class Denominator:
    """The phone bigram as tensors: n = number of phones."""

    weights: torch.Tensor  # (n, n)
    initial: torch.Tensor  # (n,)
    final: torch.Tensor  # (n,)
    forward_pdfs: torch.Tensor  # (n,) int64
    loop_pdfs: torch.Tensor  # (n,) int64

    @classmethod
    def of(cls, hmm: DenominatorHmm, device: torch.device) -> "Denominator":
        return cls(*(torch.from_numpy(getattr(hmm, f.name)).to(device) for f in fields(cls)))


@dataclass(frozen=True, slots=True)
class Occupation:
    """Result of a forward-backward pass. T output frames."""

    log_probability: torch.Tensor  # (N,) float64
    posteriors: torch.Tensor  # (N, T, PDF_COUNT) float32, zero after an utterance's end
    reached: torch.Tensor  # (N,) bool: some path fits in the utterance's length


def _rounded(size: int, step: int) -> int:
    return (size + step - 1) // step * step


def batch_numerators(hmms: Sequence[UtteranceHmm]) -> NumeratorBatch:
    """Pad and stack, to few different sizes: each new size would have to be compiled for the GPU."""
    n = _rounded(max(len(hmm.initial) for hmm in hmms), 16)

    def stacked(name: str, dtype: type) -> torch.Tensor:
        parts = [getattr(hmm, name) for hmm in hmms]
        if parts[0].ndim == 1:
            whole = np.zeros((len(parts), n), dtype)
            for row, part in enumerate(parts):
                whole[row, : len(part)] = part
        else:
            width = max(part.shape[1] for part in parts)
            whole = np.zeros((len(parts), 1 << max(2, (width - 1).bit_length()), n), dtype)
            for row, part in enumerate(parts):
                whole[row, : part.shape[1], : part.shape[0]] = part.T
        return torch.from_numpy(whole)

    return NumeratorBatch(
        stacked("sources", np.int32),
        stacked("source_weights", np.float32),
        stacked("targets", np.int32),
        stacked("target_weights", np.float32),
        stacked("initial", np.float32),
        stacked("final", np.float32),
        stacked("forward_pdfs", np.int64),
        stacked("loop_pdfs", np.int64),
    )


def emissions(outputs: torch.Tensor) -> tuple[torch.Tensor, torch.Tensor]:
    """(N, T, P) outputs -> exp(outputs - best of the frame), and that best (N, T)."""
    best = outputs.amax(2, keepdim=True)
    return (outputs - best).clamp(min=-LOGIT_RANGE).exp(), best.squeeze(2)


def _numerator_step(batch: NumeratorBatch):
    def into(x: torch.Tensor) -> torch.Tensor:
        gathered = torch.gather(x.unsqueeze(1).expand(-1, batch.sources.shape[1], -1), 2, batch.sources.long())
        return (gathered * batch.source_weights).sum(1)

    def out_of(x: torch.Tensor) -> torch.Tensor:
        gathered = torch.gather(x.unsqueeze(1).expand(-1, batch.targets.shape[1], -1), 2, batch.targets.long())
        return (gathered * batch.target_weights).sum(1)

    return into, out_of


@torch.no_grad()
def numerator_occupation(outputs: torch.Tensor, lengths: torch.Tensor, batch: NumeratorBatch) -> Occupation:
    """Posteriors of each utterance's own HMM. outputs (N, T, P), lengths (N,) in output frames."""
    into, out_of = _numerator_step(batch)
    initial, final = batch.initial.double(), batch.final.double()
    return _occupation(outputs, lengths, initial, final, batch.forward_pdfs, batch.loop_pdfs, into, out_of)


@torch.no_grad()
def denominator_occupation(outputs: torch.Tensor, lengths: torch.Tensor, den: Denominator) -> Occupation:
    """Posteriors of the phone bigram, the same for every utterance."""
    rows = len(outputs)
    weights = den.weights.double()
    initial, final = den.initial.double().expand(rows, -1), den.final.double().expand(rows, -1)
    forward_pdfs, loop_pdfs = den.forward_pdfs.expand(rows, -1), den.loop_pdfs.expand(rows, -1)
    return _occupation(
        outputs, lengths, initial, final, forward_pdfs, loop_pdfs, lambda x: x @ weights, lambda x: x @ weights.t()
    )


def _occupation(outputs, lengths, initial, final, forward_pdfs, loop_pdfs, into, out_of) -> Occupation:
    count, steps, _ = outputs.shape
    scaled, best = emissions(outputs.double())
    first = torch.gather(scaled, 2, forward_pdfs.unsqueeze(1).expand(-1, steps, -1))
    further = torch.gather(scaled, 2, loop_pdfs.unsqueeze(1).expand(-1, steps, -1))
    inside = torch.arange(steps, device=outputs.device)[:, None] < lengths[None]
    entering, staying, scales = [], [], []
    enter, stay = initial * first[:, 0], torch.zeros_like(initial)
    for t in range(steps):
        if t:
            here = enter + stay
            enter, stay = into(here) * first[:, t], here * further[:, t]
        scale = (enter + stay).sum(1, keepdim=True).clamp(min=TINY)
        enter, stay = enter / scale, stay / scale
        entering.append(enter)
        staying.append(stay)
        scales.append(scale.squeeze(1))
    enter, stay = torch.stack(entering), torch.stack(staying)
    at_end = (enter + stay)[lengths - 1, torch.arange(count, device=outputs.device)]
    ending = (at_end * final).sum(1)
    log_scales = torch.stack(scales).log()
    log_probability = ((log_scales + best.t()) * inside).sum(0) + ending.clamp(min=TINY).log()
    reached = (ending > TINY * 10) & torch.isfinite(log_probability) & ((log_scales * inside) > -660).all(0)
    gamma_first, gamma_further = torch.zeros_like(enter), torch.zeros_like(stay)
    after = torch.zeros_like(final)
    for t in range(steps - 1, -1, -1):
        if t < steps - 1:
            after = out_of(after * first[:, t + 1]) + after * further[:, t + 1]
        after = torch.where((lengths - 1 == t)[:, None], final, after)
        after = after / after.sum(1, keepdim=True).clamp(min=TINY)
        gamma_first[t], gamma_further[t] = enter[t] * after, stay[t] * after
    posteriors = gather_posteriors(gamma_first, gamma_further, forward_pdfs, loop_pdfs, inside, outputs.shape[2])
    return Occupation(log_probability, posteriors, reached)


def gather_posteriors(
    gamma_first: torch.Tensor,
    gamma_further: torch.Tensor,
    forward_pdfs: torch.Tensor,
    loop_pdfs: torch.Tensor,
    inside: torch.Tensor,
    pdf_count: int,
) -> torch.Tensor:
    """(T, N, n) unnormalised state posteriors -> (N, T, pdf_count), each frame inside an utterance summing to 1."""
    steps, count, _ = gamma_first.shape
    total = (gamma_first + gamma_further).sum(2, keepdim=True).clamp(min=torch.finfo(gamma_first.dtype).tiny)
    factor = inside[:, :, None] / total
    result = torch.zeros(steps, count, pdf_count, device=gamma_first.device)
    result.scatter_add_(2, forward_pdfs.expand(steps, -1, -1), (gamma_first * factor).float())
    result.scatter_add_(2, loop_pdfs.expand(steps, -1, -1), (gamma_further * factor).float())
    return result.transpose(0, 1)
