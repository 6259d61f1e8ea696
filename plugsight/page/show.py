"""The page: finds the inspection that the address names and shows the view it asks for."""

from collections.abc import Callable
from importlib import import_module

import streamlit as st

from plugsight import flow
from plugsight.page import (
    causes_view,
    engine_view,
    help_view,
    history_view,
    outcome_view,
    plug_view,
    plugs_view,
    report_view,
    start_view,
    verdicts_view,
)
from plugsight.page.address import go, here, leave
from plugsight.page.dress import dress
from plugsight.page.follow import follow
from plugsight.page.guard import admit
from plugsight.page.icon import icon
from plugsight.page.session import attempt, casebook, show_notice
from plugsight.page.words_html import quiet
from plugsight.vocabulary.errors import PlugsightError
from plugsight.vocabulary.honesty import RENDERED_ONLY

STEPS: dict[str, str] = {
    "engine": "Engine",
    "plugs": "Plugs",
    "causes": "Causes",
    "verdicts": "Verdicts",
    "report": "Report",
    "outcome": "Outcome",
}
"""The views of one inspection in the order of the bench, with their names."""

View = Callable[[flow.Inspection], None]
VIEWS: dict[str, View] = {
    "engine": engine_view.show,
    "plugs": plugs_view.show,
    "plug": plug_view.show,
    "causes": causes_view.show,
    "verdicts": verdicts_view.show,
    "report": report_view.show,
    "outcome": outcome_view.show,
    "history": history_view.show,
}
AT_BENCH_ONLY = {"history"}
"""Views that show more than one inspection: not for a phone that was let in to one."""


def show() -> None:
    """Draw the whole page once."""
    st.set_page_config(page_title="plugsight", page_icon=icon(), layout="wide")
    dress()
    at_bench = admit()
    at = here()
    inspection = _load(at.inspection) if at.inspection else None
    _masthead(inspection, at.view, at_bench=at_bench)
    show_notice()
    if at.view == "help":
        help_view.show(inspection)
    elif at.view == "model" and at_bench:
        # training is heavy to load and wanted on this view alone
        import_module("plugsight.page.model_view").show()
    elif inspection is not None:
        view = (
            plugs_view.show
            if at.view in AT_BENCH_ONLY and not at_bench
            else VIEWS.get(at.view, plugs_view.show)
        )
        _guarded(view, inspection)
        if at_bench:
            follow(inspection)
    elif at_bench:
        start_view.show()
    st.divider()
    st.html(quiet(RENDERED_ONLY))


def _load(identifier: str) -> flow.Inspection | None:
    found: list[flow.Inspection] = []
    attempt(lambda: found.append(casebook().load(identifier)))
    return found[0] if found else None


def _guarded(view: View, inspection: flow.Inspection) -> None:
    """Show a view; what can't be shown says why, and the way on stays open."""
    try:
        view(inspection)
    except PlugsightError as problem:
        st.error(str(problem), icon=":material/front_hand:")


def _masthead(inspection: flow.Inspection | None, view: str, *, at_bench: bool) -> None:
    with st.container(horizontal=True, vertical_alignment="center"):
        if at_bench:
            st.button("plugsight", icon=":material/home:", key="home", on_click=leave, help="all inspections")
        st.button(
            "How to photograph", icon=":material/photo_camera:", key="help", on_click=go, args=("help",)
        )
    if inspection is None:
        return
    mark = '<span class="ps-mark">INVENTED DATA</span> ' if inspection.invented else ""
    st.title(inspection.engine.name, anchor=False)
    if mark:
        st.html(mark)
    with st.container(horizontal=True, gap="small", key="steps"):
        for name, words in STEPS.items():
            current = name == view or (name == "plugs" and view in {"plug", ""})
            st.button(
                words,
                key=f"step-{name}",
                type="primary" if current else "secondary",
                on_click=go,
                args=(name,),
            )
