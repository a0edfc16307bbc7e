"""Cleveland's robust locally weighted straight line: the curve that a key is compared with.

W. S. Cleveland, "Robust locally weighted regression and smoothing scatterplots", JASA 74 (1979) 829-836. Written
here because the figures need nothing else of a numerical library, and the live view must not wait for one.
"""

from __future__ import annotations

from collections.abc import Sequence
from operator import mul
from statistics import median

Neighbourhood = tuple[int, int, list[float], list[float]]
"""First index, one past the last index, tricube weights, distances x - x_i."""


def lowess(x: Sequence[float], y: Sequence[float], share: float = 2 / 3, iterations: int = 3) -> list[float]:
    """Smooth `y` over ascending `x` (ties allowed); `share` of the points are the neighbours of each one.

    `iterations` robust passes follow the first fit (0 = plain). Same lengths, at least one point, 0 < share <= 1.
    """
    n = len(x)
    neighbours = min(n, max(2, int(share * n + 1e-10)))
    around = _neighbourhoods(x, neighbours)
    span = x[-1] - x[0]
    trust = [1.0] * n
    rounding = 1e-9 * max(map(abs, y))
    fitted: list[float] = []
    for turn in range(iterations + 1):
        fitted = [_fit(place, y, trust, span) for place in around]
        if turn == iterations:
            break
        errors = [abs(a - b) for a, b in zip(y, fitted, strict=True)]
        scale = 6.0 * median(errors)
        if scale < 1e-7 * (sum(errors) / n) or scale <= rounding:
            break  # more than half lie on the curve already: no scale to judge the others by
        trust = [_bisquare(e / scale) for e in errors]
    return fitted


def _neighbourhoods(x: Sequence[float], neighbours: int) -> list[Neighbourhood]:
    """The weights depend on x only, so they are worked out once for all robust passes."""
    found: list[Neighbourhood] = []
    left = 0
    for here in x:
        while left + neighbours < len(x) and here - x[left] > x[left + neighbours] - here:
            left += 1
        right = left + neighbours
        distances = [x[j] - here for j in range(left, right)]
        radius = max(abs(distances[0]), abs(distances[-1]))
        found.append((left, right, [_tricube(abs(d), radius) for d in distances], distances))
    return found


def _tricube(distance: float, radius: float) -> float:
    if distance <= 0.001 * radius:
        return 1.0
    if distance > 0.999 * radius:
        return 0.0
    share = distance / radius
    rest = 1.0 - share * share * share
    return rest * rest * rest


def _bisquare(error: float) -> float:
    if error <= 0.001:
        return 1.0
    if error > 0.999:
        return 0.0
    rest = 1.0 - error * error
    return rest * rest


def _fit(place: Neighbourhood, y: Sequence[float], trust: Sequence[float], span: float) -> float:
    """The weighted straight line through the neighbours, at the point itself (distance 0)."""
    left, right, near, distances = place
    weights = list(map(mul, near, trust[left:right]))
    total = sum(weights)
    values = y[left:right]
    if total <= 0.0:
        return values[distances.index(0.0)]
    weighted = list(map(mul, weights, distances))
    mean_x: float = sum(weighted) / total
    mean_y: float = sum(map(mul, weights, values)) / total
    spread = sum(map(mul, weighted, distances)) / total - mean_x * mean_x
    # all weight on (nearly) one x: a slope would be noise, the mean is the fit
    if spread <= 1e-6 * span * span:
        return mean_y
    slope: float = (sum(map(mul, weighted, values)) / total - mean_x * mean_y) / spread
    return mean_y - slope * mean_x
