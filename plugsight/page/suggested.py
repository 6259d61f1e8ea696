"""The suggestion in words: the set, why, and how far it may be trusted."""

import streamlit as st

from plugsight.page.words_html import quiet, sentence
from plugsight.suggestion import Suggestion
from plugsight.vocabulary.deposits import DEPOSITS
from plugsight.vocabulary.refusal import Abstention


def suggested(look: Suggestion | Abstention) -> None:
    """Show what the photos suggest, or why they suggest nothing."""
    if isinstance(look, Abstention):
        st.warning(
            f"No suggestion. {sentence(look.reason)} {sentence(look.remedy)}", icon=":material/photo_camera:"
        )
        return
    names = " or ".join(map(str, look.members))
    st.markdown(f"The photo suggests **{names or 'nothing it knows'}**")
    for member in look.members:
        st.html(quiet(f"{member}: {DEPOSITS[member].look}"))
    if look.damage:
        st.markdown(f"Damage suggested: **{', '.join(str(found.damage) for found in look.damage)}**")
    for reason in look.why[:4]:
        st.markdown(f"- {sentence(reason.words)}")
    for splitter in look.split_by[:1]:
        st.markdown(f"To part them: {sentence(splitter.words)}")
    share = round(look.coverage * 100)
    st.html(
        quiet(
            f"On photos like the ones it was set with, about {share} of 100 such sets hold the right answer; an average "
            "over plugs, not a promise for this one, and not yet shown for your photos."
        )
    )
