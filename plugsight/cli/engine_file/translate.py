"""From the file's layout to the rooms' records, with the checks that need the whole file."""

import re
from collections import Counter
from collections.abc import Callable, Iterator
from pathlib import Path

from plugsight.causes.facts import check_engine
from plugsight.cli.engine_file.layout import (
    BeforePart,
    EngineFileLayout,
    MeterPart,
    OnePlugPart,
    PlugPart,
    ReadingsPart,
    RepairPart,
    ShopPart,
)
from plugsight.cli.engine_file.record import EngineFile, FileDecision, FilePhoto, FilePlug
from plugsight.readings import ReadingEntry, ReadingKind, check_meter, check_spec, judge_readings
from plugsight.report import Shop
from plugsight.vocabulary.engine import Context, EngineFacts, Meter, Place, PlugSpec
from plugsight.vocabulary.errors import InputError
from plugsight.vocabulary.outcomes import CheckOutcome, RepairOutcome

_PLACE = re.compile(r"\s*(\d{1,2})\s*(.*?)\s*")
_LARGEST_LOGO = 2_000_000


def translate(layout: EngineFileLayout, path: Path) -> tuple[EngineFile, list[InputError]]:
    """Return the records and every problem found on the way (empty when the file is usable)."""
    engine = EngineFacts(**dict(layout.engine))
    spec, meter = spec_of(layout.plug), _meter(layout.meter)
    problems: list[InputError] = []
    plugs = tuple(_plug(part, layout.who, path.parent) for part in layout.plugs)
    problems += _misplaced(path.name, engine, plugs)
    for plug, part in zip(plugs, layout.plugs, strict=True):
        problems += _plug_problems(path.name, plug, part, spec, meter)
    context = _context(layout.before, path.name, problems)
    problems += _contradictions(path.name, engine, context, spec, meter)
    shop = _shop(layout.shop, path, problems)
    repair = None if layout.repair is None else _repair(layout.repair, layout.who)
    file = EngineFile(
        who=layout.who.strip(),
        invented=layout.invented,
        engine=engine,
        spec=spec,
        meter=meter,
        context=context,
        plugs=plugs,
        checks=tuple(CheckOutcome(**dict(c)) for c in layout.checks),
        repair=repair,
        shop=shop,
    )
    return file, problems


def spec_of(part: PlugPart) -> PlugSpec:
    """Turn the file's plug table into the spec."""
    limits, from_memory = part.gap or (None, False)
    return PlugSpec(
        thread=part.thread,
        seat=part.seat,
        gap_mm=limits,
        gap_tolerance_from_memory=from_memory,
        resistor=part.resistor,
        resistance_ohm=part.resistance,
        electrode=part.electrode,
        ground_electrodes=part.ground_electrodes,
        centre_electrode_mm=part.centre_electrode,
        torque_nm=part.torque,
        reset_allowed=part.reset_allowed,
    )


def _meter(part: MeterPart) -> Meter:
    return Meter(
        ranges_ohm=part.ranges,
        auto_ranging=part.auto_ranging,
        percent=part.percent,
        counts=part.counts,
        display_counts=part.display_counts,
        lead_ohm=part.leads,
    )


def _context(part: BeforePart, file: str, problems: list[InputError]) -> Context:
    places = []
    for written in part.not_compared:
        found = _PLACE.fullmatch(written)
        if found is None:
            problems.append(
                InputError(
                    f"{file}, before > not_compared",
                    "this names no plug",
                    'Write cylinder and position, like "3" or "3 top".',
                    written,
                )
            )
            continue
        places.append(Place(int(found[1]), found[2]))
    return Context(**{**dict(part), "not_compared": tuple(places)})


def _repair(part: RepairPart, who: str) -> RepairOutcome:
    return RepairOutcome(**{**dict(part), "who": part.who or who, "when": str(part.when)})


def _shop(part: ShopPart, path: Path, problems: list[InputError]) -> Shop:
    logo = None
    if part.logo:
        try:
            logo = (path.parent / part.logo).read_bytes()
        except OSError:
            logo = b""
        if not logo.startswith(b"\x89PNG\r\n\x1a\n") or len(logo) > _LARGEST_LOGO:
            problems.append(
                InputError(
                    f"{path.name}, shop > logo",
                    "a PNG file below 2 MB is needed",
                    "Check the path.",
                    part.logo,
                )
            )
    return Shop(part.name, part.contact, logo)


def _plug(part: OnePlugPart, who: str, folder: Path) -> FilePlug:
    place = Place(part.cylinder, part.position.strip())
    again = () if part.cleaned is None else _entries(part.cleaned, place, after_cleaning=True)
    decision = part.decision
    return FilePlug(
        place=place,
        photos=(
            *(FilePhoto(folder / name, cleaned=False) for name in part.photos),
            *(FilePhoto(folder / name, cleaned=True) for name in part.photos_cleaned),
        ),
        readings=(*_entries(part, place, after_cleaning=False), *again),
        bench=part.bench,
        decision=None
        if decision is None
        else FileDecision(**{**dict(decision), "who": decision.who.strip() or who.strip()}),
    )


def _entries(part: ReadingsPart, place: Place, *, after_cleaning: bool) -> tuple[ReadingEntry, ...]:
    meter = (
        (ReadingKind.RESISTANCE, part.resistance),
        (ReadingKind.CONTINUITY, part.continuity),
        (ReadingKind.INSULATION, part.insulation),
    )
    return (
        *(
            ReadingEntry(place, ReadingKind.GAUGE, text, electrode, after_cleaning)
            for electrode, text in enumerate(part.gap, 1)
        ),
        *(ReadingEntry(place, kind, text, 1, after_cleaning) for kind, text in meter if text is not None),
    )


def _contradictions(
    file: str, engine: EngineFacts, context: Context, spec: PlugSpec, meter: Meter
) -> Iterator[InputError]:
    """Ask each room whether the facts it takes can be right."""
    rooms: tuple[Callable[[], None], ...] = (
        lambda: check_engine(engine, context),
        lambda: check_spec(spec),
        lambda: check_meter(meter),
    )
    for room in rooms:
        try:
            room()
        except InputError as problem:
            remedy = " ".join(problem.remedy.split())
            yield InputError(f"{file}, {problem.where}", problem.rule, remedy, problem.seen)


def _misplaced(file: str, engine: EngineFacts, plugs: tuple[FilePlug, ...]) -> Iterator[InputError]:
    positions = engine.positions or ("",)
    for place, times in Counter(plug.place for plug in plugs).items():
        where = f"{file}, plug {place}"
        if not 1 <= place.cylinder <= engine.cylinders:
            yield InputError(
                where,
                f"this engine has cylinders 1 to {engine.cylinders}",
                "Correct the number, or 'cylinders' under [engine].",
                place.cylinder,
            )
        if place.position not in positions:
            named = ", ".join(p for p in positions if p)
            remedy = (
                f"Use one of: {named}." if named else "Leave 'position' out: there is one plug a cylinder."
            )
            yield InputError(where, "the engine has no such plug position", remedy, place.position or "none")
        if times > 1:
            yield InputError(where, "this plug stands in the file more than once", "Keep one of them.", times)


def _plug_problems(
    file: str, plug: FilePlug, part: OnePlugPart, spec: PlugSpec, meter: Meter
) -> Iterator[InputError]:
    where = f"{file}, plug {plug.place}"
    for photo in plug.photos:
        if not photo.path.is_file():
            remedy = "Check the name; paths are relative to the engine file."
            yield InputError(f"{where} > photos", "there is no such file", remedy, photo.path)
    for entry in plug.readings:
        try:
            judge_readings([entry], spec, meter)
        except InputError as problem:
            yield InputError(f"{file}, {problem.where}", problem.rule, problem.remedy, problem.seen)
    decision = plug.decision
    if decision is None:
        return
    if not decision.who:
        remedy = 'Write who = "..." at the top of the file, or in the decision.'
        yield InputError(f"{where} > decision", "a decision needs the name of the person who made it", remedy)
    if not decision.deposits and not decision.cant_tell:
        remedy = "Name what is seen (dominant deposit first), or write cant_tell = true."
        yield InputError(f"{where} > decision", "the decision names no deposit", remedy)
    if part.decision is not None and decision.deposits and decision.cant_tell:
        yield InputError(
            f"{where} > decision", "'cant_tell' and a deposit contradict each other", "Keep one of them."
        )
