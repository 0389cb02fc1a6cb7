#!/usr/bin/env python3
"""Proves the slow pricer on what printed lists say of tax, reductions, rates by weight, size classes, cover and days (A4.5 to
A5), each with its source; what a comment calls reckoned follows from the printed figures."""

import datetime
import pathlib
import sys
import unittest

sys.path.insert(0, str(pathlib.Path(__file__).parent))
import oracle  # noqa: E402
from small_tables import Examples, sealed, service, tables_of, tariff  # noqa: E402

SMALL = "20 x 15 x 10 cm"


def by_weight(rows, columns=("1",), **more):
    return {"table": {"by": "weight", "unit": "kg", "columns": list(columns), "rows": rows, **more}}


def charges(document, request, *more):
    ranking = oracle.rank(tables_of(document, *more), request)
    assert ranking["offers"], ranking["refusals"]
    return [(c["code"], c["amount"]) for c in ranking["offers"][0]["charges"]]


class Tax(unittest.TestCase):
    def test_listed_with_tax(self):
        # La Poste, Principaux Tarifs Colis, 1 March 2010: prices with tax and, beside them, without (19.6 %).
        printed = {1: ("7.90", "6.61"), 2: ("10.00", "8.36"), 3: ("9.50", "7.94"), 5: ("11.00", "9.20"), 7: ("13.00", "10.87")}
        tax = {"code": "tva", "title": "TVA", "percent": 19.6, "listed": "with"}
        post = Examples(tariff([service(prices=[by_weight([[kg, total] for kg, (total, _) in printed.items()])])],
                               currency="EUR", tax=tax))
        for kg, (total, net) in printed.items():
            self.assertEqual((post.price(f"{kg} kg", SMALL, "1"), post.net()), (total, net))
            self.assertEqual(post.lines(), [("base", total)])  # told beside the lines

    def test_listed_without_tax(self):
        # Ostalb Mail, Preisliste Paketsendungen national, each "zzgl. 19 % MwSt"; reckoned: three of the six are halves of a cent.
        printed = {2: ("3.90", "4.64"), 3: ("4.50", "5.36"), 5: ("4.90", "5.83"), 10: ("5.50", "6.55"), 20: ("6.90", "8.21"),
                   "31.5": ("11.50", "13.69")}
        rows = [[float(kg), net] for kg, (net, _) in printed.items()]
        tax = {"code": "mwst", "title": "MwSt", "percent": 19, "listed": "without"}
        post = Examples(tariff([service(prices=[by_weight(rows)])], currency="EUR", tax=tax))
        for kg, (net, total) in printed.items():
            self.assertEqual((post.price(f"{kg} kg", SMALL, "1"), post.net()), (total, net))
            self.assertEqual([code for code, _ in post.lines()], ["base", "mwst"])
        even = Examples(tariff([service(prices=[by_weight(rows)])], currency="EUR", tax=tax, rounding={"mode": "half_even"}))
        self.assertEqual([even.price(f"{kg} kg", SMALL, "1") for kg in (3, 10, 31.5)], ["5.36", "6.54", "13.68"])

    def two_lines(self, **tax):
        extra = {"code": "signature", "title": "", "amount": "1.13"}
        return Examples(tariff([service(prices=[{"amount": "1.13"}], extras=["signature"])], extras=[extra],
                               tax={"code": "vat", "title": "VAT", "percent": 20, **tax}))

    def test_once_or_by_line(self):
        # Reckoned: 20 % of 1.13 is 0.226, so 0.23 a line and 0.46 in all; of 2.26 it is 0.452, so 0.45. Of prices with tax a sixth:
        # 0.18833 a line, so 0.38; of 2.26 it is 0.37667, so 0.38.
        for listed, rounded, total, net in (("without", "total", "2.71", "2.26"), ("without", "line", "2.72", "2.26"),
                                            ("with", "total", "2.26", "1.88"), ("with", "line", "2.26", "1.88")):
            post = self.two_lines(listed=listed, rounded=rounded)
            example = {"service": "parcel", "parcel": {"weight": "1 kg", "sides": SMALL}, "zone": "1", "extras": ["signature"]}
            self.assertEqual((post.total_of(example), post.net()), (total, net), (listed, rounded))

    def test_when_due_and_exempt(self):
        # Lithuania Post, express abroad: 21 % to members of the Union, 0 % elsewhere; a service that is exempt has none at all.
        tax = {"code": "vat", "title": "VAT", "percent": 21, "listed": "without", "when": {"zone": {"is": "EU"}}}
        post = Examples(tariff([service(prices=[{"amount": 10}]), service(code="letter", prices=[{"amount": 10}], tax=None)], tax=tax,
                               zones={"main": [{"kind": "regions", "zones": {"EU": ["FR"], "W": ["US"]}}]}))
        self.assertEqual(post.price("1 kg", SMALL, "EU"), "12.10")
        self.assertEqual((post.price("1 kg", SMALL, "W"), post.net(), post.outcome.priced.tax), ("10.00", "10.00", None))
        self.assertEqual(post.price("1 kg", SMALL, "EU", "letter"), "10.00")

    def test_by_the_weight(self):
        # DHL Paket (Germany): free of tax, but "for parcels exceeding 10 kg or a combined length and girth of 300 cm" with it.
        # Reckoned of 13.99, the price to 31.5 kg: 11.76 net.
        tax = {"code": "mwst", "title": "MwSt", "percent": 19, "listed": "with",
               "when": {"any": [{"weight": {"over": "10 kg"}}, {"length_plus_girth": {"over": "300 cm"}}]}}
        post = Examples(tariff([service(prices=[by_weight([[10, 7.49], [31.5, 13.99]])])], currency="EUR", tax=tax))
        self.assertEqual((post.price("10 kg", SMALL, "1"), post.net()), ("7.49", "7.49"))
        self.assertEqual((post.price("10.001 kg", SMALL, "1"), post.net()), ("13.99", "11.76"))
        self.assertEqual((post.price("5 kg", "120 x 60 x 31 cm", "1"), post.net()), ("7.49", "6.29"))  # 302 cm; 7.49 is 6.29 net

    def test_not_below_0_by_line(self):
        # By the page: up to cents, 1 % of 0.50 is 0.01, and of each of four times 0.125 off 0.01 as well: -0.03 in all, so 0.
        off = [{"code": f"off-{i}", "title": "", "less": "0.12"} for i in range(4)]
        post = Examples(tariff([service(prices=[{"amount": "0.50"}], surcharges=[s["code"] for s in off])], surcharges=off,
                               rounding={"mode": "up"}, tax={"code": "vat", "title": "", "percent": 1, "listed": "without", "rounded": "line"}))
        self.assertEqual(post.price("1 kg", SMALL, "1"), "0.02")
        self.assertEqual(post.lines()[-1], ("vat", "0.00"))

    def test_tax_is_last_and_without_discount(self):
        # Reckoned: 10.00 less 10 % is 9.00, signature 2.00 less 10 % is 1.80; 20 % of 10.80 is 2.16.
        document = tariff([service(prices=[{"amount": 10}], extras=["signature"])], extras=[{"code": "signature", "title": "", "amount": 2}],
                          tax={"code": "vat", "title": "VAT", "percent": 20, "listed": "without"})
        terms = {"format": "tarewise-terms-1", "carrier": "post", "in_force": {"from": "2026-01-01"}, "discounts": [{"percent": 10, "of": ["*"]}]}
        asked = {**sealed("1 lb", "1 x 1 x 1 in"), "extras": ["signature"]}
        self.assertEqual(charges(document, asked, terms), [("base", "10.00"), ("discount", "-1.00"), ("signature", "2.00"),
                                                           ("discount", "-0.20"), ("vat", "2.16")])
        offer = oracle.rank(tables_of(document, terms), asked)["offers"][0]
        self.assertEqual((offer["total"], offer["tax"]), ("12.96", {"code": "vat", "title": "VAT", "percent": "20", "amount": "2.16",
                                                                   "net": "10.80", "with_tax": "12.96"}))
        without = oracle.rank(tables_of(document, terms), {**asked, "totals": "without_tax"})
        self.assertEqual((without["totals"], without["offers"][0]["total"], without["offers"][0]["tax"]["with_tax"]),
                         ("without_tax", "10.80", "12.96"))

    def test_net_is_not_below_0(self):
        # By the page: 0.03 and tax of 0.01 are rounded to a total of 0.0, of which the net is 0.
        post = Examples(tariff([service(prices=[{"amount": "0.03"}])], tax={"code": "vat", "title": "", "percent": 19, "listed": "without"},
                               rounding={"total": 0.1}))
        self.assertEqual((post.price("1 kg", SMALL, "1"), post.net()), ("0.00", "0.00"))


class Reductions(unittest.TestCase):
    def test_printed_with_the_list(self):
        # DHL Paket (Germany): 6.99, 8.49, 14.99 at the counter, and 1.00 less online. Swiss Post, PostPac Priority: 9.00 and 23.00,
        # "reduction in CHF 1.50" of a return with a label: 7.50 and 21.50.
        post = Examples(tariff([service(prices=[by_weight([[5, 6.99], [10, 8.49], [31.5, 14.99]])], extras=["online"])],
                               currency="EUR", extras=[{"code": "online", "title": "Online", "less": 1}]))
        for kg, counter, online in ((5, "6.99", "5.99"), (10, "8.49", "7.49"), (31, "14.99", "13.99")):
            example = {"service": "parcel", "parcel": {"weight": f"{kg} kg", "sides": SMALL}, "zone": "1"}
            self.assertEqual(post.total_of(example), counter)
            self.assertEqual(post.total_of({**example, "extras": ["online"]}), online)
            self.assertEqual(post.lines(), [("base", counter), ("online", "-1.00")])

    def surcharged(self, *surcharges, **more):
        document = tariff([service(prices=[{"amount": 5}], surcharges=[s["code"] for s in surcharges], **more.pop("of_service", {}))],
                          surcharges=list(surcharges), **more)
        return Examples(document)

    def test_never_below_0(self):
        # By the page: of 5.00 and 2.00 no more than 7.00 comes off, and then nothing more.
        post = self.surcharged({"code": "home", "title": "", "amount": 2}, {"code": "barcode", "title": "", "less": 9},
                               {"code": "bulk", "title": "", "less": {"percent": 10, "of": ["base"]}}, {"code": "remote", "title": "", "amount": 1})
        self.assertEqual(post.price("1 kg", SMALL, "1"), "1.00")
        self.assertEqual(post.lines(), [("base", "5.00"), ("home", "2.00"), ("barcode", "-7.00"), ("remote", "1.00")])

    def test_in_percentages_and_strikes(self):
        # Reckoned: 10 % of 5.00 - 1.00 is 0.40; of the reduction alone, a sum below 0, nothing. What comes to 0 is no line, but strikes.
        post = self.surcharged({"code": "web", "title": "", "less": {"by_zone": {"1": 1, "*": 0}}, "replaces": ["paper"]},
                               {"code": "paper", "title": "", "amount": 3}, {"code": "fuel", "title": "", "percent": 10, "of": ["base", "web"]},
                               {"code": "odd", "title": "", "percent": 10, "of": ["web"]},
                               zones={"main": [{"kind": "regions", "zones": {"1": ["US"], "2": ["CA"]}}]})
        self.assertEqual(post.price("1 kg", SMALL, "1"), "4.40")
        self.assertEqual(post.lines(), [("base", "5.00"), ("web", "-1.00"), ("fuel", "0.40"), ("odd", "0.00")])
        self.assertEqual(post.price("1 kg", SMALL, "2"), "5.50")
        self.assertEqual(post.lines(), [("base", "5.00"), ("fuel", "0.50"), ("odd", "0.00")])

    def test_no_discount_on_a_reduction(self):
        document = tariff([service(prices=[{"amount": 5}], surcharges=["web"])], surcharges=[{"code": "web", "title": "", "less": 1}])
        terms = {"format": "tarewise-terms-1", "carrier": "post", "in_force": {"from": "2026-01-01"}, "discounts": [{"percent": 50, "of": ["*"]}]}
        self.assertEqual(charges(document, sealed("1 lb", "1 x 1 x 1 in"), terms), [("base", "5.00"), ("discount", "-2.50"), ("web", "-1.00")])


class Discounts(unittest.TestCase):
    def priced(self, *discounts, base="10.00", **asked):
        document = tariff([service(prices=[{"amount": base}])])
        terms = {"format": "tarewise-terms-1", "carrier": "post", "in_force": {"from": "2026-01-01"}, "discounts": list(discounts)}
        return [amount for _, amount in charges(document, {**sealed("1 lb", "1 x 1 x 1 in"), **asked}, terms)]

    def test_those_that_add_up(self):
        # Japan Post, yu-pack, as quoted at help.sedorion.com/2311.html: carried in 120 yen, the same address 60, several at once 60;
        # the first goes with either of the others, which do not go together: at most 180. 1,030 - 180 = 850.
        document = tariff([service(prices=[{"amount": 1030}])], currency="JPY")
        terms = {"format": "tarewise-terms-1", "carrier": "post", "in_force": {"from": "2026-01-01"}, "discounts": [
            {"less": 60, "of": ["base"]}, {"less": 120, "of": ["base"], "adds": True}, {"less": 60, "of": ["base"]}]}
        ranking = oracle.rank(tables_of(document, terms), sealed("1 lb", "1 x 1 x 1 in"))
        self.assertEqual([c["amount"] for c in ranking["offers"][0]["charges"]], ["1030", "-60", "-120"])
        self.assertEqual(ranking["offers"][0]["total"], "850")

    def test_order_and_floors(self):
        # By the page: each of the whole listed line; 10.00 less 30 % and 50 % leaves 2.00, of which a floor of 1.50 leaves 0.50 to take.
        added = {"percent": 50, "of": ["base"], "adds": True}
        self.assertEqual(self.priced({"percent": 30, "of": ["base"]}, added, {"less": 1, "of": ["base"], "adds": True, "floor": "1.50"}),
                         ["10.00", "-3.00", "-5.00", "-0.50"])
        self.assertEqual(self.priced(added, {"percent": 30, "of": ["*"]}, {"percent": 40, "of": ["*"]}, {**added, "floor": 9}),
                         ["10.00", "-5.00", "-3.00"])
        self.assertEqual(self.priced({"less": "10.01", "of": ["base"]}, added), ["10.00", "-10.00"])
        self.assertEqual(self.priced({"percent": 100, "of": ["base"]}), ["10.00", "-10.00"])

    def test_an_earned_tier(self):
        # Swiss Post, parcels for business, 1 January 2017: 4 % from CHF 1,250 of turnover, 6 % from 3,000, 8 % over 4,000. Reckoned:
        # 8.33 less 6 % is 7.83, less 8 % is 7.66. (There by the month.)
        tiers = [{"percent": percent, "of": ["base"], "when": {"week": {"spend": bound}}} for percent, bound in (
            (8, {"over": "4000"}), (6, {"at_least": "3000"}), (4, {"at_least": 1250}))]
        for spend, off in (("4000.01", "-0.67"), ("4000", "-0.50"), ("3000", "-0.50"), ("2999.99", "-0.33"), ("1250", "-0.33")):
            self.assertEqual(self.priced(*tiers, base="8.33", week={"spend": spend}), ["8.33", off])
        self.assertEqual(self.priced(*tiers, base="8.33", week={"spend": "1249.99"}), ["8.33"])
        self.assertEqual(self.priced(*tiers, base="8.33"), ["8.33"])
        # A carrier's own figures stand in the place of both.
        own = {"spend": "5000", "parcels": 9, "carriers": {"post": {"parcels": 50}}}
        self.assertEqual(self.priced(*tiers, base="8.33", week=own), ["8.33"])
        by_count = {"percent": 10, "of": ["base"], "when": {"week": {"parcels": {"at_least": 50}}}}
        self.assertEqual(self.priced(by_count, week=own), ["10.00", "-1.00"])


class LatePercentages(unittest.TestCase):
    def document(self, *of):
        surcharges = [{"code": f"fuel-{i}", "title": "", "percent": 10, "of": names} for i, names in enumerate(of)]
        return tariff([service(prices=[{"amount": 10}], extras=["signature", "cash-on-delivery", "cover"],
                               surcharges=[s["code"] for s in surcharges] + ["home"])],
                      surcharges=surcharges + [{"code": "home", "title": "", "amount": 4}],
                      extras=[{"code": "signature", "title": "", "amount": 3}, {"code": "cash-on-delivery", "title": "", "amount": 5},
                              {"code": "cover", "title": "", "percent": 50, "of": ["cash-on-delivery"]}])

    def test_what_they_reach(self):
        # Canpar: fuel is of "the service rate, transportation related surcharges and additional specialized services". Reckoned: cover is half
        # of 5.00; 10 % of 10 + 1 + 4 + 3 + 5 + 2.50 is 2.55; of extras 1.05, of the base and cover 1.25, and of all above, late ones too, 3.035.
        asked = {**sealed("1 lb", "1 x 1 x 1 in"), "extras": ["signature"], "amounts": {"cash_on_delivery": 20}, "cover": 10}
        self.assertEqual(charges(self.document(["*", "extras"], ["extras"], ["base", "cover"], ["*"], ["*", "extras"]), asked), [
            ("base", "10.00"), ("fuel-3", "1.00"), ("home", "4.00"), ("signature", "3.00"), ("cash-on-delivery", "5.00"), ("cover", "2.50"),
            ("fuel-0", "2.55"), ("fuel-1", "1.05"), ("fuel-2", "1.25"), ("fuel-4", "3.04")])

    def test_what_never_stands_above(self):
        for of in (["home"], ["fuel-1"], ["*", "base"]):
            with self.assertRaises(ValueError, msg=of):
                tables_of(self.document(of, ["extras"]))
        tables_of(self.document(["extras", "home"]))  # a late one comes behind them all
        for extra, of in (("signature", "signature"), ("signature", "cover"), ("cash-on-delivery", "cover"), ("signature", "cash-on-delivery"),
                          ("signature", "fuel-0")):
            document = self.document(["extras"])
            for entry in document["extras"]:
                if entry["code"] == extra:
                    entry.pop("amount", None)
                    entry.update({"percent": 5, "of": [of]})
            with self.assertRaises(ValueError, msg=(extra, of)):
                tables_of(document)


class Rates(unittest.TestCase):
    def rated(self, grid, **more):
        table = {"by": "billable_weight", "unit": "kg", "rate": "1 kg", "columns": ["1"], "rows": grid, **more}
        return Examples(tariff([service(prices=[{"table": table}])], currency="CNY"))

    def price(self, post, weight):
        total = post.price(weight, SMALL, "1")
        return total, [bound for _, bound in post.outcome.priced.billed_as]

    def test_a_heavier_break(self):
        # airfreightfromchina.com on chargeable weight: 16.00 a kg under 45 kg, 9.00 from there: of 30 kg one pays 9 x 45 = 405.
        # Reckoned: 25 kg is 400; 26 kg would be 416.
        post = self.rated([[45, 16], [1000, 9]], deficit=True)
        self.assertEqual(self.price(post, "30 kg"), ("405.00", ["45 kg"]))
        self.assertEqual(self.price(post, "25 kg"), ("400.00", []))
        self.assertEqual(self.price(post, "25.001 kg"), ("405.00", ["45 kg"]))
        self.assertEqual(self.price(post, "46 kg"), ("414.00", []))
        self.assertEqual(self.price(self.rated([[45, 16], [1000, 9]]), "30 kg"), ("480.00", []))
        # ssopdot.com/blog/15497: 37.15 and 18.28: 30 kg pays 45 x 18.28 = 822.60.
        self.assertEqual(self.price(self.rated([[45, 37.15], [1000, 18.28]], deficit=True), "30 kg"), ("822.60", ["45 kg"]))

    def test_least(self):
        # m.scqike.com/n44576: least 501, 25.9 a kg, 22.9 from 45 kg: 10 kg pays 501, 30 kg 777. Reckoned: 40 kg 1030.50, as 45 kg.
        post = self.rated([[45, 25.9], [1000, 22.9]], deficit=True, least=501)
        self.assertEqual(self.price(post, "10 kg"), ("501.00", []))
        self.assertEqual(self.price(post, "30 kg"), ("777.00", []))
        self.assertEqual(self.price(post, "40 kg"), ("1030.50", ["45 kg"]))

    def test_hundredweight(self):
        # freightlogistics.wordpress.com, 19 December 2007: 58.21 a hundredweight from 1,000 lb, 49.39 from 2,000: the break is 1696 lb.
        table = {"by": "weight", "unit": "lb", "rate": "1 lb", "deficit": True, "columns": ["*"], "rows": [[2000, "0.5821"], [5000, "0.4939"]]}
        post = Examples(tariff([service(prices=[{"table": table}])]))
        self.assertEqual(post.price("1696 lb", SMALL, "1"), "987.24")
        self.assertEqual(post.outcome.priced.billed_as, [])
        self.assertEqual(post.price("1697 lb", SMALL, "1"), "987.80")
        self.assertEqual(oracle.weight(post.outcome.priced.billed_as[0][1]), oracle.weight("2000 lb"))

    def test_any_heavier_row(self):
        # By the page. 10 kg: own 100; as 20 kg 6 x 20 = 120; as 50 kg 1.9 x 50 = 95. Rows without a cell are passed over, and the row before
        # gives the weight; equals go to the own row, then to the lightest; the least amount says nothing of a weight.
        post = self.rated([[20, 10], [50, 6], [90, "1.9"]], deficit=True)
        self.assertEqual(self.price(post, "10 kg"), ("95.00", ["50 kg"]))
        self.assertEqual(self.price(post, "9.5 kg"), ("95.00", ["50 kg"]))
        self.assertEqual(self.price(post, "9 kg"), ("90.00", []))
        self.assertEqual(self.price(self.rated([[20, 10], [50, None], [90, "1.9"]], deficit=True), "10 kg"), ("95.00", ["50 kg"]))
        self.assertEqual(self.price(self.rated([[20, 10], [50, 5], [90, 2]], deficit=True), "10 kg"), ("100.00", []))
        self.assertEqual(self.price(self.rated([[20, 10], [50, 4], [90, "1.6"]], deficit=True), "10 kg"), ("80.00", ["20 kg"]))
        self.assertEqual(self.price(self.rated([[20, 10], [50, 4]], deficit=True, least=[99]), "10 kg"), ("99.00", []))
        self.assertEqual(self.rated([[20, None], [50, 4]], deficit=True).price("10 kg", SMALL, "1"), ["no_price"])
        self.assertEqual(self.rated([[20, 1]]).price("20.001 kg", SMALL, "1"), ["no_price"])
        self.assertEqual(self.price(self.rated([[20, 3]], least=[None]), "0.2 kg"), ("3.00", []))  # at least one step
        # Steps are begun of the whole measure, and of a heavier row of the bound before it: 4 x 12.5 kg, begun by 5 kg, is 3 steps.
        self.assertEqual(self.price(self.rated([["12.5 kg", 10], [50, 4]], deficit=True, rate="5 kg"), "11 kg"), ("12.00", ["12.5 kg"]))

    def test_what_does_not_stand_together(self):
        for more in ({"beyond": {"step": 1, "add": [1]}}, {"by": ["weight", "length"], "unit": ["kg", "cm"], "rows": [[1, 1, 1]]},
                     {"least": [1, 2]}, {"rate": 1}):
            with self.assertRaises(ValueError, msg=more):
                self.rated([[1, 1]], **more)
        for more in ({"least": 5}, {"deficit": True}):
            with self.assertRaises(ValueError, msg=more):
                tables_of(tariff([service(prices=[by_weight([[1, 1]], **more)])]))


class SizeClasses(unittest.TestCase):
    # Yamato takkyubin, sizes as quoted at e-ijyu.jp/yamato.html, prices at torisedo.com/64893.html: the larger of size and weight wins.
    ROWS = [[60, 2, 930], [80, 5, 1150], [100, 10, 1390], [120, 15, 1610], [140, 20, 1850], [160, 25, 2070]]

    def classes(self, rows, by=("sum_of_sides", "weight"), unit=("cm", "kg")):
        return Examples(tariff([service(prices=[{"table": {"by": list(by), "unit": list(unit), "columns": ["*"], "rows": rows}}])],
                               currency="JPY"))

    def test_the_larger_wins(self):
        post = self.classes(self.ROWS)
        for sides, weight, total in (("20 x 20 x 20 cm", "4 kg", "1150"), ("47 x 36 x 19 cm", "1 kg", "1610"), ("58 x 1 x 1 cm", "2 kg", "930"),
                                     ("20 x 20 x 20 cm", "2.001 kg", "1150"), ("20 x 20 x 20.1 cm", "2 kg", "1150"),
                                     ("160 x 0.1 x 0.1 cm", "2 kg", ["no_price"]), ("10 x 10 x 10 cm", "25.1 kg", ["no_price"])):
            self.assertEqual(post.price(weight, sides, "1"), total, (sides, weight))

    def test_cells_and_rows(self):
        # By the page: a cell that is not offered stands for its class; a row within an earlier one is an error; equal bounds are not.
        post = self.classes([[60, 2, None], [80, 2, 5], [60, 5, 7]])
        self.assertEqual([post.price(w, f"{s} x 1 x 1 cm", "1") for s, w in ((58, "2 kg"), (59, "2 kg"), (58, "3 kg"), (59, "3 kg"))],
                         [["no_price"], "5", "7", ["no_price"]])
        with self.assertRaises(ValueError):
            self.classes([[60, 5, 1], [60, 2, 2]])
        for by, unit in ((("weight", "weight"), ("kg", "kg")), (("weight",), ("kg",)), (("weight", "length"), ("kg",))):
            with self.assertRaises(ValueError, msg=by):
                self.classes([[60] * len(by) + [1]], by, unit)


class Cover(unittest.TestCase):
    def included(self, service_of, weight):
        tables = tables_of(tariff([service_of]))
        facts = {"weight": oracle.weight(weight), "billable_weight": oracle.weight(weight), "zone": None}
        return oracle.show_money(oracle.included_cover(tables.tariffs[0]["services"][0], facts), "EUR")

    def test_by_the_kilogram(self):
        # La Poste 2010 (see above): 23 EUR a kg, printed 23, 46, 69, 115, 161. French contract type: 33 EUR a kg, at most 1,000.
        s = service(prices=[{"amount": 1}], included_cover={"per": {"measure": "weight", "step": "1 kg", "first": 23, "each": 23}})
        for kg, cover in ((1, "23.00"), (2, "46.00"), (3, "69.00"), (5, "115.00"), (7, "161.00")):
            self.assertEqual(self.included(s, f"{kg} kg"), cover)
        s["included_cover"] = {"per": {"measure": "billable_weight", "step": "1 kg", "first": 33, "each": 33}, "at_most": 1000}
        self.assertEqual([self.included(s, f"{kg} kg") for kg in (30, 31)], ["990.00", "1000.00"])

    def test_by_a_table(self):
        s = service(prices=[{"amount": 1}], included_cover={"table": {"by": "weight", "unit": "kg", "columns": ["*"],
                                                                      "rows": [[1, "20.005"], [2, None], [5, 90]]}, "at_most": 50})
        self.assertEqual([self.included(s, weight) for weight in ("1 kg", "1.001 kg", "2.001 kg", "5.001 kg")],
                         ["20.005", "0.00", "50.00", "0.00"])

    def test_what_is_charged_past_it(self):
        s = service(prices=[{"amount": 5}], extras=["cover"], included_cover={"per": {"measure": "weight", "step": "1 lb", "first": 20, "each": 20}})
        document = tariff([s], extras=[{"code": "cover", "title": "", "amount": 2}])
        ask = lambda weight: {**sealed(weight, "1 x 1 x 1 in"), "cover": 40}  # noqa: E731
        self.assertEqual(charges(document, ask("1 lb")), [("base", "5.00"), ("cover", "2.00")])
        self.assertEqual(charges(document, ask("1.001 lb")), [("base", "5.00")])


class Calendar(unittest.TestCase):
    WEEK = ["mon", "tue", "wed", "thu", "fri"]

    def arrival(self, handed_over, days, time=None, **calendar):
        return oracle.arrival(oracle.read_calendar({"working": self.WEEK, **calendar}), handed_over, time, days)

    def test_a_holiday_and_a_cut_off(self):
        # littlepartyparcels.co.uk, August 2018: Monday 27 is a holiday, the cut-off 11:00, next working day. Ordered by Friday 24, 11:00: "Tuesday
        # will be their next working day", 28; after it: Wednesday 29; by Thursday 11:00: Friday.
        more = {"holidays": ["2018-08-27"], "cut_off": "11:00"}
        self.assertEqual(self.arrival("2018-08-24", 1, "11:00", **more), "2018-08-28")
        self.assertEqual(self.arrival("2018-08-24", 1, "11:01", **more), "2018-08-29")
        self.assertEqual(self.arrival("2018-08-23", 1, "11:00", **more), "2018-08-24")
        self.assertEqual(self.arrival("2018-08-24", 1, None, **more), "2018-08-28")  # without a time it is not late

    def test_working_days_after_the_deposit(self):
        # Directive 97/67/EC, Annex II: D + n working days; after the last collection D is the day that follows. 6 August 2026 is a Thursday.
        self.assertEqual(self.arrival("2026-08-06", 3, "15:00", cut_off="16:00"), "2026-08-11")
        self.assertEqual(self.arrival("2026-08-06", 3, "16:01", cut_off="16:00"), "2026-08-12")
        self.assertEqual(self.arrival("2026-08-08", 1), "2026-08-11")  # of a Saturday: Monday is D

    def test_saturday_and_other_delivering_days(self):
        # By the page. 7 August 2026 is a Friday.
        six = self.WEEK + ["sat"]
        self.assertEqual(self.arrival("2026-08-07", 1, delivering=six), "2026-08-08")
        self.assertEqual(self.arrival("2026-08-07", 2, delivering=six), "2026-08-11")  # Monday works, Tuesday is the first day after it
        self.assertEqual(self.arrival("2026-08-07", 1), "2026-08-10")
        self.assertEqual(self.arrival("2026-08-07", 0), "2026-08-07")
        self.assertEqual(self.arrival("2026-08-07", 0, delivering=["mon"]), "2026-08-10")
        self.assertEqual(self.arrival("2026-08-07", 0, delivering=six, holidays=["2026-08-07"]), "2026-08-10")  # the start is Monday
        self.assertEqual(self.arrival("2026-08-07", 1, delivering=["sat"], holidays=["2026-08-08"]), "2026-08-15")

    def test_no_date(self):
        # By the page: the 400 days after a date are looked at, and years to 9999.
        def idle(days):
            first = datetime.date(2026, 8, 7)
            return [(first + datetime.timedelta(days=i)).isoformat() for i in range(days)]
        every = list(oracle.WEEKDAYS)
        self.assertEqual(oracle.arrival(oracle.read_calendar({"working": every, "holidays": idle(399)}), "2026-08-06", None, 1), "2027-09-10")
        self.assertIsNone(oracle.arrival(oracle.read_calendar({"working": every, "holidays": idle(400)}), "2026-08-06", None, 1))
        self.assertEqual(oracle.arrival(oracle.read_calendar({"working": every}), "9999-12-30", None, 1), "9999-12-31")
        self.assertIsNone(oracle.arrival(oracle.read_calendar({"working": every}), "9999-12-31", None, 1))

    def test_days_by_another_chart(self):
        # DPD Lithuania, terms of international parcels: Finland takes 2 to 4 working days and Austria 4, in one price zone.
        charts = {"main": [{"kind": "regions", "zones": {"2": ["FI", "AT", "BE"]}}],
                  "transit": [{"kind": "regions", "zones": {"a": ["FI"], "b": ["AT"]}}]}
        document = tariff([service(prices=[{"amount": 5}], days={"a": [2, 4], "b": [4, 4]}, days_by="transit", calendar={"working": self.WEEK})],
                          zones=charts, currency="EUR")
        asked = sealed("1 kg", SMALL)
        for country, days, dates in (("FI", [2, 4], ["2026-08-05", "2026-08-07"]), ("AT", [4, 4], ["2026-08-07"] * 2), ("BE", None, None)):
            offer, = oracle.rank(tables_of(document), {**asked, "to": {"country": country}})["offers"]
            self.assertEqual((offer["zone"], offer.get("days"), offer.get("arrives")), ("2", days, dates))

    def test_examples(self):
        example = {"service": "parcel", "parcel": {"weight": "1 kg", "sides": SMALL}, "zone": "1", "date": "2026-08-07", "time": "16:01",
                   "total": 5, "net": 5, "arrives": ["2026-08-11", "2026-08-12"]}
        document = tariff([service(prices=[{"amount": 5}], days={"1": [1, 2]}, delivers="locker")],
                          calendar={"working": self.WEEK, "cut_off": "16:00"}, examples=[example])
        self.assertEqual(oracle.check_examples(tables_of(document)), (1, []))
        for key, wrong in (("total", 6), ("net", 6), ("arrives", ["2026-08-10", "2026-08-12"]), ("time", "16:00")):
            document["examples"] = [{**example, key: wrong}]
            self.assertEqual(len(oracle.check_examples(tables_of(document))[1]), 1, key)


if __name__ == "__main__":
    unittest.main()
