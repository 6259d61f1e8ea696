"""Photos: kept once, named by their content, never lost."""

import pytest

from plugsight.store import Store, StoredInspection
from plugsight.vocabulary.errors import InputError, StoreError

# SHA-256 of "abc": FIPS 180-4 example, published by NIST with the standard.
ABC = "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad"


def test_photo_is_named_by_its_sha256_and_comes_back(store: Store, inspection: StoredInspection) -> None:
    photo = store.add_photo(inspection.id, 2, "top", "a.jpg", b"abc", '{"seen": 1}', b"over", b"canon")
    assert photo.digest == photo.blob_digest == ABC
    assert store.blob(photo.blob_digest) == b"abc"
    assert store.blob(photo.overlay_digest or "") == b"over"
    assert store.blob(photo.canonical_digest or "") == b"canon"
    assert store.load(inspection.id).photos == (photo,)


def test_same_photo_on_the_same_plug_is_kept_once(store: Store, inspection: StoredInspection) -> None:
    first = store.add_photo(inspection.id, 1, "", "a.jpg", b"abc", "{}")
    again = store.add_photo(inspection.id, 1, "", "b.jpg", b"abc", "{}")
    assert again.id == first.id
    assert len(store.load(inspection.id).photos) == 1


def test_same_photo_on_another_plug_is_refused_and_names_the_plug(
    store: Store, inspection: StoredInspection
) -> None:
    store.add_photo(inspection.id, 1, "top", "a.jpg", b"abc", "{}")
    with pytest.raises(InputError, match=r"b\.jpg: this photo already stands at plug 1 top\. Remove it"):
        store.add_photo(inspection.id, 2, "top", "b.jpg", b"abc", "{}")
    other = store.new_inspection("e", "{}", invented=True)
    assert store.add_photo(other.id, 2, "", "b.jpg", b"abc", "{}").cylinder == 2


def test_removed_photo_stays_in_the_store_and_may_go_to_another_plug(
    store: Store, inspection: StoredInspection
) -> None:
    photo = store.add_photo(inspection.id, 1, "", "a.jpg", b"abc", "{}")
    store.remove_photo(photo.id)
    assert store.load(inspection.id).photos == ()
    assert [p.removed for p in store.load(inspection.id, everything=True).photos] == [True]
    assert store.blob(photo.blob_digest) == b"abc"
    moved = store.add_photo(inspection.id, 2, "", "a.jpg", b"abc", "{}")
    assert moved.id != photo.id


def test_new_look_replaces_the_old_one(store: Store, inspection: StoredInspection) -> None:
    photo = store.add_photo(inspection.id, 1, "", "a.jpg", b"abc", "{}", b"old")
    new = store.set_look(photo.id, '{"n": 2}', b"new")
    assert (new.look_json, new.blob_digest) == ('{"n": 2}', photo.blob_digest)
    assert store.blob(new.overlay_digest or "") == b"new"
    with pytest.raises(StoreError, match="Reload the inspection"):
        store.set_look(999, "{}")


def test_photo_without_metadata_keeps_the_name_of_the_file_as_given(
    store: Store, inspection: StoredInspection
) -> None:
    photo = store.add_photo(inspection.id, 1, "", "a.jpg", b"stripped", "{}", digest=ABC)
    assert photo.digest == ABC
    assert store.blob(photo.blob_digest) == b"stripped"


@pytest.mark.parametrize("digest", ["", "../../etc/passwd", "A" * 64, "g" * 64, ABC + "0", ABC[:-1] + "\n"])
def test_nothing_but_a_digest_reaches_the_disk(store: Store, digest: str) -> None:
    with pytest.raises(StoreError, match="not a digest"):
        store.blob(digest)


def test_unknown_inspection_leaves_no_file_behind(store: Store) -> None:
    with pytest.raises(StoreError, match="none with this id"):
        store.add_photo("nosuchthing", 1, "", "a.jpg", b"abc", "{}")
    assert store.blobs.digests() == ()


def test_damaged_and_missing_files_are_said_never_returned(
    store: Store, inspection: StoredInspection
) -> None:
    photo = store.add_photo(inspection.id, 1, "", "a.jpg", b"abc", "{}")
    path = store.blobs.path(photo.blob_digest)
    path.write_bytes(b"abd")
    with pytest.raises(StoreError, match="has changed on disk"):
        store.blob(photo.blob_digest)
    store.add_photo(inspection.id, 1, "", "a.jpg", b"abc", "{}")
    assert store.blob(photo.blob_digest) == b"abc"  # adding it again heals it
    path.unlink()
    with pytest.raises(StoreError, match="missing or unreadable"):
        store.blob(photo.blob_digest)


def test_nothing_is_left_aside_after_writing(store: Store, inspection: StoredInspection) -> None:
    store.add_photo(inspection.id, 1, "", "a.jpg", b"abc", "{}")
    assert list((store.blobs.folder / ".aside").iterdir()) == []
