"""The report to hand over: PDF for paper, HTML for screens, JSON for other programs."""

from datetime import UTC, datetime

import streamlit as st

from plugsight import flow
from plugsight.casebook.before import before
from plugsight.page.address import here
from plugsight.page.concluded import concluded
from plugsight.page.guard import is_here
from plugsight.page.person import ask_person
from plugsight.page.session import casebook
from plugsight.page.shop_setting import ask_shop
from plugsight.page.undecided import undecided
from plugsight.page.words_html import quiet
from plugsight.report import Paper, to_html, to_json, to_pdf


def show(inspection: flow.Inspection) -> None:
    """Offer the report in every form; while a plug is undecided, show which."""
    if undecided(inspection):
        return
    st.header("Report", anchor=False)
    ask_person()
    shop = ask_shop()
    paper = st.segmented_control("Paper", list(Paper), default=Paper.A4, required=True, key="paper")
    found = concluded(inspection)
    made = datetime.now(UTC).isoformat(timespec="seconds")
    # a phone that was let in to one inspection reads of no other
    past = casebook().history(inspection.engine.name) if is_here(st.context.ip_address) else ()
    report = flow.make_report(
        inspection, found, who=here().person, made=made, shop=shop, previous=before(past, inspection)
    )
    name = f"plugs-{inspection.id[:8]}"
    with st.spinner("Writing the report"):
        pdf = to_pdf(report, paper=Paper(paper or Paper.A4))
    st.download_button(
        "PDF, to print or send",
        pdf,
        f"{name}.pdf",
        "application/pdf",
        type="primary",
        icon=":material/picture_as_pdf:",
        width="stretch",
        on_click="ignore",
    )
    st.download_button(
        "Web page, one file",
        to_html(report),
        f"{name}.html",
        "text/html",
        icon=":material/language:",
        width="stretch",
        on_click="ignore",
    )
    st.download_button(
        "JSON, for other programs",
        to_json(report),
        f"{name}.json",
        "application/json",
        icon=":material/data_object:",
        width="stretch",
        on_click="ignore",
    )
    st.html(
        quiet(
            "All three say the same. The report states what was measured, what a person judged, and what is not known."
        )
    )
