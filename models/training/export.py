"""A trained network as the acoustic half of a Vosk model folder: am/final.mdl, conf/fbank.conf, conf/model.conf.

final.mdl is a Kaldi transition model (every phone one emitting state with a forward and a self-loop pdf) followed by
an nnet3 network. Batch norms keep their measured statistics, in test mode; nothing is fused, so that `read_mdl` can
read the network back. `python export.py average.pt FOLDER`
"""

import io
import math
import sys
from collections.abc import Callable
from pathlib import Path

import numpy as np
import torch

from checkpoints import read_average
from features import FBANK_CONF, MEL_BINS
from kaldi_format import KaldiWriter
from network import (
    BATCH_NORM_EPSILON,
    FEATURE_FLOOR,
    FIRST_OFFSETS,
    SKIP_SCALE,
    SUBSAMPLING,
    AcousticNetwork,
    KaldiBatchNorm,
)
from phones import PHONE_COUNT, TRANSITION_COUNT, forward_pdf, loop_pdf

MODEL_CONF = f"""--min-active=200
--max-active=3000
--beam=12
--lattice-beam=6
--acoustic-scale=1.0
--frame-subsampling-factor={SUBSAMPLING}
--frames-per-chunk=6
--endpoint.silence-phones=1
--endpoint.rule2.min-trailing-silence=0.5
--endpoint.rule3.min-trailing-silence=1.0
--endpoint.rule4.min-trailing-silence=2.0
"""
"""Few frames per chunk: the ear waits less. Vosk multiplies acoustic scores by 1, as LF-MMI models want."""


def _transition_model(writer: KaldiWriter) -> None:
    writer.token("<TransitionModel>")
    writer.token("<Topology>")
    writer.integers(list(range(1, PHONE_COUNT + 1)))
    writer.integers([-1] + [0] * PHONE_COUNT)
    for value in (-1, 1, 2):  # -1: forward and loop pdfs differ; 1 kind of phone; 2 states
        writer.integer(value)
    for value in (0, 1, 2):  # the emitting state: forward class, loop class, two transitions
        writer.integer(value)
    for target in (0, 1):
        writer.integer(target)
        writer.float32(0.5)
    for value in (-1, -1, 0):  # the end: no pdfs, no transitions
        writer.integer(value)
    writer.token("</Topology>")
    writer.token("<Tuples>")
    writer.integer(PHONE_COUNT)
    for phone in range(1, PHONE_COUNT + 1):
        for value in (phone, 0, forward_pdf(phone), loop_pdf(phone)):
            writer.integer(value)
    writer.token("</Tuples>")
    writer.token("<LogProbs>")
    writer.vector(np.array([0.0] + [math.log(0.5)] * TRANSITION_COUNT))
    writer.token("</LogProbs>")
    writer.token("</TransitionModel>")


class _Assembly:
    """Collects the network's nodes (one line each) and its components (one writing function each)."""

    def __init__(self) -> None:
        self.lines = [f"input-node name=input dim={MEL_BINS}"]
        self.components: list[tuple[str, Callable[[KaldiWriter], None]]] = []

    def add(self, name: str, source: str, write: Callable[[KaldiWriter], None]) -> str:
        self.lines.append(f"component-node name={name} component={name} input={source}")
        self.components.append((name, write))
        return name

    def affine(self, name: str, source: str, layer: torch.nn.Linear) -> str:
        weight = layer.weight.detach().cpu().numpy()
        bias = np.zeros(len(weight)) if layer.bias is None else layer.bias.detach().cpu().numpy()

        def write(writer: KaldiWriter) -> None:
            writer.token("<AffineComponent>")
            writer.token("<LearningRate>")
            writer.float32(0.001)
            writer.token("<LinearParams>")
            writer.matrix(weight)
            writer.token("<BiasParams>")
            writer.vector(bias)
            writer.token("</AffineComponent>")

        return self.add(name, source, write)

    def relu(self, name: str, source: str, size: int) -> str:
        def write(writer: KaldiWriter) -> None:
            writer.token("<RectifiedLinearComponent>")
            writer.token("<Dim>")
            writer.integer(size)
            for statistic in ("<ValueAvg>", "<DerivAvg>"):
                writer.token(statistic)
                writer.vector(np.zeros(0))
            writer.token("<Count>")
            writer.float64(0.0)
            writer.token("</RectifiedLinearComponent>")

        return self.add(name, source, write)

    def norm(self, name: str, source: str, norm: KaldiBatchNorm) -> str:
        mean, variance = norm.mean.cpu().numpy(), norm.variance.cpu().numpy()

        def write(writer: KaldiWriter) -> None:
            writer.token("<BatchNormComponent>")
            for token in ("<Dim>", "<BlockDim>"):
                writer.token(token)
                writer.integer(len(mean))
            writer.token("<Epsilon>")
            writer.float32(BATCH_NORM_EPSILON)
            writer.token("<TargetRms>")
            writer.float32(1.0)
            writer.token("<TestMode>")
            writer.boolean(True)
            writer.token("<Count>")
            writer.float64(10000.0)
            writer.token("<StatsMean>")
            writer.vector(mean)
            writer.token("<StatsVar>")
            writer.vector(variance)
            writer.token("</BatchNormComponent>")

        return self.add(name, source, write)

    def floor(self, name: str, source: str) -> str:
        def write(writer: KaldiWriter) -> None:
            writer.token("<FixedBiasComponent>")
            writer.token("<Bias>")
            writer.vector(np.full(MEL_BINS, -FEATURE_FLOOR))
            writer.token("</FixedBiasComponent>")

        return self.add(name, source, write)

    def sum(self, name: str, source: str, size: int) -> str:
        def write(writer: KaldiWriter) -> None:
            writer.token("<NoOpComponent>")
            writer.token("<Dim>")
            writer.integer(size)
            writer.token("<BackpropScale>")
            writer.float32(1.0)
            writer.token("</NoOpComponent>")

        return self.add(name, source, write)


def _joined(source: str, offsets: tuple[int, ...], step: int) -> str:
    parts = [source if offset == 0 else f"Offset({source}, {offset * step})" for offset in offsets]
    return parts[0] if len(parts) == 1 else f"Append({', '.join(parts)})"


def _assembled(network: AcousticNetwork) -> _Assembly:
    net, size = _Assembly(), network.shape.hidden
    x = net.relu("floor.relu", net.floor("floor.bias", "input"), MEL_BINS)
    x = net.norm("input.norm", x, network.input_norm)
    x = net.relu("first.relu", net.affine("first.affine", _joined(x, FIRST_OFFSETS, 1), network.first), size)
    x = net.norm("first.norm", x, network.first_norm)
    named = [("subsample", network.subsample, 1)]
    named += [(f"layer{i}", layer, SUBSAMPLING) for i, layer in enumerate(network.layers, 1)]
    for name, layer, step in named:
        y = net.affine(f"{name}.linear", _joined(x, layer.offsets, step), layer.linear)
        y = net.relu(f"{name}.relu", net.affine(f"{name}.affine", y, layer.affine), size)
        y = net.norm(f"{name}.norm", y, layer.norm)
        x = net.sum(f"{name}.sum", f"Sum(Scale({SKIP_SCALE}, {x}), {y})", size)
    head = network.chain
    y = net.relu("prefinal.relu", net.affine("prefinal.affine", x, head.pre), network.shape.prefinal)
    y = net.norm("prefinal.norm", y, head.norm)
    y = net.affine("output.affine", y, head.out)
    net.lines.append(f"output-node name=output input={y} objective=linear")
    return net


def acoustic_model(network: AcousticNetwork, compress: bool = True) -> bytes:
    """The bytes of final.mdl."""
    stream = io.BytesIO()
    writer = KaldiWriter(stream, compress)
    _transition_model(writer)
    net = _assembled(network)
    writer.token("<Nnet3>")
    writer.text("\n" + "\n".join(net.lines) + "\n\n")
    writer.token("<NumComponents>")
    writer.integer(len(net.components))
    for name, write in net.components:
        writer.token("<ComponentName>")
        writer.token(name)
        write(writer)
    writer.token("</Nnet3>")
    writer.token("<LeftContext>")
    writer.integer(network.shape.left_context)
    writer.token("<RightContext>")
    writer.integer(network.shape.right_context)
    writer.token("<Priors>")
    writer.vector(np.zeros(0))
    return stream.getvalue()


def export(network: AcousticNetwork, folder: Path) -> None:
    """Write am/ and conf/ into a model folder; graph/ comes from `graph.py`."""
    for name, content in (
        ("am/final.mdl", acoustic_model(network)),
        ("conf/fbank.conf", FBANK_CONF.encode()),
        ("conf/model.conf", MODEL_CONF.encode()),
    ):
        (folder / name).parent.mkdir(parents=True, exist_ok=True)
        (folder / name).write_bytes(content)


if __name__ == "__main__":
    export(read_average(Path(sys.argv[1])), Path(sys.argv[2]))
