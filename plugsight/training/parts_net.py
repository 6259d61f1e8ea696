"""The part network: a small U-Net (Ronneberger, Fischer, Brox 2015) with a second output for numbers.

PyTorch, an extra: needed to train, never to run.
"""

import torch
from torch import Tensor, nn
from torch.nn import functional


class PartsNet(nn.Module):
    """Input ``(n, 3 or 5, rows, cols)`` float: sRGB 0..1, then row and column -1..1 if ``coordinates``.

    Output: logits ``(n, classes, rows, cols)`` and ``(n, 2 * numbers)``: mean and log variance of each standardised number.
    """

    def __init__(
        self, widths: tuple[int, ...], classes: int, numbers: int, side: int, *, coordinates: bool
    ) -> None:
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
            self.pose = _numbers(widths[-1], side // 2 ** (len(widths) - 1), numbers)
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
        numbers = self.pose(x) if self.numbers else x.new_zeros((x.shape[0], 0))
        for k, layer in enumerate(self.up):
            x = functional.interpolate(x, scale_factor=2.0, mode="bilinear", align_corners=False)
            x = layer(torch.cat([x, skips[-2 - k]], 1))
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


def _numbers(inputs: int, side: int, numbers: int) -> nn.Sequential:
    deep, small = 2 * inputs, -(-side // 4)
    return nn.Sequential(
        nn.Conv2d(inputs, deep, 3, stride=2, padding=1),
        nn.ReLU(inplace=True),
        nn.Conv2d(deep, deep, 3, stride=2, padding=1),
        nn.ReLU(inplace=True),
        nn.Flatten(),
        nn.Linear(deep * small * small, 128),
        nn.ReLU(inplace=True),
        nn.Dropout(0.2),
        nn.Linear(128, 2 * numbers),
    )
