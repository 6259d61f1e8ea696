"""What is exactly true of a built plug, in plain numbers."""

from dataclasses import dataclass

from plugsight.vocabulary.damage import Damage
from plugsight.vocabulary.deposits import Deposit


@dataclass(frozen=True, slots=True)
class PlugTruth:
    """Measured on the displaced meshes; lengths in mm, angles in degrees.

    ``gap_wire_mm`` is the smallest clearance between centre electrode face and strap (what a wire gauge feels);
    ``gap_flat_mm`` is highest point to lowest point (what a flat feeler feels): usually less, where
    lumps or a hollow's rim hold the blade. Both are 0 where the
    gap is bridged or closed. Shares are of the nose's outer area (``covers.nose_zone_mm``); what a view
    shows is counted from its masks.
    """

    gap_wire_mm: float
    gap_flat_mm: float
    gap_axial: bool
    """False: the strap faces the electrode's flank, the gap is radial."""
    gap_points_mm: tuple[tuple[float, float, float], tuple[float, float, float]]
    """Nearest points on centre electrode and strap."""
    electrode_diameter_mm: float
    edge_radius_mm: float
    electrode_tip_z_mm: float
    nose_tip_z_mm: float
    strap_width_mm: float
    strap_depth_mm: float
    strap_azimuths_deg: tuple[float, ...]
    thread: str
    pitch_mm: float
    major_diameter_mm: float
    """Over the crests as cut, a little below nominal (ISO 965-1, 6g)."""
    nose_shares: tuple[tuple[Deposit, float], ...]
    """Deposit and its share 0..1 of the nose's outer area, largest first; uncovered ceramic left out."""
    damage: tuple[tuple[Damage, float], ...]
    """Damage present and its amount 0..1."""
    lowest_z_mm: float
    highest_z_mm: float
    largest_radius_mm: float
