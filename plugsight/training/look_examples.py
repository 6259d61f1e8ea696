"""The look network's examples as tensors, from the files that ``parts_examples`` writes."""

from dataclasses import dataclass
from pathlib import Path

import numpy as np
import torch
from numpy.typing import NDArray
from torch import Tensor

from plugsight.vocabulary.damage import Damage
from plugsight.vocabulary.deposits import Deposit

LOOKS, DAMAGES = tuple(Deposit), tuple(Damage)
LEAST_BRIGHT = 6
"""Mean grey below which a close-up is a render that failed."""


@dataclass(frozen=True, slots=True, eq=False)
class LookExamples:
    """Close-ups ``(n, 320, 320, 3)`` uint8 and part labels ``(n, 320, 320)`` uint8, with what is true of them.

    ``right`` ``(n, looks)`` 0 or 1: deposits that count as right, none where the nose has no label; ``label`` ``(n,)`` the
    first of them, -1 for none. ``shares`` ``(n, looks)`` of the visible nose, sum 1, NaN without a nose. ``damage``
    ``(n, damages)`` 0 or 1. ``facing``: end views.
    """

    pictures: Tensor
    parts: Tensor
    right: Tensor
    label: Tensor
    shares: Tensor
    damage: Tensor
    facing: Tensor
    kind: NDArray[np.str_]
    plug: NDArray[np.str_]

    def to(self, device: str) -> "LookExamples":
        """Return them with their tensors on ``device``."""
        moved = {
            name: value.to(device) for name in TENSORS if isinstance(value := getattr(self, name), Tensor)
        }
        return LookExamples(**moved, kind=self.kind, plug=self.plug)


TENSORS = ("pictures", "parts", "right", "label", "shares", "damage", "facing")
READ = ("tip", "tip_mask", "deposit", "second", "shares", "damage", "kind", "plug")


def read_examples(folder: Path) -> tuple[LookExamples, LookExamples]:
    """Read all ``*.npz`` of ``folder``: those to fit on, and those of plugs kept aside."""
    arrays: dict[str, list[NDArray[np.generic]]] = {name: [] for name in (*READ, "held_out")}
    for path in sorted(folder.glob("*.npz")):
        with np.load(path) as file:
            if "tip" not in file:
                continue  # pictures without a plug
            found = {name: file[name] for name in arrays}
        usable = found["tip"].reshape(len(found["tip"]), -1).mean(1) >= LEAST_BRIGHT
        for name, kept in arrays.items():
            kept.append(found[name][usable])
    whole = {name: np.concatenate(found) for name, found in arrays.items()}
    aside = whole.pop("held_out").astype(bool)
    return _examples({n: v[~aside] for n, v in whole.items()}), _examples(
        {n: v[aside] for n, v in whole.items()}
    )


def _examples(rows: dict[str, NDArray[np.generic]]) -> LookExamples:
    names = [str(look) for look in LOOKS]
    label = torch.tensor([names.index(d) if d else -1 for d in map(str, rows["deposit"])], dtype=torch.long)
    right = torch.zeros(len(label), len(LOOKS))
    for row, pair in enumerate(zip(rows["deposit"], rows["second"], strict=True)):
        for name in filter(None, map(str, pair)):
            right[row, names.index(name)] = 1.0
    return LookExamples(
        pictures=torch.from_numpy(rows["tip"]),
        parts=torch.from_numpy(rows["tip_mask"]),
        right=right,
        label=label,
        shares=_shares(rows["shares"]),
        damage=torch.from_numpy(rows["damage"].astype(np.float32)),
        facing=torch.tensor([str(kind) == "end" for kind in rows["kind"]], dtype=torch.bool),
        kind=rows["kind"].astype(str),
        plug=rows["plug"].astype(str),
    )


def _shares(found: NDArray[np.generic]) -> Tensor:
    shares = torch.from_numpy(found.astype(np.float32)).clone()
    shares[:, LOOKS.index(Deposit.BARE)] += (1 - shares.sum(1)).clamp(min=0)  # what nothing covers is bare
    return shares / shares.sum(1, keepdim=True)
