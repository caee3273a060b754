"""Random numbers of our own, so that a seed gives the same plan on every machine."""

import numpy as np
import numpy.typing as npt

from .compiled import inlined

_12, _25, _27, _11 = np.uint64(12), np.uint64(25), np.uint64(27), np.uint64(11)
_MULTIPLIER = np.uint64(2685821657736338717)


@inlined
def chance(random: npt.NDArray[np.uint64]) -> float:
    """A number in [0, 1): xorshift64* (Vigna 2016, constants from memory)."""
    x = random[0]
    x ^= x >> _12
    x ^= x << _25
    x ^= x >> _27
    random[0] = x
    return float((x * _MULTIPLIER) >> _11) * (1.0 / 9007199254740992.0)


@inlined
def pick(random: npt.NDArray[np.uint64], below: int) -> int:
    """A whole number in 0 .. below - 1."""
    return int(chance(random) * below)
