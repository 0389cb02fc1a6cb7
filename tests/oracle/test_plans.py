#!/usr/bin/env python3
"""Proves the slow planner (B9). Worked out on paper, the reasons beside the figures; the data is invented."""

import copy
import pathlib
import sys
import unittest

sys.path.insert(0, str(pathlib.Path(__file__).parent))
import oracle  # noqa: E402
import plans  # noqa: E402
from small_tables import HERE, THERE, service, tables_of, tariff  # noqa: E402

CENT = 10000


def by_weight(*rows, **more):
    """A service that asks so much up to so many pounds, one column for all zones."""
    return service(prices=[{"table": {"by": "weight", "unit": "lb", "columns": ["*"], "rows": [list(row) for row in rows]}}], **more)


STEPS = by_weight((1, 3), (2, 9), (3, 10))
BARE = {"code": "as-is", "title": "As it is", "kind": "bare", "tare": "0 oz", "cost": 0}


def shelf(*packaging):
    return {"format": "tarewise-shelf-1", "currency": "USD", "packaging": list(packaging)}


def carton(code, inside, cost, **more):
    return {"code": code, "title": code, "kind": "carton", "inside": inside, "wall": "0.1 in", "tare": "0 oz", "cost": cost, **more}


def thing(weight="1 lb", sides="9 x 6 x 1 in", **more):
    return {"weight": weight, "sides": sides, "bare": True, **more}


def order(documents, goods, most=2, parcels=None, **more):
    request = {"goods": goods, "from": HERE, "to": THERE, "date": "2026-08-03", "parcels": {"most": most, **(parcels or {})}, **more}
    return plans.Order(tables_of(*documents), request)


def sealed(documents, parcels, **more):
    return plans.Order(tables_of(*documents), {"sealed": parcels, "from": HERE, "to": THERE, "date": "2026-08-03", **more})


def costs(one):
    """[(dollars, parcels)] of every way, cheapest first."""
    return [(cost[1] / oracle.MILLION, parcels) for cost, parcels, _ in one.solved]


class Ways(unittest.TestCase):
    tables = tariff([by_weight((100, 1))]), shelf(BARE)

    def ways(self, goods, most, **parcels):
        return len(list(order(self.tables, goods, most, parcels).ways(most)))

    def test_each_way_once(self):
        different = [thing(weight=f"{n} lb") for n in (1, 2, 3, 4)]
        self.assertEqual(self.ways(different, 4), 15)  # Bell's number: 1 + 7 + 6 + 1
        self.assertEqual(self.ways(different, 2), 8)
        self.assertEqual(self.ways(different, 100), 15)
        self.assertEqual(self.ways([thing(quantity=4)], 4), 5)  # 4, 31, 22, 211, 1111
        self.assertEqual(self.ways([thing(quantity=2), thing("2 lb", quantity=2)], 4), 9)  # of a multiset aabb

    def test_what_is_interchangeable(self):
        pair = [thing(), thing("16 oz", title="another")]
        self.assertEqual(self.ways(pair + [thing("2 lb")], 3), 4)  # of a multiset aab: 5 ways to part 3 less one that is the same
        self.assertEqual(self.ways(pair + [thing("2 lb")], 3, together=[[0]]), 5)
        self.assertEqual(self.ways([thing(), thing(value="1.00")], 2), 2)
        self.assertEqual(len(order(self.tables, [thing(), thing(value="1.00")]).counts), 2)

    def test_together_and_apart(self):
        three = [thing(f"{n} lb") for n in (1, 2, 3)]
        self.assertEqual(self.ways(three, 3, together=[[0, 2]]), 2)
        self.assertEqual(self.ways(three, 3, apart=[[0, 2]]), 3)  # of the 5 not 012 and 02 1
        self.assertEqual(self.ways(three, 3, apart=[[0, 1, 2]]), 1)
        self.assertEqual(self.ways(three, 2, apart=[[0, 1, 2]]), 0)
        # All units of a list in one parcel: 2 of the first, or apart, of which two units may share a parcel.
        self.assertEqual(self.ways([thing(quantity=2), thing("2 lb")], 3, together=[[0]]), 2)
        self.assertEqual(self.ways([thing(quantity=2), thing("2 lb")], 3, apart=[[0, 1]]), 2)  # aa b, a a b


class Costs(unittest.TestCase):
    tables = tariff([STEPS]), shelf(BARE)

    def test_two_are_cheaper_than_one(self):
        two = order(self.tables, [thing(quantity=2)])
        self.assertEqual(costs(two), [(6, 2), (9, 1)])
        self.assertEqual(two.single().total, 900 * CENT)
        self.assertEqual(costs(order(self.tables, [thing(quantity=3)], 3)), [(9, 3), (10, 1), (12, 2)])
        self.assertEqual(costs(order(self.tables, [thing(quantity=3)], 2)), [(10, 1), (12, 2)])
        # Of four, one parcel is past the table: 2 + 2 is 18, 3 + 1 is 13, 2 + 1 + 1 is 15, four are 12.
        four = order(self.tables, [thing(quantity=4)], 4)
        self.assertEqual(costs(four), [(12, 4), (13, 2), (15, 3), (18, 2)])
        self.assertIsNone(four.single())

    def test_on_hand(self):
        # In the small carton one unit, in the large one both. Two small ones: 3.10 + 3.10. With one, the other is in the large: 3.10 + 4.
        def cost_with(small, **large):
            boxes = carton("small", "9 x 6 x 1 in", "0.10", **({} if small is None else {"on_hand": small})), carton("large", "9 x 6 x 2 in", "1.00", **large)
            return costs(order((tariff([STEPS]), shelf(*boxes)), [thing(quantity=2)]))
        self.assertEqual(cost_with(None), [(6.2, 2), (10, 1)])
        self.assertEqual(cost_with(2), [(6.2, 2), (10, 1)])
        self.assertEqual(cost_with(1), [(7.1, 2), (10, 1)])
        self.assertEqual(cost_with(0), [(8, 2), (10, 1)])
        self.assertEqual(cost_with(0, on_hand=1), [(10, 1)])
        self.assertEqual(cost_with(1, on_hand=1), [(7.1, 2), (10, 1)])

    def test_all_by(self):
        # `light` takes a pound for 3, `heavy` anything for 5 and only over a pound.
        light, heavy = by_weight((1, 3), code="light"), service(code="heavy", prices=[{"amount": 5}], refuse=[
            {"when": {"weight": {"up_to": "1 lb"}}, "code": "over_limit", "reason": "too light"}])
        goods = [thing(), thing("2 lb")]
        tables = tariff([light, heavy]), shelf(BARE)
        self.assertEqual(costs(order(tables, goods)), [(5, 1), (8, 2)])
        self.assertEqual(costs(order(tables, goods, parcels={"all_by": "carrier"})), [(5, 1), (8, 2)])
        self.assertEqual(costs(order(tables, goods, parcels={"all_by": "service"})), [(5, 1)])
        apart = order(tables, goods, parcels={"all_by": "service", "apart": [[0, 1]]})
        self.assertEqual((costs(apart), apart.obstacles(), apart.single()), ([], [("not_by_one", None)], None))

    def test_cover_is_shared(self):
        # Cover at 1 for each 1.00 begun. 10.00 over three of one value: 3.34 each, 4 each; over two and one: 6.67 and 3.34, 7 + 4.
        cover = {"code": "cover", "title": "Cover", "per": {"measure": "cover", "step": "1", "first": 1, "each": 1}}
        tables = tariff([by_weight((9, 1), extras=[cover])]), shelf(BARE)
        three = order(tables, [thing(value="5.00", quantity=3)], 3, cover="10.00")
        self.assertEqual(three.cover_of((1,)), 334 * CENT)
        self.assertEqual(three.cover_of((2,)), 667 * CENT)
        self.assertEqual(costs(three), [(11, 1), (13, 2), (15, 3)])
        free = order(tables, [thing(value="5.00"), thing("2 lb")], cover="10.00")
        self.assertEqual([free.cover_of(part) for part in ((1, 0), (0, 1))], [1000 * CENT, 0])
        self.assertEqual(costs(free), [(11, 1), (12, 2)])
        with self.assertRaises(ValueError):
            order(tables, [thing(quantity=3)], 3, cover="10.00")
        self.assertEqual(costs(order(tables, [thing(quantity=3)], 1, cover="10.00")), [(11, 1)])
        with self.assertRaises(ValueError):
            order(tables, [thing(quantity=3)], 3, amounts={"cash_on_delivery": "10.00"})

    def test_sealed(self):
        parcels = [{"weight": w, "sides": "9 x 6 x 1 in"} for w in ("2 lb", "1 lb")]
        self.assertEqual(costs(sealed(self.tables, parcels)), [(12, 2)])
        self.assertEqual(sealed(self.tables, parcels).solved[0][2], ((1, 0), (0, 1)))
        none = sealed(self.tables, parcels + [{"weight": "4 lb", "sides": "9 x 6 x 1 in"}])
        self.assertEqual((costs(none), none.obstacles()), ([], [("nothing_takes", [(0, 0, 1)])]))


class Obstacles(unittest.TestCase):
    def test_by_itself(self):
        tables = tariff([STEPS]), shelf(BARE)
        self.assertEqual(order(tables, [thing(quantity=4)], 1).obstacles(), [("more_parcels", 2)])
        self.assertEqual(order(tables, [thing("3 lb", quantity=4)], 3).obstacles(), [("more_parcels", 4)])
        self.assertEqual(order(tables, [thing("4 lb"), thing()], 3).obstacles(), [("nothing_takes", [(1, 0)])])
        self.assertEqual(order(tables, [thing("2 lb"), thing("2 lb", value=1)], 2, {"together": [[0, 1]]}).obstacles(), [("nothing_takes", [(1, 1)])])
        one = tariff([STEPS]), shelf(carton("small", "9 x 6 x 1 in", 0, on_hand=1))
        self.assertEqual(order(one, [thing(quantity=2)]).obstacles(), [("not_on_hand", None)])
        self.assertEqual(order(one, [thing(quantity=2)], 1).obstacles(), [("not_on_hand", None), ("more_parcels", 2)])  # neither alone is enough


class Comparison(unittest.TestCase):
    """A right answer has no faults, and each wrong one has."""

    def setUp(self):
        self.order = order((tariff([STEPS]), shelf(BARE)), [thing(quantity=2), thing("2 lb")], 3, {"plans": 2})
        light = self.parcel([(0, 1)], "3.00", "1 lb", "9 x 6 x 1 in")
        heavy = self.parcel([(1, 1)], "9.00", "2 lb", "9 x 6 x 1 in")
        both = self.parcel([(0, 1), (1, 1)], "10.00", "3 lb", "9 x 6 x 2 in")
        # Four pounds: past the table in one. 1 + 3 is 13, 2 + 2 is 18, three are 15.
        self.told = {"format": "tarewise-plans-1", "currency": "USD", "estimate": False, "proved": True, "at_least": "13.00", "single": None,
                     "plans": [{"total": "13.00", "days": None, "parcels": [both, light]}, {"total": "15.00", "days": None, "parcels": [
                         light, copy.deepcopy(light), heavy]}], "obstacles": [], "cautions": []}
        del self.told["plans"][0]["days"], self.told["plans"][1]["days"]

    @staticmethod
    def parcel(goods, total, weight, sides):
        offer = {"carrier": "post", "service": "parcel", "packaging": "as-is", "zone": "1", "days": None, "total": total, "at_risk": False,
                 "parcel": {"weight": weight, "sides": sides}, "charges": [{"code": "base", "amount": total}]}
        return {"goods": [{"item": item, "units": units} for item, units in goods], "offer": offer}

    def wrong(self, told=None):
        return [text for _, text in plans.differences(self.order, self.told if told is None else told)]

    def test_right(self):
        self.assertEqual(costs(self.order), [(13, 2), (15, 3), (18, 2)])
        self.assertEqual(self.wrong(), [])

    def test_each_fault_is_found(self):
        def change(path, value):
            told = copy.deepcopy(self.told)
            at = told
            for key in path[:-1]:
                at = at[key]
            at[path[-1]] = value
            self.assertNotEqual(self.wrong(told), [], path)
        change(["plans", 0, "total"], "12.00")
        change(["plans", 0, "parcels", 1, "offer", "total"], "2.00")
        change(["plans", 0, "parcels", 1, "goods", 0, "units"], 2)
        change(["plans", 0, "parcels"], self.told["plans"][0]["parcels"][::-1])
        change(["plans", 0, "parcels", 0, "offer", "service"], "other")
        change(["plans", 0, "parcels", 0, "offer", "charges"], [])
        change(["plans", 0, "days"], [1, 2])
        change(["plans"], self.told["plans"][::-1])
        change(["plans"], self.told["plans"][:1])
        change(["plans", 1], self.told["plans"][0])
        change(["single"], "9.00")
        change(["proved"], False)
        change(["at_least"], "12.99")
        change(["currency"], "EUR")
        change(["obstacles"], [{"code": "not_found", "text": "", "goods": []}])

    def test_a_dearer_choice_is_found(self):
        told = copy.deepcopy(self.told)
        self.order = order((tariff([STEPS]), shelf(BARE, {**BARE, "code": "wrapped", "cost": "0.50"})), [thing(quantity=2), thing("2 lb")], 3,
                           {"plans": 2})
        self.assertEqual(self.wrong(told), [])
        for parcel, total in ((0, "10.50"), (1, "3.50")):
            offer = told["plans"][0]["parcels"][parcel]["offer"]
            offer.update(packaging="wrapped", total=total)
        told["plans"][0]["total"] = told["at_least"] = "14.00"
        self.assertIn("plan 0: expected (0, 13000000) for ((1, 1), (1, 0)), got (0, 14000000)", self.wrong(told))


if __name__ == "__main__":
    unittest.main()
