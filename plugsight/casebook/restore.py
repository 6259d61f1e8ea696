"""Stored rows to an inspection."""

from plugsight.casebook.codec import Facts, confirmation_from_json, from_json, look_from_json
from plugsight.confirmation import Confirmation
from plugsight.flow import Inspection, PhotoLook, PlugCase, places
from plugsight.readings import ReadingEntry
from plugsight.store import Store, StoredInspection, StoredPhoto
from plugsight.vocabulary.bench import BenchFinding
from plugsight.vocabulary.engine import Place
from plugsight.vocabulary.errors import InputError
from plugsight.vocabulary.outcomes import CheckOutcome, RepairOutcome


class Restorer:
    """Rebuilds inspections of one store, reading each kept photo's pictures once."""

    def __init__(self, store: Store) -> None:
        self.store = store
        self._seen: dict[tuple[int, str], PhotoLook] = {}

    def restore(self, stored: StoredInspection) -> Inspection:
        """Turn what is stored back into the inspection it was."""
        facts = from_json(Facts, stored.facts_json)
        kept = [entry for entry in stored.entries if not entry.withdrawn]

        def of(kind: str, place: Place | None = None) -> list[str]:
            return [
                e.body_json
                for e in kept
                if e.kind == kind and (place is None or Place(e.cylinder or 0, e.position) == place)
            ]

        def case(place: Place) -> PlugCase:
            return PlugCase(
                place,
                tuple(self._photo(p) for p in stored.photos if place_of(p) == place and not p.removed),
                tuple(self._decision(body, place) for body in of("confirmation", place)),
                tuple(from_json(BenchFinding, body) for body in of("bench", place)),
                tuple(from_json(ReadingEntry, body) for body in of("reading", place)),
            )

        return Inspection(
            id=stored.id,
            version=stored.version,
            started=stored.started,
            updated=stored.updated,
            engine=facts.engine,
            spec=facts.spec,
            context=facts.context,
            meter=facts.meter,
            plugs=tuple(case(place) for place in places(facts.engine)),
            outcomes=tuple(from_json(CheckOutcome, body) for body in of("check")),
            repairs=tuple(from_json(RepairOutcome, body) for body in of("repair")),
            invented=stored.invented,
        )

    def _photo(self, stored: StoredPhoto) -> PhotoLook:
        """What one kept photo showed; read once, since each saved step loads the whole inspection again."""
        key = (stored.id, stored.look_json)
        if key not in self._seen:
            canonical = self.store.blob(stored.canonical_digest) if stored.canonical_digest else None
            overlay = self.store.blob(stored.overlay_digest) if stored.overlay_digest else None
            self._seen[key] = look_from_json(stored.look_json, stored.name, stored.digest, canonical, overlay)
        return self._seen[key]

    @staticmethod
    def _decision(body: str, place: Place) -> Confirmation:
        decision = confirmation_from_json(body)
        if decision.place != place:
            raise InputError(f"plug {place}", "a stored decision names another plug", "Restore a back-up.")
        return decision


def place_of(stored: StoredPhoto) -> Place:
    """Where a stored photo's plug sits."""
    return Place(stored.cylinder, stored.position)
