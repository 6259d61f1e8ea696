"""From complaint, last run, service, codes, trims and use to findings of the engine, a bank or a cylinder."""

from collections.abc import Iterator

from plugsight.causes.codes import CodeKind, parse_code
from plugsight.causes.seen import Seen
from plugsight.causes.trims import TrimSays, trim_says
from plugsight.vocabulary.engine import Context, EngineFacts, Fuel

MANY_KM, FEW_KM = 40_000.0, 500.0
MANY_HOURS, FEW_HOURS = 150.0, 10.0
"""Service on the plugs that counts as long, and as too short to tell anything (from memory)."""

COMPLAINT_FINDINGS = {
    "misfire": "misfire",
    "misfire under load": "misfire_load",
    "hard start": "hard_start",
    "no start": "no_start",
    "rough idle": "rough_idle",
    "poor economy": "poor_economy",
    "low power": "low_power",
    "knock": "knocks",
    "overheats": "overheats",
    "black smoke": "black_smoke",
    "blue smoke overrun": "blue_smoke_overrun",
    "blue smoke load": "blue_smoke_load",
    "white smoke": "white_smoke",
    "runs on": "runs_on",
}
_SAID_BY_CYLINDER = ("misfire", "misfire_random")
"""What a code that names the cylinder says better: counted once, not twice."""
_NO_COMPLAINT = "routine"


def circumstances(context: Context, engine: EngineFacts) -> Iterator[Seen]:
    """Yield what the circumstances say. What was not asked or not told stays open.

    A complaint that is not named stays open too, unless it was a routine service without any.
    """
    located = any(parse_code(code).kind is CodeKind.MISFIRE_CYLINDER for code in context.codes)
    for key, finding in COMPLAINT_FINDINGS.items():
        if located and finding in _SAID_BY_CYLINDER:
            continue
        if key in context.complaints:
            yield Seen(finding, present=True)
        elif _NO_COMPLAINT in context.complaints:
            yield Seen(finding, present=False)
    yield from _last_run(context)
    yield from _service(context)
    yield from _used(context)
    if engine.fuel is not None:
        yield Seen("gas_or_alcohol", engine.fuel in (Fuel.ALCOHOL, Fuel.LPG, Fuel.CNG))
    if context.wrong_plug_type is not None:
        yield Seen("plugs_unlisted", context.wrong_plug_type)
    codes = [*_codes(context, engine)]
    yield from codes
    yield from (s for s in _trims(context, engine) if s.spot not in {c.spot for c in codes})


def bank_of(engine: EngineFacts, number: int) -> tuple[int, ...]:
    """Cylinders of bank ``number`` (from 1); all of them where the engine has no banks or fewer."""
    if 1 <= number <= len(engine.banks):
        return tuple(engine.banks[number - 1])
    return tuple(range(1, engine.cylinders + 1))


def _last_run(context: Context) -> Iterator[Seen]:
    run = context.last_run
    if run in ("warm under load", "idled", "short trip"):
        yield Seen("run_mild", run != "warm under load")
    if run and run != "not known":
        yield Seen("run_cranked", run == "cranked")
        yield Seen("run_hard", run == "hard after slow")


def _service(context: Context) -> Iterator[Seen]:
    km, hours = context.km_on_plugs, context.hours_on_plugs
    if km is None and hours is None:
        return
    yield Seen("km_many", (km or 0) >= MANY_KM or (hours or 0) >= MANY_HOURS)
    yield Seen("km_few", (km is None or km < FEW_KM) and (hours is None or hours < FEW_HOURS))


def _used(context: Context) -> Iterator[Seen]:
    if context.oil_use == "much":  # says all that "some" would
        yield Seen("oil_used_much", present=True)
    elif context.oil_use:
        yield Seen("oil_used", context.oil_use != "none")
        yield Seen("oil_used_much", present=False)
    if context.coolant_use:
        yield Seen("coolant_used", context.coolant_use != "none")


def _codes(context: Context, engine: EngineFacts) -> Iterator[Seen]:
    """A code says that a monitor failed. A knock-sensor circuit code is no knock; a coil's letter is no cylinder."""
    codes = [parse_code(text) for text in context.codes]
    misfires = {c.cylinder for c in codes if c.kind is CodeKind.MISFIRE_CYLINDER}
    if misfires:
        for cylinder in range(1, engine.cylinders + 1):
            yield Seen("misfire_here", cylinder in misfires, cylinder=cylinder)
    named = {
        CodeKind.LEAN: "trim_lean",
        CodeKind.RICH: "trim_rich",
        CodeKind.CATALYST: "catalyst_weak",
    }
    for code in codes:
        if code.kind in named:
            yield Seen(named[code.kind], present=True, bank=bank_of(engine, code.bank or 1))
    if any(c.kind is CodeKind.MISFIRE_RANDOM for c in codes) and not misfires:
        yield Seen("misfire_random", present=True)
    if any(c.kind is CodeKind.COIL_CIRCUIT for c in codes):
        yield Seen("coil_circuit", present=True)


def _trims(context: Context, engine: EngineFacts) -> Iterator[Seen]:
    """Long and short trim of a bank are added where both are given; positive means fuel added."""
    long, short = context.long_trim_percent, context.short_trim_percent
    for index in range(max(len(long), len(short))):
        total = sum(trim[index] for trim in (long, short) if index < len(trim))
        says = trim_says(total)
        bank = bank_of(engine, index + 1)
        yield Seen("trim_lean", says is TrimSays.LEAN, bank=bank)
        yield Seen("trim_rich", says is TrimSays.RICH, bank=bank)
