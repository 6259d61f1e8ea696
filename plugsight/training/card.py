"""The model card: what the model is, what it was tried on, what it can't do. Written beside the model file."""

from collections.abc import Sequence
from pathlib import Path

import numpy as np

from plugsight.durable import write_whole
from plugsight.suggestion.model import DepositModel
from plugsight.training.compare import FamilyScore
from plugsight.training.score import Scores
from plugsight.vocabulary.honesty import RENDERED_ONLY

NAME = "deposits.card.md"

LIMITS = """## Limits

- Rendered plugs only. Colours and textures of deposits were set from descriptions, not measured on real ones.
- Wet fuel and coolant residue have no look of their own once dry; they are suggested only beside another deposit.
- Chalk white is suggested alone only together with a heat sign; else bare stands beside it.
- Most of what it knows it reads off a close-up of the tip, 31 pixels per mm on an M14 plug: a photo that holds less shows less
  grain, and then light, ash, lead, mineral and thin wet fuel can't be told apart.
- Sets are calibrated on rendered plugs: on other photos their coverage is unknown until blind plugs are confirmed.
- Damage findings are shown from an even chance on, where three of four such alarms on the calibration views (thirty at least) were right and
  three of ten damaged views got one. Those not listed above were learnt too, but are not that good: they are left to the eye, the lens
  and the wire gauge.
"""


def write_card(
    model: DepositModel, scores: Sequence[tuple[str, Scores]], families: Sequence[FamilyScore], folder: Path
) -> Path:
    """Write the card into ``folder``: one section for each named set of ``scores``, misses included."""
    parts = [
        "# The deposit model",
        f"**{RENDERED_ONLY}**",
        f"Digest `{model.digest}`. Trained on {model.trained}. Feature catalogue `{model.catalogue[:12]}`. "
        + ", ".join(f"{name} {number}" for name, number in model.libraries.items())
        + ".",
        (
            "Intended use: a suggestion that a person confirms or corrects, from photos taken against a grey card. Not for "
            "deciding anything by itself, and never for aircraft."
        ),
        f"Deposits: {', '.join(map(str, model.classes))}. Damage findings: {', '.join(map(str, model.damage)) or 'none'}.",
        (
            f"Sets are conformal at {model.coverage:.0%}: on plugs like the calibration plugs, about that share of sets holds "
            "the right answer; an average over plugs, not a promise for one."
        ),
        "## Families compared\n\nGrouped cross-validation on the training split, no design on both sides; each blended with the learned look, as in use.\n\n"
        "| family | balanced accuracy | log-loss |\n|---|---|---|\n"
        + "\n".join(f"| {f.name} | {f.balanced_accuracy:.3f} | {f.log_loss:.3f} |" for f in families),
        *(_section(name, one) for name, one in scores),
        *([_missed(scores[0])] if scores else []),
        LIMITS,
    ]
    return write_whole(folder / NAME, ("\n\n".join(parts) + "\n").encode())


def _missed(named: tuple[str, Scores]) -> str:
    """Name every goal that the first scored set misses."""
    name, s = named
    met = {
        "balanced accuracy, moderate or more": s.balanced_moderate[1] >= 0.95,
        "balanced accuracy, all": s.balanced[0] >= 0.90,
        "least recall of a deposit": bool(np.nanmin(s.recall) >= 0.85),
        "abstained": s.abstained <= 0.10,
        "calibration error (ECE)": s.ece <= 0.03,
        "sets that hold the truth": s.covered >= 0.92,
        "least coverage of a deposit": bool(np.nanmin(s.covered_by_class) >= 0.90),
        "mean set size": s.set_size <= 1.4,
    }
    values = {row[0]: row for row in figures_of(s)}
    lines = [f"- {what}: {values[what][1]}, goal {values[what][2]}" for what, fine in met.items() if not fine]
    return f"## Goals missed ({name})\n\n" + ("\n".join(lines) or "None.")


def figures_of(s: Scores) -> list[tuple[str, str, str]]:
    """Figures as (name, value, goal), for card and screen."""
    return [
        ("plugs", f"{s.plugs}", ""),
        ("balanced accuracy, moderate or more", _bounds(s.balanced_moderate), "0.95"),
        ("balanced accuracy, all", _bounds(s.balanced), "0.90"),
        ("balanced accuracy, answered plugs only", _bounds(s.balanced_answered), ""),
        ("least recall of a deposit", f"{np.nanmin(s.recall):.3f}", "0.85"),
        ("abstained", f"{s.abstained:.3f}", "0.10 or less"),
        ("calibration error (ECE)", f"{s.ece:.3f}", "0.03 or less"),
        ("log-loss", f"{s.log_loss:.3f}", ""),
        ("sets that hold the truth", f"{s.covered:.3f}", "0.92 or more"),
        ("least coverage of a deposit", f"{np.nanmin(s.covered_by_class):.3f}", "0.90"),
        ("mean set size", f"{s.set_size:.2f}", "1.4 or less"),
    ]


def _section(name: str, s: Scores) -> str:
    head = "| figure | value | goal |\n|---|---|---|"
    lines = [f"| {a} | {b} | {c} |" for a, b, c in figures_of(s)]
    said = [*s.classes, "abstained"]
    table = "| truth | " + " | ".join(said) + " | recall |\n|" + "---|" * (len(said) + 2)
    counts = [
        f"| {c} | " + " | ".join(map(str, row)) + f" | {r:.2f} |"
        for c, row, r in zip(s.classes, s.confusion, s.recall, strict=True)
    ]
    return "\n".join([f"## {name}", "", head, *lines, "", table, *counts])


def _bounds(value: tuple[float, float, float]) -> str:
    return f"{value[0]:.3f} ({value[1]:.3f} to {value[2]:.3f})"
