"""A new model learnt from renders and confirmed photos, compared on blind plugs, and put to use only if it is better."""

import tempfile
from collections.abc import Callable
from pathlib import Path

import streamlit as st

from plugsight.labels import kept_sets
from plugsight.page.session import attempt, press
from plugsight.page.words_html import quiet, sentence
from plugsight.suggestion import active
from plugsight.suggestion.model_file import load_model
from plugsight.training.confirmed import confirmed_table
from plugsight.training.learn import Learned, learn
from plugsight.training.table import read_table
from plugsight.training.trial import Trial, hold_trial
from plugsight.vocabulary.errors import InputError

_FOLDER, _TRIAL = "learnt-folder", "learnt-trial"


def learning() -> None:
    """Learn, show how the new model compares, and offer it where it proved better."""
    st.header("Learn from the confirmed photos", anchor=False)
    st.html(
        quiet(
            "Learning starts from the table of rendered plugs (features.npz) and adds every set taken in. It takes "
            "minutes. The new model is used only if it is better on plugs decided before a suggestion was shown."
        )
    )
    table = st.file_uploader("Feature table", ["npz"])
    if table is not None and st.button("Learn and compare", key="learn", icon=":material/model_training:"):
        with st.status("Learning", expanded=True) as progress:
            done = attempt(lambda: _learn(table.getvalue(), progress.write))
            progress.update(label="Done" if done else "Refused", state="complete" if done else "error")
        if not done:
            st.rerun()
    trial = st.session_state.get(_TRIAL)
    if trial is not None:
        _offer(trial)


def _learn(data: bytes, tell: Callable[[str], object]) -> None:
    sets = kept_sets()
    if not sets:
        raise InputError(
            "labelled sets", "there are none to compare on", "Make a set of your plugs and take it in first."
        )
    folder = Path(tempfile.mkdtemp(prefix="plugsight-learnt-"))
    source = folder / "features.npz"
    source.write_bytes(data)
    tell("Reading the table and the confirmed photos")
    confirmed = confirmed_table(list(sets))
    tell("Comparing families, fitting, calibrating")
    made: Learned = learn(read_table(source), folder, confirmed=confirmed)
    for name, scores in made.scores:
        tell(f"{name}: {scores.plugs} plugs, balanced accuracy {scores.balanced[0]:.2f}")
    st.session_state[_FOLDER] = str(folder)
    in_use = load_model(active.active_folder())
    st.session_state[_TRIAL] = hold_trial(in_use, made.model, confirmed)


def _offer(trial: Trial) -> None:
    st.markdown(f"**{sentence(trial.decision.words)}**")
    if trial.decision.promote:
        st.button("Put the new model to use", key="promote", type="primary", on_click=press, args=(_promote,))


def _promote() -> None:
    active.promote(Path(st.session_state.pop(_FOLDER)))
    st.session_state.pop(_TRIAL, None)
