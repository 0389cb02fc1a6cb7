"""B2, units in a carton: whether they go in, and how low they can be made to lie. Exact; slow, and meant to be seen through.

The argument. Two units with the padding that is due between them are parted by it along one of the three axes, in one of two
directions: six ways. Choose one for each pair, and a turning for each unit: then all that is asked along an axis is of the form
"this corner is at least so far behind that one", and the least corners that obey are longest paths from the wall. The goods go in
where for some choice these paths end before the far wall. What lies above a unit is a matter of the choice too:
a unit that is parted from another upward weighs on it, unless their outlines are also apart, by nothing, along another axis.
Counting the weight where outlines are not said to be apart counts too much at times, but then another choice counts it right; so
an arrangement exists exactly where one of the choices does. Choices are tried one after the other until one is left or none.
"""

import dataclasses
import functools
import itertools

MOST_STEPS = 20000  # then it is not decided
MOST_UNITS = 12


class Undecided(Exception):
    """Too many choices for this search; it says nothing of the goods."""


@dataclasses.dataclass(frozen=True, order=True)
class Unit:
    """One unit of the goods; which of its sides may be upright counts from 0."""
    sides: tuple
    upright: tuple = (0, 1, 2)
    fragile: bool = False
    limit: int = None  # the most that may be above it; None: anything, 0: nothing
    weight: int = 1


def turnings(unit):
    """B2: its sides along the carton's, the upright one third, each way once."""
    return sorted({tuple(unit.sides[i] for i in order) for order in itertools.permutations(range(3)) if order[2] in unit.upright})


def wall_gap(unit, padding, fragile_padding):
    """B2: `padding` as given to every wall; left out (None): the customary one around what is fragile."""
    if padding is not None:
        return padding
    return fragile_padding if unit.fragile else 0


def gap_between(a, b, padding, fragile_padding):
    """B2: once between two, where one of them is fragile."""
    if not (a.fragile or b.fragile):
        return 0
    return fragile_padding if padding is None else padding


class Axis:
    """Least distances along one axis: `far[a][b]` is how much further corner b must be than corner a; the last is the near wall."""

    def __init__(self, far):
        self.far = far

    def copy(self):
        return Axis([list(row) for row in self.far])

    def holds(self, a, b, distance):
        return self.far[a][b] >= distance

    def can(self, a, b, distance):
        return self.far[b][a] + distance <= 0

    def add(self, a, b, distance):
        """Asks for a distance, and all that follows from it; whether that can be."""
        if not self.can(a, b, distance):
            return False
        if not self.holds(a, b, distance):
            behind = list(self.far[b])
            for row in self.far:
                to = row[a] + distance
                for j, on in enumerate(behind):
                    if to + on > row[j]:
                        row[j] = to + on
        return True


class Search:
    """The choices for one set of units in one room."""

    def __init__(self, units, inside, padding, fragile_padding, most_steps):
        self.units, self.inside, self.steps_left = units, inside, most_steps
        self.walls = [wall_gap(unit, padding, fragile_padding) for unit in units]
        self.pairs = list(itertools.combinations(range(len(units)), 2))
        self.gap = {pair: gap_between(units[pair[0]], units[pair[1]], padding, fragile_padding) for pair in self.pairs}
        self.mirror_up = all(unit.limit is None for unit in units)
        self.mirror_x = len(set(units)) == len(units)

    def run(self):
        """[(corner, turned sides)] of the units, or None."""
        ways = []
        for unit, wall in zip(self.units, self.walls):
            ways.append([t for t in turnings(unit) if all(side + 2 * wall <= room for side, room in zip(t, self.inside))])
        room = self.inside[0] * self.inside[1] * self.inside[2]
        if not all(ways) or sum(u.sides[0] * u.sides[1] * u.sides[2] for u in self.units) > room:
            return None
        if len(self.units) > MOST_UNITS:
            raise Undecided(f"{len(self.units)} units")
        return self.turn(ways, [])

    def turn(self, ways, turned):
        """Turns one unit after the other; of equal units the later ones never come before the earlier in the list of turnings."""
        n = len(turned)
        if n == len(self.units):
            return self.place(turned)
        for t in ways[n]:
            if n and self.units[n] == self.units[n - 1] and t < turned[-1]:
                continue
            if all(self.any_way_apart(i, n, turned[i], t) for i in range(n)):
                found = self.turn(ways, turned + [t])
                if found is not None:
                    return found
        return None

    def any_way_apart(self, i, j, a, b):
        gap = self.gap[i, j] + self.walls[i] + self.walls[j]
        return any(x + y + gap <= room for x, y, room in zip(a, b, self.inside))

    def place(self, turned):
        """All choices for these turnings."""
        n, axes = len(turned), []
        for axis in range(3):
            near = [*self.walls, 0]
            back = [wall + t[axis] - self.inside[axis] for wall, t in zip(self.walls, turned)] + [0]
            axes.append(Axis([[0 if i == j else back[i] + near[j] for j in range(n + 1)] for i in range(n + 1)]))
        # Of equal units, turned alike, the later is named such that it is not to the left of the earlier.
        for i in range(n - 1):
            if self.units[i] == self.units[i + 1] and turned[i] == turned[i + 1] and not axes[0].add(i, i + 1, 0):
                return None
        return self.choose(turned, axes, [0] * n, [(pair, self.ways_apart(turned, pair)) for pair in self.pairs], True)

    def ways_apart(self, turned, pair):
        """[(what is asked, (who bears, what))] for a pair; what is asked is [(axis, before, behind, distance)]."""
        (i, j), gap = pair, self.gap[pair]
        found, across = [], []
        for axis, (a, b) in itertools.product((0, 1), ((i, j), (j, i))):
            found.append(([(axis, a, b, turned[a][axis] + gap)], None))
            across.append((axis, a, b, turned[a][axis]))
        for below, above in ((i, j), (j, i)):
            up = (2, below, above, turned[below][2] + gap)
            bears = self.units[below].limit is not None
            found.append(([up], (below, self.units[above].weight) if bears else None))
            if bears and gap:
                found += [([up, apart], None) for apart in across]
        return found

    def choose(self, turned, axes, borne, pairs, first):
        """Settles the pairs one by one, at each step the one with the fewest ways left."""
        self.steps_left -= 1
        if self.steps_left < 0:
            raise Undecided("too many steps")
        best, left = None, []
        for pair, ways in pairs:
            if any(load is None and all(axes[axis].holds(a, b, distance) for axis, a, b, distance in asked) for asked, load in ways):
                continue
            ways = [(asked, load) for asked, load in ways
                    if (load is None or borne[load[0]] + load[1] <= self.units[load[0]].limit) and
                    all(axes[axis].can(a, b, distance) for axis, a, b, distance in asked)]
            if not ways:
                return None
            left.append((pair, ways))
            if best is None or len(ways) < len(best[1]):
                best = left[-1]
        if best is None:
            n = len(turned)
            return [(tuple(axis.far[n][i] for axis in axes), t) for i, t in enumerate(turned)]
        rest = [other for other in left if other is not best]
        pair, ways = best
        for asked, load in self.without_mirrored(pair, ways) if first else ways:
            tried, loads = [axis.copy() for axis in axes], list(borne)
            if load is not None:
                loads[load[0]] += load[1]
            if all(tried[axis].add(a, b, distance) for axis, a, b, distance in asked):
                found = self.choose(turned, tried, loads, rest, False)
                if found is not None:
                    return found
        return None

    def without_mirrored(self, pair, ways):
        """Of the first pair one direction is enough where the mirrored arrangement is as good: along the second axis always, along
        the first where no equal units are named by it, upward where nothing has a limit."""
        mirrored = {0: self.mirror_x, 1: True, 2: self.mirror_up}
        return [(asked, load) for asked, load in ways if len(asked) > 1 or not mirrored[asked[0][0]] or asked[0][1] == pair[0]]


@functools.lru_cache(maxsize=100000)
def arrangement(units, inside, padding, fragile_padding, most_steps=None):
    """A place for each unit, [(corner, turned sides)] in their order, or None where there is none; raises Undecided."""
    order = sorted(range(len(units)), key=lambda i: (units[i].sides, units[i].upright, units[i].fragile,
                                                     -1 if units[i].limit is None else units[i].limit, units[i].weight))
    found = Search(tuple(units[i] for i in order), inside, padding, fragile_padding, MOST_STEPS if most_steps is None else most_steps).run()
    if found is None:
        return None
    placed = [None] * len(units)
    for place, i in zip(found, order):
        placed[i] = place
    wrong = faults(units, inside, padding, fragile_padding, placed)
    assert not wrong, wrong
    return placed


def least_height(units, inside, padding, fragile_padding):
    """B2: the least third side in which the units still go in, or None where they do not go in at all; raises Undecided. A lower
    one is looked for until there is none."""
    least, room = None, inside
    while room[2] > 0:
        placed = arrangement(units, room, padding, fragile_padding)
        if placed is None:
            break
        least = max(at[2] + sides[2] + wall_gap(unit, padding, fragile_padding) for unit, (at, sides) in zip(units, placed))
        room = (inside[0], inside[1], least - 1)
    return least


def faults(units, inside, padding, fragile_padding, placed):
    """Lines on what is wrong with an arrangement, unit by unit and pair by pair, whoever made it."""
    wrong = []
    for i, (unit, (at, sides)) in enumerate(zip(units, placed)):
        wall = wall_gap(unit, padding, fragile_padding)
        if tuple(sides) not in turnings(unit):
            wrong.append(f"unit {i} may not lie as {sides}")
        if any(x < wall or x + side + wall > room for x, side, room in zip(at, sides, inside)):
            wrong.append(f"unit {i} at {at} is not inside")
    above = [0] * len(units)
    for (i, (a, s)), (j, (b, t)) in itertools.combinations(enumerate(placed), 2):
        apart = [max(b[k] - a[k] - s[k], a[k] - b[k] - t[k]) for k in range(3)]
        if max(apart) < gap_between(units[i], units[j], padding, fragile_padding):
            wrong.append(f"units {i} and {j} are {max(apart)} apart")
        if apart[0] < 0 and apart[1] < 0:
            if b[2] > a[2]:
                above[i] += units[j].weight
            else:
                above[j] += units[i].weight
    for i, unit in enumerate(units):
        if unit.limit is not None and above[i] > unit.limit:
            wrong.append(f"unit {i} bears {above[i]}")
    return wrong + [f"{len(placed)} units for {len(units)}"] * (len(placed) != len(units))
