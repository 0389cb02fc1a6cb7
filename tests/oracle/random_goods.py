"""Random goods of several units that just fit into a carton, or just do not: the carton's room is cut into cells, the padding that is
due left between them, and the cells become goods, turned and now and then a little larger. All of it is invented."""

import oracle

PADDINGS = ("1/2 in", "5 mm", "1/4 in", "0 in")
LEAST_SIDE = 2 * 10 ** 6
DEFAULT = oracle.length("1 in")


class Cell:
    """A place in the carton and what goes there."""

    def __init__(self, sides, fragile=False, quantity=1):
        self.sides, self.fragile, self.quantity = list(sides), fragile, quantity


def split(rng, cell, gap):
    """Two cells of one, `gap` apart, or None where they were too small."""
    axis = rng.choice([axis for axis in range(3) for _ in range(1 + 2 * (cell.sides[axis] == max(cell.sides)))])
    free = cell.sides[axis] - gap
    first = free * rng.choice((1, 1, 1, 2)) // rng.choice((2, 3, 3, 4, 5)) if rng.random() < 0.7 else rng.randint(1, max(1, free - 1))
    if min(first, free - first) < LEAST_SIDE:
        return None
    return [Cell([first if i == axis else side for i, side in enumerate(cell.sides)], cell.fragile),
            Cell([free - first if i == axis else side for i, side in enumerate(cell.sides)], cell.fragile)]


def repeat(rng, cell, gap):
    """Equal units in the place of one, or None."""
    times, axis = rng.choice((2, 2, 3, 3, 4)), rng.randrange(3)
    side = (cell.sides[axis] - (times - 1) * gap) // times
    if side < LEAST_SIDE:
        return None
    return Cell([side if i == axis else other for i, other in enumerate(cell.sides)], cell.fragile, times)


def pinwheel(rng, room):
    """Four cells round a fifth, seen along one axis: no straight cut parts them."""
    across = rng.randrange(3)
    i, j = [axis for axis in range(3) if axis != across]
    a, b, depth = room[i], room[j], room[across]
    x, y = a * rng.choice((1, 2)) // 5, b * rng.choice((1, 2)) // 5
    cells = []
    for of_i, of_j in ((a - x, y), (x, b - y), (a - x, y), (x, b - y), (a - 2 * x, b - 2 * y)):
        sides = [0, 0, 0]
        sides[i], sides[j], sides[across] = of_i, of_j, depth
        cells.append(Cell(sides))
    return cells[:rng.choice((4, 5, 5))]


def padded(room, by):
    return [side - 2 * by for side in room]


def cells_of(rng, room):
    """(cells, the text of the padding or None), or None where the room is too small for what was drawn."""
    text, gap, kind = None, 0, rng.randrange(8)
    if kind == 0 and min(room) > 10 * LEAST_SIDE:
        return pinwheel(rng, room), None
    cells = [Cell(room)]
    if kind in (1, 2):  # padding all round, nothing between
        text = rng.choice(PADDINGS)
        cells = [Cell(padded(room, oracle.length(text)))]
    elif kind in (3, 4, 5):  # what is fragile, beside what is not
        if rng.random() < 0.4:
            text = rng.choice(PADDINGS)
        gap = DEFAULT if text is None else oracle.length(text)
        cells = [Cell(padded(room, gap), True)]
        if kind == 5:
            axis = rng.randrange(3)
            wall = 0 if text is None else gap
            other = max(1, cells[0].sides[axis] * rng.choice((1, 1, 2)) // 3)
            cells[0].sides[axis] -= other - (gap - wall) + gap
            cells.append(Cell([other if i == axis else side for i, side in enumerate(padded(room, wall))]))
    if min(side for cell in cells for side in cell.sides) < LEAST_SIDE:
        return None
    for _ in range(rng.choice((0, 1, 1, 1, 2, 2, 3)) + (kind != 5)):
        cells.sort(key=lambda cell: cell.sides[0] * cell.sides[1] * cell.sides[2])
        parts = split(rng, cells[-1], gap if cells[-1].fragile else 0)
        if parts is not None:
            cells[-1:] = parts
    if rng.random() < 0.5:
        i = rng.randrange(len(cells))
        cells[i] = repeat(rng, cells[i], gap if cells[i].fragile else 0) or cells[i]
    return cells, text


def lie(rng, item, upright, weights):
    """How the item may lie: mostly so that its cell still suits."""
    pick = rng.random()
    if pick < 0.15:
        item["may_stand"] = sorted({upright + 1, rng.randint(1, 3)})
    elif pick < 0.2:
        item["may_stand"] = sorted(rng.sample((1, 2, 3), rng.choice((1, 2, 3))))
    elif pick < 0.3:
        item["this_side_up"] = upright == 2
    if rng.random() < 0.15:
        item["top_free"] = rng.random() < 0.9
    if rng.random() < 0.15:
        borne = sum(rng.sample(weights, rng.randint(1, len(weights)))) + rng.choice((0, 0, 1, -1))
        item["bears"] = f"{max(1, borne)} mg" if rng.random() < 0.5 else oracle.decimal(max(1, borne), 6) + " kg"


def several(rng, room, write_sides):
    """(goods, the text of the padding or None) of which the total weight is left to be shared out, or None."""
    drawn = cells_of(rng, room)
    if drawn is None:
        return None
    cells, padding = drawn
    weights = [rng.randint(1, 40) * rng.choice((10000, 28349, 50001)) for _ in cells]  # whole milligrams
    goods = []
    for cell, weight in zip(cells, weights):
        order = [0, 1, 2]
        rng.shuffle(order)
        sides = [max(1, cell.sides[i] + rng.choice((0,) * 24 + (1, 1, 10 ** 6, -10 ** 7, -1, -20 * 10 ** 6))) for i in order]
        item = {"weight": f"{oracle.decimal(weight, 3)} g", "sides": write_sides(rng, sides)}
        if cell.quantity > 1:
            item["quantity"] = cell.quantity
        if cell.fragile:
            item["contents"] = ["fragile"]
        lie(rng, item, order.index(2), [w for w, c in zip(weights, cells) for _ in range(c.quantity)])
        goods.append(item)
    if rng.random() < 0.2 and len(goods) > 1:  # two of one size, which differ in what they are
        goods[1]["sides"] = goods[0]["sides"]
    rng.shuffle(goods)
    return goods, padding
