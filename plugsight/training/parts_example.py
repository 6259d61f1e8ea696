"""One training example of the part networks, cut from a render with its exact truth.

Runs on any machine with numpy and OpenCV; used by the training command and where renders are made, so that full-size
pictures need not be kept.
"""

import math
from dataclasses import dataclass

import cv2
import numpy as np
from numpy.typing import NDArray

from plugsight.photo.tone import decode, encode
from plugsight.segments.record import Part
from plugsight.segments.tip_window import tip_crop, tip_window
from plugsight.view.record import ViewKind

SIZE = 320
IGNORED = 255
"""Mask value that counts nowhere. Outside the photo a crop is card grey, which the networks learn as background."""
FINDER_SIZE = 256
FINDER_GREY = 0.46
CANONICAL_NUMBERS = ("tilt_deg", "off_profile_deg", "pitch_px", "nearness")
"""What the part network reads off a canonical crop: pose, the thread's pitch as it would be at the gap's distance, and the
thread's radius over the distance from lens to gap."""
TIP_NUMBERS = ("tilt_deg", "off_profile_deg", "gap_px", "edge_px")
"""What it reads off a tip crop: pose, gap and edge radius at the gap's distance."""
POSE_WITHIN_DEG, GAP_WITHIN_DEG, OFF_WITHIN_DEG = 60.0, 18.0, 40.0
"""Pose, and what the gap shows, are learned from views this near to side-on; others teach the parts only."""
LOST = 0.1
"""Share of examples whose tip window stands where it would if no electrode had been seen."""


@dataclass(frozen=True, slots=True)
class RenderTruth:
    """What the example needs of a render's truth: mm and degrees; ``kind`` is side, oblique or end."""

    kind: str
    matrix: NDArray[np.float64]
    """(3, 4): photo (column, row, 1) times depth from homogeneous mm of the plug."""
    gap_point_mm: tuple[float, float, float]
    thread_diameter_mm: float
    pitch_mm: float
    tilt_deg: float
    off_profile_deg: float
    gap_wire_mm: float
    gap_axial: bool
    edge_radius_mm: float


@dataclass(frozen=True, slots=True, eq=False)
class PartsExample:
    """Crops uint8 ``(320, 320, 3)`` with masks ``(320, 320)``: canonical and tip.

    Numbers float32 in the order of ``CANONICAL_NUMBERS`` and ``TIP_NUMBERS``, NaN where not defined. ``finder`` is the whole
    photo letterboxed to ``(256, 256, 3)`` with its mask.
    """

    canonical: NDArray[np.uint8]
    canonical_mask: NDArray[np.uint8]
    canonical_numbers: NDArray[np.float32]
    tip: NDArray[np.uint8]
    tip_mask: NDArray[np.uint8]
    tip_numbers: NDArray[np.float32]
    finder: NDArray[np.uint8]
    finder_mask: NDArray[np.uint8]


def make_example(
    picture: NDArray[np.uint8],
    mask: NDArray[np.uint8],
    truth: RenderTruth,
    gains: tuple[float, float, float],
    rng: np.random.Generator,
) -> PartsExample:
    """Cut an example from a photo ``(rows, cols, 3)`` uint8 and its mask (0 bench, 1 to 4 ``Part``, 5 outer insulator, 6 card).

    ``gains`` make the card 18 % grey in linear light. Frames are disturbed by ``rng`` as far as the view room errs.
    """
    parts = parts_of(mask)
    linear = decode(picture) * np.asarray(gains, np.float32)
    window = canonical_window(truth, rng)
    canonical_mask = _cut_mask(parts, window)
    seen = np.zeros_like(canonical_mask) if rng.random() < LOST else canonical_mask
    fine = tip_window(seen, ViewKind(truth.kind), window)
    fine[:, 2] += fine[:, :2] @ rng.uniform(-14, 14, 2)
    whole, whole_mask = letterbox(picture, mask)
    return PartsExample(
        canonical=_cut(linear, window),
        canonical_mask=canonical_mask,
        canonical_numbers=_pose_and_pitch(window, truth),
        tip=tip_crop(linear, fine),
        tip_mask=_cut_mask(parts, fine),
        tip_numbers=_at_the_tip(fine, truth),
        finder=whole,
        finder_mask=whole_mask,
    )


def parts_of(mask: NDArray[np.uint8]) -> NDArray[np.uint8]:
    """Labels of ``Part`` alone; 255, outside the photo, stays."""
    return np.where((mask > Part.GROUND_ELECTRODE) & (mask != IGNORED), 0, mask).astype(np.uint8)


def canonical_window(truth: RenderTruth, rng: np.random.Generator) -> NDArray[np.float64]:
    """``(2, 3)`` from canonical to photo pixels: the view room's frame at the true pose, disturbed."""
    diameter = truth.thread_diameter_mm
    face = _project(truth.matrix, (0.0, 0.0, 0.0))
    per_mm = _pixels_per_mm(truth.matrix, (0.0, 0.0, 0.0))
    if truth.kind == "end":
        step = per_mm * diameter / (0.8 * SIZE) * math.exp(rng.normal(0, 0.03))
        turn, anchor, place = rng.uniform(-math.pi, math.pi), face, (0.5, 0.5)
    else:
        below = _project(truth.matrix, (0.0, 0.0, -diameter))
        up = face - below
        step = per_mm * diameter / (0.45 * SIZE) * math.exp(rng.normal(0, 0.02))
        turn = math.atan2(up[0], -up[1]) + math.radians(rng.normal(0, 0.8))
        anchor = face + up / np.linalg.norm(up) * 0.2 * diameter * per_mm + rng.normal(0, 2.0, 2) * step
        place = (0.5, 0.35)
    cosine, sine = step * math.cos(turn), step * math.sin(turn)
    linear = np.array([[cosine, -sine], [sine, cosine]])
    offset = anchor - linear @ ((SIZE - 1) * np.array(place))
    return np.column_stack([linear, offset])


def letterbox(
    picture: NDArray[np.uint8], mask: NDArray[np.uint8]
) -> tuple[NDArray[np.uint8], NDArray[np.uint8]]:
    """Whole photo and mask, longest side 256, grey padding."""
    rows, cols = picture.shape[:2]
    scale = FINDER_SIZE / max(rows, cols)
    size = (max(1, round(cols * scale)), max(1, round(rows * scale)))
    small = cv2.resize(picture, size, interpolation=cv2.INTER_AREA)
    whole = np.full((FINDER_SIZE, FINDER_SIZE, 3), round(255 * FINDER_GREY), np.uint8)
    labels = np.full((FINDER_SIZE, FINDER_SIZE), IGNORED, np.uint8)
    top, left = (FINDER_SIZE - size[1]) // 2, (FINDER_SIZE - size[0]) // 2
    whole[top : top + size[1], left : left + size[0]] = small
    labels[top : top + size[1], left : left + size[0]] = cv2.resize(
        mask, size, interpolation=cv2.INTER_NEAREST
    )
    return whole, labels


def _pose_and_pitch(window: NDArray[np.float64], truth: RenderTruth) -> NDArray[np.float32]:
    if truth.kind == "end" or abs(truth.tilt_deg) > POSE_WITHIN_DEG:
        return np.full(len(CANONICAL_NUMBERS), np.nan, np.float32)
    pitch_px = truth.pitch_mm * _gap_px_per_mm(window, truth)
    return np.array((truth.tilt_deg, truth.off_profile_deg, pitch_px, _nearness(truth)), np.float32)


def _nearness(truth: RenderTruth) -> float:
    lens = np.linalg.solve(truth.matrix[:, :3], -truth.matrix[:, 3])
    return truth.thread_diameter_mm / 2 / float(np.linalg.norm(lens - truth.gap_point_mm))


def _gap_px_per_mm(window: NDArray[np.float64], truth: RenderTruth) -> float:
    return _pixels_per_mm(truth.matrix, truth.gap_point_mm) / float(np.hypot(window[0, 0], window[1, 0]))


def _at_the_tip(window: NDArray[np.float64], truth: RenderTruth) -> NDArray[np.float32]:
    found = dict.fromkeys(TIP_NUMBERS, math.nan)
    if truth.kind != "end" and abs(truth.tilt_deg) <= POSE_WITHIN_DEG:
        found |= {"tilt_deg": truth.tilt_deg, "off_profile_deg": truth.off_profile_deg}
        if abs(truth.tilt_deg) <= GAP_WITHIN_DEG:
            px_per_mm = _gap_px_per_mm(window, truth)
            found["edge_px"] = truth.edge_radius_mm * px_per_mm
            if truth.gap_axial and truth.off_profile_deg <= OFF_WITHIN_DEG:
                found["gap_px"] = truth.gap_wire_mm * px_per_mm
    return np.array([found[name] for name in TIP_NUMBERS], np.float32)


def _project(matrix: NDArray[np.float64], point: tuple[float, float, float]) -> NDArray[np.float64]:
    q = matrix @ np.array([*point, 1.0])
    return np.asarray(q[:2] / q[2], dtype=np.float64)


def _pixels_per_mm(matrix: NDArray[np.float64], point: tuple[float, float, float]) -> float:
    """Photo pixels per mm at a point's depth: the length of the projected camera axis, focal length over depth."""
    rotation = matrix[:, :3]
    depth = float(matrix[2] @ np.array([*point, 1.0])) / float(np.linalg.norm(rotation[2]))
    forward = rotation[2] / np.linalg.norm(rotation[2])
    across = rotation[0] / np.linalg.norm(rotation[2])
    focal = float(np.linalg.norm(across - (across @ forward) * forward))
    return focal / depth


def _cut(linear: NDArray[np.float32], window: NDArray[np.float64]) -> NDArray[np.uint8]:
    step = float(np.hypot(window[0, 0], window[1, 0]))
    source = cv2.GaussianBlur(linear, (0, 0), 0.35 * step) if step > 1.3 else linear
    flags = cv2.INTER_LINEAR | cv2.WARP_INVERSE_MAP
    picture = cv2.warpAffine(source, window, (SIZE, SIZE), flags=flags, borderValue=(0.18, 0.18, 0.18))
    return encode(np.asarray(picture, dtype=np.float32))


def _cut_mask(mask: NDArray[np.uint8], window: NDArray[np.float64]) -> NDArray[np.uint8]:
    """Label with the largest share at each pixel, so that outlines stay smooth where the window magnifies the mask."""
    flags = cv2.INTER_LINEAR | cv2.WARP_INVERSE_MAP
    best = np.zeros((SIZE, SIZE), np.float32)
    labels = np.zeros((SIZE, SIZE), np.uint8)
    for label in np.unique(mask):
        share = cv2.warpAffine((mask == label).astype(np.float32), window, (SIZE, SIZE), flags=flags)
        labels[share > best] = label
        np.maximum(best, share, out=best)
    return labels
