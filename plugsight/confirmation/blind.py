"""Which plugs a person decides before any suggestion is shown."""

import hashlib

from plugsight.vocabulary.engine import Place


def decides_blind(inspection: str, place: Place, share: float = 0.2) -> bool:
    """Return True for about ``share`` (0..1) of all plugs, chosen by hash and never by confidence.

    The choice depends on the inspection's id and the plug's place alone, so that it is the same on every screen
    and after every restart, and nobody can steer it.
    """
    digest = hashlib.sha256(f"{inspection}/{place}".encode()).digest()
    return int.from_bytes(digest[:8]) / 2**64 < share
