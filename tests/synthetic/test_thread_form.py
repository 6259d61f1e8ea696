"""The thread against published table values and the profile's own formulas."""

import numpy as np
import pytest

from plugsight.synthetic.design import THREAD_NAMES, draw_design
from plugsight.synthetic.shell import shell_grid
from plugsight.synthetic.thread_form import minor_diameter, thread_radius
from plugsight.vocabulary.threads import THREADS

# ISO 724 table values as printed at engineeringhardware.com: pitch diameter d2, root diameter d3, mm.
ISO_724 = {
    "M10x1.0": (9.350, 8.773),
    "M12x1.25": (11.188, 10.466),
    "M14x1.25": (13.188, 12.466),
    "M18x1.5": (17.026, 16.160),
}


@pytest.mark.parametrize("name", ISO_724)
def test_profile_has_the_published_diameters(name: str) -> None:
    thread = THREADS[name]
    pitch_diameter, root_diameter = ISO_724[name]
    turns = np.linspace(0, 1, 40001)
    radius = thread_radius(turns, thread.diameter_mm, thread.pitch_mm)
    # ISO 68-1: at the pitch diameter ridge and groove are equally wide, so it lies a quarter turn from the crest.
    at_quarter = 2 * float(np.interp(0.25, turns, radius))
    assert at_quarter == pytest.approx(pitch_diameter, abs=0.001)
    assert 2 * radius.min() == pytest.approx(root_diameter, abs=0.001)
    assert minor_diameter(thread.diameter_mm, thread.pitch_mm) == pytest.approx(root_diameter, abs=0.001)
    assert 2 * radius.max() == thread.diameter_mm


@pytest.mark.parametrize("name", ISO_724)
def test_flanks_enclose_60_degrees_and_the_crest_is_an_eighth_of_the_pitch(name: str) -> None:
    thread = THREADS[name]
    z = np.linspace(0, thread.pitch_mm / 2, 20001)
    radius = thread_radius(z / thread.pitch_mm, thread.diameter_mm, thread.pitch_mm)
    flat = z[radius > thread.diameter_mm / 2 - 1e-9]
    # ISO 68-1: crest P/8 wide, half of it on each side of the crest's middle; flank angle 60 degrees.
    assert 2 * flat.max() == pytest.approx(thread.pitch_mm / 8, abs=1e-3)
    slope = np.interp(0.2 * thread.pitch_mm, z[1:], np.diff(radius) / np.diff(z))
    assert 2 * np.degrees(np.arctan(-1 / slope)) == pytest.approx(60, abs=0.01)


@pytest.mark.parametrize("name", THREAD_NAMES)
def test_crests_on_the_mesh_are_one_pitch_apart_and_one_turn_climbs_one_pitch(name: str) -> None:
    rng = np.random.default_rng(4)
    design = draw_design(rng, "train")
    while design.thread != name or design.thread_length_mm < 11:
        design = draw_design(rng, "train")
    points = shell_grid(design, 0.0).points
    top, low = -design.thread_end_mm - 2.0, -(design.thread_end_mm + design.thread_length_mm) + 2.0

    def crests(column: int) -> np.ndarray:
        line = points[:, column]
        inside = (line[:, 2] < top) & (line[:, 2] > low)
        radius, z = np.hypot(line[inside, 0], line[inside, 1]), line[inside, 2]
        on = radius > design.major_diameter_mm / 2 - 1e-4
        groups = np.split(z[on], np.flatnonzero(np.diff(z[on]) > 0.3 * design.pitch_mm) + 1)
        return np.array([group.mean() for group in groups[1:-1]])

    start = crests(0)
    # Rows are a twentieth of a pitch apart, so each crest is known to about that; the mean spacing much better.
    assert np.diff(start).mean() == pytest.approx(design.pitch_mm, rel=0.01)
    quarter = crests(points.shape[1] // 4)
    climbed = np.mod(quarter[0] - start[0], design.pitch_mm) / design.pitch_mm
    assert climbed == pytest.approx(0.25, abs=0.06)
