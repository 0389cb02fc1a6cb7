#!/usr/bin/env python3
"""Proves the slow pricer on how several goods lie in a carton (B2), and what a carton that may be cut down costs (A6, B2). Worked
out on paper, the reasons beside the figures; the data is invented."""

import csv
import io
import itertools
import json
import pathlib
import random
import sys
import tempfile
import unittest

sys.path.insert(0, str(pathlib.Path(__file__).parent))
import compare  # noqa: E402
import oracle  # noqa: E402
import packing  # noqa: E402
import thresholds  # noqa: E402
from small_tables import HERE, THERE, service, tables_of, tariff, thing  # noqa: E402

FRAGILE = ["fragile"]


def room(inside):
    return tuple(oracle.lengths(inside, 3))


def in_carton(inside, *items, padding=None):
    carton = oracle.read_packaging({"code": "c", "kind": "carton", "inside": inside, "wall": "0.15 in", "tare": "1 oz", "cost": 0}, "USD")
    return oracle.fit(carton, items, None if padding is None else oracle.length(padding)) is not None


def least(inside, *items, padding=None):
    """The least height of the inside, in inches."""
    padding = None if padding is None else oracle.length(padding)
    height = packing.least_height(oracle.units_of(items), room(inside), padding, oracle.FRAGILE_PADDING)
    return None if height is None else height / oracle.LENGTH_UNITS["in"]


class Places(unittest.TestCase):
    def test_beside_what_is_stacked(self):
        # Inside 8 wide and 6 high a box of 10 x 8 x 2 lies flat along the 15; two of them overlap along it (20 > 15), so the three are
        # stacked, 6 high, and the cube of 5 stands beside them: 10 + 5. As one pile they were 11 high.
        goods = thing("10 x 8 x 2 in", quantity=3), thing("5 x 5 x 5 in")
        self.assertTrue(in_carton("15 x 8 x 6 in", *goods))
        self.assertTrue(in_carton("17.75 x 11.75 x 9.5 in", *goods))
        self.assertFalse(in_carton("14.999999 x 8 x 6 in", *goods))
        self.assertFalse(in_carton("15 x 8 x 5.999999 in", *goods))
        self.assertTrue(in_carton("8 x 6 x 15 in", *goods))  # turned on its side it holds them too
        self.assertFalse(in_carton("8 x 6 x 15 in", thing("10 x 8 x 2 in", quantity=3, this_side_up=True), goods[1]))

    def test_no_straight_cut(self):
        # Four of 2 x 1 round a cube of 1, in 3 x 3: nothing parts them from wall to wall. All of the volume is taken.
        wheel = thing("2 x 1 x 1 in", quantity=4), thing("1 x 1 x 1 in")
        self.assertTrue(in_carton("3 x 3 x 1 in", *wheel))
        self.assertTrue(in_carton("3 x 1 x 3 in", *wheel))
        self.assertFalse(in_carton("3 x 3 x 1 in", thing("2 x 1 x 1 in", quantity=4), thing("1.000001 x 1 x 1 in")))
        # Of 3 x 3 x 3, six of 2 x 2 x 1 leave three cells, the known puzzle: cubes of 1 take them along the diagonal.
        self.assertTrue(in_carton("3 x 3 x 3 in", thing("2 x 2 x 1 in", quantity=6), thing("1 x 1 x 1 in", quantity=3)))

    def test_fragile_gaps(self):
        # 1 in to each wall, and 1 in once between: 1 + 4 + 1 + 4 + 1.
        cube = thing("4 x 4 x 4 in", contents=FRAGILE)
        self.assertTrue(in_carton("11 x 6 x 6 in", cube, cube))
        self.assertFalse(in_carton("10.999999 x 6 x 6 in", cube, cube))
        self.assertFalse(in_carton("11 x 6 x 5.999999 in", cube, cube))
        # Beside what is not fragile, which stands at the wall: 1 + 4 + 1 + 4.
        sound = thing("4 x 4 x 4 in")
        self.assertTrue(in_carton("10 x 6 x 6 in", cube, sound))
        self.assertFalse(in_carton("9.999999 x 6 x 6 in", cube, sound))
        # A padding that is given is kept to every wall, but between two that are not fragile nothing: 1 + 4 + 4 + 1.
        self.assertTrue(in_carton("10 x 6 x 6 in", sound, sound, padding="1 in"))
        self.assertFalse(in_carton("9.999999 x 6 x 6 in", sound, sound, padding="1 in"))
        self.assertTrue(in_carton("11 x 6 x 6 in", cube, sound, padding="1 in"))
        self.assertFalse(in_carton("10.999999 x 6 x 6 in", cube, sound, padding="1 in"))
        self.assertTrue(in_carton("8 x 4 x 4 in", cube, cube, padding="0 in"))
        # One axis is enough: two cubes of 1 corner to corner, apart by 1 along the first, by 0 along the others.
        self.assertTrue(in_carton("5 x 4 x 3 in", thing("1 x 1 x 1 in", contents=FRAGILE), thing("1 x 1 x 1 in", contents=FRAGILE)))

    def test_top_free(self):
        free, plain = (thing("4 x 4 x 2 in", may_stand=[3], top_free=free) for free in (True, False))
        self.assertTrue(in_carton("4 x 4 x 4 in", free, plain))
        self.assertFalse(in_carton("4 x 4 x 4 in", free, free))
        self.assertTrue(in_carton("8 x 4 x 2 in", free, free))  # they touch by an edge, and nothing is above
        # Nothing is above it at any height: a lid over both halves is no place for the third, though 4 in lie between.
        lid = thing("8 x 4 x 2 in", may_stand=[3])
        self.assertTrue(in_carton("8 x 4 x 4 in", free, free, lid))  # beneath them
        self.assertFalse(in_carton("8 x 4 x 20 in", thing("4 x 4 x 2 in", top_free=True, quantity=3, may_stand=[3])))
        # Fragile: parted upward by 1 in, and their outlines meet in an edge alone: it is not above. 1 + 2 + 1 + 2 + 1 high.
        glass = thing("4 x 4 x 2 in", top_free=True, contents=FRAGILE, may_stand=[3])
        self.assertTrue(in_carton("10 x 6 x 7 in", glass, glass))
        self.assertFalse(in_carton("9.999999 x 6 x 7 in", glass, glass))

    def test_bears(self):
        # Three in a column: the lowest bears the two above it together, though one alone rests on it.
        def column(bears):
            return in_carton("2 x 2 x 6 in", thing("2 x 2 x 2 in", "0.3 kg", bears=bears, quantity=3))
        self.assertTrue(column("0.6 kg"))
        self.assertFalse(column("0.599999999 kg"))
        # The heavy one below: what it bears is little, and what is on it is less.
        heavy, light = (thing("4 x 4 x 2 in", weight, bears="1 kg", this_side_up=True) for weight in ("5 kg", "0.9 kg"))
        self.assertTrue(in_carton("4 x 4 x 4 in", heavy, light))
        self.assertFalse(in_carton("4 x 4 x 4 in", heavy, heavy))
        # Of a range: its most.
        self.assertFalse(in_carton("4 x 4 x 4 in", thing("4 x 4 x 2 in", "4..5 kg", bears="4.5 kg", quantity=2, this_side_up=True)))

    def test_may_stand(self):
        standing = thing("10 x 4 x 2 in", may_stand=[1])
        self.assertTrue(in_carton("4 x 2 x 10 in", standing))
        self.assertTrue(in_carton("2 x 4 x 10 in", standing))
        self.assertFalse(in_carton("10 x 4 x 2 in", standing))
        self.assertTrue(in_carton("10 x 4 x 2 in", thing("10 x 4 x 2 in", may_stand=[1, 3])))
        self.assertFalse(in_carton("10 x 2 x 4 in", thing("10 x 4 x 2 in", may_stand=[1, 3])))
        two = thing("10 x 4 x 2 in", may_stand=[1], quantity=2)
        self.assertTrue(in_carton("4 x 4 x 10 in", two))
        self.assertFalse(in_carton("10 x 4 x 4 in", two))

    def test_least_height(self):
        # On each other 2 + 2, on their edges 4 too; beside each other 2, where there is room; on edge one on the other 8.
        two = thing("4 x 4 x 2 in", quantity=2)
        self.assertEqual(least("4 x 4 x 10 in", two), 4)
        self.assertEqual(least("8 x 4 x 10 in", two), 2)
        self.assertEqual(least("3 x 4 x 10 in", two), 8)
        self.assertIsNone(least("3 x 4 x 7.999999 in", two))
        self.assertEqual(least("8 x 4 x 10 in", two, padding="0.5 in"), 9)  # of 7 x 3 within
        self.assertEqual(least("5 x 5 x 10 in", two, padding="0.5 in"), 5)
        # Fragile on what is not: 2, 1 in between, 2, and 1 in to the lid; below it the same; two fragile: 1 more.
        fragile, sound = thing("4 x 4 x 2 in", contents=FRAGILE), thing("4 x 4 x 2 in")
        self.assertEqual(least("6 x 6 x 10 in", fragile, sound), 6)
        self.assertEqual(least("6 x 6 x 10 in", fragile, fragile), 7)
        self.assertEqual(least("6 x 6 x 10 in", fragile), 4)
        # 3 x 3 holds 1 x 1 x 4 on end alone.
        self.assertEqual(least("3 x 3 x 10 in", thing("1 x 1 x 4 in")), 4)
        self.assertEqual(least("4 x 3 x 10 in", thing("1 x 1 x 4 in", quantity=3)), 1)
        self.assertEqual(least("4 x 3 x 10 in", thing("1 x 1 x 4 in", quantity=4)), 2)

    def test_on_a_grid(self):
        """Whole sides need whole places only, for the least places are sums of sides and gaps: all of them are tried."""
        rng, met = random.Random(20260803), {True: 0, False: 0}
        while min(met.values()) < 40:
            inside = (rng.randint(1, 4), rng.randint(1, 3), rng.randint(1, 3))
            units = []
            for _ in range(rng.choice((2, 3, 3))):
                units.append(units[-1] if units and rng.random() < 0.3 else packing.Unit(
                    tuple(rng.randint(1, 3) for _ in range(3)), rng.choice(((0, 1, 2), (0, 1, 2), (2,), (0, 1))), rng.random() < 0.25,
                    rng.choice((None, None, 0, 1, 2, 3)), rng.randint(1, 2)))
            units, padding = tuple(units), rng.choice((None, None, 0, 1))
            if sum(u.sides[0] * u.sides[1] * u.sides[2] for u in units) <= inside[0] * inside[1] * inside[2]:
                fits = on_grid(units, inside, padding, [])
                self.assertEqual(packing.arrangement(units, inside, padding, 1) is not None, fits, (units, inside, padding))
                met[fits] += 1

    def test_undecided(self):
        # Too many for the search is told apart from what does not fit; too much for the room is never in doubt.
        units = oracle.units_of([thing("3 x 2 x 1 in", quantity=13)])
        with self.assertRaises(packing.Undecided):
            packing.arrangement(units, room("9 x 9 x 9 in"), 0, 0)
        self.assertIsNone(packing.arrangement(units, room("4 x 4 x 4 in"), 0, 0))
        with self.assertRaises(packing.Undecided):
            packing.arrangement(units[:6], room("6 x 4 x 1.9 in"), 0, 0, most_steps=1)


def on_grid(units, inside, padding, placed):
    if len(placed) == len(units):
        return not packing.faults(units, inside, padding, 1, placed)
    unit, first = units[len(placed)], len(placed)
    wall = packing.wall_gap(unit, padding, 1)
    for sides in packing.turnings(unit):
        for at in itertools.product(*(range(wall, inside[k] - wall - sides[k] + 1) for k in range(3))):
            if all(max(max(b[k] - at[k] - sides[k], at[k] - b[k] - t[k]) for k in range(3)) >= packing.gap_between(unit, other, padding, 1)
                   for other, (b, t) in zip(units[:first], placed)):
                if on_grid(units, inside, padding, placed + [(at, sides)]):
                    return True
    return False


class Arrangements(unittest.TestCase):
    """The check of arrangements sees what is wrong with them."""

    def setUp(self):
        shelf = {"format": "tarewise-shelf-1", "currency": "USD", "packaging": [
            {"code": "box", "title": "Box", "kind": "carton", "inside": "8 x 4 x 5 in", "wall": "0.5 in", "tare": "1 oz", "cost": 0,
             "cut_down": True, "least_height": "1 in"}]}
        self.tables = tables_of(tariff([service(prices=[{"amount": 5}])]), shelf)
        self.request = {"goods": [{"weight": "1 kg", "sides": "4 x 4 x 2 in", "quantity": 2, "top_free": True, "may_stand": [3]},
                                  {"weight": "1 kg", "sides": "1 x 4 x 2 in"}], "from": HERE, "to": THERE, "date": "2026-08-03"}
        # The third lies beneath the second, which then ends at 3 of 5.
        self.places = [(0, 0, "0 x 0 x 0 in", "4 x 4 x 2 in"), (0, 1, "4 x 0 x 1 in", "4 x 4 x 2 in"), (1, 0, "4 x 0 x 0 in", "2 x 4 x 1 in")]

    def wrong(self, places, sides="8 x 4 x 5 in", **offer):
        units = [dict(zip(("item", "unit", "at", "sides"), place)) for place in places]
        got = {"offers": [{"packaging": "box", **offer}],
               "arrangements": [{"packaging": "box", "sides": sides, "units": units, "steps": ["a"], **offer}]}
        return compare.arrangements_or_why_not(self.tables, self.request, got)

    def changed(self, index, **more):
        place = dict(zip(("item", "unit", "at", "sides"), self.places[index]), **more)
        return self.places[:index] + [tuple(place.values())] + self.places[index + 1:]

    def test_right(self):
        self.assertEqual(self.wrong(self.places), [])
        self.assertEqual(self.wrong(self.places, "8 x 4 x 3 in", cut_to="4 in"), [])  # walls of 0.5, 3 inside

    def test_wrong(self):
        for places, more, told in (
                (self.places, {"cut_to": "3.999999 in", "sides": "8 x 4 x 2.999999 in"}, "not inside"),
                (self.places, {"cut_to": "4 in"}, "not the inside"),
                (self.places, {"sides": "8 x 5 x 4 in"}, "not the inside"),
                (self.places[:2], {}, "lacks the units"),
                (self.places + self.places[:1], {}, "twice"),
                (self.changed(0, at="0.000001 x 0 x 0 in"), {}, "apart"),
                (self.changed(1, at="4.1 x 0 x 1 in"), {}, "not inside"),
                (self.changed(1, at="4 x 0 x 0.9 in"), {}, "apart"),
                (self.changed(0, sides="4 x 2 x 4 in"), {}, "may not lie"),
                (self.changed(2, sides="2 x 4 x 2 in"), {}, "may not lie"),
                (self.changed(2, at="4 x 0 x 4 in"), {}, "bears"),
                (self.changed(2, at="nowhere"), {}, "unreadable")):
            self.assertIn(told, " ".join(self.wrong(places, **more)), (places, more))
        self.request["padding"] = "0.1 in"
        self.assertIn("not inside", " ".join(self.wrong(self.places)))
        del self.request["padding"]
        self.request["goods"][0]["contents"] = FRAGILE
        self.assertIn("apart", " ".join(self.wrong(self.places)))

    def test_lacking(self):
        got = {"offers": [{"packaging": "box"}]}
        self.assertIn("no arrangement", " ".join(compare.arrangements(self.tables, self.request, got)))
        del self.request["goods"][1]
        self.request["goods"][0]["quantity"] = 1
        self.assertEqual(compare.arrangements(self.tables, self.request, got), [])
        self.assertNotEqual(self.wrong(self.places), [])  # one unit has none


class Elsewhere(unittest.TestCase):
    def fits(self, kind, *items, **more):
        p = {"code": "p", "kind": kind, "tare": "1 oz", "cost": 0, **more}
        return oracle.fit(oracle.read_packaging(p, "USD"), items, None)

    def test_not_upright(self):
        mailer = {"inside": "20 x 20 in"}
        self.assertIsNotNone(self.fits("mailer", thing("9 x 6 x 1 in"), **mailer))
        self.assertIsNotNone(self.fits("mailer", thing("9 x 6 x 1 in", may_stand=[3, 1, 2]), **mailer))
        self.assertIsNone(self.fits("mailer", thing("9 x 6 x 1 in", may_stand=[2, 3]), **mailer))
        self.assertIsNone(self.fits("tube", thing("9 x 1 x 1 in", may_stand=[1]), inside="5 x 30 in", wall="0.1 in"))
        self.assertIsNone(self.fits("envelope", thing("9 x 6 x 0.1 in", may_stand=[3]), inside="12 x 12 x 1 in"))

    def test_piles(self):
        # The shortest of the sides that may be upright: 6 of 9 x 6 x 1, twice; without a word 1, twice.
        bare = {"bare": True}
        inch = lambda text: oracle.lengths(text, 3)  # noqa: E731
        self.assertEqual(self.fits("bare", thing("9 x 6 x 1 in", quantity=2, **bare)), inch("9 x 6 x 2 in"))
        self.assertEqual(self.fits("bare", thing("9 x 6 x 1 in", quantity=2, may_stand=[1, 2], **bare)), inch("9 x 1 x 12 in"))
        self.assertEqual(self.fits("bare", thing("1 x 6 x 9 in", may_stand=[2], **bare)), inch("1 x 6 x 9 in"))
        self.assertEqual(self.fits("bare", thing("9 x 6 x 1 in", may_stand=[2], **bare), thing("7 x 7 x 2 in", **bare)), inch("9 x 7 x 8 in"))
        # What is free above, or bears only so much, is not piled; alone it lies as it is.
        for words in ({"top_free": True}, {"bears": "100 kg"}):
            self.assertIsNotNone(self.fits("bare", thing("9 x 6 x 1 in", **bare, **words)))
            self.assertIsNone(self.fits("bare", thing("9 x 6 x 1 in", quantity=2, **bare, **words)))
            self.assertIsNone(self.fits("mailer", thing("9 x 6 x 1 in"), thing("9 x 6 x 1 in", **words), inside="20 x 20 in"))
        self.assertIsNotNone(self.fits("mailer", thing("9 x 6 x 1 in"), thing("9 x 6 x 1 in", top_free=False), inside="20 x 20 in"))

    def test_estimate(self):
        # 1 in on each dimension of the pile, which is made whatever may be on top of it.
        asked = {"goods": [{"weight": "1 lb", "sides": "9 x 6 x 1 in", "quantity": 2, "top_free": True, "may_stand": [2]}],
                 "from": HERE, "to": THERE, "date": "2026-08-03"}
        offer, = oracle.rank(tables_of(tariff([service(prices=[{"amount": 5}])])), asked)["offers"]
        self.assertEqual(oracle.lengths(offer["parcel"]["sides"], 3), oracle.lengths("10 x 2 x 13 in", 3))


class Words(unittest.TestCase):
    def test_items(self):
        for words in ({"may_stand": []}, {"may_stand": [0]}, {"may_stand": [4]}, {"may_stand": [1, 1]}, {"may_stand": 1}, {"may_stand": "1"},
                      {"may_stand": [True]}, {"may_stand": ["1"]}, {"may_stand": [3], "this_side_up": True}, {"top_free": 1}, {"top_free": "true"},
                      {"bears": "0 kg"}, {"bears": 5}, {"bears": "5"}, {"bears": "1..2 kg"}, {"bears": "100000.000000001 kg"}, {"bear": "1 kg"}):
            with self.assertRaises((ValueError, TypeError, AttributeError), msg=words):
                thing("9 x 6 x 1 in", **words)
        item = thing("9 x 6 x 1 in", may_stand=[3, 1], this_side_up=False, top_free=False, bears="5 kg")
        self.assertEqual((item.may_stand, item.top_free, item.bears), ((0, 2), False, oracle.weight("5 kg")))

    CARTON = {"code": "box", "title": "Box", "kind": "carton", "inside": "12 x 9 x 4 in", "wall": "0.15 in", "tare": "4 oz", "cost": 0}

    def shelf(self, **more):
        return tables_of(tariff([service(prices=[{"amount": 5}])]),
                         {"format": "tarewise-shelf-1", "currency": "USD", "packaging": [{**self.CARTON, **more}]}).shelf[0]

    def test_shelf(self):
        self.assertEqual(self.shelf(cut_down=True, least_height="4.3 in").least_height, oracle.length("4.3 in"))
        self.assertIsNone(self.shelf(cut_down=False).least_height)
        for more in ({"cut_down": True}, {"cut_down": True, "least_height": "0 in"}, {"cut_down": True, "least_height": "4.300001 in"},
                     {"cut_down": "true", "least_height": "1 in"}, {"least_height": "1 in"}, {"cut_down": False, "least_height": "1 in"},
                     {"cut_down": True, "least_height": "1 in", "kind": "mailer", "inside": "9 x 9 in"}):
            with self.assertRaises((ValueError, KeyError), msg=more):
                self.shelf(**more)
        with self.assertRaises(ValueError):
            tables_of(tariff([service(prices=[{"amount": 5}])], packaging=[{**self.CARTON, "cut_down": True, "least_height": "1 in"}]))

    def test_shelf_as_rows(self):
        def read(**more):
            row = {**self.CARTON, "currency": "USD", "cut_down": "", "least_height": "", **more}
            text = io.StringIO()
            writer = csv.DictWriter(text, row)
            writer.writeheader()
            writer.writerow(row)
            with tempfile.TemporaryDirectory() as folder:
                path = pathlib.Path(folder) / "shelf.csv"
                path.write_text(text.getvalue(), encoding="utf-8")
                return oracle.Tables.load(folder).shelf[0].least_height
        self.assertEqual(read(cut_down="true", least_height="1 in"), oracle.length("1 in"))
        self.assertIsNone(read())
        self.assertIsNone(read(cut_down="false"))
        for more in ({"cut_down": "true"}, {"least_height": "1 in"}, {"cut_down": "yes", "least_height": "1 in"}):
            with self.assertRaises(oracle.TablesError, msg=more):
                read(**more)


class CutDown(unittest.TestCase):
    """A carton of 12 x 9 x 8 in, outside 0.3 in more; a price by the height of the parcel."""

    def ranked(self, rows, goods, least_height="1 in", **more):
        prices = [{"table": {"by": "height", "unit": "in", "columns": ["*"], "rows": rows}}]
        shelf = {"format": "tarewise-shelf-1", "currency": "USD", "packaging": [
            {"code": "box", "title": "Box", "kind": "carton", "inside": "12 x 9 x 8 in", "wall": "0.15 in", "tare": "4 oz", "cost": "0.50",
             "cut_down": True, "least_height": least_height}]}
        ranking = oracle.rank(tables_of(tariff([service(prices=prices, **more)]), shelf),
                              {"goods": goods, "from": HERE, "to": THERE, "date": "2026-08-03"})
        if not ranking["offers"]:
            return [reason["code"] for reason in ranking["refusals"][0]["reasons"]]
        offer = ranking["offers"][0]
        return offer["total"], offer.get("cut_to"), offer["parcel"]["sides"]

    def test_lower_total(self):
        mm = lambda text: oracle.show_length(oracle.length(text))  # noqa: E731
        sides = lambda text: oracle.show_sides(oracle.lengths(text, 3))  # noqa: E731
        one = [{"weight": "1 lb", "sides": "11 x 8 x 3 in"}]
        two = [{"weight": "1 lb", "sides": "11 x 8 x 3 in", "quantity": 2}]
        whole = (None, sides("12.3 x 9.3 x 8.3 in"))
        self.assertEqual(self.ranked([[3.3, 4], [9, 6]], one), ("4.50", mm("3.3 in"), sides("12.3 x 9.3 x 3.3 in")))
        self.assertEqual(self.ranked([[3.29, 4], [9, 6]], one), ("6.50", *whole))  # equal: whole
        self.assertEqual(self.ranked([[3.3, 6], [9, 4]], one), ("4.50", *whole))  # a lower total, not a lower carton
        self.assertEqual(self.ranked([[6.3, 4], [9, 6]], two), ("4.50", mm("6.3 in"), sides("12.3 x 9.3 x 6.3 in")))
        self.assertEqual(self.ranked([[6.29, 4], [9, 6]], two), ("6.50", *whole))
        # No lower than its least height.
        self.assertEqual(self.ranked([[5, 4], [9, 6]], one, "5 in"), ("4.50", mm("5 in"), sides("12.3 x 9.3 x 5 in")))
        self.assertEqual(self.ranked([[5, 4], [9, 6]], one, "5.000001 in"), ("6.50", *whole))
        # Fragile: 1 in below and above. 9 x 6 x 2 lies 2 + 2 high; 12 x 9 holds it beside another no more.
        glass = [{"weight": "1 lb", "sides": "9 x 6 x 2 in", "contents": FRAGILE}]
        self.assertEqual(self.ranked([[4.3, 4], [9, 6]], glass)[:2], ("4.50", mm("4.3 in")))
        self.assertEqual(self.ranked([[7.3, 4], [9, 6]], [{**glass[0], "quantity": 2}])[:2], ("4.50", mm("7.3 in")))
        self.assertEqual(self.ranked([[7.29, 4], [9, 6]], [{**glass[0], "quantity": 2}])[:2], ("6.50", None))

    def test_refused(self):
        # Whole it is past the only row, cut it is not; and the other way round.
        goods = [{"weight": "1 lb", "sides": "11 x 8 x 3 in"}]
        self.assertEqual(self.ranked([[4, 4]], goods)[0], "4.50")
        small = [{"when": {"height": {"under": "4 in"}}, "reason": "too small"}]
        self.assertEqual(self.ranked([[9, 4]], goods, refuse=small)[:2], ("4.50", None))
        # Neither: the reasons against the whole one.
        self.assertEqual(self.ranked([[4, 4]], goods, refuse=small), ["no_price"])
        self.assertEqual(self.ranked([[9, 4]], [{"weight": "1 lb", "sides": "13 x 8 x 3 in"}]), ["does_not_fit"])

    def test_range(self):
        # Cut to what the goods need at their most, wherever in the range they are.
        carton = oracle.read_packaging({**Words.CARTON, "cut_down": True, "least_height": "1 in"}, "USD")
        asked = {"goods": [{"weight": "1 lb", "sides": "11 x 8 x 2..3 in"}], "from": HERE, "to": THERE, "date": "2026-08-03"}
        ask = oracle.read_request(asked, tables_of(tariff([service(prices=[{"amount": 5}])])))
        for here in (ask, thresholds.at_low_end(ask), thresholds.with_size(ask, 0, 2, oracle.length("2.5 in"))):
            self.assertEqual(oracle.cut_height(carton, here.items, None), oracle.length("3.3 in"))

    def test_compared(self):
        # The comparison sees a height that is told and should not be, or is another.
        offer = {"carrier": "a", "service": "b", "packaging": "c", "cut_to": "1 in"}
        read = compare.FIELDS["cut_to"]
        self.assertEqual(read(offer), read({"cut_to": "25.4 mm"}))
        self.assertNotEqual(read(offer), read({}))


if __name__ == "__main__":
    unittest.main()
