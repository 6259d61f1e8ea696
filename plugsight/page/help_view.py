"""How to photograph a plug, drawn, and the sheet to print."""

import streamlit as st

from plugsight import flow
from plugsight.page.address import go
from plugsight.page.dress import draw
from plugsight.page.words_html import quiet
from plugsight.report import Paper, capture_sheet, photo_help
from plugsight.report.capture_sheet import PRINTED_GREY


def show(inspection: flow.Inspection | None) -> None:
    """Show the steps, two side by side where there is room."""
    st.title("How to photograph a plug", anchor=False)
    steps = photo_help()
    for k in range(0, len(steps), 2):
        for column, step in zip(st.columns(2), steps[k : k + 2], strict=True):
            with column, st.container(border=True):
                st.markdown(f"**{step.title}**")
                draw(step.drawing)
                st.html(f"<p>{step.words}</p>")
    st.header("A sheet to photograph on", anchor=False)
    st.html(quiet(PRINTED_GREY))
    cylinders = inspection.engine.cylinders if inspection else 8
    with st.container(horizontal=True):
        for paper in Paper:
            st.download_button(
                f"Sheet on {paper}",
                capture_sheet(paper=paper, cylinders=cylinders),
                f"capture-sheet-{paper.lower()}.pdf",
                "application/pdf",
                key=f"sheet-{paper}",
                icon=":material/print:",
                on_click="ignore",
            )
    if inspection is not None:
        st.button("Back to the plugs", icon=":material/arrow_back:", on_click=go, args=("plugs",))
