"""Pour an engine file into the casebook. Doing it twice adds nothing: only what is new is saved."""

import hashlib
from collections.abc import Iterator
from dataclasses import dataclass

from plugsight.casebook import Casebook
from plugsight.cli.engine_file import EngineFile, FileDecision, FilePhoto, FilePlug, ManyProblems
from plugsight.cli.screen import progress
from plugsight.confirmation import Confirmation, Decision
from plugsight.flow import Inspection, PlugCase
from plugsight.photo import photo_file, read_photo
from plugsight.vocabulary.engine import Place
from plugsight.vocabulary.errors import InputError


@dataclass(frozen=True, slots=True)
class _Shot:
    """One photo of the file at its plug."""

    place: Place
    photo: FilePhoto


def check_photos(file: EngineFile) -> None:
    """Decode every photo once, so that an unusable one is told before anything is saved.

    Raises
    ------
    InputError, ManyProblems
        Not a usable picture, or the same picture at two plugs.

    """
    problems: list[InputError] = []
    first: dict[str, _Shot] = {}
    for shot in progress(_shots(file), "checking photos", lambda s: s.photo.path.name):
        try:
            digest = read_photo(shot.photo.path).digest
        except InputError as problem:
            problems.append(
                InputError(f"plug {shot.place}, {problem.where}", problem.rule, problem.remedy, problem.seen)
            )
            continue
        other = first.setdefault(digest, shot)
        if other.place != shot.place:
            problems.append(
                InputError(
                    f"plug {shot.place}, {shot.photo.path.name}",
                    f"this photo already stands at plug {other.place} ({other.photo.path.name})",
                    "One photo shows one plug: remove it at one of them.",
                )
            )
    if len(problems) == 1:
        raise problems[0]
    if problems:
        raise ManyProblems(problems)


def pour(book: Casebook, file: EngineFile, inspection: Inspection) -> Inspection:
    """Save what the file says beyond what the inspection already holds, and return it as it then stands."""
    facts = (inspection.engine, inspection.spec, inspection.context, inspection.meter)
    if facts != (file.engine, file.spec, file.context, file.meter):
        inspection = book.set_facts(
            inspection, engine=file.engine, spec=file.spec, context=file.context, meter=file.meter
        )
    for shot in progress(_shots(file), "looking", lambda s: f"plug {s.place}, {s.photo.path.name}"):
        data = photo_file(shot.photo.path)
        if hashlib.sha256(data).hexdigest() not in {p.digest for p in inspection.plug(shot.place).photos}:
            inspection = book.add_photo(
                inspection, shot.place, shot.photo.path.name, data, cleaned=shot.photo.cleaned
            )
    for plug in progress(file.plugs, "saving", lambda p: f"plug {p.place}"):
        inspection = _pour_plug(book, inspection, plug)
    for outcome in file.checks:
        if outcome not in inspection.outcomes:
            inspection = book.check(inspection, outcome)
    if file.repair is not None and file.repair not in inspection.repairs:
        inspection = book.repair(inspection, file.repair)
    return inspection


def _pour_plug(book: Casebook, inspection: Inspection, plug: FilePlug) -> Inspection:
    for entry in plug.readings:
        if entry not in inspection.plug(plug.place).entries:
            inspection = book.read(inspection, entry)
    case, wanted = inspection.plug(plug.place), plug.decision
    if wanted is None or _stands(case, wanted):
        known = () if case.confirmation is None else case.confirmation.bench
        for finding in plug.bench:
            if finding not in (*known, *case.bench):
                inspection = book.answer(inspection, plug.place, finding)
        return inspection
    return book.decide(
        inspection,
        plug.place,
        wanted.deposits,
        who=wanted.who,
        damage=wanted.damage,
        absent=wanted.absent,
        damage_absent=wanted.damage_absent,
        bench=plug.bench,
        cant_tell=wanted.cant_tell,
        note=wanted.note,
    )


def _stands(case: PlugCase, wanted: FileDecision) -> bool:
    """Whether the plug's standing decision says exactly what the file says."""
    if not case.confirmations:
        return False
    last: Confirmation = case.confirmations[-1]
    return (last.who, last.deposits, last.damage, last.absent, last.damage_absent, last.note) == (
        wanted.who,
        wanted.deposits,
        wanted.damage,
        wanted.absent,
        wanted.damage_absent,
        wanted.note,
    ) and (last.decision is Decision.CANT_TELL) == wanted.cant_tell


def _shots(file: EngineFile) -> Iterator[_Shot]:
    for plug in file.plugs:
        for photo in plug.photos:
            yield _Shot(plug.place, photo)
