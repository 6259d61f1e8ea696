"""A plug as it left the factory, and how designs are drawn for each family.

Families never share a kind of plug: thread, nose, centre electrode and strap form make 144 kinds, numbered by the sum
of their places in ``THREAD_NAMES``, ``NOSES``, ``ELECTRODES`` and ``STRAPS`` modulo 6. Sums 0 to 2 are for training,
3 for calibration, 4 for the test, 5 for the shift domain. So every single value occurs in every family, but no
combination occurs in two. All sizes are invented within what is common practice (no source).
"""

from dataclasses import dataclass
from itertools import product
from typing import Literal

import numpy as np

from plugsight.synthetic.thread_form import minor_diameter
from plugsight.vocabulary.engine import Seat
from plugsight.vocabulary.threads import THREADS

Family = Literal["train", "calibration", "test", "shift"]
FAMILY_OF_SUM: tuple[Family, ...] = ("train", "train", "train", "calibration", "test", "shift")

THREAD_NAMES = ("M14x1.25", "M12x1.25", "M10x1.0", "M18x1.5")
NOSES = ("projecting", "flush", "recessed")
ELECTRODES = ("wide", "medium", "fine")
STRAPS = ("straight", "tapered", "cut-back", "side")
STRAP_WEIGHTS = {"straight": 1.0, "tapered": 0.8, "cut-back": 0.7, "side": 0.4}
FINISHES = ("zinc", "nickel", "brass", "black")

BORE_AT_FACE_MM = {
    "M14x1.25": (4.2, 5.0),
    "M12x1.25": (3.45, 4.15),
    "M10x1.0": (2.75, 3.3),
    "M18x1.5": (5.4, 6.4),
}
HEXAGONS_MM = {
    "M14x1.25": (16.0, 20.8),
    "M12x1.25": (14.0, 16.0, 18.0),
    "M10x1.0": (16.0, 14.0),
    "M18x1.5": (20.8, 22.2, 25.4),
}
ELECTRODE_MM = {"wide": (1.9, 2.8), "medium": (0.9, 1.7), "fine": (0.4, 0.8)}


@dataclass(frozen=True, slots=True)
class PlugDesign:
    """Sizes of a new plug in mm; radii where the name says so."""

    family: Family
    thread: str
    """Name in ``vocabulary.threads.THREADS``."""
    nose: str
    """One of ``NOSES``."""
    electrode: str
    """One of ``ELECTRODES``."""
    strap: str
    """One of ``STRAPS``; ``side``: the strap's end faces the electrode's flank."""
    ground_electrodes: int
    """1 to 3; more than one only with ``side``."""
    crest_allowance_mm: float
    """How far the major diameter is below nominal; ISO 965-1 6g: fundamental deviation to deviation + tolerance."""
    thread_end_mm: float
    """Plain ring between face and first thread."""
    thread_length_mm: float
    thread_phase_deg: float
    bore_radius_mm: float
    bore_fillet_mm: float
    bore_depth_mm: float
    """From the face to where ceramic and shell meet."""
    seat: Seat
    hexagon_mm: float
    """Across flats."""
    hexagon_height_mm: float
    collar_mm: float
    """Height of the plain collar between seat and hexagon."""
    finish: str
    """One of ``FINISHES``: plating of the shell."""
    finish_tone: float
    """0..1: dull to bright."""
    nose_tip_z_mm: float
    nose_tip_radius_mm: float
    nose_taper: float
    """Growth of radius per mm towards the base."""
    nose_fillet_mm: float
    nose_step: bool
    """A small shoulder below the tip."""
    electrode_diameter_mm: float
    electrode_base_mm: float
    """Diameter where it leaves the ceramic (fine wires stand on a cone)."""
    electrode_protrusion_mm: float
    strap_width_mm: float
    strap_depth_mm: float
    strap_tip_width_mm: float
    strap_overhang_mm: float
    """Axial straps: how far the tip reaches beyond the axis (negative: cut back before it)."""
    strap_bend_mm: float
    """Radius of the centre line in the bend."""
    strap_groove: bool
    pad_diameter_mm: float
    """Precious-metal pad under the strap; 0: none."""
    insulator_radius_mm: float
    insulator_length_mm: float
    ribs: int
    ceramic_tone: float
    """0..1: cool to warm white."""
    terminal_nut: bool

    @property
    def pitch_mm(self) -> float:
        """Pitch of the thread."""
        return THREADS[self.thread].pitch_mm

    @property
    def major_diameter_mm(self) -> float:
        """Diameter over the crests as cut."""
        return THREADS[self.thread].diameter_mm - self.crest_allowance_mm

    @property
    def kind(self) -> tuple[str, str, str, str]:
        """What families are disjoint in."""
        return (self.thread, self.nose, self.electrode, self.strap)


def kinds_of(family: Family) -> tuple[tuple[str, str, str, str], ...]:
    """Return the kinds of plug of one family: thread, nose, electrode, strap."""
    places = product(range(len(THREAD_NAMES)), range(len(NOSES)), range(len(ELECTRODES)), range(len(STRAPS)))
    return tuple(
        (THREAD_NAMES[t], NOSES[n], ELECTRODES[e], STRAPS[s])
        for t, n, e, s in places
        if FAMILY_OF_SUM[(t + n + e + s) % len(FAMILY_OF_SUM)] == family
    )


CREST_6G_MM = {
    "M14x1.25": (0.028, 0.240),
    "M12x1.25": (0.028, 0.240),
    "M10x1.0": (0.026, 0.206),
    "M18x1.5": (0.032, 0.268),
}
"""Least and greatest distance of the major diameter below nominal, 6g (ISO 965-1; values from memory)."""


def draw_design(rng: np.random.Generator, family: Family) -> PlugDesign:
    """Draw one design of a family. Same generator state, same design; nothing here knows of deposits."""

    def u(low: float, high: float) -> float:
        return float(rng.uniform(low, high))

    kinds = kinds_of(family)
    weights = np.array([STRAP_WEIGHTS[kind[3]] for kind in kinds])
    thread, nose, electrode, strap = kinds[int(rng.choice(len(kinds), p=weights / weights.sum()))]
    size = THREADS[thread].diameter_mm / 14.0
    bore = u(*BORE_AT_FACE_MM[thread])
    diameter = u(*ELECTRODE_MM[electrode])
    if electrode == "wide":
        diameter *= min(1.0, 0.62 + 0.38 * size)
    base = diameter if electrode == "wide" else max(diameter, u(1.5, 2.2) * min(1.0, size + 0.12))
    tip_radius = min(max(base / 2 + u(0.45, 0.95), bore * u(0.42, 0.55)), bore * 0.7)
    tip_z = {"projecting": u(0.8, 3.2), "flush": u(-0.4, 0.6), "recessed": u(-2.6, -0.5)}[nose]
    room = (bore - 0.45 - tip_radius) / max(tip_z + 1.5, 1.5)
    many = strap == "side"
    wall = minor_diameter(THREADS[thread].diameter_mm, THREADS[thread].pitch_mm) / 2 - 0.2 - bore
    depth = min(u(1.05, 1.65) * min(1.0, 0.55 + 0.45 * size), wall)
    width = u(2.0, 3.0) * min(1.15, 0.5 + 0.5 * size) * (0.85 if many else 1.0)
    tip_width = width * (u(0.45, 0.8) if strap == "tapered" else 1.0)
    protrusion = u(0.7, 1.9) if electrode != "wide" else u(0.5, 1.6)
    # A side strap must clear the shell's face below it and the cone that a fine wire stands on.
    cone = 0.4 + 0.4 * (base - diameter) if base - diameter > 0.1 else 0.1
    lowest_tip = depth + 0.3 if many else 0.1
    protrusion = max(protrusion, depth + cone) if many else protrusion
    protrusion = max(protrusion, lowest_tip - tip_z)
    overhang = {
        "straight": u(0.9, 1.35) * max(diameter, 1.4) / 2,
        "tapered": u(0.8, 1.3) * max(diameter, 1.4) / 2,
        "cut-back": u(-0.15, 0.35) * diameter / 2,
        "side": 0.0,
    }[strap]
    taper_seat = bool(rng.random() < 0.3)
    finishes = rng.random(len(FINISHES)) * np.array([1.0, 0.9, 0.55, 0.55])
    return PlugDesign(
        family=family,
        thread=thread,
        nose=nose,
        electrode=electrode,
        strap=strap,
        ground_electrodes=int(rng.choice([1, 2, 3], p=[0.2, 0.45, 0.35])) if many else 1,
        crest_allowance_mm=u(*CREST_6G_MM[thread]),
        thread_end_mm=u(0.5, 2.6),
        thread_length_mm=float(rng.choice([9.5, 12.7, 17.5, 19.0, 25.0])) * u(0.97, 1.03),
        thread_phase_deg=u(0, 360),
        bore_radius_mm=bore,
        bore_fillet_mm=u(0.1, 0.45),
        bore_depth_mm=u(7.0, 13.0),
        seat=Seat.TAPER if taper_seat else Seat.GASKET,
        hexagon_mm=float(rng.choice(HEXAGONS_MM[thread])),
        hexagon_height_mm=u(5.5, 8.5),
        collar_mm=u(1.5, 4.5),
        finish=FINISHES[int(np.argmax(finishes))],
        finish_tone=u(0, 1),
        nose_tip_z_mm=tip_z,
        nose_tip_radius_mm=tip_radius,
        nose_taper=min(u(0.04, 0.3), max(room, 0.02)),
        nose_fillet_mm=u(0.12, 0.5) * min(1.0, tip_radius - base / 2),
        nose_step=bool(rng.random() < 0.25),
        electrode_diameter_mm=diameter,
        electrode_base_mm=base,
        electrode_protrusion_mm=protrusion,
        strap_width_mm=width,
        strap_depth_mm=depth,
        strap_tip_width_mm=tip_width,
        strap_overhang_mm=overhang,
        strap_bend_mm=depth * u(0.9, 1.9),
        strap_groove=bool(rng.random() < 0.12) and strap == "straight",
        pad_diameter_mm=u(0.7, 1.2)
        if electrode == "fine" and strap == "straight" and rng.random() < 0.4
        else 0,
        insulator_radius_mm=min(u(4.6, 5.4) * min(1.2, max(size, 0.8)), 6.2),
        insulator_length_mm=u(18.0, 26.0),
        ribs=int(rng.integers(0, 6)),
        ceramic_tone=u(0, 1),
        terminal_nut=bool(rng.random() < 0.5),
    )
