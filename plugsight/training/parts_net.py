"""The part network: a small U-Net (Ronneberger, Fischer, Brox 2015) with a second output for numbers.

PyTorch, an extra: needed to train, never to run.
"""

import torch
from torch import Tensor, nn
from torch.nn import functional


FINE_LEVEL = 2
"""Level of the decoder (a quarter of the crop's size) that the numbers are read from besides the deepest map: edges are exact
there, and a number of a fraction of a pixel needs them."""


class PartsNet(nn.Module):
    """Input ``(n, 3 or 5, rows, cols)`` float: sRGB 0..1, then row and column -1..1 if ``coordinates``.

    Output: logits ``(n, classes, rows, cols)`` and ``(n, 2 * numbers)``: mean and log variance of each standardised number.
    """

    def __init__(self, widths: tuple[int, ...], classes: int, numbers: int, *, coordinates: bool) -> None:
        super().__init__()
        self.classes, self.numbers, self.coordinates = classes, numbers, coordinates
        inputs = 5 if coordinates else 3
        self.down = nn.ModuleList()
        for width in widths:
            self.down.append(_block(inputs, width))
            inputs = width
        self.up = nn.ModuleList()
        for width in widths[-2::-1]:
            self.up.append(_block(inputs + width, width))
            inputs = width
        self.out = nn.Conv2d(inputs, classes, 1)
        if numbers:
            deep = widths[-1]
            self.fold = nn.Conv2d(
                widths[FINE_LEVEL], deep, 8, stride=2 ** (len(widths) - 1 - FINE_LEVEL), padding=2
            )
            self.pose = _numbers(2 * deep, numbers)
        self.register_buffer("mean", torch.zeros(numbers))
        self.register_buffer("spread", torch.ones(numbers))

    def forward(self, x: Tensor) -> tuple[Tensor, Tensor]:
        """Run the network."""
        skips: list[Tensor] = []
        for k, layer in enumerate(self.down):
            if k:
                x = functional.max_pool2d(x, 2)
            x = layer(x)
            skips.append(x)
        deep = x
        numbers = x.new_zeros((x.shape[0], 0))
        for k, layer in enumerate(self.up):
            x = functional.interpolate(x, scale_factor=2.0, mode="bilinear", align_corners=False)
            x = layer(torch.cat([x, skips[-2 - k]], 1))
            if self.numbers and len(self.up) - 1 - k == FINE_LEVEL:
                numbers = self.pose(torch.cat([deep, functional.relu(self.fold(x))], 1))
        return self.out(x), numbers

    def physical(self, numbers: Tensor) -> Tensor:
        """``(n, numbers, 2)``: value and standard uncertainty in the numbers' own units."""
        pair = numbers.view(-1, self.numbers, 2)
        value = pair[..., 0] * self.spread + self.mean
        return torch.stack([value, torch.exp(0.5 * pair[..., 1].clamp(-8, 6)) * self.spread], -1)


class Exported(nn.Module):
    """What is written as ONNX: chances instead of logits, numbers in their own units."""

    def __init__(self, net: PartsNet) -> None:
        super().__init__()
        self.net = net

    def forward(self, x: Tensor) -> tuple[Tensor, ...]:
        """Run the network."""
        logits, numbers = self.net(x)
        return (logits.softmax(1), self.net.physical(numbers)) if self.net.numbers else (logits.softmax(1),)


def _block(inputs: int, outputs: int) -> nn.Sequential:
    return nn.Sequential(
        nn.Conv2d(inputs, outputs, 3, padding=1, bias=False),
        nn.BatchNorm2d(outputs),
        nn.ReLU(inplace=True),
        nn.Conv2d(outputs, outputs, 3, padding=1, bias=False),
        nn.BatchNorm2d(outputs),
        nn.ReLU(inplace=True),
    )


def _numbers(inputs: int, numbers: int) -> nn.Sequential:
    """From a map of a sixteenth of the crop's size; pooled at the end, so that a shift of the crop changes little."""
    return nn.Sequential(
        nn.Conv2d(inputs, 128, 3, stride=2, padding=1, bias=False),
        nn.BatchNorm2d(128),
        nn.ReLU(inplace=True),
        nn.Conv2d(128, 128, 3, stride=2, padding=1, bias=False),
        nn.BatchNorm2d(128),
        nn.ReLU(inplace=True),
        nn.Conv2d(128, 128, 3, padding=1),
        nn.ReLU(inplace=True),
        nn.AdaptiveAvgPool2d(1),
        nn.Flatten(),
        nn.Dropout(0.1),
        nn.Linear(128, 2 * numbers),
    )
