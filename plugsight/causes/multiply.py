"""Products of long thin matrices, in pieces that the linear algebra library does not spread over threads.

Threads cost more than they save here, most of all on a machine that is busy with something else: the library's
default made an inference three times as long on two loaded cores.
"""

import numpy as np

from plugsight.causes.problem import Floats

SMALL = 200_000
"""Multiplications in a piece; OpenBLAS starts threads above 262,144 (its ``interface/gemm.c``, from memory)."""


def times(left: Floats, right: Floats) -> Floats:
    """Return ``left @ right`` of ``(a, b)`` and ``(b, c)``; an empty ``b`` gives zeros."""
    a, b = left.shape
    c = right.shape[1]
    result = np.zeros((a, c))
    if b > c:
        step = max(1, SMALL // max(1, a * c))
        for start in range(0, b, step):
            result += left[:, start : start + step] @ right[start : start + step]
    else:
        step = max(1, SMALL // max(1, a * b))
        for start in range(0, c, step):
            np.matmul(left, right[:, start : start + step], out=result[:, start : start + step])
    return result
