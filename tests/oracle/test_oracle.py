#!/usr/bin/env python3
"""Proves the slow pricer on published figures, each with its source, and on what the page says in so many words."""

import json
import pathlib
import sys
import unittest
from fractions import Fraction

sys.path.insert(0, str(pathlib.Path(__file__).parent))
import compare  # noqa: E402
import oracle  # noqa: E402
import thresholds  # noqa: E402
from small_tables import HERE, THERE, Examples, one, sealed, service, tables_of, tariff, thing  # noqa: E402


class Quantities(unittest.TestCase):
    def test_exact_units(self):
        # International yard and pound agreement, 1959.
        self.assertEqual(oracle.length("1 yd"), 914_400_000)
        self.assertEqual(oracle.length("1 in"), 25_400_000)
        self.assertEqual(oracle.length("1 mi"), 1_609_344_000_000)
        self.assertEqual(oracle.weight("1 lb"), 453_592_370_000)
        self.assertEqual(oracle.weight("1 oz"), 28_349_523_125)
        self.assertEqual(oracle.volume("1 ft3"), oracle.half_up(Fraction("28316.846592") * 10 ** 21))

    def test_written_forms(self):
        self.assertEqual(oracle.length("12-3/8 in"), oracle.length("12.375 in"))
        self.assertEqual(oracle.length("1 ft 2 in"), oracle.length("14in"))
        self.assertEqual(oracle.weight("1 lb 3 oz"), oracle.weight("19 oz"))
        self.assertEqual(oracle.lengths("12-3/8 x 9 × 6 in", 3), oracle.lengths("12.375in X 9 in x 6 in", 3))
        self.assertEqual(oracle.volume("1.5 l"), oracle.volume("1500 cm3"))
        self.assertEqual(oracle.weight("0.3333333333 lb"), oracle.half_up(Fraction("0.3333333333") * 453_592_370_000))
        for bad in ("3 oz 1 lb", "-1 lb", "1e3 g", "1", "1 stone", "", "1 lb 1 lb", "1/0 lb", 5):
            with self.assertRaises(ValueError, msg=bad):
                oracle.weight(bad)
        for bad in ("1 x 2 in", "1 in x 2 x 3 in", "1 x 2 x 3"):
            with self.assertRaises(ValueError, msg=bad):
                oracle.lengths(bad, 3)
        for bad in ("0.0000001", "-1", "1e2", -1, True, "USD 1"):
            with self.assertRaises(ValueError, msg=bad):
                oracle.money(bad)

    def test_published_rounding(self):
        # Domestic Mail Manual P013, archive of 10 Aug 2003: rounding off and rounding up.
        cent = 10_000
        for amount, off in (("3.376", "3.38"), ("3.374", "3.37")):
            self.assertEqual(oracle.rounded(oracle.money(amount), cent, "half_up"), oracle.money(off))
        for amount in ("3.3701", "3.379"):
            self.assertEqual(oracle.rounded(oracle.money(amount), cent, "up"), oracle.money("3.38"))
        # By definition of the modes; a negative amount by its magnitude.
        self.assertEqual(oracle.rounded(-125_000, cent, "half_up"), -130_000)
        self.assertEqual(oracle.rounded(125_000, cent, "half_even"), 120_000)
        self.assertEqual(oracle.rounded(135_000, cent, "half_even"), 140_000)
        self.assertEqual(oracle.rounded(129_999, cent, "down"), 120_000)

    def test_any_fraction_of_a_pound_goes_up(self):
        # DMM 123.1.2, May 2007; Postal Bulletin 22218, Nov 2007; DMM 223.1.1a, Jan 2024; DMM 173.1.3, Jan 2006.
        pound = {"round": "up", "to": oracle.weight("1 lb")}
        for given, billed in (("1.2 lb", 2), ("5.2 lb", 6), ("0.08 lb", 1), ("4.225 lb", 5), ("5 lb", 5)):
            self.assertEqual(oracle.rounded_quantity(oracle.weight(given), pound), billed * pound["to"])


class Zones(unittest.TestCase):
    # Bands of the Act of 24 August 1912, ch. 389, sec. 8, 37 Stat. 557-558.
    BANDS = [{"zone": str(z), "up_to": f"{miles} mi"} for z, miles in
             enumerate((50, 150, 300, 600, 1000, 1400, 1800), 1)] + [{"zone": "8"}]

    def test_great_circle(self):
        # Points from memory, distance derived: on 6371.0088 km, 2886.448430 km = 1793.555902 mi, so zone 7.
        metres = oracle.great_circle_metres((36.12, -86.67), (33.94, -118.40))
        self.assertAlmostEqual(metres / 1000, 2886.448430, 6)
        self.assertAlmostEqual(metres / 1609.344, 1793.555902, 6)
        chart = oracle.read_chart({"kind": "distance", "bands": self.BANDS, "same": {"prefix": 5, "zone": "L"}})
        gazetteer = {("US", "372"): (36.12, -86.67), ("US", "9"): (0.0, 0.0), ("US", "900"): (33.94, -118.40)}
        a, b = oracle.Place("US", "37214"), oracle.Place("US", "90045")
        self.assertEqual(oracle.chart_zone(chart, a, b, gazetteer), "7")
        self.assertEqual(oracle.chart_zone(chart, a, oracle.Place("US", "372141234"), gazetteer), "L")
        self.assertEqual(oracle.chart_zone(chart, a, oracle.Place("US", "37215"), gazetteer), "1")
        self.assertIsNone(oracle.chart_zone(chart, a, oracle.Place("US", "10001"), gazetteer))

    def test_areas(self):
        # By the page: the longest prefix wins, ranges are inclusive, the first chart that answers wins.
        chart = oracle.read_chart({"kind": "regions", "zones": {
            "I": ["US:969", "US:006-009"], "EU": ["FR", "DE"], "N": ["US"], "X": ["US:96799"]}})
        for country, code, zone in (("US", "96910", "I"), ("US", "006", "I"), ("US", "00999", "I"), ("US", "010", "N"),
                                    ("DE", "10115", "EU"), ("US", "96799-1234", "X"), ("US", "96", "N"), ("GB", "", None)):
            place = oracle.read_place({"country": country, "postal_code": code})
            self.assertEqual(oracle.chart_zone(chart, None, place, {}), zone, code)
        british = oracle.read_chart({"kind": "regions", "zones": {
            "PA": ["GB:PA"], "2": ["GB:PA2"], "R": ["GB:PA20-80"], "S": ["GB:PA2 0", "GB:PA201"], "W": ["GB:PA2 0AA"],
            "E": ["GB:EC1"], "A": ["GB:EC1A"], "B": ["GB:B"], "F": ["GB:BFPO 40-70"], "G": ["GB:GIR"]}})
        for code, zone in (("PA1 1AA", "PA"), ("PA2 1AA", "2"), ("PA20 8XX", "R"), ("PA80 1AA", "R"), ("PA81 1AA", "PA"),
                           ("PA2 0AB", "S"), ("PA20 1AB", "S"), ("PA2 0AA", "W"), ("EC1M 2AA", "E"), ("EC1A 1BB", "A"),
                           ("EC10 1AA", None), ("B1 1AA", "B"), ("BA1 1AA", None), ("BFPO 61", "F"), ("BFPO 610", None),
                           ("GIR 0AA", "G"), ("", None)):
            place = oracle.read_place({"country": "GB", "postal_code": code})
            self.assertEqual(oracle.chart_zone(british, None, place, {}), zone, code)
        for wrong in ("GB:AB-AL", "GB:PA20-KW3", "GB:PA8-2", "GB:W1A-1K", "GB:PA2 0-4"):
            self.assertRaises(ValueError, oracle.read_area, wrong)
        same = lambda a, b, size: oracle.same_british(oracle.read_code(a), oracle.read_code(b), size)  # noqa: E731
        self.assertEqual([same("PA2 0AA", "PA20 8XX", n) for n in (1, 2, 3, 4)], [True, True, False, False])
        self.assertEqual([same("EC1A 1BB", "EC1M 2AA", n) for n in (3, 4)], [True, False])
        self.assertEqual([same("PA2 0AA", "PA2 0XX", n) for n in (4, 5)], [True, False])
        gazetteer = {("GB", "PA"): (1.0, 1.0), ("GB", "PA2"): (2.0, 2.0), ("GB", "PA2 0"): (3.0, 3.0), ("GB", ""): (4.0, 4.0)}
        self.assertEqual([oracle.point_of(gazetteer, oracle.Place("GB", code))[0]
                          for code in ("PA200AA", "PA29AA", "PA20AA", "B11AA", "")], [1.0, 2.0, 3.0, 4.0, 4.0])
        pairs = oracle.read_chart({"kind": "pairs", "from": {
            "US:050-059": {"1": ["US:050-059"], "2": ["US:060-078"]}, "US": {"5": ["US"]}}})
        at = lambda a, b: oracle.chart_zone(pairs, oracle.Place("US", a), oracle.Place("US", b), {})  # noqa: E731
        self.assertEqual((at("05401", "05999"), at("05401", "07800"), at("05401", "98101"), at("10001", "05401")),
                         ("1", "2", None, "5"))


class ParcelPost1913(unittest.TestCase):
    """Act of 24 August 1912, ch. 389, sec. 8; the 11-lb column as printed in the Jasper County Democrat, 7 Dec 1912."""
    RATES = {  # zone: first pound, each further pound (cents), 11 lb as printed
        "local": (5, 1, "0.15"), "1": (5, 3, "0.35"), "2": (6, 4, "0.46"), "3": (7, 5, "0.57"), "4": (8, 6, "0.68"),
        "5": (9, 7, "0.79"), "6": (10, 9, "1.00"), "7": (11, 10, "1.11"), "8": (12, 12, "1.32")}

    def setUp(self):
        prices = [{"when": {"zone": {"is": zone}}, "per": {"measure": "weight", "step": "1 lb", "first": first / 100,
                                                           "each": each / 100}}
                  for zone, (first, each, _) in self.RATES.items()]
        self.post = Examples(tariff([service(prices=prices, refuse=[
            {"when": {"any": [{"weight": {"over": "11 lb"}}, {"length_plus_girth": {"over": "72 in"}}]},
             "reason": "over 11 lb or 72 in"}])]))

    def test_all_zones_all_pounds(self):
        for zone, (first, each, printed) in self.RATES.items():
            for pounds in range(1, 12):
                expected = f"{(first + each * (pounds - 1)) / 100:.2f}"
                self.assertEqual(self.post.price(f"{pounds} lb", "10 x 8 x 4 in", zone), expected)
                # "a fraction of a pound": the same Act charges each further pound or part.
                self.assertEqual(self.post.price(f"{pounds - 1}.01 lb", "10 x 8 x 4 in", zone), expected)
            self.assertEqual(self.post.price("11 lb", "10 x 8 x 4 in", zone), printed)

    def test_limits(self):
        self.assertEqual(self.post.price("11.001 lb", "10 x 8 x 4 in", "1"), ["over_limit"])
        self.assertEqual(self.post.price("11 lb", "24 x 12 x 12 in", "1"), "0.35")
        self.assertEqual(self.post.price("11 lb", "24.001 x 12 x 12 in", "1"), ["over_limit"])


class ParcelPost2004(unittest.TestCase):
    """DMM R700.1.1, Parcel Post, Inter-BMC/ASF machinable, archive of 9 Dec 2004."""
    GRID = """
        1 3.69 3.75 3.75 3.75 3.75 3.75 3.75
        2 3.85 3.85 4.14 4.14 4.49 4.49 4.49
        3 4.65 4.65 5.55 5.65 5.71 5.77 6.32
        4 4.86 5.20 6.29 6.93 7.14 7.20 7.87
        5 5.03 5.71 6.94 7.75 8.58 8.64 9.43
        6 5.63 6.01 7.44 8.50 9.52 9.90 11.49
        7 5.80 6.28 7.91 9.20 10.35 11.39 12.83
        8 5.98 6.53 8.30 9.84 11.11 12.54 15.04
        9 6.11 6.76 8.74 10.45 11.83 13.38 17.04
        10 6.28 7.57 9.10 11.01 12.50 14.17 18.14
        11 6.41 7.80 9.47 11.54 13.13 14.92 19.15
        12 6.54 8.01 9.80 12.04 13.72 15.62 20.10
        13 6.67 8.19 10.12 12.51 14.28 16.27 20.99
        14 6.80 8.42 10.43 12.95 14.81 16.90 21.84
        15 6.92 8.61 10.73 13.38 15.31 17.49 22.64
        16 7.02 8.79 11.00 13.78 15.79 18.05 23.41
        17 7.15 8.94 11.28 14.16 16.24 18.59 24.13
        18 7.25 9.11 11.52 14.52 16.68 19.09 24.82
        19 7.37 9.28 11.77 14.87 17.09 19.58 25.48
        20 7.46 9.43 11.98 15.20 17.48 20.05 26.12
        21 7.57 9.59 12.20 15.52 17.86 20.49 26.72
        22 7.66 9.72 12.42 15.82 18.22 20.92 27.30
        23 7.76 9.89 12.65 16.11 18.57 21.32 27.85
        24 7.83 10.01 12.83 16.39 18.90 21.72 28.39
        25 7.93 10.14 13.03 16.66 19.22 22.09 28.90
        26 8.01 10.27 13.21 16.92 19.53 22.46 29.39
        27 8.11 10.40 13.38 17.17 19.83 22.81 29.87
        28 8.18 10.52 13.58 17.41 20.11 23.14 30.32
        29 8.27 10.65 13.75 17.64 20.39 23.47 30.76
        30 8.35 10.76 13.90 17.87 20.65 23.78 31.19
        31 8.44 10.86 14.06 18.08 20.91 24.08 31.60
        32 8.50 10.99 14.22 18.29 21.16 24.37 32.00"""
    ZONES = ["1", "3", "4", "5", "6", "7", "8"]  # "1" stands for the printed column of zones 1 and 2

    def setUp(self):
        rows = [[float(cell) for cell in line.split()] for line in self.GRID.split("\n") if line.strip()]
        self.rows = rows
        self.post = Examples(tariff([service(
            measure={"weight": {"round": "up", "to": "1 lb"}, "at_least": [
                {"when": {"length_plus_girth": {"over": "84 in"}, "weight": {"under": "15 lb"}}, "weight": "15 lb"}]},
            refuse=[{"when": {"length_plus_girth": {"over": "108 in"}}, "reason": "over 108 in"}],
            prices=[{"table": {"by": "billable_weight", "unit": "lb", "columns": self.ZONES, "rows": rows}}])]))

    def test_every_cell(self):
        for row in self.rows:
            for zone, cell in zip(self.ZONES, row[1:]):
                self.assertEqual(self.post.price(f"{row[0]:.0f} lb", "10 x 8 x 4 in", zone), f"{cell:.2f}")
                self.assertEqual(self.post.price(f"{row[0] - 1:.0f}.001 lb", "10 x 8 x 4 in", zone), f"{cell:.2f}")
        self.assertEqual(self.post.price("32.001 lb", "10 x 8 x 4 in", "5"), ["no_price"])

    def test_derived_lookups(self):
        # Derived from the printed grid and the balloon rule. 90 in: 30 + 2 x (20 + 10). 84 in: 24 + 2 x (20 + 10).
        self.assertEqual(self.post.price("4.01 lb", "12 x 9 x 6 in", "5"), "7.75")
        self.assertEqual(self.post.price("10.0 lb", "12 x 9 x 6 in", "8"), "18.14")
        self.assertEqual(self.post.price("6.5 lb", "30 x 20 x 10 in", "4"), "10.73")
        self.assertEqual(self.post.price("16 lb", "30 x 20 x 10 in", "4"), "11.00")
        self.assertEqual(self.post.price("6.5 lb", "24 x 20 x 10 in", "4"), "7.91")
        self.assertEqual(self.post.price("6.5 lb", "24.001 x 20 x 10 in", "4"), "10.73")
        self.assertEqual(self.post.price("6.5 lb", "49 x 20 x 10 in", "4"), ["over_limit"])


    def test_thresholds(self):
        # Derived from the printed grid: 4.01 lb to zone 5 is in the row of 5 lb (7.75), and the row of 4 lb is 6.93; 84 in of
        # length plus girth are the balloon rule's edge.
        tables = tables_of(tariff([service(
            measure={"weight": {"round": "up", "to": "1 lb"}, "at_least": [
                {"when": {"length_plus_girth": {"over": "84 in"}, "weight": {"under": "15 lb"}}, "weight": "15 lb"}]},
            prices=[{"table": {"by": "billable_weight", "unit": "lb", "columns": self.ZONES, "rows": self.rows}}])],
            zones={"main": [{"kind": "one", "zone": "5"}]}))
        ask = oracle.read_request(sealed("4.01 lb", "30 x 15 x 10 in"), tables)
        packed = oracle.packed_in(tables, ask, "own")
        room = thresholds.headroom(tables, ask, packed, "post", "parcel")
        self.assertEqual(room, {"weight": oracle.weight("0.99 lb"), "length": oracle.length("4 in"), "width": oracle.length("2 in"),
                                "height": oracle.length("2 in")})
        # 0.01 lb is 0.16 oz, so two steps of a tenth of an ounce.
        self.assertEqual(thresholds.savers(tables, ask, packed), {"weight": (2, oracle.money("6.93"))})
        balloon = oracle.read_request(sealed("6.5 lb", "34.3 x 15 x 10 in"), tables)
        packed = oracle.packed_in(tables, balloon, "own")
        self.assertEqual(oracle.total_of(tables, balloon, packed, "post", "parcel"), oracle.money("13.38"))
        found = thresholds.savers(tables, balloon, packed)
        self.assertEqual(found["length"], (3, oracle.money("9.20")))  # 0.3 in: three steps of an eighth
        self.assertEqual(found["height"], (2, oracle.money("9.20")))  # counts twice: 0.15 in
        self.assertNotIn("weight", found)
        varied = oracle.read_request(sealed("3.5..4.01 lb", "30 x 15 x 10 in"), tables)
        totals, exact = thresholds.totals_over(tables, varied, "own", "post", "parcel", None)
        self.assertEqual((set(totals), exact), ({oracle.money("6.93"), oracle.money("7.75")}, True))
        risky = oracle.read_request({**sealed("4 lb", "30 x 17 x 10 in"), "tolerance": {"weight": "0.1 oz", "sides": "0.25 in"}}, tables)
        self.assertEqual(thresholds.worst_within(tables, risky, oracle.packed_in(tables, risky, "own"), "post", "parcel"),
                         (oracle.money("13.38"), False))


class FarZonesDimensional2007(unittest.TestCase):
    """Quick Service Guide 120, July 2007, with DMM 123.1.4 (May 2007) and 423.1.3 (May 2008)."""
    ROWS = [[1, 4.60, 4.60, 4.60, 4.60, 4.60, 4.60, 4.60], [2, 4.60, 4.90, 5.30, 6.20, 6.55, 7.00, 7.50],
            [3, 5.05, 5.70, 6.40, 8.25, 9.10, 9.65, 10.55], [4, 5.70, 6.65, 7.70, 10.20, 11.10, 12.20, 13.45],
            [5, 6.30, 7.55, 8.90, 11.90, 12.90, 14.35, 15.85]]

    def setUp(self):
        own = {"table": {"by": "billable_weight", "unit": "lb", "columns": ["L", "3", "4", "5", "6", "7", "8"],
                         "rows": self.ROWS}}
        self.document = tariff(
            [service(packaging={"own": True, "issued": ["flat-box"]},
                     measure={"sides": {"round": "nearest", "to": "1 in"}, "irregular_factor": 0.785,
                              "weight": {"round": "up", "to": "1 lb"}, "dimensional": [
                                  {"when": {"zone": {"is": ["5", "6", "7", "8"]}, "volume": {"over": "1728 in3"}},
                                   "volume_per_weight": "194 in3/lb", "at_most": "70 lb"}]},
                     refuse=[{"when": {"weight": {"over": "70 lb"}}, "reason": "over 70 lb"}],
                     prices=[{"when": {"packaging": {"is": "flat-box"}}, "amount": 8.95},
                             {"when": {"own_packaging": True}, **own}])],
            zones={"main": [{"kind": "regions", "zones": {"8": ["US:9"], "L": ["US:05"]}}]},
            packaging=[{"code": "flat-box", "title": "Flat box", "kind": "carton", "inside": "11 x 8-1/2 x 5-1/2 in",
                        "wall": "0.1 in", "tare": "0 oz", "cost": 0}])
        self.post = Examples(self.document)

    def billed(self, weight, sides, zone, **parcel):
        self.post.price(weight, sides, zone, **parcel)
        return Fraction(self.post.billable, oracle.weight("1 lb"))

    def test_sides_rounded_off(self):
        inch = {"round": "nearest", "to": oracle.length("1 in")}
        self.assertEqual(oracle.rounded_quantity(oracle.length("20-1/4 in"), inch), oracle.length("20 in"))
        self.assertEqual(oracle.rounded_quantity(oracle.length("20-3/4 in"), inch), oracle.length("21 in"))

    def test_billable_weights(self):
        # Derived from the rule.
        self.assertEqual(self.billed("3 lb", "12 x 12 x 14 in", "8"), 11)
        self.assertEqual(self.billed("3 lb", "14 x 14 x 12 in", "8", shape="irregular"), 10)
        self.assertEqual(self.billed("3 lb", "13 x 13 x 13 in", "8", shape="irregular"), 3)
        self.assertEqual(self.billed("3 lb", "12 x 12 x 12 in", "8"), 3)
        self.assertEqual(self.billed("3 lb", "12.5 x 12 x 12 in", "8"), 10)  # 13 x 144 = 1872, 9.65
        self.assertEqual(self.billed("3 lb", "12.499 x 12.4 x 12.3 in", "8"), 3)
        self.assertEqual(self.billed("3 lb", "12 x 12 x 14 in", "4"), 3)
        self.assertEqual(self.billed("3 lb", "50 x 40 x 20 in", "8"), 70)

    def test_flat_box_against_own(self):
        # Derived: 4.2 lb, 10 x 8 x 5 in: zone 8, own box 15.85, the flat box 8.95; local, own box 6.30.
        self.assertEqual(self.post.price("4.2 lb", "10 x 8 x 5 in", "8"), "15.85")
        self.assertEqual(self.post.price("4.2 lb", "10 x 8 x 5 in", "L"), "6.30")
        self.assertEqual(self.post.price("4.2 lb", "11.2 x 8.7 x 5.7 in", "8", packaging="flat-box"), "8.95")
        shelf = {"format": "tarewise-shelf-1", "currency": "USD", "issued": [{"carrier": "post", "code": "flat-box"}],
                 "packaging": [{"code": "own-box", "title": "Box", "kind": "carton", "inside": "10 x 8 x 5 in", "wall": "0 in",
                                "tare": "0 oz", "cost": 0}]}
        tables = tables_of(self.document, shelf)
        goods = {"goods": [{"weight": "4.2 lb", "sides": "10 x 8 x 5 in"}], "from": HERE, "to": THERE, "date": "2026-08-03"}
        self.assertEqual([(o["packaging"], o["total"]) for o in oracle.rank(tables, goods)["offers"]],
                         [("flat-box", "8.95"), ("own-box", "15.85")])
        goods["to"] = HERE
        self.assertEqual([(o["packaging"], o["total"]) for o in oracle.rank(tables, goods)["offers"]],
                         [("own-box", "6.30"), ("flat-box", "8.95")])


class Letters2015(unittest.TestCase):
    """Notice 123, First-Class, effective 31 May 2015: steps of an ounce, half an ounce, tenths of a cent."""
    STAMPED = {"1": "0.49", "2": "0.71", "3": "0.93", "3.5": "1.15"}
    METERED = {"1": "0.485", "2": "0.705", "3": "0.925", "3.5": "1.145"}
    LARGE = dict(zip(range(1, 13), "0.98 1.20 1.42 1.64 1.86 2.08 2.30 2.52 2.74 2.96 3.18 3.40".split()))
    PARCEL = dict(zip(range(1, 13), "2.54 2.54 2.54 2.74 2.94 3.14 3.34 3.54 3.74 3.94 4.14 4.34".split()))

    def setUp(self):
        def table(cells):
            return [{"table": {"by": "weight", "unit": "oz", "columns": ["*"],
                               "rows": [[bound if isinstance(bound, int) else f"{bound} oz", cell]
                                        for bound, cell in cells.items()]}}]
        self.post = Examples(tariff([
            service(code="stamped", prices=table(self.STAMPED)), service(code="metered", prices=table(self.METERED)),
            service(code="large", prices=[{"per": {"measure": "weight", "step": "1 oz", "first": "0.98", "each": "0.22"}}]),
            service(code="parcel", prices=table(self.PARCEL))], rounding={"line": 0.001, "total": 0.001}))

    def test_every_step(self):
        sides = "11 x 6 x 0.25 in"
        for cells, code in ((self.STAMPED, "stamped"), (self.METERED, "metered"), (self.LARGE, "large"), (self.PARCEL, "parcel")):
            below = "0"
            for bound, cell in cells.items():
                self.assertEqual(self.post.price(f"{bound} oz", sides, "1", code), cell)
                self.assertEqual(self.post.price(f"{Fraction(below) * 1000 // 1 / 1000 + 0.001:.3f} oz", sides, "1", code), cell)
                below = str(bound)
        self.assertEqual(self.post.price("3.501 oz", sides, "1", "metered"), ["no_price"])


class MetricStructures(unittest.TestCase):
    def test_cubic_weight(self):
        # Australia Post, "Calculating parcel weight": L x W x H in cm / 6,000, the greater of cubic and actual; girth
        # (width + height) x 2 at most 200 cm (30 x 20 -> 100); no side over 105 cm; 22 kg.
        post = Examples(tariff([service(
            measure={"dimensional": [{"volume_per_weight": "6000 cm3/kg"}]},
            refuse=[{"when": {"girth": {"over": "200 cm"}}, "reason": "girth"}, {"when": {"length": {"over": "105 cm"}},
                    "reason": "side"}, {"when": {"weight": {"over": "22 kg"}}, "reason": "weight"}],
            prices=[{"per": {"measure": "billable_weight", "step": "1 kg", "first": 1, "each": 1}}])], currency="AUD"))
        self.assertEqual(post.price("9 kg", "50 x 30 x 40 cm", "1"), "10.00")
        self.assertEqual(post.billable, oracle.weight("10 kg"))
        self.assertEqual(post.price("16 kg", "50 x 30 x 40 cm", "1"), "16.00")
        self.assertEqual(post.price("22 kg", "105 x 60 x 40 cm", "1"), "42.00")
        self.assertEqual(post.price("22.001 kg", "105.1 x 60 x 40.1 cm", "1"), ["over_limit"] * 3)
        facts = {"shape": "box"}
        facts["consignment"] = oracle.ALONE
        oracle.add_measures(facts, oracle.read_measure({}), 1, oracle.lengths("40 x 30 x 20 cm", 3))
        self.assertEqual(facts["girth"], oracle.length("100 cm"))

    def test_forwarder(self):
        # A freight forwarder's sheet, from memory: 30 x 45 x 65 cm / 6,000 = 14.625 -> 15 kg; 0.8 x 0.5 x 0.15 m at 250 kg/m3 -> 15 kg.
        for sides, divisor in (("30 x 45 x 65 cm", "6000 cm3/kg"), ("0.8 x 0.5 x 0.15 m", "4000 cm3/kg")):
            post = Examples(tariff([service(
                measure={"weight": {"round": "up", "to": "1 kg"}, "dimensional": [{"volume_per_weight": divisor}]},
                prices=[{"amount": 1}])]))
            post.price("1 kg", sides, "1")
            self.assertEqual(post.billable, oracle.weight("15 kg"))

    def test_formats_by_size(self):
        # Royal Mail, size formats page; the older Small Parcel was 45 x 35 x 8 OR 35 x 25 x 16 cm.
        def within(sides):
            return dict(zip(("length", "width", "height"), ({"up_to": f"{side} cm"} for side in sides)))
        post = Examples(tariff([service(prices=[
            {"when": {**within((24, 16.5, 0.5)), "weight": {"up_to": "100 g"}}, "amount": 1},
            {"when": {**within((35.3, 25, 2.5)), "weight": {"up_to": "750 g"}}, "amount": 2},
            {"when": {"any": [within((45, 35, 8)), within((35, 25, 16))], "weight": {"up_to": "2 kg"}}, "amount": 3},
            {"when": {"shape": {"is": "tube"}, "sum_of_sides": {"up_to": "104 cm"}, "weight": {"up_to": "2 kg"}}, "amount": 4},
            {"when": {**within((61, 46, 46)), "weight": {"up_to": "20 kg"}}, "amount": 5}])], currency="GBP"))
        for weight, sides, total in (
                ("100 g", "24 x 16.5 x 0.5 cm", "1.00"), ("101 g", "24 x 16.5 x 0.5 cm", "2.00"),
                ("100 g", "24.1 x 16.5 x 0.5 cm", "2.00"), ("750 g", "25 x 35.3 x 2.5 cm", "2.00"),
                ("751 g", "25 x 35.3 x 2.5 cm", "3.00"), ("2 kg", "45 x 35 x 8 cm", "3.00"), ("2 kg", "35 x 25 x 16 cm", "3.00"),
                ("2 kg", "45 x 35 x 8.1 cm", "5.00"), ("2001 g", "35 x 25 x 16 cm", "5.00"), ("20 kg", "61 x 46 x 46 cm", "5.00"),
                ("20 kg", "61.1 x 46 x 46 cm", ["no_price"])):
            self.assertEqual(post.price(weight, sides, "1"), total)
        # Tubes: length + 2 x diameter at most 104 cm.
        self.assertEqual(post.price("1 kg", "84 x 10 x 10 cm", "1", shape="tube"), "4.00")
        self.assertEqual(post.price("1 kg", "84.1 x 10 x 10 cm", "1", shape="tube"), ["no_price"])

    def test_packet_by_volume(self):
        # Canada Post, parcel services guide, Jan 2021, 6.1: packet to 41 cm a side and 3,220 cm3, 50 g to 1.36 kg.
        post = Examples(tariff([service(prices=[
            {"when": {"length": {"up_to": "41 cm"}, "volume": {"up_to": "3220 cm3"},
                      "weight": {"at_least": "50 g", "up_to": "1.36 kg"}}, "amount": 1}])], currency="CAD"))
        self.assertEqual(post.price("1.36 kg", "23 x 14 x 10 cm", "1"), "1.00")
        self.assertEqual(post.price("1.36 kg", "23.1 x 14 x 10 cm", "1"), ["no_price"])
        self.assertEqual(post.price("1.361 kg", "23 x 14 x 10 cm", "1"), ["no_price"])
        self.assertEqual(post.price("49 g", "23 x 14 x 10 cm", "1"), ["no_price"])

    def test_tax_as_a_percentage(self):
        # DHL Paket (Germany) price page: 22.50 EUR net with 19 % tax is printed as 26.78.
        post = Examples(tariff([service(prices=[{"amount": "22.50"}], surcharges=["tax"])], currency="EUR", surcharges=[
            {"code": "tax", "title": "Tax", "percent": 19, "of": ["*"]}]))
        self.assertEqual(post.price("1 kg", "10 x 10 x 10 cm", "1"), "26.78")


class Page(unittest.TestCase):
    """What the two pages say of order, strikes, discounts, extras, packing; the data is invented."""

    def charges(self, document, request, *more):
        ranking = oracle.rank(tables_of(document, *more), request)
        return [(c["code"], c["amount"]) for c in ranking["offers"][0]["charges"]]

    def test_groups_then_replaces(self):
        surcharges = [
            {"code": "long", "title": "", "group": "handling", "when": {"length": {"over": "30 in"}}, "amount": 3},
            {"code": "heavy", "title": "", "group": "handling", "amount": 3},
            {"code": "oversize", "title": "", "when": {"length": {"over": "40 in"}}, "replaces": ["heavy", "long"], "amount": 9},
            {"code": "huge", "title": "", "when": {"length": {"over": "50 in"}}, "replaces": ["oversize"], "amount": 20},
            {"code": "fuel", "title": "", "percent": "10 %", "of": ["base", "long", "heavy"]}]
        document = tariff([service(prices=[{"amount": 10}], surcharges=["long", "heavy", "oversize", "huge", "fuel"])],
                          surcharges=surcharges)
        at = lambda size: [c for c in self.charges(document, sealed("1 lb", f"{size} x 2 x 2 in"))]  # noqa: E731
        self.assertEqual(at(10), [("base", "10.00"), ("heavy", "3.00"), ("fuel", "1.30")])
        self.assertEqual(at(31), [("base", "10.00"), ("long", "3.00"), ("fuel", "1.30")])
        self.assertEqual(at(41), [("base", "10.00"), ("oversize", "9.00"), ("fuel", "1.00")])
        # What is struck strikes nothing: the handling charge comes back.
        self.assertEqual(at(51), [("base", "10.00"), ("long", "3.00"), ("huge", "20.00"), ("fuel", "1.30")])

    def test_discounts(self):
        document = tariff([service(prices=[{"amount": "10.01"}], surcharges=["home", "fuel"])], surcharges=[
            {"code": "home", "title": "", "amount": 4}, {"code": "fuel", "title": "", "percent": 10, "of": ["*"]}])
        terms = {"format": "tarewise-terms-1", "carrier": "post", "in_force": {"from": "2026-01-01"}, "discounts": [
            {"services": ["parcel"], "percent": 50, "of": ["base"], "floor": "7.90"},
            {"percent": 25, "of": ["base", "home"]}]}
        self.assertEqual(self.charges(document, sealed("1 lb", "1 x 1 x 1 in"), terms), [
            ("base", "10.01"), ("discount", "-2.11"), ("home", "4.00"), ("discount", "-1.00"), ("fuel", "1.09")])

    def test_cover_and_extras(self):
        cover = {"code": "cover", "title": "", "table": {"by": "cover", "columns": ["*"], "rows": [[100, 1], [200, 2.5]],
                                                         "beyond": {"step": "100", "add": [1]}}}
        document = tariff([service(prices=[{"amount": 5}], included_cover=50, extras=["signature", "cover"])], extras=[
            cover, {"code": "signature", "title": "", "amount": 3}])
        ask = lambda **more: {**sealed("1 lb", "1 x 1 x 1 in"), **more}  # noqa: E731
        self.assertEqual(self.charges(document, ask(cover="50")), [("base", "5.00")])
        self.assertEqual(self.charges(document, ask(cover="200.01", extras=["signature"])),
                         [("base", "5.00"), ("signature", "3.00"), ("cover", "3.50")])
        self.assertEqual(one(oracle.rank(tables_of(document), ask(extras=["gift-wrap"]))), ["extra_not_offered"])
        for bad in (ask(extras=["cover"]), ask(extras=["signature", "signature"]), ask(colour="red")):
            with self.assertRaises(oracle.RequestError):
                oracle.rank(tables_of(document), bad)

    def test_beyond_null_and_percent_of_nothing(self):
        post = Examples(tariff([service(prices=[{"table": {
            "by": "weight", "unit": "lb", "columns": ["1", "2"], "rows": [[1, 1, None], ["1.5 lb", 2, 3]],
            "beyond": {"step": "1/2", "add": [0.1, None]}}}, {"when": {"zone": {"is": "2"}}, "amount": 7}])]))
        self.assertEqual([post.price(w, "1 x 1 x 1 in", "1") for w in ("1 lb", "1.5 lb", "1.501 lb", "2 lb", "2.01 lb")],
                         ["1.00", "2.00", "2.10", "2.10", "2.20"])
        self.assertEqual([post.price(w, "1 x 1 x 1 in", "2") for w in ("1 lb", "1.5 lb", "2 lb")], ["7.00", "3.00", "7.00"])
        self.assertEqual(post.price("1 lb", "1 x 1 x 1 in", "3"), ["no_price"])

    def test_bound_of_money(self):
        # The cases of the bound, read here by the few words that they use.
        folder = pathlib.Path(__file__).parent.parent / "cases"
        tables = oracle.Tables.load(folder / "bound")
        tariff, example, asked, count = tables.tariffs[0], None, {}, 0
        for line in (folder / "rules-bound.case").read_text(encoding="utf-8").splitlines():
            word, _, value = line.partition(" ")
            if word == "service":
                name = value.split("/")[1]
            elif word == "extras":
                asked["extras"] = value.split()
            elif word == "cover":
                asked["cover"] = value
            elif word == "parcel":
                weight, sides = value.split("; ")
                example = {"service": name, "parcel": {"weight": weight, "sides": sides}, "zone": "N", **asked}
                asked = {}
            elif word in ("expect", "refused"):
                outcome = oracle.example_outcome(
                    tables, tariff, example, tables.discounts("harbourline", "2026-02-01"))
                if word == "refused":
                    self.assertEqual(" ".join(outcome.reasons), value, example)
                else:
                    wanted, *parts = value.split("; ")
                    self.assertEqual((outcome.reasons, outcome.priced.total), ([], oracle.money(wanted)), example)
                    for part in parts:
                        lines = [line.split() for line in part.removeprefix("lines ").split(", ")]
                        self.assertEqual([(code, oracle.show_money(amount, "USD")) for code, amount in outcome.priced.charges],
                                         [(code, oracle.show_money(int(Fraction(amount) * oracle.MILLION), "USD"))
                                          for code, amount in lines], example)
                count += 1
        self.assertGreater(count, 30)

    def test_bound_of_totals(self):
        # Packaging, and an exchange, may take a total past the bound; a value past it in the tariff's currency has no price.
        kilogram = {"per": {"measure": "weight", "step": "1 kg", "first": 1000000, "each": 1000000}}
        tables = tables_of(tariff([service(prices=[kilogram])]), {
            "format": "tarewise-shelf-1", "currency": "USD", "packaging": [
                {"code": "crate", "title": "Crate", "kind": "carton", "inside": "50 x 50 x 50 cm", "wall": "1 cm", "tare": "0 oz",
                 "cost": "0.01"}]})
        goods = [{"weight": "1000 kg", "sides": "10 x 10 x 10 cm"}]
        asked = {"goods": goods, "from": HERE, "to": THERE, "date": "2026-08-03"}
        self.assertEqual(one(oracle.rank(tables, asked)), ["no_price"])
        self.assertEqual(one(oracle.rank(tables, {**asked, "goods": [{**goods[0], "weight": "999 kg"}]})), "999000000.01")
        tables = tables_of(tariff([service(prices=[{"amount": 1000}, ])]))
        asked = {**sealed("1 kg", "10 x 10 x 10 cm"), "currency": "JPY", "exchange": {"USD": "1000000"}}
        self.assertEqual(one(oracle.rank(tables, asked)), "1000000000")
        self.assertEqual(one(oracle.rank(tables, {**asked, "exchange": {"USD": "1000001"}})), ["no_price"])
        asked = {**sealed("1 kg", "10 x 10 x 10 cm", value="1000"), "currency": "EUR", "exchange": {"USD": "0.000001"}}
        self.assertNotEqual(one(oracle.rank(tables, asked)), ["no_price"])
        asked["parcel"]["value"] = "1000.01"
        self.assertEqual(one(oracle.rank(tables, asked)), ["no_price"])
        asked["parcel"]["value"] = "1000000000.01"
        with self.assertRaises(oracle.RequestError):
            oracle.rank(tables, asked)

    def test_without_a_rate(self):
        # What is judged where the tariff's currency is not the ranking's: all but what a value or a cover decides.
        refuse = [{"when": {"weight": {"over": "70 lb"}}, "reason": "heavy"}, {"when": {"value": {"up_to": "50"}}, "reason": "cheap"},
                  {"when": {"extras": {"has": "cover"}}, "reason": "no cover"}]
        tables = tables_of(tariff([service(prices=[{"table": {"by": "weight", "unit": "lb", "columns": ["*"], "rows": [[1, 4]]}}],
                                           refuse=refuse, days={"*": [2, 5]})]))
        asked = {**sealed("71 lb", "9 x 6 x 3 in", value="20"), "currency": "EUR", "promise": {"within": 3}}
        self.assertEqual(one(oracle.rank(tables, asked)), ["currency_differs", "promise_not_met", "over_limit"])
        self.assertEqual(one(oracle.rank(tables, {**asked, "cover": "5"})),
                         ["currency_differs", "promise_not_met", "over_limit", "over_limit"])
        del asked["parcel"]["value"]
        self.assertEqual(one(oracle.rank(tables, asked)), ["currency_differs", "promise_not_met", "over_limit", "over_limit"])
        asked["parcel"]["weight"], refuse[1:] = "2 lb", []
        self.assertEqual(one(oracle.rank(tables_of(tariff([service(
            prices=[{"table": {"by": "weight", "unit": "lb", "columns": ["*"], "rows": [[1, 4]]}}], refuse=refuse)])), asked)),
            ["currency_differs", "promise_not_met", "no_price"])

    def test_bare_in_a_carriers_packaging(self):
        wrap = {"code": "hl-wrap", "title": "A label alone", "kind": "bare", "tare": "0 oz", "cost": 0}
        tables = tables_of(tariff([service(prices=[{"amount": 5}], packaging={"issued": ["hl-wrap"]})], packaging=[wrap]),
                           {"format": "tarewise-shelf-1", "currency": "USD", "issued": [{"carrier": "post", "code": "hl-wrap"}]})
        asked = {"goods": [{"weight": "1 lb", "sides": "9 x 6 x 3 in"}], "from": HERE, "to": THERE, "date": "2026-08-03"}
        self.assertEqual(one(oracle.rank(tables, asked)), ["does_not_fit"])
        asked["goods"][0]["bare"] = True
        self.assertEqual(one(oracle.rank(tables, asked)), "5.00")

    def test_mailer(self):
        # Geometry: a loop of twice the flat width must go round w x t, so w + t <= W and l + t <= L.
        mailer = oracle.read_packaging({"code": "m", "kind": "mailer", "inside": "8 x 11 in", "wall": "0.1 in", "tare": "1 oz",
                                        "cost": 0}, "USD")
        inch = oracle.lengths
        fits = lambda sides: oracle.fit(mailer, [thing(sides)], 0)  # noqa: E731
        self.assertEqual(fits("10 x 7 x 1 in"), inch("10.2 x 7.2 x 1.2 in", 3))
        self.assertIsNone(fits("10 x 7.01 x 1 in"))
        self.assertIsNone(fits("10.01 x 7 x 1 in"))

    def test_carton_envelope_tube(self):
        inch = oracle.lengths
        carton = oracle.read_packaging({"code": "c", "kind": "carton", "inside": "12 x 9 x 4 in", "wall": "0.15 in",
                                        "tare": "1 oz", "cost": 0}, "USD")
        self.assertEqual(oracle.fit(carton, [thing("4 x 12 x 9 in")], 0), inch("12.3 x 9.3 x 4.3 in", 3))
        self.assertIsNone(oracle.fit(carton, [thing("4 x 12 x 9 in", this_side_up=True)], 0))
        self.assertIsNotNone(oracle.fit(carton, [thing("9 x 12 x 4 in", this_side_up=True)], 0))
        self.assertIsNone(oracle.fit(carton, [thing("9 x 12 x 4 in")], oracle.length("1 mm")))
        self.assertIsNotNone(oracle.fit(carton, [thing("10 x 7 x 2 in")], oracle.length("1 in")))
        envelope = oracle.read_packaging({"code": "e", "kind": "envelope", "inside": "9 x 12 x 0.75 in", "tare": "1 oz",
                                          "cost": 0}, "USD")
        self.assertEqual(oracle.fit(envelope, [thing("0.5 x 11 x 9 in")], 0), inch("9 x 12 x 0.5 in", 3))
        self.assertIsNone(oracle.fit(envelope, [thing("0.8 x 11 x 9 in")], 0))
        tube = oracle.read_packaging({"code": "t", "kind": "tube", "inside": "5 x 30 in", "wall": "0.1 in", "tare": "1 oz",
                                      "cost": 0}, "USD")
        self.assertEqual(oracle.fit(tube, [thing("3 x 30 x 4 in")], 0), inch("30.2 x 5.2 x 5.2 in", 3))
        self.assertIsNone(oracle.fit(tube, [thing("3 x 30 x 4.01 in")], 0))

    def test_issued_packaging_that_the_tariff_in_force_lacks(self):
        box = {"code": "box", "title": "Box", "kind": "carton", "inside": "12 x 9 x 4 in", "wall": "0.15 in", "tare": "4 oz", "cost": 0}
        old = tariff([service(prices=[{"amount": 5}], packaging={"issued": ["box"]})], packaging=[box])
        new = tariff([service(prices=[{"amount": 5}])], in_force={"from": "2026-08-01"})
        shelf = {"format": "tarewise-shelf-1", "currency": "USD", "packaging": [], "issued": [{"carrier": "post", "code": "box", "on_hand": 0}]}
        ask = {"goods": [{"weight": "1 lb", "sides": "7 x 5 x 3 in"}], "from": HERE, "to": THERE, "date": "2026-08-03"}
        self.assertEqual(one(oracle.rank(tables_of(old, new, shelf), ask)), ["not_in_force"])
        self.assertEqual(one(oracle.rank(tables_of(old, new, shelf), {**ask, "date": "2026-07-31"})), ["out_of_stock"])
        shelf["issued"][0]["on_hand"] = 1
        self.assertEqual(one(oracle.rank(tables_of(old, new, shelf), {**ask, "date": "2026-07-31"})), "5.00")

    def test_promise_and_order(self):
        def timed(code, days, amount, **more):
            return service(code=code, days={"*": days} if days else None, prices=[{"amount": amount}], **more)
        services = [timed("slow", [3, 5], 4), timed("quick", [1, 2], 8, tracked=True), timed("even", [1, 2], 7),
                    timed("noon", [1, 1], 8, tracked=True)]
        services.append({k: v for k, v in timed("some-day", None, 4).items() if k != "days"})
        tables = tables_of(tariff(services))
        ranked = lambda **promise: [o["service"] for o in oracle.rank(  # noqa: E731
            tables, {**sealed("1 lb", "1 x 1 x 1 in"), "promise": promise})["offers"]]
        self.assertEqual(ranked(), ["slow", "some-day", "even", "noon", "quick"])
        self.assertEqual(ranked(within=2), ["even", "noon", "quick"])
        self.assertEqual(ranked(paid_for="quick"), ["noon", "quick"])
        self.assertEqual(ranked(paid_for="post/slow"), ["slow", "even", "noon", "quick"])
        self.assertEqual(ranked(paid_for="some-day"), ["some-day"])

    def test_currencies(self):
        euro = tariff([service(prices=[{"when": {"value": {"up_to": "50"}}, "amount": "7.77"}])], currency="EUR")
        ask = {**sealed("1 lb", "1 x 1 x 1 in", value="54.21"), "currency": "USD", "exchange": {"EUR": "1.0842"}}
        self.assertEqual(one(oracle.rank(tables_of(euro), ask)), "8.42")  # 7.77 x 1.0842 = 8.424234; 54.21 is 50 EUR
        self.assertEqual(one(oracle.rank(tables_of(euro), {**ask, "parcel": {**ask["parcel"], "value": "54.22"}})), ["no_price"])
        self.assertEqual(one(oracle.rank(tables_of(euro), {**ask, "exchange": {}})), ["currency_differs"])

    def test_estimate(self):
        # Common practice: box and filling for goods over a pound add 8 to 12 oz.
        tables = tables_of(tariff([service(prices=[{"table": {"by": "weight", "unit": "oz", "columns": ["*"],
                                                              "rows": [[16, 1], [24, 2], [28, 3], [29, 4]]}}])]))
        goods = lambda weight: oracle.rank(tables, {  # noqa: E731
            "goods": [{"weight": weight, "sides": "3 x 2 x 1 in"}], "from": HERE, "to": THERE, "date": "2026-08-03"})
        ranking = goods("16 oz")
        self.assertEqual((ranking["estimate"], one(ranking)), (True, "1.00"))
        offer = goods("16.1 oz")["offers"][0]
        self.assertEqual((offer["total"], offer["total_at_least_allowance"]), ("4.00", "3.00"))
        self.assertEqual(offer["parcel"]["sides"], oracle.show_sides(oracle.lengths("4 x 3 x 2 in", 3)))

    def test_ranges_walk_the_goods(self):
        # By the page: goods of 15 to 17 oz make parcels of up to 16 oz, and of 28 to 29 oz; none lies between.
        tables = tables_of(tariff([service(prices=[{"table": {"by": "weight", "unit": "oz", "columns": ["*"],
                                                              "rows": [[16, 2], [28, 90], [40, 3]]}}])]))
        goods = {"from": HERE, "to": THERE, "date": "2026-08-03"}
        ask = oracle.read_request({**goods, "goods": [{"weight": "15..17 oz", "sides": "3 x 2 x 1 in"}]}, tables)
        totals, exact = thresholds.totals_over(tables, ask, "estimate", "post", "parcel", ask.most)
        self.assertEqual((set(totals), exact), ({oracle.money("2"), oracle.money("3")}, True))
        self.assertEqual([size for size, _ in thresholds.winners(tables, ask)], [oracle.weight("15 oz")])
        # Two units that are alike: 1 to 5 in by 2 by 10 in lie 2 to 4 in high, and once 2 in wide, wider.
        pile = oracle.read_request({**goods, "goods": [{"weight": "1 oz", "sides": "1..5 x 2 x 10 in", "quantity": 2}]}, tables)
        for x, sides in (("1 in", "11 x 3 x 3 in"), ("2 in", "11 x 3 x 5 in"), ("5 in", "11 x 6 x 5 in")):
            packed = oracle.packed_in(tables, thresholds.with_size(pile, 0, 0, oracle.length(x)), "estimate")
            self.assertEqual(packed.sides, oracle.lengths(sides, 3))

    def test_bare_goods_weigh_what_they_weigh(self):
        tables = tables_of(tariff([service(prices=[{"amount": 1}])]))
        tables.shelf = [oracle.read_packaging({"code": "none", "kind": "bare", "tare": "4 oz", "cost": 0}, "USD")]
        ask = oracle.read_request({"goods": [{"weight": "1 lb", "sides": "3 x 2 x 1 in", "bare": True}], "fill_weight": "3 oz",
                                   "from": HERE, "to": THERE, "date": "2026-08-03"}, tables)
        self.assertEqual(oracle.packed_in(tables, ask, "none").weight, oracle.weight("1 lb"))


class Cautions(unittest.TestCase):
    """B7. 23 kg is the load constant of NIOSH Publication 94-110; 70 lb is common practice."""

    def told(self, parcel_weight, contents, mode=None):
        more = {} if mode is None else {"mode": mode}
        tables = tables_of(tariff([service(prices=[{"amount": 5}], **more)]))
        ranking = oracle.rank(tables, sealed(parcel_weight, "9 x 6 x 3 in", contents=contents))
        return [one["code"] for one in ranking["cautions"]], [offer["cautions"] for offer in ranking["offers"]]

    def test_weights(self):
        self.assertEqual(self.told("23 kg", []), ([], [[]]))
        self.assertEqual(self.told("23000001 mg", []), (["lift_with_help", "carrier_decides"], [["lift_with_help"]]))
        self.assertEqual(self.told("70 lb", [])[0], ["lift_with_help", "carrier_decides"])
        self.assertEqual(self.told("1120.001 oz", [])[0], ["lift_with_help", "mark_heavy", "carrier_decides"])

    def test_contents_that_never_go_by_air(self):
        for trait in ("lithium_alone", "flammable_liquid", "aerosol"):
            self.assertEqual(self.told("1 lb", [trait], "surface"), ([trait, "carrier_decides"], [[]]))
            self.assertEqual(self.told("1 lb", [trait], "air"), ([trait, "carrier_decides"], []))
            for mode in ("any", None):
                self.assertEqual(self.told("1 lb", [trait], mode),
                                 ([trait, "confirm_surface", "carrier_decides"], [["confirm_surface"]]))

    def test_other_contents(self):
        self.assertEqual(self.told("1 lb", ["sharp", "live", "liquid", "perishable", "lithium_in_equipment", "media"], "any"),
                         (["lithium_in_equipment", "liquid", "sharp", "perishable", "live", "carrier_decides"], [[]]))


class Comparison(unittest.TestCase):
    """A comparison that can't fail would prove nothing: every kind of difference must be found."""

    def setUp(self):
        self.tables = tables_of(tariff([
            service(code="a", prices=[{"amount": 5}], days={"*": [1, 2]}),
            service(code="b", prices=[{"amount": 6}], refuse=[{"when": {"weight": {"over": "2 lb"}}, "reason": "too heavy"}]),
            service(code="c", prices=[{"amount": 4}], mode="air"), service(code="d", prices=[{"amount": 7}])]))

    def ranking(self, **parcel):
        return json.loads(json.dumps(oracle.rank(self.tables, sealed("3 lb", "9 x 6 x 3 in", **parcel))))

    def test_equal(self):
        self.assertEqual(compare.differences(self.ranking(), self.ranking(), True), [])

    def test_every_kind(self):
        def changed(change):
            got = self.ranking(contents=["aerosol"])
            change(got)
            return [kind for kind, _ in compare.differences(self.ranking(contents=["aerosol"]), got, False)]

        self.assertEqual(changed(lambda r: None), [])
        self.assertEqual(changed(lambda r: r["offers"].reverse()), ["order"])
        self.assertEqual(changed(lambda r: r["offers"][0].update(total="5.01")), ["total"])
        self.assertEqual(changed(lambda r: r["offers"][0].update(days=[1, 3])), ["days"])
        self.assertEqual(changed(lambda r: r["offers"][0]["charges"][0].update(amount="5.01")), ["charges"])
        self.assertEqual(changed(lambda r: r["offers"][0]["charges"][0].update(code="basis")), ["charges"])
        self.assertEqual(changed(lambda r: r["offers"][0]["billable_weight"].update(weight="3.1 lb")), ["billable_weight"])
        self.assertEqual(changed(lambda r: r["offers"][0]["billable_weight"].update({"from": "minimum"})), ["billable_weight"])
        self.assertEqual(changed(lambda r: r["offers"][0]["parcel"].update(sides="9 x 6 x 4 in")), ["parcel"])
        self.assertEqual(changed(lambda r: r["offers"].pop()), ["offer missing"])
        self.assertEqual(changed(lambda r: r["refusals"].pop()), ["reasons"])
        self.assertEqual(changed(lambda r: r["refusals"][0].update(reasons=[{"code": "no_price"}])), ["reasons"])
        self.assertEqual(changed(lambda r: r.update(currency="EUR")), ["currency"])
        self.assertEqual(changed(lambda r: r["cautions"].pop()), ["cautions"])
        self.assertEqual(changed(lambda r: r["offers"][0]["cautions"].pop()), ["cautions"])
        self.assertEqual([kind for kind, _ in compare.differences(self.ranking(), {"error": "no"}, False)], ["error"])
        # The same weight or money written in another way is no difference.
        self.assertEqual(changed(lambda r: r["offers"][0]["billable_weight"].update(weight="48 oz")), [])
        self.assertEqual(changed(lambda r: r["offers"][0].update(total="5")), [])


if __name__ == "__main__":
    unittest.main()
