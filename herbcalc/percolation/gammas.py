"""Floor 2. What washing a bed is reckoned with: the two incomplete gammas, and the scaled error function.

Written here with numpy alone, so that the workbook in a browser need not fetch a library of 13 MB for them.
"""

from __future__ import annotations

import math
from typing import Any

import numpy as np

_NODES, _WEIGHTS = np.polynomial.legendre.leggauss(64)
_LARGE = 16  # from there on the bell below is smooth enough for 64 points
_SEEN = 38.0  # what is e^-38 of the peak, or less, is left out


def incomplete(a: Any, x: Any) -> tuple[Any, Any]:
    """The regularised lower and upper incomplete gammas, P(a, x) and Q(a, x).

    a  plain, more than 0; x  plain, 0 or more; numbers or arrays

    Result: (P, Q), each 0..1, with P + Q = 1; the smaller of the two is summed. Off by less than 1e-13 (a from 0.01
    to 1e7, against SciPy).

    How it is summed. With t = a e^u, the integrand t^(a-1) e^-t dt is a bell round u = 0, e^(-a (e^u - 1 - u)), and
    64 Gauss points cover the part on one side of x. Where a is small the bell has a long tail, and the step
    Q(a + 1, x) = Q(a, x) + x^a e^-x / Γ(a + 1) is taken 16 times.

    >>> [round(float(part), 12) for part in incomplete(10.0, 10.0)]
    [0.542070285528, 0.457929714472]
    """
    a, x = np.broadcast_arrays(np.asarray(a, dtype=float), np.asarray(x, dtype=float))
    small = a < _LARGE
    large = np.where(small, a + _LARGE, a)
    with np.errstate(divide="ignore"):
        along = np.log(x / large)  # -inf at the start
    wide = _SEEN / large
    begin = np.clip(along, -(np.sqrt(2.0 * wide) + wide), np.sqrt(2.0 * wide))
    behind = begin >= 0.0  # the mean lies before x, so that Q is the smaller
    end = np.where(behind, np.sqrt(2.0 * wide), -(np.sqrt(2.0 * wide) + wide))
    half = 0.5 * np.abs(end - begin)
    u = 0.5 * (begin + end)[..., None] + half[..., None] * _NODES
    bell = np.exp(-large[..., None] * (np.expm1(u) - u)) @ _WEIGHTS
    least = half * bell * np.sqrt(large / (2.0 * np.pi)) / np.exp(_stirling(large))
    upper = np.where(behind, least, 1.0 - least)
    lower = np.where(behind, 1.0 - least, least)
    if small.any():
        steps = _steps(np.where(small, a, 1.0), x)
        lower, upper = np.where(small, lower + steps, lower), np.where(small, upper - steps, upper)
    return np.clip(lower, 0.0, 1.0), np.clip(upper, 0.0, 1.0)


def _stirling(a: Any) -> Any:
    """ln Γ(a) - (a - 1/2) ln a + a - ln √(2π), for 16 and more."""
    r = 1.0 / (a * a)
    return (1 / 12 - r * (1 / 360 - r * (1 / 1260 - r * (1 / 1680 - r / 1188)))) / a


def _steps(a: Any, x: Any) -> Any:
    """Σ x^(a + k) e^-x / Γ(a + k + 1) for k from 0 to 15."""
    with np.errstate(divide="ignore"):
        one = np.exp(a * np.log(x) - x - _log_gamma(a + 1.0))
    total = np.zeros_like(one)
    for k in range(_LARGE):
        total = total + one
        one = one * x / (a + k + 1.0)
    return total


_log_gamma = np.vectorize(math.lgamma, otypes=[float])
erfc = np.vectorize(math.erfc, otypes=[float])


def erfcx(x: Any) -> Any:
    """e^(x²) erfc(x), for 0 and more; off by less than 1e-13 of itself.

    >>> round(float(erfcx(1.0)), 12), round(float(erfcx(100.0)), 14)
    (0.427583576156, 0.00564161378299)
    """
    x = np.asarray(x, dtype=float)
    far = x > 10.0
    near = np.where(far, 1.0, x)
    r = 0.5 / np.where(far, x, 10.0) ** 2
    terms = np.ones_like(r)
    for k in range(25, 0, -2):  # 1 - r + 1·3 r² - 1·3·5 r³ + ...
        terms = 1.0 - k * r * terms
    return np.where(far, terms / (np.sqrt(np.pi) * np.maximum(x, 1.0)), np.exp(near**2) * erfc(near))
