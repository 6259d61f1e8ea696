"""Examples of the part networks: what they say must follow from the truth that they were cut with."""

from dataclasses import replace

import numpy as np
import pytest

from plugsight.segments.record import Part
from plugsight.training.parts_example import (
    CANONICAL_NUMBERS,
    IGNORED,
    TIP_NUMBERS,
    RenderTruth,
    canonical_window,
    make_example,
)

PX_PER_MM = 20.0
GAP_MM, DIAMETER_MM = 1.0, 14.0


def a_truth(kind: str = "side", tilt: float = 2.0, axial: bool = True) -> RenderTruth:
    """A plug upright in the middle of a 500 px photo, seen from far away: the shell's face at row 250, z upwards."""
    far = 1e6
    matrix = np.array(
        [[PX_PER_MM, 0, 0, 250.0], [0, 0, -PX_PER_MM, 250.0], [0, 1 / far, 0, 1.0]]
    )  # columns x, depth y, z  # fmt: skip
    return RenderTruth(
        kind=kind, matrix=matrix, gap_point_mm=(0.0, 0.0, 2.5), thread_diameter_mm=DIAMETER_MM, pitch_mm=1.25,
        tilt_deg=tilt, off_profile_deg=4.0, gap_wire_mm=GAP_MM, gap_axial=axial, edge_radius_mm=0.2,
    )  # fmt: skip


def a_mask() -> np.ndarray:
    mask = np.zeros((500, 500), np.uint8)
    mask[250:, 110:390] = Part.SHELL
    mask[210:250, 225:275] = Part.CENTRE_ELECTRODE  # 2.5 mm wide, top 2 mm above the face
    mask[150:190, 210:380] = Part.GROUND_ELECTRODE  # under side 3 mm above it
    mask[190:250, 350:380] = Part.GROUND_ELECTRODE
    mask[0:60, 0:60] = 6  # card
    return mask


def an_example(truth: RenderTruth, seed: int = 1):
    picture = np.full((500, 500, 3), 118, np.uint8)
    return make_example(picture, a_mask(), truth, (1.0, 1.0, 1.0), np.random.default_rng(seed))


def test_gap_and_edge_are_what_was_drawn_whatever_the_window() -> None:
    for seed in range(4):
        example = an_example(a_truth(tilt=0.0), seed)
        found = dict(zip(TIP_NUMBERS, example.tip_numbers.tolist(), strict=True))
        electrode = np.nonzero((example.tip_mask == Part.CENTRE_ELECTRODE).any(axis=0))[0]
        px_per_mm = (electrode[-1] - electrode[0] + 1) / 2.5
        assert found["gap_px"] == pytest.approx(GAP_MM * px_per_mm, rel=0.03)
        assert found["edge_px"] == pytest.approx(0.2 * px_per_mm, rel=0.03)


def test_the_pitch_is_that_of_the_canonical_crop() -> None:
    truth = a_truth()
    window = canonical_window(truth, np.random.default_rng(3))
    step = float(np.hypot(window[0, 0], window[1, 0]))
    found = dict(zip(CANONICAL_NUMBERS, an_example(truth, 3).canonical_numbers.tolist(), strict=True))
    assert found["pitch_px"] == pytest.approx(1.25 * PX_PER_MM / step, rel=1e-3)
    assert found["tilt_deg"] == 2.0


def test_nearness_is_the_threads_radius_over_the_lens_distance() -> None:
    distance = 150.0
    matrix = np.array([[1000.0, 0, 0, 250 * distance], [0, 0, -1000.0, 250 * distance], [0, 1, 0, distance]])
    matrix[:2] += np.outer(
        [250.0, 250.0], [0, 1, 0, 0]
    )  # photo's middle at the lens's axis, which runs along y
    near = replace(a_truth(), matrix=matrix, gap_point_mm=(0.0, 0.0, 0.0))
    found = dict(zip(CANONICAL_NUMBERS, an_example(near).canonical_numbers.tolist(), strict=True))
    assert found["nearness"] == pytest.approx(DIAMETER_MM / 2 / distance, rel=1e-6)


def test_what_a_view_does_not_show_is_not_known() -> None:
    end = an_example(a_truth("end"))
    assert np.isnan(end.canonical_numbers).all()
    assert np.isnan(end.tip_numbers).all()
    steep = dict(
        zip(TIP_NUMBERS, an_example(a_truth("oblique", tilt=25.0)).tip_numbers.tolist(), strict=True)
    )
    assert steep["tilt_deg"] == 25.0
    assert np.isnan(steep["gap_px"])
    radial = dict(zip(TIP_NUMBERS, an_example(a_truth(axial=False)).tip_numbers.tolist(), strict=True))
    assert np.isnan(radial["gap_px"])


def test_the_finders_picture_keeps_the_card_and_ignores_what_lies_beyond_the_photo() -> None:
    truth = a_truth()
    wide = make_example(
        np.full((300, 500, 3), 118, np.uint8),
        a_mask()[:300],
        truth,
        (1.0, 1.0, 1.0),
        np.random.default_rng(1),
    )
    assert 6 in wide.finder_mask
    assert (wide.finder_mask[:40] == IGNORED).all()
    assert not np.isin(wide.canonical_mask, (5, 6)).any()
