"""The label rule, clause by clause."""

from dataclasses import replace

import numpy as np
import pytest

from plugsight.synthetic.draw_state import draw_state
from plugsight.synthetic.label import Severity, ViewShares, label_of
from plugsight.synthetic.state import DepositLayer
from plugsight.vocabulary.deposits import Deposit


def view(*shares: tuple[Deposit, float], pixels: int = 1000) -> ViewShares:
    return ViewShares(pixels, shares)


def layer(deposit: Deposit, thickness: float) -> DepositLayer:
    drawn = draw_state(np.random.default_rng(1), Deposit.ASH).layers[-1]
    return replace(drawn, deposit=deposit, thickness=thickness)


def test_the_largest_share_in_any_view_wins() -> None:
    views = [
        view((Deposit.ASH, 0.3), (Deposit.DRY_CARBON, 0.2)),
        view((Deposit.ASH, 0.1), (Deposit.DRY_CARBON, 0.5)),
    ]
    label = label_of(views, ())
    assert label is not None
    assert label.dominant is Deposit.DRY_CARBON
    assert label.share == 0.5
    assert not label.mixed


@pytest.mark.parametrize(
    ("light", "soot", "dominant"),
    [(0.6, 0.09, Deposit.LIGHT), (0.1, 0.09, Deposit.BARE), (0.6, 0.10, Deposit.DRY_CARBON)],
)
def test_below_a_tenth_the_plug_is_bare_or_light(light: float, soot: float, dominant: Deposit) -> None:
    label = label_of([view((Deposit.LIGHT, light), (Deposit.DRY_CARBON, soot))], ())
    assert label is not None
    assert label.dominant is dominant
    assert (label.severity is Severity.NONE) == (dominant is not Deposit.DRY_CARBON)


def test_first_and_second_within_ten_points_are_mixed() -> None:
    near = label_of([view((Deposit.ASH, 0.40), (Deposit.GLAZE, 0.31))], ())
    far = label_of([view((Deposit.ASH, 0.40), (Deposit.GLAZE, 0.29))], ())
    trace = label_of([view((Deposit.ASH, 0.15), (Deposit.GLAZE, 0.08))], ())
    assert near is not None
    assert near.right == {Deposit.ASH, Deposit.GLAZE}
    assert far is not None
    assert far.right == {Deposit.ASH}
    assert trace is not None
    assert not trace.mixed


def test_bare_and_light_mix_with_each_other_only() -> None:
    label = label_of([view((Deposit.LIGHT, 0.48))], ())
    assert label is not None
    assert label.right == {Deposit.BARE, Deposit.LIGHT}


@pytest.mark.parametrize(
    ("share", "thickness", "severity"),
    [
        (0.5, 0.2, Severity.SLIGHT),
        (0.5, 0.5, Severity.MODERATE),
        (0.34, 0.9, Severity.SLIGHT),
        (0.35, 0.9, Severity.MODERATE),
        (0.7, 0.9, Severity.HEAVY),
        (0.8, 0.5, Severity.MODERATE),
    ],
)
def test_severity_is_share_times_thickness_class(share: float, thickness: float, severity: Severity) -> None:
    label = label_of([view((Deposit.ASH, share))], [layer(Deposit.ASH, thickness)])
    assert label is not None
    assert label.severity is severity


def test_a_nose_never_seen_has_no_label() -> None:
    assert label_of([view(pixels=0)], ()) is None
    assert label_of([], ()) is None
