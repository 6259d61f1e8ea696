"""One value from two estimates of the same thing."""

import math


def pool(first: tuple[float, float], second: tuple[float, float] | None) -> tuple[float, float]:
    """Weighted mean of two (value, standard uncertainty) by inverse variance; ``first`` alone if there is no second.

    Where they differ by more than their uncertainties allow, the result's uncertainty is widened by the ratio of the
    observed to the expected difference (Birge ratio; Birge, Phys. Rev. 40, 207, 1932).
    """
    if second is None or not math.isfinite(second[0]):
        return first
    if not math.isfinite(first[0]):
        return second
    weights = 1.0 / max(first[1], 1e-9) ** 2, 1.0 / max(second[1], 1e-9) ** 2
    mean = (weights[0] * first[0] + weights[1] * second[0]) / sum(weights)
    u = math.sqrt(1.0 / sum(weights))
    ratio = abs(first[0] - second[0]) / math.hypot(first[1], second[1])
    return mean, u * max(1.0, ratio)
