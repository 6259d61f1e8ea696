"""The suggestion in words: the set and why, then what each member looks like and how far it may be trusted."""

from html import escape

import streamlit as st

from plugsight.page.words_html import quiet, sentence
from plugsight.suggestion import Suggestion
from plugsight.vocabulary.deposits import DEPOSITS
from plugsight.vocabulary.refusal import Abstention

DESCRIBED = 3
"""Members of the set whose look is described; more would push the decision off a phone's screen."""


def suggested(look: Suggestion | Abstention) -> None:
    """Show what the photos suggest and the few measurements behind it, or why they suggest nothing."""
    if isinstance(look, Abstention):
        st.warning(
            f"No suggestion. {sentence(look.reason)} {sentence(look.remedy)}", icon=":material/photo_camera:"
        )
        return
    names = " or ".join(map(str, look.members))
    st.markdown(f"The photo suggests **{names or 'nothing it knows'}**")
    if look.damage:
        st.markdown(f"Damage suggested: **{', '.join(str(found.damage) for found in look.damage)}**")
    reasons = "".join(f"<li>{escape(sentence(reason.words))}</li>" for reason in look.why[:4])
    st.html(f'<div class="ps-tight"><ul>{reasons}</ul></div>')


def behind_the_suggestion(look: Suggestion) -> None:
    """Say what the members look like, the bench test that parts them, and how far the set may be trusted."""
    for member in look.members[:DESCRIBED]:
        st.html(quiet(f"{member}: {DEPOSITS[member].look}"))
    share = round(look.coverage * 100)
    st.html(
        quiet(
            f"On photos like the ones it was set with, about {share} of 100 such sets hold the right answer; an average "
            "over plugs, not a promise for this one, and not yet shown for your photos."
        )
    )
    for splitter in look.split_by[:1]:
        st.markdown(f"To part them: {sentence(splitter.words)}")
