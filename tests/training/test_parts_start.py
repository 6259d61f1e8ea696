"""A part network that was written comes back as the same function (needs the ``lab`` extra)."""

import pytest

torch = pytest.importorskip("torch")
pytest.importorskip("onnx")

from plugsight.training.parts_net import Exported, PartsNet  # noqa: E402
from plugsight.training.parts_start import read_back  # noqa: E402

pytestmark = pytest.mark.filterwarnings("ignore::DeprecationWarning")  # torch's exporter without dynamo


def a_net() -> PartsNet:
    return PartsNet((4, 6), 5, 4, 32, coordinates=True)


def test_a_network_read_back_is_the_same_function(tmp_path) -> None:
    torch.manual_seed(3)
    net = a_net()
    for normal in (m for m in net.modules() if isinstance(m, torch.nn.BatchNorm2d)):
        normal.running_mean.uniform_(-0.5, 0.5)
        normal.running_var.uniform_(0.5, 2.0)
        normal.weight.data.uniform_(0.5, 1.5)
        normal.bias.data.uniform_(-0.5, 0.5)
    net.mean.uniform_(-1, 1)
    net.eval()
    put_in = torch.rand(1, 5, 32, 32)
    path = tmp_path / "small.onnx"
    torch.onnx.export(
        Exported(net).eval(), (put_in,), str(path), input_names=["crop"], output_names=["parts", "numbers"],
        opset_version=17, dynamo=False,
    )  # fmt: skip
    again = read_back(path, a_net()).eval()
    with torch.no_grad():
        for was, now in zip(Exported(net)(put_in), Exported(again)(put_in), strict=True):
            assert torch.allclose(was, now, atol=1e-5)


def test_another_network_is_refused(tmp_path) -> None:
    path = tmp_path / "small.onnx"
    torch.onnx.export(
        Exported(a_net()).eval(), (torch.rand(1, 5, 32, 32),), str(path), input_names=["crop"], opset_version=17, dynamo=False
    )  # fmt: skip
    with pytest.raises(ValueError, match="convolutions"):
        read_back(path, PartsNet((4, 6, 8), 5, 4, 32, coordinates=True))
