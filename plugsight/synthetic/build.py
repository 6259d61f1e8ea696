"""The room's verb for geometry: design + state + seed -> meshes with materials, and their truth."""

import numpy as np
from numpy.typing import NDArray

from plugsight.synthetic.built_plug import CENTRE, GROUND, NO_DEPOSIT, NOSE, OUTER, SHELL, BuiltPlug, PartMesh
from plugsight.synthetic.ceramic import nose_grid, outer_grid, terminal_grid
from plugsight.synthetic.clearance import measured_gap
from plugsight.synthetic.design import PlugDesign
from plugsight.synthetic.electrodes import Wear, centre_grid, edge_radius, strap_grid, tip_z
from plugsight.synthetic.grids import Grid
from plugsight.synthetic.shell import gasket_grid, hexagon_grid, shell_grid
from plugsight.synthetic.state import PlugState
from plugsight.synthetic.truth import PlugTruth
from plugsight.vocabulary.engine import Seat


def build_plug(design: PlugDesign, state: PlugState, seed: int) -> BuiltPlug:
    """Build one plug. The same arguments give identical arrays on one machine; about a second on one core."""
    wear = Wear(
        state.gap_mm,
        edge_radius(design, state.edge_rounding),
        state.strap_lean_deg,
        state.strap_swing_deg,
        state.hollow_mm,
    )
    azimuths = tuple(360.0 * k / design.ground_electrodes for k in range(design.ground_electrodes))
    metal = (0.55, 0.55, 0.56)
    parts = [
        _plain("shell", SHELL, shell_grid(design, 0.04), metal, 1.0, 0.35),
        _plain("hexagon", SHELL, hexagon_grid(design), metal, 1.0, 0.35),
    ]
    if design.seat is Seat.GASKET:
        parts.append(_plain("gasket", SHELL, gasket_grid(design), metal, 1.0, 0.3))
    white = (0.8, 0.79, 0.76)
    parts += [
        _plain("outer_insulator", OUTER, outer_grid(design), white, 0.0, 0.2),
        _plain("terminal", OUTER, terminal_grid(design), metal, 1.0, 0.3),
        _plain("nose", NOSE, nose_grid(design), white, 0.0, 0.4),
        _plain("centre_electrode", CENTRE, centre_grid(design, wear.edge_radius_mm), metal, 1.0, 0.4),
    ]
    parts += [
        _plain(f"ground_electrode_{k + 1}", GROUND, strap_grid(design, wear, a), metal, 1.0, 0.4)
        for k, a in enumerate(azimuths)
    ]
    return BuiltPlug(design, state, tuple(parts), _truth(design, state, wear, azimuths, tuple(parts)))


def _plain(
    name: str, label: int, grid: Grid, colour: tuple[float, float, float], metallic: float, roughness: float
) -> PartMesh:
    n = len(grid.flat)

    def flat(value: float) -> NDArray[np.float32]:
        return np.full(n, value, dtype=np.float32)

    return PartMesh(
        name=name,
        label=label,
        vertices=grid.flat.astype(np.float32),
        faces=grid.faces(),
        colour=np.tile(np.array(colour, dtype=np.float32), (n, 1)),
        roughness=flat(roughness),
        metallic=flat(metallic),
        clearcoat=flat(0.0),
        specular=0.5,
        deposit=np.full(n, NO_DEPOSIT, dtype=np.uint8),
        damage=np.zeros(n, dtype=np.uint8),
    )


def _truth(
    design: PlugDesign,
    state: PlugState,
    wear: Wear,
    azimuths: tuple[float, ...],
    parts: tuple[PartMesh, ...],
) -> PlugTruth:
    named = {p.name: p.vertices for p in parts}
    straps = [v for name, v in named.items() if name.startswith("ground")]
    gap = measured_gap(design, named["centre_electrode"], straps)
    every = np.concatenate([p.vertices for p in parts])
    return PlugTruth(
        gap_wire_mm=gap.wire_mm,
        gap_flat_mm=gap.flat_mm,
        gap_axial=design.strap != "side",
        gap_points_mm=gap.points_mm,
        electrode_diameter_mm=design.electrode_diameter_mm,
        edge_radius_mm=wear.edge_radius_mm,
        electrode_tip_z_mm=tip_z(design),
        nose_tip_z_mm=design.nose_tip_z_mm,
        strap_width_mm=design.strap_width_mm,
        strap_depth_mm=design.strap_depth_mm,
        strap_azimuths_deg=azimuths,
        thread=design.thread,
        pitch_mm=design.pitch_mm,
        major_diameter_mm=design.major_diameter_mm,
        nose_shares=(),
        damage=state.damage,
        lowest_z_mm=float(every[:, 2].min()),
        highest_z_mm=float(every[:, 2].max()),
        largest_radius_mm=float(np.hypot(every[:, 0], every[:, 1]).max()),
    )
