"""An inspection saved with every step: each call writes first, then returns the inspection as it now stands."""

from collections.abc import Iterable
from datetime import UTC, datetime

from plugsight.casebook.codec import (
    Facts,
    confirmation_to_json,
    encode_picture,
    look_to_json,
    to_json,
)
from plugsight.casebook.restore import Restorer, place_of
from plugsight.causes.facts import check_engine
from plugsight.confirmation import confirm, decides_blind
from plugsight.features import Features
from plugsight.flow import Inspection, PlugLook, look, look_at, shown
from plugsight.photo.private import without_metadata
from plugsight.readings import ReadingEntry, judge_readings
from plugsight.store import Store, StoredSummary
from plugsight.vocabulary.bench import BenchFinding
from plugsight.vocabulary.damage import Damage
from plugsight.vocabulary.deposits import Deposit
from plugsight.vocabulary.engine import Context, EngineFacts, Meter, Place, PlugSpec
from plugsight.vocabulary.outcomes import CheckOutcome, RepairOutcome


class Casebook:
    """Inspections in a store. Raises ``InputError`` for unusable entries and ``StoreError`` for the store's own."""

    def __init__(self, store: Store) -> None:
        self.store = store
        self._restorer = Restorer(store)

    def start(
        self,
        engine: EngineFacts,
        spec: PlugSpec,
        context: Context | None = None,
        meter: Meter | None = None,
        *,
        invented: bool = False,
    ) -> Inspection:
        """Begin an inspection; contradicting engine facts are refused before anything is written."""
        facts = Facts(engine, spec, context or Context(), meter or Meter())
        check_engine(facts.engine, facts.context)
        stored = self.store.new_inspection(engine.name, to_json(facts), invented=invented)
        return self._restorer.restore(stored)

    def load(self, inspection: str) -> Inspection:
        """Read one inspection as it stands."""
        return self._restorer.restore(self.store.load(inspection))

    def recent(
        self, *, limit: int = 50, offset: int = 0, engine: str | None = None, open_outcomes: bool = False
    ) -> tuple[StoredSummary, ...]:
        """Return inspections, the last touched first."""
        return self.store.recent(limit=limit, offset=offset, engine=engine, open_outcomes=open_outcomes)

    def history(self, engine: str) -> tuple[Inspection, ...]:
        """Return all inspections of one engine, oldest first."""
        return tuple(self._restorer.restore(stored) for stored in self.store.history(engine))

    def set_facts(
        self,
        inspection: Inspection,
        *,
        engine: EngineFacts | None = None,
        spec: PlugSpec | None = None,
        context: Context | None = None,
        meter: Meter | None = None,
    ) -> Inspection:
        """Change what is known of the engine; a second writer is told, nothing is silently overwritten."""
        facts = Facts(
            engine or inspection.engine,
            spec or inspection.spec,
            context or inspection.context,
            meter or inspection.meter,
        )
        check_engine(facts.engine, facts.context)
        stored = self.store.set_facts(
            inspection.id,
            to_json(facts),
            expected_version=inspection.version,
            engine_name=facts.engine.name,
        )
        return self._restorer.restore(stored)

    def add_photo(
        self, inspection: Inspection, place: Place, name: str, data: bytes, *, cleaned: bool = False
    ) -> Inspection:
        """Measure one photo and keep it with what it showed, its metadata taken out; an unusable file is refused."""
        inspection.plug(place)
        photo = look_at(name, data, inspection.spec, cleaned=cleaned)
        overlay = canonical = None
        if isinstance(photo.features, Features):
            overlay = encode_picture(photo.features.overlay, ".jpg")
            canonical = encode_picture(photo.features.canonical, ".png")
        self.store.add_photo(
            inspection.id,
            place.cylinder,
            place.position,
            name,
            without_metadata(data),
            look_to_json(photo),
            overlay,
            canonical,
            digest=photo.digest,
        )
        return self.load(inspection.id)

    def remove_photo(self, inspection: Inspection, place: Place, digest: str) -> Inspection:
        """Take a photo out of one plug's evidence; the file is kept."""
        for stored in self.store.load(inspection.id).photos:
            if place_of(stored) == place and stored.digest == digest and not stored.removed:
                self.store.remove_photo(stored.id)
        return self.load(inspection.id)

    def look(self, inspection: Inspection, place: Place) -> PlugLook:
        """Pool the suggestion over one plug's kept photos."""
        return look(inspection.plug(place).photos)

    def blind(self, inspection: Inspection, place: Place) -> bool:
        """Whether this plug is decided before its suggestion is shown (and is not decided yet)."""
        undecided = not inspection.plug(place).confirmations
        return undecided and decides_blind(inspection.id, place)

    def answer(self, inspection: Inspection, place: Place, finding: BenchFinding) -> Inspection:
        """Keep the answer to one bench question; the latest answer to a question counts."""
        inspection.plug(place)
        self.store.add_entry(
            inspection.id, "bench", to_json(finding), cylinder=place.cylinder, position=place.position
        )
        return self.load(inspection.id)

    def decide(
        self,
        inspection: Inspection,
        place: Place,
        deposits: Iterable[Deposit],
        *,
        who: str,
        damage: Iterable[Damage] = (),
        absent: Iterable[Deposit] = (),
        damage_absent: Iterable[Damage] = (),
        bench: Iterable[BenchFinding] = (),
        cant_tell: bool = False,
        note: str = "",
        saw_suggestion: bool = True,
    ) -> Inspection:
        """Write down a person's decision; a later one supersedes, the earlier ones stay."""
        case = inspection.plug(place)
        blind = self.blind(inspection, place) or not saw_suggestion
        decision = confirm(
            place,
            deposits,
            shown=shown(look(case.photos), blind=blind),
            who=who,
            when=datetime.now(UTC),
            damage=damage,
            absent=absent,
            damage_absent=damage_absent,
            bench=bench,
            cant_tell=cant_tell,
            note=note,
        )
        self.store.add_entry(
            inspection.id,
            "confirmation",
            confirmation_to_json(decision),
            cylinder=place.cylinder,
            position=place.position,
            replaces=len(case.confirmations) or None,
        )
        return self.load(inspection.id)

    def read(self, inspection: Inspection, entry: ReadingEntry) -> Inspection:
        """Keep one gauge or meter reading as written; one that can't be read is refused."""
        inspection.plug(entry.place)
        judge_readings([entry], inspection.spec, inspection.meter)
        self.store.add_entry(
            inspection.id,
            "reading",
            to_json(entry),
            cylinder=entry.place.cylinder,
            position=entry.place.position,
        )
        return self.load(inspection.id)

    def check(self, inspection: Inspection, outcome: CheckOutcome) -> Inspection:
        """Keep the outcome of a check; it is evidence for the causes."""
        self.store.add_entry(inspection.id, "check", to_json(outcome))
        return self.load(inspection.id)

    def repair(self, inspection: Inspection, outcome: RepairOutcome) -> Inspection:
        """Keep what was repaired and whether it helped; while nobody knows whether it did, the outcome stays open."""
        self.store.add_entry(
            inspection.id, "repair", to_json(outcome), settled=outcome.complaint_gone is not None
        )
        return self.load(inspection.id)

    def photo_bytes(self, digest: str) -> bytes:
        """Return a kept photo as it was given."""
        return self.store.blob(digest)
