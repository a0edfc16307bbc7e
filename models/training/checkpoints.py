"""Where a training stands: network, its running average (what ships), optimizer, time and steps done."""

from dataclasses import dataclass
from pathlib import Path

import torch

from network import AcousticNetwork, NetworkShape
from read_mdl import read_network

AVERAGE_DECAY = 0.999
LONGEST_GRADIENT = 3.0
ORTHOGONAL_EVERY = 4


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
    rate: float = 0.0
    """Learning rate of the last update."""

    @classmethod
    def of(cls, network: AcousticNetwork, rate: float, elapsed: float = 0.0) -> "Progress":
        average = {name: value.clone() for name, value in network.state_dict().items()}
        return cls(network, average, new_optimizer(network, rate), elapsed)

    def update(self, loss: torch.Tensor, rate: float) -> None:
        """One step down this loss, and what follows from it."""
        self.rate = rate
        for group in self.optimizer.param_groups:
            group["lr"] = rate
        self.optimizer.zero_grad(set_to_none=True)
        loss.backward()
        torch.nn.utils.clip_grad_norm_(self.network.parameters(), LONGEST_GRADIENT)
        self.optimizer.step()
        self.steps += 1
        if self.steps % ORTHOGONAL_EVERY == 0:
            self.network.pull_to_orthogonal()
        self.update_average()

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
    return Progress(network, saved["average"], optimizer, saved["elapsed"], saved["steps"])


def save_average(path: Path, progress: Progress) -> None:
    """Half precision: small enough to carry about, close enough to start from."""
    half = {name: value.half().cpu() for name, value in progress.average.items()}
    torch.save({"shape": progress.network.shape.as_dict(), "average": half}, path)


def read_average(path: Path) -> AcousticNetwork:
    saved = torch.load(path, map_location="cpu", weights_only=True)
    network = AcousticNetwork(NetworkShape.from_dict(saved["shape"]))
    network.load_state_dict({name: value.float() for name, value in saved["average"].items()})
    return network.eval()


def read_start(path: Path) -> AcousticNetwork:
    """An average.pt, or a final.mdl, whose cross-entropy head begins as its other one."""
    if path.suffix != ".mdl":
        return read_average(path)
    network = read_network(path)
    network.cross_entropy.load_state_dict(network.chain.state_dict())
    return network


@torch.no_grad()
def looking_elsewhere(network: AcousticNetwork, shape: NetworkShape) -> AcousticNetwork:
    """The same network with other offsets of the same sizes: what a layer looked at and still does keeps its weights,
    what is new begins at nothing."""
    state = network.state_dict()
    for number, (old, new) in enumerate(zip(network.shape.offsets, shape.offsets, strict=True)):
        name = f"layers.{number}.linear.weight"
        of_offset = dict(zip(old, state[name].chunk(len(old), 1), strict=True))
        nothing = torch.zeros_like(of_offset[old[0]])
        state[name] = torch.cat([of_offset.get(offset, nothing) for offset in new], 1)
    moved = AcousticNetwork(shape)
    moved.load_state_dict(state)
    return moved


def mean_network(paths: list[Path]) -> AcousticNetwork:
    """The mean of networks that were trained apart for a while from one start (local SGD; a "soup")."""
    networks = [read_average(path) for path in paths]
    states = [network.state_dict() for network in networks]
    networks[0].load_state_dict({name: sum(state[name] for state in states) / len(states) for name in states[0]})
    return networks[0]
