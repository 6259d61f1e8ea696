"""Can the label be guessed from what must not tell it? Two tests, both must stay within five points of chance.

1. *Truth nuisances*: gap, rounding, wear, shell, thread, pose, bench, card, light and phone, as numbers.
2. *Pixels*: background, card and the far end of the shell only, from the canonical crops; everything else is masked.

Two guessers try, a logistic regression and boosted trees, class weights balanced, in five folds grouped by plug; the
better one's balanced accuracy counts. Chance is one over the number of classes.
"""

from dataclasses import dataclass
from pathlib import Path
from typing import Any

import cv2
import numpy as np
from numpy.typing import NDArray
from sklearn.ensemble import HistGradientBoostingClassifier
from sklearn.linear_model import LogisticRegression
from sklearn.model_selection import StratifiedGroupKFold, cross_val_score
from sklearn.pipeline import make_pipeline
from sklearn.preprocessing import StandardScaler

from plugsight.synthetic.describe_set import picture_of, truth_of

Floats = NDArray[np.float64]
FOLDS = 5
MARGIN = 0.05
_STATE = (
    "gap_mm",
    "edge_rounding",
    "edge_lean_deg",
    "hollow_mm",
    "strap_lean_deg",
    "strap_swing_deg",
    "erosion",
    "rust",
    "face_stain",
    "face_stain_tone",
    "thread_stain",
    "scratches",
    "grime",
)
_VIEW = (
    "tilt_deg",
    "azimuth_deg",
    "roll_deg",
    "distance_mm",
    "frame_mm",
    "aperture_mm",
    "focus_error_mm",
    "setting_kelvin",
    "setting_clutter",
    "setting_room",
)
_WORDS = (
    "kind",
    "setting_pose",
    "setting_bench",
    "setting_card",
    "setting_card_cover",
    "setting_in_front",
    "setting_light",
)
_DESIGN_WORDS = ("thread", "nose", "electrode", "strap", "seat", "finish")


@dataclass(frozen=True, slots=True)
class NuisanceResult:
    """One test's figures; accuracies 0..1."""

    test: str
    pictures: int
    classes: int
    balanced_accuracy: float
    standard_error: float
    chance: float

    @property
    def passed(self) -> bool:
        """Within five points of chance."""
        return self.balanced_accuracy <= self.chance + MARGIN


def _rows(folders: list[Path]) -> list[tuple[Path, dict[str, Any]]]:
    return [(folder, row) for folder in folders for row in truth_of(folder) if row.get("label")]


def truth_features(rows: list[dict[str, Any]]) -> Floats:
    """Return (pictures, numbers): every nuisance as a number, words as one column each."""
    phone = sorted(k for k in rows[0] if k.startswith("phone_"))
    columns: list[Floats] = [np.array([float(row["state"][key]) for row in rows]) for key in _STATE]
    columns += [np.array([float(row[key]) for row in rows]) for key in (*_VIEW, *phone)]
    for key, value in sorted(rows[0]["design"].items()):
        if isinstance(value, (int, float)):
            columns.append(np.array([float(row["design"].get(key) or 0.0) for row in rows]))
    for part, keys in (("", _WORDS), ("design", _DESIGN_WORDS)):
        for key in keys:
            values = [(row[part] if part else row)[key] for row in rows]
            columns += [np.array([float(v == word) for v in values]) for word in sorted(set(values))]
    return np.stack(columns, 1)


def pixel_features(found_in: list[tuple[Path, dict[str, Any]]]) -> Floats:
    """Return (pictures, numbers): tones of background and of the shell's far end, all other pixels masked out."""
    found = []
    for folder, row in found_in:
        picture = picture_of(folder, row["name"], prefer="crops")
        mask = np.asarray(
            cv2.imread(str(folder / "crop_masks" / f"{row['name']}.png"), cv2.IMREAD_UNCHANGED), np.uint8
        )
        lab = np.asarray(cv2.cvtColor((picture / 255.0).astype(np.float32), cv2.COLOR_BGR2LAB), np.float32)
        rim = cv2.erode(np.asarray(mask == 0, np.uint8), np.ones((5, 5), np.uint8)) > 0
        far = (
            (mask == 1) & (np.arange(mask.shape[0])[:, None] > 0.80 * mask.shape[0]) & (row["kind"] != "end")
        )
        found.append(np.concatenate([_tones(lab, rim), _tones(lab, far), _thumbnail(lab, rim)]))
    return np.array(found)


def _tones(lab: NDArray[np.float32], where: NDArray[np.bool_]) -> Floats:
    if where.sum() < 50:
        return np.zeros(12)
    spots = lab[where]
    return np.concatenate([spots.mean(0), spots.std(0), *np.percentile(spots, [10, 90], axis=0)])


def _thumbnail(lab: NDArray[np.float32], where: NDArray[np.bool_], cells: int = 5) -> Floats:
    weight = cv2.resize(where.astype(np.float32), (cells, cells), interpolation=cv2.INTER_AREA)
    light = cv2.resize(
        np.where(where, lab[..., 0], 0).astype(np.float32), (cells, cells), interpolation=cv2.INTER_AREA
    )
    middle = float(lab[..., 0][where].mean()) if where.any() else 50.0
    return np.where(weight > 0.2, light / np.maximum(weight, 0.01), middle).ravel().astype(float)


def guess(features: Floats, labels: NDArray[np.int64], plugs: NDArray[np.int64]) -> tuple[float, float]:
    """Return the better guesser's balanced accuracy, 0..1, and its standard error over the folds."""
    folds = StratifiedGroupKFold(FOLDS, shuffle=True, random_state=1)
    scores = [
        cross_val_score(guesser, features, labels, groups=plugs, cv=folds, scoring="balanced_accuracy")
        for guesser in (
            make_pipeline(StandardScaler(), LogisticRegression(C=0.1, max_iter=500, class_weight="balanced")),
            HistGradientBoostingClassifier(
                max_iter=60, max_leaf_nodes=8, class_weight="balanced", random_state=1
            ),
        )
    ]
    best = max(scores, key=np.mean)
    return float(np.mean(best)), float(np.std(best) / np.sqrt(FOLDS))


def nuisance_check(folders: list[Path]) -> list[NuisanceResult]:
    """Run both tests on rendered sets; ``chalk white`` is left out of the first: heat signs define it."""
    found = _rows(folders)
    cold = [(at, row) for at, row in found if row["label"]["dominant"] != "chalk white"]
    return [
        _result("truth nuisances", truth_features([row for _, row in cold]), cold),
        _result("pixels of background, card and far shell", pixel_features(found), found),
    ]


def _result(test: str, features: Floats, found: list[tuple[Path, dict[str, Any]]]) -> NuisanceResult:
    names = sorted({row["label"]["dominant"] for _, row in found})
    labels = np.array([names.index(row["label"]["dominant"]) for _, row in found])
    own = {key: i for i, key in enumerate(dict.fromkeys((str(at), row["plug"]) for at, row in found))}
    plugs = np.array([own[str(at), row["plug"]] for at, row in found])
    score, error = guess(features, labels, plugs)
    return NuisanceResult(test, len(found), len(names), score, error, 1 / len(names))
