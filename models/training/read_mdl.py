"""A final.mdl of ours (or of the same family) back as a torch network: to start from it, to align with it, to check
exports.

Reads the chain of components in the order `export` writes them; the offsets come from the nodes' descriptions.
"""

import re
from pathlib import Path

import numpy as np
import torch

from kaldi_format import KaldiReader
from network import AcousticNetwork, NetworkShape

Component = dict[str, np.ndarray]


def _skip_transition_model(reader: KaldiReader) -> None:
    reader.token("<TransitionModel>")
    reader.place = reader.data.index(b"</TransitionModel> ", reader.place)
    reader.token("</TransitionModel>")


def _component(reader: KaldiReader) -> tuple[str, Component]:
    """Kind and parameters of one component; statistics of no use to us are read and dropped."""
    kind = reader.token()
    parameters: Component = {}
    readers = {
        "<LinearParams>": reader.matrix, "<BiasParams>": reader.vector, "<Bias>": reader.vector,
        "<StatsMean>": reader.vector, "<StatsVar>": reader.vector, "<ValueAvg>": reader.vector,
        "<DerivAvg>": reader.vector, "<LearningRate>": reader.float32, "<Epsilon>": reader.float32,
        "<TargetRms>": reader.float32, "<BackpropScale>": reader.float32, "<Count>": reader.float64,
        "<Dim>": reader.integer, "<BlockDim>": reader.integer, "<TestMode>": reader.boolean,
    }  # fmt: skip
    while (token := reader.token()) != kind.replace("<", "</"):
        if token not in readers:
            raise ValueError(f"component {kind} has an unknown part {token}")
        parameters[token] = np.asarray(readers[token]())
    return kind, parameters


def _components(reader: KaldiReader) -> tuple[dict[str, str], list[tuple[str, str, Component]]]:
    """Input description per node, and (name, kind, parameters) in order."""
    reader.token("<Nnet3>")
    reader.line()
    inputs: dict[str, str] = {}
    while line := reader.line():
        if found := re.match(r"component-node name=(\S+) component=\S+ input=(.*)", line):
            inputs[found[1]] = found[2]
    reader.token("<NumComponents>")
    components = []
    for _ in range(reader.integer()):
        reader.token("<ComponentName>")
        name = reader.token()
        components.append((name, *_component(reader)))
        if reader.peek(1) == b"\n":
            reader.line()
    return inputs, components


def _offsets(description: str, step: int) -> tuple[int, ...]:
    inner = re.sub(r"^Append\((.*)\)$", r"\1", description)
    parts = re.findall(r"Offset\([^,]+, (-?\d+)\)|([^,\s]+)", inner)
    return tuple(int(shift) // step if shift else 0 for shift, _ in parts)


def _affine(prefix: str, parameters: Component, with_bias: bool = True) -> dict[str, torch.Tensor]:
    state = {f"{prefix}.weight": torch.from_numpy(parameters["<LinearParams>"])}
    if with_bias:
        state[f"{prefix}.bias"] = torch.from_numpy(parameters["<BiasParams>"])
    return state


def _norm(prefix: str, parameters: Component) -> dict[str, torch.Tensor]:
    return {
        f"{prefix}.mean": torch.from_numpy(parameters["<StatsMean>"]),
        f"{prefix}.variance": torch.from_numpy(parameters["<StatsVar>"]),
    }


def read_network(path: Path) -> AcousticNetwork:
    """The chain network of a final.mdl; its cross-entropy head is untrained."""
    reader = KaldiReader(path.read_bytes())
    _skip_transition_model(reader)
    if reader.peek(1) == b"\n":
        reader.line()
    inputs, components = _components(reader)
    affines = [(name, p) for name, kind, p in components if kind == "<AffineComponent>"]
    norms = [p for _, kind, p in components if kind == "<BatchNormComponent>"]
    (_, first), *factored, (_, prefinal), (_, out) = affines
    pairs = list(zip(factored[::2], factored[1::2], strict=True))
    shape = NetworkShape(
        hidden=len(first["<BiasParams>"]),
        bottleneck=len(pairs[0][0][1]["<BiasParams>"]),
        prefinal=len(prefinal["<BiasParams>"]),
        offsets=tuple(_offsets(inputs[name], 3) for (name, _), _ in pairs[1:]),
    )
    state = {**_norm("input_norm", norms[0]), **_affine("first", first), **_norm("first_norm", norms[1])}
    for index, ((_, linear), (_, affine)) in enumerate(pairs):
        prefix = "subsample" if index == 0 else f"layers.{index - 1}"
        state |= _affine(f"{prefix}.linear", linear, with_bias=False) | _affine(f"{prefix}.affine", affine)
        state |= _norm(f"{prefix}.norm", norms[index + 2])
    state |= _affine("chain.pre", prefinal) | _norm("chain.norm", norms[-1]) | _affine("chain.out", out)
    network = AcousticNetwork(shape)
    missing, unexpected = network.load_state_dict(state, strict=False)
    if unexpected or any(not name.startswith("cross_entropy.") for name in missing):
        raise ValueError(f"{path} is no network of this family: {unexpected or missing}")
    return network.eval()
