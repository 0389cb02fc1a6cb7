#!/usr/bin/env python3
"""Proves the slow pricer of catalogues (B5), and that its comparison sees what differs. Worked out on paper; the data is invented."""

import pathlib
import sys
import unittest

sys.path.insert(0, str(pathlib.Path(__file__).parent))
import catalogues  # noqa: E402
import oracle  # noqa: E402
from small_tables import HERE, THERE, service, tables_of, tariff  # noqa: E402

CENT = 10000
NEAR = {"country": "US", "postal_code": "05602"}
BARE = {"code": "as-is", "title": "As it is", "kind": "bare", "tare": "0 oz", "cost": 0}
CARTON = {"code": "small", "title": "Small", "kind": "carton", "inside": "10 x 6 x 4 in", "wall": "0.1 in", "tare": "1 lb", "cost": 0.5}
SHELF = {"format": "tarewise-shelf-1", "currency": "USD", "packaging": [BARE, CARTON]}
# 3.00 up to a pound, 9.00 up to two, 10.00 up to three; with air 4.00 up to four, but none to the near place.
CHARTS = {"main": [{"kind": "one", "zone": "1"}], "far": [{"kind": "regions", "zones": {"1": ["US:98"]}}]}


def by_weight(*rows, **more):
    return service(prices=[{"table": {"by": "weight", "unit": "lb", "columns": ["*"], "rows": [list(row) for row in rows]}}], **more)


TABLES = tables_of(tariff([by_weight((1, 3), (2, 9), (3, 10)), by_weight((4, 4), code="air", zones="far")], zones=CHARTS), SHELF)
STEPS = tables_of(tariff([by_weight((1, 3), (2, 9), (3, 10))]), SHELF)


def priced(header, *lines, tables=TABLES, to=(THERE,), **more):
    """(the rows, what is expected of each, the case, its pricer)."""
    case = {"request": {"from": HERE, "date": "2026-08-03", **more.pop("request", {})}, "to": [dict(place) for place in to], **more}
    names = header.split(",")
    columns = catalogues.columns_of(names, "USD")
    rows = [catalogues.read_row(line.split(","), len(names), columns) for line in lines]
    pricer = catalogues.Pricer(tables, case, None)
    return rows, catalogues.answers(pricer, rows), case, pricer


def reasons(answers):
    return [answer.wrong or answer.reason for answer in answers]


def best(answer, lane=0):
    told = answer.lanes[lane][0]
    return told.total and told.total // CENT, told.service, told.packaging


class Reading(unittest.TestCase):
    def test_headers(self):
        names = ["SKU", "Weight (oz)", "Length (cm)", "width_mm", "height", "value_usd", "this_side_up", "Order", "monthly_sales"]
        self.assertEqual(catalogues.columns_of(names, "USD"), {"weight": (1, "oz"), "length": (2, "cm"), "width": (3, "mm"), "height": (4, ""),
                                                               "value": (5, ""), "this_side_up": (6, ""), "order": (7, "")})

    def test_cells(self):
        for what, cell, unit, wanted in (("weight", "2.5", "oz", "2.5 oz"), ("weight", "1 lb 3 oz", "", "1 lb 3 oz"), ("sides", "9 x 6 x 1", "in", "9 x 6 x 1 in"),
                                         ("length", "2", "cm", 2 * 10 ** 7), ("quantity", "10000", "", 10000), ("contents", "media; sharp", "", ["media", "sharp"]),
                                         ("bare", "YES", "", True), ("bare", "0", "", False)):
            self.assertEqual(catalogues.read_cell(what, cell, unit), wanted)
        for what, cell, unit in (("weight", "1 oz", "oz"), ("weight", "", ""), ("weight", "0", "oz"), ("sides", "9 x 6 in", ""), ("quantity", "10001", ""),
                                 ("quantity", "1.0", ""), ("value", "-1", ""), ("contents", "glass", ""), ("shape", "Box", ""), ("bare", "-", "")):
            with self.assertRaises((ValueError, KeyError), msg=(what, cell)):
                catalogues.read_cell(what, cell, unit)


class Orders(unittest.TestCase):
    def test_the_rows_of_an_order_are_one_parcel(self):
        _, found, _, _ = priced("weight,sides,bare,order", "1 lb,9 x 6 x 1 in,1,A", "1 lb,9 x 6 x 1 in,1,", "1 lb,9 x 6 x 1 in,1, A ", "1 lb,9 x 6 x 1 in,1,a",
                                tables=STEPS)
        self.assertEqual(reasons(found), ["", "", "in_order", ""])
        self.assertEqual([best(found[at])[0] for at in (0, 1, 3)], [900, 300, 300])

    def test_the_total_of_another_service(self):
        # 2 lb bare: air 4.00, parcel 9.00. 1 lb: parcel 3.00, air 4.00; in the carton 2 lb.
        _, found, _, _ = priced("weight,sides,bare", "2 lb,9 x 6 x 1 in,1", "1 lb,9 x 6 x 1 in,1")
        self.assertEqual([best(one) for one in found], [(400, "post/air", "as-is"), (300, "post/parcel", "as-is")])
        self.assertEqual([one.lanes[0][0].second // CENT for one in found], [900, 400])

    def test_where_there_is_no_offer(self):
        lines = "3 lb,12 x 1 x 1 in,", "2.5 lb,9 x 6 x 1 in,1", "9 lb,9 x 6 x 1 in,1", "4 lb,9 x 6 x 1 in,1"
        _, found, _, _ = priced("weight,sides,bare", *lines, to=(THERE, NEAR))
        self.assertEqual(reasons(found), ["fits_nothing", "", "offered_nowhere", "not_everywhere"])
        self.assertEqual([best(found[1], lane)[0] for lane in (0, 1)], [400, 1000])
        self.assertEqual(found[2].lanes[0][0].total, None)
        self.assertEqual(found[3].lanes[1][0].total, None)

    def test_what_is_wrong_is_of_the_whole_order(self):
        _, found, _, _ = priced("weight,sides,quantity,value,order", "1 lb,9 x 6 x 1 in,,,A", "heavy,9 x 6 x 1 in,,,A", "60000 kg,9 x 6 x 1 in,,,B",
                                "50000 kg,9 x 6 x 1 in,,,B", "1 g,1 x 1 x 1 mm,9999,,C", "1 g,1 x 1 x 1 mm,2,,C", "1 lb,9 x 6 x 1 in,,600000000,D",
                                "1 lb,9 x 6 x 1 in,,600000000,D", "60000 kg,9 x 6 x 1 in,2,,")
        self.assertEqual(reasons(found), ["order_not_priced", [("weight", "heavy")], "bad_weight", "order_not_priced", "bad_quantity", "order_not_priced",
                                          "bad_value", "order_not_priced", "bad_weight"])

    def test_several_parcels(self):
        lines = "1 lb,9 x 6 x 1 in,1,A", "1 lb,9 x 6 x 1 in,1,A", "24 kg,9 x 6 x 1 in,1,B", "1 kg,9 x 6 x 1 in,1,B"
        _, found, _, _ = priced("weight,sides,bare,order", *lines, tables=STEPS, parcels=2)
        self.assertEqual(reasons(found), ["", "in_order", "offered_nowhere", "in_order"])
        told, = found[0].lanes[0]
        self.assertEqual((told.total // CENT, told.parcels, told.packaging, told.second), (600, 2, "as-is", None))  # two at 3.00, not one at 9.00
        self.assertEqual(found[2].goods, {"lift_with_help"})
        _, found, _, _ = priced("weight,sides,bare,order", "15 kg,9 x 6 x 1 in,1,B", "15 kg,9 x 6 x 1 in,1,B", tables=STEPS, parcels=2)
        self.assertEqual(found[0].goods, set())  # each by itself
        _, found, _, _ = priced("weight,sides,bare,order", "15 kg,9 x 6 x 1 in,1,B", "15 kg,9 x 6 x 1 in,1,B", tables=STEPS)
        self.assertEqual(found[0].goods, {"lift_with_help"})

    def test_a_cover_that_nothing_shares(self):
        lines = "1 lb,9 x 6 x 1 in,1,A", "1 lb,9 x 6 x 1 in,1,A"
        _, found, _, _ = priced("weight,sides,bare,order", *lines, tables=STEPS, parcels=2, request={"cover": "5"})
        self.assertEqual(reasons(found), ["bad_value", "order_not_priced"])


class Mixes(unittest.TestCase):
    def test_means_and_quantiles(self):
        # 2.5 lb: 4.00 far, 10.00 near: (4 x 2 + 10) / 3 = 6.00; (4 x 1 + 10 x 2) / 3 = 8.00; two of seven at 10.00: 5.714...
        for shares, mean, half in ((["2", "1"], 600, 400), (["1", "2"], 800, 1000), (["5", "2"], 571, 400)):
            _, found, case, pricer = priced("weight,sides,bare", "2.5 lb,9 x 6 x 1 in,1", to=(THERE, NEAR), shares=shares, quantiles=["50", "100"])
            cells = catalogues.mix_cells(pricer, case, found[0].lanes, CENT)
            self.assertEqual(cells, [mean * CENT, 1000 * CENT, NEAR, half * CENT, 1000 * CENT])

    def test_none_where_a_place_with_a_share_has_none(self):
        for shares, mean in ((["2", "1"], None), (["2", "0"], 400 * CENT)):
            _, found, case, pricer = priced("weight,sides,bare", "4 lb,9 x 6 x 1 in,1", to=(THERE, NEAR), shares=shares)
            self.assertEqual(catalogues.mix_cells(pricer, case, found[0].lanes, CENT), [mean, 400 * CENT, THERE])

    def test_steps_that_totals_keep(self):
        self.assertEqual(catalogues.mean_step(TABLES, "2026-08-03", "USD"), CENT)
        kept = tables_of(tariff([by_weight((1, 3))], rounding={"line": 0.001, "total": 0.001}), SHELF)
        self.assertEqual(catalogues.mean_step(kept, "2026-08-03", "USD"), CENT // 10)


class Comparing(unittest.TestCase):
    def test_each_cell_counts(self):
        _, found, case, pricer = priced("weight,sides,bare,order", "1 lb,9 x 6 x 1 in,1,A", "1 lb,9 x 6 x 1 in,1,A")
        right = ["4.00", "post/air", "as-is", "9.00", "", ""]
        self.assertEqual(catalogues.differences(case, CENT, found[0], right, pricer), [])
        for at, other in enumerate(("4.01", "post/parcel", "small", "9.01", "fits_nothing", "lift_with_help")):
            for cell in {other, "" if right[at] else other}:
                self.assertTrue(catalogues.differences(case, CENT, found[0], [*right[:at], cell, *right[at + 1:]], pricer), (at, cell))
        self.assertEqual(catalogues.differences(case, CENT, found[1], ["", "", "", "", "in_order", ""], pricer), [])
        self.assertTrue(catalogues.differences(case, CENT, found[1], ["4.00", "", "", "", "in_order", ""], pricer))

    def test_reasons_in_words(self):
        _, found, case, pricer = priced("weight,sides,contents", "heavy,9 x 6 x 1 in,", "1 lb,9 x 6 x 1 in,media glass")
        for answer, right, wrong in ((found[0], 'weight: found "heavy", expected', 'sides: found "heavy"'), (found[0], 'weight: found "heavy"', "bad_weight"),
                                     (found[1], 'contents: found "glass"', 'contents: found "media"')):
            self.assertEqual(catalogues.differences(case, CENT, answer, ["", "", "", "", right, ""], pricer), [])
            self.assertTrue(catalogues.differences(case, CENT, answer, ["", "", "", "", wrong, ""], pricer))


if __name__ == "__main__":
    unittest.main()
