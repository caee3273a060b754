"""Amounts of US dollars, exact to the cent. Pure.

Where a computation leaves a fraction of a cent it is rounded half to even (ROUND_HALF_EVEN,
"banker's rounding", IEEE 754 roundTiesToEven), so that many roundings do not drift upward. What
is divided into parts is not rounded part by part but split, so that the parts sum to the whole.
"""

from __future__ import annotations

from collections.abc import Sequence
from decimal import ROUND_HALF_EVEN, Decimal
from fractions import Fraction
from math import lcm

CENT = Decimal("0.01")
ZERO = Decimal("0.00")


class NotWholeCents(ValueError):
    """An amount that no bill or coin can pay; it says which."""


def cents(amount: Decimal | Fraction) -> Decimal:
    """The amount to the nearest cent, half to even: 0.125 -> 0.12, 0.135 -> 0.14."""
    if isinstance(amount, Fraction):
        return Decimal(round(amount * 100)).scaleb(-2)  # Python rounds a Fraction half to even
    return amount.quantize(CENT, ROUND_HALF_EVEN)


def exact(amount: Decimal) -> Decimal:
    """The same amount with two decimals. Raises NotWholeCents for 12.345, NaN or infinity."""
    if not amount.is_finite() or amount != cents(amount):
        raise NotWholeCents(f"{amount} is not an amount in dollars and whole cents.")
    return cents(amount)


def part(amount: Decimal, share: int, of: int) -> Decimal:
    """`share` of `of` equal shares, to the cent: the 91 of 365 days of $149 are $37.15."""
    return cents(Fraction(amount) * share / of)


def split(total: Decimal, weights: Sequence[int | Decimal]) -> list[Decimal]:
    """Divide whole cents in proportion to the weights; the parts sum to the total exactly.

    Largest remainder: each part is first rounded down, and the cents left over go to the parts
    that lost most; of equal losers to the earlier. A negative total (a credit) is split alike.
    Raises ValueError for no weights, a negative one, or all zero; NotWholeCents.
    """
    shares = _whole_numbers(weights)
    whole = sum(shares)
    if not shares or min(shares) < 0 or not whole:
        raise ValueError("An amount is split by weights of 0 or more, at least one above 0.")
    sign = -1 if total < 0 else 1
    to_give = int(abs(exact(total)) * 100)
    given = [to_give * share // whole for share in shares]
    lost = [to_give * share % whole for share in shares]
    losers = sorted(range(len(lost)), key=lambda n: (-lost[n], n))
    for n in losers[: to_give - sum(given)]:
        given[n] += 1
    return [sign * Decimal(part_).scaleb(-2) for part_ in given]


def _whole_numbers(weights: Sequence[int | Decimal]) -> list[int]:
    """The same weights to each other as whole numbers, which are divided a good deal faster."""
    ratios = [weight.as_integer_ratio() for weight in weights]
    common = lcm(*(below for _, below in ratios))
    return [above * (common // below) for above, below in ratios]


def dollars(amount: Decimal) -> str:
    """For people: "$1,234.50"; a credit with its sign in front, "-$12.00"."""
    return f"{'-' if amount < 0 else ''}${abs(amount):,.2f}"
