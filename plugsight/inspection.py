"""The record that flow owns: one engine's plugs on the bench, everything that was seen, decided, read and found out."""

from dataclasses import dataclass, replace

from plugsight.causes import Causes, Evidence
from plugsight.checks import NextChecks
from plugsight.confirmation import Confirmation
from plugsight.features import Features
from plugsight.readings import ReadingEntry
from plugsight.suggestion import Suggestion
from plugsight.verdict import PlugVerdict
from plugsight.vocabulary.bench import BenchFinding
from plugsight.vocabulary.engine import Context, EngineFacts, Meter, Place, PlugSpec
from plugsight.vocabulary.outcomes import CheckOutcome, RepairOutcome
from plugsight.vocabulary.refusal import Abstention, NotFound


@dataclass(frozen=True, slots=True, eq=False)
class PhotoLook:
    """What one photo showed. ``cleaned``: taken after wiping or cleaning, so no evidence of the deposit."""

    name: str
    digest: str
    cleaned: bool
    features: Features | NotFound


@dataclass(frozen=True, slots=True, eq=False)
class PlugLook:
    """What all photos of one plug showed, with one suggestion pooled over them."""

    photos: tuple[PhotoLook, ...]
    suggestion: Suggestion | Abstention


@dataclass(frozen=True, slots=True, eq=False)
class PlugCase:
    """Everything saved about one plug; confirmations oldest first, the last one counts."""

    place: Place
    photos: tuple[PhotoLook, ...] = ()
    confirmations: tuple[Confirmation, ...] = ()
    bench: tuple[BenchFinding, ...] = ()
    entries: tuple[ReadingEntry, ...] = ()

    @property
    def confirmation(self) -> Confirmation | None:
        """The standing decision with every bench answer given before or after it, or None."""
        if not self.confirmations:
            return None
        last = self.confirmations[-1]
        answers = {finding.question: finding for finding in (*last.bench, *self.bench)}
        return replace(last, bench=tuple(answers.values()))


@dataclass(frozen=True, slots=True, eq=False)
class Inspection:
    """One engine's plugs on the bench at one time. Times are ISO 8601 with their offset."""

    id: str
    version: int
    started: str
    updated: str
    engine: EngineFacts
    spec: PlugSpec
    context: Context
    meter: Meter
    plugs: tuple[PlugCase, ...]
    outcomes: tuple[CheckOutcome, ...] = ()
    repairs: tuple[RepairOutcome, ...] = ()
    invented: bool = False

    def plug(self, place: Place) -> PlugCase:
        """Return the case of one plug; ``KeyError`` where the engine has no such place."""
        for case in self.plugs:
            if case.place == place:
                return case
        raise KeyError(str(place))


@dataclass(frozen=True, slots=True, eq=False)
class Conclusion:
    """What follows from an inspection."""

    evidence: Evidence
    causes: Causes
    checks: NextChecks
    verdicts: tuple[PlugVerdict, ...]
    cautions: tuple[str, ...]


def places(engine: EngineFacts) -> tuple[Place, ...]:
    """Every place a plug sits in, by cylinder and position."""
    return tuple(Place(c, p) for c in range(1, engine.cylinders + 1) for p in (engine.positions or ("",)))


def undecided(inspection: Inspection) -> tuple[Place, ...]:
    """Plugs nobody has decided yet."""
    return tuple(case.place for case in inspection.plugs if not case.confirmations)
