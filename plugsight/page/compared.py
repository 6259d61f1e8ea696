"""Two inspections of one engine side by side: pictures, conditions and gaps, plug by plug."""

import base64
from collections.abc import Sequence
from html import escape

import streamlit as st

from plugsight import flow
from plugsight.casebook.codec import encode_picture
from plugsight.casebook.gap_series import Gauged
from plugsight.casebook.side_by_side import PlugPair, side_by_side
from plugsight.features import Features
from plugsight.page.words_html import quiet
from plugsight.report.plug_words import condition


def compared(past: Sequence[flow.Inspection]) -> None:
    """Let the person choose two of an engine's inspections, and show them; with fewer than two, say so."""
    st.header("Two inspections side by side", anchor=False)
    if len(past) < 2:
        st.html(quiet("There is one inspection of this engine so far: nothing to compare it with yet."))
        return
    named = {one.id: _named(one, past) for one in past}
    left, right = st.columns(2)
    with left:
        earlier = st.selectbox("Earlier", [*named][:-1], len(past) - 2, format_func=named.__getitem__)
    later_ones = [*named][[*named].index(earlier) + 1 :]
    with right:
        later = st.selectbox("Later", later_ones, len(later_ones) - 1, format_func=named.__getitem__)
    found = {one.id: one for one in past}
    pairs = side_by_side(found[earlier], found[later])
    heads = "".join(
        f"<th scope='col'>{escape(words)}</th>" for words in ("plug", named[earlier], named[later])
    )
    body = "".join(map(_row, pairs))
    st.html(f'<table class="ps-pairs"><thead><tr>{heads}</tr></thead><tbody>{body}</tbody></table>')


def _named(one: flow.Inspection, past: Sequence[flow.Inspection]) -> str:
    """Name an inspection by day and mileage; by its number as well where two share both."""
    km = one.context.odometer_km
    name = one.started[:10] + ("" if km is None else f", {km:,.0f} km")
    alike = [other.id for other in past if (other.started[:10], other.context.odometer_km) == (name[:10], km)]
    return name if len(alike) == 1 else f"{name} ({alike.index(one.id) + 1} of {len(alike)})"


def _row(pair: PlugPair) -> str:
    cells = _cell(pair.earlier, pair.gap_earlier) + _cell(pair.later, pair.gap_later)
    return (
        f"<tr><th scope='row' rowspan='2'>{escape(str(pair.place))}</th>{cells}</tr>"
        f"<tr><td colspan='2' class='ps-quiet'>Gap: {escape(pair.change)}</td></tr>"
    )


def _cell(case: flow.PlugCase | None, gap: Gauged | None) -> str:
    if case is None:
        return "<td>not in the engine then</td>"
    words = "not decided" if case.confirmation is None else condition(case.confirmation)
    gauge = "gap not gauged" if gap is None else _gap(gap)
    return f"<td>{_picture(case)}{escape(words)}<br>{escape(gauge)}</td>"


def _gap(gap: Gauged) -> str:
    as_left = "" if gap.left == gap.found else f", set to {gap.left:.2f}"
    return f"gap by wire gauge {gap.found:.2f} mm{as_left}"


def _picture(case: flow.PlugCase) -> str:
    seen = next((photo.features for photo in case.photos if isinstance(photo.features, Features)), None)
    if seen is None:
        return ""
    data = base64.b64encode(encode_picture(seen.canonical, ".jpg")).decode()
    return f'<img alt="photo of plug {escape(str(case.place))}" src="data:image/jpeg;base64,{data}"><br>'
