"""The centre electrode as a rounded cylinder, fitted to its upper outline.

A cylinder of radius r whose edge is rounded with radius e is, near its face, a ball of radius e swept round a circle of
radius R = r - e. Seen at the tilt a (parallel projection) its outline is the projected circle, an ellipse R by R |sin a|,
grown by e. With the support function h of that outline the upper edge stands, at the distance x from the axis, at

    v(x) = min over psi of (h(psi) - x cos psi) / sin psi,  h(psi) = R sqrt(cos^2 psi + sin^2 a sin^2 psi) + e

above the circle's plane, and the electrode's face on the axis at e cos a.
"""

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy.optimize import least_squares

_STEEPEST = 0.7
"""Sine of the tilt up to which an electrode is fitted; a steeper one counts as this."""
_PSI = np.linspace(0.02, math.pi / 2, 80)
OUTLINE_MM = 0.02
"""Standard uncertainty of the outline's place in one column, mm: half a pixel of the tip crop, deposit included."""


@dataclass(frozen=True, slots=True, eq=False)
class FittedElectrode:
    """Result of the fit; ``face_mm`` is the face's height on the axis, upwards, in the coordinate of the input.

    ``outline_mm`` is the fitted upper edge at the input's places; ``misfit_mm`` the robust spread about it.
    """

    face_mm: float
    edge_radius_mm: float
    u_edge_radius_mm: float
    sin_tilt: float
    u_sin_tilt: float
    outline_mm: NDArray[np.float64]
    misfit_mm: float


def upper_outline(
    x_mm: NDArray[np.float64], radius_mm: float, edge_mm: float, sin_tilt: float
) -> NDArray[np.float64]:
    """Height of the outline above the plane of the edge's circle at distances ``x_mm`` from the axis (same shape)."""
    inner = radius_mm - edge_mm
    support = inner * np.sqrt(np.cos(_PSI) ** 2 + (sin_tilt * np.sin(_PSI)) ** 2) + edge_mm
    lines = (support[None, :] - np.abs(x_mm)[:, None] * np.cos(_PSI)[None, :]) / np.sin(_PSI)[None, :]
    return np.asarray(lines.min(axis=1), dtype=np.float64)


def fit_electrode(
    x_mm: NDArray[np.float64],
    v_mm: NDArray[np.float64],
    radius_mm: float,
    sin_tilt: float,
    u_sin_tilt: float,
) -> FittedElectrode:
    """Fit face height, edge radius and tilt to outline points ``v_mm`` (upwards) at ``x_mm`` (from the axis).

    The tilt known beforehand enters as an observation with its uncertainty; only its size matters here, not its sign.
    At least four points are needed.
    """
    prior, u_prior = min(abs(sin_tilt), _STEEPEST), max(u_sin_tilt, 1e-3)

    def residuals(p: NDArray[np.float64]) -> NDArray[np.float64]:
        shape = upper_outline(x_mm, radius_mm, p[1], p[2])
        return np.append((p[0] + shape - v_mm) / OUTLINE_MM, (p[2] - prior) / u_prior)

    start = np.array([float(np.median(v_mm)) - 0.1 * radius_mm, 0.15 * radius_mm, prior])
    fitted = least_squares(
        residuals,
        start,
        bounds=([-np.inf, 0.0, 0.0], [np.inf, 0.98 * radius_mm, _STEEPEST]),
        x_scale=(0.1, 0.1, 0.02),
        loss="soft_l1",
        max_nfev=40,
    )
    base, edge, sine = (float(v) for v in fitted.x)
    outline = base + upper_outline(x_mm, radius_mm, edge, sine)
    misfit = 1.4826 * float(np.median(np.abs(v_mm - outline)))
    normal = fitted.jac.T @ fitted.jac + np.diag((1e-9, 1e-9, 1e-9))
    # neighbouring columns err together: the outline's error is smooth over about three of them
    spread = np.sqrt(np.diag(np.linalg.inv(normal))) * math.sqrt(3.0) * max(1.0, misfit / OUTLINE_MM)
    return FittedElectrode(
        face_mm=base + edge * math.sqrt(1.0 - sine**2),
        edge_radius_mm=edge,
        u_edge_radius_mm=float(spread[1]),
        sin_tilt=sine,
        u_sin_tilt=float(min(spread[2], u_prior)),
        outline_mm=outline,
        misfit_mm=misfit,
    )
