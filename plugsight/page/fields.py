"""Entries that are saved the moment they are made: each knows how to put its value into a record."""

from collections.abc import Callable, Sequence
from enum import StrEnum

import streamlit as st

from plugsight import flow
from plugsight.page.session import attempt, casebook

Save = Callable[[flow.Inspection, object], object]
"""Takes the inspection as it stands now and the new value; saves it."""


def choice(
    label: str, options: Sequence[str], value: str | None, key: str, inspection: str, save: Save
) -> None:
    """Offer one of several; touching the chosen one again takes it back to not known."""
    st.pills(
        label,
        [str(option) for option in options],
        default=None if value in {None, ""} else str(value),
        key=key,
        wrap=True,
        on_change=_store,
        args=(key, inspection, save),
    )


def several(
    label: str,
    options: Sequence[str],
    value: Sequence[str],
    key: str,
    inspection: str,
    save: Save,
    words: Callable[[str], str] = str,
) -> None:
    """Offer any number of several."""
    st.pills(
        label,
        list(options),
        selection_mode="multi",
        default=list(value),
        format_func=words,
        key=key,
        wrap=True,
        on_change=_store,
        args=(key, inspection, save),
    )


def text(label: str, value: str, key: str, inspection: str, save: Save, *, hint: str = "") -> None:
    """Ask for a line of text."""
    st.text_input(
        label, value, key=key, max_chars=400, placeholder=hint, on_change=_store, args=(key, inspection, save)
    )


def number(label: str, value: float | None, key: str, inspection: str, save: Save, *, most: float) -> None:
    """Ask for a number from 0 to ``most``; empty means not known."""
    st.number_input(
        label,
        min_value=0.0,
        max_value=most,
        value=None if value is None else float(value),
        step=None,
        format="%.10g",
        placeholder="not known",
        key=key,
        on_change=_store,
        args=(key, inspection, save),
    )


def tri(label: str, value: bool | None, key: str, inspection: str, save: Save) -> None:
    """Ask yes or no; neither means not known."""
    chosen = None if value is None else ("yes" if value else "no")

    def put(now: flow.Inspection, answer: object) -> object:
        return save(now, None if answer is None else answer == "yes")

    choice(label, ("yes", "no"), chosen, key, inspection, put)


def member(kind: type[StrEnum], answer: object) -> StrEnum | None:
    """Return the enum's member of that name, or None for not known."""
    return None if answer is None else kind(str(answer))


def _store(key: str, inspection: str, save: Save) -> None:
    attempt(lambda: save(casebook().load(inspection), st.session_state[key]))
