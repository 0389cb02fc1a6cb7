"""Random goods of several units for mailers, envelopes and tubes, that just go in or just do not, and goods that give. The box that goes in
is cut into cells, and the cells become goods; a pillow is filled to the thickness that is aimed at. All of it is invented."""

import math

import flat
import oracle
import random_goods

MOST_UNITS = 5
PERCENTAGES = ("100", "80 %", "62.5", "60", "50 %", 50, "40", "33.3333", "12.0001 %")
BY = (0,) * 50 + (1, 1, 10 ** 6, -10 ** 7, -1, -20 * 10 ** 6)


def write_length(rng, nanometres):
    return oracle.decimal(nanometres, 6) + " mm" if rng.random() < 0.7 else oracle.decimal(nanometres, 7) + " cm"


def millionths(presses_to):
    return int(oracle.Fraction(str(presses_to).replace("%", "").strip()) * 10 ** 4)


def soften(rng, item, sides, write_sides):
    """Makes an item soft that, pressed, has these sides, or nearly; what cannot be beside it is taken away."""
    for key in ("this_side_up", "may_stand", "top_free", "bears", "rigid"):
        item.pop(key, None)
    presses_to = rng.choice(PERCENTAGES)
    shortest, at_rest = sides.index(min(sides)), list(sides)
    at_rest[shortest] = min(40 * 10 ** 9, max(1, sides[shortest] * 10 ** 6 // millionths(presses_to)))
    least = rng.choice((sides[shortest], sides[shortest], sides[shortest] // 2, sides[shortest] * 9 // 10, sides[shortest] + 1, 10 ** 6))
    item["sides"] = write_sides(rng, at_rest)
    item["soft"] = {"presses_to": presses_to, "least_thickness": write_length(rng, max(1, min(least, *at_rest)))}


def target(rng, packaging, thicknesses):
    """(l, w, t) of a box that goes in and leaves nothing free across, or None."""
    if packaging.kind == "mailer":
        aimed = [t - 2 * packaging.wall for t in thicknesses]
        t = rng.choice(aimed) if aimed and rng.random() < 0.5 else packaging.inside[0] // rng.choice((2, 3, 4, 4, 6, 8, 12))
    elif packaging.kind == "envelope":
        t = packaging.thickness // rng.choice((1, 1, 1, 2))
    else:
        t = packaging.inside[0] * rng.choice((3, 4, 5, 6, 7)) // rng.choice((10, 10, 12))
    l, w = flat.across(packaging.kind, packaging.inside, t)
    return (l, w, t) if min(l, w, t) > random_goods.LEAST_SIDE else None


def boxes(rng, packaging, thicknesses, write_sides):
    """Items that lie in such a box, some of them soft; or None."""
    room = target(rng, packaging, thicknesses)
    if room is None:
        return None
    cells = [random_goods.Cell(room)]
    for _ in range(rng.choice((1, 1, 2, 2, 3))):
        cells.sort(key=lambda cell: cell.sides[0] * cell.sides[1] * cell.sides[2])
        cells[-1:] = random_goods.split(rng, cells[-1], 0) or cells[-1:]
    if rng.random() < 0.5:
        i = rng.randrange(len(cells))
        cells[i] = random_goods.repeat(rng, cells[i], 0) or cells[i]
    while sum(cell.quantity for cell in cells) > MOST_UNITS:
        cells.remove(min(cells, key=lambda cell: cell.sides[0] * cell.sides[1] * cell.sides[2] * cell.quantity))
    give = rng.choice((0, 0, 0, 0.5, 0.5, 1))
    goods = []
    for cell in cells:
        sides = [max(1, side + rng.choice(BY)) for side in cell.sides]
        rng.shuffle(sides)
        item = {"sides": write_sides(rng, sides)}
        if cell.quantity > 1:
            item["quantity"] = cell.quantity
        if rng.random() < 0.04:
            random_goods.lie(rng, item, 2, [10 ** 6])
        if rng.random() < give:
            soften(rng, item, sides, write_sides)
        goods.append(item)
    return goods


def pillow(rng, mailer, thicknesses, write_sides):
    """Soft items that fill a mailer to a thickness, or None."""
    width, long = mailer.inside
    most = flat.last_where(lambda t: flat.still_more(width, long, t), min(width, long))
    aimed = [t - 2 * mailer.wall for t in thicknesses if 10 ** 6 < t - 2 * mailer.wall <= most]
    t = rng.choice(aimed) if aimed and rng.random() < 0.6 else most // rng.choice((1, 1, 2, 2, 3, 5))
    left = math.floor(oracle.Fraction(*flat.held(width, long, t)))
    goods, n = [], rng.choice((1, 1, 2, 3))
    for i in range(n):
        presses_to, quantity = rng.choice(PERCENTAGES), rng.choice((1, 1, 1, 2, 3))
        m = rng.choice((10 ** 6, t // 2, t // 3, t, t + 1)) if i == 0 else 10 ** 6
        a, b = long - m - rng.choice((0, 0, 0, long // 4, -1)), width - m - rng.choice((0, 0, 0, width // 3, -1))
        if min(a, b) <= 10 ** 6:
            return None
        part = left if i == n - 1 else left // rng.choice((2, 3, 4))
        c = part * 10 ** 6 // millionths(presses_to) // (a * b * quantity)
        left -= part
        c = min(40 * 10 ** 9, max(1, c + rng.choice((0, 0, 0, 0, 1, -1, 10 ** 6, -10 ** 6))))
        sides = [a, b, c]
        rng.shuffle(sides)
        item = {"sides": write_sides(rng, sides), "soft": {"presses_to": presses_to, "least_thickness": write_length(rng, min(m, *sides))}}
        if quantity > 1:
            item["quantity"] = quantity
        goods.append(item)
    return goods


def several(rng, document, thicknesses, write_sides):
    """Goods for a mailer, an envelope or a tube, whose services may look at the thicknesses; or None."""
    packaging = oracle.read_packaging({**document, "cost": 0}, "USD")
    make = pillow if packaging.kind == "mailer" and rng.random() < 0.6 else boxes
    goods = make(rng, packaging, thicknesses, write_sides)
    for item in goods or ():
        item["weight"] = f"{oracle.decimal(rng.randint(1, 40) * rng.choice((10000, 28349, 50001)), 3)} g"
        for key, value, probability in (("bare", True, 0.3), ("contents", ["fragile"], 0.1), ("contents", ["media"], 0.1), ("shape", "soft", 0.2)):
            if rng.random() < probability:
                item[key] = value
    return goods or None
