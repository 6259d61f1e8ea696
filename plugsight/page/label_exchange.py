"""Confirmed photos out as a labelled set, and a set of somebody else's in."""

import tempfile
from pathlib import Path

import streamlit as st

from plugsight.casebook.labelled import labelled_set
from plugsight.labels import keep_set, kept_sets, write_set
from plugsight.page.session import attempt, casebook
from plugsight.page.words_html import quiet
from plugsight.vocabulary.errors import InputError

MOST = 100_000
_MADE = "labelled-set"


def write_out() -> None:
    """Ask for licence and consent, make the set, and offer it."""
    st.header("Confirmed photos out", anchor=False)
    st.html(
        quiet(
            "Photos lose their metadata; engines and plugs are named by hashes. What stands in a picture stays in "
            "it: look through the images before you pass the set on."
        )
    )
    licence = st.text_input("Licence of the photos", placeholder="CC BY 4.0, or: own use only", max_chars=100)
    consent = st.text_input("How did the owners agree that the photos are passed on?", max_chars=300)
    crop = st.toggle("Only the part of each photo that shows the plug", value=True)
    if st.button("Make the set", key="make-set", icon=":material/archive:"):
        with st.spinner("Gathering the confirmed plugs"):
            attempt(lambda: _make(licence.strip(), consent.strip(), crop=crop))
        st.rerun()
    made = st.session_state.get(_MADE)
    if made:
        st.download_button(
            "Labelled set (zip)",
            made,
            "labelled-plugs.zip",
            "application/zip",
            on_click="ignore",
            icon=":material/download:",
            type="primary",
        )


def _make(licence: str, consent: str, *, crop: bool) -> None:
    for name, said in (("licence", licence), ("consent", consent)):
        if not said:
            raise InputError(name, "photos are not passed on without it", "Write it in one sentence.")
    book = casebook()
    found = [book.load(one.id) for one in book.recent(limit=MOST)]
    labelled, pictures = labelled_set(book, found, licence=licence, consent=consent, crop=crop)
    with tempfile.TemporaryDirectory() as aside:
        st.session_state[_MADE] = write_set(labelled, pictures, Path(aside) / "set.zip").read_bytes()


def take_in() -> None:
    """Take in a set; a faulty one is refused whole."""
    st.header("A labelled set in", anchor=False)
    kept = kept_sets()
    plugs = sum(len(one.plugs) for one in kept)
    st.html(
        quiet(f"Taken in so far: {plugs} plugs in {len(kept)} sets." if kept else "None taken in so far.")
    )
    turn = st.session_state.setdefault("turn-set", 0)
    file = st.file_uploader("Set (zip)", ["zip"], key=f"set-{turn}")
    if file is not None:
        with st.spinner("Checking the set"):
            attempt(lambda: _keep(file.getvalue()))
        st.session_state["turn-set"] = turn + 1
        st.rerun()


def _keep(data: bytes) -> None:
    with tempfile.TemporaryDirectory() as aside:
        source = Path(aside) / "set.zip"
        source.write_bytes(data)
        keep_set(source)
