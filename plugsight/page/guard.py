"""Who may see the page: this machine, unless sharing with a phone is switched on."""

import streamlit as st
from streamlit import config

from plugsight.page.options import OPTIONS


def admit() -> None:
    """Stop the page for callers from other machines, and switch off usage statistics however it was started.

    ``plugsight page`` and ``python app.py`` listen on the loopback address alone. ``streamlit run app.py`` listens on
    every address unless told otherwise, so the caller's own address is looked at as well.
    """
    if config.get_option("browser.gatherUsageStats"):
        for name in (
            "browser.gatherUsageStats",
            *(n for n in OPTIONS if n.startswith(("theme.", "client."))),
        ):
            config.set_option(name, OPTIONS[name])
        st.rerun()
    # Streamlit reports None for callers from this machine
    caller = st.context.ip_address
    if caller is not None and not caller.startswith("127.") and caller != "::1":
        st.error("This page is for the machine it runs on. Open it there.", icon=":material/lock:")
        st.stop()
