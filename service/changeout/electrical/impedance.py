"""Impedances that are known, or known to lie in a range, and how small or great a sum of them can be.

An impedance is a vector R + jX of the first quadrant. Two kinds of range occur. A transformer or a source has a
magnitude and an X/R, so it may be anywhere in a sector between two arcs; a conductor has a resistance and a
reactance, each in a range, so it may be anywhere in a box. A fault sees a sum of such vectors, each with a weight
on R and a weight on X (the half winding of a centre-tapped transformer weighs the two differently).

*Least magnitude of the sum.* Each vector is in the first quadrant, so the sum grows with every magnitude, resistance
and reactance: all of them are at their least. As to one angle t, with m the magnitude, a and b the weights and
c + jd the rest of the sum, the square of the sum changes with t as
``f'(t) = 2m (-c a sin t + d b cos t) - m^2 (a^2 - b^2) sin 2t``. For a >= b, ``f'(t) / cos t`` falls as t rises; for
a < b, ``f'(t) / sin t`` does. So f' changes its sign at most once, from plus to minus: f has no minimum inside, and
the least is at one of the two ends. That holds for each angle with the others held, so the least of all is at a
corner of the ranges of X/R. It is exact.

*Greatest magnitude of the sum.* All magnitudes, resistances and reactances are at their greatest. The length of a
vector is its greatest projection on any direction, so the greatest sum is the maximum over directions p from 0 to 90
degrees of the sum of the greatest projections of the parts. For a part of magnitude m the projection
``m (a cos p cos t + b sin p sin t)`` is greatest at ``t = atan2(b sin p, a cos p)``, cut off at the ends of the range.
That leaves a maximum over one variable. It is taken at directions ``2h`` apart; the true maximum lies within h of
one of them and projects there with cos h of its length at least, so dividing by cos h bounds it from above.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterable, Sequence
from typing import Final

from changeout.domain.interval import Interval
from changeout.domain.value import value

_DIRECTIONS: Final = 90
_HALF_STEP: Final = math.pi / 4.0 / _DIRECTIONS
_PROJECTIONS: Final = tuple(
    (math.cos(angle), math.sin(angle)) for angle in (2.0 * _HALF_STEP * i for i in range(_DIRECTIONS + 1))
)
ANY_X_OVER_R: Final = Interval(0.0, math.inf)


@value(frozen=True, slots=True)
class Sector:
    """Magnitudes and angles (radians) of a vector whose X/R is not known."""

    least_ohm: float
    greatest_ohm: float
    first: float
    last: float

    @property
    def ends(self) -> tuple[tuple[complex, ...], tuple[complex, ...]]:
        """The least and the greatest magnitude, at the first angle and at the last."""
        magnitudes = (self.least_ohm, self.greatest_ohm)
        first, last = (complex(math.cos(angle), math.sin(angle)) for angle in (self.first, self.last))
        return tuple(m * first for m in magnitudes), tuple(m * last for m in magnitudes)


@value(frozen=True, slots=True)
class Impedance:
    """All the impedances, in ohms, that something may have.

    ``near`` are its least vectors, one for each end of the range of X/R; ``far`` is its greatest, which only counts
    where there is no ``sector``. ``advised`` is ``near`` at the low edge of a nameplate's tolerance, or with the
    conductor cold. ``straight``: with one X/R, known.
    """

    near: tuple[complex, ...]
    far: complex
    sector: Sector | None = None
    advised: tuple[complex, ...] = ()
    straight: bool = False

    @property
    def is_known(self) -> bool:
        """Whether only one value is possible."""
        return self.sector is None and len(self.near) == 1 and self.near[0] == self.far

    @property
    def is_nothing(self) -> bool:
        """Whether it is zero for certain."""
        return self.far == 0 and self.sector is None

    @property
    def is_bounded(self) -> bool:
        """Whether a greatest value is known."""
        return math.isfinite(self.far.real) and math.isfinite(self.far.imag)

    @property
    def resistance_ohm(self) -> Interval:
        """The resistances it may have."""
        ends = self._ends()
        return Interval(min(z.real for z in ends), max(z.real for z in ends))

    @property
    def reactance_ohm(self) -> Interval:
        """The reactances it may have."""
        ends = self._ends()
        return Interval(min(z.imag for z in ends), max(z.imag for z in ends))

    def _ends(self) -> tuple[complex, ...]:
        if self.sector is None:
            return (*self.near, self.far)
        flat, steep = self.sector.ends
        return (*self.near, *flat, *steep)

    def times(self, factor: float) -> Impedance:
        """Return it multiplied by *factor*, above zero."""
        sector = self.sector
        return Impedance(
            tuple(_weighed(z, factor, factor) for z in self.near),
            _weighed(self.far, factor, factor),
            sector and Sector(sector.least_ohm * factor, sector.greatest_ohm * factor, sector.first, sector.last),
            tuple(_weighed(z, factor, factor) for z in self.advised),
            self.straight,
        )


Part = tuple[Impedance, float, float]
"""An impedance in a fault's path, with its weight on R and its weight on X, both above zero."""

NOTHING: Final = Impedance((0j,), 0j, None, (0j,), straight=True)
ANYTHING: Final = Impedance((0j,), complex(math.inf, math.inf), None, (0j,))


def _weighed(z: complex, r_weight: float, x_weight: float) -> complex:
    # Not a product of complex numbers: that makes a not-a-number of an infinite part.
    return complex(z.real * r_weight, z.imag * x_weight)


def at_x_over_r(magnitude_ohm: float, x_over_r: float) -> complex:
    """Return R + jX of an impedance of the given magnitude: R = Z / sqrt(1 + k^2), X = k R."""
    if math.isinf(x_over_r):
        return complex(0.0, magnitude_ohm)
    resistance = magnitude_ohm / math.sqrt(1.0 + x_over_r * x_over_r)
    return complex(resistance, x_over_r * resistance)


def polar(magnitude_ohm: Interval, x_over_r: Interval, tolerance: float = 1.0) -> Impedance:
    """Return what has a magnitude and an X/R in the given ranges, *tolerance* times the magnitude where advised."""
    low, high = magnitude_ohm.low, magnitude_ohm.high
    first = at_x_over_r(low, x_over_r.low)
    sector = None
    if x_over_r.is_point:
        near: tuple[complex, ...] = (first,)
        far = first if low == high else at_x_over_r(high, x_over_r.low)
    else:
        near = (first, at_x_over_r(low, x_over_r.high)) if low else (0j,)
        far = at_x_over_r(high, x_over_r.low)
        if high:
            sector = Sector(low, high, math.atan(x_over_r.low), math.atan(x_over_r.high))
    if math.isinf(high):
        sector, far = None, complex(math.inf, math.inf)
    advised = near if tolerance == 1.0 else tuple(_weighed(z, tolerance, tolerance) for z in near)
    return Impedance(near, far, sector, advised, x_over_r.is_point)


def box(resistance_ohm: Interval, reactance_ohm: Interval, cold: float = 1.0) -> Impedance:
    """Return what has a resistance and a reactance in the given ranges, *cold* times the resistance where advised."""
    near = complex(resistance_ohm.low, reactance_ohm.low)
    far = complex(resistance_ohm.high, reactance_ohm.high)
    return Impedance((near,), far, None, (complex(near.real * cold, near.imag),), near == far)


def in_series(boxes: Iterable[Impedance]) -> Impedance:
    """Return the sum of boxes, none of which is a sector."""
    near, far, advised = 0j, 0j, 0j
    for one in boxes:
        near += one.near[0]
        far += one.far
        advised += one.advised[0]
    return Impedance((near,), far, None, (advised,), near == far)


def least_ohm(parts: Sequence[Part]) -> float:
    """Return the least magnitude of the weighed sum: exact, see the module's text."""
    if all(len(z.near) == 1 for z, _, _ in parts):
        return abs(sum([_weighed(z.near[0], a, b) for z, a, b in parts], 0j))
    alone = _alone(parts)
    return alone.least_ohm if alone else _least([(z.near, a, b) for z, a, b in parts])


def advised_ohm(parts: Sequence[Part]) -> float:
    """Return the least magnitude of the weighed sum at the edge of tolerance and with cold conductors."""
    return _least([(z.advised, a, b) for z, a, b in parts])


def _least(corners: Sequence[tuple[tuple[complex, ...], float, float]]) -> float:
    totals = [0j]
    for points, a, b in corners:
        if len(points) == 1:
            point = _weighed(points[0], a, b)
            totals = [total + point for total in totals]
        else:
            totals = [total + _weighed(point, a, b) for total in totals for point in points]
    return min(map(abs, totals)) if len(totals) > 1 else abs(totals[0])


_Arc = tuple[float, complex, complex, tuple[float, float]]


def greatest_ohm(parts: Sequence[Part]) -> float:
    """Return the greatest magnitude of the weighed sum, or a bound above it by 0.004 % at most where X/R is unknown."""
    alone = _alone(parts)
    if alone:
        return alone.greatest_ohm
    fixed = 0j
    sectors: list[_Arc] = []
    for z, a, b in parts:
        if z.sector is None:
            fixed += _weighed(z.far, a, b)
        else:
            (_, first), (_, last) = z.sector.ends
            sectors.append((z.sector.greatest_ohm, _weighed(first, a, b), _weighed(last, a, b), (a, b)))
    if not sectors or math.isinf(abs(fixed)):
        return abs(fixed)
    return max(_reach(fixed, sectors, *direction) for direction in _PROJECTIONS) / math.cos(_HALF_STEP)


def _reach(fixed: complex, sectors: Sequence[_Arc], cosine: float, sine: float) -> float:
    total = fixed.real * cosine + fixed.imag * sine
    for magnitude, first, last, (a, b) in sectors:
        along, across = a * cosine, b * sine
        # The tangents of the best angle and of the two ends, without dividing.
        if across * first.real * b < along * first.imag * a:
            total += first.real * cosine + first.imag * sine
        elif across * last.real * b > along * last.imag * a:
            total += last.real * cosine + last.imag * sine
        else:
            total += magnitude * math.sqrt(along * along + across * across)
    return total


def _alone(parts: Sequence[Part]) -> Sector | None:
    """Return the only part, weighed, where its X/R is unknown and does not matter."""
    if len(parts) != 1 or parts[0][0].sector is None or parts[0][1] != parts[0][2]:
        return None
    (z, weight, _), sector = parts[0], parts[0][0].sector
    return z.times(weight).sector if weight != 1.0 else sector


def angle_matters(parts: Sequence[Part], impedance: Impedance) -> bool:
    """Whether the X/R of *impedance*, one of the parts, changes the magnitude of the sum."""
    return any(z is impedance for z, _, _ in parts) and (len(parts) > 1 or parts[0][1] != parts[0][2])


def x_over_r(parts: Sequence[Part]) -> Interval:
    """Return what X/R the weighed sum can have; infinite where it has no resistance, unknown where it is nothing.

    X/R of the sum rises with every reactance and angle, falls with every resistance, and moves one way with every
    magnitude; so its least and greatest are at ends of the ranges.
    """
    if not all(z.is_bounded for z, _, _ in parts):
        return ANY_X_OVER_R
    slopes = [(*_slopes(z), a, b) for z, a, b in parts]
    flat = _ratios([(points, a, b) for points, _, a, b in slopes])
    if all(points is same for points, same, _, _ in slopes):
        return Interval(min(flat), max(flat)) if flat else ANY_X_OVER_R
    steep = _ratios([(points, a, b) for _, points, a, b in slopes])
    return Interval(min(flat), max(steep)) if flat and steep else ANY_X_OVER_R


def _slopes(z: Impedance) -> tuple[tuple[complex, ...], tuple[complex, ...]]:
    if z.sector is not None:
        return z.sector.ends
    if z.is_known:
        return z.near, z.near
    if z.straight:
        ends = (*z.near, z.far)
        return ends, ends
    least, far = z.near[0], z.far
    return (complex(far.real, least.imag),), (complex(least.real, far.imag),)


def _ratios(ends: Sequence[tuple[tuple[complex, ...], float, float]]) -> list[float]:
    found = []
    for weighed in itertools.product(*[[_weighed(p, a, b) for p in points] for points, a, b in ends]):
        total = sum(weighed, 0j)
        if total:
            found.append(total.imag / total.real if total.real else math.inf)
    return found
