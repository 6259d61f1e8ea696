"""How to take each reading, in the order of the bench, as data for every front."""

import math
from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType

from plugsight.readings.meter import range_to_set, say_ohm
from plugsight.readings.record import ReadingKind
from plugsight.readings.resistance import expected_ohm
from plugsight.vocabulary.engine import Meter, PlugSpec


@dataclass(frozen=True, slots=True)
class ReadingSteps:
    """Title, steps in order, examples of what to write, and where the practice comes from."""

    title: str
    steps: tuple[str, ...]
    write: str
    source: str


READING_STEPS: Mapping[ReadingKind, ReadingSteps] = MappingProxyType(
    {
        ReadingKind.GAUGE: ReadingSteps(
            "Gap by wire gauge",
            (
                "Gauge every ground electrode; number them from 1.",
                "Use a round wire: a flat feeler reads wrong on a hollowed strap.",
                "The wire that passes with a slight drag is the gap. Gauge new plugs too.",
            ),
            "0.75, 0.75 mm, 0.028 in, 28 thou",
            "NAVEDTRA 14273 (slight drag, new plugs); TM 5-3810-288-12 (round gauge)",
        ),
        ReadingKind.RESISTANCE: ReadingSteps(
            "Resistance, terminal to centre electrode",
            (
                "Touch the probes together first and note the lead resistance.",
                "Set the lowest range above what is expected (4 to 8 kOhm: the 20 k range).",
                "One probe on the terminal, one on the centre electrode.",
                "Open: tighten a screw-on terminal nut, probe bare metal, read again.",
            ),
            "6.77k, 6770, 6,77 kΩ, OL",
            "common practice, no source; no published limit is known",
        ),
        ReadingKind.CONTINUITY: ReadingSteps(
            "Continuity, ground electrode to shell",
            (
                "Continuity or lowest ohm range, one probe on the strap, one on the shell: it must sound.",
                "Silent: clean with a plastic brush and a suitable cleaner, let it dry, test again.",
            ),
            "sounds, silent, 0.3",
            "common practice, no source",
        ),
        ReadingKind.INSULATION: ReadingSteps(
            "Insulation, centre electrode to shell",
            (
                "Plug dry and at room temperature, after the continuity test: the probe spot is then known to be clean.",
                "Set the highest ohm range (20 MOhm on most). Fingers off the tips: a body reads about 1 MOhm.",
                "Any reading: clean, let it dry, read again.",
                "No reading proves nothing at kilovolts: it never lifts a verdict.",
            ),
            "OL, 1 MΩ, 0.8M",
            "common practice, no source",
        ),
    }
)


def range_words(kind: ReadingKind, spec: PlugSpec, meter: Meter) -> str:
    """Say which range to set for a reading with this meter; empty for the wire gauge."""
    if kind is ReadingKind.GAUGE:
        return ""
    if kind is ReadingKind.CONTINUITY:
        return "Set continuity, or the lowest ohm range."
    if meter.auto_ranging:
        return "Auto-ranging: nothing to set; watch for k and M on the display."
    expected = expected_ohm(spec) if kind is ReadingKind.RESISTANCE else math.inf
    setting = range_to_set(expected, meter)
    if isinstance(setting, float):
        return f"Set the {say_ohm(setting)} range."
    return f"{setting.reason}. {setting.remedy}"
