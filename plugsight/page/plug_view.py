"""One plug, in the order of the bench: how it came out, photos, decision, bench tests, readings."""

import streamlit as st

from plugsight import flow
from plugsight.page.address import go, here
from plugsight.page.bench_answers import came_out, looks_all_round, soundness
from plugsight.page.decision import decision
from plugsight.page.person import ask_person
from plugsight.page.photos import photos
from plugsight.page.plug_state import missing_words
from plugsight.page.reading_entries import reading_entries
from plugsight.page.words_html import quiet
from plugsight.vocabulary.engine import Place


def show(inspection: flow.Inspection) -> None:
    """Show the plug that the address names; the first one where it names none."""
    places = [case.place for case in inspection.plugs]
    place = here().place
    if place not in places:
        place = places[0]
    case = inspection.plug(place)
    with st.container(horizontal=True, gap="small", key="strip"):
        for other in places:
            st.button(
                str(other),
                key=f"strip-{other}",
                type="primary" if other == place else "secondary",
                on_click=go,
                args=("plug",),
                kwargs={"place": other},
                help=f"plug {other}",
            )
    st.header(f"Plug {place}", anchor=False)
    ask_person()
    came_out(inspection, case)
    photos(inspection, case)
    decision(inspection, case)
    soundness(inspection, case)
    looks_all_round(inspection, case)
    reading_entries(inspection, case)
    _onward(case, places)


def _onward(case: flow.PlugCase, places: list[Place]) -> None:
    missing = missing_words(case)
    if missing:
        st.html(quiet(f"Still missing here: {', '.join(missing)}."))
    k = places.index(case.place)
    after = places[k + 1] if k + 1 < len(places) else None
    label = f"Next: plug {after}" if after else "All plugs"
    st.button(
        label,
        key="next",
        type="primary",
        icon=":material/arrow_forward:",
        width="stretch",
        on_click=go,
        args=("plug" if after else "plugs",),
        kwargs={"place": after} if after else {},
    )
