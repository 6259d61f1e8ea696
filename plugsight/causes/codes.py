"""Generic trouble codes that matter here (SAE J2012 / ISO 15031-6): what a code says, and no more.

A code says that a monitor failed, not which part. P0325 is a sensor-circuit code, no evidence of knock; P0351 names a
coil by letter, and coil A need not be cylinder 1. No code means "oil burning".
"""

import re
from collections.abc import Mapping
from dataclasses import dataclass
from enum import StrEnum
from types import MappingProxyType

from plugsight.vocabulary.errors import InputError


class CodeKind(StrEnum):
    """What a generic code is about."""

    LEAN = "too lean"
    RICH = "too rich"
    MISFIRE_RANDOM = "misfire, random or several cylinders"
    MISFIRE_CYLINDER = "misfire on one cylinder"
    KNOCK_CIRCUIT = "knock sensor circuit"
    COIL_CIRCUIT = "ignition coil circuit"
    CATALYST = "catalyst efficiency below threshold"
    NOTED = "noted, not interpreted"


@dataclass(frozen=True, slots=True)
class Code:
    """One code. ``bank`` 1 or 2 and ``cylinder`` from 1 where the code names them; ``coil`` a letter, no cylinder."""

    text: str
    kind: CodeKind
    bank: int | None = None
    cylinder: int | None = None
    coil: str = ""


_FORM = re.compile(r"[PBCU][0-3][0-9A-F]{3}")
_BANKED: Mapping[str, tuple[CodeKind, int]] = MappingProxyType(
    {
        "P0171": (CodeKind.LEAN, 1),
        "P0174": (CodeKind.LEAN, 2),
        "P0172": (CodeKind.RICH, 1),
        "P0175": (CodeKind.RICH, 2),
        "P0325": (CodeKind.KNOCK_CIRCUIT, 1),
        "P0330": (CodeKind.KNOCK_CIRCUIT, 2),
        "P0420": (CodeKind.CATALYST, 1),
        "P0430": (CodeKind.CATALYST, 2),
    }
)
_LAST_CYLINDER = 12
_COILS = "ABCDEFGHIJKL"


def parse_code(text: str, where: str = "trouble code") -> Code:
    """Read one trouble code, in either case; a code without a meaning here is kept as noted.

    P0301 to P0312 name cylinders 1 to 12; P0313 and above name none.

    Raises
    ------
    InputError
        Where the text does not have the form of a code.

    """
    code = text.strip().upper()
    if not _FORM.fullmatch(code):
        raise InputError(
            where,
            "a code is one of P, B, C, U, then 0 to 3, then three characters",
            "Write it like P0302.",
            text,
        )
    if code in _BANKED:
        kind, bank = _BANKED[code]
        return Code(code, kind, bank=bank)
    if code == "P0300":
        return Code(code, CodeKind.MISFIRE_RANDOM)
    number = int(code[3:]) if code[3:].isdigit() else 0
    if code.startswith("P03") and 1 <= number <= _LAST_CYLINDER:
        return Code(code, CodeKind.MISFIRE_CYLINDER, cylinder=number)
    if code.startswith("P03") and 51 <= number < 51 + len(_COILS):
        return Code(code, CodeKind.COIL_CIRCUIT, coil=_COILS[number - 51])
    return Code(code, CodeKind.NOTED)
