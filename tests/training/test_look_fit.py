"""The look network's fit: what it reads, how it disturbs, and that the written network is the fitted one."""

import json
from pathlib import Path

import cv2
import numpy as np
import pytest

torch = pytest.importorskip("torch", reason="torch is an extra: to fit networks, not for the job")
pytest.importorskip("efficientnet_lite_pytorch", reason="the network's front is an extra")

from plugsight.segments import Part  # noqa: E402
from plugsight.segments.model_file import FORMAT  # noqa: E402
from plugsight.training import look_write  # noqa: E402
from plugsight.training.look_disturb import disturb, masks_of  # noqa: E402
from plugsight.training.look_examples import DAMAGES, LOOKS, read_examples  # noqa: E402
from plugsight.training.look_net import PARTS, LookNet  # noqa: E402
from plugsight.training.look_report import report  # noqa: E402
from plugsight.vocabulary.deposits import Deposit  # noqa: E402
from plugsight.vocabulary.errors import InputError  # noqa: E402

COUNT = 6


@pytest.fixture
def examples(tmp_path: Path) -> Path:
    rng = np.random.default_rng(1)
    labels = np.zeros((COUNT, 320, 320), np.uint8)
    labels[:, 100:200, 100:220], labels[:, 60:100, 140:180] = Part.NOSE, Part.CENTRE_ELECTRODE
    tip = rng.integers(40, 200, (COUNT, 320, 320, 3)).astype(np.uint8)
    tip[-1] = 0
    shares = np.zeros((COUNT, len(LOOKS)), np.float32)
    shares[:, LOOKS.index(Deposit.ASH)] = 0.7
    shares[1] = np.nan
    damage = np.zeros((COUNT, len(DAMAGES)), bool)
    damage[::2, 0] = True
    np.savez(
        tmp_path / "a.npz", tip=tip, tip_mask=labels, shares=shares, damage=damage,
        held_out=np.arange(COUNT) % 3 == 0, deposit=np.array(["ash", "", "ash", "lead", "lead", "ash"]),
        second=np.array(["lead", "", "", "", "", ""]), kind=np.array(["side", "end"] * (COUNT // 2)),
        plug=np.array([f"train-1-{k // 2}" for k in range(COUNT)]),
    )  # fmt: skip
    np.savez(tmp_path / "other.npz", finder=np.zeros((2, 4, 4, 3), np.uint8), held_out=np.zeros(2, bool))
    return tmp_path


def test_parts_and_format_are_those_of_the_room_that_runs_it() -> None:
    assert list(PARTS.values()) == [Part.NOSE, Part.CENTRE_ELECTRODE, Part.GROUND_ELECTRODE]
    assert look_write.FORMAT == FORMAT


def test_plugs_kept_aside_failed_renders_and_pictures_without_a_plug_are_not_fitted_on(
    examples: Path,
) -> None:
    fitted, aside = read_examples(examples)
    assert (len(fitted.label), len(aside.label)) == (3, 2)  # the last picture is black
    ash, lead = LOOKS.index(Deposit.ASH), LOOKS.index(Deposit.LEAD)
    assert fitted.label.tolist() == [-1, ash, lead]
    assert aside.right[0].nonzero().flatten().tolist() == sorted((ash, lead))
    assert fitted.shares[1, LOOKS.index(Deposit.BARE)] == pytest.approx(0.3)
    assert fitted.shares[0].isnan().all()


def test_picture_and_masks_are_moved_alike() -> None:
    labels = torch.zeros(8, 320, 320, dtype=torch.uint8)
    labels[:, 120:200, 90:170] = Part.NOSE
    picture = (labels == Part.NOSE).float()[:, None].expand(-1, 3, -1, -1) * 0.8 + 0.1
    facing = torch.arange(8) % 2 == 0
    seen, parts = disturb(
        picture, labels, facing, 128, (torch.Generator().manual_seed(1), np.random.default_rng(1))
    )
    assert seen.shape == parts.shape == (8, 3, 128, 128)
    assert 0 <= seen.min() <= seen.max() <= 1
    bright = seen.mean(1) > seen.amin((1, 2, 3))[:, None, None].lerp(seen.amax((1, 2, 3))[:, None, None], 0.6)
    nose = parts[:, 0] > 0.5
    both = [float((b & n).sum() / (b | n).sum().clamp(min=1)) for b, n in zip(bright, nose, strict=True)]
    assert np.median(both) > 0.75


@pytest.mark.filterwarnings("ignore")  # torch warns of its own exporter
def test_the_written_network_gives_what_the_fitted_one_does(
    examples: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(look_write, "LEAST_DAMAGED", 1)
    torch.manual_seed(0)
    net = LookNet(len(LOOKS), len(DAMAGES)).eval()
    fitted, aside = read_examples(examples)
    scores = report(net, aside)
    assert scores["views"] == 2
    assert set(scores["by kind"]) == {"end", "side"}
    written = look_write.write_look(net, tmp_path, fitted, scores)
    card = json.loads((tmp_path / look_write.CARD).read_text("utf-8"))
    assert card["damage"] == [str(DAMAGES[0])]
    picture = np.random.default_rng(2).random((1, 3, card["side"], card["side"]), np.float32)
    parts = masks_of(
        torch.from_numpy(np.random.default_rng(3).integers(0, 5, (1, card["side"], card["side"])))
    )
    run = cv2.dnn.readNetFromONNX(str(written))
    run.setInput(picture, "picture")
    run.setInput(parts.numpy(), "parts")
    looks, damage = run.forward(["looks", "damage"])
    with torch.no_grad():
        logits, harm, _ = net(torch.from_numpy(picture), parts)
    assert np.abs(looks - logits.softmax(1).numpy()).max() < 1e-4
    assert np.abs(damage - harm[:, :1].sigmoid().numpy()).max() < 1e-4


@pytest.mark.filterwarnings("ignore")
def test_a_second_network_joins_the_first_and_one_with_other_answers_is_refused(
    examples: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(look_write, "LEAST_DAMAGED", 1)
    fitted, _ = read_examples(examples)
    net = LookNet(len(LOOKS), len(DAMAGES)).eval()
    files = [look_write.write_look(net, tmp_path, fitted, {}) for _ in range(2)]
    card = json.loads((tmp_path / look_write.CARD).read_text("utf-8"))
    assert [f.name for f in files] == list(card["sha256"]) == list(card["fits"])
    assert len(files) == 2
    monkeypatch.setattr(look_write, "LEAST_DAMAGED", 1000)
    before = sorted(tmp_path.iterdir())
    with pytest.raises(InputError, match="damage"):
        look_write.write_look(net, tmp_path, fitted, {})
    assert sorted(tmp_path.iterdir()) == before
