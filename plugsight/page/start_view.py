"""Start: carry on with an inspection, begin a new one, or try the invented engine."""

import streamlit as st

from plugsight.page.address import go
from plugsight.page.engine_form import engine_form
from plugsight.page.session import casebook
from plugsight.page.words_html import quiet
from plugsight.store import StoredSummary


def show() -> None:
    """Show what is open, and the way to begin."""
    st.title("Spark plugs on the bench", anchor=False)
    st.html(
        quiet(
            "Photograph, confirm, gauge and meter: then causes, the next check, and a verdict for every plug."
        )
    )
    recent = casebook().recent(limit=12)
    if recent:
        st.header("Carry on", anchor=False)
        for summary in recent:
            _line(summary)
    st.header("New inspection", anchor=False)
    engine_form()
    st.button("Photos and model", icon=":material/model_training:", key="model", on_click=go, args=("model",))


def _line(summary: StoredSummary) -> None:
    mark = "INVENTED  " if summary.invented else ""
    wait = ", outcome open" if summary.open_outcome else ""
    day = summary.updated[:16].replace("T", " ")
    st.button(
        f"**{summary.engine_name}**  {mark}{day}{wait}",
        key=f"open-{summary.id}",
        icon=":material/arrow_forward:",
        width="stretch",
        on_click=go,
        args=("plugs",),
        kwargs={"inspection": summary.id},
    )
