"""While a phone is let in, the computer's page looks every few seconds for what the phone took in."""

import time

import streamlit as st

from plugsight import flow
from plugsight.page.guard import sharing
from plugsight.page.session import casebook

EVERY_SECONDS = 3.0


def follow(inspection: flow.Inspection) -> None:
    """Draw the view again once somebody else has written to this inspection; does nothing while no phone is let in."""
    if sharing().expected(inspection.id, time.monotonic()):
        _watch(inspection.id, inspection.version)


@st.fragment(run_every=EVERY_SECONDS)
def _watch(inspection: str, shown: int) -> None:
    # the store's own row: no photo is read for this
    if casebook().store.load(inspection).version != shown:
        st.rerun()
