"""Start: carry on with an inspection, begin a new one, or try the invented engine."""

from collections.abc import Sequence

import streamlit as st

from plugsight.page.address import go
from plugsight.page.engine_form import engine_form
from plugsight.page.session import casebook
from plugsight.page.words_html import moment, quiet
from plugsight.store import StoredSummary

RECENT, WAITING = 12, 50
"""Inspections offered to carry on with, and open outcomes listed, at most."""


def show() -> None:
    """Show what is open, and the way to begin."""
    st.title("Spark plugs on the bench", anchor=False)
    st.html(
        quiet(
            "Photograph, confirm, gauge and meter: then causes, the next check, and a verdict for every plug."
        )
    )
    recent = casebook().recent(limit=RECENT)
    if recent:
        st.header("Carry on", anchor=False)
        for summary in recent:
            _line(summary, "plugs", "carry")
    st.header("New inspection", anchor=False)
    engine_form()
    _open_outcomes()
    st.button("Photos and model", icon=":material/model_training:", key="model", on_click=go, args=("model",))


def _open_outcomes() -> None:
    """List repairs whose outcome nobody has entered yet: what came of them makes the next answer better."""
    waiting = casebook().recent(limit=WAITING + 1, open_outcomes=True)
    decided = [one for one in waiting if one.decided]
    if decided:
        with st.expander(f"Outcome of the repair still open ({_count(decided)})"):
            st.html(quiet("What was repaired, and is the complaint gone? Enter it once the engine has run."))
            for summary in decided[:WAITING]:
                _line(summary, "outcome", "waits")


def _count(found: Sequence[StoredSummary]) -> str:
    return f"more than {WAITING}" if len(found) > WAITING else str(len(found))


def _line(summary: StoredSummary, view: str, why: str) -> None:
    mark = ", invented data" if summary.invented else ""
    plugs = f"{summary.decided} plugs decided" if summary.decided else "no plug decided yet"
    st.button(
        f"**{summary.engine_name}**{mark}: {plugs}, {moment(summary.updated)}",
        key=f"{why}-{summary.id}",
        icon=":material/arrow_forward:",
        width="stretch",
        on_click=go,
        args=(view,),
        kwargs={"inspection": summary.id},
    )
