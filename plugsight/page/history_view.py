"""One engine over time: its inspections, and every plug's gap and condition by mileage."""

from html import escape

import streamlit as st

from plugsight import flow
from plugsight.page.address import go
from plugsight.page.dress import draw
from plugsight.page.gap_history import gap_history
from plugsight.page.session import casebook
from plugsight.page.words_html import quiet
from plugsight.report.plug_words import condition


def show(inspection: flow.Inspection) -> None:
    """Show the engine's inspections, oldest first, and the gap by wire gauge over them."""
    st.header(f"History of {inspection.engine.name}", anchor=False)
    past = casebook().history(inspection.engine.name)
    draw(gap_history(past), wide=True)
    for one in past:
        km = one.context.odometer_km
        at = "mileage not noted" if km is None else f"{km:.0f} km"
        with st.container(border=True):
            st.markdown(f"**{one.started[:10]}**, {at}" + (", invented" if one.invented else ""))
            st.html(_conditions(one))
            if one.id != inspection.id:
                st.button(
                    "Open", key=f"past-{one.id}", on_click=go, args=("plugs",), kwargs={"inspection": one.id}
                )
            else:
                st.html(quiet("this inspection"))


def _conditions(one: flow.Inspection) -> str:
    said = []
    for case in one.plugs:
        decided = case.confirmation
        words = condition(decided) if decided is not None else "not decided"
        said.append(f"<dt>{escape(str(case.place))}</dt><dd>{escape(words)}</dd>")
    return f'<dl class="ps-rows">{"".join(said)}</dl>'
