"""What the engine's list asks of its plugs."""

from dataclasses import replace
from typing import Any

import streamlit as st

from plugsight import flow
from plugsight.page import fields
from plugsight.page.session import casebook
from plugsight.vocabulary.engine import Electrode, Seat
from plugsight.vocabulary.threads import THREADS


def spec_fields(inspection: flow.Inspection) -> None:
    """Show thread, gap, resistor and what else the verdict asks for."""
    known, ident = inspection.spec, inspection.id
    fields.choice(
        "Thread", tuple(THREADS), known.thread, "thread", ident, lambda now, v: _spec(now, thread=v)
    )
    low, high = known.gap_mm or (None, None)
    # each pair in a row of its own: on a phone the second follows the first
    left, right = st.columns(2)
    with left:
        fields.number("Gap from, mm", low, "gap_low", ident, lambda now, v: _gap(now, 0, v), most=3.0)
    with right:
        fields.number("Gap to, mm", high, "gap_high", ident, lambda now, v: _gap(now, 1, v), most=3.0)
    left, right = st.columns(2)
    with left:
        fields.tri("Resistor plug", known.resistor, "resistor", ident, lambda now, v: _spec(now, resistor=v))
        fields.choice(
            "Seat",
            tuple(Seat),
            known.seat,
            "seat",
            ident,
            lambda now, v: _spec(now, seat=fields.member(Seat, v)),
        )
    with right:
        fields.choice(
            "Electrodes",
            tuple(Electrode),
            known.electrode,
            "electrode",
            ident,
            lambda now, v: _spec(now, electrode=fields.member(Electrode, v)),
        )
        straps = {"none": 0, "1": 1, "2": 2, "3": 3, "4": 4}
        shown = next(word for word, count in straps.items() if count == known.ground_electrodes)
        fields.choice(
            "Straps",
            tuple(straps),
            shown,
            "straps",
            ident,
            lambda now, v: _spec(now, ground_electrodes=straps.get(str(v), 1)),
        )


def _spec(inspection: flow.Inspection, **changes: Any) -> flow.Inspection:
    return casebook().set_facts(inspection, spec=replace(inspection.spec, **changes))


def _gap(inspection: flow.Inspection, end: int, value: object) -> flow.Inspection:
    """Save one end of the gap; the other end follows until it is given, so that one figure is enough to begin."""
    if not isinstance(value, int | float):
        return _spec(inspection, gap_mm=None)
    low, high = inspection.spec.gap_mm or (value, value)
    mm = float(value)
    return _spec(inspection, gap_mm=(mm, max(mm, high)) if end == 0 else (min(low, mm), mm))
