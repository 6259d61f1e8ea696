"""Tightening torque: the plug's own figure first, else the published table; an unknown seat is asked for."""

import tomllib
from collections.abc import Mapping
from functools import cache
from importlib.resources import files
from types import MappingProxyType

from plugsight.vocabulary.engine import PlugSpec, Seat
from plugsight.vocabulary.refusal import NotFound

NM_PER_LBFT = 1.35582
"""Newton metres in a pound-foot (1 lbf = 4.448222 N, 1 ft = 0.3048 m)."""
_LAST_RESORT = (
    "No figure and no wrench: a new gasket about 1/2 to 2/3 turn past finger-tight, a used gasket or taper seat about "
    "1/16 (last resort, common practice)."
)


@cache
def _table() -> Mapping[tuple[str, Seat], Mapping[bool, tuple[float, float]]]:
    text = (files("plugsight.verdict") / "knowledge" / "torque.toml").read_text(encoding="utf-8")
    return MappingProxyType(
        {
            (row["thread"], Seat(row["seat"])): {
                False: tuple(row["cast_iron"]),
                True: tuple(row["aluminium"]),
            }
            for row in tomllib.loads(text)["torque"]
        }
    )


def torque_lbft(thread: str, seat: Seat | None, *, aluminium: bool) -> tuple[float, float] | NotFound:
    """Lowest and highest torque in lb-ft (LSU AgCenter, 2006); never guesses the seat.

    A gasket plug's torque on a taper seat can be twice too much.
    """
    if seat is None:
        return NotFound("the seat is not known", "Look whether the plug has a gasket or a taper seat.")
    row = _table().get((thread, seat))
    if row is None:
        return NotFound(f"no published torque for {thread} with {seat}", "Use the engine maker's figure.")
    return row[aluminium]


def torque_words(spec: PlugSpec, *, aluminium: bool | None) -> str:
    """Say the torque to use, or what must be known first."""
    if spec.torque_nm is not None:
        return f"Torque {spec.torque_nm[0]:.0f} to {spec.torque_nm[1]:.0f} N m (the engine's own list)."
    if spec.thread is None:
        return f"Torque: the engine maker's figure; thread not given. {_LAST_RESORT}"
    heads = ((True, "aluminium"), (False, "cast-iron")) if aluminium is None else ((aluminium, ""),)
    said: dict[str, None] = {}
    for is_aluminium, name in heads:
        torque = torque_lbft(spec.thread, spec.seat, aluminium=is_aluminium)
        if isinstance(torque, NotFound):
            return f"Torque: {torque.reason}. {torque.remedy} {_LAST_RESORT}"
        low, high = torque
        in_head = f" in {name} heads" if name else ""
        said[
            f"{low * NM_PER_LBFT:.0f} to {high * NM_PER_LBFT:.0f} N m ({low:g} to {high:g} lb-ft){in_head}"
        ] = None
    return f"Torque about {', '.join(said)}; the engine maker's figure comes first. {_LAST_RESORT}"
