"""What an engine file says, in the records that the rooms take."""

from dataclasses import dataclass
from pathlib import Path

from plugsight.readings import ReadingEntry
from plugsight.report import Shop
from plugsight.vocabulary.bench import BenchFinding
from plugsight.vocabulary.damage import Damage
from plugsight.vocabulary.deposits import Deposit
from plugsight.vocabulary.engine import Context, EngineFacts, Meter, Place, PlugSpec
from plugsight.vocabulary.outcomes import CheckOutcome, RepairOutcome


@dataclass(frozen=True, slots=True)
class FilePhoto:
    """One photo file; ``cleaned``: taken after the plug was wiped or cleaned."""

    path: Path
    cleaned: bool


@dataclass(frozen=True, slots=True)
class FileDecision:
    """What the file says a person decided about one plug."""

    who: str
    deposits: tuple[Deposit, ...]
    damage: tuple[Damage, ...]
    absent: tuple[Deposit, ...]
    damage_absent: tuple[Damage, ...]
    cant_tell: bool
    note: str


@dataclass(frozen=True, slots=True)
class FilePlug:
    """One plug of the file; ``decision`` None: still to be decided."""

    place: Place
    photos: tuple[FilePhoto, ...]
    readings: tuple[ReadingEntry, ...]
    bench: tuple[BenchFinding, ...]
    decision: FileDecision | None


@dataclass(frozen=True, slots=True)
class EngineFile:
    """Everything one engine file says. ``who`` is empty where the file names nobody."""

    who: str
    invented: bool
    engine: EngineFacts
    spec: PlugSpec
    meter: Meter
    context: Context
    plugs: tuple[FilePlug, ...]
    checks: tuple[CheckOutcome, ...]
    repair: RepairOutcome | None
    shop: Shop
