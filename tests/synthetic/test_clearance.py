"""The gap: against the geometry asked for, and against an independent distance between meshes (trimesh)."""

from dataclasses import replace

import numpy as np
import pytest
import trimesh
from numpy.typing import NDArray

from plugsight.synthetic.build import build_plug
from plugsight.synthetic.clearance import measured_gap
from plugsight.synthetic.design import PlugDesign, draw_design
from plugsight.synthetic.draw_state import draw_state
from plugsight.synthetic.electrodes import Wear, centre_grid, strap_grid
from plugsight.vocabulary.deposits import Deposit


def design_with(strap: str, seed: int = 1) -> PlugDesign:
    rng = np.random.default_rng(seed)
    design = draw_design(rng, "train")
    while design.strap != strap:
        design = draw_design(rng, "train")
    return design


@pytest.mark.parametrize("strap", ["straight", "tapered", "cut-back"])
@pytest.mark.parametrize("gap_mm", [0.3, 0.8, 2.0])
def test_new_axial_gap_is_the_gap_asked_for(strap: str, gap_mm: float) -> None:
    design = replace(design_with(strap), electrode_protrusion_mm=1.5, nose_tip_z_mm=1.5)
    wear = Wear(gap_mm, 0.03, 0.0, 0.0, 0.0)
    centre, ground = centre_grid(design, 0.03).flat, strap_grid(design, wear, 0.0).flat
    gap = measured_gap(design, centre.astype(np.float32), [ground.astype(np.float32)], bridged=False)
    assert gap.flat_mm == pytest.approx(gap_mm, abs=0.002)
    assert gap.wire_mm == pytest.approx(gap_mm, abs=0.005)


@pytest.mark.parametrize("gap_mm", [0.4, 1.0])
def test_new_radial_gap_is_the_gap_asked_for(gap_mm: float) -> None:
    design = replace(
        design_with("side"),
        electrode_diameter_mm=1.4,
        electrode_base_mm=1.4,
        electrode_protrusion_mm=2.2,
        nose_tip_z_mm=1.0,
    )
    wear = Wear(gap_mm, 0.03, 0.0, 0.0, 0.0)
    centre, ground = centre_grid(design, 0.03).flat, strap_grid(design, wear, 0.0).flat
    gap = measured_gap(design, centre.astype(np.float32), [ground.astype(np.float32)], bridged=False)
    assert gap.wire_mm == pytest.approx(gap_mm, abs=0.005)
    assert gap.flat_mm == pytest.approx(gap_mm, abs=0.005)


def distance_by_trimesh(
    points: NDArray[np.float32],
    vertices: NDArray[np.float32],
    faces: NDArray[np.int32],
    near: NDArray[np.float64],
) -> float:
    """Smallest distance from ``points`` to the triangles within 0.25 mm of ``near``."""
    corners = vertices.astype(np.float64)[faces]
    close = np.linalg.norm(corners.mean(axis=1) - near, axis=1) < 0.25
    mesh = trimesh.Trimesh(**trimesh.triangles.to_kwargs(corners[close]), process=False)
    _, distance, _ = trimesh.proximity.closest_point(mesh, points.astype(np.float64))
    return float(distance.min())


@pytest.mark.parametrize("seed", range(2))
def test_wire_gap_of_displaced_meshes_agrees_with_trimesh(seed: int) -> None:
    rng = np.random.default_rng(40 + seed)
    aim = (Deposit.ASH, Deposit.LEAD)[seed]
    state = draw_state(rng, aim)
    state = replace(state, damage=(), gap_mm=max(state.gap_mm, 0.5))
    plug = build_plug(draw_design(rng, "test"), state, seed)
    centre = plug.part("centre_electrode")
    assert centre is not None
    near = np.array(plug.truth.gap_points_mm[0])
    face = centre.vertices[np.linalg.norm(centre.vertices - near, axis=1) < 0.15]
    face = face[face[:, 2] > plug.design.nose_tip_z_mm + 0.1]
    straps = [p for p in plug.parts if p.name.startswith("ground")]
    distances = [
        distance_by_trimesh(face, p.vertices, p.faces, np.array(plug.truth.gap_points_mm[1]))
        for p in straps
        if np.linalg.norm(p.vertices - plug.truth.gap_points_mm[1], axis=1).min() < 1e-5
    ]
    assert plug.truth.gap_wire_mm == pytest.approx(min(distances), abs=0.003)


def test_lumps_make_the_flat_feeler_read_less_than_the_wire() -> None:
    design = replace(
        design_with("straight"), electrode_diameter_mm=2.5, electrode_base_mm=2.5, strap_overhang_mm=1.4
    )
    wear = Wear(0.9, 0.03, 0.0, 0.0, 0.0)
    centre, ground = centre_grid(design, 0.03).flat, strap_grid(design, wear, 0.0).flat
    # A bump on one side of the face and one under the other side of the strap: the wire passes between, a feeler not.
    top = centre[:, 2].max()
    bump = np.hypot(centre[:, 0] - 0.8, centre[:, 1]) < 0.15
    centre[bump & (centre[:, 2] > top - 0.05), 2] += 0.2
    low = np.hypot(ground[:, 0] + 0.8, ground[:, 1]) < 0.15
    ground[low & (ground[:, 2] < top + 1.0), 2] -= 0.2
    gap = measured_gap(design, centre.astype(np.float32), [ground.astype(np.float32)], bridged=False)
    assert gap.flat_mm == pytest.approx(0.5, abs=0.005)
    assert gap.wire_mm == pytest.approx(0.7, abs=0.01)
