"""The labelled set out and in, and the model: the one in use, a new one learnt, compared, put to use, and back."""

import streamlit as st

from plugsight.page.label_exchange import take_in, write_out
from plugsight.page.learning import learning
from plugsight.page.session import press
from plugsight.page.words_html import quiet
from plugsight.suggestion import active
from plugsight.suggestion.model_file import load_model
from plugsight.vocabulary.errors import PlugsightError


def show() -> None:
    """Show the model in use, then the ways to make the next one better."""
    st.title("Photos and model", anchor=False)
    st.header("Model in use", anchor=False)
    _in_use()
    write_out()
    take_in()
    learning()


def _in_use() -> None:
    try:
        folder = active.active_folder()
        model = load_model(folder)
    except PlugsightError as problem:
        st.error(str(problem), icon=":material/front_hand:")
        return
    st.markdown(f"**{model.digest[:12]}**: {model.trained}")
    card = folder / "deposits.card.md"
    if card.is_file():
        with st.expander("Its card: what it was made from, and how often it was right"):
            st.markdown(card.read_text("utf-8"))
    st.button(
        "Go back to the model before",
        key="back",
        icon=":material/undo:",
        on_click=press,
        args=(active.roll_back,),
    )
    st.html(quiet("The shipped model stays where it is: going back always ends with it."))
