"""The model card: what the model is, what it was tried on, what it can't do. Written beside the model file."""

from collections.abc import Sequence
from pathlib import Path

import numpy as np

from plugsight.suggestion.model import DepositModel
from plugsight.training.compare import FamilyScore
from plugsight.training.score import Scores
from plugsight.vocabulary.honesty import RENDERED_ONLY

NAME = "deposits.card.md"


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
        "## Families compared\n\nGrouped cross-validation on the training split; no design on both sides.\n\n"
        "| family | balanced accuracy | log-loss |\n|---|---|---|\n"
        + "\n".join(f"| {f.name} | {f.balanced_accuracy:.3f} | {f.log_loss:.3f} |" for f in families),
        *(_section(name, one) for name, one in scores),
    ]
    path = folder / NAME
    path.write_text("\n\n".join(parts) + "\n", "utf-8")
    return path


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
        ("sets that hold the truth", f"{s.covered:.3f}", "0.95"),
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
