"""What the photos suggest, and the person's decision: agree, correct, or can't tell, with one touch."""

from collections.abc import Iterable

import streamlit as st

from plugsight import flow
from plugsight.casebook import Casebook
from plugsight.page.address import here
from plugsight.page.bench_answers import ask
from plugsight.page.session import attempt, casebook
from plugsight.page.suggested import behind_the_suggestion, suggested
from plugsight.page.words_html import quiet
from plugsight.report.plug_words import condition, decided_by
from plugsight.suggestion import Suggestion
from plugsight.vocabulary.damage import DAMAGE, Damage
from plugsight.vocabulary.deposits import DEPOSITS, Deposit
from plugsight.vocabulary.engine import Place
from plugsight.vocabulary.errors import PlugsightError
from plugsight.vocabulary.refusal import Abstention, NotFound

OFFERED = 3
"""Members of a suggested set with a button of their own; the others stand in the list of all deposits."""


def decision(inspection: flow.Inspection, case: flow.PlugCase) -> None:
    """Show the standing decision with a way to change it, or ask for one."""
    st.subheader("What do you see?", anchor=False)
    decided = case.confirmation
    if decided is not None:
        st.success(f"**{condition(decided)}**  \n{decided_by(decided)}", icon=":material/how_to_reg:")
        with st.expander("Change the decision"):
            _ask(inspection, case)
        return
    if not here().person.strip():
        st.html(quiet("Write your name or initials above first: every decision carries one."))
    _ask(inspection, case)


def _ask(inspection: flow.Inspection, case: flow.PlugCase) -> None:
    book = casebook()
    blind = book.blind(inspection, case.place)
    look = None if blind or not case.photos else _looked(book, inspection, case)
    if blind:
        st.info(
            "Decide this one by eye first. About one plug in five is decided before its suggestion is shown: "
            "that keeps the tool honest about how often it is right.",
            icon=":material/visibility:",
        )
    elif isinstance(look, Abstention) and any(_refused(photo, look) for photo in case.photos):
        st.html(quiet("No suggestion: see what is wrong with the photo above. Retake it, or decide by eye."))
    elif look is not None:
        suggested(look)
        if isinstance(look, Suggestion):
            _agree(inspection, case, look)
            behind_the_suggestion(look)
            for splitter in look.split_by[:1]:
                ask(inspection, case, splitter.question, where="split")
    damage = st.pills(
        "Damage or wear you see (none: leave empty)",
        list(Damage),
        selection_mode="multi",
        format_func=str,
        key=f"damage-{case.place}",
        wrap=True,
        help="  \n".join(f"**{name}**: {words.look}" for name, words in DAMAGE.items()),
    )
    with st.expander("More than one deposit"):
        beside = st.pills(
            "First touch what lies beside the main one",
            list(Deposit),
            selection_mode="multi",
            format_func=str,
            key=f"beside-{case.place}",
            wrap=True,
        )
    st.markdown("**The main deposit: touching one decides the plug**")
    with st.container(horizontal=True, gap="small"):
        for deposit in Deposit:
            st.button(
                str(deposit),
                key=f"is-{deposit}-{case.place}",
                help=f"{DEPOSITS[deposit].look}. Says: {DEPOSITS[deposit].says}.",
                on_click=_decide,
                args=(
                    inspection.id,
                    case.place,
                    (deposit, *(d for d in beside if d != deposit)),
                    tuple(damage),
                ),
            )
        st.button(
            "can't tell",
            key=f"cant-{case.place}",
            icon=":material/help:",
            on_click=_decide,
            args=(inspection.id, case.place, (), ()),
        )


def _looked(book: Casebook, inspection: flow.Inspection, case: flow.PlugCase) -> Suggestion | Abstention:
    """Pool the photos; where that fails (no model on this machine), the person still decides by eye."""
    try:
        return book.look(inspection, case.place).suggestion
    except PlugsightError as problem:
        return Abstention(str(problem), "Decide by eye.")


def _refused(photo: flow.PhotoLook, look: Abstention) -> bool:
    """Return whether the photo's own card already says why there is no suggestion."""
    return isinstance(photo.features, NotFound) and photo.features.reason == look.reason


def _agree(inspection: flow.Inspection, case: flow.PlugCase, look: Suggestion) -> None:
    damage = tuple(found.damage for found in look.damage)
    for deposit in look.members[:OFFERED]:
        words = ", ".join(map(str, (deposit, *damage)))
        st.button(
            f"Yes: {words}",
            key=f"yes-{deposit}-{case.place}",
            # of several none stands out: which one it is, the person sees
            type="primary" if len(look.members) == 1 else "secondary",
            icon=":material/check:",
            width="stretch",
            on_click=_decide,
            args=(inspection.id, case.place, (deposit,), damage),
        )


def _decide(inspection: str, place: Place, deposits: Iterable[Deposit], damage: Iterable[Damage]) -> None:
    seen, book = tuple(deposits), casebook()
    attempt(
        lambda: book.decide(
            book.load(inspection),
            place,
            seen,
            who=here().person,
            damage=() if not seen else damage,
            cant_tell=not seen,
        )
    )
