"""How much more voltage a wider gap asks for: Paschen's law in air, for the trend only.

V = B p d / (ln(A p d) - ln ln(1 + 1 / gamma)), A = 112.501 /(kPa cm), B = 2737.50 V/(kPa cm) (read in a restatement).
Plug electrodes are sharp, hot and non-uniform: real voltages lie below. Only ratios are told, never a voltage alone.
"""

import math

from plugsight.vocabulary.refusal import NotMeasured

A_PER_KPA_CM = 112.501
B_V_PER_KPA_CM = 2737.50
GAMMA = 0.01
"""Secondary emission; 0.01 makes the law agree with a second restated constant (1.18)."""
SPARK_PRESSURE_KPA = 1000.0
"""About the pressure at the spark under load (from memory); the ratio hardly depends on it."""


def breakdown_voltage(gap_mm: float, pressure_kpa: float, gamma: float = GAMMA) -> float | NotMeasured:
    """Breakdown voltage in V of a uniform gap in air; refused where the law has no value (far left of its minimum)."""
    product = gap_mm / 10 * pressure_kpa
    if product <= 0:
        return NotMeasured("gap and pressure must be above zero", "Gauge the gap again.")
    denominator = math.log(A_PER_KPA_CM * product) - math.log(math.log(1 + 1 / gamma))
    if denominator <= 0:
        return NotMeasured(
            "Paschen's law has no value for so small a gap at this pressure", "No trend can be told."
        )
    return B_V_PER_KPA_CM * product / denominator


def lowest_product_kpa_cm(gamma: float = GAMMA) -> float:
    """Pressure times gap at which the voltage is lowest, in kPa cm: e ln(1 + 1/gamma) / A."""
    return math.e * math.log(1 + 1 / gamma) / A_PER_KPA_CM


def voltage_ratio(
    worn_mm: float, specified_mm: float, pressure_kpa: float = SPARK_PRESSURE_KPA
) -> float | NotMeasured:
    """Return how many times the voltage a worn gap asks for; refused left of the minimum, where more gap needs less."""
    if min(worn_mm, specified_mm) / 10 * pressure_kpa < lowest_product_kpa_cm():
        return NotMeasured(
            "left of Paschen's minimum a wider gap does not need more", "No trend can be told."
        )
    worn, specified = breakdown_voltage(worn_mm, pressure_kpa), breakdown_voltage(specified_mm, pressure_kpa)
    if isinstance(worn, NotMeasured):
        return worn
    if isinstance(specified, NotMeasured):
        return specified
    return worn / specified
