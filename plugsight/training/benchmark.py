"""Every figure the suggestion is held to, with its goal: misses are printed like the rest."""

import time
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from pathlib import Path
from tempfile import TemporaryDirectory

import numpy as np

from plugsight.suggestion.model import DepositModel
from plugsight.training.coverage import exchangeable_coverage
from plugsight.training.learn import learn
from plugsight.training.peer import PeerScore
from plugsight.training.refusal import Picture, count_refusals
from plugsight.training.score import Scores, score
from plugsight.training.shift import Recovery, recover
from plugsight.training.table import FeatureTable
from plugsight.vocabulary.deposits import Deposit

WON_BACK = {20: 0.0, 50: 0.25, 100: 0.5}
"""Share of what the shift costs that so many confirmed photos have to win back."""


@dataclass(frozen=True, slots=True)
class Figure:
    """One line: what, how much, the goal, and whether it is met (None: reported without a goal)."""

    name: str
    value: str
    goal: str = ""
    met: bool | None = None


def accuracy_figures(model: DepositModel, test: FeatureTable) -> Iterator[Figure]:
    """Accuracy, calibration and sets on unseen designs and lights, wet fuel apart."""
    apart = score(model, test.where(test.deposit != str(Deposit.WET_FUEL)))
    whole = score(model, test)
    yield Figure("plugs of unseen designs and lights", f"{whole.plugs}", "1000 or more", whole.plugs >= 1000)
    fewest = int(min(row.sum() for row in whole.confusion))
    yield Figure("plugs of the rarest deposit", f"{fewest}", "100 or more", fewest >= 100)
    low = apart.balanced_moderate[1]
    yield Figure(
        "balanced accuracy, moderate or more",
        _bounds(apart.balanced_moderate),
        "lower bound 0.95",
        low >= 0.95,
    )
    yield Figure("balanced accuracy, all", _bounds(apart.balanced), "0.90", apart.balanced[0] >= 0.90)
    yield Figure("balanced accuracy, answered plugs only", _bounds(apart.balanced_answered))
    worst = int(
        np.nanargmin(
            [r if c != Deposit.WET_FUEL else np.nan for c, r in zip(whole.classes, whole.recall, strict=True)]
        )
    )
    yield Figure(
        "least recall",
        f"{whole.recall[worst]:.3f} ({whole.classes[worst]})",
        "0.85",
        whole.recall[worst] >= 0.85,
    )
    yield from _wet_fuel(whole)
    yield Figure("abstained", f"{whole.abstained:.3f}", "0.10 or less", whole.abstained <= 0.10)
    yield Figure(
        "calibration error of the top deposit (ECE)", f"{whole.ece:.3f}", "0.03 or less", whole.ece <= 0.03
    )
    yield Figure("log-loss", f"{whole.log_loss:.3f}")
    yield Figure("sets that hold the truth", f"{whole.covered:.3f}", "0.92", whole.covered >= 0.92)
    least = int(np.nanargmin(whole.covered_by_class))
    yield Figure(
        "least coverage of a deposit",
        f"{whole.covered_by_class[least]:.3f} ({whole.classes[least]})",
        "0.90",
        whole.covered_by_class[least] >= 0.90,
    )
    yield Figure("mean set size", f"{whole.set_size:.2f}", "1.4 or less", whole.set_size <= 1.4)


def _wet_fuel(whole: Scores) -> Iterator[Figure]:
    if Deposit.WET_FUEL in whole.classes:
        k = whole.classes.index(Deposit.WET_FUEL)
        yield Figure("wet fuel, apart: recall", f"{whole.recall[k]:.3f}")
        yield Figure("wet fuel, apart: sets that hold it", f"{whole.covered_by_class[k]:.3f}")


def coverage_figure(model: DepositModel, held_out: FeatureTable) -> Figure:
    """Coverage where the promise applies: calibration and test plugs drawn from the same plugs, 20 times."""
    mean, spread, tested = exchangeable_coverage(model, held_out)
    value = f"{mean:.3f} (spread {spread:.3f}, {tested} test plugs a split)"
    return Figure(
        "coverage, exchangeable", value, "0.95 ± 0.01", abs(mean - model.coverage) <= 0.01 and tested >= 1000
    )


def refusal_figures(model: DepositModel, pictures: Iterable[Picture], workers: int) -> Iterator[Figure]:
    """Refusals of pictures without a plug."""
    found = count_refusals(pictures, model, workers=workers)
    count, refused = sum(one.pictures for one in found), sum(one.refused for one in found)
    share = refused / max(count, 1)
    yield Figure(
        "pictures without a plug refused",
        f"{share:.3f} of {count}",
        "0.98 of 500 or more",
        share >= 0.98 and count >= 500,
    )
    for one in found:
        share = one.refused / one.pictures
        yield Figure(f"refused: {one.family}", f"{share:.3f} of {one.pictures}", "0.95", share >= 0.95)


def silence_figures(model: DepositModel, photos: Iterable[Picture], workers: int) -> Iterator[Figure]:
    """Whole photos of plugs: how many end without a suggestion."""
    for one in count_refusals(photos, model, workers=workers):
        share = one.refused / one.pictures
        yield Figure(
            f"plugs refused or abstained: {one.family}",
            f"{share:.3f} of {one.pictures}",
            "0.10 or less",
            share <= 0.10,
        )


def shift_figures(model: DepositModel, table: FeatureTable, family: str, draws: int) -> Iterator[Figure]:
    """What the shift domain costs, and what confirmed photos win back."""
    away = score(model, table.where(table.split == "shift"))
    yield Figure("shift domain: abstained", f"{away.abstained:.3f}", "0.10 or less", away.abstained <= 0.10)
    first: Recovery | None = None
    for one in recover(table, family=family, draws=draws):
        if first is None:
            first = one
            lost = one.home[0] - one.shifted[0]
            yield Figure("shift domain: balanced accuracy lost", f"{lost:.3f}", "0.10 or more", lost >= 0.10)
            continue
        lost = first.home[0] - first.shifted[0]
        won = [(s - first.shifted[0]) / max(lost, 1e-9) for s in one.shifted]
        low, high = np.quantile(won, [0.025, 0.975])
        goal = WON_BACK[one.photos]
        value = f"{np.mean(won):+.2f} of it ({low:+.2f} to {high:+.2f}, {len(won)} draws)"
        yield Figure(
            f"won back with {one.photos} confirmed plugs", value, f"{goal:.2f}", float(np.mean(won)) >= goal
        )
        kept = float(np.mean(one.home)) - first.home[0]
        yield Figure(
            f"original domain with {one.photos}", f"{kept:+.3f}", "loses 0.01 at most", kept >= -0.01
        )


def peer_figures(found: PeerScore) -> Iterator[Figure]:
    """Ours beside frozen convolution features, both without abstentions, on the same plugs."""
    ratio = found.our_s / found.their_s
    yield Figure(f"peer: its balanced accuracy ({found.plugs} plugs)", f"{found.theirs:.3f}")
    name = f"peer on close-ups, learnt from {found.close_views} calibration views"
    yield Figure(name, f"{found.theirs_close:.3f}")
    yield Figure(
        "ours, abstentions not counted",
        f"{found.ours:.3f}",
        "both of the peer's",
        found.ours >= max(found.theirs, found.theirs_close),
    )
    yield Figure(
        "crop to chances, ours to the peer's",
        f"{1000 * found.our_s:.0f} to {1000 * found.their_s:.0f} ms of processor time, ratio {ratio:.1f}",
        "1 or less",
        ratio <= 1,
    )


def retraining_figure(table: FeatureTable, family: str) -> Figure:
    """Seconds from the table to a saved model with its card."""
    start = time.perf_counter()
    with TemporaryDirectory() as aside:
        learn(table, Path(aside), family=family)
    took = time.perf_counter() - start
    return Figure("retraining from the feature table", f"{took:.0f} s", "under 60 s", took < 60)


def _bounds(value: tuple[float, float, float]) -> str:
    return f"{value[0]:.3f} ({value[1]:.3f} to {value[2]:.3f})"
