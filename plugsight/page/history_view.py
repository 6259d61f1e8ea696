"""One engine over time: every plug's gap and condition by mileage, how fast the gaps grow, two inspections compared."""

import streamlit as st

from plugsight import flow
from plugsight.casebook.wear_words import HOW, wear_words
from plugsight.page.address import go
from plugsight.page.compared import compared
from plugsight.page.dress import draw
from plugsight.page.gap_history import gap_history
from plugsight.page.session import casebook
from plugsight.page.words_html import quiet, rows
from plugsight.report.plug_words import condition


def show(inspection: flow.Inspection) -> None:
    """Show the gap by wire gauge over the inspections, wear and forecast, a comparison, and the inspections."""
    st.header(f"History of {inspection.engine.name}", anchor=False)
    past = casebook().history(inspection.engine.name)
    draw(gap_history(past), wide=True)
    st.header("How fast the gaps grow", anchor=False)
    st.html(rows((f"plug {case.place}", " ".join(wear_words(past, case.place))) for case in past[-1].plugs))
    st.html(quiet(HOW))
    compared(past)
    st.header("Inspections", anchor=False)
    for one in past:
        with st.container(border=True):
            _one(one, here=one.id == inspection.id)


def _one(one: flow.Inspection, *, here: bool) -> None:
    km = one.context.odometer_km
    at = "mileage not noted" if km is None else f"{km:,.0f} km"
    st.markdown(f"**{one.started[:10]}**, {at}" + (", invented" if one.invented else ""))
    st.html(rows((f"plug {case.place}", _condition(case)) for case in one.plugs))
    st.html(quiet(_outcome(one)))
    if here:
        st.html(quiet("This is the inspection you have open."))
    with st.container(horizontal=True, gap="small"):
        if not here:
            _way(one, "Open", "plugs")
        if _waits(one):
            _way(one, "Enter the outcome", "outcome")


def _way(one: flow.Inspection, label: str, view: str) -> None:
    st.button(label, key=f"{view}-{one.id}", on_click=go, args=(view,), kwargs={"inspection": one.id})


def _condition(case: flow.PlugCase) -> str:
    return condition(case.confirmation) if case.confirmation is not None else "not decided"


def _waits(one: flow.Inspection) -> bool:
    return not one.repairs or one.repairs[-1].complaint_gone is None


def _outcome(one: flow.Inspection) -> str:
    if not one.repairs:
        return "Outcome open: no repair is noted."
    told = {True: "the complaint is gone", False: "the complaint is still there", None: "not known yet"}
    last = one.repairs[-1]
    words = f"{last.repaired}; {told[last.complaint_gone]}"
    return f"Outcome open: {words}." if last.complaint_gone is None else f"Outcome: {words}."
