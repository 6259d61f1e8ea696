"""The power-cut model: a file's bytes last only once synced, a rename only once its folder is synced after it.

Whatever lasts of the rest is up to the disk, so every cut is tried with every mixture: the file must be whole, old or new.
"""

import os
from itertools import product
from pathlib import Path

import pytest

from plugsight.durable import write_whole

OLD, NEW, TORN = b"old", b"new, and longer", b"new, a"


class Disk:
    """Notes what a program asks of the disk, and tells what a cut after ``k`` notes may leave of one file."""

    def __init__(self, patched: pytest.MonkeyPatch) -> None:
        self.notes: list[tuple[str, str, str]] = []
        sync, move = os.fsync, Path.replace

        def noted_sync(handle: int) -> None:
            self.notes.append(("sync", str(Path(f"/proc/self/fd/{handle}").readlink()), ""))
            sync(handle)

        def noted_move(this: Path, to: Path) -> Path:
            self.notes.append(("rename", str(this), str(to)))
            return move(this, to)

        patched.setattr("os.fsync", noted_sync)
        patched.setattr("pathlib.Path.replace", noted_move)

    def left(self, path: Path, cut: int) -> set[bytes]:
        """Contents that ``path`` may have after a cut behind ``cut`` notes."""
        done = self.notes[:cut]
        found = set()
        for renamed_lasts, bytes_last in product((True, False), repeat=2):
            content = OLD
            for k, (what, name, to) in enumerate(done):
                if what == "rename" and to == str(path):
                    synced = ("sync", name, "") in done[:k]
                    folder_synced = ("sync", str(path.parent), "") in done[k:]
                    if renamed_lasts or folder_synced:
                        content = NEW if synced or bytes_last else TORN
            found.add(content)
        return found


@pytest.mark.skipif(not Path("/proc/self/fd").exists(), reason="names of open files are read from /proc")
def test_a_power_cut_leaves_the_old_file_or_the_new_one(tmp_path: Path) -> None:
    path = tmp_path / "model.bin"
    path.write_bytes(OLD)
    with pytest.MonkeyPatch.context() as patched:
        disk = Disk(patched)
        write_whole(path, NEW)
    assert disk.notes, "nothing was synced at all"
    for cut in range(len(disk.notes) + 1):
        assert disk.left(path, cut) <= {OLD, NEW}
    assert disk.left(path, len(disk.notes)) == {NEW}, "what was acknowledged must last"


def test_a_full_disk_leaves_the_old_file_and_nothing_beside_it(tmp_path: Path) -> None:
    path = tmp_path / "model.bin"
    path.write_bytes(OLD)

    def full(_: int) -> None:
        raise OSError(28, "No space left on device")

    with pytest.MonkeyPatch.context() as patched:
        patched.setattr("os.fsync", full)
        with pytest.raises(OSError, match="No space"):
            write_whole(path, NEW)
    assert path.read_bytes() == OLD
    assert [p.name for p in tmp_path.iterdir()] == ["model.bin"]
