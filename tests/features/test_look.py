"""The learned look: what goes in is the close-up with its parts, what comes out sums to one and follows the picture."""

import json
import shutil
from pathlib import Path

import cv2
import numpy as np
import pytest

from plugsight.features import CANONICAL_NAMES, look, measure_canonical
from plugsight.features.look import SIGNS, look_name, measure_look, sign_name
from plugsight.segments.canonical import clean_labels
from plugsight.segments.model_file import model_path
from plugsight.segments.network import tip_chances
from plugsight.segments.record import Part
from plugsight.training.crops import read_crops
from plugsight.view.record import ViewKind
from plugsight.vocabulary.damage import Damage
from plugsight.vocabulary.deposits import Deposit
from plugsight.vocabulary.errors import PlugsightError

ROOT = Path(__file__).parents[2]


@pytest.fixture(scope="module")
def crops():
    found = []
    for crop in read_crops(ROOT / "data_synthetic" / "calibration"):
        found.append(crop)
        if len(found) == 40:
            return found
    return found


def parts(closeup: np.ndarray) -> np.ndarray:
    return clean_labels(tip_chances(closeup)[0])


def looks(closeup: np.ndarray, labels: np.ndarray) -> dict[str, float]:
    found = measure_look(closeup, labels)
    return {name: value for name, value in found.items() if name.startswith(look.LOOK)}


def test_shares_sum_to_one_and_every_deposit_and_damage_is_named(crops) -> None:
    closeup = crops[0].closeup
    found = measure_look(closeup, parts(closeup))
    assert set(found) == {look_name(d) for d in Deposit} | {sign_name(d) for d in SIGNS}
    assert sum(found[look_name(d)] for d in Deposit) == pytest.approx(1)
    assert all(0 <= value <= 1 for value in found.values())


def test_it_tells_far_more_than_chance_on_plugs_it_never_saw(crops) -> None:
    right = 0
    for one in crops:
        found = looks(one.closeup, parts(one.closeup))
        right += max(found, key=found.__getitem__) in {look_name(d) for d in (one.deposit, one.second) if d}
    # 12 deposits: chance is 3 of 40; more than 15 by chance is rarer than 1 in 1,000,000 (binomial).
    assert right > 15


def test_soot_painted_on_a_nose_reads_darker_than_before(crops) -> None:
    one = next(c for c in crops if c.deposit is Deposit.BARE and c.kind is ViewKind.END)
    labels = parts(one.closeup)
    soot = one.closeup.copy()
    soot[labels == Part.NOSE] = soot[labels == Part.NOSE] // 6
    dark = [look_name(d) for d in (Deposit.DRY_CARBON, Deposit.WET_OIL)]
    before, after = (looks(c, labels) for c in (one.closeup, cv2.GaussianBlur(soot, (3, 3), 0)))
    assert sum(after[d] for d in dark) > sum(before[d] for d in dark)


def test_blued_metal_leaves_its_sign(crops) -> None:
    blued = [Damage.BLUED_METAL in one.damage for one in crops]
    signs = [measure_look(c.closeup, parts(c.closeup))[sign_name(Damage.BLUED_METAL)] for c in crops]
    assert any(blued)
    assert np.mean([s for s, b in zip(signs, blued, strict=True) if b]) > 2 * np.mean(
        [s for s, b in zip(signs, blued, strict=True) if not b]
    )


def test_without_a_close_up_no_look_is_measured_and_parts_found_or_given_agree(crops) -> None:
    one = crops[0]
    learned = [name for name in CANONICAL_NAMES if name.startswith((look.LOOK, look.SIGN))]

    def measured(**close: np.ndarray | None) -> dict[str, float]:
        return {v.name: v.value for v in measure_canonical(one.crop, one.kind, **close)}

    without, found = measured(), measured(closeup=one.closeup)
    given = measured(closeup=one.closeup, close_labels=parts(one.closeup))
    assert np.isnan([without[name] for name in learned]).all()
    assert not np.isnan([found[name] for name in learned]).any()
    assert given == pytest.approx(found, nan_ok=True)
    rest = [name for name in CANONICAL_NAMES if name not in learned]
    assert [without[n] for n in rest] == pytest.approx([found[n] for n in rest], nan_ok=True)


def test_the_answer_is_the_mean_of_the_networks_every_second_shown_the_mirrored_close_up(
    crops, monkeypatch
) -> None:
    one = crops[0]
    labels = parts(one.closeup)
    nets, deposits, damages = look._load()
    assert len(nets) == 2
    alone = []
    for net, step in zip(nets, (1, -1), strict=True):
        monkeypatch.setattr(look, "_load", lambda net=net: ((net,), deposits, damages))
        alone.append(measure_look(np.ascontiguousarray(one.closeup[:, ::step]), labels[:, ::step]))
    monkeypatch.undo()
    both = measure_look(one.closeup, labels)
    assert alone[0] != alone[1]
    assert both == pytest.approx({k: np.mean([a[k] for a in alone]) for k in both}, rel=1e-4)


def test_a_changed_network_is_refused(tmp_path, monkeypatch) -> None:
    card = json.loads((model_path() / look.CARD).read_text())
    for name in (*card["sha256"], "parts.json"):
        shutil.copy(model_path() / name, tmp_path / name)
    card["sha256"][next(reversed(card["sha256"]))] = "0" * 64
    (tmp_path / look.CARD).write_text(json.dumps(card))
    monkeypatch.setattr("plugsight.features.look.model_path", lambda: tmp_path)
    monkeypatch.setattr("plugsight.segments.model_file.model_path", lambda: tmp_path)
    look._load.cache_clear()
    from plugsight.segments.model_file import load_model_bytes

    load_model_bytes.cache_clear()
    with pytest.raises(PlugsightError, match=r"look\.json"):
        look._load()
    look._load.cache_clear()
    load_model_bytes.cache_clear()
