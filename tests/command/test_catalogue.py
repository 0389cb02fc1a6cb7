#!/usr/bin/env python3
"""The commands about catalogues, reprice and compare, as a whole.

    test_catalogue.py --command PATH [NAMES OF TESTS ...]

What they say of a row is what rank says of its goods; what they add up is added up again here in fractions; what differs
between two price lists is read again here from the documents and their grids.
"""

import csv
import fractions
import io
import json
import os
import pathlib
import pty
import random
import shutil
import subprocess
import tempfile
import unittest

import tested
from tested import DEMO, GOODS, ROOT, run

MIX = "tables/catalogue/destinations.csv"
FROM = ["--tables", DEMO, "--from", "US 05401", "--currency", "USD"]
ON = [*FROM, "--date", "2026-08-03"]


def rows_of(text):
    return list(csv.DictReader(io.StringIO(text.decode() if isinstance(text, bytes) else text, newline="")))


def goods_rows():
    with open(ROOT / GOODS, newline="", encoding="utf-8") as file:
        return list(csv.DictReader(file))


def half_up(value, step=fractions.Fraction(1, 100)):
    """Half up to a step, of a fraction of 0 or more; the sign of the magnitude put back."""
    sign = -1 if value < 0 else 1
    return sign * ((abs(value) / step + fractions.Fraction(1, 2)) // 1) * step


def money(text):
    return fractions.Fraction(text)


def cautions_of(ranking):
    """What a row tells of a ranking of light goods: the codes of their contents, then the best offer's own."""
    own = ranking["offers"][0].get("cautions", []) if ranking["offers"] else []
    by_offer = {"lift_with_help", "mark_heavy", "confirm_surface"}
    return [one["code"] for one in ranking["cautions"] if one["code"] != "carrier_decides"
            and (one["code"] in own or one["code"] not in by_offer)]


def without_mode(folder):
    """A copy of the demonstration whose services on the surface do not say so."""
    tables = pathlib.Path(folder) / "tables"
    shutil.copytree(ROOT / DEMO, tables)
    changed = 0
    for path in tables.glob("*.json"):
        document = json.loads(path.read_text(encoding="utf-8"))
        for service in document.get("services", []):
            if service.get("mode") == "surface":
                del service["mode"]
                changed += 1
        path.write_text(json.dumps(document), encoding="utf-8")
    assert changed
    return str(tables)


CAREFUL = ("sku,weight,sides,contents\n"
           "cells,20 oz,6 x 4 x 3 in,lithium_alone\n"
           "perfume,9 oz,6 x 4 x 2 in,liquid flammable_liquid\n"
           "book,20 oz,9 x 6 x 1 in,media\n"
           "anvil,71 lb,9 x 6 x 5 in,\n"
           "dumb-bell,50.6 lb,9 x 6 x 5 in,\n"
           "axe,nothing,9 x 6 x 5 in,sharp\n")


# Irons and an anvil cost more in one parcel than in two; two balls are too heavy for one.
PARTED = ("sku,weight,sides,order\n"
          "irons,40 lb,14 x 12 x 9 in,A-1\n"
          "book,20 oz,9 x 6 x 1 in,A-2\n"
          "anvil,30 lb,12 x 10 x 8 in,A-1\n"
          "print,8 oz,9 x 6 x 0.5 in,A-2\n"
          "cannon,160 lb,30 x 9 x 9 in,A-3\n"
          "lamp,3 lb,10 x 8 x 5 in,\n"
          "ball-1,80 lb,8 x 8 x 8 in,A-4\n"
          "ball-2,80 lb,8 x 8 x 8 in,A-4\n")
PARTED_ANSWER = """\
sku,weight,sides,order,best_total_usd,parcels,best_service,best_packaging,second_total_usd,reason,cautions
irons,40 lb,14 x 12 x 9 in,A-1,73.69,2,fenwick-dray/road,used-lamp,,,
book,20 oz,9 x 6 x 1 in,A-2,9.81,1,harbourline/brick,poly-7,,,
anvil,30 lb,12 x 10 x 8 in,A-1,,,,,,in_order,
print,8 oz,9 x 6 x 0.5 in,A-2,,,,,,in_order,
cannon,160 lb,30 x 9 x 9 in,A-3,,,,,,offered_nowhere,lift_with_help mark_heavy
lamp,3 lb,10 x 8 x 5 in,,12.77,1,fenwick-dray/road,carton-10,13.46,,
ball-1,80 lb,8 x 8 x 8 in,A-4,197.68,2,fenwick-dray/road,used-kettle,,,lift_with_help mark_heavy
ball-2,80 lb,8 x 8 x 8 in,A-4,,,,,,in_order,
"""


class Reprice(unittest.TestCase):
    def test_goods_that_carry_a_caution_get_it(self):
        with tempfile.TemporaryDirectory() as folder:
            unsaid = without_mode(folder)
            for tables, confirm in ((DEMO, False), (unsaid, True)):
                with self.subTest(tables):
                    arguments = ["--tables", tables, "--from", "US 05401", "--currency", "USD", "--date", "2026-08-03",
                                 "--to", "US 98101"]
                    done = run(["reprice", *arguments, "-"], CAREFUL)
                    self.assertEqual(done.returncode, 0, done.stderr.decode())
                    rows = {row["sku"]: row for row in rows_of(done.stdout)}
                    for sku, weight, sides, contents in (("cells", "20 oz", "6 x 4 x 3 in", "lithium_alone"),
                                                         ("perfume", "9 oz", "6 x 4 x 2 in", "liquid flammable_liquid"),
                                                         ("book", "20 oz", "9 x 6 x 1 in", "media"),
                                                         ("dumb-bell", "50.6 lb", "9 x 6 x 5 in", "")):
                        answer = run(["rank", *arguments, "--weight", weight, "--sides", sides, "--json",
                                      *(["--contents", contents] if contents else [])])
                        self.assertEqual(rows[sku]["cautions"].split(), cautions_of(json.loads(answer.stdout)), sku)
                    self.assertEqual(rows["cells"]["cautions"], "lithium_alone confirm_surface" if confirm else "lithium_alone")
                    self.assertEqual(rows["perfume"]["cautions"].split()[:2], ["flammable_liquid", "liquid"])
                    self.assertEqual(rows["book"]["cautions"], "")
                    self.assertEqual(rows["anvil"]["cautions"], "lift_with_help mark_heavy")
                    # 50.6 lb are just under 23 kg; the packaging makes them more.
                    self.assertEqual(rows["dumb-bell"]["cautions"], "lift_with_help")
                    self.assertEqual(rows["axe"]["cautions"], "", "a row that cannot be read")
                    said = done.stderr.decode()
                    for code in {code for row in rows.values() for code in row["cautions"].split()} | {"carrier_decides"}:
                        self.assertEqual(said.count(f"tarewise reprice: caution {code}: "), 1, said)
                    self.assertNotIn("caution sharp", said)
                    self.assertIn("Over 51 lb (23 kg): lift with help. (NIOSH Publication 94-110, load constant)", said)
                    self.assertIn("The carrier's rules and local law decide.", said)
                    if confirm:
                        self.assertIn("confirm with the carrier that it goes by surface", said)

    @tested.in_bulk
    def test_rows_are_priced_on_the_terms_that_rank_is_asked_on(self):
        where = ["--tables", "tests/command/europe", "--from", "DE 10117", "--to", "DE 80331", "--date", "2026-08-04",
                 "--currency", "EUR"]
        rows = [("300 g", "20 x 15 x 5 cm", "0"), ("1.2 kg", "28 x 18 x 12 cm", "180"), ("1.2 kg", "28 x 18 x 12 cm", "250"),
                ("40 kg", "80 x 60 x 50 cm", "90")]
        catalogue = "weight,sides,value\n" + "".join(",".join(row) + "\n" for row in rows)
        served = set()
        for terms in ([], ["--accepts", "door,point"], ["--without-tax"], ["--cash-on-delivery", "64"], ["--time", "16:30",
                      "--by", "2026-08-07"], ["--week-parcels", "fenwick-dray=60", "--week-spend", "300.01"], ["--estimate"]):
            with self.subTest(terms):
                done = run(["reprice", *where, *terms, "-"], catalogue)
                self.assertIn(done.returncode, (0, 1), done.stderr.decode())
                for (weight, sides, value), row in zip(rows, rows_of(done.stdout), strict=True):
                    answer = run(["rank", *where, *terms, "--weight", weight, "--sides", sides, "--value", value, "--json"])
                    offers = json.loads(answer.stdout)["offers"]
                    best = (offers[0]["total"], f"{offers[0]['carrier']}/{offers[0]['service']}") if offers else ("", "")
                    self.assertEqual((row["best_total_eur"], row["best_service"]), best)
                    served.add(best[1])
        self.assertLessEqual({"fenwick-dray/home", "fenwick-dray/counter", "larkspur/morning"}, served)

    def test_nothing_is_said_of_goods_without_a_caution(self):
        done = run(["reprice", *ON, "--to", "US 98101", "-"], "weight_oz,sides_in,contents\n20,9 x 6 x 1,media\n")
        self.assertEqual((done.returncode, done.stderr), (0, b""))
        self.assertTrue(done.stdout.decode().endswith(",,\n"), done.stdout)

    @tested.in_bulk
    def test_each_row_is_what_rank_says(self):
        done = run(["reprice", *ON, "--to", "US 98101", "--residential", GOODS])
        self.assertEqual(done.returncode, 0, done.stderr.decode())
        priced = rows_of(done.stdout)
        goods = goods_rows()
        self.assertEqual(len(priced), len(goods))
        chosen = random.Random(11).sample(range(len(goods)), 40)
        flag = {"true": True, "false": False}
        for index in chosen:
            row = goods[index]
            item = {"weight": row["weight_oz"] + " oz",
                    "sides": f'{row["length_in"]} x {row["width_in"]} x {row["height_in"]} in',
                    "quantity": int(row["quantity"]), "value": row["value"], "contents": row["contents"].split(),
                    "shape": row["shape"], "this_side_up": flag[row["this_side_up"]], "rigid": flag[row["rigid"]],
                    "bare": flag[row["bare"]]}
            request = {"format": "tarewise-request-1", "goods": [item], "from": {"country": "US", "postal_code": "05401"},
                       "to": {"country": "US", "postal_code": "98101", "residential": True}, "date": "2026-08-03",
                       "currency": "USD"}
            answer = run(["rank", "--tables", DEMO, "--json"], json.dumps(request))
            ranking = json.loads(answer.stdout)
            offers = ranking["offers"]
            got = priced[index]
            self.assertEqual(got["cautions"].split(), cautions_of(ranking))
            for key, value in row.items():
                self.assertEqual(got[key], value)
            if not offers:
                self.assertEqual(got["best_total_usd"], "")
                self.assertNotEqual(got["reason"], "")
                continue
            best = offers[0]
            self.assertEqual(got["reason"], "")
            self.assertEqual(got["best_total_usd"], best["total"], row["sku"])
            self.assertEqual(got["best_service"], best["carrier"] + "/" + best["service"])
            self.assertEqual(got["best_packaging"], best["packaging"])
            others = [money(one["total"]) for one in offers
                      if (one["carrier"], one["service"]) != (best["carrier"], best["service"])]
            self.assertEqual(got["second_total_usd"], "" if not others else f"{float(min(others)):.2f}")

    def test_rows_of_one_order_are_one_parcel(self):
        header = "weight,sides,value,contents,quantity,order\n"
        rows = ["400 g,210 x 148 x 30 mm,12,media,1,A-7", "150 g,120 x 60 x 40 mm,5,fragile,2,", "300 g,180 x 100 x 50 mm,8,,1, B 1 ",
                "250 g,200 x 120 x 20 mm,9,media,3,A-7", "90 g,150 x 90 x 15 mm,4,,1,B 1", "1 kg,300 x 200 x 90 mm,20,,1,alone",
                "400 g,210 x 148 x 30 mm,12,media,1,bad", "none,210 x 148 x 30 mm,12,media,1,bad", "400 g,210 x 148 x 30 mm,12,media"]
        done = run(["reprice", *ON, "--to", "US 98101", "--residential", "-"], header + "\n".join(rows) + "\n")
        self.assertEqual(done.returncode, 0, done.stderr.decode())
        got = rows_of(done.stdout)
        self.assertEqual([row["reason"] for row in got[:7]], ["", "", "", "in_order", "in_order", "", "order_not_priced"])
        self.assertIn("weight: found", got[7]["reason"])
        self.assertEqual([bool(row["best_total_usd"]) for row in got], [True, True, True, False, False, True, False, False, False])
        for first, parts in ((0, (0, 3)), (1, (1,)), (2, (2, 4)), (5, (5,))):
            items = []
            for index in parts:
                weight, sides, value, contents, quantity, _ = rows[index].split(",")
                items.append({"weight": weight, "sides": sides, "value": value, "contents": contents.split(), "quantity": int(quantity)})
            request = {"format": "tarewise-request-1", "goods": items, "from": {"country": "US", "postal_code": "05401"},
                       "to": {"country": "US", "postal_code": "98101", "residential": True}, "date": "2026-08-03",
                       "currency": "USD"}
            offers = json.loads(run(["rank", "--tables", DEMO, "--json"], json.dumps(request)).stdout)["offers"]
            self.assertEqual(got[first]["best_total_usd"], offers[0]["total"])
            self.assertEqual(got[first]["best_packaging"], offers[0]["packaging"])
        self.assertIn("4 of 9 rows priced", done.stderr.decode())
        where = ["--from", "US 05401", "--to", "US 98101", "--currency", "USD", "--catalogue", "-"]
        refused = run(["compare", "--tables", DEMO, "--dates", "2026-07-01", "2026-08-03", *where], header + rows[0] + "\n")
        self.assertEqual(refused.returncode, 2)
        self.assertIn("found a column of orders, expected none", refused.stderr.decode())

    def test_an_order_may_go_in_several_parcels(self):
        where = [*ON, "--to", "US 98101"]
        done = run(["reprice", *where, "--parcels", "3", "-"], PARTED)
        self.assertEqual(done.returncode, 0, done.stderr.decode())
        self.assertEqual(done.stdout.decode(), PARTED_ANSWER)
        self.assertIn("4 of 8 rows priced; ", done.stderr.decode())
        got = {row["sku"]: row for row in rows_of(done.stdout)}

        def best(*skus):
            goods = [{"weight": got[sku]["weight"], "sides": got[sku]["sides"]} for sku in skus]
            request = {"format": "tarewise-request-1", "goods": goods, "from": {"country": "US", "postal_code": "05401"},
                       "to": {"country": "US", "postal_code": "98101"}, "date": "2026-08-03", "currency": "USD"}
            offers = json.loads(run(["rank", "--tables", DEMO, "--json"], json.dumps(request)).stdout)["offers"]
            return offers[0] if offers else None

        # No price of the demonstration minds what goes together, so that a plan is the sum of its parcels.
        together, apart = best("irons", "anvil"), [best("irons"), best("anvil")]
        self.assertLess(sum(money(one["total"]) for one in apart), money(together["total"]))
        self.assertEqual(money(got["irons"]["best_total_usd"]), sum(money(one["total"]) for one in apart))
        # Items of an order stand as they are packed, so that either may be in the first parcel.
        self.assertIn(got["irons"]["best_packaging"], {one["packaging"] for one in apart})
        self.assertLess(money(best("book", "print")["total"]), money(best("book")["total"]) + money(best("print")["total"]))
        self.assertEqual(got["book"]["best_total_usd"], best("book", "print")["total"])
        self.assertIsNone(best("cannon"), "which is heavier than any service takes")
        self.assertEqual(money(got["ball-1"]["best_total_usd"]), 2 * money(best("ball-1")["total"]))
        # Without the option nothing else is there, and an order is one parcel.
        header, *rows = PARTED_ANSWER.splitlines()
        plain = run(["reprice", *where, "-"], PARTED)
        self.assertEqual(plain.stdout.decode().splitlines()[0], header.replace(",parcels", ""))
        one = {row["sku"]: row for row in rows_of(plain.stdout)}
        self.assertEqual(one["irons"]["best_total_usd"], together["total"])
        for row in rows_of("\n".join([header, *rows])):
            if row["sku"] in ("book", "print", "lamp", "anvil"):
                kept = {name: cell for name, cell in row.items() if name not in ("parcels", "second_total_usd")}
                self.assertEqual(kept, {name: cell for name, cell in one[row["sku"]].items() if name != "second_total_usd"})
        # In at most one parcel the column is there all the same.
        single = rows_of(run(["reprice", *where, "--parcels", "1", "-"], PARTED).stdout)
        self.assertEqual([row["parcels"] for row in single], ["1" if row["best_total_usd"] else "" for row in single])
        self.assertEqual([{name: cell for name, cell in row.items() if name != "parcels"} for row in single], list(one.values()))

    def test_parcels_stand_beside_each_total(self):
        far, near = "US 98101", "US 05602"
        both = rows_of(run(["reprice", *ON, "--to", far, "--to", near, "--parcels", "3", "-"], PARTED).stdout)
        for place in (far, near):
            alone = rows_of(run(["reprice", *ON, "--to", place, "--parcels", "3", "-"], PARTED).stdout)
            for name in ("best_total_usd", "parcels", "best_service", "best_packaging"):
                self.assertEqual([row[f"{name}_{place.replace(' ', '_')}"] for row in both], [row[name] for row in alone])
        self.assertEqual(list(both[0])[4:9], [f"{name}_US_98101" for name in ("best_total_usd", "parcels", "best_service",
                                                                              "best_packaging", "second_total_usd")])
        with tempfile.TemporaryDirectory() as folder:
            mix = pathlib.Path(folder) / "mix.csv"
            mix.write_text("country,postal_code,share\nUS,98101,3\nUS,05602,1\n")
            mixed = rows_of(run(["reprice", *ON, "--mix", str(mix), "--parcels", "3", "-"], PARTED).stdout)
        self.assertNotIn("parcels", mixed[0])
        totals = [money(both[0][f"best_total_usd_{place}"]) for place in ("US_98101", "US_05602")]
        self.assertEqual(money(mixed[0]["expected_total_usd"]), half_up((3 * totals[0] + totals[1]) / 4))

    def test_parcels_that_are_none(self):
        for text in ("0", "101", "-1", "two", "", "1.5"):
            with self.subTest(text):
                done = run(["reprice", *ON, "--to", "US 98101", "--parcels", text, "-"], PARTED)
                self.assertEqual((done.returncode, done.stdout), (2, b""))
                self.assertIn(f'--parcels: found "{text}", expected 1 to 100', done.stderr.decode())
        done = run(["reprice", *ON, "--to", "US 98101", "--parcels", "2", "-"], "weight,sides,order,parcels\n")
        self.assertEqual((done.returncode, done.stdout), (2, b""))
        self.assertIn('found the column "parcels" already', done.stderr.decode())

    def test_a_mix_is_the_mean_of_its_places(self):
        goods = "\n".join((ROOT / GOODS).read_text(encoding="utf-8").splitlines()[:120]) + "\n"
        with tempfile.TemporaryDirectory() as folder:
            mix = pathlib.Path(folder) / "mix.csv"
            places = [("05602", "12.5", "true"), ("60601", "30", "false"), ("98101", "7.25", "true"), ("99501", "0.3", "true"),
                      ("33101", "0", "true")]
            mix.write_text("country,postal_code,share,residential\n" + "".join(f"US,{a},{b},{c}\n" for a, b, c in places))
            done = run(["reprice", *ON, "--mix", str(mix), "--quantile", "50", "--quantile", "99.5", "-"], goods)
        self.assertEqual(done.returncode, 0, done.stderr.decode())
        mixed = rows_of(done.stdout)
        each = []
        for code, _, home in places:
            more = ["--residential"] if home == "true" else []
            each.append(rows_of(run(["reprice", *ON, "--to", "US " + code, *more, "-"], goods).stdout))
        whole = sum(money(share) for _, share, _ in places)
        self.assertEqual(len(mixed), 119)
        for index, row in enumerate(mixed):
            totals = [one[index]["best_total_usd"] for one in each]
            known = [money(total) for total in totals if total]
            if not known:
                self.assertEqual((row["expected_total_usd"], row["worst_total_usd"]), ("", ""))
                continue
            worst = max(known)
            self.assertEqual(money(row["worst_total_usd"]), worst)
            self.assertEqual(row["worst_place"], "US " + places[next(i for i, t in enumerate(totals) if t and money(t) == worst)][0])
            if any(not total and money(places[i][1]) > 0 for i, total in enumerate(totals)):
                self.assertEqual(row["expected_total_usd"], "")
                continue
            mean = sum(money(total) * money(places[i][1]) for i, total in enumerate(totals) if money(places[i][1])) / whole
            self.assertEqual(money(row["expected_total_usd"]), half_up(mean))
            for percent, name in ((fractions.Fraction("50"), "total_50_percent_usd"), (fractions.Fraction("99.5"), "total_99.5_percent_usd")):
                below = fractions.Fraction(0)
                for total, share in sorted((money(total), money(places[i][1])) for i, total in enumerate(totals) if money(places[i][1])):
                    below += share
                    if below * 100 >= percent * whole:
                        break
                self.assertEqual(money(row[name]), total)

    def test_rows_are_kept_as_they_are_written(self):
        text = ('\ufeffsku;x,"Weight (oz)",Length [cm], width_cm ,HEIGHT_cm,note\r\n'
                'a,"12" ,20,15,10,"two\nlines, and ""marks"""\r\n'
                '\r\n'
                '  b , 8.5,20,15,10,a 12" tall vase\r\n'
                'c,8.5,20,15,10,last without an end of line')
        done = run(["reprice", *ON, "--to", "US 98101", "-"], text)
        self.assertEqual(done.returncode, 0, done.stderr.decode())
        out = done.stdout.decode()
        self.assertTrue(out.startswith('sku;x,"Weight (oz)",Length [cm], width_cm ,HEIGHT_cm,note,best_total_usd,'), out)
        self.assertIn('\na,"12" ,20,15,10,"two\nlines, and ""marks""",', out)
        self.assertIn('\n  b , 8.5,20,15,10,a 12" tall vase,', out)
        self.assertEqual(len(rows_of(out)), 3)
        self.assertEqual([row["reason"] for row in rows_of(out)], ["", "", ""])

    def test_cells_with_units_of_their_own(self):
        text = ("name,weight,dimensions,qty,contents\n"
                "a,1 lb 3 oz,12 x 9 x 4 in,1,\n"
                "b,538.64 g,30.48 cm x 9 in x 101.6 mm,,fragile;media\n"
                "c,19 oz,1 ft x 9 in x 4 in,2,fragile|media\n")
        rows = rows_of(run(["reprice", *ON, "--to", "US 98101", "-"], text).stdout)
        self.assertEqual([row["reason"] for row in rows], ["", "", ""])
        same = rows_of(run(["reprice", *ON, "--to", "US 98101", "--column", "weight=kilos in kg", "--column", "sides=how big in cm",
                            "--column", "none=height", "-"],
                           "kilos,how big,height\n0.5386409,30.48 x 22.86 x 10.16,tall\n").stdout)
        self.assertEqual(same[0]["best_total_usd"], rows[0]["best_total_usd"])

    def test_bad_rows_say_why_and_stop_nothing(self):
        text = ("sku,weight_oz,length_in,width_in,height_in,quantity,value_usd,contents,shape,rigid\n"
                "a,12,10,8,2,1,5,,box,no\n"
                "b,-3,10,8,2,1,5,,box,no\n"
                "c,12 oz,10,8,2,1,5,,box,no\n"
                "d,12,0,8,2,1,5,,box,no\n"
                "e,12,10,8,2,1.5,5,,box,no\n"
                "f,12,10,8,2,1,five,,box,no\n"
                "g,12,10,8,2,1,5,fragil,box,no\n"
                "h,12,10,8,2,1,5,,round,no\n"
                "i,12,10,8,2,1,5,,box,maybe\n"
                "j,12,10,8,2\n"
                "k,12,10,8,2,1,5,,box,no,more,and more\n"
                "l,12,400,300,200,1,5,,box,no\n"
                "m,1e1,10,8,2,1,5,,box,no\n"
                "n,12,10,8,2,1,5,,box,no\n")
        done = run(["reprice", *ON, "--to", "US 98101", "-"], text)
        self.assertEqual(done.returncode, 0)
        rows = rows_of(done.stdout)
        self.assertEqual([row["sku"] for row in rows], list("abcdefghijklmn"))
        expected = {"b": 'weight: found "-3", expected a number of oz over 0', "c": 'weight: found "12 oz"', "d": 'length: found "0"',
                    "e": 'quantity: found "1.5", expected a whole number', "f": 'value: found "five"', "g": 'contents: found "fragil"',
                    "h": 'shape: found "round"', "i": 'rigid: found "maybe", expected true or false', "j": "found 5 fields, expected 10",
                    "k": "found 12 fields, expected 10", "l": "fits_nothing", "m": 'weight: found "1e1"'}
        for row in rows:
            words = expected.get(row["sku"])
            if words is None:
                self.assertEqual(row["reason"], "")
                self.assertRegex(row["best_total_usd"], r"^\d+\.\d\d$")
            else:
                self.assertIn(words, row["reason"])
                self.assertEqual(row["best_total_usd"], "")
        self.assertIn("2 of 14 rows priced; 11 bad row, 1 fits_nothing", done.stderr.decode())

    def test_empty_cells_are_left_out(self):
        header = "sku,weight_oz,length_in,width_in,height_in,quantity,value_usd,contents,shape,this_side_up,rigid,bare"
        def priced(cells):
            row = rows_of(run(["reprice", *ON, "--to", "US 98101", "--cover", "80", "-"], header + "\na,12,10,8,2," + cells + "\n").stdout)[0]
            return row["best_total_usd"], row["second_total_usd"], row["reason"]
        full = priced("1,0,,box,false,false,false")
        self.assertRegex(full[0], r"^\d+\.\d\d$")
        self.assertEqual(priced(",,,,,,"), full)
        self.assertEqual(priced(" , ,,,,,"), full)
        for cells, words in ((",n/a,,,,,", 'value: found "n/a"'), (",-,,,,,", 'value: found "-"'), (",-5,,,,,", 'value: found "-5"'),
                             ("none,,,,,,", 'quantity: found "none"'), ("0,,,,,,", 'quantity: found "0"'),
                             (",,,,-,,", 'this_side_up: found "-"'), (",,,,,,?", 'bare: found "?"')):
            self.assertIn(words, priced(cells)[2])
        for column in ("weight_oz", "length_in"):
            text = header + "\na,12,10,8,2,,,,,,,\n".replace("12,10", ",10" if column == "weight_oz" else "12,")
            self.assertIn(f'{column.split("_")[0]}: found "", expected', rows_of(run(["reprice", *ON, "--to", "US 98101", "-"], text).stdout)[0]["reason"])
        for cell in ("", "9 x 6", "9 x 6 x none"):  # what stands in the cell, without the column's unit
            row = rows_of(run(["reprice", *ON, "--to", "US 98101", "-"], f"weight_oz,sides_in\n20,{cell}\n").stdout)[0]
            self.assertTrue(row["reason"].startswith(f'sides: found "{cell}", expected three '), row["reason"])
        # Parcels a month likewise: as often as where the column is not there.
        def month(text):
            done = run(["compare", *FROM, "--to", "US 98101", "--dates", "2026-07-01", "2026-08-03", "--catalogue", "-", "--json"], text)
            return json.loads(done.stdout)["catalogue"]["month"]
        self.assertEqual(month("weight_oz,sides_in,monthly_sales\n72,14 x 11 x 3,\n"), month("weight_oz,sides_in\n72,14 x 11 x 3\n"))

    def test_an_issued_packaging_that_the_tariff_in_force_does_not_have(self):
        with tempfile.TemporaryDirectory() as folder:
            folder = pathlib.Path(folder)
            box = {"code": "hl-box", "title": "Box", "kind": "carton", "inside": "12 x 9 x 4 in", "wall": "0.15 in", "tare": "4 oz", "cost": 0}
            for name, days, packaging in (("a", {"from": "2026-01-01", "until": "2026-06-30"}, [box]), ("b", {"from": "2026-07-01"}, [])):
                service = {"code": "ground", "title": "Ground", "zones": "main", "mode": "surface", "prices": [{"amount": 5}],
                           "packaging": {"own": True, "issued": [one["code"] for one in packaging]}}
                document = {"format": "tarewise-tariff-1", "carrier": {"code": "harbourline", "name": "Harbourline Post"}, "title": "List",
                            "currency": "USD", "in_force": days, "zones": {"main": [{"kind": "one", "zone": "1"}]}, "services": [service],
                            "packaging": packaging}
                (folder / f"{name}.json").write_text(json.dumps(document))
            shelf = {"format": "tarewise-shelf-1", "currency": "USD", "issued": [{"carrier": "harbourline", "code": "hl-box"}]}
            (folder / "shelf.json").write_text(json.dumps(shelf))
            done = run(["check", str(folder)])
            self.assertEqual((done.returncode, done.stderr), (0, b""))
            def both(date):
                lane = ["--tables", str(folder), "--from", "US 05401", "--to", "US 98101", "--currency", "USD", "--date", date]
                ranking = json.loads(run(["rank", "--json", *lane, "--weight", "1 lb", "--sides", "7 x 5 x 3 in"]).stdout)
                return ranking, rows_of(run(["reprice", *lane, "-"], "weight_oz,sides_in\n16,7 x 5 x 3\n").stdout)[0]
            ranking, row = both("2026-06-30")
            self.assertEqual(([one["packaging"] for one in ranking["offers"]], row["best_packaging"]), (["hl-box"], "hl-box"))
            ranking, row = both("2026-07-01")
            self.assertEqual(ranking["offers"], [])
            self.assertEqual(ranking["refusals"], [{"carrier": "", "service": "", "packaging": "hl-box", "reasons": [
                {"code": "not_in_force", "text": "no tariff of harbourline in force on 2026-07-01 has it"}]}])
            self.assertEqual(row["best_total_usd"], "")
            self.assertNotEqual(row["reason"], "")
            (folder / "shelf.json").write_text(json.dumps(shelf).replace("hl-box", "hl-bax"))
            done = run(["check", str(folder)])
            self.assertEqual(done.returncode, 2)
            self.assertIn("error 405", done.stderr.decode())

    def test_nothing_priced_is_exit_code_1(self):
        done = run(["reprice", *ON, "--to", "US 98101", "-"], "weight_oz,sides_in\n0,1 x 1 x 1\n")
        self.assertEqual(done.returncode, 1)
        done = run(["reprice", *ON, "--to", "US 98101", "-"], "weight_oz,sides_in\n")
        self.assertEqual((done.returncode, done.stdout.decode()),
                         (1, "weight_oz,sides_in,best_total_usd,best_service,best_packaging,second_total_usd,reason,cautions\n"))

    def test_bad_input_is_exit_code_2_and_says_nothing_else(self):
        good = "weight_oz,sides_in\n5,6 x 4 x 1\n"
        cases = [
            ("header without weight", [*ON, "--to", "US 98101", "-"], "sku,length_in,width_in,height_in\n",
             ['found no column for weight among "sku", "length_in", "width_in", "height_in"']),
            ("header without sides", [*ON, "--to", "US 98101", "-"], "weight_oz,title\n", ["sides (or length, width and height)"]),
            ("header without a side", [*ON, "--to", "US 98101", "-"], "weight_oz,length_in,width_in\n", ["found no column for height"]),
            ("slip of the hand", [*ON, "--to", "US 98101", "-"], "weigth_oz,sides_in\n", ['"weigth_oz", near to "weight"']),
            ("slip in a column that may be left out", [*ON, "--to", "US 98101", "-"], "weight_oz,sides_in,quantitiy\n",
             ['"quantitiy", near to "quantity"']),
            ("unknown unit", [*ON, "--to", "US 98101", "-"], "weight_stone,sides_in\n", ['whose unit "stone" is not known']),
            ("twice", [*ON, "--to", "US 98101", "-"], "weight_oz,weight_g,sides_in\n", ['"weight_oz" and "weight_g", both weight']),
            ("both ways", [*ON, "--to", "US 98101", "-"], "weight_oz,sides_in,length_in\n", ["both sides in one column and in three"]),
            ("other currency", [*ON, "--to", "US 98101", "-"], "weight_oz,sides_in,value_eur\n", ["expected values in USD"]),
            ("ours already", [*ON, "--to", "US 98101", "-"], "weight_oz,sides_in,reason\n", ['found the column "reason" already']),
            ("ours already, the last", [*ON, "--to", "US 98101", "-"], "weight_oz,sides_in,cautions\n",
             ['found the column "cautions" already']),
            ("no rows", [*ON, "--to", "US 98101", "-"], "", ["standard input: found nothing"]),
            ("no place", [*ON, "-"], good, ["--to: found none", "--mix"]),
            ("place and mix", [*ON, "--to", "US 98101", "--mix", MIX, "-"], good, ["--mix: found it with --to"]),
            ("lost zero", [*ON, "--to", "US 2134", "-"], good, ['--to: found "2134", expected five digits', 'was it "02134"?']),
            ("letter for a digit", [*ON, "--to", "US 9810I", "-"], good, ['--to: found "9810I"', 'was it "98101"?']),
            ("digit too many", [*ON, "--to", "US 981010", "-"], good, ['--to: found "981010", expected five digits']),
            ("no country", [*ON, "--to", "XX", "-"], good, ['--to: found "XX", expected an ISO 3166-1 code such as "US"']),
            ("area in the place of a place", [*ON, "--to", "US 981", "-"], good, ['--to: found "981", expected five digits']),
            ("no date", [*FROM, "--to", "US 98101", "-"], good, ["--date: found none"]),
            ("bad date", [*FROM, "--to", "US 98101", "--date", "today", "-"], good, ["--date:", "today"]),
            ("bad mix", [*ON, "--mix", GOODS, "-"], good, ["expected country, postal_code, share"]),
            ("mix that is not there", [*ON, "--mix", "nowhere.csv", "-"], good, ["nowhere.csv: found no such file"]),
            ("catalogue that is not there", [*ON, "--to", "US 98101", "nowhere.csv"], good, ["nowhere.csv: found no such file"]),
            ("two catalogues", [*ON, "--to", "US 98101", GOODS, GOODS], good, ["found 2 files"]),
            ("quantile without a mix", [*ON, "--to", "US 98101", "--quantile", "5", "-"], good, ["--quantile: found it without --mix"]),
            ("threads", [*ON, "--to", "US 98101", "--threads", "0", "-"], good, ['--threads: found "0", expected 1 to 256']),
            ("column of nothing", [*ON, "--to", "US 98101", "--column", "weight=Gewicht", "-"], good,
             ['--column: found "Gewicht", expected a column of the header']),
            ("column of no kind", [*ON, "--to", "US 98101", "--column", "wait=weight_oz", "-"], good,
             ['--column: found "wait", expected what a column is']),
            ("promise of no service", [*ON, "--to", "US 98101", "--paid-for", "nobody", "-"], good, ['found service "nobody"']),
            ("folder in the place of a file", [*ON, "--to", "US 98101", DEMO], good, ["found a folder, expected a file"]),
        ]
        for name, arguments, stdin, expected in cases:
            with self.subTest(name):
                done = run(["reprice", *arguments], stdin)
                said = done.stderr.decode()
                self.assertEqual(done.returncode, 2, said)
                self.assertEqual(done.stdout, b"")
                for words in expected:
                    self.assertIn(words, said)

    def test_a_mix_is_of_places_and_of_areas(self):
        good = "weight_oz,sides_in\n5,6 x 4 x 1\n"
        with tempfile.TemporaryDirectory() as folder:
            mix = pathlib.Path(folder) / "mix.csv"
            mix.write_text("country,postal_code,share\nUS,021,1\nUS,0213,1\nUS,02134,1\nUS,02134-1234,1\nUS,9,1\n")
            done = run(["reprice", *ON, "--mix", str(mix), "-"], good)
            self.assertEqual((done.returncode, done.stderr.decode()), (0, ""))
            mix.write_text("country,postal_code,share\nUS,2134,1\nUS,9810I,1\nUS,981010,1\nXX,1,1\n")
            for command in (["reprice", *ON, "--mix", str(mix), "-"],
                            ["compare", "--tables", DEMO, "--dates", "2026-07-01", "2026-08-03", "--catalogue", GOODS, "--from",
                             "US 05401", "--currency", "USD", "--mix", str(mix)]):
                done = run(command, good)
                said = done.stderr.decode()
                self.assertEqual((done.returncode, done.stdout), (2, b""), said)
                form = "expected five digits, perhaps a hyphen and four more, or "
                for words in (f'mix.csv:2: found "2134", {form}a shorter beginning of such a code; was it "02134"?',
                              f'mix.csv:3: found "9810I", {form}the beginning of such a code; was it "98101"?',
                              f'mix.csv:4: found "981010", {form}the beginning of such a code\n',
                              'mix.csv:5: found "XX", expected an ISO 3166-1 code such as "US"'):
                    self.assertIn(words, said)

    @tested.in_bulk
    def test_threads_files_and_streams_give_the_same_bytes(self):
        arguments = ["reprice", *ON, "--mix", MIX, "--residential"]
        one = run([*arguments, "--threads", "1", GOODS])
        self.assertEqual(run([*arguments, "--threads", "3", GOODS]).stdout, one.stdout)
        self.assertEqual(run([*arguments, "-"], (ROOT / GOODS).read_bytes()).stdout, one.stdout)
        with tempfile.TemporaryDirectory() as folder:
            out = pathlib.Path(folder) / "priced.csv"
            done = run([*arguments, "--out", str(out), GOODS])
            self.assertEqual((done.returncode, done.stdout), (0, b""))
            self.assertEqual(out.read_bytes(), one.stdout)
            self.assertEqual([path.name for path in pathlib.Path(folder).iterdir()], ["priced.csv"])
            # A run that fails leaves what was there.
            rows = b"weight_oz,sides_in\n" + b"5,6 x 4 x 1\n" * 20000
            done = run([*arguments, "--out", str(out), "-"], rows + b'5,"6 x 4 x ' + b"1" * (3 << 20) + b"\n" + rows)
            self.assertEqual(done.returncode, 2)
            self.assertIn("line 20002: found a record of more than 1 MiB, perhaps a quotation mark", done.stderr.decode())
            self.assertEqual(out.read_bytes(), one.stdout)
            self.assertEqual([path.name for path in pathlib.Path(folder).iterdir()], ["priced.csv"])

    @tested.in_bulk
    def test_memory_does_not_grow_with_the_catalogue(self):
        header, *rows = (ROOT / GOODS).read_bytes().splitlines(keepends=True)
        def peak(copies):
            with tempfile.TemporaryFile() as catalogue:
                catalogue.write(header)
                for _ in range(copies):
                    catalogue.writelines(rows)
                catalogue.seek(0)
                process = subprocess.Popen([tested.COMMAND, "reprice", *ON, "--to", "US 98101", "--threads", "1", "-"], cwd=ROOT,
                                           stdin=catalogue, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)
                _, status, usage = os.wait4(process.pid, 0)
                process.returncode = os.waitstatus_to_exitcode(status)
                self.assertEqual(process.returncode, 0)
                return usage.ru_maxrss
        few, many = peak(6), peak(60)
        self.assertLess(many, few * 1.25 + 4096)

    @tested.in_bulk
    def test_progress_only_where_it_is_seen(self):
        quiet = run(["reprice", *ON, "--to", "US 98101", "-"], "weight_oz,sides_in\n5,6 x 4 x 1\n")
        self.assertEqual(quiet.stderr, b"")
        outer, inner = pty.openpty()
        process = subprocess.Popen([tested.COMMAND, "reprice", *ON, "--mix", MIX, GOODS], cwd=ROOT, stdin=subprocess.DEVNULL,
                                   stdout=subprocess.DEVNULL, stderr=inner)
        os.close(inner)
        said = b""
        while True:
            try:
                piece = os.read(outer, 4096)
            except OSError:
                break
            if not piece:
                break
            said += piece
        os.close(outer)
        self.assertEqual(process.wait(), 0)
        self.assertIn(b" rows", said)
        self.assertIn(b"%", said)
        self.assertRegex(said, rb"\d+ of 3015 rows priced")


def grid(tariff, price):
    """The cells of a table of a tariff: (bound, zone) -> price."""
    table = price["table"]
    if "csv" in table:
        with open(ROOT / DEMO / table["csv"], newline="", encoding="utf-8") as file:
            lines = list(csv.reader(file))
        columns, rows = lines[0][1:], lines[1:]
    else:
        columns, rows = table["columns"], table["rows"]
    return {(str(row[0]), column): fractions.Fraction(str(cell)) for row in rows for column, cell in zip(columns, row[1:])
            if cell not in (None, "")}


class CompareCommand(unittest.TestCase):
    def test_goods_that_carry_a_caution_get_it(self):
        with tempfile.TemporaryDirectory() as folder:
            after = without_mode(folder)
            goods = pathlib.Path(folder) / "goods.csv"
            goods.write_text(CAREFUL, encoding="utf-8")
            out = pathlib.Path(folder) / "out.csv"
            more = ["--from", "US 05401", "--currency", "USD", "--to", "US 98101"]
            done = run(["compare", DEMO, after, "--dates", "2026-08-03", "2026-08-03", "--catalogue", str(goods), *more, "--out",
                        str(out)])
            self.assertEqual(done.returncode, 0, done.stderr.decode())
            priced = rows_of(run(["reprice", "--tables", after, "--date", "2026-08-03", *more, str(goods)]).stdout)
            self.assertEqual([row["cautions"] for row in rows_of(out.read_text(encoding="utf-8"))],
                             [row["cautions"] for row in priced])
            said = done.stderr.decode()
            for code in ("lithium_alone", "flammable_liquid", "lift_with_help", "confirm_surface", "carrier_decides"):
                self.assertEqual(said.count(f"tarewise compare: caution {code}: "), 1, said)
            self.assertNotIn(b"caution", done.stdout)
            quiet = run(["compare", DEMO, after, "--dates", "2026-08-03", "2026-08-03", "--catalogue", "-", *more],
                        "weight_oz,sides_in\n20,9 x 6 x 1\n")
            self.assertEqual((quiet.returncode, quiet.stderr), (0, b""))

    OLD = DEMO + "/fenwick-dray-2026-01.json"
    NEW = DEMO + "/fenwick-dray-2026-07.json"

    def test_cells_are_those_of_the_documents(self):
        done = run(["compare", self.OLD, self.NEW, "--json"])
        self.assertEqual(done.returncode, 0, done.stderr.decode())
        told = json.loads(done.stdout)
        self.assertEqual(told["format"], "tarewise-comparison-1")
        old = json.loads((ROOT / self.OLD).read_text(encoding="utf-8"))
        new = json.loads((ROOT / self.NEW).read_text(encoding="utf-8"))
        services = {service["code"]: service for service in told["carriers"][0]["services"]}
        seen = 0
        for before in old["services"]:
            after = next(service for service in new["services"] if service["code"] == before["code"])
            tables = [(a, b) for a, b in zip(before["prices"], after["prices"]) if "table" in a]
            if len(before["prices"]) != 1 or not tables:
                continue
            cells_before, cells_after = grid(old, tables[0][0]), grid(new, tables[0][1])
            differ = {key: (cells_before.get(key), cells_after.get(key)) for key in cells_before.keys() | cells_after.keys()
                      if cells_before.get(key) != cells_after.get(key)}
            service = services[before["code"]]
            cells = [cell for price in service["prices"] for cell in price.get("cells", [])]
            pairs = sorted((money(cell["before"]), money(cell["after"])) for cell in cells)
            self.assertEqual(pairs, sorted(differ.values()))
            counts = service["cells"]
            self.assertEqual(counts["dearer"], sum(b > a for a, b in differ.values()))
            self.assertEqual(counts["common"], len(cells_before.keys() & cells_after.keys()))
            rises = sorted((b - a) / a * 100 for a, b in differ.values() if b > a)
            middle = (rises[(len(rises) - 1) // 2] + rises[len(rises) // 2]) / 2
            self.assertAlmostEqual(float(money(counts["median_dearer_percent"])), float(middle), delta=0.0001)
            for cell in cells:
                exact = half_up((money(cell["after"]) - money(cell["before"])) / money(cell["before"]) * 100, fractions.Fraction(1, 10000))
                self.assertEqual(money(cell["percent"]), exact)
            seen += 1
        self.assertGreaterEqual(seen, 5)
        text = run(["compare", self.OLD, self.NEW]).stdout.decode()
        self.assertIn("Fenwick & Dray Road: 1260 of 1260 cells dearer", text)

    def test_nothing_differs(self):
        done = run(["compare", self.OLD, self.OLD])
        self.assertEqual((done.returncode, done.stdout), (0, b"no difference\n"))
        done = run(["compare", "--tables", DEMO, "--dates", "2026-08-03", "2026-08-05"])
        self.assertEqual((done.returncode, done.stdout), (0, b"no difference\n"))
        done = run(["compare", DEMO, DEMO, "--dates", "2026-08-03", "2026-08-03"])
        self.assertEqual((done.returncode, done.stdout), (0, b"no difference\n"))

    @tested.in_bulk
    def test_a_catalogue_is_what_two_repricings_say(self):
        lane = ["--from", "US 05401", "--currency", "USD", "--mix", MIX, "--residential"]
        with tempfile.TemporaryDirectory() as folder:
            out = pathlib.Path(folder) / "changes.csv"
            done = run(["compare", "--tables", DEMO, "--dates", "2026-07-01", "2026-08-03", "--catalogue", GOODS, *lane, "--json",
                        "--out", str(out)])
            self.assertEqual(done.returncode, 0, done.stderr.decode())
            rows = rows_of(out.read_bytes())
        told = json.loads(done.stdout)["catalogue"]
        before = rows_of(run(["reprice", "--tables", DEMO, "--date", "2026-07-01", *lane, GOODS]).stdout)
        after = rows_of(run(["reprice", "--tables", DEMO, "--date", "2026-08-03", *lane, GOODS]).stdout)
        self.assertEqual(told["rows"], len(before))
        month = [fractions.Fraction(0), fractions.Fraction(0)]
        parcels = fractions.Fraction(0)
        comparable = 0
        for old, new, row in zip(before, after, rows):
            self.assertEqual((old["sku"], old["expected_total_usd"], new["expected_total_usd"]),
                             (row["sku"], row["before_total_usd"], row["after_total_usd"]))
            if not old["expected_total_usd"] or not new["expected_total_usd"]:
                continue
            comparable += 1
            volume = money(row["monthly_sales"])
            parcels += volume
            month[0] += volume * money(old["expected_total_usd"])
            month[1] += volume * money(new["expected_total_usd"])
            # Of rounded means: up to half a cent a parcel from the exact one, on either side.
            rise = volume * (money(new["expected_total_usd"]) - money(old["expected_total_usd"]))
            self.assertLessEqual(abs(money(row["month_rise_usd"] or "0") - rise), volume * fractions.Fraction(1, 100) + fractions.Fraction(1, 200))
            if old["expected_total_usd"] != new["expected_total_usd"]:
                self.assertIn("total", row["change"])
        self.assertEqual(told["comparable"], comparable)
        self.assertEqual(money(told["month"]["parcels"]), parcels)
        for side, name in enumerate(("before", "after")):
            self.assertLessEqual(abs(money(told["month"][name]) - month[side]), parcels * fractions.Fraction(1, 200) + 1)
        self.assertEqual(told["changed"]["total"], sum("total" in row["change"] for row in rows))
        self.assertEqual(told["changed"]["service"], sum("service" in row["change"] for row in rows))
        self.assertEqual(told["changed"]["packaging"], sum("packaging" in row["change"] for row in rows))
        rises = sorted(range(len(rows)), key=lambda i: (-money(rows[i]["month_rise_usd"] or "0"), i))
        self.assertEqual(len(told["lose_most"]), 10)
        self.assertEqual(sorted(money(one["month"]) for one in told["lose_most"]),
                         sorted(money(rows[i]["month_rise_usd"]) for i in rises[:10]))
        for one in told["lose_most"]:
            self.assertEqual(one["name"], rows[one["row"]]["sku"])
            self.assertEqual(one["before"], rows[one["row"]]["before_total_usd"])
            place = one["most_to"]
            # The mix has areas; a parcel goes to a place, which charts by areas of three digits do not tell from them.
            totals = [rows_of(run(["reprice", "--tables", DEMO, "--date", date, "--from", "US 05401", "--currency", "USD", "--to",
                                   "US " + place["postal_code"].ljust(5, "9"), "--residential", "-"],
                                  "\n".join((ROOT / GOODS).read_text(encoding="utf-8").splitlines()[i] for i in (0, one["row"] + 1)) +
                                  "\n").stdout)[0] for date in ("2026-07-01", "2026-08-03")]
            self.assertEqual(totals[0]["best_total_usd"], place["before"]["total"])
            self.assertEqual(totals[1]["best_total_usd"], place["after"]["total"])
            self.assertEqual(totals[1]["best_service"], place["after"]["carrier"] + "/" + place["after"]["service"])

    def test_two_documents_against_a_catalogue(self):
        arguments = ["compare", self.OLD, self.NEW, "--catalogue", GOODS, "--tables", DEMO, "--from", "US 05401", "--to", "US 98101",
                     "--residential", "--currency", "USD", "--date", "2026-08-03"]
        done = run([*arguments, "--json"])
        self.assertEqual(done.returncode, 0, done.stderr.decode())
        told = json.loads(done.stdout)
        self.assertEqual([carrier["carrier"] for carrier in told["carriers"]], ["fenwick-dray"])
        self.assertGreater(told["catalogue"]["changed"]["total"], 0)
        # Only one carrier changes, so what goes by another on both sides keeps its total.
        text = run(arguments).stdout.decode()
        self.assertIn("Catalogue: 3015 rows to 1 place", text)
        self.assertIn("A month: ", text)

    def lists(self, folder, before, after):
        """Two lists of one carrier, one zone of two to each place: {zone: price} before and from July on."""
        for name, days, prices in (("a", {"from": "2026-01-01", "until": "2026-06-30"}, before), ("b", {"from": "2026-07-01"}, after)):
            document = {"format": "tarewise-tariff-1", "carrier": {"code": "harbourline", "name": "Harbourline Post"}, "title": "List",
                        "currency": "USD", "in_force": days, "rounding": {"line": 0.001, "total": 0.001},
                        "zones": {"main": [{"kind": "regions", "zones": {"1": ["US:4"], "2": ["US:9"], "3": ["US:0"]}}]},
                        "services": [{"code": "ground", "title": "Ground", "zones": "main", "days": {"*": [2, 3]},
                                      "prices": [{"by_zone": prices}]}]}
            (pathlib.Path(folder) / f"{name}.json").write_text(json.dumps(document))
        return ["--tables", folder, "--estimate", "--from", "US 05401", "--currency", "USD"]

    def test_totals_keep_what_the_tariffs_keep(self):
        goods = "sku,weight_oz,sides_in,monthly_sales\na,16,7 x 5 x 3,3\nb,8,7 x 5 x 3,1\n"
        with tempfile.TemporaryDirectory() as folder:
            tables = self.lists(folder, {"1": 7.601, "2": 7.61}, {"1": 7.604, "2": 7.61})
            out = pathlib.Path(folder) / "out.csv"
            arguments = ["compare", *tables, "--dates", "2026-06-30", "2026-07-01", "--catalogue", "-"]
            done = run([*arguments, "--to", "US 43210", "--out", str(out)], goods)
            self.assertEqual(done.returncode, 0, done.stderr.decode())
            text = " ".join(done.stdout.decode().split())  # in one line, however it is broken
            self.assertIn("A month: 30.404 -> 30.416 USD (+0.012, ", text)
            self.assertIn("Loses most: a +0.009 a month, 7.601 -> 7.604 a parcel; most to US 43210: 7.601 by harbourline/ground", text)
            rows = rows_of(out.read_bytes())
            self.assertEqual([(row["before_total_usd"], row["after_total_usd"], row["month_rise_usd"], row["change"]) for row in rows],
                             [("7.601", "7.604", "0.009", "total"), ("7.601", "7.604", "0.003", "total")])
            told = json.loads(run([*arguments, "--to", "US 43210", "--json"], goods).stdout)["catalogue"]
            self.assertEqual((told["month"]["before"], told["month"]["after"]), ("30.404", "30.416"))
            self.assertEqual([(one["before"], one["after"], one["month"]) for one in told["lose_most"]],
                             [("7.601", "7.604", "0.009"), ("7.601", "7.604", "0.003")])
            # A mean is rounded to the same, half up: 7.6055 and 7.607.
            mix = pathlib.Path(folder) / "mix.csv"
            mix.write_text("country,postal_code,share\nUS,43210,1\nUS,98101,1\n")
            told = json.loads(run([*arguments, "--mix", str(mix), "--json"], goods).stdout)["catalogue"]
            self.assertEqual([(one["before"], one["after"], one["month"]) for one in told["lose_most"]],
                             [("7.606", "7.607", "0.005"), ("7.606", "7.607", "0.002")])
            for date, mean in (("2026-06-30", "7.606"), ("2026-07-01", "7.607")):
                row = rows_of(run(["reprice", *tables, "--date", date, "--mix", str(mix), "-"], goods).stdout)[0]
                self.assertEqual((row["expected_total_usd"], row["worst_total_usd"]), (mean, "7.61"))
            # Whole cents on both sides: means of cents, as ever.
            self.lists(folder, {"1": 7.60, "2": 7.61}, {"1": 7.60, "2": 7.61})
            for path in pathlib.Path(folder).glob("?.json"):
                path.write_text(path.read_text().replace("0.001", "0.01"))
            row = rows_of(run(["reprice", *tables, "--date", "2026-07-01", "--mix", str(mix), "-"], goods).stdout)[0]
            self.assertEqual(row["expected_total_usd"], "7.61")

    def test_means_keep_nothing_of_what_is_converted(self):
        """An issued packaging's cost joins a price of its tariff's currency: of both the ranking has whole yen."""
        document = {"format": "tarewise-tariff-1", "carrier": {"code": "harbourline", "name": "Harbourline Post"}, "title": "List", "currency": "USD",
                    "in_force": {"from": "2026-01-01"}, "zones": {"main": [{"kind": "regions", "zones": {"1": ["US:4"], "2": ["US:9"]}}]},
                    "packaging": [{"code": "hl-box", "title": "Box", "kind": "carton", "inside": "9 x 6 x 4 in", "wall": "0.1 in", "tare": "1 oz", "cost": 0.50}],
                    "services": [{"code": "ground", "title": "Ground", "zones": "main", "packaging": {"own": False, "issued": ["hl-box"]},
                                  "prices": [{"by_zone": {"1": 10, "2": 10.02}}]}]}
        shelf = {"format": "tarewise-shelf-1", "currency": "USD", "packaging": [], "issued": [{"carrier": "harbourline", "code": "hl-box"}]}
        with tempfile.TemporaryDirectory() as folder:
            for name, one in (("list", document), ("shelf", shelf)):
                (pathlib.Path(folder) / f"{name}.json").write_text(json.dumps(one))
            mix = pathlib.Path(folder) / "mix.csv"
            mix.write_text("country,postal_code,share\nUS,43210,1\nUS,98101,1\n")
            done = run(["reprice", "--tables", folder, "--from", "US 05401", "--date", "2026-07-01", "--currency", "JPY", "--exchange", "USD=150",
                        "--mix", str(mix), "-"], "weight_oz,sides_in\n16,7 x 5 x 3\n")
        row = rows_of(done.stdout)[0]
        self.assertEqual((row["expected_total_jpy"], row["worst_total_jpy"]), ("1577", "1578"))  # of 1575 and 1578: 1576.5

    def test_what_counts_as_offered(self):
        goods = "sku,weight_oz,sides_in\na,16,7 x 5 x 3\nb,0,7 x 5 x 3\n"
        # Before and after by zone 1, 2, 3; change, lost, gained, comparable; words.
        cases = [
            ((5, 5, None), (5, None, None), "offered", 0, 0, 0, "1 that can be sent to some other places than before"),
            ((5, None, None), (None, 5, None), "offered", 0, 0, 0, "1 that can be sent to some other places than before"),
            ((5, 5, 5), (5, 5, None), "offered", 1, 0, 0, "1 that can no longer be sent everywhere"),
            ((5, 5, None), (6, 5, 5), "total offered", 0, 1, 0, "1 with another total, 1 that can now be sent everywhere"),
            ((5, 5, None), (5, 5, None), "", 0, 0, 0, "nothing changes"),
            ((5, 5, 5), (5, 5, 6), "total", 0, 0, 1, "1 with another total, 1 dearer"),
        ]
        for before, after, change, lost, gained, comparable, words in cases:
            with self.subTest(before=before, after=after), tempfile.TemporaryDirectory() as folder:
                prices = [{str(zone): price for zone, price in enumerate(side, 1) if price} for side in (before, after)]
                tables = self.lists(folder, *prices)
                out = pathlib.Path(folder) / "out.csv"
                mix = pathlib.Path(folder) / "mix.csv"
                # A place without a share does not count, though nothing is ever sent there.
                mix.write_text("country,postal_code,share\nUS,43210,1\nUS,98101,1\nUS,00501,1\nUS,10001,0\n")
                arguments = ["compare", *tables, "--dates", "2026-06-30", "2026-07-01", "--catalogue", "-", "--mix", str(mix)]
                done = run([*arguments, "--out", str(out)], goods)
                self.assertEqual(done.returncode, 0, done.stderr.decode())
                self.assertIn("Catalogue: 2 rows to 4 places: " + words + "\n", done.stdout.decode())
                rows = rows_of(out.read_bytes())
                self.assertEqual([row["change"] for row in rows], [change, ""])
                self.assertEqual(bool(rows[0]["before_total_usd"]), all(before))
                told = json.loads(run([*arguments, "--json"], goods).stdout)["catalogue"]
                self.assertEqual((told["changed"]["offered"], told["changed"]["rows"]), (int("offered" in change), int(change != "")))
                self.assertEqual((told["lost"], told["gained"], told["comparable"]), (lost, gained, comparable))

    def test_bad_input_is_exit_code_2_and_says_nothing_else(self):
        cases = [
            ("nothing", [], ["found nothing to compare"]),
            ("one path", [self.OLD], ["found 1 path, expected two"]),
            ("three paths", [self.OLD, self.NEW, self.NEW], ["found 3 paths"]),
            ("folder and document", [self.OLD, DEMO], ["found a folder and a document"]),
            ("folders without dates", [DEMO, DEMO], ["--dates: found none"]),
            ("one date", ["--tables", DEMO, "--dates", "2026-08-03"], ["--dates: found one date, expected two"]),
            ("no date", ["--tables", DEMO, "--dates", "2026-08-03", "2026-13-01"], ["--dates: found one date"]),
            ("documents and dates", [self.OLD, self.NEW, "--dates", "2026-08-03", "2026-08-04"], ["--dates: found it with two price lists"]),
            ("not there", ["nowhere.json", self.NEW], ["nowhere.json"]),
            ("no tariff", [DEMO + "/fenwick-dray-terms-2026-01.json", self.NEW], ["tarewise-terms-1"]),
            ("rows without a catalogue", [self.OLD, self.NEW, "--out", "x.csv"], ["--out: found it without --catalogue"]),
            ("catalogue without tables", [self.OLD, self.NEW, "--catalogue", GOODS, "--from", "US 05401", "--to", "US 98101"],
             ["--tables: found none"]),
            ("other carriers", [self.OLD, DEMO + "/larkspur-2026-07.json", "--catalogue", GOODS, "--tables", DEMO], ["one carrier's"]),
            ("catalogue without places", ["--tables", DEMO, "--dates", "2026-07-01", "2026-08-03", "--catalogue", GOODS, "--from", "US 05401"],
             ["--to: found none"]),
        ]
        for name, arguments, expected in cases:
            with self.subTest(name):
                done = run(["compare", *arguments])
                said = done.stderr.decode()
                self.assertEqual(done.returncode, 2, said)
                self.assertEqual(done.stdout, b"")
                for words in expected:
                    self.assertIn(words, said)


if __name__ == "__main__":
    tested.main(__doc__)
