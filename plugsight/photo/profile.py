"""Colour profiles: whatever a phone embeds, out comes sRGB."""

import io

import numpy as np
from PIL import Image, ImageCms

_SRGB = ImageCms.createProfile("sRGB")
_SRGB_PROFILE = ImageCms.ImageCmsProfile(_SRGB)
_NAMES_OF_SRGB = ("srgb", "iec61966-2.1", "iec 61966-2-1")


def to_srgb(picture: Image.Image) -> Image.Image:
    """Return the picture as 8-bit RGB in sRGB.

    An embedded ICC profile is applied (perceptual intent; LittleCMS); a picture without one, or with one that can't
    be read or doesn't fit the picture's mode, is taken as sRGB, which is what browsers do. Transparency is laid on white; 16-bit grey
    is reduced to 8 bits.
    """
    profile = _foreign_profile(picture)
    rgb = _as_rgb(picture)
    if profile is None:
        return rgb
    try:
        source: Image.Image = picture if picture.mode in ("CMYK", "L") else rgb
        turned = ImageCms.profileToProfile(source, profile, _SRGB_PROFILE, outputMode="RGB")
    except (ImageCms.PyCMSError, ValueError, OSError):
        return rgb
    return rgb if turned is None else turned


def is_srgb(picture: Image.Image) -> bool:
    """Whether the picture can be taken as sRGB as it stands."""
    return _foreign_profile(picture) is None


def _foreign_profile(picture: Image.Image) -> ImageCms.ImageCmsProfile | None:
    data = picture.info.get("icc_profile")
    if not data:
        return None
    try:
        profile = ImageCms.ImageCmsProfile(io.BytesIO(data))
        name = ImageCms.getProfileDescription(profile).strip().lower()
    except (ImageCms.PyCMSError, OSError, ValueError):
        return None
    return None if any(word in name for word in _NAMES_OF_SRGB) else profile


def _as_rgb(picture: Image.Image) -> Image.Image:
    if picture.mode.startswith("I;16") or picture.mode == "I":
        grey = (np.asarray(picture).astype(np.uint32) >> 8).clip(0, 255).astype(np.uint8)
        return Image.fromarray(grey).convert("RGB")
    if picture.mode in ("RGBA", "LA", "PA") or "transparency" in picture.info:
        layered = picture.convert("RGBA")
        ground = Image.new("RGBA", layered.size, (255, 255, 255, 255))
        return Image.alpha_composite(ground, layered).convert("RGB")
    return picture if picture.mode == "RGB" else picture.convert("RGB")
