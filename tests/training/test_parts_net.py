"""The part network in PyTorch and as OpenCV runs it are the same function (needs the ``lab`` extra)."""

import warnings

import cv2
import numpy as np
import pytest

torch = pytest.importorskip("torch")
pytest.importorskip("onnx")
pytest.importorskip("efficientnet_lite_pytorch")

from plugsight.training.parts_fit import numbers_loss, parts_loss  # noqa: E402
from plugsight.training.parts_net import Exported, PartsNet  # noqa: E402


def test_what_is_written_gives_the_same_answers(tmp_path) -> None:
    torch.manual_seed(3)
    net = PartsNet(5, 3, 64)
    net.mean.uniform_(-1, 1)
    net.spread.uniform_(0.5, 2)
    written = Exported(net).eval()
    put_in = torch.rand(1, 3, 64, 64)
    path = tmp_path / "small.onnx"
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        torch.onnx.export(
            written, (put_in,), str(path), input_names=["crop"], output_names=["parts", "numbers"],
            opset_version=17, dynamo=False,
        )  # fmt: skip
    read = cv2.dnn.readNetFromONNX(str(path))
    read.setInput(put_in.numpy())
    parts, numbers = read.forward(["parts", "numbers"])
    written.eval()
    with torch.no_grad():
        wanted = written(put_in)
    assert parts.sum(axis=1) == pytest.approx(np.ones((1, 64, 64)), abs=1e-5)
    assert np.allclose(parts, wanted[0].numpy(), atol=1e-4)
    assert np.allclose(numbers, wanted[1].numpy(), atol=1e-3)
    assert (numbers[..., 1] > 0).all()


def test_losses_count_only_what_is_known() -> None:
    labels = torch.full((1, 4, 4), 255)
    labels[0, 0] = 2
    right = torch.zeros(1, 5, 4, 4)
    right[:, 2, 0] = 20.0
    spoilt = right.clone()
    spoilt[:, 4, 2] = 50.0  # only where nothing is known
    assert parts_loss(right, labels) == pytest.approx(float(parts_loss(spoilt, labels)), abs=1e-6)
    read = torch.zeros(1, 2, 2)
    aim = torch.tensor([[3.0, torch.nan]])
    # Laplace: |0 - 3| / exp(0) + 0
    assert float(numbers_loss(read, aim)) == pytest.approx(3.0)
