"""Who may see the page: this machine, and phones that were let in to one inspection."""

import time
from ipaddress import ip_address

import streamlit as st

from plugsight.page.address import INSPECTION
from plugsight.page.sharing import Sharing
from plugsight.page.words_html import sentence
from plugsight.vocabulary.refusal import Refusal

TOKEN, KEY = "t", "k"
"""Names in a phone's address: the code it scanned, and the key that it became."""


@st.cache_resource(show_spinner=False)
def sharing() -> Sharing:
    """Return what is shared by this server."""
    return Sharing()


def admit() -> bool:
    """Return whether the caller is at this machine; stop the page for anybody who was not let in.

    A phone is let in to the one inspection of its key: its address is held to that inspection.
    """
    if is_here(st.context.ip_address):
        return True
    asked = st.query_params
    if TOKEN in asked:
        key = sharing().redeem(asked[TOKEN], time.monotonic())
        del asked[TOKEN]
        if isinstance(key, Refusal):
            _lock(key)
        else:
            asked[KEY] = key
    inspection = sharing().opens(asked.get(KEY, ""), time.monotonic())
    if inspection is None:
        _lock(
            Refusal(
                "this page belongs to the shop's computer", "Open it there, or scan the code that it shows."
            )
        )
    else:
        asked[INSPECTION] = inspection
    return False


def is_here(caller: str | None) -> bool:
    """Return whether an address is this machine's own (Streamlit reports None for it)."""
    if caller is None:
        return True
    try:
        address = ip_address(caller)
    except ValueError:
        return False
    # a server that listens on IPv6 as well sees 127.0.0.1 as ::ffff:127.0.0.1
    return (getattr(address, "ipv4_mapped", None) or address).is_loopback


def _lock(refusal: Refusal) -> None:
    st.error(f"{sentence(refusal.reason)} {sentence(refusal.remedy)}", icon=":material/lock:")
    st.stop()
