"""The plugs laid out as they sit in the engine, and what is still missing."""

import streamlit as st

from plugsight import flow
from plugsight.features import Features
from plugsight.page.address import go
from plugsight.page.person import ask_person
from plugsight.page.phone_card import phone_card
from plugsight.page.plug_state import missing_words, plug_icon, plug_words
from plugsight.page.words_html import quiet, rows
from plugsight.vocabulary.engine import EngineFacts


def show(inspection: flow.Inspection) -> None:
    """Show one tile per plug, bank by bank, then the list of what is missing."""
    ask_person()
    st.header("Plugs as they sit in the engine", anchor=False)
    if inspection.engine.firing_order:
        st.html(quiet("Firing order " + "-".join(map(str, inspection.engine.firing_order))))
    banks = bank_rows(inspection.engine)
    for number, row in enumerate(banks, 1):
        if len(banks) > 1:
            st.html(quiet(f"Bank {number}"))
        # buttons in one line, whether a picture stands above them or not
        with st.container(horizontal=True, gap="small", vertical_alignment="bottom"):
            for case in inspection.plugs:
                if case.place.cylinder in row:
                    _tile(case)
    phone_card(inspection)
    _missing(inspection)


def bank_rows(engine: EngineFacts) -> tuple[tuple[int, ...], ...]:
    """Return cylinders row by row: along each casting where known, else bank by bank, else all in one row."""
    rows = engine.rows or engine.banks
    everyone = tuple(range(1, engine.cylinders + 1))
    placed = {number for row in rows for number in row}
    rest = tuple(number for number in everyone if number not in placed)
    return (*rows, rest) if rest else tuple(rows)


def _tile(case: flow.PlugCase) -> None:
    seen = next((photo.features for photo in case.photos if isinstance(photo.features, Features)), None)
    with st.container(width=165, gap="small"):
        if seen is not None:
            st.image(seen.canonical, width="stretch", alt=f"plug {case.place}")
        st.button(
            f"**{case.place}**  {plug_words(case)}",
            key=f"tile-{case.place}",
            icon=plug_icon(case),
            width="stretch",
            on_click=go,
            args=("plug",),
            kwargs={"place": case.place},
        )


def _missing(inspection: flow.Inspection) -> None:
    lines = [(case.place, words) for case in inspection.plugs if (words := missing_words(case))]
    st.header("Still missing", anchor=False)
    if not lines:
        st.html(quiet("Nothing: every plug is photographed, decided, gauged and metered."))
    if lines:
        st.html(rows((f"plug {place}", ", ".join(words)) for place, words in lines))
    undecided = flow.undecided(inspection)
    if undecided:
        names = ", ".join(map(str, undecided))
        st.html(
            quiet(
                f'Causes and verdicts wait for a decision on plug {names}. "Can\'t tell" is a decision too.'
            )
        )
    else:
        st.button(
            "On to the causes",
            type="primary",
            icon=":material/arrow_forward:",
            width="stretch",
            on_click=go,
            args=("causes",),
        )
