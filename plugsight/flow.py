"""READ FIRST: the whole job, from photographs and readings to a report.

    look_at        one photo file    -> PhotoLook      what was measured on it, or why nothing was
    look           photos of a plug  -> PlugLook       the pooled suggestion, or why there is none
                   ... a person confirms or corrects, gauges, and meters (``confirmation``, ``readings``) ...
    conclude       an inspection     -> Conclusion     causes, next checks and a verdict per plug
    make_report                      -> Report         what is handed over
                   ... the repair; what it proved is one more entry in the casebook, and in the labelled set ...

The records are in ``plugsight/inspection.py``; ``plugsight/casebook`` saves every step. Causes see only confirmations:
``conclude`` takes what people decided and never looks at a suggestion.
"""

from collections.abc import Sequence

from plugsight import __version__
from plugsight.causes import Evidence, find_causes
from plugsight.causes.facts import check_engine
from plugsight.checks import choose_checks
from plugsight.features import Features, Length, measure
from plugsight.inspection import (
    Conclusion,
    Inspection,
    PhotoLook,
    PlugCase,
    PlugLook,
    places,
    undecided,
)
from plugsight.photo import read_photo
from plugsight.readings import Readings, judge_readings
from plugsight.report import PlugPicture, PlugRow, Report, Shop
from plugsight.segments import find_parts
from plugsight.suggestion import suggest
from plugsight.verdict import cautions_for, decide
from plugsight.view import take_view
from plugsight.vocabulary.engine import PlugSpec
from plugsight.vocabulary.errors import DecisionMissing
from plugsight.vocabulary.honesty import RENDERED_ONLY
from plugsight.vocabulary.refusal import Abstention, NotFound
from plugsight.vocabulary.shown import ShownToPerson

__all__ = [
    "Conclusion",
    "Inspection",
    "PhotoLook",
    "PlugCase",
    "PlugLook",
    "conclude",
    "gather",
    "look",
    "look_at",
    "make_report",
    "places",
    "readings_of",
    "shown",
    "undecided",
]


def look_at(name: str, data: bytes, spec: PlugSpec, *, cleaned: bool = False) -> PhotoLook:
    """Measure one photo file.

    Raises
    ------
    InputError
        Where ``data`` is no usable picture. A usable picture without a measurable plug is no error: its
        ``features`` then say why and what to do.

    """
    photo = read_photo(data, name)
    view = take_view(photo, spec)
    if isinstance(view, NotFound):
        return PhotoLook(name, photo.digest, cleaned, view)
    parts = find_parts(view, spec)
    if isinstance(parts, NotFound):
        return PhotoLook(name, photo.digest, cleaned, parts)
    return PhotoLook(name, photo.digest, cleaned, measure(view, parts, spec))


def look(photos: Sequence[PhotoLook]) -> PlugLook:
    """Pool one plug's photos into one suggestion; photos of a cleaned plug are measured but say nothing of deposits."""
    as_removed = [p.features for p in photos if not p.cleaned]
    seen = [f for f in as_removed if isinstance(f, Features)]
    if seen:
        return PlugLook(tuple(photos), suggest(seen))
    refused = [f for f in as_removed if isinstance(f, NotFound)]
    if refused:
        return PlugLook(tuple(photos), Abstention(refused[0].reason, refused[0].remedy))
    reason = "no photo of this plug as it came out"
    return PlugLook(tuple(photos), Abstention(reason, "Photograph it untouched, or decide by eye."))


def shown(seen: PlugLook, *, blind: bool) -> ShownToPerson:
    """Copy what stands on screen into plain words and numbers, for the record."""
    suggestion = seen.suggestion
    if blind:
        return ShownToPerson(blind=True)
    if isinstance(suggestion, Abstention):
        return ShownToPerson(blind=False, abstained=suggestion.reason)
    chance = {c.deposit: c.chance for c in suggestion.chances}
    return ShownToPerson(
        blind=False,
        suggested=tuple(suggestion.members),
        chances=tuple(chance[d] for d in suggestion.members),
        damage=tuple(d.damage for d in suggestion.damage),
        why=tuple(reason.words for reason in suggestion.why),
        model_digest=suggestion.model_digest,
    )


def gather(inspection: Inspection) -> Evidence:
    """Collect what people decided, read and found out.

    Raises
    ------
    InputError
        Where engine facts or readings contradict themselves.
    DecisionMissing
        Where a plug is undecided, naming it.

    """
    check_engine(inspection.engine, inspection.context)
    missing = undecided(inspection)
    if missing:
        names = ", ".join(map(str, missing))
        raise DecisionMissing(
            f'plug {names}: nobody has decided. Confirm or correct what is seen, or mark it "can\'t tell".'
        )
    entries = [entry for case in inspection.plugs for entry in case.entries]
    readings = judge_readings(entries, inspection.spec, inspection.meter)
    confirmations = tuple(c for case in inspection.plugs if (c := case.confirmation) is not None)
    return Evidence(
        inspection.engine, inspection.spec, inspection.context, confirmations, readings, inspection.outcomes
    )


def conclude(inspection: Inspection) -> Conclusion:
    """Reason from the confirmed plugs to causes, next checks and verdicts; raises as ``gather`` does."""
    evidence = gather(inspection)
    causes = find_causes(evidence)
    checks = choose_checks(evidence, causes)
    verdicts = tuple(decide(evidence, case.place, causes) for case in inspection.plugs)
    return Conclusion(evidence, causes, checks, verdicts, cautions_for(evidence))


def make_report(
    inspection: Inspection,
    conclusion: Conclusion,
    *,
    who: str,
    made: str,
    shop: Shop | None = None,
    previous: Sequence[str] = (),
) -> Report:
    """Put together everything that is handed over. ``made`` is ISO 8601 with its offset."""
    rows = []
    for case, verdict in zip(inspection.plugs, conclusion.verdicts, strict=True):
        confirmation = conclusion.evidence.of(case.place)
        if confirmation is None:  # gather() refuses undecided plugs
            raise DecisionMissing(f"plug {case.place}: nobody has decided.")
        pictures = tuple(_picture(p) for p in case.photos)
        readings = conclusion.evidence.readings.of(case.place)
        rows.append(PlugRow(case.place, pictures, confirmation, readings, verdict))
    models = {row.confirmation.shown.model_digest for row in rows} - {""}
    return Report(
        inspection=inspection.id,
        made=made,
        version=__version__,
        model_digest=", ".join(sorted(models)),
        engine=inspection.engine,
        spec=inspection.spec,
        context=inspection.context,
        who=who,
        plugs=tuple(rows),
        causes=conclusion.causes,
        checks=conclusion.checks,
        checks_done=inspection.outcomes,
        repair=inspection.repairs[-1] if inspection.repairs else None,
        cautions=conclusion.cautions,
        honesty=RENDERED_ONLY,
        invented=inspection.invented,
        shop=shop or Shop(),
        previous=tuple(previous),
    )


def _picture(photo: PhotoLook) -> PlugPicture:
    caption = f"{photo.name} (cleaned)" if photo.cleaned else photo.name
    seen = photo.features
    if isinstance(seen, NotFound):
        return PlugPicture(caption, photo.digest, None, None, None, None, seen.reason, (seen.remedy,))
    gap = seen.gap
    mm: float | None = None
    wide: float | None = None
    if isinstance(gap, Length):
        mm, wide = gap.mm, gap.U_mm
        words = f"{mm:.2f} ± {wide:.2f} mm, {seen.gap_warning}"
    else:
        words = gap.reason
    return PlugPicture(
        caption=caption,
        photo_digest=photo.digest,
        picture=seen.canonical,
        overlay=seen.overlay,
        gap_mm=mm,
        gap_U_mm=wide,
        gap_words=words,
        notes=tuple(f"{note.words}: {note.remedy}" for note in seen.notes),
        nose_lab=seen.nose_lab,
    )


def readings_of(inspection: Inspection) -> Readings:
    """Judge the readings entered so far, for showing them before anything is concluded."""
    entries = [entry for case in inspection.plugs for entry in case.entries]
    return judge_readings(entries, inspection.spec, inspection.meter)
