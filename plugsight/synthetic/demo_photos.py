"""The photos of the invented demo engine: four plugs of one design, each side-on and from the front.

    python -m plugsight.synthetic.demo_photos FOLDER

makes them again: one design, one phone, one light and one grey card, as a set on a real bench would be photographed.
"""

import argparse
from collections.abc import Callable, Iterable
from dataclasses import replace
from pathlib import Path
from typing import TypeVar

import numpy as np

from plugsight.synthetic.bench_setting import draw_setting
from plugsight.synthetic.build import build_plug
from plugsight.synthetic.built_plug import BuiltPlug
from plugsight.synthetic.design import PlugDesign, draw_design
from plugsight.synthetic.draw_state import draw_state
from plugsight.synthetic.draw_view import Extent, draw_viewpoint
from plugsight.synthetic.phone_camera import PhoneCamera, draw_camera, jpeg
from plugsight.synthetic.photograph import photograph
from plugsight.synthetic.plug_scene import PlugScene
from plugsight.synthetic.render_engine import find_engine
from plugsight.synthetic.state import PlugState
from plugsight.synthetic.viewpoint import Viewpoint, camera_of
from plugsight.vocabulary.deposits import Deposit
from plugsight.vocabulary.engine import Seat

SIZE, SPP = 1024, 12
PLUGS: tuple[tuple[Deposit, float, float], ...] = (
    (Deposit.LIGHT, 0.98, 0.08),
    (Deposit.LIGHT, 1.08, 0.35),
    (Deposit.WET_OIL, 0.97, 0.10),
    (Deposit.ASH, 0.95, 0.10),
)
"""Of cylinders 1 to 4: deposit, gap in mm, rounding of the centre electrode's edge (0 square to 1)."""
VIEWS = {"side": (1.0, 272.0, 25.0), "tip": (33.0, 235.0, 25.0)}
"""Name: tilt and azimuth of the camera in degrees, width of the picture in mm."""

T = TypeVar("T")


def _first(draws: Iterable[T], fits: Callable[[T], bool]) -> T:
    """First draw that fits; one in a few dozen does."""
    return next(drawn for drawn in draws if fits(drawn))


def _design() -> PlugDesign:
    return _first(
        (draw_design(np.random.default_rng([seed, 1]), "train") for seed in range(20000)),
        lambda d: (
            (d.thread, d.nose, d.electrode, d.strap) == ("M14x1.25", "projecting", "wide", "straight")
            and d.seat is Seat.GASKET
            and d.finish == "zinc"
            and d.strap_overhang_mm > 0.3
        ),
    )


def _state(number: int, deposit: Deposit, gap_mm: float, rounding: float) -> PlugState:
    drawn = _first(
        (draw_state(np.random.default_rng([number, seed]), aim=deposit) for seed in range(5000)),
        lambda s: bool(s.layers) and s.layers[-1].deposit is deposit and s.layers[-1].cover > 0.8,
    )
    return replace(
        drawn,
        gap_mm=gap_mm,
        edge_rounding=rounding,
        hollow_mm=0.15 * rounding,
        edge_lean_deg=0.0,
        strap_lean_deg=0.0,
        strap_swing_deg=0.0,
        damage=(),
        rust=0.0,
    )


def _view(kind: str, number: int, plug: BuiltPlug) -> Viewpoint:
    low, high = (np.array(p) for p in plug.truth.gap_points_mm)
    middle = (low + high) / 2
    extent = Extent(
        plug.truth.major_diameter_mm,
        plug.truth.highest_z_mm,
        plug.truth.lowest_z_mm,
        (float(middle[0]), float(middle[1]), float(middle[2])),
    )
    tilt, azimuth, frame = VIEWS[kind]
    drawn = draw_viewpoint(
        np.random.default_rng(7), "side" if kind == "side" else "oblique", extent, SIZE, careful=1.0, wide=0.0
    )
    centre = (0.0, 0.0, -4.5)
    return replace(
        drawn,
        tilt_deg=tilt + 0.7 * (number - 2),
        azimuth_deg=azimuth + number,
        roll_deg=2.0 * (number - 2),
        frame_mm=frame,
        distance_mm=150.0,
        focus_error_mm=0.0,
        centre_mm=centre,
        aim_mm=centre,
    )


def _shoot(scene: PlugScene, plug: BuiltPlug, view: Viewpoint, seed: int) -> bytes:
    camera = camera_of(view)
    setting, words = _first(
        (
            draw_setting(np.random.default_rng(s), "train", view, camera, plug.parts, careful=True)
            for s in range(5000)
        ),
        lambda s: (
            (s[1].card, s[1].card_cover, s[1].clutter, s[1].in_front) == ("clean", "fills", 0, "none")
            and (s[1].pose, s[1].light) == ("held", "window")
        ),
    )
    phone: PhoneCamera = draw_camera(np.random.default_rng(3), "train", words.kelvin, careful=True)
    phone = replace(phone, noise=0.003, quality=88, bias_ev=0.1, contrast=0.2, saturation=1.0, vignette=0.0)
    scene.place(setting)
    major = plug.truth.major_diameter_mm
    shot = photograph(scene, setting, words, view, camera, phone, SPP, seed, major)
    return jpeg(shot.picture, phone.quality)


def make_demo_photos(folder: Path, done: Callable[[str], None] = lambda _: None) -> None:
    """Render all eight photos into ``folder`` as ``CYLINDER_side.jpg`` and ``CYLINDER_tip.jpg``."""
    folder.mkdir(parents=True, exist_ok=True)
    scene, design = PlugScene(find_engine().start()), _design()
    for number, (deposit, gap_mm, rounding) in enumerate(PLUGS, 1):
        plug = build_plug(design, _state(number, deposit, gap_mm, rounding), 500 + number)
        for kind in VIEWS:
            if (folder / f"{number}_{kind}.jpg").exists():
                continue  # a stopped run goes on where it was
            photo = _shoot(scene, plug, _view(kind, number, plug), 1000 + number)
            (folder / f"{number}_{kind}.jpg").write_bytes(photo)
            done(f"{number}_{kind}.jpg: {deposit}, {plug.truth.gap_wire_mm:.3f} mm by wire gauge")


if __name__ == "__main__":
    options = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawTextHelpFormatter)
    options.add_argument("folder", type=Path)
    make_demo_photos(options.parse_args().folder, print)
