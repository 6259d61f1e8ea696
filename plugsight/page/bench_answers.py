"""Bench questions as rows of answers: one touch each, kept at once; one button for a plug that is sound all round."""

from collections.abc import Sequence
from functools import partial

import streamlit as st

from plugsight import flow
from plugsight.casebook import Casebook
from plugsight.page.session import attempt, casebook
from plugsight.page.words_html import quiet
from plugsight.vocabulary.bench import BENCH, CANT_TELL, BenchFinding, BenchQuestion
from plugsight.vocabulary.engine import Place

REMOVAL = (
    BenchQuestion.CAME_OUT,
    BenchQuestion.WELL,
    BenchQuestion.GASKET,
    BenchQuestion.SMELL,
    BenchQuestion.LIQUID,
)
TESTS = (
    BenchQuestion.WIPE,
    BenchQuestion.SCRATCH,
    BenchQuestion.METAL_BLUED,
    BenchQuestion.NOSE_CLEANER,
    BenchQuestion.GAP_CLOSED_BY,
)
SOUND = {
    BenchQuestion.LENS: "no crack",
    BenchQuestion.THREAD: "sound",
    BenchQuestion.SEAT: "sound",
    BenchQuestion.TERMINAL: "sound",
    BenchQuestion.OUTER_INSULATOR: "sound",
    BenchQuestion.DROPPED: "no",
    BenchQuestion.ELECTRODE_SQUARE: "yes",
}
"""What a plug must be, by eye and lens, before it may go back in."""


def came_out(inspection: flow.Inspection, case: flow.PlugCase) -> None:
    """Ask how the plug came out; folded away once answered."""
    told = _answers(case)
    said = ", ".join(told[q] for q in REMOVAL if q in told)
    with st.expander(f"How it came out: {said}" if said else "How it came out"):
        _questions(inspection, case, REMOVAL)


def soundness(inspection: flow.Inspection, case: flow.PlugCase) -> None:
    """Offer the one touch that says a person looked all round and found nothing."""
    st.subheader("Look all round, with a 10x lens", anchor=False)
    told = _answers(case)
    if all(told.get(question) == answer for question, answer in SOUND.items()):
        st.html(
            quiet(
                "Looked at and sound: nose, thread, seat, terminal, outer insulator; edge square, not dropped."
            )
        )
        return
    st.html(
        quiet(
            "Only if you looked at every one of these: nose without crack, thread, seat, terminal and outer "
            "insulator sound, electrode's edge square, never dropped."
        )
    )
    st.button(
        "All of it sound",
        key=f"sound-{case.place}",
        icon=":material/done_all:",
        width="stretch",
        on_click=_all_sound,
        args=(inspection.id, case.place),
    )


def looks_all_round(inspection: flow.Inspection, case: flow.PlugCase) -> None:
    """Ask each question by itself: looks, then tests."""
    told = _answers(case)
    answered = sum(question in told for question in (*SOUND, *TESTS))
    label = "One by one, and the bench tests" + (f" ({answered} answered)" if answered else "")
    with st.expander(label):
        _questions(inspection, case, (*TESTS[:2], *SOUND, *TESTS[2:]))


def ask(inspection: flow.Inspection, case: flow.PlugCase, question: BenchQuestion, *, where: str) -> None:
    """Show one question with its answers; ``where`` keeps two showings of it apart."""
    key = f"{where}-{question}-{case.place}"
    st.pills(
        BENCH[question].how[0].upper() + BENCH[question].how[1:],
        (*BENCH[question].answers, CANT_TELL),
        default=_answers(case).get(question),
        key=key,
        wrap=True,
        on_change=_keep,
        args=(key, inspection.id, case.place, question),
    )


def _questions(inspection: flow.Inspection, case: flow.PlugCase, asked: Sequence[BenchQuestion]) -> None:
    for question in asked:
        ask(inspection, case, question, where="bench")


def _answers(case: flow.PlugCase) -> dict[BenchQuestion, str]:
    earlier = case.confirmations[-1].bench if case.confirmations else ()
    return {found.question: found.answer for found in (*earlier, *case.bench)}


def _keep(key: str, inspection: str, place: Place, question: BenchQuestion) -> None:
    # touching the chosen answer again takes nothing back: what was said stays said until another answer is given
    answer = st.session_state[key]
    if answer is not None:
        book = casebook()
        attempt(partial(_answer, book, inspection, place, BenchFinding(question, str(answer))))


def _all_sound(inspection: str, place: Place) -> None:
    book = casebook()
    for question, answer in SOUND.items():
        if not attempt(partial(_answer, book, inspection, place, BenchFinding(question, answer))):
            return
        for where in ("bench", "split"):
            st.session_state.pop(f"{where}-{question}-{place}", None)


def _answer(book: Casebook, inspection: str, place: Place, finding: BenchFinding) -> flow.Inspection:
    return book.answer(book.load(inspection), place, finding)
