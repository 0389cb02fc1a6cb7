#!/usr/bin/env python3
"""Proves the slow pricer on consignments (A4.10): the prices of rules-consignment.case, which are worked by hand, those of
hundredweight.case, which follow from published rates, and what must be an error."""

import pathlib
import sys
import unittest
from fractions import Fraction

sys.path.insert(0, str(pathlib.Path(__file__).parent))
import oracle  # noqa: E402
from small_tables import sealed, service, tables_of, tariff  # noqa: E402

CASES = pathlib.Path(__file__).parent.parent / "cases"


def cases(name):
    """(tariff's example, its answer) of a file of cases, read by the few words that these use."""
    folder, around, asked, example, found = None, {}, {}, None, []
    for line in (CASES / name).read_text(encoding="utf-8").splitlines():
        word, _, value = line.partition(" ")
        if word == "tables":
            folder = CASES.parent.parent / value
        elif word == "service":
            around["service"] = value.split("/")[1]
        elif word in ("date", "zone"):
            around[word] = value
        elif word == "to":
            around["residential"] = value.endswith(" residential")
        elif word == "consignment":
            others, gross, which = value.split("; ")
            asked = {"consignment": {"others": int(others), "others_weight": gross, "first": which == "first"}}
        elif word == "parcel":
            gross, sides = value.split("; ")
            example, asked = {**around, "parcel": {"weight": gross, "sides": sides}, **asked}, {}
        elif word in ("expect", "refused"):
            found.append((example, word, value))
    return oracle.Tables.load(folder), found


class WorkedPrices(unittest.TestCase):
    def check(self, name, least):
        tables, found = cases(name)
        for example, word, value in found:
            outcome = oracle.example_outcome(tables, tables.tariffs[0], example)
            if word == "refused":
                self.assertEqual(" ".join(dict.fromkeys(outcome.reasons)), value, example)
                continue
            wanted, *parts = value.split("; ")
            self.assertEqual((outcome.reasons, outcome.priced and outcome.priced.total), ([], oracle.money(wanted)), example)
            for part in parts:
                if part.startswith("lines "):
                    lines = [line.split() for line in part.removeprefix("lines ").split(", ")]
                    self.assertEqual(outcome.priced.charges, [(code, int(Fraction(amount) * oracle.MILLION)) for code, amount in lines], example)
                elif part.startswith("billable "):
                    self.assertEqual(outcome.billable, oracle.weight(part.removeprefix("billable ")), example)
        self.assertGreater(len(found), least)

    def test_rules(self):
        self.check("rules-consignment.case", 20)

    def test_hundredweight(self):
        self.check("hundredweight.case", 9)


class Errors(unittest.TestCase):
    def test_what_parcels_may_differ_in(self):
        once = {"code": "call", "title": "Call", "amount": 5, "once": True}
        tables_of(tariff([service(prices=[{"amount": 1}], surcharges=[once])]))
        by_weight = {"measure": "weight", "step": "1 kg", "first": 1, "each": 1}
        for wrong in ({"when": {"weight": {"over": "1 kg"}}}, {"when": {"any": [{"zone": {"is": "N"}}, {"rigid": True}]}}, {"group": "a"},
                      {"when": {"not": {"extras": {"has": "cover"}}}}, {"percent": 5, "of": ["base"]}, {"per": by_weight}):
            bad = {**once, **wrong}
            if {"percent", "per"} & set(wrong):
                del bad["amount"]
            with self.assertRaises(ValueError):
                tables_of(tariff([service(prices=[{"amount": 1}], surcharges=[bad])]))
        good = {**once, "when": {"all": [{"pieces": {"over": 1}}, {"consignment_weight": {"up_to": "9 kg"}}, {"week": {"parcels": {"over": 1}}}]}}
        tables_of(tariff([service(prices=[{"amount": 1}], surcharges=[good])]))

    def test_prices_before_one_that_is_due_once(self):
        once = {"once": True, "amount": 5}
        tables_of(tariff([service(prices=[{"when": {"pieces": {"over": 2}}, "amount": 1}, once, {"per": {
            "measure": "weight", "step": "1 kg", "first": 1, "each": 1}}])]))
        for before in ({"when": {"weight": {"over": "1 kg"}}, "amount": 1}, {"per": {"measure": "weight", "step": "1 kg", "first": 1, "each": 1}}):
            with self.assertRaises(ValueError):
                tables_of(tariff([service(prices=[before, once])]))
        with self.assertRaises(ValueError):
            tables_of(tariff([service(prices=[{"when": {"pieces": {"over": 2}}, "amount": 1}, once], pick="lowest")]))

    def test_requests(self):
        tables = tables_of(tariff([service(prices=[{"per": {"measure": "pieces", "step": 1, "first": 2, "each": 1}}])]))
        for good, total in ((None, "2.00"), ({"others": 0}, "2.00"), ({"others": 999, "others_weight": "1 kg", "first": False}, "1001.00")):
            asked = {**sealed("1 kg", "9 x 6 x 3 in"), **({"consignment": good} if good else {})}
            self.assertEqual(oracle.rank(tables, asked)["offers"][0]["total"], total)
        for bad in ({}, {"others": 1000, "others_weight": "1 kg", "first": True}, {"others": 1, "first": True}, {"others": 1, "others_weight": "1 kg"},
                    {"others": 0, "first": False}, {"others": 0, "others_weight": "1 g"}, {"others": 1, "others_weight": "0 kg", "first": True}):
            with self.assertRaises(oracle.RequestError):
                oracle.rank(tables, {**sealed("1 kg", "9 x 6 x 3 in"), "consignment": bad})


if __name__ == "__main__":
    unittest.main()
