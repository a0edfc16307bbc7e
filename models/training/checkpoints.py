"""Where a training stands: network, its running average (what ships), optimizer, time and steps done."""

from dataclasses import dataclass
from pathlib import Path

import torch

from network import AcousticNetwork, NetworkShape

AVERAGE_DECAY = 0.999


def new_optimizer(network: AcousticNetwork, rate: float) -> torch.optim.AdamW:
    """Weight decay on matrices only."""
    matrices = [p for p in network.parameters() if p.dim() > 1]
    vectors = [p for p in network.parameters() if p.dim() <= 1]
    groups = [{"params": matrices, "weight_decay": 0.01}, {"params": vectors, "weight_decay": 0.0}]
    return torch.optim.AdamW(groups, lr=rate, betas=(0.9, 0.98))


@dataclass(slots=True)
class Progress:
    network: AcousticNetwork
    average: dict[str, torch.Tensor]
    optimizer: torch.optim.AdamW
    elapsed: float = 0.0
    """Seconds of the schedule done."""
    steps: int = 0
    reported: int = 0

    @classmethod
    def of(cls, network: AcousticNetwork, rate: float, elapsed: float = 0.0) -> "Progress":
        average = {name: value.clone() for name, value in network.state_dict().items()}
        return cls(network, average, new_optimizer(network, rate), elapsed)

    @torch.no_grad()
    def update_average(self) -> None:
        decay = min(AVERAGE_DECAY, (1 + self.steps) / (20 + self.steps))
        current = self.network.state_dict()
        torch._foreach_lerp_([self.average[name] for name in current], list(current.values()), 1 - decay)

    def averaged_network(self) -> AcousticNetwork:
        network = AcousticNetwork(self.network.shape).to(next(self.network.parameters()).device)
        network.load_state_dict(self.average)
        return network.eval()


def save_progress(path: Path, progress: Progress) -> None:
    partial = path.with_suffix(".part")
    torch.save(
        {
            "shape": progress.network.shape.as_dict(), "network": progress.network.state_dict(),
            "average": progress.average, "optimizer": progress.optimizer.state_dict(),
            "elapsed": progress.elapsed, "steps": progress.steps,
        },
        partial,
    )  # fmt: skip
    partial.replace(path)


def load_progress(path: Path, device: torch.device) -> Progress:
    saved = torch.load(path, map_location=device, weights_only=True)
    network = AcousticNetwork(NetworkShape.from_dict(saved["shape"])).to(device)
    network.load_state_dict(saved["network"])
    optimizer = new_optimizer(network, 0.0)
    optimizer.load_state_dict(saved["optimizer"])
    return Progress(network, saved["average"], optimizer, saved["elapsed"], saved["steps"], saved["steps"])


def save_average(path: Path, progress: Progress) -> None:
    """Half precision: small enough to carry about, close enough to start from."""
    half = {name: value.half().cpu() for name, value in progress.average.items()}
    torch.save({"shape": progress.network.shape.as_dict(), "average": half}, path)


def read_average(path: Path) -> AcousticNetwork:
    saved = torch.load(path, map_location="cpu", weights_only=True)
    network = AcousticNetwork(NetworkShape.from_dict(saved["shape"]))
    network.load_state_dict({name: value.float() for name, value in saved["average"].items()})
    return network.eval()
