"""Train the acoustic model: a short start on a teacher's alignments, then lattice-free MMI, for so many seconds.

    python train.py --pack PACK --teacher final.mdl --out FOLDER --seconds 500 --total 1500

Flat-start LF-MMI on all data gets stuck with wide networks; a minute of cross-entropy on alignments from an earlier,
smaller network (any final.mdl of this family) avoids that. Stops by itself; run again with the same --out to go on,
until --total seconds of training are done. FOLDER then holds last.pt (everything), average.pt (the averaged network)
and final.mdl.
"""

import argparse
import resource
import time
from collections.abc import Iterator
from dataclasses import dataclass, field
from pathlib import Path

import numpy as np
import torch

from augment import Sounds, at_other_tempo, augmented, feature_mask, with_other_vocal_tracts
from batches import Examples, Recipe, Rounds, collate, masked
from checkpoints import Progress, load_progress, looking_elsewhere, read_start, save_average, save_progress
from export import acoustic_model
from features import MEL_BINS, fbank, frame_counts
from hmm import denominator_hmm, utterance_hmm
from lfmmi import Denominator, NumeratorBatch, batch_numerators
from likeness import Likeness, Listener
from network import SUBSAMPLING, AcousticNetwork, NetworkShape, output_lengths
from noises import Chance
from objective import Objective, passes_for
from pack import SAMPLE_RATE, LoadedClip, Pronouncing, load
from read_mdl import read_network

SHAPES = {
    "tiny": NetworkShape(64, 16, 32, ((-1, 0, 1), (-3, 0, 1))),
    "medium": NetworkShape(),
    "large": NetworkShape(hidden=640, bottleneck=160, dropout=0.2),
}
WEIGHTS = {"an4": 1.5, "spelled": 4.0, "orders": 0.6, "books": 0.6, "synthetic": 1.0}


def options() -> argparse.Namespace:
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--pack", type=Path, required=True, help="written by pack.py")
    parser.add_argument("--out", type=Path, required=True, help="checkpoints, final.mdl; resumed from when present")
    parser.add_argument("--keep", type=Path, help="a second folder for average.pt and final.mdl")
    parser.add_argument("--start", type=Path, help="an average.pt or final.mdl to begin with when --out is empty")
    parser.add_argument("--teacher", type=Path, help="final.mdl whose alignments start the training")
    parser.add_argument(
        "--like", type=Path, help="encoder.npz of whisper_encoder.py, whose view of the clean sound is learnt"
    )
    parser.add_argument("--second", type=Path, help="with --like: a second ear (weights.npz) to learn from")
    parser.add_argument("--likeness", type=float, default=0.5, help="weight of each of these")
    parser.add_argument("--shape", choices=SHAPES, default="medium")
    parser.add_argument("--seconds", type=float, required=True, help="stop after this long")
    parser.add_argument("--total", type=float, required=True, help="length of the whole schedule in seconds")
    parser.add_argument("--done", type=float, default=0.0, help="with --start: seconds of the schedule already done")
    parser.add_argument("--align", type=float, default=45.0, help="seconds of cross-entropy at the start")
    parser.add_argument("--rate", type=float, default=1.2e-3, help="highest learning rate")
    parser.add_argument("--batch", type=float, default=140.0, help="seconds of speech in a batch")
    parser.add_argument("--weights", default="", help="e.g. an4=1.5,synthetic=0.8")
    parser.add_argument("--workers", type=int, default=15)
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--everyone", action="store_true", help="train on the speakers who choose and test as well")
    parser.add_argument("--only", type=int, help="so many clips, for a trial run")
    return parser.parse_args()


def learning_rate(highest: float, share_done: float, seconds_here: float) -> float:
    """Half a cosine down to a hundredth over the whole schedule, with 10 s of warm-up at every start."""
    cosine = 0.5 * (1 + torch.cos(torch.tensor(torch.pi * min(1.0, share_done))).item())
    return highest * min(1.0, seconds_here / 10 + 0.01) * (0.99 * cosine + 0.01)


def recipe_of(args: argparse.Namespace) -> Recipe:
    """What is shown how often, by --weights and --batch."""
    weights = dict(pair.split("=") for pair in args.weights.split(",") if pair)
    return Recipe(WEIGHTS | {name: float(value) for name, value in weights.items()}, args.batch)


class Features:
    """Sounds -> features on the device, plain and augmented."""

    def __init__(self, chance: Chance, listener: Listener | None = None) -> None:
        self.chance, self.listener = chance, listener

    def __call__(self, sounds: Sounds) -> tuple[torch.Tensor, torch.Tensor, torch.Tensor, torch.Tensor | None]:
        """(N, T, 40) of the clean clips, of the augmented ones, their lengths in frames, and (N, T, 384) what a
        listener makes of the clean ones."""
        device = self.chance.device
        moved = Sounds(sounds.samples.to(device, non_blocking=True).float(), sounds.lengths, sounds.leads)
        plain, varied = augmented(moved, self.chance)
        frames = frame_counts(varied.lengths)
        seen = [fbank(plain.samples), fbank(varied.samples)]
        if self.listener:
            seen.append(self.listener(plain, seen[0].shape[1]))
        (clean, noisy, *view), frames = at_other_tempo(seen, frames, self.chance)
        clean, noisy = with_other_vocal_tracts([clean, noisy], self.chance)
        return clean, noisy, frames.to(device, non_blocking=True), view[0] if view else None


def alignment_loss(
    network: AcousticNetwork, teacher: AcousticNetwork, clean: torch.Tensor, noisy: torch.Tensor,
    frames: torch.Tensor, numerators: NumeratorBatch,
) -> torch.Tensor:  # fmt: skip
    """Cross-entropy of both heads against where the teacher finds the words in the clean sound."""
    numerator, _ = passes_for(noisy.device)
    steps = output_lengths(frames)
    with torch.no_grad():
        where = numerator(teacher(clean, frames)[0], steps, numerators)
    targets = where.posteriors * where.reached[:, None, None]
    heads = network(noisy, frames)
    return sum(-(targets * head.log_softmax(2)).sum() for head in heads) / steps.sum()


def dev_batches(
    clips: list[LoadedClip], pronunciations: Pronouncing, device: torch.device
) -> Iterator[tuple[Sounds, NumeratorBatch]]:
    """The development clips as recorded, like lengths together."""
    dev = sorted((clip for clip in clips if clip.split == "dev"), key=lambda clip: clip.seconds)
    for start in range(0, len(dev), 16):
        part = dev[start : start + 16]
        lengths = torch.tensor([len(clip.samples) for clip in part])
        samples = torch.zeros(len(part), int(lengths.max()), device=device)
        for row, clip in zip(samples, part, strict=True):
            row[: len(clip.samples)] = torch.from_numpy(clip.samples)
        numerators = batch_numerators([utterance_hmm(clip.slots, pronunciations) for clip in part]).to(device)
        yield Sounds(samples, lengths, torch.zeros_like(lengths)), numerators


def dev_sets(clips: list[LoadedClip], pronunciations: Pronouncing, device: torch.device) -> dict[str, list]:
    """Batches of (features, frames, numerators): development clips as recorded, and in one fixed noisy version."""
    features = Features(Chance(0, device))
    sets: dict[str, list] = {"clean": [], "noisy": []}
    for sounds, numerators in dev_batches(clips, pronunciations, device):
        sets["clean"].append((fbank(sounds.samples), frame_counts(sounds.lengths).to(device), numerators))
        _, noisy, frames, _ = features(sounds)
        sets["noisy"].append((noisy, frames, numerators))
    return sets


@torch.no_grad()
def judged(network: AcousticNetwork, objective: Objective, sets: dict[str, list]) -> str:
    """Objective per frame of the development clips."""
    network.eval()
    parts = []
    for name, batches in sets.items():
        totals = torch.zeros(3, device=objective.device)
        for features, frames, numerators in batches:
            _, report = objective(network(features, frames), output_lengths(frames), numerators)
            totals += torch.cat([report[:2], torch.ones_like(report[:1])]) * frames.sum()
        parts.append(f"{name} mmi {totals[0] / totals[2]:.4f} xent {totals[1] / totals[2]:.3f}")
    return " | ".join(parts)


def batches_of(
    clips: list[LoadedClip], pronunciations: Pronouncing, recipe: Recipe, seed: int, workers: int
) -> Iterator[tuple[Sounds, NumeratorBatch]]:
    """Endless, made ahead in other processes."""
    loader = torch.utils.data.DataLoader(
        Examples(clips, pronunciations, recipe, seed), batch_sampler=Rounds(clips, recipe, seed), collate_fn=collate,
        num_workers=workers, prefetch_factor=4 if workers else None, pin_memory=torch.cuda.is_available(),
        worker_init_fn=lambda _: torch.set_num_threads(1),
    )  # fmt: skip
    return iter(loader)


def denominator_of(
    clips: list[LoadedClip], pronunciations: Pronouncing, recipe: Recipe, seed: int, device: torch.device
) -> Denominator:
    rng = np.random.default_rng(seed)
    texts = [
        (masked(clip.slots, clip.corpus, recipe, rng), recipe.weights.get(clip.corpus, 0.0))
        for clip in clips
        for _ in range(4)
    ]
    return Denominator.of(denominator_hmm(texts, pronunciations, 0.15, seed), device)


def begin(args: argparse.Namespace, device: torch.device) -> Progress:
    """Go on with --out, else from --start, else afresh."""
    if (args.out / "last.pt").exists():
        return load_progress(args.out / "last.pt", device)
    shape = SHAPES[args.shape]
    network = looking_elsewhere(read_start(args.start), shape) if args.start else AcousticNetwork(shape)
    return Progress.of(network.to(device), args.rate, elapsed=args.done)


def keep(args: argparse.Namespace, progress: Progress) -> None:
    """Write everything to --out, and what others need to --keep as well."""
    save_progress(args.out / "last.pt", progress)
    for folder in filter(None, (args.out, args.keep)):
        folder.mkdir(parents=True, exist_ok=True)
        save_average(folder / "average.pt", progress)
        (folder / "final.mdl").write_bytes(acoustic_model(progress.averaged_network()))


@dataclass(slots=True)
class Tally:
    """What happened since the last line."""

    device: torch.device
    sums: torch.Tensor = field(init=False)
    steps: int = 0
    waited: float = 0.0
    """Seconds spent on waiting for the loader."""
    hours: float = 0.0
    """Speech shown, since the start."""

    def __post_init__(self) -> None:
        self.sums = torch.zeros(5, device=self.device)

    def add(self, report: torch.Tensor, loss: torch.Tensor) -> None:
        unlike = report.new_zeros(1) if len(report) < 4 else report[3:]
        self.sums += torch.cat([report[:3], loss.detach()[None], unlike])
        self.steps += 1

    def line(self) -> str:
        mmi, xent, reached, loss, unlike = (self.sums / max(1, self.steps)).tolist()
        self.sums.zero_()
        self.steps = 0
        return f"loss {loss:.3f} mmi {mmi:.4f} xent {xent:.3f} fit {reached:.3f} unlike {unlike:.3f}"


class Training:
    """Data, network and objective of one run."""

    def __init__(self, args: argparse.Namespace, device: torch.device) -> None:
        self.args, self.device = args, device
        recipe = recipe_of(args)
        clips, pronunciations = load(args.pack, max(1, args.workers), args.only)
        splits = ("train", "dev", "test") if args.everyone else ("train",)
        training = [clip for clip in clips if clip.split in splits and recipe.weights.get(clip.corpus)]
        self.progress = begin(args, device)
        seed = args.seed + self.progress.steps
        self.batches = batches_of(training, pronunciations, recipe, seed, args.workers)
        self.objective = Objective(denominator_of(training, pronunciations, recipe, args.seed, device))
        shape = self.progress.network.shape
        listener = Listener(args.like, device, args.second) if args.like else None
        self.likeness = Likeness(shape.hidden, args.rate, listener.sizes).to(device) if listener else None
        self.features = Features(Chance(seed, device), listener)
        self.teacher = read_network(args.teacher).to(device) if args.teacher else None
        self.development = dev_sets(clips, pronunciations, device)
        self.tally = Tally(device)
        millions = sum(p.numel() for p in self.progress.network.parameters()) / 1e6
        context = f"{shape.left_context}+{shape.right_context}"
        print(f"{device}, {len(training)} clips, {millions:.2f} M parameters, context {context}", flush=True)

    def run(self) -> None:
        """Train for --seconds; a line each half minute, a checkpoint each 100 s."""
        start = last_line = last_kept = time.monotonic()
        done_before = self.progress.elapsed
        most = min(self.args.seconds, self.args.total - done_before)
        while (here := time.monotonic() - start) < most:
            self.progress.elapsed = done_before + here
            self.batch(learning_rate(self.args.rate, self.progress.elapsed / self.args.total, here))
            if time.monotonic() - last_line > 25:
                self.report()
                last_line = time.monotonic()
            if time.monotonic() - last_kept > 100:
                keep(self.args, self.progress)
                last_kept = time.monotonic()

    def batch(self, rate: float) -> None:
        """One update."""
        progress = self.progress
        asked = time.monotonic()
        sounds, numerators = next(self.batches)
        self.tally.waited += time.monotonic() - asked
        self.tally.hours += float(sounds.lengths.sum()) / SAMPLE_RATE / 3600
        numerators = numerators.to(self.device)
        progress.network.train()
        clean, noisy, frames, view = self.features(sounds)
        if self.teacher is not None and progress.elapsed < self.args.align:
            loss = alignment_loss(progress.network, self.teacher, clean, noisy, frames, numerators)
            report = torch.zeros(3, device=self.device)
        else:
            mask = feature_mask(self.features.chance, *noisy.shape[:2], MEL_BINS)
            network, steps = progress.network, output_lengths(frames)
            hidden = network.hidden(noisy, frames, mask)
            loss, report = self.objective((network.chain(hidden), network.cross_entropy(hidden)), steps, numerators)
            if self.likeness is not None and view is not None:
                unlike = self.likeness(hidden, view[:, ::SUBSAMPLING], steps)
                report = torch.cat([report, unlike.detach()[None]])
                loss = loss + self.args.likeness * unlike
        progress.update(loss, rate)
        if self.likeness is not None:
            self.likeness.update(rate)
        self.tally.add(report, loss)

    def report(self) -> None:
        progress = self.progress
        where = f"{progress.elapsed:.0f} s, step {progress.steps}, rate {progress.rate:.1e}"
        judgement = judged(progress.averaged_network(), self.objective, self.development)
        loader = f"{self.tally.hours:.1f} h heard, waited {self.tally.waited:.0f} s"
        print(f"{where}: {self.tally.line()} | {judgement} | {loader}", flush=True)


def device_for(args: argparse.Namespace) -> torch.device:
    """The machine made ready for a training: the device, its number formats, the seed, the folder --out."""
    resource.setrlimit(resource.RLIMIT_NOFILE, (resource.getrlimit(resource.RLIMIT_NOFILE)[1],) * 2)
    torch.backends.cuda.matmul.allow_tf32 = torch.backends.cudnn.allow_tf32 = True
    torch.set_flush_denormal(True)
    torch.manual_seed(args.seed)
    args.out.mkdir(parents=True, exist_ok=True)
    return torch.device("cuda" if torch.cuda.is_available() else "cpu")


def main() -> None:
    args = options()
    training = Training(args, device_for(args))
    training.run()
    keep(args, training.progress)
    print(f"stopped at {training.progress.elapsed:.0f} s, {training.progress.steps} steps", flush=True)


if __name__ == "__main__":
    main()
