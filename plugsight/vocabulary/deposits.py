"""The deposits a firing end can carry, in the words of the trade (common practice, no source)."""

from collections.abc import Mapping
from dataclasses import dataclass
from enum import StrEnum
from types import MappingProxyType


class Deposit(StrEnum):
    """What covers most of the visible insulator nose. Several may lie over one another; one dominates."""

    BARE = "bare"
    LIGHT = "light"
    DRY_CARBON = "dry carbon"
    WET_OIL = "wet oil"
    WET_FUEL = "wet fuel"
    ASH = "ash"
    GLAZE = "glaze"
    CHALK_WHITE = "chalk white"
    LEAD = "lead"
    MINERAL = "mineral"
    GRIT = "grit"
    RED_TINT = "red tint"


@dataclass(frozen=True, slots=True)
class DepositWords:
    """How a deposit looks and what it says, for a person at a bench."""

    look: str
    says: str


DEPOSITS: Mapping[Deposit, DepositWords] = MappingProxyType(
    {
        Deposit.BARE: DepositWords(
            "clean ceramic, square sharp electrodes, metal not blued",
            "new, few hours, or gas or alcohol fuel; says nothing about mixture",
        ),
        Deposit.LIGHT: DepositWords(
            "thin tan to light grey, dry, even (the normal look)",
            "heat range and mixture are about right",
        ),
        Deposit.DRY_CARBON: DepositWords(
            "matte black, sooty, wipes off; on nose, strap and shell face",
            "mixture burns incompletely, or the nose never gets hot enough to clean itself",
        ),
        Deposit.WET_OIL: DepositWords(
            "black, wet, glossy, gummy; over the whole tip",
            "oil reaches the chamber faster than it burns",
        ),
        Deposit.WET_FUEL: DepositWords(
            "clean or brownish but wet, smells of fuel, dries in minutes",
            "fuel came and did not burn",
        ),
        Deposit.ASH: DepositWords(
            "white, grey or tan crust, crystalline, uneven, may be thick",
            "additives left after oil or fuel burned off slowly",
        ),
        Deposit.GLAZE: DepositWords(
            "smooth, shiny, glassy yellow to brown film on the nose",
            "old deposits melted under sudden load; conducts when hot",
        ),
        Deposit.CHALK_WHITE: DepositWords(
            "nose bleached, together with heat signs on metal or ceramic",
            "the tip runs too hot",
        ),
        Deposit.LEAD: DepositWords(
            "grey to tan beads or clinker, or yellow-brown glaze",
            "leaded fuel with low tip temperature and rich mixture",
        ),
        Deposit.MINERAL: DepositWords(
            "white, tan or greenish crust, or one nose washed far cleaner than its neighbours, sweet smell",
            "coolant or water came in: stop, look for liquid before cranking",
        ),
        Deposit.GRIT: DepositWords(
            "hard sandy or glassy specks, eroded nose",
            "unfiltered air",
        ),
        Deposit.RED_TINT: DepositWords(
            "even red to orange",
            "a fuel additive; harmless by itself",
        ),
    }
)
