"""From linear radiance to the JPEG a phone hands over: exposure, noise, white balance, tone, merging, sharpening.

Every number is drawn independently of what the picture shows. The sRGB transfer curve is IEC 61966-2-1.
"""

from dataclasses import dataclass, replace

import cv2
import numpy as np
from numpy.typing import NDArray

from plugsight.synthetic.workshop_light import kelvin_rgb

Floats = NDArray[np.float32]
Bytes = NDArray[np.uint8]
SHOP_PHONES, SHOP_SALT = 2, 4711


@dataclass(frozen=True, slots=True)
class PhoneCamera:
    """One phone's settings for one picture."""

    bias_ev: float
    """Stops above or below what the automatic exposure would choose."""
    cast_kelvin: float
    """The light that the automatic white balance took the scene's light for."""
    tint: float
    """Green or magenta error of the white balance, as a factor on green."""
    noise: float
    """Spread at mid-grey, in linear units, before noise reduction."""
    blur_px: float
    saturation: float
    gamma: float
    """Global tone curve: exponent beside the sRGB curve."""
    contrast: float
    """Strength of the S-shaped part, 0 none."""
    lift: float
    """Raised black."""
    local: float
    """Local tone mapping: 0 none, 1 flattens large areas fully."""
    sharpen: float
    sharpen_px: float
    vignette: float
    fringe: float
    """Lateral colour: relative difference in magnification, red to blue."""
    quality: int
    """JPEG quality."""


def draw_camera(rng: np.random.Generator, family: str, kelvin: float, careful: bool) -> PhoneCamera:
    """Draw a phone. ``shift`` has two phones, whose strong local mapping, saturation and sharpening are their own and fixed."""
    camera = PhoneCamera(
        bias_ev=float(np.clip(rng.normal(0, 0.35), -1, 1)) if careful else float(rng.uniform(-1, 1)),
        cast_kelvin=float(np.exp(rng.normal(np.log(kelvin), 0.10))),
        tint=float(np.exp(rng.normal(0, 0.03))),
        noise=float(np.exp(rng.uniform(np.log(0.002), np.log(0.02)))),
        blur_px=float(rng.uniform(0.35, 0.8)),
        saturation=float(rng.uniform(0.9, 1.25)),
        gamma=float(rng.uniform(0.88, 1.15)),
        contrast=float(rng.uniform(0.0, 0.7)),
        lift=float(rng.uniform(0.0, 0.015)),
        local=float(rng.uniform(0.15, 0.6)) if rng.random() < 0.3 else 0.0,
        sharpen=float(rng.uniform(0.0, 1.2)),
        sharpen_px=float(rng.uniform(0.7, 1.6)),
        vignette=float(rng.uniform(0.0, 0.25)),
        fringe=float(rng.normal(0, 0.0006)),
        quality=int(rng.integers(62, 97)),
    )
    if family == "shift":
        own = np.random.default_rng([SHOP_SALT, int(rng.integers(SHOP_PHONES))])
        camera = replace(
            camera,
            cast_kelvin=float(np.exp(rng.normal(np.log(kelvin) + 0.12, 0.16))),
            tint=float(np.exp(rng.normal(0.03, 0.05))),
            noise=float(np.exp(rng.uniform(np.log(0.006), np.log(0.03)))),
            saturation=float(own.uniform(1.2, 1.6)),
            gamma=float(own.uniform(0.88, 1.15)),
            contrast=float(own.uniform(0.6, 1.2)),
            lift=float(own.uniform(0.0, 0.03)),
            local=float(own.uniform(0.4, 0.8)),
            sharpen=float(own.uniform(0.8, 1.6)),
            sharpen_px=float(own.uniform(0.7, 1.6)),
            quality=int(rng.integers(45, 85)),
        )
    elif rng.random() < 0.08:
        camera = replace(camera, cast_kelvin=float(rng.uniform(2700, 6500)))
    return camera


def to_srgb(linear: Floats) -> Floats:
    """Encode linear 0..1 by the sRGB curve."""
    x = np.clip(linear, 0, 1)
    return np.where(x <= 0.0031308, 12.92 * x, 1.055 * np.power(x, 1 / 2.4) - 0.055).astype(np.float32)


def to_linear(encoded: NDArray[np.float32]) -> Floats:
    """Decode sRGB 0..1 to linear."""
    return np.where(encoded <= 0.04045, encoded / 12.92, np.power((encoded + 0.055) / 1.055, 2.4)).astype(
        np.float32
    )


def balance(camera: PhoneCamera) -> NDArray[np.float64]:
    """Return the phone's channel gains (3,), mean green 1."""
    gains = 1.0 / kelvin_rgb(camera.cast_kelvin)
    gains = gains * np.array([1.0, camera.tint, 1.0])
    return np.asarray(gains / gains[1])


def expose(camera: PhoneCamera, radiance: Floats, metered: NDArray[np.bool_] | None = None) -> Floats:
    """Scale radiance (rows, cols, 3) as automatic exposure does: middle-weighted mean to mid-grey, highlights spared.

    ``metered`` (rows, cols) limits what is weighed to the card, or to the background: a phone that weighed a black plug would brighten
    the card behind it, and the card's brightness would give the deposit away.
    """
    n, m = radiance.shape[:2]
    y = radiance @ np.array([0.2126, 0.7152, 0.0722], np.float32)
    r, c = np.meshgrid(np.linspace(-1, 1, n), np.linspace(-1, 1, m), indexing="ij")
    weight = np.exp(-(r**2 + c**2))
    if metered is not None and metered.mean() > 0.04:
        weight = weight * metered
        y = np.where(metered, y, 0.0)
    mean = float(np.exp((weight * np.log(y + 1e-4)).sum() / weight.sum()))
    bright = float(np.quantile(y[weight > 0], 0.97))
    gain = min(0.15 / mean, 1.1 / max(bright, 1e-6) * 1.6)
    return np.asarray(radiance * gain * 2.0**camera.bias_ev, np.float32)


def take(
    camera: PhoneCamera, radiance: Floats, rng: np.random.Generator, metered: NDArray[np.bool_] | None = None
) -> Bytes:
    """Return the phone's picture, (rows, cols, 3) uint8 RGB, before JPEG."""
    x = expose(camera, radiance, metered)
    n, m = x.shape[:2]
    r, c = np.meshgrid(np.linspace(-1, 1, n), np.linspace(-1, 1, m), indexing="ij")
    x = x * (1 - camera.vignette * (r**2 + c**2) / 2)[..., None].astype(np.float32)
    x = np.stack(
        [_scaled(x[..., 0], 1 + camera.fringe), x[..., 1], _scaled(x[..., 2], 1 - camera.fringe)], -1
    )
    x = np.asarray(cv2.GaussianBlur(np.minimum(x, 4.0), (0, 0), camera.blur_px), np.float32)
    spread = camera.noise * np.sqrt(np.clip(x, 0, 1) / 0.18 * 0.85 + 0.15)
    grain = rng.standard_normal(x.shape).astype(np.float32)
    soft = cv2.GaussianBlur(rng.standard_normal(x.shape).astype(np.float32), (0, 0), 1.6) * 3.0
    x = x + spread * (0.6 * cv2.GaussianBlur(grain, (0, 0), 0.6) * 1.6 + 0.35 * soft)
    x = np.clip(x * balance(camera).astype(np.float32), 0, 1.6)
    y = x @ np.array([0.2126, 0.7152, 0.0722], np.float32)
    x = np.clip(y[..., None] + camera.saturation * (x - y[..., None]), 0, None)
    if camera.local > 0:
        x = x * _local_gain(y, camera.local)[..., None]
    x = _tone(x, camera)
    if camera.sharpen > 0:
        y = x @ np.array([0.299, 0.587, 0.114], np.float32)
        x = x + (camera.sharpen * (y - cv2.GaussianBlur(y, (0, 0), camera.sharpen_px)))[..., None]
    return np.asarray(np.clip(np.round(x * 255), 0, 255), np.uint8)


def _scaled(channel: Floats, factor: float) -> Floats:
    n, m = channel.shape
    warp = np.array([[factor, 0, (1 - factor) * m / 2], [0, factor, (1 - factor) * n / 2]], np.float32)
    return np.asarray(
        cv2.warpAffine(channel, warp, (m, n), flags=cv2.INTER_LINEAR, borderMode=cv2.BORDER_REPLICATE),
        np.float32,
    )


def _local_gain(y: Floats, strength: float) -> Floats:
    """Gain (rows, cols) that flattens the large-scale part of log luminance, as merged exposures do."""
    log = np.log(np.clip(y, 0.003, 2.0)).astype(np.float32)
    base = cv2.bilateralFilter(
        cv2.resize(log, None, fx=0.25, fy=0.25, interpolation=cv2.INTER_AREA), 0, 0.7, y.shape[0] / 60
    )
    base = cv2.GaussianBlur(base, (0, 0), 1.5)
    base = cv2.resize(base, (y.shape[1], y.shape[0]), interpolation=cv2.INTER_CUBIC)
    return np.asarray(np.exp(np.clip(-strength * (base - np.log(0.20)), -0.9, 1.3)), np.float32)


def _tone(x: Floats, camera: PhoneCamera) -> Floats:
    """Global curve: soft shoulder, sRGB, exponent, S-curve, black lift."""
    knee = 0.8
    over = np.clip(x - knee, 0, None)
    x = np.where(x > knee, knee + (1 - knee) * (1 - np.exp(-over / (1 - knee))), x).astype(np.float32)
    e = np.power(to_srgb(x), camera.gamma)
    s = e * e * (3 - 2 * e)
    e = e + camera.contrast * 0.6 * (s - e)
    return np.asarray(camera.lift + (1 - camera.lift) * e, np.float32)


def jpeg(picture: Bytes, quality: int) -> bytes:
    """Encode (rows, cols, 3) RGB as JPEG."""
    done, data = cv2.imencode(
        ".jpg", cv2.cvtColor(picture, cv2.COLOR_RGB2BGR), [cv2.IMWRITE_JPEG_QUALITY, quality]
    )
    if not done:  # pragma: no cover - OpenCV refuses only unusable shapes
        raise ValueError("JPEG encoding failed")
    return data.tobytes()
