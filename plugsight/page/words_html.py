"""Small pieces of HTML with every word escaped."""

from collections.abc import Iterable
from html import escape

from plugsight.page.dress import picture
from plugsight.report.signs import sign
from plugsight.verdict.record import Action


def quiet(text: str) -> str:
    """Return a remark in the soft ink."""
    return f'<p class="ps-quiet">{escape(text)}</p>'


def sentence(text: str) -> str:
    """Return text that begins with a capital and ends with a stop."""
    trimmed = text.strip()
    whole = trimmed[:1].upper() + trimmed[1:]
    return whole if not whole or whole[-1] in ".!?:" else f"{whole}."


def moment(stamp: str) -> str:
    """Return day and time of an ISO 8601 stamp in UTC, never broken over two lines."""
    return f"{stamp[:10]}\u00a0{stamp[11:16]}\u00a0UTC".replace("-", "\u2011")


def rows(pairs: Iterable[tuple[str, str]]) -> str:
    """Return labels and values side by side."""
    lines = "".join(f"<dt>{escape(label)}</dt><dd>{escape(value)}</dd>" for label, value in pairs)
    return f'<dl class="ps-rows">{lines}</dl>'


def verdict_head(place: str, action: Action) -> str:
    """Return number, sign and words of a verdict."""
    return (
        f'<div class="ps-head"><span class="ps-number">{escape(place)}</span>{picture(sign(action))}'
        f"<span>{escape(action.words)}</span></div>"
    )
