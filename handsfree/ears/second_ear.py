"""A second opinion on a finished utterance, before anything is asked: the recogniser's alternatives, scored again.

The recogniser must decide while it listens; the second ear sees the whole utterance, and its encoder has heard far
more people than our corpora hold. It is asked about the alternatives only: it cannot invent one, and what is heard
live is not touched. Its log-likelihood is added to the recogniser's, both scaled (`sureness.py`).
"""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from zipfile import BadZipFile

import numpy as np
from threadpoolctl import ThreadpoolController

from handsfree.ears.blocks import RATE
from handsfree.ears.spoken_paths import Pronunciations, log_likelihoods, paths_of
from handsfree.ears.wide_view import Floats, Weights, view_of
from handsfree.errors import NoModel

WEIGHTS = "weights.npz"
LEXICON = "lexicon.tsv"
SHORTEST, LONGEST = 0.1, 16.0
"""Seconds. What is longer is no reading, and attention would grow with its square."""
EPSILON = 1e-3


class SecondEar:
    """Stateless after loading; may be asked from any thread. A fiftieth of the utterance's length on one core."""

    def __init__(self, folder: Path, more_words: Pronunciations | None = None) -> None:
        """`more_words`: pronunciations beside those of the lexicon. NoModel where the folder's files are none."""
        try:
            weights = read_weights(folder / WEIGHTS)
            self._words: Pronunciations = {**read_lexicon(folder / LEXICON), **(more_words or {})}
        except (OSError, EOFError, ValueError, KeyError, BadZipFile) as error:
            raise NoModel(
                f"the second ear in {folder} cannot be read ({error})", do="Install handsfree again."
            ) from error
        self._blas = ThreadpoolController().select(user_api="blas")
        self._encoder: Weights = {
            name.removeprefix("encoder."): value for name, value in weights.items() if name.startswith("encoder.")
        }
        self._head: Weights = {
            name.removeprefix("chain."): value for name, value in weights.items() if name.startswith("chain.")
        }

    def scores(self, pcm: bytes, texts: Sequence[str]) -> list[float] | None:
        """Log-likelihood of each text, up to a common constant; None where it has no opinion: the sound is too long
        or too short, or a word is not in its lexicon."""
        seconds = len(pcm) / (2 * RATE)
        if not texts or not SHORTEST <= seconds <= LONGEST:
            return None
        try:
            said = [paths_of(text.split(), self._words) for text in texts]
        except KeyError:
            return None
        samples = np.frombuffer(pcm, "<i2").astype(np.float32) / np.float32(32767)
        with self._blas.limit(limits=1):  # several threads wait for each other longer than the sums take
            return log_likelihoods(self.outputs(samples), said)

    def outputs(self, samples: Floats) -> Floats:
        """(frames of 20 ms, outputs) for samples in -1..1."""
        view = view_of(samples, self._encoder)
        hidden = np.maximum(view @ self._head["pre.weight"].T + self._head["pre.bias"], 0)
        hidden = (hidden - self._head["norm.mean"]) / np.sqrt(self._head["norm.variance"] + np.float32(EPSILON))
        found: Floats = hidden @ self._head["out.weight"].T + self._head["out.bias"]
        return found


def read_weights(path: Path) -> dict[str, Floats]:
    """Arrays as they are, or signed bytes with a scale for each row."""
    with np.load(path, allow_pickle=False) as saved:
        weights = {}
        for name in saved.files:
            if not name.endswith(".scale"):
                value = saved[name].astype(np.float32)
                if name + ".scale" in saved.files:
                    value *= saved[name + ".scale"].reshape(-1, *[1] * (value.ndim - 1))
                weights[name] = value
        return weights


def read_lexicon(path: Path) -> Pronunciations:
    """`word TAB phone numbers`, a line for each pronunciation."""
    found: dict[str, list[tuple[int, ...]]] = {}
    for line in path.read_text(encoding="utf-8").splitlines():
        word, _, phones = line.partition("\t")
        found.setdefault(word, []).append(tuple(map(int, phones.split())))
    return found
