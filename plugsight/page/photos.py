"""Photos of one plug: taken in at once, measured, shown with what was found, or with what is wrong and how to retake."""

from functools import partial

import streamlit as st
from streamlit.runtime.uploaded_file_manager import UploadedFile

from plugsight import flow
from plugsight.features import Features, Length
from plugsight.page.dress import draw
from plugsight.page.retake import retake_step
from plugsight.page.session import attempt, casebook
from plugsight.page.words_html import quiet, sentence
from plugsight.report import HelpStep
from plugsight.vocabulary.bench import BenchQuestion
from plugsight.vocabulary.engine import Place
from plugsight.vocabulary.refusal import NotFound

KINDS = ["jpg", "jpeg", "png", "heic", "heif", "webp", "tif", "tiff"]


def photos(inspection: flow.Inspection, case: flow.PlugCase) -> None:
    """Take in photos and show those there are."""
    st.subheader("Photos", anchor=False)
    cleaned = _cleaned(case)
    _take_in(inspection, case.place, cleaned=cleaned)
    for photo in case.photos:
        with st.container(border=True):
            _photo(inspection, case, photo)


def _cleaned(case: flow.PlugCase) -> bool:
    """Ask whether the plug was wiped already; after a wipe test the answer is known."""
    wiped = any(found.question in {BenchQuestion.WIPE, BenchQuestion.SCRATCH} for found in case.bench)
    cleaned = st.toggle("Wiped or cleaned already", value=wiped, key=f"cleaned-{case.place}")
    if cleaned:
        st.warning(
            "A wiped or cleaned plug is no longer evidence of its deposit: gap and wear are still measured.",
            icon=":material/cleaning_services:",
        )
    return cleaned


def _take_in(inspection: flow.Inspection, place: Place, *, cleaned: bool) -> None:
    turn = st.session_state.setdefault(f"turn-{place}", 0)
    files = st.file_uploader(
        f"Plug {place}: side-on with the strap in profile, then the tip",
        KINDS,
        accept_multiple_files=True,
        key=f"photos-{place}-{turn}",
    )
    if not files:
        return
    with st.spinner("Measuring the photo"):
        for file in files:
            attempt(partial(_add, inspection.id, place, file, cleaned=cleaned))
    # a new key empties the box, so that a rerun can't take the same file in twice
    st.session_state[f"turn-{place}"] = turn + 1
    st.rerun()


def _add(inspection: str, place: Place, file: UploadedFile, *, cleaned: bool) -> flow.Inspection:
    book = casebook()
    return book.add_photo(book.load(inspection), place, file.name, file.getvalue(), cleaned=cleaned)


def _photo(inspection: flow.Inspection, case: flow.PlugCase, photo: flow.PhotoLook) -> None:
    seen = photo.features
    picture, words = st.columns([2, 3])
    with picture:
        if isinstance(seen, NotFound):
            st.image(
                casebook().photo_bytes(photo.digest),
                caption=photo.name,
                width="stretch",
                alt=f"photo {photo.name}",
            )
        else:
            told = f"plug {case.place} with its parts outlined and the gap as found"
            st.image(seen.overlay, caption="parts and gap as found", width="stretch", alt=told)
    with words:
        if isinstance(seen, NotFound):
            st.error(f"Not measured: {sentence(seen.reason)}", icon=":material/front_hand:")
            st.markdown(f"**Retake:** {sentence(seen.remedy)}")
        else:
            _measured(seen, elsewhere=_shows_a_gap(case))
        for step in _steps_to_show(_faults(seen, elsewhere=_shows_a_gap(case))):
            with st.expander(f"Show me: {step.title.lower()}"):
                draw(step.drawing)
                st.html(quiet(step.words))
        st.button(
            "Take this photo out",
            key=f"out-{case.place}-{photo.digest[:12]}",
            icon=":material/delete:",
            on_click=_remove,
            args=(inspection.id, case.place, photo.digest),
        )


def _shows_a_gap(case: flow.PlugCase) -> bool:
    seen = [photo.features for photo in case.photos]
    return any(isinstance(one, Features) and isinstance(one.gap, Length) for one in seen)


def _measured(seen: Features, *, elsewhere: bool) -> None:
    gap = seen.gap
    if isinstance(gap, Length):
        st.markdown(f"**Gap {gap.mm:.2f} ± {gap.U_mm:.2f} mm**: {seen.gap_warning}")
        st.html(quiet("± is the 95 % uncertainty. The photo warns, the wire gauge decides."))
    elif elsewhere:
        st.html(quiet("For the look of the tip; the gap is on the other photo."))
    else:
        st.markdown(f"**No gap from this photo.** {sentence(gap.reason)} {sentence(gap.remedy)}")
    told = "" if isinstance(gap, Length) or elsewhere else gap.reason
    for words, remedy in _faults(seen, elsewhere=elsewhere):
        if words not in told:
            st.markdown(f":material/info: {sentence(words)} {sentence(remedy)}")


def _faults(seen: Features | NotFound, *, elsewhere: bool) -> list[tuple[str, str]]:
    """Return what is wrong with a photo and the remedies; a gap that another photo shows is no fault of this one."""
    if isinstance(seen, NotFound):
        return [(seen.reason, seen.remedy)]
    noted = [(note.words, note.remedy) for note in seen.notes]
    if isinstance(seen.gap, Length):
        return noted
    if elsewhere:
        return [(words, remedy) for words, remedy in noted if words not in seen.gap.reason]
    return [(seen.gap.reason, seen.gap.remedy), *noted]


def _steps_to_show(faults: list[tuple[str, str]]) -> tuple[HelpStep, ...]:
    """Return the drawn help for every fault, each step once."""
    steps = {step.title: step for fault in faults if (step := retake_step(" ".join(fault))) is not None}
    return tuple(steps.values())


def _remove(inspection: str, place: Place, digest: str) -> None:
    book = casebook()
    attempt(lambda: book.remove_photo(book.load(inspection), place, digest))
