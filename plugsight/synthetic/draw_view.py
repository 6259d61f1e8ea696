"""How views are drawn: side, oblique and end-on, carefully or not; independent of what lies on the plug."""

from dataclasses import dataclass

import numpy as np

from plugsight.synthetic.viewpoint import Vec, Viewpoint, direction


@dataclass(frozen=True, slots=True)
class Extent:
    """What a view must know of the thing in front of it; mm."""

    major_diameter: float
    highest_z: float
    lowest_z: float
    gap: tuple[float, float, float]


def draw_viewpoint(
    rng: np.random.Generator,
    kind: str,
    thing: Extent,
    size_px: int,
    careful: float = 0.5,
    wide: float = 0.25,
    roomy: bool = False,
) -> Viewpoint:
    """Draw a view of that kind; independent of what lies on the plug.

    ``careful``: share of side views taken as the bench sheet asks (strap within 25 degrees of profile, tilt within
    12, near upright, in focus). ``wide``: share framed so that hexagon and outer insulator show. ``roomy``: the frame
    holds the whole canonical crop, however it is turned.
    """
    careful_view = bool(kind == "side" and rng.random() < careful)
    tilt = _tilt(rng, kind, careful_view)
    azimuth = _azimuth(rng, careful_view)
    roll = _roll(rng, kind, careful_view)
    distance = float(np.exp(rng.uniform(np.log(80), np.log(250))))
    broad = bool(rng.random() < wide)
    if kind == "end":
        frame, centre = _end_frame(rng, thing.major_diameter, roomy)
    else:
        frame, centre = _side_frame(rng, thing, (tilt, azimuth), kind == "oblique", broad, roomy)
    if rng.random() < 0.5:
        aim = centre + rng.normal(0, 2, 3)
    else:
        aim = np.array([*rng.normal(0, 8, 2), rng.uniform(-25, thing.highest_z + 5)])
    aperture = rng.uniform(0.25, 1.0) if kind != "end" else rng.uniform(0.2, 0.7)
    return Viewpoint(
        kind=kind,
        tilt_deg=float(tilt),
        azimuth_deg=float(azimuth % 360),
        roll_deg=float(roll),
        distance_mm=distance,
        frame_mm=float(frame),
        gap_mm=thing.gap,
        aim_mm=(float(aim[0]), float(aim[1]), float(aim[2])),
        centre_mm=(float(centre[0]), float(centre[1]), float(centre[2])),
        size_px=size_px,
        aperture_mm=float(aperture),
        focus_error_mm=_focus(rng, careful_view),
    )


def _tilt(rng: np.random.Generator, kind: str, careful: bool) -> float:
    if kind == "side":
        tilt = rng.uniform(-12, 12) if careful else rng.uniform(-15, 15)
        if careful and rng.random() < 0.5:
            tilt = rng.normal(0, 4)
        return float(np.clip(tilt, -15, 15))
    if kind == "oblique":
        return -float(rng.uniform(15, 24)) if rng.random() < 0.06 else float(rng.uniform(15, 50))
    return float(90 - abs(rng.normal(0, 7)))


def _azimuth(rng: np.random.Generator, careful: bool) -> float:
    if not careful:
        return float(rng.uniform(0, 360))
    off = rng.uniform(-25, 25) if rng.random() < 0.6 else rng.normal(0, 8)
    return float((90.0 if rng.random() < 0.5 else 270.0) + off)


def _roll(rng: np.random.Generator, kind: str, careful: bool) -> float:
    draw = rng.random()
    if careful or draw < 0.6:
        roll = rng.normal(0, 6)
    elif draw < 0.85 or kind == "side":
        roll = rng.normal(0, 16)
    else:
        roll = rng.uniform(-180, 180)
    return float(rng.uniform(-180, 180)) if kind == "end" else float(roll)


def _end_frame(rng: np.random.Generator, major: float, roomy: bool) -> tuple[float, Vec]:
    frame = float(major * (rng.uniform(1.8, 2.2) if roomy else rng.uniform(1.15, 2.1)))
    return frame, np.array([*(rng.uniform(-0.5, 0.5, 2) * (frame - major) * 0.6), 0.0])


def _side_frame(
    rng: np.random.Generator,
    thing: Extent,
    angles: tuple[float, float],
    oblique: bool,
    broad: bool,
    roomy: bool,
) -> tuple[float, Vec]:
    """Width of the frame and what stands at its middle; ``angles`` are tilt and azimuth."""
    major, tilt = thing.major_diameter, angles[0]
    lean = float(np.cos(np.radians(tilt)))
    across = np.cross(direction(0, angles[1]), [0.0, 0.0, 1.0])
    low, high = (2.75, 3.3) if roomy else (2.4, 4.0) if broad else (1.3, 1.95)
    frame = float(rng.uniform(low, high) * major)
    shift = rng.uniform(-0.5, 0.5) * max(frame - major * 1.1, 0) * 0.7
    top = thing.highest_z + rng.uniform(0.07, 0.25) * frame
    if oblique:
        top += major * 0.5 * np.sin(np.radians(abs(tilt)))
    centre = across * shift + np.array([0, 0, top - frame / 2 * lean])
    if roomy:
        down = (0.15 * 2.22 * major + rng.normal(0, 0.06) * major) / max(lean, 0.6)
        centre = across * rng.normal(0, 0.08) * major + np.array([0, 0, thing.gap[2] - down])
    return frame, centre


def _focus(rng: np.random.Generator, careful: bool) -> float:
    draw = rng.random()
    focus = rng.normal(0, 0.6) if careful or draw < 0.75 else rng.normal(0, 2.0)
    if draw > 0.96 and not careful:
        focus = rng.choice([-1, 1]) * rng.uniform(5, 15)
    return float(focus)
