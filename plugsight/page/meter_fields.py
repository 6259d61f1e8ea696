"""The meter at hand: how its ranges are set, and its accuracy. Both decide what a reading may say."""

from dataclasses import replace
from typing import Any

import streamlit as st

from plugsight import flow
from plugsight.page import fields
from plugsight.page.session import casebook
from plugsight.page.words_html import quiet
from plugsight.readings import OverRange, parse_ohm
from plugsight.readings.meter import say_ohm
from plugsight.vocabulary.errors import InputError

BY_HAND, BY_ITSELF = "by hand", "by itself (auto-ranging)"


def meter_fields(inspection: flow.Inspection) -> None:
    """Show the meter's facts, folded away: what is there fits most hand-held meters."""
    with st.expander("Meter"):
        meter, ident = inspection.meter, inspection.id
        fields.choice(
            "The meter's range is set",
            (BY_HAND, BY_ITSELF),
            BY_ITSELF if meter.auto_ranging else BY_HAND,
            "auto_ranging",
            ident,
            lambda now, v: _meter(now, auto_ranging=v == BY_ITSELF),
        )
        fields.text(
            "Ohm ranges on its dial",
            ", ".join(map(say_ohm, meter.ranges_ohm)),
            "ranges_ohm",
            ident,
            lambda now, v: _meter(now, ranges_ohm=_ranges(str(v))),
            hint="200 ohm, 2k, 20k, 200k, 2M, 20M",
        )
        st.html(quiet("From the meter's own sheet: accuracy ±(% of reading + counts)."))
        for label, value, name, most in (
            ("Accuracy, % of reading", meter.percent, "percent", 20.0),
            ("Accuracy, counts", float(meter.counts), "counts", 100.0),
            ("Counts of the display (1999: write 2000)", float(meter.display_counts), "display_counts", 1e6),
            ("Probes touched together, ohm", meter.lead_ohm, "lead_ohm", 20.0),
        ):
            fields.number(label, value, f"meter_{name}", ident, _put(name, label), most=most)


def _put(name: str, label: str) -> fields.Save:
    def put(now: flow.Inspection, value: object) -> flow.Inspection:
        if not isinstance(value, int | float):
            raise InputError(label, "a number is needed here", "Write the figure from the meter's sheet.")
        whole = name in {"counts", "display_counts"}
        return _meter(now, **{name: int(value) if whole else float(value)})

    return put


def _meter(inspection: flow.Inspection, **changes: Any) -> flow.Inspection:
    return casebook().set_facts(inspection, meter=replace(inspection.meter, **changes))


def _ranges(text: str) -> tuple[float, ...]:
    found = [parse_ohm(word, "ohm ranges") for word in text.split(",") if word.strip()]
    if not found or any(isinstance(one, OverRange) for one in found):
        raise InputError("ohm ranges", "none was found", "Write them like: 200 ohm, 2k, 20k, 2M.", text)
    return tuple(sorted(one for one in found if isinstance(one, float)))
