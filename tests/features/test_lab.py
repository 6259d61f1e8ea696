import numpy as np
from skimage.color import rgb2lab

from plugsight.features.lab import lab_of


def test_agrees_with_scikit_image_on_random_colours_and_all_greys() -> None:
    # scikit-image is the reference; 2e-3 is single precision near black, where Lab is steep
    rng = np.random.default_rng(11)
    colours = rng.integers(0, 256, (200, 200, 3), dtype=np.uint8)
    greys = np.repeat(np.arange(256, dtype=np.uint8)[None, :, None], 3, axis=2)
    for picture in (colours, greys):
        assert np.abs(lab_of(picture) - rgb2lab(picture)).max() < 2e-3
