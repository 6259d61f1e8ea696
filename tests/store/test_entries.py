"""Entries: appended, numbered, withdrawn, never overwritten."""

import pytest

from plugsight.store import Conflict, EntryKind, Store, StoredInspection
from plugsight.vocabulary.errors import StoreError


def test_entries_are_numbered_by_kind_and_plug(store: Store, inspection: StoredInspection) -> None:
    a = store.add_entry(inspection.id, "reading", "a", cylinder=1)
    b = store.add_entry(inspection.id, "reading", "b", cylinder=1)
    c = store.add_entry(inspection.id, "reading", "c", cylinder=1, position="top")
    d = store.add_entry(inspection.id, "bench", "d", cylinder=1)
    e = store.add_entry(inspection.id, "check", "e")
    assert [x.number for x in (a, b, c, d, e)] == [1, 2, 1, 1, 1]
    assert [x.cylinder for x in (a, e)] == [1, None]
    assert store.load(inspection.id).entries == (a, b, c, d, e)
    assert store.load(inspection.id).of(EntryKind.READING) == (a, b, c)


def test_second_decision_names_the_one_it_replaces(store: Store, inspection: StoredInspection) -> None:
    store.add_entry(inspection.id, "confirmation", "first", cylinder=1)
    second = store.add_entry(inspection.id, "confirmation", "second", cylinder=1, replaces=1)
    assert (second.number, second.replaces) == (2, 1)
    assert [e.body_json for e in store.load(inspection.id).entries] == ["first", "second"]


@pytest.mark.parametrize("replaces", [None, 2])
def test_decision_on_a_plug_decided_meanwhile_is_a_conflict(
    store: Store, inspection: StoredInspection, replaces: int | None
) -> None:
    store.add_entry(inspection.id, "confirmation", "first", cylinder=3, position="top")
    with pytest.raises(Conflict, match="plug 3 top: somebody else decided it meanwhile"):
        store.add_entry(inspection.id, "confirmation", "late", cylinder=3, position="top", replaces=replaces)
    now = store.load(inspection.id)
    assert [e.body_json for e in now.entries] == ["first"]
    assert now.version == 2  # the refused one left no trace


def test_withdrawn_entry_no_longer_counts_but_stays(store: Store, inspection: StoredInspection) -> None:
    wrong = store.add_entry(inspection.id, "reading", "wrong", cylinder=1)
    store.withdraw_entry(wrong.id)
    store.withdraw_entry(wrong.id)
    right = store.add_entry(inspection.id, "reading", "right", cylinder=1)
    assert right.number == 2
    assert store.load(inspection.id).entries == (right,)
    assert [e.withdrawn for e in store.load(inspection.id, everything=True).entries] == [True, False]


def test_a_decision_is_superseded_never_withdrawn(store: Store, inspection: StoredInspection) -> None:
    made = store.add_entry(inspection.id, "confirmation", "{}", cylinder=1)
    with pytest.raises(StoreError, match="Decide the plug again"):
        store.withdraw_entry(made.id)


def test_unknown_entry_says_what_to_do(store: Store) -> None:
    with pytest.raises(StoreError, match="Reload the inspection"):
        store.withdraw_entry(12345)
