"""The facts of the job as pairs of label and value; what nobody noted is left out."""

from plugsight.report.record import Report
from plugsight.vocabulary.circumstances import COMPLAINTS, LAST_RUN
from plugsight.vocabulary.engine import Context, EngineFacts, PlugSpec

Fact = tuple[str, str]


def job_facts(report: Report) -> tuple[Fact, ...]:
    """Return who did what, when, and what the customer complained of."""
    context = report.context
    said = [COMPLAINTS.get(key, key) for key in context.complaints]
    if context.complaint:
        said.insert(0, context.complaint.strip().rstrip(".;,"))
    return _known(
        ("complaint", "; ".join(said)),
        ("last run", LAST_RUN.get(context.last_run, context.last_run)),
        ("odometer", _number(context.odometer_km, "km")),
        ("on these plugs", _number(context.km_on_plugs, "km")),
        ("hours on these plugs", _number(context.hours_on_plugs, "h")),
        ("fault codes", ", ".join(context.codes)),
        ("short trims", _percents(context.short_trim_percent)),
        ("long trims", _percents(context.long_trim_percent)),
        ("oil use", context.oil_use),
        ("coolant use", context.coolant_use),
        ("cleaned before", _yes(context.cleaned_before)),
        ("wrong plug type fitted", _yes(context.wrong_plug_type)),
        ("not compared with the set", _places(context)),
    )


def engine_facts(engine: EngineFacts) -> tuple[Fact, ...]:
    """Return what is known of the engine."""
    built = [str(engine.stroke), str(engine.cooling or "") and f"{engine.cooling}-cooled"]
    if engine.turbo:
        built.append("turbocharged")
    return _known(
        ("cylinders", str(engine.cylinders)),
        ("kind", ", ".join(part for part in built if part)),
        ("ignition", str(engine.ignition or "")),
        ("mixture", str(engine.fuel_system or "")),
        ("fuel", str(engine.fuel or "")),
        ("use", str(engine.use or "")),
        ("firing order", "-".join(map(str, engine.firing_order))),
        ("banks", " | ".join(" ".join(map(str, bank)) for bank in engine.banks)),
    )


def spec_facts(spec: PlugSpec) -> tuple[Fact, ...]:
    """Return what the engine's list asks of its plugs."""
    remark = " (tolerance from memory)" if spec.gap_tolerance_from_memory else ""
    kind = None if spec.resistor is None else ("resistor plug" if spec.resistor else "no resistor")
    return _known(
        ("thread", spec.thread or ""),
        ("seat", str(spec.seat or "")),
        ("gap asked for", _span(spec.gap_mm, "mm", 2) + (remark if spec.gap_mm else "")),
        ("kind of plug", ", ".join(x for x in (kind, spec.electrode and f"{spec.electrode} electrode") if x)),
        ("resistance asked for", _span(spec.resistance_ohm, "Ω", 0)),
        ("straps", str(spec.ground_electrodes) if spec.ground_electrodes != 1 else ""),
        ("torque", _span(spec.torque_nm, "N·m", 0)),
    )


def _known(*facts: Fact) -> tuple[Fact, ...]:
    return tuple((label, value) for label, value in facts if value)


def _number(value: float | None, unit: str) -> str:
    # a narrow no-break space keeps thousands together in every language's reading
    return "" if value is None else f"{value:,.0f} {unit}".replace(",", "\u00a0")


def _span(limits: tuple[float, float] | None, unit: str, places: int) -> str:
    return "" if limits is None else f"{limits[0]:.{places}f} to {limits[1]:.{places}f} {unit}"


def _percents(values: tuple[float, ...]) -> str:
    marked = [f"{v:+.0f} %".replace("-", "\N{MINUS SIGN}") for v in values]
    if len(marked) < 2:
        return "".join(marked)
    return ", ".join(f"bank {k}: {v}" for k, v in enumerate(marked, 1))


def _yes(value: bool | None) -> str:
    return "" if value is None else ("yes" if value else "no")


def _places(context: Context) -> str:
    return ", ".join(map(str, context.not_compared))
