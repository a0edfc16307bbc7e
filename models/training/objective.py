"""The training loss of one batch: LF-MMI on the chain head, cross-entropy on the other, a little weight on small
outputs."""

from collections.abc import Callable

import torch

import lfmmi
from lfmmi import Denominator, NumeratorBatch, Occupation
from network import inside

CROSS_ENTROPY_WEIGHT = 0.2
OUTPUT_PENALTY = 3e-5
"""Times half the squared outputs. Ten times as much flattens them: deletions and huge lattices."""


def passes_for(device: torch.device) -> tuple[Callable[..., Occupation], Callable[..., Occupation]]:
    """Numerator and denominator passes: kernels on a GPU, plain torch elsewhere."""
    if device.type == "cuda":
        import lfmmi_triton

        return lfmmi_triton.numerator_occupation, lfmmi_triton.denominator_occupation
    return lfmmi.numerator_occupation, lfmmi.denominator_occupation


class Objective:
    """Loss whose gradient at the chain head is the difference of the two posteriors."""

    def __init__(self, denominator: Denominator) -> None:
        self.denominator = denominator
        self.device = denominator.weights.device
        self.numerator_pass, self.denominator_pass = passes_for(self.device)

    def __call__(
        self,
        heads: tuple[torch.Tensor, torch.Tensor],
        steps: torch.Tensor,
        numerators: NumeratorBatch,
    ) -> tuple[torch.Tensor, torch.Tensor]:
        """From a network's two heads (N, T', pdfs) and the lengths of their utterances: the loss, and (3,): MMI per
        frame, cross-entropy per frame, share of utterances whose words fit."""
        chain, side = heads
        outputs = chain.detach().float()
        right = self.numerator_pass(outputs, steps, numerators)
        everything = self.denominator_pass(outputs, steps, self.denominator)
        fits = right.reached[:, None, None]
        count = steps.sum()
        mmi = ((right.log_probability - everything.log_probability) * right.reached).sum() / count
        pull = (right.posteriors - everything.posteriors) * fits
        cross_entropy = -(right.posteriors * fits * side.log_softmax(2)).sum() / count
        penalty = 0.5 * OUTPUT_PENALTY * (chain.square() * inside(steps, chain)[:, :, None]).sum() / count
        loss = -(chain * pull).sum() / count + CROSS_ENTROPY_WEIGHT * cross_entropy + penalty
        return loss, torch.stack([mmi.float(), cross_entropy.detach(), right.reached.float().mean()])
