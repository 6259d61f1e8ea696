"""Where a layer lies, and the noise it is drawn from."""

from dataclasses import dataclass

import numpy as np

from plugsight.synthetic.noise import Floats, Noise
from plugsight.synthetic.palettes import tone
from plugsight.synthetic.state import DepositLayer


@dataclass(frozen=True, eq=False)
class Place:
    """Where a layer lies: points ``(n, 3)``, the colour below, and the noise space of this layer on this part."""

    points: Floats
    below: Floats
    noise: Noise
    layer: DepositLayer
    palette: str

    def fractal(self, size_mm: float, salt: int, roughness: float = 0.75) -> Floats:
        """Fractal field at the points."""
        return self.noise.fractal(self.points, size_mm, salt, roughness)

    def full(self, value: float) -> Floats:
        """Constant array."""
        return np.full(len(self.points), value, dtype=np.float32)

    def colour(self, spread: float = 0.35, contrast: float = 0.3) -> Floats:
        """Tone of the deposit, mottled: hue wanders by ``spread``, lightness by ``contrast``, times the layer's mottle."""
        layer = self.layer
        wander = self.fractal(2.2, 11) * layer.mottle
        shade = self.fractal(0.6, 12, 0.95) * layer.mottle
        base = tone(layer.deposit, self.palette, (layer.hue + 0.45 * spread * wander).astype(np.float32))
        scale = (0.72 + 0.5 * layer.light) * np.exp(contrast * np.clip(shade, -2.5, 2.5))
        return np.asarray(base * scale[:, None], dtype=np.float32)
