"""What running has done to a plug: layers of deposit, wear, damage and stains, and how they are drawn."""

from dataclasses import dataclass

from plugsight.vocabulary.damage import Damage
from plugsight.vocabulary.deposits import Deposit


@dataclass(frozen=True, slots=True)
class DepositLayer:
    """One deposit lying over what is below it. All amounts 0..1 unless a unit is named."""

    deposit: Deposit
    cover: float
    """Share of the nose's outer area that it covers (before later layers hide it)."""
    thickness: float
    """Continuous 0..1 from a breath to a crust; ``label`` cuts it into classes."""
    patch_mm: float
    """Size of patches and gaps."""
    ring: float
    """How strongly it follows a height on the nose rather than chance."""
    ring_at: float
    """Height it prefers: 0 tip, 1 mouth of the bore or deeper."""
    side: float
    """How strongly it prefers one side."""
    side_azimuth_deg: float
    sharpness: float
    """0 fades out, 1 sharp colour border."""
    light: float
    """Tone within the deposit's own range: 0 darkest, 1 lightest."""
    hue: float
    """Place within the deposit's own range of hues."""
    gloss: float
    """Place within the deposit's own range of roughness and film: 1 glossiest."""
    mottle: float
    """Strength of tone differences within the layer."""
    grain_mm: float
    """Size of grains, beads or crust."""
    on_electrode: float
    """Share of the centre electrode covered."""
    on_strap: float
    on_shell: float
    """Share of the shell's face and bore covered."""


@dataclass(frozen=True, slots=True)
class PlugState:
    """A used plug: layers bottom to top, wear, damage amounts and stains that tell nothing."""

    aim: Deposit
    """What the draw aimed at. Not the label: that is counted from what is seen (``label``)."""
    palette: str
    """``usual`` or ``shift``: which colour ranges the deposits draw from."""
    layers: tuple[DepositLayer, ...]
    gap_mm: float
    """Clearance aimed at before deposits and lumps; 0.3 to 2.0, less where closed."""
    edge_rounding: float
    """0 square edge .. 1 dome."""
    edge_lean_deg: float
    """Centre electrode worn to one side."""
    hollow_mm: float
    """Depth of the hollow in the strap's inner face."""
    strap_lean_deg: float
    """Strap out of parallel in profile: positive opens towards the tip."""
    strap_swing_deg: float
    """Strap bent sideways."""
    erosion: float
    """Roughness of sparked metal."""
    damage: tuple[tuple[Damage, float], ...]
    """Damage present and its amount 0..1; absent: not there."""
    rust: float
    face_stain: float
    """Ordinary dark stain of the shell's face, drawn apart from the deposit."""
    face_stain_tone: float
    thread_stain: float
    scratches: float
    grime: float
    """Dirt on hexagon and outer insulator."""

    def amount(self, damage: Damage) -> float:
        """Return how strong that damage is; 0 where absent."""
        return dict(self.damage).get(damage, 0.0)
