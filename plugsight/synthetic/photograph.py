"""Take one photo of what stands on the bench: render, camera, masks, canonical crop, and the truth that goes with it."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from plugsight.synthetic.bench_setting import SettingWords
from plugsight.synthetic.canonical_crop import CanonicalCrop, canonical_crop, card_gains
from plugsight.synthetic.denoise import denoised
from plugsight.synthetic.part_mask import PixelTruth, cast
from plugsight.synthetic.phone_camera import PhoneCamera, balance, take
from plugsight.synthetic.plug_scene import PlugScene
from plugsight.synthetic.setting import Setting
from plugsight.synthetic.viewpoint import Camera, Viewpoint
from plugsight.synthetic.workshop_light import kelvin_rgb


@dataclass(frozen=True, eq=False)
class Photograph:
    """One picture with its truth. ``picture`` (n, n, 3) uint8 RGB before JPEG; ``crop`` ``None`` without a plug."""

    view: Viewpoint
    camera: Camera
    words: SettingWords
    phone: PhoneCamera
    picture: NDArray[np.uint8]
    pixels: PixelTruth
    mask: NDArray[np.uint8]
    crop: CanonicalCrop | None
    neutral_by: str
    """``card`` where the card's own pixels set the crop's colour, else ``light``: truth of light and white balance."""
    card_share: float
    """Share of the picture that is unbroken grey card, 0..1."""


def photograph(
    scene: PlugScene,
    setting: Setting,
    words: SettingWords,
    view: Viewpoint,
    camera: Camera,
    phone: PhoneCamera,
    spp: int,
    seed: int,
    major_diameter_mm: float | None,
) -> Photograph:
    """Place, render and photograph a setting; ``major_diameter_mm`` ``None``: there is no plug."""
    scene.place(setting)
    scene.aim(camera, view.aperture_mm)
    radiance = denoised(scene, scene.picture(spp, seed), spp)
    pixels = cast(scene, camera)
    mask, card = pixels.mask, pixels.card
    metered = card if card.mean() > 0.03 else mask == 0
    picture = take(phone, radiance, np.random.default_rng(seed), metered)
    gains = card_gains(picture, card)
    by = "card"
    if gains is None:
        by = "light"
        light = kelvin_rgb(words.kelvin) * balance(phone)
        gain = light[1] / light
        gains = (float(gain[0]), 1.0, float(gain[2]))
    crop = None
    if major_diameter_mm is not None:
        crop = canonical_crop(picture, mask, view, camera, major_diameter_mm, gains)
    return Photograph(view, camera, words, phone, picture, pixels, mask, crop, by, float(card.mean()))
