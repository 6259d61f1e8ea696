"""What the photos of one plug showed, in words."""

from rich.console import Console

from plugsight.cli.screen import heading, line
from plugsight.features import Features, Length
from plugsight.flow import PhotoLook, PlugLook
from plugsight.suggestion import Suggestion
from plugsight.vocabulary.deposits import DEPOSITS
from plugsight.vocabulary.honesty import RENDERED_ONLY
from plugsight.vocabulary.refusal import Abstention, NotFound


def show_photo(to: Console, photo: PhotoLook) -> None:
    """Print what was measured on one photo, or why nothing was."""
    seen = photo.features
    line(to, photo.name + (" (after cleaning)" if photo.cleaned else ""), style="bold")
    if isinstance(seen, NotFound):
        line(to, f"{seen.reason}. {seen.remedy}", style="yellow", indent=2)
        return
    line(to, f"{seen.kind} view; gap: {gap_words(seen)}", indent=2)
    if seen.nose_lab is not None:
        lightness, a, b = seen.nose_lab
        line(to, f"nose colour: L* {lightness:.0f}, a* {a:+.0f}, b* {b:+.0f}", indent=2)
    for note in seen.notes:
        line(to, f"{note.words}: {note.remedy}", style="yellow", indent=2)


def gap_words(seen: Features) -> str:
    """Say the gap with its uncertainty, or why it was not measured."""
    gap = seen.gap
    if isinstance(gap, Length):
        return f"{gap.mm:.2f} ± {gap.U_mm:.2f} mm (95 %), {seen.gap_warning}"
    return f"not measured: {gap.reason}. {gap.remedy}"


def show_suggestion(to: Console, seen: PlugLook) -> None:
    """Print the suggested set with its why, or why there is none."""
    suggestion = seen.suggestion
    if isinstance(suggestion, Abstention):
        line(to, f"No suggestion: {suggestion.reason}. {suggestion.remedy}", style="yellow")
        return
    chances = {c.deposit: c.chance for c in suggestion.chances}
    one = len(suggestion.members) == 1
    line(to, "Suggested:" if one else "Suggested: one of", style="bold")
    for deposit in suggestion.members:
        line(to, f"{deposit} ({chances[deposit]:.0%}): {DEPOSITS[deposit].look}", indent=2)
    for damage in suggestion.damage:
        line(to, f"also looks like: {damage.damage} ({damage.chance:.0%})", indent=2)
    for reason in suggestion.why:
        line(to, f"because {reason.words}", indent=2)
    for splitter in suggestion.split_by:
        line(to, f"to tell them apart: {splitter.words}", indent=2)
    line(to, coverage_words(suggestion), style="dim")


def coverage_words(suggestion: Suggestion) -> str:
    """Say what the set promises and what it doesn't."""
    hundred = round(100 * suggestion.coverage)
    return (
        f"On photos like the ones it was set with, about {hundred} of 100 such sets hold the right answer; "
        f"an average over plugs, not a promise for this one. {RENDERED_ONLY}"
    )


def show_plug(to: Console, seen: PlugLook) -> None:
    """Print everything seen on one plug."""
    for photo in seen.photos:
        show_photo(to, photo)
    heading(to, "What it looks like")
    show_suggestion(to, seen)
