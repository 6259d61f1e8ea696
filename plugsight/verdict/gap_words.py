"""The gap to set, and what the gap that was found asks of the coil."""

from plugsight.readings.record import ReadingKind, Readings
from plugsight.verdict.breakdown import voltage_ratio
from plugsight.vocabulary.engine import Place, PlugSpec

TELLING_RATIO = 1.05
"""Below this the difference is smaller than gauging (from memory)."""


def gap_words(readings: Readings, place: Place, spec: PlugSpec) -> str:
    """Say gap to set and voltage trend; empty for a surface-gap plug and where nothing is known."""
    gauged = [r.value for r in readings.of(place, ReadingKind.GAUGE) if r.value is not None]
    if spec.gap_mm is None or spec.ground_electrodes == 0:
        return ""
    low, high = spec.gap_mm
    middle = (low + high) / 2
    memory = ", tolerance from memory" if spec.gap_tolerance_from_memory else ""
    words = f"{middle:.2f} mm ({low:.2f} to {high:.2f}{memory}), by wire gauge."
    ratio = voltage_ratio(max(gauged), middle) if gauged else None
    if isinstance(ratio, float) and ratio > TELLING_RATIO:
        words += (
            f" The {max(gauged):.2f} mm found asks for about {ratio:.1f} times the voltage of {middle:.2f} mm"
            " (trend by Paschen's law; real electrodes need less)."
        )
    return words
