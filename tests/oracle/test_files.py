#!/usr/bin/env python3
"""Proves the slow pricer on zones and areas from files (A3.1, A3.2), grids turned round and columns of several zones (A4.5), and
values that change by date (A4.9), by the page; all names and prices are invented."""

import json
import pathlib
import sys
import tempfile
import unittest

sys.path.insert(0, str(pathlib.Path(__file__).parent))
import oracle  # noqa: E402
from small_tables import CHARTS, HERE, service, tariff  # noqa: E402


class Folder:
    """A tariff and the files beside it."""

    def __init__(self, document, **files):
        with tempfile.TemporaryDirectory() as folder:
            folder = pathlib.Path(folder)
            (folder / "post.json").write_text(json.dumps(document), encoding="utf-8")
            for name, text in files.items():
                (folder / f"{name}.csv").write_text(text, encoding="utf-8")
            self.tables = oracle.Tables.load(folder)

    def rank(self, **request):
        return oracle.rank(self.tables, {"parcel": {"weight": "1 lb", "sides": "6 x 4 x 2 in"}, "from": HERE, "to": HERE,
                                         "date": "2026-08-03", **request})

    def offer(self, **request):
        ranking = self.rank(**request)
        assert len(ranking["offers"]) == 1, ranking["refusals"]
        return ranking["offers"][0]

    def charges(self, **request):
        return [(charge["code"], charge["amount"]) for charge in self.offer(**request)["charges"]]

    def reasons(self, **request):
        ranking = self.rank(**request)
        assert not ranking["offers"], ranking["offers"]
        return [reason["code"] for reason in ranking["refusals"][0]["reasons"]]

    def zone(self, code, country="US", **request):
        ranking = self.rank(to={"country": country, "postal_code": code}, **request)
        return ranking["offers"][0]["zone"] if ranking["offers"] else None


def folder_of_chart(chart, text, **more):
    return Folder(tariff([service(prices=[{"amount": 1}])], zones={"main": [chart]}, **more), zones=text)


class ZonesFromAFile(unittest.TestCase):
    PRINTED = ("Zones from 054,,,\n,,,\nDestination,Road, Air  Saver ,Remarks\n005---089,2,12,\n,,,\n100 – 139,3,-,\n"
               "\"200, 205-206; 208\",4,14,near\n9,5,—,\n981,6,16,\n")

    def chart(self, **more):
        return {"kind": "pairs", "csv": "zones.csv", "origin": ["US:054-056"], "column": "road", **more}

    def test_pairs(self):
        post = folder_of_chart(self.chart(), self.PRINTED)
        for code, zone in (("00501", "2"), ("08999", "2"), ("09001", None), ("10001", "3"), ("13999", "3"), ("20001", "4"), ("20101", None),
                           ("20601", "4"), ("20701", None), ("20801", "4"), ("90001", "5"), ("98101", "6"), ("98201", "5")):
            self.assertEqual(post.zone(code), zone, code)
        self.assertIsNone(post.zone("00501", **{"from": {"country": "US", "postal_code": "05701"}}))
        air = folder_of_chart(self.chart(column="air saver"), self.PRINTED)
        self.assertEqual([air.zone(code) for code in ("00501", "10001", "20601", "90001", "98101")], ["12", None, "14", None, "16"])

    def test_regions_with_countries(self):
        post = folder_of_chart({"kind": "regions", "csv": "zones.csv", "codes": "Country", "column": "Zone"},
                               "\ufeffZone,Country\nA,\"CA, MX\"\nB,DE:10-19\nA,GB:PA20 – 80\n—,\n")
        for country, code, zone in (("CA", "K1A 0B1", "A"), ("DE", "10115", "B"), ("DE", "20115", None), ("GB", "PA30 7AA", "A"), ("GB", "PA2 0AA", None)):
            self.assertEqual(post.zone(code, country), zone, code)

    def test_two_columns_of_codes(self):
        text = "From,To,Zone,,\n005,009,2,,\n010,010,3,,\n"
        post = folder_of_chart({"kind": "regions", "csv": "zones.csv", "codes": ["from", "to"], "country": "US"}, text)
        self.assertEqual([post.zone(code) for code in ("00501", "00999", "01001", "01101")], ["2", "2", "3", None])

    def test_errors(self):
        for text in ("Zip,Zone\n005,2\n", "Zip,Road,road\n005,2,3\n", "Zip,Road\n005,2*\n", "Zip,Road\n005,2 (a)\n", "Zip,Road\n,2\n", "Zip,Road\nUS:005,2\n",
                     "Zip,Road\n009-005,2\n",
                     "Zip,Road\n005\n"):
            with self.assertRaises(oracle.TablesError, msg=text):
                folder_of_chart(self.chart(), text)


class AreasByName(unittest.TestCase):
    FAR = "List of 2026\nZIP,State,Tier\n054,VT,Remote\n981,WA,Extended\n98101,WA, Remote\n---,,Remote\n96701-96798,HI,Far\n"

    def folder(self, text=FAR, **entry):
        entry = {"csv": "far.csv", "country": "US", "column": "zip", **entry}
        surcharges = [{"code": "remote", "title": "", "amount": 2, "when": {"destination": {"in": ["@far"]}}},
                      {"code": "isles", "title": "", "amount": 5, "when": {"destination": {"in": ["CA", "@isles"]}}}]
        charts = {"main": [{"kind": "pairs", "from": {"@far": {"F": ["@far", "US"]}, "US:05": {"H": ["@isles", "US:9"]}}},
                           {"kind": "regions", "zones": {"I": ["@isles"], "N": ["US"]}}]}
        return Folder(tariff([service(prices=[{"amount": 1}], surcharges=["remote", "isles"])], surcharges=surcharges, zones=charts,
                             areas={"far": entry, "isles": ["US:967-968", "PR"]}), far=text)

    def test_where(self):
        post = self.folder(where={"Tier": ["Remote", "Far"]})
        lines = [post.charges(to={"country": "US", "postal_code": code}) for code in ("05401", "98101", "98102", "96701")]
        self.assertEqual(lines, [[("base", "1.00"), ("remote", "2.00")], [("base", "1.00"), ("remote", "2.00")], [("base", "1.00")],
                                 [("base", "1.00"), ("remote", "2.00"), ("isles", "5.00")]])

    def test_spaces_in_quotation_marks(self):
        post = self.folder("ZIP,Tier\n054,\" Remote \"\n", where={"Tier": " Remote"})
        self.assertEqual(post.charges(to={"country": "US", "postal_code": "05401"}), [("base", "1.00"), ("remote", "2.00")])
        chart = folder_of_chart({"kind": "regions", "csv": "zones.csv", "country": "US"}, "ZIP,Zone\n005,\" 3\"\n")
        self.assertEqual(chart.zone("00501"), "3")

    def test_in_charts(self):
        post = self.folder()
        self.assertEqual(post.zone("33101"), "F")  # from 054, a longer origin than US:05
        here = {"from": {"country": "US", "postal_code": "05201"}}
        self.assertEqual([post.zone(code, **here) for code in ("96701", "98101", "33101")], ["H", "H", "N"])
        self.assertEqual(post.zone("00901", "PR", **{"from": {"country": "US", "postal_code": "33101"}}), "I")

    def test_errors(self):
        for entry in ({"where": {"Tier": "remote"}}, {"where": {"Class": "Remote"}}, {"column": "Code"}):
            with self.assertRaises(oracle.TablesError, msg=str(entry)):
                self.folder(**entry)
        with self.assertRaises(oracle.TablesError):
            self.folder(self.FAR + ",VT,Remote\n")


class Grids(unittest.TestCase):
    ZONES = {"main": [{"kind": "regions", "zones": {"1": ["US:05"], "2": ["US:1"], "3": ["US:2"], "1 & 4": ["US:3"], "5": ["US:4"]}}]}

    def totals(self, table, text=""):
        post = Folder(tariff([service(prices=[{"table": {"by": "weight", "unit": "lb", **table}}])], zones=self.ZONES), grid=text)
        found = []
        for code in ("05401", "10001", "20001", "30001", "40001"):
            ranking = post.rank(to={"country": "US", "postal_code": code})
            found.append(ranking["offers"][0]["total"] if ranking["offers"] else None)
        return found

    def test_columns_of_several_zones(self):
        wanted = ["2.00", "2.00", "2.00", "3.00", "4.00"]
        self.assertEqual(self.totals({"columns": ["1, 2 & 3", "1 & 4", "*"], "rows": [[2, 2, 3, 4]]}), wanted)
        self.assertEqual(self.totals({"csv": "grid.csv"}, "bound,\"1, 2 & 3\",1 & 4,*\n2,2,3,4\n"), wanted)
        with self.assertRaises(oracle.TablesError):
            self.totals({"columns": ["1 & 2", "2"], "rows": [[2, 2, 3]]})

    def test_turned_round(self):
        self.assertEqual(self.totals({"csv": "grid.csv"}, "zone,0.5,1 lb\n\"1, 2\",1,2\n3,3,\n*,5,6\n"), ["2.00", "2.00", None, "6.00", "6.00"])
        self.assertEqual(self.totals({"csv": "grid.csv", "rate": "1 lb"}, "zone,1,2,least\n1 & 2,1,2,4\n3,3,,\n"),
                         ["4.00", "4.00", "3.00", None, None])

    def test_which_way_round(self):
        for text in ("zone,1,2\n1,1,2\n2,3,4\n", "zone,1,2\n0.5,1,2\n1 lb,3,4\n", "Zone,2,3\n2,1,2\n3,3,4\n", "Destination zones,7,8\n1 & 2,1,2\n3,3,4\n",
                     "zone,\"1, 2\",*\n1,1,2\n", "Zones,1 lb,2 lb\n1,1,2\n*,3,4\n"):
            with self.assertRaises(oracle.TablesError, msg=text):
                self.totals({"csv": "grid.csv"}, text)
        self.assertEqual(self.totals({"csv": "grid.csv"}, "Zone,1,2\n0.5,3,4\n1,5,6\n"), ["5.00", "6.00", None, None, None])
        self.assertEqual(self.totals({"csv": "grid.csv"}, "lb,1,2\n1,5,6\n2,7,8\n"), ["5.00", "6.00", None, None, None])
        self.assertEqual(self.totals({"csv": "grid.csv"}, "zone,0.5 lb,1 lb\n1,3,5\n2,4,6\n"), ["5.00", "6.00", None, None, None])


class ByDate(unittest.TestCase):
    FUEL = "from,until,road,air\n2026-07-06,,11.4,9.5 %\n2026-07-13,2026-07-19,11.6,\n2026-08-03,,12,10\n"

    def folder(self, fuel=FUEL, good_for="7 days", services=None, **more):
        surcharges = [{"code": "fuel", "title": "", "percent": {"series": "fuel", "column": "road"}, "of": ["base"]}]
        document = tariff(services or [service(prices=[{"amount": 10}], surcharges=["fuel"])], zones=CHARTS,
                          series={"fuel": {"csv": "fuel.csv", **({"good_for": good_for} if good_for else {})}}, **{"surcharges": surcharges, **more})
        return Folder(document, fuel=fuel)

    def test_rows_hold(self):
        post = self.folder()
        for day, fuel in (("2026-07-06", "1.14"), ("2026-07-12", "1.14"), ("2026-07-13", "1.16"), ("2026-07-19", "1.16"), ("2026-08-03", "1.20")):
            self.assertEqual(post.charges(date=day), [("base", "10.00"), ("fuel", fuel)], day)
        for day in ("2026-07-05", "2026-07-20", "2026-08-02"):
            self.assertEqual(post.reasons(date=day), ["no_price"], day)

    def test_overdue(self):
        post = self.folder()
        self.assertNotIn("overdue", post.offer(date="2026-08-09"))
        ranking = post.rank(date="2026-08-10")
        self.assertEqual(ranking["offers"][0]["overdue"], [{"series": "fuel", "since": "2026-08-10"}])
        self.assertEqual((ranking["offers"][0]["cautions"], [c["code"] for c in ranking["cautions"]]), (["value_overdue"], ["value_overdue"]))
        heavy = post.rank(date="2026-12-24", parcel={"weight": "71 lb", "sides": "6 x 4 x 2 in"})
        self.assertEqual([c["code"] for c in heavy["cautions"]], ["lift_with_help", "mark_heavy", "value_overdue", "carrier_decides"])
        self.assertNotIn("overdue", self.folder(good_for=None).offer(date="9999-12-31"))

    def test_only_what_stands_is_overdue(self):
        air = {"series": "fuel", "column": "air"}
        dated = {"code": "fuel", "title": "", "amount": {"series": "fuel", "column": "road"}, "group": "handling"}
        dearer = {"code": "long", "title": "", "amount": 20, "group": "handling", "when": {"length": {"over": "20 in"}}}
        rest = [{"code": "off", "title": "", "less": {"percent": air, "of": ["base"]}, "when": {"rigid": True}}]
        post = self.folder(services=[service(prices=[{"amount": 10}], surcharges=["fuel", "long", "off"])], surcharges=[dated, dearer] + rest)
        self.assertIn("overdue", post.offer(date="2026-08-20"))
        self.assertNotIn("overdue", post.offer(date="2026-08-20", parcel={"weight": "1 lb", "sides": "30 x 4 x 2 in"}))
        self.assertEqual(post.reasons(date="2026-08-01", parcel={"weight": "1 lb", "sides": "30 x 4 x 2 in"}), ["no_price"])
        rigid = post.offer(date="2026-08-20", parcel={"weight": "1 lb", "sides": "30 x 4 x 2 in", "rigid": True})
        self.assertEqual([(c["code"], c["amount"]) for c in rigid["charges"]], [("base", "10.00"), ("long", "20.00"), ("off", "-1.00")])
        self.assertEqual(rigid["overdue"], [{"series": "fuel", "since": "2026-08-10"}])

    def test_base_and_extras(self):
        extras = [{"code": "signature", "title": "", "amount": {"series": "fuel", "column": "road"}, "when": {"rigid": False}},
                  {"code": "cover", "title": "", "percent": {"series": "fuel", "column": "road"}, "of": ["base"]}]
        prices = [{"amount": {"series": "fuel", "column": "road"}}, {"amount": 30}]
        post = self.folder(services=[service(prices=prices, extras=["signature", "cover"], included_cover=50)], extras=extras, surcharges=[])
        self.assertEqual(post.charges(date="2026-08-03"), [("base", "12.00")])
        self.assertEqual(post.charges(date="2026-08-01"), [("base", "30.00")])  # not covered, so the next
        self.assertEqual(post.charges(date="2026-08-03", extras=["signature"], cover="60"), [("base", "12.00"), ("signature", "12.00"), ("cover", "1.44")])
        self.assertEqual(post.charges(date="2026-08-01", cover="50"), [("base", "30.00")])
        self.assertEqual(post.reasons(date="2026-08-01", cover="60"), ["no_price"])
        self.assertEqual(post.reasons(date="2026-08-01", extras=["signature"]), ["no_price"])
        rigid = {"weight": "1 lb", "sides": "6 x 4 x 2 in", "rigid": True}
        self.assertEqual(post.reasons(date="2026-08-01", extras=["signature"], parcel=rigid), ["extra_not_offered"])

    def test_index(self):
        for bound, fuel in (("at_least", {"3.19": None, "3.20": "1.05", "3.379999": "1.05", "3.38": "1.08"}),
                            ("over", {"3.20": None, "3.200001": "1.05", "3.38": "1.05", "3.39": "1.08"})):
            for rows in ([["3.20", 10.5], ["3.38", "10.75 %"]], {"csv": "steps.csv"}):
                for diesel, amount in fuel.items():
                    document = tariff([service(prices=[{"amount": 10}], surcharges=["fuel"])],
                                      series={"diesel": {"columns": ["until", "usd"], "rows": [["2026-08-03", None, diesel]]}},
                                      surcharges=[{"code": "fuel", "title": "", "percent": {"series": "diesel", bound: rows}, "of": ["base"]}])
                    post = Folder(document, steps="index,percent\n3.20,10.5\n3.38,10.75 %\n")
                    if amount is None:
                        self.assertEqual(post.reasons(), ["no_price"])
                    else:
                        self.assertEqual(post.charges(), [("base", "10.00"), ("fuel", amount)])

    def test_errors(self):
        for fuel in ("road\n11\n", "from,road\n2026-07-06,-1\n", "from,road\n2026-07-06,1\n2026-07-06,2\n", "from,until,road\n2026-07-06,2026-07-13,1\n2026-07-13,,2\n",
                     "from,road\n2026-07-06,1.23456\n", "from,road\n2026-07-06,1000000001\n", "from,air\n2026-07-06,1\n", "from,road,road\n2026-07-06,1,1\n",
                     "from,until,road\n2026-07-06,2026-07-05,1\n", "from,road\n2026-07-06,1,2\n", "from,road\n"):
            with self.assertRaises(oracle.TablesError, msg=fuel):
                self.folder(fuel)
        with self.assertRaises(oracle.TablesError):  # no amount of money has a percent
            self.folder(services=[service(prices=[{"amount": {"series": "fuel", "column": "air"}}])])
        for good_for in ("0 days", "3661 days", "a week"):
            with self.assertRaises(oracle.TablesError, msg=good_for):
                self.folder(good_for=good_for)


if __name__ == "__main__":
    unittest.main()
