"""Begins an inspection with the least that must be known; the rest is noted on the engine view, saved as it is typed."""

import streamlit as st

from plugsight.page.address import go, here, sign_in
from plugsight.page.session import attempt, casebook
from plugsight.page.words_html import quiet
from plugsight.vocabulary.engine import EngineFacts, PlugSpec


def engine_form() -> None:
    """Ask for engine, cylinders and person; a filled form starts an inspection and goes to its engine view."""
    known = [engine.name for engine in casebook().store.engines()]
    with st.form("start", enter_to_submit=True):
        name = st.text_input(
            "Engine (as you will look for it again)", max_chars=80, placeholder="model, plate or job number"
        )
        if known:
            st.html(quiet("Known engines: " + ", ".join(known[:12])))
        cylinders = st.number_input("Cylinders", min_value=1, max_value=16, value=4, step=1)
        twin = st.toggle("Two plugs per cylinder", value=False)
        person = st.text_input("Your name or initials", value=here().person, max_chars=40)
        begin = st.form_submit_button("Begin", type="primary", icon=":material/play_arrow:", width="stretch")
    if begin and _filled(name, person):
        sign_in(person)
        positions = ("1", "2") if twin else ("",)
        attempt(lambda: _begin(EngineFacts(name.strip(), int(cylinders), positions=positions)))
        st.rerun()


def _filled(name: str, person: str) -> bool:
    if not name.strip():
        st.error("Engine: no name was given. Write a model, plate or job number.")
    if not person.strip():
        st.error("Your name: a decision needs the name of the person who made it. Write a name or initials.")
    return bool(name.strip() and person.strip())


def _begin(engine: EngineFacts) -> None:
    before = casebook().history(engine.name)
    # a known engine brings its facts and its plugs' figures along; the circumstances are new every time
    last = before[-1] if before else None
    same = last is not None and (last.engine.cylinders, last.engine.positions) == (
        engine.cylinders,
        engine.positions,
    )
    if last is not None and same:
        started = casebook().start(last.engine, last.spec, meter=last.meter)
    else:
        started = casebook().start(engine, PlugSpec())
    go("engine", inspection=started.id)
