"""Numbers as people write them at a bench; what could mean two things is refused."""

import re

from plugsight.vocabulary.errors import InputError

_PLAIN = re.compile(r"\d+|\d*\.\d+|\d+\.")
_GROUPED = re.compile(r"\d{1,3}(?:[ '\u2019\u00a0\u202f]\d{3})+(?:[.,]\d+)?")
_BOTH = re.compile(
    r"\d{1,3}(?:,\d{3})+\.\d+|\d{1,3}(?:\.\d{3})+,\d+|\d{1,3}(?:,\d{3}){2,}|\d{1,3}(?:\.\d{3}){2,}"
)
_COMMA = re.compile(r"(\d*),(\d+)")
LONGEST = 40
"""Characters of a reading: more is a slip, not a number."""


def parse_number(text: str, where: str) -> float:
    """Read one number of zero or more: ``6.77``, ``6,77``, ``.030``, ``6 770``, ``1.234,5``.

    A comma before exactly three digits can mean thousands or a decimal (``1,234``): refused. ``0,750`` is plain.

    Raises
    ------
    InputError
        Not one number, negative, or ambiguous.

    """
    written = text.strip().removeprefix("+")
    if not written or len(written) > LONGEST:
        raise InputError(
            where, "a reading is one number with its unit", "Write it as the meter or gauge shows it.", text
        )
    if written[0] in "-\u2212":
        raise InputError(where, "a reading can't be negative", "Take it again and write what is shown.", text)
    if not written.isascii():
        written = written.replace("\u00a0", " ").replace("\u202f", " ").replace("\u2019", "'")
    if not written.isascii():
        raise InputError(where, "not a number", "Write digits 0 to 9 with one decimal point.", text)
    comma = _COMMA.fullmatch(written)
    if comma and len(comma[2]) == 3 and comma[1].lstrip("0"):
        whole, part = comma.groups()
        raise InputError(
            where,
            "the comma can mean thousands or a decimal",
            f"Write {whole}.{part} or {whole}{part}.",
            text.strip(),
        )
    if comma:
        return float(f"{comma[1]}.{comma[2]}")
    if _PLAIN.fullmatch(written):
        return float(written)
    if _GROUPED.fullmatch(written):
        return float(re.sub(r"[ ']", "", written).replace(",", "."))
    if _BOTH.fullmatch(written):
        last = max(written.rfind(","), written.rfind("."))
        single = len(re.findall(r"[.,]", written)) == written.count(written[last])
        whole, part = (written, "") if single else (written[:last], written[last + 1 :])
        return float(re.sub(r"[.,]", "", whole) + "." + (part or "0"))
    raise InputError(
        where, "not one number", "Write one number with its unit, without words or a range.", text.strip()
    )
