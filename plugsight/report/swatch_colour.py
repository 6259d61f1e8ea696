"""From a measured colour to the ink of a swatch."""

import numpy as np
from skimage.color import lab2rgb


def hex_of_lab(lab: tuple[float, float, float]) -> str:
    """Return ``#rrggbb`` sRGB of a CIE Lab colour (D65, 2 degree observer), clipped to what sRGB can show."""
    bounded = np.array([[[min(max(lab[0], 0.0), 100.0), *(min(max(v, -128.0), 127.0) for v in lab[1:])]]])
    red, green, blue = (round(float(v) * 255) for v in np.clip(lab2rgb(bounded), 0.0, 1.0)[0, 0])
    return f"#{red:02x}{green:02x}{blue:02x}"
