"""Where the person is, kept in the page's address: a reload or a restarted server loses nothing."""

from dataclasses import dataclass

import streamlit as st

from plugsight.vocabulary.engine import Place

INSPECTION, VIEW, CYLINDER, POSITION, PERSON = "i", "v", "c", "pos", "by"


@dataclass(frozen=True, slots=True)
class Address:
    """Inspection id, view, plug and the person at the bench; empty where not chosen."""

    inspection: str
    view: str
    place: Place | None
    person: str


def here() -> Address:
    """Read the address; what it can't mean is taken as not chosen."""
    asked = st.query_params
    cylinder = asked.get(CYLINDER, "")
    place = (
        Place(int(cylinder), asked.get(POSITION, "")) if cylinder.isdecimal() and len(cylinder) < 4 else None
    )
    return Address(asked.get(INSPECTION, ""), asked.get(VIEW, ""), place, asked.get(PERSON, ""))


def go(view: str, *, inspection: str | None = None, place: Place | None = None) -> None:
    """Go to a view; the inspection and the person stay unless another inspection is named."""
    st.query_params[VIEW] = view
    if inspection is not None:
        st.query_params[INSPECTION] = inspection
    for name in (CYLINDER, POSITION):
        if name in st.query_params:
            del st.query_params[name]
    if place is not None:
        st.query_params[CYLINDER] = str(place.cylinder)
        if place.position:
            st.query_params[POSITION] = place.position


def leave() -> None:
    """Go to the start without an inspection."""
    if INSPECTION in st.query_params:
        del st.query_params[INSPECTION]
    go("start")


def sign_in(person: str) -> None:
    """Keep the name of the person at the bench."""
    if person.strip():
        st.query_params[PERSON] = person.strip()
    elif PERSON in st.query_params:
        del st.query_params[PERSON]
