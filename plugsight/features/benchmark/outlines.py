"""How well a part's outline agrees with the true one."""

import cv2
import numpy as np
from numpy.typing import NDArray

Mask = NDArray[np.bool_]


def overlap(found: Mask, true: Mask) -> float:
    """Intersection over union; 0 where both are empty."""
    either = int((found | true).sum())
    return float((found & true).sum() / either) if either else 0.0


def boundary_errors(found: Mask, true: Mask) -> NDArray[np.float64]:
    """Distance in pixels from every pixel of the true outline to the found outline; empty if either has none.

    The border of the picture is no outline.
    """
    edge_true, edge_found = _edge(true), _edge(found)
    if not edge_true.any() or not edge_found.any():
        return np.empty(0)
    distance = cv2.distanceTransform((~edge_found).astype(np.uint8), cv2.DIST_L2, cv2.DIST_MASK_PRECISE)
    return np.asarray(distance[edge_true], dtype=np.float64)


def _edge(mask: Mask) -> Mask:
    inner = cv2.erode(mask.astype(np.uint8), np.ones((3, 3), np.uint8), borderValue=1).astype(bool)
    edge: Mask = mask & ~inner
    edge[[0, -1]] = False
    edge[:, [0, -1]] = False
    return edge
