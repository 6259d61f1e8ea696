"""The whole learning loop from the command line: share, adopt, learn, score, promote, revert."""

import hashlib
import io
import zipfile
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from PIL import Image
from typer.testing import Result

from plugsight.features import CANONICAL_NAMES, catalogue_digest
from plugsight.labels import (
    FORMAT,
    Grade,
    LabelledPhoto,
    LabelledPlug,
    LabelledSet,
    SetPicture,
    read_set,
    write_set,
)
from plugsight.labels.name import image_name
from plugsight.store import Store
from plugsight.suggestion.active import active_folder, promote
from plugsight.suggestion.model_file import load_model, save_model
from plugsight.training.confirmed import locked
from plugsight.training.fit import fit
from plugsight.training.make_table import DAMAGES
from plugsight.training.table import FeatureTable, joined, write_table

Run = Callable[..., Result]
Write = Callable[..., Path]

DECIDED = """
[[plugs]]
cylinder = 1
photos = ["{photos}/1_side.jpg"]
[[plugs]]
cylinder = 2
"""


@pytest.fixture(autouse=True)
def homes(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("PLUGSIGHT_LABELS", str(tmp_path / "kept"))
    monkeypatch.setenv("PLUGSIGHT_MODELS", str(tmp_path / "shop"))


@pytest.fixture
def confirmed(run: Run, write: Write, photos: Path, tmp_path: Path) -> None:
    result = run("engine", write(DECIDED.format(photos=photos)), "--no-ask")
    assert result.exit_code == 3, result.output
    with Store.open(tmp_path / "store") as store:
        number = store.recent()[0].id
    for cylinder, deposit in ((1, "light"), (2, "ash")):
        result = run("decide", number, str(cylinder), "--deposit", deposit, "--who", "T")
        assert result.exit_code == 0, result.output


@pytest.mark.usefixtures("confirmed")
def test_confirmed_photos_go_out_and_come_in_once(run: Run, tmp_path: Path) -> None:
    given = ("--licence", "CC BY 4.0", "--consent", "owner agreed in writing")
    refused = run("share", "none.zip", "--licence", "CC0", "--ask", typed="\n")
    assert refused.exit_code == 2
    assert "consent" in refused.output
    assert not (tmp_path / "none.zip").exists()
    assert run("share", "set.zip", *given).exit_code == 0
    labelled = read_set(tmp_path / "set.zip").labelled
    # cylinder 2 has no photo: nothing to learn from
    assert [p.deposits for p in labelled.plugs] == [("light",)]
    assert (labelled.licence, labelled.consent) == ("CC BY 4.0", "owner agreed in writing")
    # neither the engine's name nor a hash of it, which who knows number plates could guess
    with zipfile.ZipFile(tmp_path / "set.zip") as whole:
        told = b"".join(map(whole.read, whole.namelist()))
    assert b"Invented twin" not in told
    assert hashlib.sha256(b"Invented twin").hexdigest()[:20].encode() not in told
    assert "1 plugs with 1 photos taken in" in run("adopt", "set.zip").output
    again = run("adopt", "set.zip")
    assert again.exit_code == 0
    assert "1 plugs were here already" in again.output
    assert "Nothing new" in again.output
    assert run("share", "set.zip", *given).exit_code == 2


@pytest.fixture
def table(make_up: Callable[..., FeatureTable], tmp_path: Path) -> FeatureTable:
    sizes = (("train", 90, 1), ("calibration", 90, 2), ("test", 60, 3))
    made = joined(*(make_up(count, seed, split, CANONICAL_NAMES) for split, count, seed in sizes))
    whole = np.zeros((len(made), len(DAMAGES)), bool)
    made = replace(made, damages=DAMAGES, damage=whole)
    write_table(made, tmp_path / "features.npz")
    return made


def as_set(table: FeatureTable, engines: int, to: Path) -> Path:
    """Write a table's plugs as a labelled set, all decided blind, spread over engines."""
    pictures, plugs = {}, []
    for number, name in enumerate(dict.fromkeys(table.plug)):
        out = io.BytesIO()
        Image.fromarray(np.random.default_rng(number).integers(0, 255, (70, 70, 3), np.uint8)).save(
            out, "PNG"
        )
        data = out.getvalue()
        shot = image_name(data)
        pictures[shot] = SetPicture(data, None, (70, 70))
        row = int(np.flatnonzero(table.plug == name)[0])
        values = tuple(None if np.isnan(v) else float(v) for v in table.values[row])
        photo = LabelledPhoto(
            shot, hashlib.sha256(data).hexdigest(), str(table.kind[row]), cleaned=False, values=values
        )
        plugs.append(
            LabelledPlug(
                plug=str(name),
                engine=f"e{number % engines}",
                cylinder=1,
                position="",
                deposits=(str(table.deposit[row]),),
                damage=(),
                absent=(),
                damage_absent=(),
                grade=Grade.BENCH,
                blind=True,
                suggested=(),
                model_digest="",
                decided="2026-03-04",
                photos=(photo,),
            )
        )
    whole = LabelledSet(
        FORMAT,
        "2026-03-04",
        "t",
        "CC0",
        "given",
        catalogue_digest(),
        table.names,
        invented=True,
        plugs=tuple(plugs),
    )
    return write_set(whole, pictures, to)


def test_a_better_model_is_promoted_and_taken_back(
    run: Run, table: FeatureTable, make_up: Callable[..., FeatureTable], tmp_path: Path
) -> None:
    part = {s: table.where(table.split == s) for s in ("train", "calibration")}
    rng = np.random.default_rng(0)
    nonsense = replace(part["train"], deposit=rng.permutation(part["train"].deposit))
    bad = save_model(fit(nonsense, part["calibration"], family="logistic regression"), tmp_path / "bad")
    promote(tmp_path / "bad")
    as_set(make_up(120, 9, "own", CANONICAL_NAMES), 40, tmp_path / "own.zip")
    assert run("adopt", "own.zip").exit_code == 0
    learnt = run("learn", "features.npz", "--to", "new", "--family", "logistic regression")
    assert learnt.exit_code == 0, learnt.output
    kept = 120 // 40 * sum(locked(f"e{n}") for n in range(40))
    assert f"{120 - kept} confirmed photos correct what renders taught" in learnt.output
    assert kept >= 30
    made = run("promote", "new")
    assert made.exit_code == 0, made.output
    assert f"on {kept} blind plugs" in made.output
    assert "Promoted: better by" in made.output
    assert load_model(active_folder()).digest != bad.digest
    assert run("revert").exit_code == 0
    assert load_model(active_folder()).digest == bad.digest


def test_with_too_few_blind_plugs_only_limits_change(
    run: Run, table: FeatureTable, make_up: Callable[..., FeatureTable], tmp_path: Path
) -> None:
    part = {s: table.where(table.split == s) for s in ("train", "calibration")}
    old = save_model(fit(part["train"], part["calibration"], family="logistic regression"), tmp_path / "old")
    promote(tmp_path / "old")
    as_set(make_up(36, 9, "own", CANONICAL_NAMES), 36, tmp_path / "own.zip")
    made = run("promote", "old", "--with", "own.zip")
    assert made.exit_code == 3
    assert "Not enough yet" in made.output
    assert "Limits set anew on" in made.output
    assert "95 % range" in made.output
    assert load_model(active_folder()).digest != old.digest
    assert run("revert").exit_code == 0
    assert load_model(active_folder()).digest == old.digest


def test_promoting_without_any_set_says_what_to_do(run: Run, table: FeatureTable, tmp_path: Path) -> None:
    part = {s: table.where(table.split == s) for s in ("train", "calibration")}
    save_model(fit(part["train"], part["calibration"], family="logistic regression"), tmp_path / "old")
    promote(tmp_path / "old")
    result = run("promote", "old")
    assert result.exit_code == 2
    assert "adopt them first" in result.output


def test_every_figure_of_a_table_is_printed(run: Run, table: FeatureTable, tmp_path: Path) -> None:
    part = {s: table.where(table.split == s) for s in ("train", "calibration")}
    save_model(fit(part["train"], part["calibration"], family="logistic regression"), tmp_path / "m")
    result = run("score", "features.npz", "--model", "m")
    assert result.exit_code == 0, result.output
    for words in (
        "test: 60 plugs",
        "balanced accuracy, all",
        "calibration error (ECE)",
        "mean set size",
        "rendered plugs only",
    ):
        assert words in result.output
