"""The person at the bench: every decision carries a name."""

import streamlit as st

from plugsight.page.address import here, sign_in


def ask_person() -> None:
    """Ask for a name while there is none; it stays in the address."""
    if not here().person:
        st.text_input("Your name or initials", key="person", max_chars=40, on_change=_signed)


def _signed() -> None:
    sign_in(str(st.session_state["person"]))
