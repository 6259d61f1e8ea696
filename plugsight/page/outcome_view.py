"""Later: what was repaired, whether it helped, and at what mileage. This is what makes the next answer better."""

from datetime import UTC, datetime

import streamlit as st

from plugsight import flow
from plugsight.causes.record import RankedCause
from plugsight.page.address import go, here
from plugsight.page.concluded import concluded
from plugsight.page.session import attempt, casebook
from plugsight.page.words_html import quiet
from plugsight.report.plug_words import repair_lines
from plugsight.vocabulary.outcomes import RepairOutcome

TOLD = {"yes": True, "no": False}


def show(inspection: flow.Inspection) -> None:
    """Show what is known of the repair and ask for what is not."""
    st.header("Outcome of the repair", anchor=False)
    for repair in inspection.repairs:
        st.success("  \n".join(repair_lines(repair)), icon=":material/build:")
    causes = () if flow.undecided(inspection) else concluded(inspection).causes.ranked[:12]
    with st.form("outcome", clear_on_submit=True):
        repaired = st.text_input("What was repaired or replaced?", max_chars=200)
        proved = st.multiselect("Which causes did the repair prove?", causes, format_func=_named)
        gone = st.pills("Is the complaint gone?", list(TOLD))
        clean = st.pills("Do the plugs look right again?", list(TOLD))
        at_km = st.number_input(
            "Odometer, km", min_value=0.0, max_value=5e6, value=None, step=None, placeholder="not known"
        )
        kept = st.form_submit_button("Keep the outcome", type="primary", width="stretch")
    st.html(
        quiet("Look at the plugs again after 200 to 500 km or 10 hours. What is not known yet may stay open.")
    )
    if kept:
        if not repaired.strip():
            st.error("Outcome: nothing was named. Write what was repaired or replaced.")
            return
        outcome = RepairOutcome(
            repaired.strip(),
            tuple(dict.fromkeys(cause.id for cause in proved)),
            TOLD.get(gone or ""),
            TOLD.get(clean or ""),
            at_km,
            here().person,
            datetime.now(UTC).isoformat(timespec="seconds"),
        )
        attempt(lambda: casebook().repair(casebook().load(inspection.id), outcome))
        st.rerun()
    st.button(
        "Earlier inspections of this engine",
        icon=":material/history:",
        width="stretch",
        on_click=go,
        args=("history",),
    )


def _named(cause: RankedCause) -> str:
    return f"{cause.name} ({cause.site})"
