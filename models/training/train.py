"""Train the acoustic model: a short start on a teacher's alignments, then lattice-free MMI, for so many seconds.

    python train.py --pack PACK --teacher final.mdl --out FOLDER --seconds 500 --total 1500

Flat-start LF-MMI on all data gets stuck with wide networks; a minute of cross-entropy on alignments from an earlier, smaller
network (any final.mdl of this family) avoids that. Stops by itself; run again with the same --out to go on, until --total
seconds of training are done. FOLDER then holds last.pt (everything), average.pt (the averaged network) and final.mdl.
"""

import argparse
import resource
import time
from collections.abc import Iterator
from pathlib import Path

import torch

from augment import Sounds, at_other_tempo, augmented, feature_mask, with_other_vocal_tracts
from batches import Examples, Recipe, Rounds, collate, masked
from checkpoints import Progress, load_progress, read_average, save_average, save_progress
from export import acoustic_model
from features import MEL_BINS, fbank, frame_counts
from hmm import denominator_hmm, utterance_hmm
from lfmmi import Denominator, NumeratorBatch, batch_numerators
from network import AcousticNetwork, NetworkShape, output_lengths
from noises import Chance
from objective import Objective, passes_for
from pack import LoadedClip, Pronouncing, load
from read_mdl import read_network

LEFT_SIX = ((-1, 0, 1), (-1, 0, 1), (-2, 0, 1), (-2, 0, 1), (-3, 0, 1))
SHAPES = {
    "tiny": NetworkShape(64, 16, 32, ((-1, 0, 1), (-3, 0, 1))),
    "medium": NetworkShape(512, 128, 256, (*LEFT_SIX, *[(-3, 0)] * 5)),
    "large": NetworkShape(640, 160, 256, (*LEFT_SIX, *[(-3, 0)] * 7), dropout=0.15),
}
WEIGHTS = {"an4": 1.5, "spelled": 4.0, "orders": 0.6, "books": 0.6, "synthetic": 1.0}


def options() -> argparse.Namespace:
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--pack", type=Path, required=True, help="written by pack.py")
    parser.add_argument("--out", type=Path, required=True, help="checkpoints and final.mdl; resumed from when present")
    parser.add_argument("--keep", type=Path, help="a second folder for average.pt and final.mdl")
    parser.add_argument("--start", type=Path, help="an average.pt to begin with when --out is empty")
    parser.add_argument("--teacher", type=Path, help="final.mdl whose alignments start the training")
    parser.add_argument("--shape", choices=SHAPES, default="medium")
    parser.add_argument("--seconds", type=float, required=True, help="stop after this long")
    parser.add_argument("--total", type=float, required=True, help="length of the whole schedule in seconds")
    parser.add_argument("--done", type=float, default=0.0, help="with --start: seconds of the schedule already done")
    parser.add_argument("--align", type=float, default=45.0, help="seconds of cross-entropy on alignments at the start")
    parser.add_argument("--rate", type=float, default=1.2e-3, help="highest learning rate")
    parser.add_argument("--batch", type=float, default=140.0, help="seconds of speech in a batch")
    parser.add_argument("--weights", default="", help="e.g. an4=1.5,synthetic=0.8")
    parser.add_argument("--workers", type=int, default=15)
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--only", type=int, help="so many clips, for a trial run")
    return parser.parse_args()


def learning_rate(highest: float, share_done: float, seconds_here: float) -> float:
    """Half a cosine down to a hundredth over the whole schedule, with 10 s of warm-up at every start."""
    cosine = 0.5 * (1 + torch.cos(torch.tensor(torch.pi * min(1.0, share_done))).item())
    return highest * min(1.0, seconds_here / 10 + 0.01) * (0.99 * cosine + 0.01)


class Features:
    """Sounds -> features on the device, plain and augmented."""

    def __init__(self, chance: Chance) -> None:
        self.chance = chance

    def __call__(self, sounds: Sounds) -> tuple[torch.Tensor, torch.Tensor, torch.Tensor]:
        """(N, T, 40) of the clean clips, of the augmented ones, and their lengths in frames."""
        device = self.chance.device
        moved = Sounds(sounds.samples.to(device).float(), sounds.lengths.to(device), sounds.leads.to(device))
        plain, varied = augmented(moved, self.chance)
        frames = frame_counts(varied.lengths)
        both, frames = at_other_tempo([fbank(plain.samples), fbank(varied.samples)], frames, self.chance)
        clean, noisy = with_other_vocal_tracts(both, self.chance)
        return clean, noisy, frames


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


def dev_sets(clips: list[LoadedClip], pronunciations: Pronouncing, device: torch.device) -> dict[str, list]:
    """Batches of (features, frames, numerators): development clips as recorded, and in one fixed noisy version."""
    dev = sorted((clip for clip in clips if clip.split == "dev"), key=lambda clip: clip.seconds)
    features = Features(Chance(0, device))
    sets: dict[str, list] = {"clean": [], "noisy": []}
    for start in range(0, len(dev), 16):
        part = dev[start : start + 16]
        lengths = torch.tensor([len(clip.samples) for clip in part], device=device)
        samples = torch.zeros(len(part), int(lengths.max()), device=device)
        for row, clip in zip(samples, part, strict=True):
            row[: len(clip.samples)] = torch.from_numpy(clip.samples)
        numerators = batch_numerators([utterance_hmm(clip.slots, pronunciations) for clip in part]).to(device)
        sets["clean"].append((fbank(samples), frame_counts(lengths), numerators))
        _, noisy, frames = features(Sounds(samples, lengths, torch.zeros_like(lengths)))
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
            _, report = objective(network, features, frames, numerators)
            totals += torch.cat([report[:2], torch.ones_like(report[:1])]) * frames.sum()
        parts.append(f"{name} mmi {totals[0] / totals[2]:.4f} xent {totals[1] / totals[2]:.3f}")
    return " | ".join(parts)


def batches_of(
    clips: list[LoadedClip], pronunciations: Pronouncing, recipe: Recipe, seed: int, workers: int
) -> Iterator[tuple[Sounds, NumeratorBatch]]:
    """Endless, made ahead in other processes."""
    loader = torch.utils.data.DataLoader(
        Examples(clips, pronunciations, recipe, seed), batch_sampler=Rounds(clips, recipe, seed), collate_fn=collate,
        num_workers=workers, prefetch_factor=4 if workers else None,
        worker_init_fn=lambda _: torch.set_num_threads(1),
    )  # fmt: skip
    return iter(loader)


def denominator_of(
    clips: list[LoadedClip], pronunciations: Pronouncing, recipe: Recipe, seed: int, device: torch.device
) -> Denominator:
    import numpy as np

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
    network = read_average(args.start) if args.start else AcousticNetwork(SHAPES[args.shape])
    return Progress.of(network.to(device), args.rate, elapsed=args.done)


def step(
    progress: Progress, loss: torch.Tensor, rate: float
) -> None:
    for group in progress.optimizer.param_groups:
        group["lr"] = rate
    progress.optimizer.zero_grad(set_to_none=True)
    loss.backward()
    torch.nn.utils.clip_grad_norm_(progress.network.parameters(), 3.0)
    progress.optimizer.step()
    progress.steps += 1
    if progress.steps % 4 == 0:
        progress.network.pull_to_orthogonal()
    progress.update_average()


def keep(args: argparse.Namespace, progress: Progress) -> None:
    save_progress(args.out / "last.pt", progress)
    for folder in filter(None, (args.out, args.keep)):
        folder.mkdir(parents=True, exist_ok=True)
        save_average(folder / "average.pt", progress)
        (folder / "final.mdl").write_bytes(acoustic_model(progress.averaged_network()))


def main() -> None:
    args = options()
    resource.setrlimit(resource.RLIMIT_NOFILE, (resource.getrlimit(resource.RLIMIT_NOFILE)[1],) * 2)
    began = time.monotonic()
    device = torch.device("cuda" if torch.cuda.is_available() else "cpu")
    torch.backends.cuda.matmul.allow_tf32 = torch.backends.cudnn.allow_tf32 = True
    torch.set_flush_denormal(True)
    torch.manual_seed(args.seed)
    recipe = Recipe(WEIGHTS | {k: float(v) for k, _, v in (w.partition("=") for w in args.weights.split(",") if w)},
                    batch_seconds=args.batch)
    clips, pronunciations = load(args.pack, max(1, args.workers), args.only)
    training = [clip for clip in clips if clip.split == "train" and recipe.weights.get(clip.corpus)]
    progress = begin(args, device)
    seed = args.seed + progress.steps
    batches = batches_of(training, pronunciations, recipe, seed, args.workers)
    objective = Objective(denominator_of(training, pronunciations, recipe, args.seed, device))
    features = Features(Chance(seed, device))
    teacher = read_network(args.teacher).to(device) if args.teacher else None
    development = dev_sets(clips, pronunciations, device)
    shape = progress.network.shape
    print(f"{device}, {len(training)} clips, {sum(p.numel() for p in progress.network.parameters()) / 1e6:.2f} M "
          f"parameters, context {shape.left_context}+{shape.right_context}, ready after "
          f"{time.monotonic() - began:.0f} s", flush=True)
    args.out.mkdir(parents=True, exist_ok=True)
    start = last_line = last_kept = time.monotonic()
    waited, heard, lines = 0.0, 0.0, torch.zeros(4, device=device)
    done_before = progress.elapsed
    while (here := time.monotonic() - start) < args.seconds:
        progress.elapsed = done_before + here
        asked = time.monotonic()
        sounds, numerators = next(batches)
        waited += time.monotonic() - asked
        numerators = numerators.to(device)
        progress.network.train()
        clean, noisy, frames = features(sounds)
        heard += float(sounds.lengths.sum()) / 16000 / 3600
        rate = learning_rate(args.rate, progress.elapsed / args.total, here)
        if teacher is not None and progress.elapsed < args.align:
            loss = alignment_loss(progress.network, teacher, clean, noisy, frames, numerators)
            report = torch.zeros(3, device=device)
        else:
            mask = feature_mask(features.chance, *noisy.shape[:2], MEL_BINS)
            loss, report = objective(progress.network, noisy, frames, numerators, mask)
        step(progress, loss, rate)
        lines += torch.cat([report, loss.detach()[None]])
        if time.monotonic() - last_line > 25:
            count = lines.new_tensor(max(1, progress.steps - progress.reported))
            mmi, xent, reached, mean_loss = (lines / count).tolist()
            print(f"{progress.elapsed:.0f} s, step {progress.steps}, rate {rate:.1e}: loss {mean_loss:.3f} mmi {mmi:.4f} "
                  f"xent {xent:.3f} fit {reached:.3f} | {judged(progress.averaged_network(), objective, development)} "
                  f"| {heard:.1f} h heard, waited {waited:.0f} s", flush=True)
            progress.reported = progress.steps
            lines.zero_()
            last_line = time.monotonic()
        if time.monotonic() - last_kept > 100:
            keep(args, progress)
            last_kept = time.monotonic()
    keep(args, progress)
    print(f"stopped at {progress.elapsed:.0f} s, {progress.steps} steps", flush=True)


if __name__ == "__main__":
    main()
