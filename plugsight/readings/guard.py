"""A value near a limit: in, out, or can't be told."""

from plugsight.readings.record import Judgement

GUARD = 1.645
"""Guard band in standard uncertainties: one-sided risk at most 5 % (JCGM 106:2012; the normal identity is tested)."""


def guarded(value: float, u: float, low: float, high: float) -> Judgement:
    """Judge ``value`` ± ``u`` against inclusive limits with guard bands on both sides of each limit.

    ``u`` 0 decides plainly. Limits closer together than twice the guard band never give ``IN``.
    """
    guard = GUARD * u
    if low + guard <= value <= high - guard:
        return Judgement.IN
    if value < low - guard or value > high + guard:
        return Judgement.OUT
    return Judgement.CANT_TELL_METER
