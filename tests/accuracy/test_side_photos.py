"""Twelve frozen photos of unseen designs through photo, view, segments and features, held against their exact truth.

The limits are the goals that the whole benchmark (``python -m plugsight.features.benchmark``) meets; what it misses stands in
DEVELOPERS.md and is not asserted here.
"""

from pathlib import Path

import numpy as np
import pytest

from plugsight.features.benchmark.case import Case, run_case
from plugsight.features.benchmark.truth import read_truth
from plugsight.segments.record import Part

FOLDER = Path(__file__).parents[2] / "data_synthetic" / "benchmark_side"
EVERY = 40


@pytest.fixture(scope="module")
def cases() -> list[Case]:
    chosen = list(read_truth(FOLDER))[::EVERY][:12]
    return [case for case in (run_case(FOLDER, truth) for truth in chosen) if not case.stage]


def scores(cases: list[Case], part: Part) -> list[float]:
    return [score.iou for case in cases for found, score in case.parts if found is part and score.px >= 30]


def test_most_photos_are_answered(cases: list[Case]) -> None:
    assert len(cases) >= 10


@pytest.mark.parametrize(("part", "goal"), [(Part.SHELL, 0.95), (Part.GROUND_ELECTRODE, 0.88)])
def test_parts_are_found(cases: list[Case], part: Part, goal: float) -> None:
    assert np.median(scores(cases, part)) >= goal


def test_outlines_lie_within_a_twentieth_of_a_millimetre(cases: list[Case]) -> None:
    errors = [score.boundary_mm for case in cases for _, score in case.parts]
    assert np.nanmedian(errors) <= 0.05


def test_the_tilt_is_known_to_a_degree(cases: list[Case]) -> None:
    assert np.median([abs(case.tilt_error_deg) for case in cases]) <= 1.0


def test_stated_intervals_hold_the_gap(cases: list[Case]) -> None:
    measured = [case for case in cases if case.answered and case.truth.gap_axial]
    assert len(measured) >= 4
    assert sum(abs(case.gap_error_mm) > case.U_gap_mm for case in measured) <= 1
