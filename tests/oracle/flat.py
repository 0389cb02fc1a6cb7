"""B2, units in a mailer, an envelope or a tube: the box of the least t, then l, then w in which they lie; and goods that give, in a mailer.

The argument. Whether units go into l x w x t is decided as for a carton with no padding (packing.py). Of a mailer l is at most L - t and w
at most W - t, of a tube w is at most the root of D² - t²: a box that is thicker has less room across, so to look for the least t as one
looks for the least height of a carton would be wrong. But with the room across that thickness s leaves, s no more than the least t that
counts, no thickness below the least with which they go in there can be it: they would go in there too, where there is more room. So
that is the next s, from 0 on; where it is s itself, they go in with the room that it leaves, and it is the one.
"""

import dataclasses
import functools
import math

import packing

PI = 355, 113


def across(kind, inside, t):
    """B2: (the most that l may be, the most that w may be) at a thickness."""
    if kind == "mailer":
        return inside[1] - t, inside[0] - t
    if kind == "envelope":
        return inside[1], inside[0]
    left = inside[0] ** 2 - t ** 2
    return inside[1], math.isqrt(left) if left > 0 else 0


def thickest(kind, inside, thickness):
    """No box that goes in is thicker."""
    return {"mailer": min(inside) - 1, "envelope": thickness, "tube": inside[0]}[kind]


@functools.lru_cache(maxsize=100000)
def least_box(kind, inside, thickness, units):
    """B2: (l, w, t) of the box that counts, or None where none goes in; raises packing.Undecided. `inside` is the flat width or the
    diameter, and the usable length."""
    most, t = thickest(kind, inside, thickness), 0
    while True:
        l, w = across(kind, inside, t)
        if min(l, w, most) <= 0:
            return None
        next_t = packing.least_height(units, (l, w, most), 0, 0)
        if next_t is None:
            return None
        if next_t <= t:
            break
        t = next_t
    l = packing.least_height(units, (w, t, l), 0, 0)
    w = packing.least_height(units, (l, t, w), 0, 0)
    return l, w, t


# ---------------------------------------------------------------------------------------------------------------------
# Soft goods

@dataclasses.dataclass(frozen=True)
class Soft:
    """What an item may be pressed to, in millionths, and its least thickness."""
    presses_to: int
    least_thickness: int


def divided_up(a, b):
    return -(-a // b)


def pressed_sides(sides, soft):
    """B2: the two longer sides and the pressed thickness, each in the place of its side as written."""
    shortest = sides.index(min(sides))
    pressed = max(divided_up(sides[shortest] * soft.presses_to, 10 ** 6), soft.least_thickness)
    return [pressed if place == shortest else side for place, side in enumerate(sides)]


def pressed_volume(sides, soft):
    return divided_up(sides[0] * sides[1] * sides[2] * soft.presses_to, 10 ** 6)


def held(flat_width, usable_length, t):
    """B2: what a pillow of this thickness holds, as (numerator, denominator): t (W - πt/4) (L - πt/4)."""
    n, d = PI[0], 4 * PI[1]
    return t * (d * flat_width - n * t) * (d * usable_length - n * t), d * d


def still_more(flat_width, usable_length, t):
    """B2: whether t is at most the thickness beyond which it holds less."""
    n, d = PI[0], 4 * PI[1]
    rising = d * d * flat_width * usable_length - 2 * n * d * (flat_width + usable_length) * t + 3 * n * n * t * t
    return rising >= 0 and 3 * n * t <= d * (flat_width + usable_length)


def last_where(holds, most):
    """The greatest whole number up to `most` of which something holds; it holds of 0, and not again once it does not."""
    low, high = 0, most + 1
    while high - low > 1:
        middle = (low + high) // 2
        low, high = (middle, high) if holds(middle) else (low, middle)
    return low


def pillow(flat_width, usable_length, goods):
    """B2: the sides T, across and along of the pillow that units make, each given as (sides, soft), or None where the mailer does not
    take them."""
    for sides, soft in goods:
        _, b, a = sorted(sides)
        m = soft.least_thickness
        if not any(a + m <= long and b + m <= short for long, short in ((usable_length, flat_width), (flat_width, usable_length))):
            return None
    most = last_where(lambda t: still_more(flat_width, usable_length, t), min(flat_width, usable_length))
    volume = sum(pressed_volume(sides, soft) for sides, soft in goods)

    def too_little(t):
        numerator, denominator = held(flat_width, usable_length, t)
        return numerator < volume * denominator
    t = max(last_where(too_little, most) + 1, max(soft.least_thickness for _, soft in goods))
    if t > most:
        return None
    n, d = PI[0] - 2 * PI[1], 2 * PI[1]  # π/2 - 1
    return t, flat_width - n * t // d, usable_length - n * t // d
