"""Records about the engine, its plugs and the circumstances. Everything optional: less known, wider answer."""

from dataclasses import dataclass, field
from enum import StrEnum


class Stroke(StrEnum):
    """Working principle."""

    FOUR = "four-stroke"
    TWO = "two-stroke"
    ROTARY = "rotary"


class Cooling(StrEnum):
    """How the head is cooled."""

    LIQUID = "liquid"
    AIR = "air"


class Ignition(StrEnum):
    """How the spark is made and shared out."""

    DISTRIBUTOR = "distributor"
    WASTED_SPARK = "wasted spark"
    COIL_ON_PLUG = "coil on plug"
    MAGNETO = "magneto"
    CDI = "CDI"


class FuelSystem(StrEnum):
    """Where fuel and air meet."""

    CARBURETTOR = "carburettor"
    PORT_INJECTION = "port injection"
    DIRECT_INJECTION = "direct injection"


class Fuel(StrEnum):
    """What is burned."""

    PETROL = "petrol"
    LEADED = "leaded petrol"
    ALCOHOL = "alcohol"
    LPG = "LPG"
    CNG = "CNG"


class Use(StrEnum):
    """What the engine drives; decides cautions and, for aircraft, who may decide."""

    ROAD = "road"
    SMALL = "small engine"
    MARINE = "marine"
    AIRCRAFT = "aircraft"


class Seat(StrEnum):
    """How the plug seals."""

    GASKET = "gasket"
    TAPER = "taper"


class Electrode(StrEnum):
    """Electrode material class: fine-wire precious metal is neither bent nor brushed."""

    NICKEL = "nickel"
    PRECIOUS = "precious metal"


@dataclass(frozen=True, slots=True, order=True)
class Place:
    """Where a plug sits: cylinder number and, on twin-plug heads and rotaries, its position."""

    cylinder: int
    position: str = ""

    def __str__(self) -> str:
        """Name as said aloud: ``3`` or ``3 top``."""
        return f"{self.cylinder} {self.position}".strip()


@dataclass(frozen=True, slots=True)
class EngineFacts:
    """The engine. ``cylinders`` 1 to 16; tuples hold cylinder numbers; ``None`` or empty means not known."""

    name: str
    cylinders: int
    stroke: Stroke = Stroke.FOUR
    cooling: Cooling | None = None
    ignition: Ignition | None = None
    fuel_system: FuelSystem | None = None
    fuel: Fuel | None = None
    use: Use | None = None
    turbo: bool | None = None
    head_aluminium: bool | None = None
    positions: tuple[str, ...] = ("",)
    banks: tuple[tuple[int, ...], ...] = ()
    firing_order: tuple[int, ...] = ()
    coil_pairs: tuple[tuple[int, int], ...] = ()
    """Cylinders that share a wasted-spark coil."""
    rows: tuple[tuple[int, ...], ...] = ()
    """Cylinders in their order along each casting, so neighbours are known; defaults to the banks, else 1..n."""
    near_intake_joint: tuple[int, ...] = ()
    far_from_pump: tuple[int, ...] = ()
    near_ventilation: tuple[int, ...] = ()


@dataclass(frozen=True, slots=True)
class PlugSpec:
    """What the engine's list asks of its plugs. Lengths in mm, resistance in ohm. ``None`` means not given."""

    thread: str | None = None
    """One of the names in ``vocabulary.threads.THREADS``, for example ``M14x1.25``."""
    seat: Seat | None = None
    gap_mm: tuple[float, float] | None = None
    """Lowest and highest permitted gap."""
    gap_tolerance_from_memory: bool = False
    """True where the list gives one number and the tolerance is plugsight's default (from memory)."""
    resistor: bool | None = None
    resistance_ohm: tuple[float, float] | None = None
    """The plug's own published limits, where known. No general limit is published."""
    electrode: Electrode | None = None
    ground_electrodes: int = 1
    centre_electrode_mm: float | None = None
    torque_nm: tuple[float, float] | None = None
    reset_allowed: bool | None = None
    """Whether the maker allows the gap of a precious-metal plug to be reset."""


@dataclass(frozen=True, slots=True)
class Meter:
    """A multimeter: its ohm ranges (upper ends, ohm) and accuracy ±(percent of reading + counts)."""

    ranges_ohm: tuple[float, ...] = (200.0, 2e3, 20e3, 200e3, 2e6, 20e6)
    auto_ranging: bool = False
    percent: float = 1.0
    counts: int = 3
    display_counts: int = 2000
    """Full-scale counts of a range: a 2000-count meter shows 20.00 k in steps of 0.01 k."""
    lead_ohm: float = 0.0


@dataclass(frozen=True, slots=True)
class Context:
    """Circumstances noted before unplugging. Empty means not asked or not known."""

    complaint: str = ""
    complaints: tuple[str, ...] = ()
    """Keys of ``vocabulary.circumstances.COMPLAINTS``."""
    last_run: str = ""
    """Key of ``vocabulary.circumstances.LAST_RUN``."""
    km_on_plugs: float | None = None
    hours_on_plugs: float | None = None
    cleaned_before: bool | None = None
    odometer_km: float | None = None
    codes: tuple[str, ...] = ()
    """Generic trouble codes as read, for example ``P0302``."""
    short_trim_percent: tuple[float, ...] = ()
    long_trim_percent: tuple[float, ...] = ()
    """Fuel trims per bank; positive = fuel added = the control works against lean."""
    oil_use: str = ""
    coolant_use: str = ""
    """``none``, ``some``, ``much`` or empty."""
    wrong_plug_type: bool | None = None
    not_compared: tuple[Place, ...] = field(default=())
    """Plugs that were moved, are newer, or of another type: not compared with the set."""
