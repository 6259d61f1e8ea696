"""Plugs that nobody has decided: named, with the way to each."""

import streamlit as st

from plugsight import flow
from plugsight.page.address import go


def undecided(inspection: flow.Inspection) -> bool:
    """Return whether a decision is still missing, and show the way to every such plug."""
    places = flow.undecided(inspection)
    if not places:
        return False
    st.info(
        'Causes and verdicts rest on what a person decided. These plugs wait for a decision; "can\'t tell" is one too.',
        icon=":material/how_to_reg:",
    )
    with st.container(horizontal=True, gap="small"):
        for place in places:
            st.button(
                f"Plug {place}",
                key=f"decide-{place}",
                icon=":material/arrow_forward:",
                on_click=go,
                args=("plug",),
                kwargs={"place": place},
            )
    return True
