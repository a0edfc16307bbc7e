"""Train the second ear for so many seconds.

    python train_second.py --pack PACK --encoder encoder.npz --start average.pt --out FOLDER --seconds 500

Starts with cross-entropy on the alignments of our own network (average.pt), then LF-MMI; all the while what it makes
of the noisy sound is kept near what the untouched encoder makes of the clean one, so that it forgets nothing of what
our few speakers do not show. FOLDER then holds second.npz; second_folder.py makes the folder that ships of it.
"""

from __future__ import annotations

import argparse
import time
from pathlib import Path

import torch

from augment import FULL_SCALE, Sounds, augmented, feature_mask
from checkpoints import read_average
from features import fbank, frame_counts
from lfmmi import NumeratorBatch
from likeness import Listener
from network import inside, output_lengths
from noises import Chance
from objective import Objective
from pack import LoadedClip, Pronouncing, load
from second_ear import SecondEar, second_steps, write_weights
from train import batches_of, denominator_of, dev_batches, device_for, learning_rate, recipe_of
from whisper_encoder import MELS, WIDTH, log_mel, read_encoder

AVERAGE_DECAY = 0.998
LONGEST_GRADIENT = 3.0
Heads = tuple[torch.Tensor, torch.Tensor]


def options() -> argparse.Namespace:
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--pack", type=Path, required=True, help="written by pack.py")
    parser.add_argument("--encoder", type=Path, required=True, help="written by whisper_encoder.py")
    parser.add_argument("--start", type=Path, required=True, help="average.pt of train.py, for the alignments")
    parser.add_argument("--out", type=Path, required=True)
    parser.add_argument("--seconds", type=float, required=True)
    parser.add_argument("--align", type=float, default=15.0, help="seconds of cross-entropy at the start")
    parser.add_argument("--rate", type=float, default=1e-3, help="highest learning rate")
    parser.add_argument("--encoder-share", type=float, default=0.3, help="of that rate, for the encoder")
    parser.add_argument("--likeness", type=float, default=0.5, help="weight of staying near the untouched encoder")
    parser.add_argument("--batch", type=float, default=120.0, help="seconds of speech in a batch")
    parser.add_argument("--weights", default="an4=2,spelled=6,orders=1.2,books=0.8,synthetic=0.6")
    parser.add_argument("--workers", type=int, default=15)
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--only", type=int, help="so many clips, for a trial run")
    return parser.parse_args()


class SecondTraining:
    """Data, network and objective of one run."""

    def __init__(self, args: argparse.Namespace, device: torch.device) -> None:
        self.args, self.device = args, device
        self.kind = torch.bfloat16 if device.type == "cuda" else torch.float32
        recipe = recipe_of(args)
        clips, pronunciations = load(args.pack, max(1, args.workers), args.only)
        training = [clip for clip in clips if clip.split == "train" and recipe.weights.get(clip.corpus)]
        self.batches = batches_of(training, pronunciations, recipe, args.seed, args.workers)
        self.objective = Objective(denominator_of(training, pronunciations, recipe, 1, device))
        self.chance = Chance(args.seed, device)
        self.listener, self.aligner = Listener(args.encoder, device), read_average(args.start).to(device)
        self.ear = SecondEar(read_encoder(args.encoder)).to(device)
        self.average = {name: value.clone() for name, value in self.ear.state_dict().items()}
        self.optimizer = self._optimizer(args.encoder_share)
        self.development = self._development(clips, pronunciations)
        self.spread: torch.Tensor | None = None
        """Standard deviation of each number of the untouched encoder's view, from the first batch."""
        self.sums, self.since, self.steps = torch.zeros(4, device=device), 0, 0
        print(f"{device}, {len(training)} clips", flush=True)

    def _optimizer(self, encoder_share: float) -> torch.optim.AdamW:
        heads = [value for name, value in self.ear.named_parameters() if not name.startswith("encoder")]
        encoder = list(self.ear.encoder.parameters())
        groups = [{"params": heads, "share": 1.0}, {"params": encoder, "share": encoder_share}]
        return torch.optim.AdamW(groups, betas=(0.9, 0.98))

    def _development(self, clips: list[LoadedClip], pronunciations: Pronouncing) -> dict[str, list]:
        """Batches of (samples, lengths, numerators): development clips as recorded, and in one noisy version."""
        chance = Chance(0, self.device)
        sets: dict[str, list] = {"clean": [], "noisy": []}
        for plain, numerators in dev_batches(clips, pronunciations, self.device):
            for name, sounds in (("clean", plain), ("noisy", augmented(plain, chance)[1])):
                sets[name].append((sounds.samples, sounds.lengths.to(self.device), numerators))
        return sets

    def view(self, samples: torch.Tensor, lengths: torch.Tensor, hide: bool) -> torch.Tensor:
        """(N, n) samples -> (N, T', 384); `hide`: some bands and moments."""
        mel = log_mel(samples / FULL_SCALE, lengths)
        if hide:
            mel = mel * feature_mask(self.chance, *mel.shape[:2], MELS)
        with torch.autocast(self.device.type, self.kind, enabled=self.kind != torch.float32):
            return self.ear.encoder(mel, lengths // 160).float()

    def heads(self, view: torch.Tensor) -> Heads:
        return self.ear.chain(view), self.ear.cross_entropy(view)

    def batch(self, rate: float, aligning: bool) -> None:
        """One update."""
        sounds, numerators = next(self.batches)
        numerators = numerators.to(self.device)
        moved = Sounds(sounds.samples.to(self.device, non_blocking=True).float(), sounds.lengths, sounds.leads)
        plain, noisy = augmented(moved, self.chance)
        lengths = noisy.lengths.to(self.device)
        steps = second_steps(lengths)
        self.ear.train()
        view = self.view(noisy.samples, lengths, hide=True)
        if aligning:
            loss = self.alignment_loss(self.heads(view), plain, steps, numerators)
            report = torch.zeros(3, device=self.device)
        else:
            loss, report = self.objective(self.heads(view), steps, numerators)
        unlike = self.unlike(view, plain, steps)
        self.update(loss + self.args.likeness * unlike, rate)
        self.sums += torch.cat([report, unlike.detach()[None]])
        self.since += 1

    def alignment_loss(
        self, heads: Heads, plain: Sounds, steps: torch.Tensor, numerators: NumeratorBatch
    ) -> torch.Tensor:
        """Cross-entropy of both heads against where our network finds the words (its steps are 30 ms, here 20)."""
        with torch.no_grad():
            frames = frame_counts(plain.lengths).to(self.device)
            outputs = self.aligner(fbank(plain.samples), frames)[0]
            where = self.objective.numerator_pass(outputs, output_lengths(frames), numerators)
            targets = where.posteriors * where.reached[:, None, None]
            place = (torch.arange(heads[0].shape[1], device=self.device) * 2) // 3
            targets = targets[:, place.clamp(max=targets.shape[1] - 1)] * inside(steps, heads[0])[:, :, None]
        return sum(-(targets * head.log_softmax(2)).sum() for head in heads) / steps.sum()

    def unlike(self, view: torch.Tensor, plain: Sounds, steps: torch.Tensor) -> torch.Tensor:
        """Mean squared difference from the untouched encoder's view of the clean sound, in standard deviations."""
        wanted = self.listener.views(plain)[:, : view.shape[1]]
        if self.spread is None:
            self.spread = wanted.reshape(-1, WIDTH).std(0) + 1e-3
        return ((view - wanted) / self.spread)[inside(steps, view)].square().mean()

    def update(self, loss: torch.Tensor, rate: float) -> None:
        """One step down this loss; the average follows."""
        self.optimizer.zero_grad(set_to_none=True)
        loss.backward()
        torch.nn.utils.clip_grad_norm_(self.ear.parameters(), LONGEST_GRADIENT)
        for group in self.optimizer.param_groups:
            group["lr"] = rate * group["share"]
        self.optimizer.step()
        self.steps += 1
        decay = min(AVERAGE_DECAY, (1 + self.steps) / (20 + self.steps))
        current = self.ear.state_dict()
        torch._foreach_lerp_([self.average[name] for name in current], list(current.values()), 1 - decay)

    @torch.no_grad()
    def report(self, where: str) -> None:
        """A line: the objective of the training batches since the last one, and of the averaged network on dev."""
        current = {name: value.clone() for name, value in self.ear.state_dict().items()}
        self.ear.load_state_dict(self.average)
        self.ear.eval()
        parts = []
        for name, batches in self.development.items():
            totals = torch.zeros(3, device=self.device)
            for samples, lengths, numerators in batches:
                steps = second_steps(lengths)
                _, report = self.objective(self.heads(self.view(samples, lengths, hide=False)), steps, numerators)
                totals += torch.cat([report[:2], torch.ones_like(report[:1])]) * steps.sum()
            parts.append(f"{name} mmi {totals[0] / totals[2]:.4f} xent {totals[1] / totals[2]:.3f}")
        self.ear.load_state_dict(current)
        mmi, xent, fit, unlike = (self.sums / max(1, self.since)).tolist()
        heard = f"mmi {mmi:.4f} xent {xent:.3f} fit {fit:.3f} unlike {unlike:.3f}"
        print(" | ".join([f"{where}, {self.steps} steps: {heard}", *parts]), flush=True)
        self.sums.zero_()
        self.since = 0

    def run(self) -> None:
        """Train for --seconds; a line each half minute, the weights each 100 s."""
        start = last_line = last_kept = time.monotonic()
        while (here := time.monotonic() - start) < self.args.seconds:
            self.batch(learning_rate(self.args.rate, here / self.args.seconds, here), here < self.args.align)
            if time.monotonic() - last_line > 25:
                self.report(f"{here:.0f} s")
                last_line = time.monotonic()
            if time.monotonic() - last_kept > 100:
                write_weights(self.args.out / "second.npz", self.average)
                last_kept = time.monotonic()
        self.report("end")
        write_weights(self.args.out / "second.npz", self.average)


def main() -> None:
    args = options()
    SecondTraining(args, device_for(args)).run()
    print("stopped", flush=True)


if __name__ == "__main__":
    main()
