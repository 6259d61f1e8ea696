"""Backup, restore, verify."""

import errno
import json
import sqlite3
import zipfile
from collections.abc import Callable
from pathlib import Path

import pytest

from plugsight.store import Store, StoredInspection, back_up, restore, verify
from plugsight.vocabulary.errors import StoreError


@pytest.fixture
def backup(store: Store, inspection: StoredInspection, tmp_path: Path) -> Path:
    store.add_photo(inspection.id, 1, "", "a.jpg", b"picture", "{}", b"overlay", b"canonical")
    store.add_entry(inspection.id, "confirmation", '{"d": 1}', cylinder=1)
    return back_up(store, tmp_path / "backups" / "b.zip").path


def test_restored_store_holds_the_same(
    backup: Path, store: Store, inspection: StoredInspection, tmp_path: Path
) -> None:
    restore(backup, tmp_path / "new")
    with Store.open(tmp_path / "new") as new:
        assert new.load(inspection.id) == store.load(inspection.id)
        assert new.blob(new.load(inspection.id).photos[0].blob_digest) == b"picture"
        assert verify(new).whole
        new.add_entry(inspection.id, "reading", "{}", cylinder=1)
    assert sorted(p.name for p in (tmp_path / "new").iterdir()) == ["files", "plugsight.sqlite"]
    assert [p.name for p in backup.parent.iterdir()] == ["b.zip"]


def test_backup_of_a_store_in_use_is_one_moment_of_it(store: Store, backup: Path, tmp_path: Path) -> None:
    with store._writing() as c:
        c.exec_driver_sql("INSERT INTO engine (name) VALUES ('half done')")
        made = back_up(store, tmp_path / "c.zip")
        c.exec_driver_sql("DELETE FROM engine WHERE name = 'half done'")
    restore(made.path, tmp_path / "new")
    with Store.open(tmp_path / "new") as new, new._reading() as c:
        names = c.exec_driver_sql("SELECT name FROM engine").scalars().all()
    assert names == ["Invented engine"]
    assert backup.is_file()


def test_existing_store_is_never_overwritten(backup: Path, store: Store) -> None:
    with pytest.raises(StoreError, match="there is a store already"):
        restore(backup, store.location.database)


def _drop_photo(path: Path) -> None:
    _rewrite(path, lambda name, data: None if name.startswith("files/") else data)


def _change_photo(path: Path) -> None:
    _rewrite(path, lambda name, data: b"other" if name.startswith("files/") else data)


def _newer(path: Path) -> None:
    manifest = json.dumps({"format": 99, "digests": []}).encode()
    _rewrite(path, lambda name, data: manifest if name == "backup.json" else data)


def _outside(path: Path) -> None:
    manifest = json.dumps({"format": 1, "digests": ["../../outside"]}).encode()
    _rewrite(path, lambda name, data: manifest if name == "backup.json" else data)


def _no_database(path: Path) -> None:
    _rewrite(path, lambda name, data: b"no database" * 100 if name == "plugsight.sqlite" else data)


def _broken_pages(path: Path) -> None:
    def change(name: str, data: bytes) -> bytes:
        return data[:4096] + b"\xff" * (len(data) - 4096) if name == "plugsight.sqlite" else data

    _rewrite(path, change)


def _cut(path: Path) -> None:
    path.write_bytes(path.read_bytes()[:-40])


@pytest.mark.parametrize(
    ("damage", "said"),
    [
        (_drop_photo, "missing or broken"),
        (_change_photo, "has changed"),
        (_newer, "Update plugsight"),
        (_outside, "list of contents is wrong"),
        (_no_database, "not a plugsight store"),
        (_broken_pages, "broken|damaged"),
        (_cut, "can't be read"),
    ],
)
def test_unusable_backup_is_refused_and_leaves_no_store(
    backup: Path, tmp_path: Path, damage: Callable[[Path], None], said: str
) -> None:
    damage(backup)
    with pytest.raises(StoreError, match=said):
        restore(backup, tmp_path / "new")
    assert not (tmp_path / "new" / "plugsight.sqlite").exists()
    assert not (tmp_path / "outside").exists()


@pytest.mark.parametrize("hit", ["os.fsync", "pathlib.Path.write_bytes"], ids=["photos", "database"])
def test_full_disk_while_restoring_says_so_and_makes_no_store(
    backup: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, hit: str
) -> None:
    def full(*_args: object) -> None:
        raise OSError(errno.ENOSPC, "No space left on device")

    with monkeypatch.context() as patched:
        patched.setattr(hit, full)
        with pytest.raises(
            StoreError, match=r"No space left on device.*(no store was made|nothing was half-saved)"
        ):
            restore(backup, tmp_path / "new")
    assert not (tmp_path / "new" / "plugsight.sqlite").exists()


def test_damage_is_listed(store: Store, backup: Path) -> None:
    assert verify(store).whole
    photo = store.recent()[0]
    kept = store.load(photo.id).photos[0]
    store.blobs.path(kept.blob_digest).write_bytes(b"changed")
    store.blobs.path(kept.overlay_digest or "").unlink()
    store.blobs.put(b"spare")
    health = verify(store)
    assert (len(health.faults), health.spare, health.whole) == (2, 1, False)
    assert backup.is_file()


def test_row_that_points_nowhere_is_listed(store: Store, inspection: StoredInspection) -> None:
    raw = sqlite3.connect(str(store.location.database))
    raw.execute("UPDATE inspection SET engine_id = 999 WHERE id = ?", (inspection.id,))
    raw.commit()
    raw.close()
    assert any("points nowhere" in fault for fault in verify(store).faults)


def _rewrite(path: Path, change: Callable[[str, bytes], bytes | None]) -> None:
    with zipfile.ZipFile(path) as whole:
        parts = {name: change(name, whole.read(name)) for name in whole.namelist()}
    with zipfile.ZipFile(path, "w") as whole:
        for name, data in parts.items():
            if data is not None:
                whole.writestr(name, data)
