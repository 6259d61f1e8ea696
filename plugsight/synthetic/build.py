"""The room's verb for geometry: design + state + seed -> meshes with materials, and their truth."""

from collections.abc import Callable

import numpy as np

from plugsight.synthetic.bridge import bridge_grid, dress_bridge
from plugsight.synthetic.built_plug import (
    CENTRE,
    DEPOSITS_BY_INDEX,
    GROUND,
    NOSE,
    OUTER,
    PART_NAMES,
    SHELL,
    BuiltPlug,
    PartMesh,
)
from plugsight.synthetic.ceramic import nose_grid, outer_grid, terminal_grid
from plugsight.synthetic.clearance import measured_gap
from plugsight.synthetic.covers import nose_zone_mm
from plugsight.synthetic.design import PlugDesign
from plugsight.synthetic.dress import (
    dress_centre,
    dress_nose,
    dress_outer,
    dress_seat,
    dress_shell,
    dress_strap,
)
from plugsight.synthetic.electrodes import Wear, centre_grid, damage_of, strap_grid, tip_z, wear_of
from plugsight.synthetic.grids import Grid
from plugsight.synthetic.noise import Noise
from plugsight.synthetic.shell import gasket_grid, hexagon_grid, shell_grid
from plugsight.synthetic.skin import Skin
from plugsight.synthetic.state import PlugState
from plugsight.synthetic.truth import PlugTruth
from plugsight.vocabulary.damage import Damage
from plugsight.vocabulary.deposits import Deposit
from plugsight.vocabulary.engine import Seat

Dresser = Callable[[Skin, PlugDesign, PlugState], None]
Job = tuple[str, int, Grid, Dresser]


def build_plug(design: PlugDesign, state: PlugState, seed: int) -> BuiltPlug:
    """Build one plug. The same arguments give identical arrays on one machine; one to two seconds on one core."""
    wear = wear_of(design, state)
    azimuths = tuple(360.0 * k / design.ground_electrodes for k in range(design.ground_electrodes))
    jobs: list[Job] = [
        ("shell", SHELL, shell_grid(design, 0.02 + 0.06 * state.scratches), dress_shell),
        ("hexagon", SHELL, hexagon_grid(design), dress_seat),
        ("outer_insulator", OUTER, outer_grid(design), dress_outer),
        ("terminal", OUTER, terminal_grid(design), dress_seat),
        ("nose", NOSE, nose_grid(design), dress_nose),
        ("centre_electrode", CENTRE, centre_grid(design, wear.edge_radius_mm), dress_centre),
    ]
    if design.seat is Seat.GASKET:
        jobs.insert(2, ("gasket", SHELL, gasket_grid(design), dress_seat))
    jobs += [
        (f"ground_electrode_{k + 1}", GROUND, strap_grid(design, wear, a), dress_strap)
        for k, a in enumerate(azimuths)
    ]
    if state.amount(Damage.BRIDGED_GAP) > 0:
        jobs.append(("bridge", CENTRE, bridge_grid(design, wear, seed), dress_bridge))
    parts = []
    for name, label, grid, dress in jobs:
        # The place in PART_NAMES, not in this plug's list: a part looks the same whatever else the plug has.
        skin = Skin(name, label, grid, Noise(seed * 16 + PART_NAMES.index(name)))
        dress(skin, design, state)
        parts.append(skin.mesh())
    return BuiltPlug(design, state, tuple(parts), _truth(design, state, wear, azimuths, tuple(parts)))


def _truth(
    design: PlugDesign,
    state: PlugState,
    wear: Wear,
    azimuths: tuple[float, ...],
    parts: tuple[PartMesh, ...],
) -> PlugTruth:
    named = {p.name: p.vertices for p in parts}
    straps = [v for name, v in named.items() if name.startswith("ground")]
    gap = measured_gap(design, named["centre_electrode"], straps, bridged="bridge" in named)
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
        nose_shares=_shares(design, next(p for p in parts if p.name == "nose")),
        damage=damage_of(design, state, wear),
        lowest_z_mm=float(every[:, 2].min()),
        highest_z_mm=float(every[:, 2].max()),
        largest_radius_mm=float(np.hypot(every[:, 0], every[:, 1]).max()),
    )


def _shares(design: PlugDesign, nose: PartMesh) -> tuple[tuple[Deposit, float], ...]:
    """Count the nose's outer area by deposit."""
    corners = nose.vertices[nose.faces].astype(np.float64)
    areas = np.linalg.norm(np.cross(corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0]), axis=1) / 2
    areas = areas * (corners[:, :, 2].mean(axis=1) > design.nose_tip_z_mm - nose_zone_mm(design))
    top = nose.deposit[nose.faces[:, 0]]
    shares = [(d, float(areas[top == k].sum() / areas.sum())) for k, d in enumerate(DEPOSITS_BY_INDEX)]
    return tuple(sorted((s for s in shares if s[1] > 0), key=lambda s: -s[1]))
