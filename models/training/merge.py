"""After several GPUs went on apart from one start: their mean, and the best on the development speakers goes on.

    python merge.py PACK OUT average.pt average.pt ...

Writes OUT (an average.pt to `--start` from) and prints the objective of each candidate.
"""

import sys
from pathlib import Path

import torch

from batches import Recipe
from checkpoints import Progress, mean_network, read_average, save_average
from export import acoustic_model
from objective import Objective
from pack import load
from train import WEIGHTS, denominator_of, dev_sets, judged


def main() -> None:
    pack, out, *averages = map(Path, sys.argv[1:])
    device = torch.device("cuda" if torch.cuda.is_available() else "cpu")
    clips, pronunciations = load(pack)
    training = [clip for clip in clips if clip.split == "train"]
    objective = Objective(denominator_of(training, pronunciations, Recipe(WEIGHTS), 1, device))
    sets = dev_sets(clips, pronunciations, device)
    candidates = {str(path): read_average(path) for path in averages} | {"mean": mean_network(averages)}
    scores = {}
    for name, network in candidates.items():
        report = judged(network.to(device), objective, sets)
        scores[name] = sum(float(part.split()[2]) for part in report.split(" | "))
        print(f"{name}: {report}", flush=True)
    best = candidates[max(scores, key=scores.__getitem__)]
    save_average(out, Progress.of(best, 0.0))
    out.with_suffix(".mdl").write_bytes(acoustic_model(best))


if __name__ == "__main__":
    main()
