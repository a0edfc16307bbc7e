"""Forward-backward against the sum over every single path, on HMMs small enough to write all paths down."""

import itertools
import math
import os
import sys
from pathlib import Path

import pytest

torch = pytest.importorskip("torch", reason="needs torch (extra [train])")
np = pytest.importorskip("numpy")
sys.path.insert(0, str(Path(__file__).parents[2] / "models" / "training"))

import hmm  # noqa: E402
import lfmmi  # noqa: E402
from phones import PDF_COUNT, PHONE_COUNT  # noqa: E402

PRONUNCIATIONS = {"A": [("EY",)], "B": [("B", "IY")], "oh": [("OW",)], "zero": [("Z", "IH", "R", "OW"), ("Z", "OW")]}


def all_paths(first_weights, links, final, steps):
    """Every sequence of (arc, is first frame) with its weight, by plain recursion."""
    n = len(first_weights)

    def onward(arc, t, weight, path):
        if t == steps - 1:
            if weight * final[arc] > 0:
                yield path, weight * final[arc]
            return
        yield from onward(arc, t + 1, weight, [*path, (arc, False)])
        for target in range(n):
            if links[arc, target] > 0:
                yield from onward(target, t + 1, weight * links[arc, target], [*path, (target, True)])

    for arc in range(n):
        if first_weights[arc] > 0:
            yield from onward(arc, 0, first_weights[arc], [(arc, True)])


def enumerated(outputs, initial, links, final, forward_pdfs, loop_pdfs):
    """log probability (steps, pdfs) posteriors of one utterance."""
    steps, pdfs = outputs.shape
    total, posteriors = 0.0, np.zeros((steps, pdfs))
    for path, weight in all_paths(initial, links, final, steps):
        used = [forward_pdfs[arc] if first else loop_pdfs[arc] for arc, first in path]
        probability = weight * math.exp(sum(outputs[t, pdf] for t, pdf in enumerate(used)))
        total += probability
        for t, pdf in enumerate(used):
            posteriors[t, pdf] += probability
    return math.log(total), posteriors / total


def dense_links(utterance):
    links = np.zeros((len(utterance.initial),) * 2)
    for arc, k in itertools.product(*map(range, utterance.sources.shape)):
        links[utterance.sources[arc, k], arc] += utterance.source_weights[arc, k]
    return links


def passes():
    """The plain version, and the kernels where they can run (a GPU, or Triton's interpreter)."""
    yield lfmmi, torch.device("cpu")
    if torch.cuda.is_available() or os.environ.get("TRITON_INTERPRET") == "1":
        import lfmmi_triton

        yield lfmmi_triton, torch.device("cuda" if torch.cuda.is_available() else "cpu")


SLOTS = ([[["A"]]], [[["oh"], ["zero"]]], [[["B"]], [["A"], ["oh"]]])


@pytest.mark.parametrize(("module", "device"), list(passes()))
def test_numerator_is_the_sum_over_all_paths(module, device):
    generator = torch.Generator().manual_seed(5)
    outputs = torch.randn(len(SLOTS), 6, PDF_COUNT, generator=generator)
    lengths = torch.tensor([4, 6, 5])
    hmms = [hmm.utterance_hmm(slots, PRONUNCIATIONS) for slots in SLOTS]
    batch = lfmmi.batch_numerators(hmms).to(device)
    result = module.numerator_occupation(outputs.to(device), lengths.to(device), batch)
    assert result.reached.all()
    for row, (utterance, length) in enumerate(zip(hmms, lengths.tolist(), strict=True)):
        expected, posteriors = enumerated(
            outputs[row, :length].numpy(), utterance.initial, dense_links(utterance), utterance.final,
            utterance.forward_pdfs, utterance.loop_pdfs,
        )
        assert result.log_probability[row].item() == pytest.approx(expected, abs=1e-5)
        assert np.abs(result.posteriors[row, :length].cpu().numpy() - posteriors).max() < 1e-5
        assert result.posteriors[row, length:].abs().max().item() == 0 if length < 6 else True


@pytest.mark.parametrize(("module", "device"), list(passes()))
def test_denominator_is_the_sum_over_all_paths(module, device):
    rng = np.random.default_rng(7)
    small = 4
    links = rng.random((small, small)).astype(np.float32) * (rng.random((small, small)) < 0.7)
    links[0, 1] = 0.5
    den = hmm.DenominatorHmm(
        links, rng.random(small).astype(np.float32), rng.random(small).astype(np.float32),
        np.array([0, 2, 2, 4]), np.array([1, 3, 3, 5]),
    )
    outputs = torch.from_numpy(rng.normal(size=(2, 5, 6)).astype(np.float32))
    lengths = torch.tensor([5, 3])
    result = module.denominator_occupation(outputs.to(device), lengths.to(device), lfmmi.Denominator.of(den, device))
    for row, length in enumerate(lengths.tolist()):
        expected, posteriors = enumerated(
            outputs[row, :length].numpy(), den.initial, links, den.final, den.forward_pdfs, den.loop_pdfs
        )
        assert result.log_probability[row].item() == pytest.approx(expected, abs=1e-5)
        assert np.abs(result.posteriors[row, :length].cpu().numpy() - posteriors).max() < 1e-5


@pytest.mark.parametrize(("module", "device"), list(passes()))
def test_an_utterance_too_short_for_its_words_is_reported_not_hidden(module, device):
    batch = lfmmi.batch_numerators([hmm.utterance_hmm([[["zero"]], [["zero"]]], PRONUNCIATIONS)]).to(device)
    outputs = torch.zeros(1, 3, PDF_COUNT, device=device)
    result = module.numerator_occupation(outputs, torch.tensor([3], device=device), batch)
    assert not result.reached.item()


def test_numerator_weights_are_probabilities():
    """On leaving an arc the chances of all successors and of the end sum to 1 (so the objective stays below 0)."""
    for slots in SLOTS:
        utterance = hmm.utterance_hmm(slots, PRONUNCIATIONS)
        leaving = dense_links(utterance).sum(1) + utterance.final
        assert leaving == pytest.approx(np.ones_like(leaving), abs=1e-6)
        assert utterance.initial.sum() == pytest.approx(1.0, abs=1e-6)


def test_denominator_keeps_words_whole():
    """Inside a word no silence and no other word may begin; every phone can go on somewhere."""
    den = hmm.denominator_hmm([(slots, 1.0) for slots in SLOTS], PRONUNCIATIONS, smoothing=0.15, seed=1)
    assert den.weights.shape == (PHONE_COUNT, PHONE_COUNT)
    inside = hmm.PHONE_IDS["B_B"] - 1
    assert den.weights[inside, hmm.PHONE_IDS["SIL"] - 1] == 0
    assert den.weights[inside, hmm.PHONE_IDS["EY_S"] - 1] == 0
    assert den.weights[inside, hmm.PHONE_IDS["IY_E"] - 1] > 0.5
    assert (den.weights.sum(1) > 0).all()
