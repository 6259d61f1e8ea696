"""Pictures through the very road a photo takes: without a plug all must end in a refusal or an abstention, with one few."""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from functools import partial
from pathlib import Path

import cv2
import numpy as np
import skimage
import sklearn.datasets
from numpy.typing import NDArray

from plugsight.features import measure
from plugsight.photo import read_photo
from plugsight.segments import find_parts
from plugsight.spread import spread
from plugsight.suggestion import suggest
from plugsight.suggestion.model import DepositModel
from plugsight.training.crops import truth_rows
from plugsight.view import take_view
from plugsight.vocabulary.engine import PlugSpec
from plugsight.vocabulary.errors import InputError
from plugsight.vocabulary.refusal import Abstention, NotFound

SPEC = PlugSpec(thread="M14x1.25")
SIDE_PX = 512


@dataclass(frozen=True, slots=True)
class Refused:
    """One family of pictures: how many, how many refused, and the names of those that were not."""

    family: str
    pictures: int
    refused: int
    passed: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Picture:
    """A picture file and the family it is counted with."""

    family: str
    name: str
    data: bytes


def bundled_pictures(each: int, seed: int = 1) -> Iterator[Picture]:
    """Pictures that scikit-image and scikit-learn ship, cropped and recoloured ``each`` times."""
    homes = (Path(skimage.__file__).parent / "data", Path(sklearn.datasets.__file__).parent / "images")
    rng = np.random.default_rng(seed)
    for path in sorted(p for home in homes for p in home.iterdir() if p.suffix in {".png", ".jpg"}):
        whole = cv2.imread(str(path), cv2.IMREAD_COLOR)
        if whole is None or min(whole.shape[:2]) < 64:
            continue
        for number in range(each):
            side = int(min(whole.shape[:2]) * rng.uniform(0.5, 1.0))
            row, col = (int(rng.integers(0, size - side + 1)) for size in whole.shape[:2])
            part = cv2.resize(whole[row : row + side, col : col + side], (SIDE_PX, SIDE_PX))
            tinted = np.clip(part * rng.uniform(0.7, 1.3, 3) * rng.uniform(0.7, 1.2), 0, 255).astype(np.uint8)
            turned = np.rot90(tinted, int(rng.integers(4)))
            yield Picture("bundled pictures", f"{path.stem} {number}", _jpeg(turned))


def rendered_pictures(folder: Path) -> Iterator[Picture]:
    """Renders of empty benches and near-misses: ``images/`` of a render folder without plugs."""
    for path in sorted((folder / "images").glob("*.jpg")):
        yield Picture("rendered benches and near-misses", path.stem, path.read_bytes())


def plug_pictures(folder: Path) -> Iterator[Picture]:
    """Photos of a render folder that show the nose of a plug."""
    for row in truth_rows(folder):
        if row.label is not None:
            yield Picture(folder.name, row.name, (folder / "images" / f"{row.name}.jpg").read_bytes())


def _jpeg(pixels: NDArray[np.uint8]) -> bytes:
    done, data = cv2.imencode(".jpg", pixels)
    if not done:  # imencode fails only without memory
        raise MemoryError("a picture could not be encoded")
    return data.tobytes()


def suggested(data: bytes, model: DepositModel, spec: PlugSpec = SPEC) -> str:
    """Return the suggested deposits of one photo file, or an empty text where it is refused or abstained from."""
    try:
        photo = read_photo(data)
    except InputError:
        return ""
    view = take_view(photo, spec)
    if isinstance(view, NotFound):
        return ""
    parts = find_parts(view, spec)
    if isinstance(parts, NotFound):
        return ""
    made = suggest([measure(view, parts, spec)], model=model)
    return "" if isinstance(made, Abstention) else ", ".join(made.members)


def _said(picture: Picture, model: DepositModel) -> tuple[str, str, str]:
    return picture.family, picture.name, suggested(picture.data, model)


def count_refusals(
    pictures: Iterable[Picture], model: DepositModel, *, workers: int = 2
) -> tuple[Refused, ...]:
    """Send every picture down the road; one line a family."""
    said = list(spread(partial(_said, model=model), pictures, workers=workers))
    lines = []
    for family in sorted({one[0] for one in said}):
        own = [one for one in said if one[0] == family]
        passed = tuple(name for _, name, words in own if words)
        lines.append(Refused(family, len(own), len(own) - len(passed), passed))
    return tuple(lines)
