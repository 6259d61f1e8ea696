"""What lives longer than one run of the script: the store, and the last message to the person."""

import os
from collections.abc import Callable

import streamlit as st

from plugsight.casebook import Casebook
from plugsight.store import Store
from plugsight.vocabulary.errors import PlugsightError

STORE_VARIABLE = "PLUGSIGHT_STORE"
"""Environment variable naming the store: a folder, a file or a database URL."""
_NOTICE = "notice"


def casebook() -> Casebook:
    """Return the casebook that every view talks to; the store behind it is opened once per server."""
    return Casebook(_store(os.environ.get(STORE_VARIABLE)))


@st.cache_resource(show_spinner=False)
def _store(where: str | None) -> Store:
    return Store.open(where)


def attempt(step: Callable[[], object]) -> bool:
    """Do one step; where it is refused, keep the reason for the next screen and return False."""
    try:
        step()
    except PlugsightError as problem:
        st.session_state[_NOTICE] = str(problem)
        return False
    return True


def press(step: Callable[[], object]) -> None:
    """Do one step as the answer to a button."""
    attempt(step)


def show_notice() -> None:
    """Show what was refused since the last screen, once."""
    words = st.session_state.pop(_NOTICE, "")
    if words:
        st.error(words, icon=":material/front_hand:")
