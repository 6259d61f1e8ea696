"""The layout of an engine file, format 1.

How to change it: a new key with a default needs nothing; a key that is removed, renamed or changes its meaning raises
``FORMAT``, and ``read`` keeps reading the older numbers.
"""

from datetime import date
from typing import Annotated, Literal

from pydantic import BaseModel, ConfigDict, Field, StrictBool, StrictInt, StrictStr

from plugsight.cli.engine_file import amounts, words
from plugsight.cli.engine_file.words import each, word
from plugsight.vocabulary.bench import BenchFinding
from plugsight.vocabulary.circumstances import COMPLAINTS, LAST_RUN
from plugsight.vocabulary.damage import Damage
from plugsight.vocabulary.deposits import Deposit
from plugsight.vocabulary.engine import (
    Cooling,
    Electrode,
    Fuel,
    FuelSystem,
    Ignition,
    Seat,
    Stroke,
    Use,
)
from plugsight.vocabulary.threads import THREADS

FORMAT = 1

Number = Annotated[float, Field(strict=True, allow_inf_nan=False)]
Text = Annotated[StrictStr, Field(max_length=2000)]
Cylinder = Annotated[StrictInt, Field(ge=1, le=16)]
Cylinders = tuple[Cylinder, ...]
AnyDeposit = Annotated[Deposit, word(Deposit, "deposit")]
AnyDamage = Annotated[Damage, word(Damage, "damage")]
Quantity = Literal["", "none", "some", "much"]


class Part(BaseModel):
    """A table of the file: unknown keys are refused, so that a misspelt one can't be overlooked."""

    model_config = ConfigDict(extra="forbid", frozen=True)


class EnginePart(Part):
    """``[engine]``."""

    name: Annotated[StrictStr, Field(min_length=1, max_length=200)]
    cylinders: Cylinder
    stroke: Annotated[Stroke, word(Stroke, "stroke")] = Stroke.FOUR
    cooling: Annotated[Cooling | None, word(Cooling, "cooling")] = None
    ignition: Annotated[Ignition | None, word(Ignition, "ignition")] = None
    fuel_system: Annotated[FuelSystem | None, word(FuelSystem, "fuel system")] = None
    fuel: Annotated[Fuel | None, word(Fuel, "fuel")] = None
    use: Annotated[Use | None, word(Use, "use")] = None
    turbo: StrictBool | None = None
    head_aluminium: StrictBool | None = None
    positions: tuple[Annotated[StrictStr, Field(max_length=40)], ...] = ("",)
    banks: tuple[Cylinders, ...] = ()
    firing_order: Cylinders = ()
    coil_pairs: tuple[tuple[Cylinder, Cylinder], ...] = ()
    rows: tuple[Cylinders, ...] = ()
    near_intake_joint: Cylinders = ()
    far_from_pump: Cylinders = ()
    near_ventilation: Cylinders = ()


class PlugPart(Part):
    """``[plug]``: what the engine's list asks for."""

    thread: Annotated[str | None, word(THREADS, "thread size")] = None
    seat: Annotated[Seat | None, word(Seat, "seat")] = None
    gap: Annotated[tuple[tuple[float, float], bool] | None, each(amounts.gap)] = None
    resistor: StrictBool | None = None
    resistance: Annotated[tuple[float, float] | None, each(amounts.ohms)] = None
    electrode: Annotated[Electrode | None, word(Electrode, "electrode")] = None
    ground_electrodes: Annotated[StrictInt, Field(ge=0, le=4)] = 1
    centre_electrode: Annotated[float | None, each(amounts.millimetres)] = None
    torque: Annotated[tuple[float, float] | None, each(amounts.newton_metres)] = None
    reset_allowed: StrictBool | None = None


class MeterPart(Part):
    """``[meter]``: its ohm ranges and its accuracy, ±(percent of reading + counts)."""

    ranges: tuple[Annotated[float, each(amounts.ohm)], ...] = (200.0, 2e3, 20e3, 200e3, 2e6, 20e6)
    auto_ranging: StrictBool = False
    percent: Annotated[Number, Field(ge=0, le=20)] = 1.0
    counts: Annotated[StrictInt, Field(ge=0, le=100)] = 3
    display_counts: Annotated[StrictInt, Field(ge=1000, le=1_000_000)] = 2000
    leads: Annotated[float, each(amounts.ohm)] = 0.0


class BeforePart(Part):
    """``[before]``: what was noted before anything was unplugged."""

    complaint: Text = ""
    complaints: tuple[Annotated[str, word(COMPLAINTS, "complaint")], ...] = ()
    last_run: Annotated[str, word(LAST_RUN, "way it was last run")] = ""
    km_on_plugs: Annotated[Number, Field(ge=0)] | None = None
    hours_on_plugs: Annotated[Number, Field(ge=0)] | None = None
    cleaned_before: StrictBool | None = None
    odometer_km: Annotated[Number, Field(ge=0)] | None = None
    codes: tuple[Annotated[StrictStr, Field(max_length=12)], ...] = ()
    short_trim_percent: tuple[Number, ...] = ()
    long_trim_percent: tuple[Number, ...] = ()
    oil_use: Quantity = ""
    coolant_use: Quantity = ""
    wrong_plug_type: StrictBool | None = None
    not_compared: tuple[StrictStr, ...] = ()


class ReadingsPart(Part):
    """Readings of one plug as written at the bench, unit included; the readings room reads them."""

    gap: Annotated[tuple[str, ...], each(words.texts)] = ()
    resistance: StrictStr | None = None
    continuity: StrictStr | None = None
    insulation: StrictStr | None = None


class DecisionPart(Part):
    """``[plugs.decision]``: what a person decided, the dominant deposit first."""

    deposits: tuple[AnyDeposit, ...] = ()
    damage: tuple[AnyDamage, ...] = ()
    absent: tuple[AnyDeposit, ...] = ()
    damage_absent: tuple[AnyDamage, ...] = ()
    cant_tell: StrictBool = False
    note: Text = ""
    who: Text = ""


class OnePlugPart(ReadingsPart):
    """``[[plugs]]``: one plug."""

    cylinder: StrictInt
    position: StrictStr = ""
    photos: tuple[StrictStr, ...] = ()
    photos_cleaned: tuple[StrictStr, ...] = ()
    cleaned: ReadingsPart | None = None
    bench: Annotated[tuple[BenchFinding, ...], each(words.bench)] = ()
    decision: DecisionPart | None = None


class CheckPart(Part):
    """``[[checks]]``: a check that was done."""

    check: StrictStr
    outcome: StrictStr
    cylinder: Cylinder | None = None
    bank: Annotated[StrictInt, Field(ge=1, le=4)] | None = None
    note: Text = ""


class RepairPart(Part):
    """``[repair]``: what was repaired, and whether it helped."""

    repaired: Annotated[StrictStr, Field(min_length=1, max_length=2000)]
    causes: tuple[StrictStr, ...] = ()
    complaint_gone: StrictBool | None = None
    finding_gone: StrictBool | None = None
    odometer_km: Annotated[Number, Field(ge=0)] | None = None
    who: Text = ""
    when: StrictStr | date = ""


class ShopPart(Part):
    """``[shop]``: who hands the report over."""

    name: Annotated[StrictStr, Field(max_length=200)] = ""
    contact: Annotated[StrictStr, Field(max_length=400)] = ""
    logo: StrictStr | None = None


class EngineFileLayout(Part):
    """The whole file."""

    format: StrictInt = FORMAT
    who: Annotated[StrictStr, Field(max_length=200)] = ""
    invented: StrictBool = False
    engine: EnginePart
    plug: PlugPart = PlugPart()
    meter: MeterPart = MeterPart()
    before: BeforePart = BeforePart()
    plugs: tuple[OnePlugPart, ...] = ()
    checks: tuple[CheckPart, ...] = ()
    repair: RepairPart | None = None
    shop: ShopPart = ShopPart()
