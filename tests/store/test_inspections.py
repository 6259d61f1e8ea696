"""Inspections: begun, loaded, changed, listed."""

import pytest

from plugsight.store import Conflict, Store, StoredInspection
from plugsight.store import inspections as writes
from plugsight.vocabulary.errors import InputError, StoreError


def test_new_inspection_is_loaded_as_it_was_saved(store: Store) -> None:
    made = store.new_inspection("  Blue   van ", '{"a": 1}', invented=False)
    assert made == store.load(made.id)
    assert (made.engine_name, made.facts_json, made.invented) == ("Blue van", '{"a": 1}', False)
    assert made.version == 1
    assert made.started == made.updated
    assert made.open_outcome


def test_ids_are_short_safe_and_different(store: Store) -> None:
    ids = {store.new_inspection("e", "{}", invented=True).id for _ in range(30)}
    assert len(ids) == 30
    assert all(len(i) == 12 and i.isalnum() and i.isascii() for i in ids)


def test_unknown_id_says_what_to_do(store: Store) -> None:
    with pytest.raises(StoreError, match=r"there is none with this id here.*plugsight list"):
        store.load("nosuchthing")


@pytest.mark.parametrize("name", ["", "   ", "x" * 201, "bell\x07"])
def test_engine_needs_a_printable_name(store: Store, name: str) -> None:
    with pytest.raises(InputError, match="engine name"):
        store.new_inspection(name, "{}", invented=True)
    assert store.engines() == ()


def test_every_write_raises_version_and_time(store: Store, inspection: StoredInspection) -> None:
    store.add_photo(inspection.id, 1, "", "a.jpg", b"picture", "{}")
    after_photo = store.load(inspection.id)
    store.add_entry(inspection.id, "reading", "{}", cylinder=1)
    after_reading = store.load(inspection.id)
    assert [inspection.version, after_photo.version, after_reading.version] == [1, 2, 3]
    assert inspection.updated < after_photo.updated < after_reading.updated


def test_time_never_runs_backwards_when_the_clock_does() -> None:
    future = "2999-01-01T00:00:00.000000+00:00"
    assert writes.stamp(future) == "2999-01-01T00:00:00.000001+00:00"


def test_second_writer_of_facts_is_told_and_nothing_is_overwritten(
    store: Store, inspection: StoredInspection
) -> None:
    store.set_facts(inspection.id, '{"by": "first"}', expected_version=inspection.version)
    with pytest.raises(Conflict, match=r"somebody else changed it meanwhile.*reload"):
        store.set_facts(inspection.id, '{"by": "second"}', expected_version=inspection.version)
    now = store.load(inspection.id)
    assert now.facts_json == '{"by": "first"}'
    assert now.version == 2


def test_renamed_engine_moves_the_inspection(store: Store, inspection: StoredInspection) -> None:
    store.set_facts(inspection.id, "{}", expected_version=1, engine_name="Other engine")
    assert store.load(inspection.id).engine_name == "Other engine"
    assert [e.name for e in store.engines()] == ["Other engine"]


def test_lists_are_last_changed_first_and_can_be_paged(store: Store) -> None:
    ids = [store.new_inspection(name, "{}", invented=True).id for name in ("a", "b", "a")]
    store.add_entry(ids[0], "reading", "{}", cylinder=1)
    assert [s.id for s in store.recent()] == [ids[0], ids[2], ids[1]]
    assert [s.id for s in store.recent(limit=1, offset=1)] == [ids[2]]
    assert [s.id for s in store.recent(engine="a")] == [ids[0], ids[2]]
    assert store.recent(engine="unknown") == ()


def test_summary_counts_kept_photos_and_decided_plugs(store: Store, inspection: StoredInspection) -> None:
    gone = store.add_photo(inspection.id, 1, "", "a.jpg", b"one", "{}")
    store.add_photo(inspection.id, 1, "", "b.jpg", b"two", "{}")
    store.remove_photo(gone.id)
    store.add_entry(inspection.id, "confirmation", "{}", cylinder=1)
    store.add_entry(inspection.id, "confirmation", "{}", cylinder=1, replaces=1)
    store.add_entry(inspection.id, "confirmation", "{}", cylinder=2)
    (summary,) = store.recent()
    assert (summary.photos, summary.decided) == (1, 2)


def test_open_outcomes_end_with_a_repair_that_is_settled(store: Store, inspection: StoredInspection) -> None:
    store.add_entry(inspection.id, "repair", "{}", settled=False)
    assert [s.id for s in store.recent(open_outcomes=True)] == [inspection.id]
    store.add_entry(inspection.id, "repair", "{}")
    assert store.recent(open_outcomes=True) == ()
    assert len(store.load(inspection.id).entries) == 2


def test_history_is_one_engines_inspections_oldest_first(store: Store) -> None:
    ids = [store.new_inspection(name, "{}", invented=True).id for name in ("a", "b", "a")]
    store.add_entry(ids[0], "reading", "{}", cylinder=3)
    past = store.history(" a ")
    assert [p.id for p in past] == [ids[0], ids[2]]
    assert [len(p.entries) for p in past] == [1, 0]
    assert store.history("unknown") == ()
    assert [(e.name, e.inspections) for e in store.engines()] == [("a", 2), ("b", 1)]


def test_engines_are_found_by_the_start_of_their_name(store: Store) -> None:
    for name in ("Blue van", "blue boat", "Red van", "100%_x", "100 x"):
        store.new_inspection(name, "{}", invented=True)
    assert {e.name for e in store.engines(starting="BLUE")} == {"Blue van", "blue boat"}
    assert [e.name for e in store.engines(starting="100%_")] == ["100%_x"]
    assert [e.name for e in store.engines(limit=1, offset=1)] == ["100%_x"]
