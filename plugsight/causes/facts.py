"""Facts about engine and circumstances that contradict themselves are refused, all of them at once."""

import math
from collections.abc import Iterator, Mapping
from difflib import get_close_matches

from plugsight.causes.codes import parse_code
from plugsight.vocabulary.circumstances import COMPLAINTS, LAST_RUN
from plugsight.vocabulary.engine import Context, Cooling, EngineFacts, Ignition
from plugsight.vocabulary.errors import InputError

MOST_CYLINDERS = 16
_HOW_MUCH = ("", "none", "some", "much")


def check_engine(engine: EngineFacts, context: Context) -> None:
    """Check engine facts and context against themselves and each other.

    Raises
    ------
    InputError
        One error that names every field that is wrong, the rule and the remedy.

    """
    problems = [
        *_counts(engine),
        *_groups(engine),
        *_agreement(engine, context),
        *_words(context),
        *_numbers(engine, context),
    ]
    if len(problems) == 1:
        raise problems[0]
    if problems:
        lines = "\n".join(f"- {problem}" for problem in problems)
        raise InputError("engine facts", f"{len(problems)} fields can't be right", lines)


def _counts(engine: EngineFacts) -> Iterator[InputError]:
    if not 1 <= engine.cylinders <= MOST_CYLINDERS:
        yield InputError(
            "cylinders",
            f"an engine has 1 to {MOST_CYLINDERS}",
            "Count them again; rotors count as cylinders.",
            engine.cylinders,
        )
    if not engine.positions or len({*engine.positions}) != len(engine.positions):
        yield InputError(
            "positions", "each plug position once", "Name one, or two that differ.", engine.positions
        )
    if len(engine.positions) > 1 and "" in engine.positions:
        yield InputError(
            "positions", "every position of several needs a name", "Name them, e.g. top, bottom."
        )


def _groups(engine: EngineFacts) -> Iterator[InputError]:
    everyone = [*range(1, engine.cylinders + 1)]
    for name, groups in (("banks", engine.banks), ("rows", engine.rows)):
        if groups and sorted(c for group in groups for c in group) != everyone:
            yield InputError(
                name,
                f"together they hold each of the cylinders 1 to {engine.cylinders} once",
                "List every cylinder once.",
                groups,
            )
        if any(not group for group in groups):
            yield InputError(name, "none may be empty", "Leave the empty one out.", groups)
    if engine.firing_order and sorted(engine.firing_order) != everyone:
        yield InputError(
            "firing order",
            f"it holds each of the cylinders 1 to {engine.cylinders} once",
            "Copy it again.",
            engine.firing_order,
        )
    paired = [c for pair in engine.coil_pairs for c in pair]
    if len({*paired}) != len(paired) or not {*paired} <= {*everyone}:
        yield InputError(
            "coil pairs",
            "two different cylinders of the engine each, no cylinder twice",
            "Trace the leads of each coil.",
            engine.coil_pairs,
        )
    for name, some in (
        ("near intake joint", engine.near_intake_joint),
        ("far from pump", engine.far_from_pump),
        ("near ventilation", engine.near_ventilation),
    ):
        if not {*some} <= {*everyone}:
            yield InputError(
                name, f"cylinders are numbered 1 to {engine.cylinders}", "Correct the number.", some
            )


def _agreement(engine: EngineFacts, context: Context) -> Iterator[InputError]:
    if engine.coil_pairs and engine.ignition not in (None, Ignition.WASTED_SPARK):
        yield InputError(
            "coil pairs",
            "only a wasted-spark ignition has them",
            "Correct the ignition or leave the pairs out.",
            engine.ignition,
        )
    if engine.cooling is Cooling.AIR and engine.far_from_pump:
        yield InputError(
            "far from pump", "an air-cooled engine has no pump", "Correct the cooling or leave it out."
        )
    if engine.cooling is Cooling.AIR and context.coolant_use not in ("", "none"):
        yield InputError(
            "coolant use", "an air-cooled engine has no coolant", "Correct the cooling or leave it out."
        )
    for place in context.not_compared:
        if not (1 <= place.cylinder <= engine.cylinders and place.position in engine.positions):
            yield InputError(
                "not compared", "the engine has no such plug", "Name cylinder and position.", place
            )


def _words(context: Context) -> Iterator[InputError]:
    for complaint in context.complaints:
        if complaint not in COMPLAINTS:
            yield _unknown("complaint", complaint, COMPLAINTS)
    if context.last_run and context.last_run not in LAST_RUN:
        yield _unknown("last run", context.last_run, LAST_RUN)
    for name, much in (("oil use", context.oil_use), ("coolant use", context.coolant_use)):
        if much not in _HOW_MUCH:
            yield InputError(name, "one of none, some, much", "Use one of them, or leave it out.", much)
    for code in context.codes:
        try:
            parse_code(code)
        except InputError as error:
            yield error


def _unknown(where: str, word: str, known: Mapping[str, str]) -> InputError:
    nearest = get_close_matches(word, known, n=1)
    remedy = f"Did you mean '{nearest[0]}'?" if nearest else f"Use one of: {', '.join(known)}."
    return InputError(where, "not a word plugsight knows", remedy, word)


def _numbers(engine: EngineFacts, context: Context) -> Iterator[InputError]:
    for name, number in (
        ("km on plugs", context.km_on_plugs),
        ("hours on plugs", context.hours_on_plugs),
        ("odometer", context.odometer_km),
    ):
        if number is not None and not (math.isfinite(number) and number >= 0):
            yield InputError(name, "zero or more", "Correct it, or leave it out.", number)
    if None not in (context.km_on_plugs, context.odometer_km) and (context.km_on_plugs or 0) > (
        context.odometer_km or 0
    ):
        yield InputError(
            "km on plugs",
            "the plugs can't have run further than the engine's odometer",
            "Correct one of them.",
            context.km_on_plugs,
        )
    banks = max(1, len(engine.banks))
    for name, trims in (("short trim", context.short_trim_percent), ("long trim", context.long_trim_percent)):
        if len(trims) > banks:
            yield InputError(
                name, f"one trim a bank, and there are {banks}", "List the banks, or one trim.", trims
            )
        if any(not -100 <= trim <= 100 for trim in trims):
            yield InputError(name, "between -100 and 100 percent", "Enter percent; plus = fuel added.", trims)
