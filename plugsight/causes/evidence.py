"""All that is known about one engine's plugs, as the causes, checks and verdict rooms take it in."""

from dataclasses import dataclass

from plugsight.confirmation.record import Confirmation
from plugsight.readings.record import Readings
from plugsight.vocabulary.engine import Context, EngineFacts, Place, PlugSpec
from plugsight.vocabulary.outcomes import CheckOutcome

_NONE_TAKEN = Readings(())


@dataclass(frozen=True, slots=True)
class Evidence:
    """Confirmed findings, readings, circumstances and check outcomes of one engine.

    Holds confirmations only: a suggestion can't get in. ``confirmations`` has at most one (the latest) per plug.
    """

    engine: EngineFacts
    spec: PlugSpec
    context: Context
    confirmations: tuple[Confirmation, ...]
    readings: Readings = _NONE_TAKEN
    outcomes: tuple[CheckOutcome, ...] = ()

    def of(self, place: Place) -> Confirmation | None:
        """The confirmation of one plug, or None where nobody has decided it."""
        for confirmation in self.confirmations:
            if confirmation.place == place:
                return confirmation
        return None
