"""A code to scan, so that a phone in the shop's network shoots straight into the right cylinder."""

import socket
import time
from urllib.parse import urlencode

import segno
import streamlit as st
from streamlit import config

from plugsight import flow
from plugsight.page.address import INSPECTION, PERSON, VIEW, here
from plugsight.page.guard import TOKEN, sharing
from plugsight.page.sharing import TOKEN_SECONDS
from plugsight.page.words_html import quiet

SHARED = "0.0.0.0"  # noqa: S104 (chosen on purpose by --phone; callers still need a key)


def phone_card(inspection: flow.Inspection) -> None:
    """Offer a code where the server listens to the shop's network; say how to start it so where it does not."""
    with st.expander("Shoot with a phone"):
        if config.get_option("server.address") != SHARED:
            st.html(
                quiet("Off: this page listens on this computer only. Start it with: plugsight page --phone")
            )
            return
        st.html(
            quiet(
                "The code opens this inspection, and nothing else, on one phone in this network. It is used up by "
                f"one scan and void after {TOKEN_SECONDS / 60:.0f} minutes."
            )
        )
        if st.button("Show a code", key="show-code", icon=":material/qr_code_2:"):
            address = _address(inspection.id)
            code = segno.make(address, error="m").svg_data_uri(scale=6, border=3, light="#ffffff")
            st.html(f'<img alt="code that opens this inspection on a phone" width="260" src="{code}">')
            st.html(quiet(address))
        admitted = sharing().phones(inspection.id, time.monotonic())
        if admitted:
            phones = "1 phone" if admitted == 1 else f"{admitted} phones"
            st.html(quiet(f"{phones} let in to this inspection."))
        st.button(
            "Shut out all phones",
            key="shut-out",
            icon=":material/block:",
            on_click=sharing().revoke,
            args=(inspection.id,),
        )


def _address(inspection: str) -> str:
    token = sharing().offer(inspection, time.monotonic())
    asked = {TOKEN: token, INSPECTION: inspection, VIEW: "plugs", PERSON: here().person}
    return f"http://{_own_address()}:{config.get_option('server.port')}/?{urlencode(asked)}"


def _own_address() -> str:
    """Return this machine's address in its network; nothing is sent to find it out."""
    with socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as probe:
        try:
            # naming a far address makes the system choose the outgoing interface (192.0.2.0/24 is for documentation)
            probe.connect(("192.0.2.1", 9))
            return str(probe.getsockname()[0])
        except OSError:
            return "127.0.0.1"
