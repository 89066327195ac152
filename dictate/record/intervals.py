"""Proportions with an interval, and their percentages to the printed digit.

Wilson: E. B. Wilson 1927. Cows of one herd and
one trimmer are not independent, so an interval describes this visit only, and for a whole-herd trim
the figure is a census.
"""

from dataclasses import dataclass
from decimal import ROUND_HALF_UP, Decimal
from math import sqrt
from statistics import NormalDist


def wilson(count: int, out_of: int) -> tuple[float, float]:
    """Return the 95 % Wilson score interval of count/out_of, both ends from 0 to 1."""
    if not 0 <= count <= out_of or out_of == 0:
        raise ValueError(f"{count} out of {out_of} is not a proportion")
    z = NormalDist().inv_cdf(0.975)
    share = count / out_of
    scale = 1 + z * z / out_of
    centre = (share + z * z / (2 * out_of)) / scale
    half = z * sqrt(share * (1 - share) / out_of + z * z / (4 * out_of * out_of)) / scale
    # The ends touch 0 and 1 exactly there, which rounding alone would miss.
    low = 0.0 if count == 0 else max(0.0, centre - half)
    high = 1.0 if count == out_of else min(1.0, centre + half)
    return low, high


def percent(count: int, out_of: int, digits: int = 1) -> str:
    """Return 100·count/out_of with that many digits, halves rounded up as printed tables do."""
    if out_of == 0:
        return "–"
    exact = Decimal(100 * count) / Decimal(out_of)
    return str(exact.quantize(Decimal(1).scaleb(-digits), rounding=ROUND_HALF_UP))


@dataclass(frozen=True, slots=True, kw_only=True)
class Counted:
    """So many of so many."""

    count: int
    out_of: int

    @property
    def percent(self) -> str:
        return percent(self.count, self.out_of)

    @property
    def interval(self) -> tuple[float, float]:
        """The 95 % Wilson interval, its ends from 0 to 1."""
        return wilson(self.count, self.out_of)
