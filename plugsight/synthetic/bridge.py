"""A lump of deposit that joins the electrodes."""

import numpy as np

from plugsight.synthetic.built_plug import DEPOSITS_BY_INDEX
from plugsight.synthetic.design import PlugDesign
from plugsight.synthetic.electrodes import Wear, tip_z
from plugsight.synthetic.grids import Grid, revolved
from plugsight.synthetic.looks import LOOKS
from plugsight.synthetic.noise import Noise
from plugsight.synthetic.place import Place
from plugsight.synthetic.skin import Skin
from plugsight.synthetic.state import PlugState
from plugsight.vocabulary.deposits import Deposit

CAN_BRIDGE = (Deposit.DRY_CARBON, Deposit.ASH, Deposit.LEAD, Deposit.WET_OIL, Deposit.MINERAL)


def bridge_grid(design: PlugDesign, wear: Wear, seed: int) -> Grid:
    """A lumpy grain reaching from the electrode's edge to the strap, a little off the axis."""
    rng = np.random.default_rng([seed, 501])
    half = design.electrode_diameter_mm / 2
    girth = float(rng.uniform(0.25, 0.45) + 0.35 * half)
    height = wear.gap_mm / 2 + 0.15
    turn = np.linspace(-np.pi / 2, np.pi / 2, 60)
    grid = revolved(np.stack([girth * np.cos(turn), height * np.sin(turn)], axis=1), 90)
    if design.strap == "side":
        middle = (half + wear.gap_mm / 2, 0.0, tip_z(design) - 0.35)
        grid.points[:] = grid.points[:, :, [2, 1, 0]] * np.array([1.0, -1.0, 1.0])
    else:
        off = 0.5 * half * float(rng.uniform(0, 1))
        middle = (off, off * float(rng.uniform(-1, 1)), tip_z(design) + wear.gap_mm / 2)
    grid.points[:] += np.array(middle)
    return grid


def dress_bridge(skin: Skin, _design: PlugDesign, state: PlugState) -> None:
    """Make the lump of the topmost deposit that can form one; carbon where there is none."""
    layers = [la for la in state.layers if la.deposit in CAN_BRIDGE]
    lump = skin.noise.fractal(skin.points, 0.5, 502, 0.8)
    skin.height += 0.07 * lump
    skin.colour[:] = (0.035, 0.033, 0.03)
    skin.roughness[:] = 0.95
    if layers:
        layer = layers[-1]
        place = Place(skin.points, skin.colour, Noise(skin.noise.seed * 64), layer, state.palette)
        everywhere = np.ones(len(skin.points), dtype=bool)
        skin.lay(everywhere, everywhere.astype(np.float32), LOOKS[layer.deposit](place), layer.deposit)
    else:
        skin.deposit[:] = DEPOSITS_BY_INDEX.index(Deposit.DRY_CARBON)
