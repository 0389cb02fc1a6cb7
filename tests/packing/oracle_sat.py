#!/usr/bin/env python3
"""Whether goods go into a room, asked of a general solver, against what the library says.

    oracle_sat.py ANSWERS [--first N] [--cases N] [--seconds S]

ANSWERS is the program tw_packing_answers. Written from the rules, not from the library: each start is a row of variables
`start >= v`, each turning a variable, and each pair is apart along one axis or another. Needs python-sat (PyPI).
Where the solver is not there, 77 is returned, which means that the test was skipped.
"""

import argparse
import itertools
import subprocess
import sys
import threading

try:
    from pysat.solvers import Glucose4
except ImportError:
    Glucose4 = None


class Model:
    def __init__(self, room, padding, walls, units):
        self.room, self.units = room, units
        self.clauses, self.names = [], 0
        self.turn, self.start = [], []
        for sides, up, _top, padded in units:
            wall = max(padding, walls) if padded else walls
            turnings = sorted({t for t in itertools.permutations(sides) if not up or t[2] == sides[2]})
            turnings = [t for t in turnings if all(s <= r - 2 * wall for s, r in zip(t, room))]
            chosen = {t: self.new() for t in turnings}
            self.turn.append(chosen)
            self.clauses.append(list(chosen.values()))
            rows = []
            for axis in range(3):
                # row[v] says start >= v, for v from wall + 1 to the last start that any turning has.
                last = max((room[axis] - wall - t[axis] for t in turnings), default=wall)
                row = {v: self.new() for v in range(wall + 1, last + 1)}
                for v in range(wall + 2, last + 1):
                    self.clauses.append([-row[v], row[v - 1]])
                for t, name in chosen.items():
                    self.deny(row, wall, room[axis] - wall - t[axis] + 1, [-name])
                rows.append((wall, row))
            self.start.append(rows)
        for i, j in itertools.combinations(range(len(units)), 2):
            self.pair(i, j, padding if units[i][3] or units[j][3] else 0)

    def new(self):
        self.names += 1
        return self.names

    def at_least(self, row, wall, v):
        """The literal `start >= v`: True, False, or a name."""
        if v <= wall:
            return True
        return row.get(v, False)

    def deny(self, row, wall, v, unless):
        literal = self.at_least(row, wall, v)
        if literal is True:
            self.clauses.append(unless)
        elif literal is not False:
            self.clauses.append(unless + [-literal])

    def before(self, i, j, axis, gap):
        """A name that, where true, keeps i before j along an axis."""
        name = self.new()
        wall_i, row_i = self.start[i][axis]
        wall_j, row_j = self.start[j][axis]
        for t, turned in self.turn[i].items():
            for v in range(wall_i, max(row_i, default=wall_i) + 1):
                left = self.at_least(row_i, wall_i, v)
                right = self.at_least(row_j, wall_j, v + t[axis] + gap)
                clause = [-name, -turned] + ([] if left is True else [-left])
                if right is False:
                    self.clauses.append(clause)
                elif right is not True:
                    self.clauses.append(clause + [right])
        return name

    def pair(self, i, j, gap):
        apart = [self.before(a, b, axis, gap) for axis in range(3) for a, b in ((i, j), (j, i))]
        self.clauses.append(apart)
        for under, over in ((i, j), (j, i)):
            if self.units[under][2]:
                # Footprints apart, or what is `over` ends below.
                foot = [self.before(a, b, axis, 0) for axis in range(2) for a, b in ((i, j), (j, i))]
                self.clauses.append(foot + [self.before(over, under, 2, 0)])

    def solve(self, seconds):
        with Glucose4(bootstrap_with=self.clauses) as solver:
            timer = threading.Timer(seconds, solver.interrupt)
            timer.start()
            answer = solver.solve_limited(expect_interrupt=True)
            timer.cancel()
            return answer


def main():
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("answers")
    parser.add_argument("--first", type=int, default=0)
    parser.add_argument("--cases", type=int, default=500)
    parser.add_argument("--seconds", type=float, default=20)
    arguments = parser.parse_args()
    if Glucose4 is None:
        print("python-sat is not installed: skipped")
        return 77
    done = subprocess.run([arguments.answers, str(arguments.first), str(arguments.cases)], capture_output=True, text=True, check=True)
    counts = {"fits": 0, "does not fit": 0, "unknown to the library": 0, "unknown to the solver": 0}
    wrong = 0
    for line in done.stdout.splitlines():
        number, room, fit, *rest = [[int(word) for word in part.split()] for part in line.split(";")]
        units = [(unit[:3], bool(unit[3]), bool(unit[4]), bool(unit[5])) for unit in rest]
        truth = Model(room[:3], room[3], room[4], units).solve(arguments.seconds)
        if fit[0] == 2:
            counts["unknown to the library"] += 1
        elif truth is None:
            counts["unknown to the solver"] += 1
        elif truth != (fit[0] == 0):
            wrong += 1
            print(f"{number[0]}: the library says {'fits' if fit[0] == 0 else 'does not fit'}, the solver the opposite: {line}")
        else:
            counts["fits" if truth else "does not fit"] += 1
    print(f"{arguments.cases} orders, {wrong} wrong: {counts}")
    return 1 if wrong or counts["fits"] < arguments.cases // 10 or counts["does not fit"] < arguments.cases // 10 else 0


if __name__ == "__main__":
    sys.exit(main())
