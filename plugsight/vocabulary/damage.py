"""Damage, wear and heat signs: findings apart from the deposit (common practice, no source)."""

from collections.abc import Mapping
from dataclasses import dataclass
from enum import StrEnum
from types import MappingProxyType


class Damage(StrEnum):
    """A separate finding on metal or ceramic; any number may stand beside a deposit."""

    WORN_ELECTRODES = "worn electrodes"
    BLISTERED_NOSE = "blistered nose"
    CRACKED_NOSE = "cracked or chipped nose"
    MELTED_ELECTRODE = "melted electrode"
    METAL_SPECKS = "metal specks"
    PEPPER_SPECKS = "pepper specks"
    BRIDGED_GAP = "bridged gap"
    BENT_STRAP = "bent strap or closed gap"
    MISSING_PIECE = "missing piece"
    BLUED_METAL = "blued metal"
    FLASHOVER_TRACK = "flashover track"


@dataclass(frozen=True, slots=True)
class DamageWords:
    """How damage looks and what it usually means."""

    look: str
    says: str


DAMAGE: Mapping[Damage, DamageWords] = MappingProxyType(
    {
        Damage.WORN_ELECTRODES: DamageWords(
            "centre electrode's edge rounded, gap grown, strap hollowed on its inner face",
            "miles; only replacement helps",
        ),
        Damage.BLISTERED_NOSE: DamageWords(
            "bubbles or blisters in the ceramic, or on the strap",
            "overheating, over-advance, low octane",
        ),
        Damage.CRACKED_NOSE: DamageWords(
            "line or missing piece of ceramic, often near the tip",
            "knock, thermal shock, gap set by prying on the nose, a fall",
        ),
        Damage.MELTED_ELECTRODE: DamageWords(
            "rounded, missing or fused metal",
            "pre-ignition, as cause or effect: look at cylinder and piston",
        ),
        Damage.METAL_SPECKS: DamageWords(
            "shiny metal specks on the nose",
            "an engine part is failing: one cylinder, its piston; all, the induction side",
        ),
        Damage.PEPPER_SPECKS: DamageWords("dark specks on a clean nose", "knock"),
        Damage.BRIDGED_GAP: DamageWords(
            "deposit joins the electrodes", "carbon or ash broke loose; dead cylinder"
        ),
        Damage.BENT_STRAP: DamageWords(
            "strap out of line, or gap near zero", "dropped, or struck by the piston: ask which"
        ),
        Damage.MISSING_PIECE: DamageWords(
            "a piece of electrode or ceramic is gone", "the piece may lie in the cylinder"
        ),
        Damage.BLUED_METAL: DamageWords(
            "electrode or strap shows blue or straw heat colours", "the tip ran too hot"
        ),
        Damage.FLASHOVER_TRACK: DamageWords(
            "line or stain along the outer insulator",
            "dirty or cracked boot, wide gap; faint even rings at the shell joint are harmless",
        ),
    }
)
