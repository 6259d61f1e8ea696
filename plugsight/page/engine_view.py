"""What to note before unplugging anything, then engine, plugs asked for and meter."""

from dataclasses import replace
from enum import StrEnum
from functools import partial
from typing import Any

import streamlit as st

from plugsight import flow
from plugsight.page import fields
from plugsight.page.address import go
from plugsight.page.cylinder_lists import cylinder_lists
from plugsight.page.meter_fields import meter_fields
from plugsight.page.person import ask_person
from plugsight.page.session import casebook
from plugsight.page.spec_fields import spec_fields
from plugsight.page.words_html import quiet
from plugsight.vocabulary.circumstances import COMPLAINTS, LAST_RUN
from plugsight.vocabulary.engine import Cooling, Fuel, FuelSystem, Ignition, Stroke, Use
from plugsight.vocabulary.errors import InputError


def show(inspection: flow.Inspection) -> None:
    """Show every fact as an entry of its own, saved as it is made."""
    ask_person()
    st.header("Before unplugging anything", anchor=False)
    _circumstances(inspection)
    st.header("Engine", anchor=False)
    _engine(inspection)
    st.header("Plugs the engine asks for", anchor=False)
    spec_fields(inspection)
    meter_fields(inspection)
    st.html(quiet("Everything here is saved as you enter it. What is left open only makes the answer wider."))
    st.button(
        "On to the plugs",
        type="primary",
        icon=":material/arrow_forward:",
        width="stretch",
        on_click=go,
        args=("plugs",),
    )


def _context(inspection: flow.Inspection, **changes: Any) -> flow.Inspection:
    return casebook().set_facts(inspection, context=replace(inspection.context, **changes))


def _facts(inspection: flow.Inspection, **changes: Any) -> flow.Inspection:
    return casebook().set_facts(inspection, engine=replace(inspection.engine, **changes))


def _circumstances(inspection: flow.Inspection) -> None:
    known, ident = inspection.context, inspection.id
    fields.text(
        "Complaint, in the customer's words",
        known.complaint,
        "complaint",
        ident,
        lambda now, value: _context(now, complaint=value),
    )
    fields.several(
        "Complaint",
        tuple(COMPLAINTS),
        known.complaints,
        "complaints",
        ident,
        lambda now, value: _context(now, complaints=tuple(_list(value))),
        COMPLAINTS.__getitem__,
    )
    words = {spoken: key for key, spoken in LAST_RUN.items()}
    fields.choice(
        "How was it last run?",
        tuple(words),
        LAST_RUN.get(known.last_run),
        "last_run",
        ident,
        lambda now, value: _context(now, last_run=words.get(str(value), "")),
    )
    left, right = st.columns(2)
    with left:
        fields.number(
            "Kilometres on these plugs",
            known.km_on_plugs,
            "km_on_plugs",
            ident,
            lambda now, value: _context(now, km_on_plugs=value),
            most=1e6,
        )
        fields.text(
            "Fault codes",
            " ".join(known.codes),
            "codes",
            ident,
            lambda now, value: _context(now, codes=tuple(str(value).upper().replace(",", " ").split())),
            hint="P0302",
        )
        fields.choice(
            "Oil use",
            ("none", "some", "much"),
            known.oil_use,
            "oil_use",
            ident,
            lambda now, value: _context(now, oil_use=value or ""),
        )
    with right:
        fields.number(
            "Odometer, km",
            known.odometer_km,
            "odometer_km",
            ident,
            lambda now, value: _context(now, odometer_km=value),
            most=5e6,
        )
        fields.text(
            "Long fuel trims per bank, %",
            " ".join(f"{v:g}" for v in known.long_trim_percent),
            "long_trim",
            ident,
            lambda now, value: _context(now, long_trim_percent=_percents(str(value))),
            hint="+4 -2",
        )
        fields.choice(
            "Coolant use",
            ("none", "some", "much"),
            known.coolant_use,
            "coolant_use",
            ident,
            lambda now, value: _context(now, coolant_use=value or ""),
        )


def _engine(inspection: flow.Inspection) -> None:
    known, ident = inspection.engine, inspection.id
    left, right = st.columns(2)
    for column, label, kind, name in (
        (left, "Used on", Use, "use"),
        (right, "Working principle", Stroke, "stroke"),
        (left, "Ignition", Ignition, "ignition"),
        (right, "Cooling", Cooling, "cooling"),
        (left, "Mixture", FuelSystem, "fuel_system"),
        (right, "Fuel", Fuel, "fuel"),
    ):
        with column:
            fields.choice(
                label,
                tuple(kind),
                getattr(known, name),
                name,
                ident,
                partial(_member, kind, name),
            )
    with left:
        fields.tri("Turbocharged", known.turbo, "turbo", ident, lambda now, value: _facts(now, turbo=value))
    with right:
        fields.tri(
            "Aluminium head",
            known.head_aluminium,
            "head",
            ident,
            lambda now, value: _facts(now, head_aluminium=value),
        )
    with st.expander("Where the cylinders sit"):
        cylinder_lists(inspection)


def _member(kind: type[StrEnum], name: str, now: flow.Inspection, value: object) -> flow.Inspection:
    # the one fact that is never unknown
    otherwise = Stroke.FOUR if name == "stroke" else None
    return _facts(now, **{name: fields.member(kind, value) or otherwise})


def _list(value: object) -> list[str]:
    return [str(item) for item in value] if isinstance(value, list | tuple) else []


def _percents(text: str) -> tuple[float, ...]:
    try:
        return tuple(float(word) for word in text.replace(",", ".").replace("%", " ").split())
    except ValueError as problem:
        raise InputError(
            "fuel trims", "trims are numbers in per cent", "Write them like: +4 -2.", text
        ) from problem
