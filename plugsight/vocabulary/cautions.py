"""Cautions, and where each applies. Pure data; the verdict room chooses.

An empty condition always applies; several conditions must all hold. ``also_unknown``: shown too where the fact that
the condition asks for is not known, because the harm is great. Local rules and the maker's manual come first.
"""

from dataclasses import dataclass
from enum import StrEnum

from plugsight.vocabulary.damage import Damage
from plugsight.vocabulary.deposits import Deposit
from plugsight.vocabulary.engine import Cooling, Fuel, FuelSystem, Ignition, Stroke, Use

_CP = "common practice, no source"


class CautionFor(StrEnum):
    """Whether a caution stands for the whole engine, for one plug's findings, or for cleaning a plug."""

    ENGINE = "engine"
    PLUG = "plug"
    CLEANING = "cleaning"


@dataclass(frozen=True, slots=True)
class Caution:
    """One caution: ``text`` as shown, ``source`` or mark, and the facts it applies to."""

    id: str
    text: str
    source: str = _CP
    shown_for: CautionFor = CautionFor.ENGINE
    stroke: tuple[Stroke, ...] = ()
    cooling: tuple[Cooling, ...] = ()
    ignition: tuple[Ignition, ...] = ()
    fuel_system: tuple[FuelSystem, ...] = ()
    fuel: tuple[Fuel, ...] = ()
    use: tuple[Use, ...] = ()
    head_aluminium: bool | None = None
    complaints: tuple[str, ...] = ()
    """Any of these keys of ``vocabulary.circumstances.COMPLAINTS``, or a misfire code."""
    deposits: tuple[Deposit, ...] = ()
    damage: tuple[Damage, ...] = ()
    """Any of these deposits or damage on the plug."""
    liquid: bool = False
    """Liquid stands in a cylinder, or may."""
    also_unknown: bool = False


CAUTIONS: tuple[Caution, ...] = (
    Caution(
        "rules first",
        "Local rules and the engine maker's manual come first; safety, fuel, emissions and aviation work may need a "
        "licensed person.",
    ),
    Caution(
        "engine cold",
        "Engine cold before plugs come out: hot exhaust burns, and threads in aluminium heads tear when hot.",
    ),
    Caution(
        "ignition off",
        "Ignition off, key out, coils and injectors disconnected before cranking: ignition voltage can injure, more so "
        "with a heart device.",
    ),
    Caution(
        "starts by itself",
        "Hybrids and stop-start cars can crank by themselves: power off, key away.",
        fuel_system=(FuelSystem.PORT_INJECTION, FuelSystem.DIRECT_INJECTION),
        use=(Use.ROAD,),
        also_unknown=True,
    ),
    Caution(
        "rail pressure",
        "Direct injection: the rail stays at high pressure; never crank with a line open.",
        fuel_system=(FuelSystem.DIRECT_INJECTION,),
        also_unknown=True,
    ),
    Caution(
        "magneto live",
        "Magneto engines are live with no battery: ground the stop lead, keep clear of propeller, blade and flywheel.",
        ignition=(Ignition.MAGNETO,),
        also_unknown=True,
    ),
    Caution(
        "boat vapour",
        "Boats: vapour collects in the bilge: run the blower, sniff, battery switch off.",
        use=(Use.MARINE,),
    ),
    Caution(
        "gas tank",
        "LPG and CNG: shut the tank valve and run the lines empty; LPG lies in pits.",
        fuel=(Fuel.LPG, Fuel.CNG),
    ),
    Caution(
        "spark test",
        "Spark test only with a grounded tester, away from open plug holes and fuel; an open lead can ruin the coil.",
    ),
    Caution(
        "liquid",
        "Liquid in a cylinder: never crank against it, and stand clear of the holes.",
        deposits=(Deposit.MINERAL, Deposit.WET_FUEL, Deposit.WET_OIL),
        liquid=True,
    ),
    Caution(
        "radiator cap",
        "No cap off a hot radiator.",
        cooling=(Cooling.LIQUID,),
    ),
    Caution(
        "catalyst",
        "After a long misfire the catalyst may be red hot.",
        use=(Use.ROAD,),
        complaints=("misfire", "misfire under load"),
    ),
    Caution(
        "wells",
        "Loosen one turn, then blow dirt from the wells before removal: eye protection with side shields, air below "
        "30 psi (207 kPa).",
        "TM 10-3930-633-12, para 4-31a; 29 CFR 1910.242(b) and 1910.133(a)",
    ),
    Caution(
        "vapour",
        "Fuel vapour: no flame or spark, ventilate.",
        "from memory",
    ),
    Caution(
        "brake cleaner",
        "Brake cleaner: read its sheet; chlorinated kinds near heat, arc or ultraviolet light form phosgene.",
        "OSHA, welding hazards (read in quotations)",
        CautionFor.CLEANING,
    ),
    Caution(
        "wire brush",
        "No metal wire brush on the nose: it leaves conducting streaks.",
        shown_for=CautionFor.CLEANING,
    ),
    Caution(
        "cleaning air",
        "Compressed air for cleaning below 30 psi (207 kPa), with chip guarding and eye protection.",
        "29 CFR 1910.242(b) and 1910.133(a)",
        CautionFor.CLEANING,
    ),
    Caution(
        "don't run",
        "Don't run an engine that shows metal specks, a closed gap or broken parts.",
        shown_for=CautionFor.PLUG,
        damage=(
            Damage.METAL_SPECKS,
            Damage.BENT_STRAP,
            Damage.CRACKED_NOSE,
            Damage.MISSING_PIECE,
            Damage.MELTED_ELECTRODE,
        ),
    ),
    Caution(
        "can seize",
        "Two-stroke, pale and hot: it can seize. Don't run it until the air leak or lean jet is found.",
        shown_for=CautionFor.PLUG,
        stroke=(Stroke.TWO,),
        deposits=(Deposit.CHALK_WHITE,),
        damage=(Damage.BLUED_METAL,),
    ),
    Caution(
        "aircraft",
        "Aircraft: findings only; the approved data and a licensed person decide. A dropped plug is scrap.",
        use=(Use.AIRCRAFT,),
    ),
    Caution(
        "seized thread",
        "Plug seized in aluminium: stop, let it cool, penetrant, work it back and forth.",
        head_aluminium=True,
        also_unknown=True,
    ),
    Caution(
        "cover wells",
        "Cover the open wells: what falls in has to come out again.",
    ),
    Caution(
        "fuel in oil",
        "Fuel in the oil: change it before running.",
        deposits=(Deposit.WET_FUEL,),
    ),
    Caution("advice", "plugsight advises, a person decides.", "plugsight"),
)
