"""A shipped part network read back from its ONNX file, so that a fit can go on from it."""

from pathlib import Path

import numpy as np
import onnx
import torch
from onnx import numpy_helper
from torch import nn

from plugsight.training.parts_net import PartsNet


def read_back(path: Path, net: PartsNet) -> PartsNet:
    """Fill ``net`` with the weights of ``path``, a file that ``parts_fit`` wrote with the same widths and classes.

    Writing folded every batch normalisation into its convolution: it comes back as a shift alone, with mean 0 and
    variance 1. ``ValueError`` where the file holds another number of layers.
    """
    graph = onnx.load(str(path)).graph
    values = {
        tensor.name: torch.tensor(np.array(numpy_helper.to_array(tensor))) for tensor in graph.initializer
    }
    convolutions = [node for node in graph.node if node.op_type == "Conv"]
    layers = _convolutions(net)
    if len(layers) != len(convolutions):
        raise ValueError(f"{path}: {len(convolutions)} convolutions, the network has {len(layers)}")
    with torch.no_grad():
        for (layer, normal), node in zip(layers, convolutions, strict=True):
            layer.weight.copy_(values[node.input[1]])
            if normal is None:
                _bias(layer).copy_(values[node.input[2]])
            else:
                normal.weight.fill_(1.0)
                normal.bias.copy_(values[node.input[2]])
                normal.running_mean.zero_()
                normal.running_var.fill_(1.0 - normal.eps)
        if net.numbers:
            for line, node in zip(
                (net.pose[5], net.pose[8]), (n for n in graph.node if n.op_type == "Gemm"), strict=True
            ):
                line.weight.copy_(values[node.input[1]])
                line.bias.copy_(values[node.input[2]])
            net.mean.copy_(values["net.mean"])
            net.spread.copy_(values["net.spread"])
    return net


def _convolutions(net: PartsNet) -> list[tuple[nn.Conv2d, nn.BatchNorm2d | None]]:
    """Convolutions with their normalisation, in the order in which they are run."""
    found: list[tuple[nn.Conv2d, nn.BatchNorm2d | None]] = []
    for block in net.down:
        found += [(block[0], block[1]), (block[3], block[4])]
    if net.numbers:
        found += [(net.pose[0], None), (net.pose[2], None)]
    for block in net.up:
        found += [(block[0], block[1]), (block[3], block[4])]
    return [*found, (net.out, None)]


def _bias(layer: nn.Conv2d) -> torch.Tensor:
    if layer.bias is None:
        raise ValueError("a convolution without normalisation has a bias")
    return layer.bias
