#!/usr/bin/env python3
"""The SQLite extension by the real sqlite3 program, against the command: what it answers, its errors, its page.

    test_sqlite.py --extension PATH --command PATH [--sqlite3 PATH] [--refresh] [NAMES OF TESTS ...]

--refresh writes the outputs of capi/sqlite/README.md anew, and the difference is then for a person to read.
"""

import argparse
import csv
import json
import pathlib
import random
import re
import subprocess
import sys
import tempfile
import unittest

ROOT = pathlib.Path(__file__).resolve().parents[2]
PAGE = ROOT / "capi/sqlite/README.md"
DEMO = "tables/demo"
OPTIONS = None
SETTINGS = {"origin": "US 05401", "destination": "US 98101", "residential": 1, "date": "2026-08-03", "currency": "USD"}


def quoted(value):
    """A value as it is written in SQL."""
    if value is None:
        return "NULL"
    if isinstance(value, (int, float)):
        return repr(value)
    return "'" + value.replace("'", "''") + "'"


def set_up(**settings):
    pairs = ", ".join(f"{quoted(name)}, {quoted(value)}" for name, value in {**SETTINGS, **settings}.items())
    return f"CREATE TEMP TABLE set_up AS SELECT shipping_tables('{DEMO}'), shipping_set({pairs});\n"


def sql(script, database=":memory:", load=True, bail=False, mode=".mode json"):
    """What sqlite3 says to a script: output, errors, exit code."""
    commands = (["-cmd", f".load {OPTIONS.extension}"] if load else []) + ["-cmd", mode]
    done = subprocess.run([OPTIONS.sqlite3, "-batch", *(["-bail"] if bail else []), *commands, database], cwd=ROOT, input=script,
                          capture_output=True, text=True, check=False)
    return done.stdout, done.stderr, done.returncode


def results(out):
    """What each statement that gave rows gave, one after the other."""
    found, decoder, at = [], json.JSONDecoder(), 0
    while at < len(out):
        one, at = decoder.raw_decode(out, at)
        found.append(one)
        at += len(out[at:]) - len(out[at:].lstrip())
    return found


def rows(script, json_mode=False, **more):
    """The rows of the only statement of a script that gives some; there must be no error."""
    out, err, code = sql((".mode json\n" if json_mode else "") + set_up() + script, bail=True, **more)
    assert code == 0 and not err, (script[:300], out, err)
    return json.loads(out) if out.strip() else []


def value(expression):
    (row,) = rows(f"SELECT {expression} AS it;")
    return row["it"]


def error(statement, prepare=None):
    """What sqlite3 says to one statement that fails."""
    out, err, code = sql((set_up() if prepare is None else prepare) + statement, bail=True)
    assert code != 0 and err, (statement, out)
    return re.sub(r"^(Runtime|Parse) error near line \d+: ", "", err.strip()).removesuffix(" (1)").removesuffix(" (14)")


def command(request, *more):
    """The ranking of a request document by the command."""
    done = subprocess.run([OPTIONS.command, "rank", "--tables", DEMO, "--json", *more], cwd=ROOT, input=json.dumps(request),
                          capture_output=True, text=True, check=False)
    assert done.returncode in (0, 1), done.stderr
    return json.loads(done.stdout)


def request_of(goods, **more):
    return {"format": "tarewise-request-1", **goods, "from": {"country": "US", "postal_code": "05401"},
            "to": {"country": "US", "postal_code": "98101", "residential": True}, "date": "2026-08-03", "currency": "USD", **more}


def best(ranking):
    """Total, service and packaging of the first offer."""
    if not ranking["offers"]:
        return None, None, None
    offer = ranking["offers"][0]
    return offer["total"], f"{offer['carrier']}/{offer['service']}", offer["packaging"]


class Answers(unittest.TestCase):
    def test_orders_of_the_demonstration(self):
        orders = sorted((ROOT / "tables/demo-orders").glob("*.json"))
        self.assertGreater(len(orders), 20)
        for order in orders:
            request = json.loads(order.read_text(encoding="utf-8"))
            if "parcels" in request or "sealed" in request:
                continue
            ranking = command(request)
            document = quoted(json.dumps(request))
            (row,) = rows(f"SELECT shipping_total({document}) AS total, shipping_service({document}) AS service, "
                          f"shipping_packaging({document}) AS packaging, shipping_explain({document}) AS explained, "
                          f"shipping_reason({document}) AS reason;")
            self.assertEqual((row["total"], row["service"], row["packaging"]), best(ranking), order.name)
            self.assertEqual(json.loads(row["explained"]), ranking, order.name)
            self.assertEqual(row["reason"] is None, row["total"] is not None, order.name)

    def random_goods(self, dice):
        unit, side_unit = dice.choice([("oz", "in"), ("g", "cm")])
        weight = dice.randint(10, 900) / 10 if unit == "oz" else dice.randint(50, 9000)
        sides = [dice.randint(8, 160) / 8 if side_unit == "in" else dice.randint(20, 500) / 10 for _ in range(3)]
        goods = {"weight": f"{weight} {unit}", "sides": " x ".join(map(str, sides)) + f" {side_unit}"}
        if dice.random() < 0.4:
            goods["value"] = f"{dice.randint(1, 900)}.{dice.randint(0, 99):02}"
        if dice.random() < 0.4:
            goods["contents"] = dice.choice([["media"], ["fragile"], ["liquid", "fragile"], ["lithium_in_equipment"], ["x-signed"], ["sharp"]])
        if dice.random() < 0.3:
            goods["shape"] = dice.choice(["box", "tube", "flat", "irregular"])
        if dice.random() < 0.3:
            goods["rigid"] = True
        return goods

    def test_random_rows(self):
        dice = random.Random(20260803)
        # Each way of asking: the request document and the words of SQL for the same.
        cases = []
        for number in range(OPTIONS.rows):
            goods = self.random_goods(dice)
            sealed = dice.random() < 0.5
            if not sealed and dice.random() < 0.4:
                goods["quantity"] = dice.randint(2, 4)
            extra = {}
            words = {name: goods[name] for name in ("value", "shape", "quantity") if name in goods}
            if "contents" in goods:
                words["contents"] = " ".join(goods["contents"])
            if "rigid" in goods:
                words["rigid"] = 1
            if dice.random() < 0.3:
                code = dice.choice(["10011", "60614", "33139", "80202"])
                extra["to"] = {"country": "US", "postal_code": code, "residential": True}
                words["destination"] = f"US {code}"
            if dice.random() < 0.2:
                extra["promise"], words["promise"] = dice.choice([({"within": 3}, "within 3"), ({"by": "2026-08-06"}, "by 2026-08-06")])
            if dice.random() < 0.2:
                extra["extras"], words["extras"] = ["signature"], "signature"
            if dice.random() < 0.2:
                extra["cover"], words["cover"] = "120.00", "120.00"
            if dice.random() < 0.2:
                extra["tolerance"] = {"weight": "0.2 oz", "sides": "0.25 in"}
                words["tolerance_weight"], words["tolerance_sides"] = "0.2 oz", "0.25 in"
            if sealed:
                words["sealed"] = 1
            asked = request_of({"parcel": goods} if sealed else {"goods": [goods]}, **extra)
            pairs = "".join(f", {quoted(name)}, {quoted(said)}" for name, said in words.items())
            cases.append((asked, f"{quoted(goods['weight'])}, {quoted(goods['sides'])}{pairs}",
                          f"weight = {quoted(goods['weight'])} AND sides = {quoted(goods['sides'])}"
                          + "".join(f" AND {name} = {quoted(said)}" for name, said in words.items())))
        functions = ["total", "total_cents", "total_micros", "service", "packaging", "explain", "reason", "problem"]
        statement = "SELECT " + ", ".join(f"shipping_{name}({{0}}) AS {name}" for name in functions) + ";\n"
        out, err, code = sql(set_up() + "".join(statement.format(arguments) for _, arguments, _ in cases), bail=True)
        self.assertEqual((err, code), ("", 0))
        found = [one[0] for one in results(out)]
        offers, err, _ = sql(set_up() + "".join(
            f"SELECT '{n}' AS n, rank, carrier, service, title, packaging, zone, total, days_least, days_most, tracked, gross_weight, outside, "
            f"billable_weight, billable_from, packaging_cost, room_weight, room_length FROM shipping_offers WHERE {where};\n"
            for n, (_, _, where) in enumerate(cases)), bail=True)
        self.assertEqual(err, "")
        by_case = {}
        for row in (row for part in results(offers) for row in part):
            by_case.setdefault(int(row["n"]), []).append(row)
        refusals, err, _ = sql(set_up() + "".join(
            f"SELECT '{n}' AS n, count(*) AS reasons FROM shipping_refusals WHERE {where};\n" for n, (_, _, where) in enumerate(cases)), bail=True)
        self.assertEqual(err, "")
        refused = [part[0]["reasons"] for part in results(refusals)]
        self.assertEqual(len(found), len(cases))
        none = 0
        for n, (asked, arguments, _) in enumerate(cases):
            ranking, row = command(asked), found[n]
            with self.subTest(arguments):
                self.assertEqual((row["total"], row["service"], row["packaging"]), best(ranking))
                self.assertEqual(json.loads(row["explain"]), ranking)
                self.assertIsNone(row["problem"])
                self.assertEqual(row["reason"] is None, row["total"] is not None)
                none += row["total"] is None
                if row["total"] is not None:
                    whole, cents = row["total"].split(".")
                    self.assertEqual(row["total_cents"], int(whole) * 100 + int(cents))
                    self.assertEqual(row["total_micros"], row["total_cents"] * 10000)
                self.assertEqual(refused[n], sum(len(one["reasons"]) for one in ranking["refusals"]))
                told = by_case.get(n, [])
                self.assertEqual(len(told), len(ranking["offers"]))
                for rank, (one, offer) in enumerate(zip(told, ranking["offers"]), 1):
                    self.assertEqual(one["rank"], rank)
                    for name in ("carrier", "service", "title", "packaging", "total", "packaging_cost"):
                        self.assertEqual(one[name], offer[name], name)
                    self.assertEqual(one["zone"] or "", offer["zone"])
                    self.assertEqual([one["days_least"], one["days_most"]], offer["days"] or [None, None])
                    self.assertEqual(one["tracked"], int(offer["tracked"]))
                    self.assertEqual((one["gross_weight"], one["outside"]), (offer["parcel"]["weight"], offer["parcel"]["sides"]))
                    self.assertEqual((one["billable_weight"], one["billable_from"]),
                                     (offer["billable_weight"]["weight"], offer["billable_weight"]["from"]))
                    self.assertEqual((one["room_weight"], one["room_length"]),
                                     (offer["headroom"].get("weight"), offer["headroom"].get("length")))
        self.assertLess(none, len(cases) / 2)

    def test_charges_are_those_of_the_ranking(self):
        goods = {"weight": "6 lb 2 oz", "sides": "16 x 10 x 9 in", "value": "64.00", "contents": ["fragile"]}
        ranking = command(request_of({"goods": [goods]}))
        told = rows("SELECT rank, code, title, amount, why, table_row, amount_micros FROM "
                    "shipping_charges('6 lb 2 oz', '16 x 10 x 9 in', 1, '64.00', 'fragile');")
        self.assertGreater(len(ranking["offers"]), 5)
        for rank, offer in enumerate(ranking["offers"], 1):
            lines = [line for line in told if line["rank"] == rank]
            if lines[-1]["code"] == "packaging":
                self.assertEqual(lines.pop()["amount"], offer["packaging_cost"])
            self.assertEqual([(line["code"], line["title"], line["amount"], line["why"], line["table_row"]) for line in lines],
                             [(line["code"], line["title"], line["amount"], line["why"], line.get("row")) for line in offer["charges"]])
            total = sum(line["amount_micros"] for line in told if line["rank"] == rank)
            whole, cents = offer["total"].split(".")
            self.assertEqual(total, (int(whole) * 100 + int(cents)) * 10000)
        best_lines = rows("SELECT * FROM shipping_charges('6 lb 2 oz', '16 x 10 x 9 in', 1, '64.00', 'fragile') WHERE rank = 1;")
        self.assertEqual([line["line"] for line in best_lines], [n + 1 for n in range(len(best_lines))])
        self.assertEqual(rows("SELECT * FROM shipping_charges('6 lb', '16 x 10 x 9 in') WHERE rank = 0;"), [])
        self.assertEqual(rows("SELECT * FROM shipping_charges('6 lb', '16 x 10 x 9 in') WHERE rank = 999;"), [])

    def test_orders_of_several_rows(self):
        goods = [{"weight": "20 oz", "sides": "10 x 8 x 2 in", "quantity": 2, "value": "9.00"},
                 {"weight": "9 oz", "sides": "8 x 5 x 1 in", "contents": ["media"]}]
        ranking = command(request_of({"goods": goods}))
        table = ("CREATE TABLE l AS SELECT '20 oz' AS w, '10 x 8 x 2 in' AS s, 2 AS q, '9.00' AS v, NULL AS c UNION ALL "
                 "SELECT '9 oz', '8 x 5 x 1 in', 1, NULL, 'media';")
        words = "w, s, 'quantity', q, 'value', v, 'contents', c"
        (row,) = rows(table + f"SELECT shipping_order_total({words}) AS total, shipping_order_service({words}) AS service, "
                      f"shipping_order_packaging({words}) AS packaging, shipping_order_explain({words}) AS explained, "
                      f"shipping_order_reason({words}) AS reason FROM l;")
        self.assertEqual((row["total"], row["service"], row["packaging"]), best(ranking))
        self.assertEqual(json.loads(row["explained"]), ranking)
        self.assertIsNone(row["reason"])
        (row,) = rows(table + f"INSERT INTO l VALUES (NULL, '1 x 1 x 1 in', 1, NULL, NULL); SELECT shipping_order_total({words}) AS total, "
                      f"shipping_order_reason({words}) AS reason FROM l;")
        self.assertEqual((row["total"], row["reason"]), (None, "weight: found NULL, expected a value such as '1 lb 3 oz'"))
        self.assertEqual(rows(table + f"SELECT shipping_order_total({words}) AS total FROM l WHERE q > 9;"), [{"total": None}])
        self.assertIn("expected the same of each", error(table + f"SELECT shipping_order_total({words}, 'date', '2026-08-0' || (q + 3)) FROM l;"))

    def test_columns_of_numbers(self):
        """The catalogue as sqlite3 imports it: every column a text without units."""
        script = (set_up(weight_unit="oz", side_unit="in") + ".import --csv tables/catalogue/goods.csv goods\n"
                  "SELECT sku, weight_oz || ' oz' AS w, shipping_sides(length_in, width_in, height_in, 'in') AS s, "
                  "shipping_total(weight_oz, shipping_sides(length_in, width_in, height_in), 'quantity', quantity, 'value', value, "
                  "'contents', contents, 'shape', shape, 'this_side_up', this_side_up, 'rigid', rigid, 'bare', bare) AS total FROM goods "
                  "WHERE shape <> 'soft' LIMIT 40;")
        out, err, _ = sql(script, bail=True)
        self.assertEqual(err, "")
        goods = {row["sku"]: row for row in json.loads(out)}
        self.assertEqual(len(goods), 40)
        for row in csv.DictReader((ROOT / "tables/catalogue/goods.csv").read_text(encoding="utf-8").splitlines()):
            if row["sku"] not in goods:
                continue
            asked = {"weight": row["weight_oz"] + " oz", "sides": f"{row['length_in']} x {row['width_in']} x {row['height_in']} in",
                     "quantity": int(row["quantity"]), "value": row["value"], "contents": row["contents"].split(), "shape": row["shape"],
                     **{name: row[name] == "true" for name in ("this_side_up", "rigid", "bare")}}
            self.assertEqual(goods[row["sku"]]["total"], best(command(request_of({"goods": [asked]})))[0], row["sku"])
        self.assertEqual(value("shipping_sides(10.125, 5, 2.5, 'in')"), "10.125 in x 5 in x 2.5 in")
        self.assertEqual(value("shipping_sides('10-1/8 in', '12 cm', 2, 'in')"), "10-1/8 in x 12 cm x 2 in")
        self.assertIsNone(value("shipping_sides(10, NULL, 2, 'in')"))
        self.assertEqual(value("shipping_total(11.4, '12 x 7 x 3', 'weight_unit', 'oz', 'side_unit', 'in')"),
                         value("shipping_total('11.4 oz', '12 x 7 x 3 in')"))

    def test_rows_whose_sides_cannot_be_read_do_not_stop_the_others(self):
        dirty = ("CREATE TEMP TABLE unit AS SELECT shipping_set('side_unit', 'in'); CREATE TABLE d(sku, weight, l, w, h); INSERT INTO d VALUES ('good', '12 oz', 10, '8 in', 2.5), ('mixed', '12 oz', '9 1/4', 6.5, 1.25), "
                 "('word', '12 oz', 'N/A', 6, 2), ('zero', '12 oz', 9, 0, 2), ('null', '12 oz', 9, NULL, 2), ('weight', 'heavy', 9, 6, 2); ")
        said = "coalesce(shipping_sides_problem(l, w, h), shipping_problem(weight, shipping_sides(l, w, h)))"
        told = {row["sku"]: row["said"] for row in rows(f"{dirty} SELECT sku, {said} AS said FROM d;")}
        self.assertEqual(told, {
            "good": None, "null": None, "mixed": 'sides: found "9 1/4", expected a length such as 10.5 (bare numbers are in "in")',
            "word": 'sides: found "N/A", expected a length such as "12.375 in", "12-3/8 in", "1 ft 2 in" or "30.5 cm"',
            "zero": "sides: found 0, expected a side of more than 0",
            "weight": value("shipping_problem('heavy', '9 x 6 x 2 in')")})
        priced = {row["sku"]: row["total"] for row in rows(f"{dirty} SELECT sku, shipping_total(weight, shipping_sides(l, w, h)) AS total FROM d WHERE {said} IS NULL;")}
        self.assertEqual(priced, {"good": value("shipping_total('12 oz', '10 x 8 x 2.5 in')"), "null": None})
        self.assertIn("9 1/4", error("SELECT shipping_sides('9 1/4', 6, 2, 'in');"))
        self.assertEqual(value("shipping_sides_problem(1, 2, 'x', 'cm')"), 'sides: found "x", expected a length such as 10.5 (bare numbers are in "cm")')
        self.assertIsNone(value("shipping_sides_problem(1, 2, NULL, 'cm')"))


class Asked(unittest.TestCase):
    """NULLs, settings, and how a table is asked."""

    def test_nulls(self):
        for name, none in [("value", True), ("contents", True), ("extras", True), ("promise", True), ("cover", True), ("quantity", False),
                           ("destination", False), ("date", False), ("residential", False), ("rigid", False), ("currency", False)]:
            total = value(f"shipping_total('9 oz', '8 x 5 x 1 in', '{name}', NULL)")
            reason = value(f"shipping_reason('9 oz', '8 x 5 x 1 in', '{name}', NULL)")
            self.assertEqual(total is not None, none, name)
            self.assertEqual(reason is None, none, name)
            if not none:
                self.assertTrue(reason.startswith(f"{name}: found NULL, expected a value such as "), reason)
            asked = f"SELECT count(*) AS n FROM shipping_offers('9 oz', '8 x 5 x 1 in') WHERE {name} = NULL;"
            if name != "currency":
                self.assertEqual(rows(asked)[0]["n"] > 0, none, name)
        for arguments in ("NULL, '8 x 5 x 1 in'", "'9 oz', NULL", "NULL"):
            self.assertIsNone(value(f"shipping_total({arguments})"))
            self.assertIsNone(value(f"shipping_problem({arguments})"))
            self.assertIn("found NULL", value(f"shipping_reason({arguments})"))
        # NULL goes before a setting.
        out, err, _ = sql(set_up(contents="media") + "SELECT shipping_service('20 oz', '8 x 5 x 1 in') AS a, "
                          "shipping_service('20 oz', '8 x 5 x 1 in', 'contents', NULL) AS b;")
        self.assertEqual(err, "")
        self.assertEqual(json.loads(out), [{"a": "harbourline/printed", "b": value("shipping_service('20 oz', '8 x 5 x 1 in')")}])

    def test_settings(self):
        out, err, _ = sql(set_up() + "SELECT shipping_set('quantity', 2, 'date', NULL) AS n; SELECT shipping_setting('quantity') AS q, "
                          "shipping_setting('date') AS d, shipping_tables() AS t;")
        self.assertEqual(err, "")
        self.assertEqual(out.split(), ['[{"n":2}]', f'[{{"q":"2","d":null,"t":"{DEMO}"}}]'])
        # All or none.
        out, err, _ = sql(set_up() + "SELECT shipping_set('quantity', 2, 'shape', 'round');\nSELECT shipping_setting('quantity') AS q;")
        self.assertIn("shape: found \"round\", expected box, tube, soft, flat or irregular", err)
        self.assertIn('"q":null', out)
        # What changes holds for what is asked afterwards, whatever was kept.
        out, err, _ = sql(set_up() + "SELECT shipping_total('5 lb', '9 x 7 x 4 in') AS a; CREATE TEMP TABLE n AS SELECT shipping_set("
                          "'destination', 'US 05602'); SELECT shipping_total('5 lb', '9 x 7 x 4 in') AS b;")
        self.assertEqual(err, "")
        a, b = (json.loads(part)[0] for part in out.split())
        self.assertEqual(b["b"], value("shipping_total('5 lb', '9 x 7 x 4 in', 'destination', 'US 05602')"))
        self.assertNotEqual(a["a"], b["b"])

    def test_a_database_in_utf_16(self):
        for encoding in ("UTF-16le", "UTF-16be"):
            found = rows("CREATE TABLE g(w, s, c); INSERT INTO g VALUES ('9 oz', '8 \u00d7 5 \u00d7 1 in', 'x-caf\u00e9');"
                         "SELECT shipping_total(w, s, 'quantity', 1) AS t, (SELECT total FROM shipping_offers(w, s) WHERE rank = 1) AS u FROM g;",
                         mode=f"PRAGMA encoding = '{encoding}'; CREATE TABLE first(x);", json_mode=True)
            self.assertEqual(found[0]["t"], found[0]["u"])
            self.assertEqual(found[0]["t"], value("shipping_total('9 oz', '8 x 5 x 1 in')"))

    def test_how_a_table_is_asked(self):
        all_ways = rows("SELECT rank FROM shipping_offers('9 oz', '8 x 5 x 1 in');")
        self.assertGreater(len(all_ways), 10)
        for where in ("rank = 1 OR carrier = 'larkspur'", "rank IN (1, 2)", "rank <= 2", "total_micros < 9000000 OR tracked = 0"):
            with_or = rows(f"SELECT rank FROM shipping_offers('9 oz', '8 x 5 x 1 in') WHERE {where};")
            plain = rows(f"SELECT rank FROM (SELECT * FROM shipping_offers('9 oz', '8 x 5 x 1 in') LIMIT 10000) WHERE {where};")
            self.assertEqual(with_or, plain, where)
            self.assertTrue(with_or, where)
        self.assertEqual(rows("SELECT rank FROM shipping_offers('9 oz', '8 x 5 x 1 in') ORDER BY rank DESC;"), all_ways[::-1])
        self.assertEqual(rows("SELECT rank FROM shipping_offers('9 oz', '8 x 5 x 1 in') ORDER BY rank;"), all_ways)
        # Either table first.
        for joined in ("g, shipping_offers(g.w, g.s) AS o", "shipping_offers AS o, g"):
            found = rows("CREATE TABLE g(w, s); INSERT INTO g VALUES ('9 oz', '8 x 5 x 1 in'), ('2 lb', '9 x 7 x 4 in'); "
                         f"SELECT w, total FROM {joined} WHERE o.weight = g.w AND o.sides = g.s AND rank = 1 ORDER BY w DESC;")
            self.assertEqual([row["total"] for row in found],
                             [value("shipping_total('9 oz', '8 x 5 x 1 in')"), value("shipping_total('2 lb', '9 x 7 x 4 in')")])
        self.assertEqual(len(rows("SELECT weight FROM shipping_offers WHERE weight IN ('9 oz', '2 lb') AND sides = '9 x 7 x 4 in' AND rank = 1;")), 2)
        self.assertEqual(rows("SELECT weight, quantity, destination FROM shipping_offers('9 oz', '8 x 5 x 1 in', 3) WHERE rank = 1;"),
                         [{"weight": "9 oz", "quantity": 3, "destination": None}])
        euro = rows("SELECT DISTINCT currency FROM shipping_offers('9 oz', '8 x 5 x 1 in') WHERE currency = 'EUR' AND exchange = 'USD 0.9';")
        self.assertEqual(euro, [{"currency": "EUR"}])
        # Conditions that SQLite looks at again, a NULL among them.
        many = ("SELECT count(*) AS n FROM shipping_offers('9 oz', '8 x 5 x 1 in', 1, NULL, NULL, 'box', 0, 0, 0, 0, 0, NULL, 'US 05401', "
                "'US 98101', 1, 0, '2026-08-03', {}, NULL, 'door') WHERE rank = 1;")
        self.assertEqual(error(many.format("'15:30'")), "shipping_offers: promise: found NULL in the 17th condition or a later one, where no row "
                         "equals it, expected it before or left out")
        self.assertEqual(rows(many.format("'15:30'").replace(", NULL, 'door'", ", 'within 9', 'door'")), [{"n": 1}])

    def test_views_and_triggers(self):
        self.assertEqual(rows(
            "CREATE TABLE g(w, s, t); CREATE TRIGGER priced AFTER INSERT ON g BEGIN UPDATE g SET t = shipping_total(w, s) WHERE rowid = new.rowid; "
            "END; CREATE VIEW v AS SELECT t, (SELECT total FROM shipping_offers(w, s) WHERE rank = 1) AS u FROM g; "
            "INSERT INTO g(w, s) VALUES ('9 oz', '8 x 5 x 1 in'); SELECT t = u AS same, t IS NULL AS none FROM v;"), [{"same": 1, "none": 0}])
        self.assertIn("unsafe use of shipping_set()", error("CREATE VIEW v AS SELECT shipping_set('quantity', 2); SELECT * FROM v;"))
        self.assertIn("unsafe use of shipping_tables()", error("CREATE VIEW v AS SELECT shipping_tables('x'); SELECT * FROM v;"))
        self.assertIn("unsafe use", error("PRAGMA trusted_schema = OFF; CREATE VIEW v AS SELECT shipping_total('9 oz', '8 x 5 x 1 in'); "
                                          "SELECT * FROM v;"))
        self.assertIn("non-deterministic", error("CREATE TABLE g(w, s); CREATE INDEX i ON g(shipping_total(w, s));"))
        self.assertEqual(rows("CREATE TABLE g(l, s AS (shipping_sides(l, l, l, 'in')) STORED); INSERT INTO g(l) VALUES (2); SELECT s FROM g;"),
                         [{"s": "2 in x 2 in x 2 in"}])

    def test_loading_twice_and_reopening(self):
        again = f".load {OPTIONS.extension}\n"
        out, err, _ = sql(set_up() + again + "SELECT shipping_setting('date') AS d, shipping_tables() AS t;")
        self.assertEqual((err, out.strip()), ("", f'[{{"d":"2026-08-03","t":"{DEMO}"}}]'))
        with tempfile.TemporaryDirectory() as folder:
            database = f"{folder}/a.db"
            # A new connection of the same program knows nothing of the first.
            out, err, _ = sql(set_up() + f".open {database}\n{again}SELECT shipping_tables() AS t, shipping_setting('date') AS d;\n"
                              ".connection 1\n.open :memory:\n" + again + "SELECT shipping_setting('date') AS e;\n")
            self.assertEqual(err, "")
            self.assertEqual(out.split(), ['[{"t":null,"d":null}]', '[{"e":null}]'])


class Errors(unittest.TestCase):
    def test_what_they_say(self):
        weight = 'expected a weight such as "10.5 oz", "1 lb 3 oz" or "2.5 kg"'
        sides = 'expected three lengths such as "14 x 9 x 5 in"'
        for arguments, expected in [
            ("5, '9 x 7 x 4 in'", f"weight: found 5, {weight}; 'weight_unit' says the unit of bare numbers"),
            ("'5', '9 x 7 x 4 in'", f"weight: found \"5\", {weight}; 'weight_unit' says the unit of bare numbers"),
            ("'', '9 x 7 x 4 in'", f'weight: found "", {weight}'),
            ("'5 stone', '9 x 7 x 4 in'", f'weight: found "5 stone", {weight}'),
            ("-5, '9 x 7 x 4 in', 'weight_unit', 'oz'", 'weight: found -5, expected a weight such as 10.5 (bare numbers are in "oz")'),
            ("'0 lb', '9 x 7 x 4 in'", 'weight: found "0 lb", expected a weight of more than 0 and at most 100000 kg'),
            ("'100001 kg', '9 x 7 x 4 in'", 'weight: found "100001 kg", expected a weight of more than 0 and at most 100000 kg'),
            ("x'00', '9 x 7 x 4 in'", "weight: found a blob, expected a value such as '1 lb 3 oz'"),
            ("'5 lb' || char(0), '9 x 7 x 4 in'", "weight: found a text with a NUL character in it, expected none"),
            ("'5 lb', '9 x 7 x 4'", f"sides: found \"9 x 7 x 4\", {sides}; 'side_unit' says the unit of bare numbers"),
            ("'5 lb', '9 x 0 x 4 in'", 'sides: found "9 x 0 x 4 in", expected sides of more than 0 and at most 50 m each'),
            ("'5 lb', '9 x 7 x 4 in', 'quantity', 0", "quantity: found 0, expected a whole number from 1 to 10000"),
            ("'5 lb', '9 x 7 x 4 in', 'quantity', 1.5", "quantity: found 1.5, expected a whole number from 1 to 10000"),
            ("'5 lb', '9 x 7 x 4 in', 'quantity', 10001", "quantity: found 10001, expected a whole number from 1 to 10000"),
            ("'5 lb', '9 x 7 x 4 in', 'value', ''", 'value: found "", expected an amount such as "6.45", or NULL for none'),
            ("'5 lb', '9 x 7 x 4 in', 'residential', 'maybe'", 'residential: found "maybe", expected 1 or 0, yes or no, true or false'),
            ("'5 lb', '9 x 7 x 4 in', 'destination', 98101", 'destination: found 98101, expected a country and a postal code such as "US 98101"'),
            ("'5 lb', '9 x 7 x 4 in', 'destination', 'US 9810'",
             'destination: found "9810", expected five digits, perhaps a hyphen and four more; was it "09810"?'),
            ("'5 lb', '9 x 7 x 4 in', 'promise', 'soon'",
             'promise: found "soon", expected "within 3" (business days), "by 2026-08-07" or "paid for harbourline/parcel"'),
            ("'5 lb', '9 x 7 x 4 in', 'time', '25:00'", 'time: found "25:00", expected a time of day such as "15:30"'),
            ("'5 lb', '9 x 7 x 4 in', 'packed_in', 'game-12'",
             "packed_in: found \"game-12\", expected none: only a sealed parcel is packed in something ('sealed', 1)"),
            ("'5 lb', '9 x 7 x 4 in', 'sealed', 1, 'quantity', 2", "quantity: found 2, expected 1: a sealed parcel is one"),
            ("'{\"format\": 1}'", None),
            ("'5 lb'", 'found "5 lb" alone, expected a weight and sides, or a request document (tarewise-request-1)'),
        ]:
            said = error(f"SELECT shipping_total({arguments});")
            if expected is not None:
                self.assertEqual(said, "shipping_total: " + expected, arguments)
            # And as an answer, so that one row does not stop the others.
            self.assertEqual("shipping_total: " + value(f"shipping_problem({arguments})"), said)
        for arguments, expected in [
            ("", "found 0 arguments, expected a weight, sides and pairs of a name and a value, or one request document"),
            ("'5 lb', '9 x 7 x 4 in', 'quantity'",
             "found 3 arguments, expected a weight, sides and pairs of a name and a value, or one request document"),
            ("'5 lb', '9 x 7 x 4 in', 'quantty', 2", "found 'quantty' where a name stands, expected one that there is; was it 'quantity'?"),
            ("'5 lb', '9 x 7 x 4 in', NULL, 2", None),
            ("'5 lb', '9 x 7 x 4 in', 'quantity', 2, 'quantity', 2", "found 'quantity' twice, expected it once"),
            ("'5 lb', '9 x 7 x 4 in', 'weight', '2 lb'", "found 'weight' among the pairs, expected a weight and sides first, without names"),
        ]:
            for function in ("shipping_total", "shipping_problem"):
                said = error(f"SELECT {function}({arguments});")
                if expected is not None:
                    self.assertEqual(said, f"{function}: {expected}")
        for statement, expected in [
            ("SELECT * FROM shipping_offers;", "shipping_offers: found no weight, expected shipping_offers(WEIGHT, SIDES, ...), or WHERE weight = "
             "... AND sides = ...; or one request document. A column of the same name in an outer query is "
             "written with its table: inventory.weight"),
            ("SELECT * FROM shipping_refusals WHERE weight > '5 lb';", "shipping_refusals: found no weight, expected "
             "shipping_refusals(WEIGHT, SIDES, ...), or WHERE weight = ... AND sides = ...; or one request document. A column of the same name in an outer query is "
             "written with its table: inventory.weight"),
            ("SELECT * FROM shipping_charges WHERE weight = '5 lb' AND quantity = 2;",
             "shipping_charges: found no sides, expected them beside the weight"),
            ("SELECT * FROM shipping_offers('5 lb', '9 x 7 x 4 in', 0);", "shipping_offers: quantity: found 0, expected a whole number from 1 to 10000"),
            ("SELECT shipping_set('weight', '5 lb');", "shipping_set: weight: found it as a setting, expected it of each row"),
            ("SELECT shipping_set('destination', 'US 9810');",
             'shipping_set: destination: found "9810", expected five digits, perhaps a hyphen and four more; was it "09810"?'),
            ("SELECT shipping_tables('tables/demo-orders');",
             "shipping_tables: tables/demo-orders: found no tariff among its documents, expected one or more"),
            ("SELECT shipping_sides('9 in', 7, -4, 'in');", 'shipping_sides: sides: found -4, expected a length such as 10.5 (bare numbers are in "in")'),
            ("SELECT shipping_tables(NULL);", "shipping_tables: found NULL, expected the path of a folder of tables"),
        ]:
            self.assertEqual(error(statement), expected)
        self.assertIn("shipping_tables: ", error("SELECT shipping_tables('no/such/folder');"))
        self.assertIn("no/such/folder", error("SELECT shipping_tables('no/such/folder');"))
        self.assertEqual(error("SELECT shipping_total('5 lb', '9 x 7 x 4 in');", prepare=""),
                         "shipping_total: found no tables, expected SELECT shipping_tables('FOLDER') on this connection before")
        self.assertEqual(error("SELECT shipping_total('5 lb', '9 x 7 x 4 in');", prepare=f"SELECT shipping_tables('{DEMO}');"),
                         "shipping_total: found no origin, expected SELECT shipping_set('origin', 'US 05401') before, or 'origin' and its "
                         "value with the row")

    def test_cents_are_never_rounded(self):
        with tempfile.TemporaryDirectory() as folder:
            tables = pathlib.Path(folder)
            for name in (ROOT / "tests/command/europe").glob("*"):
                (tables / name.name).write_bytes(name.read_bytes())
            # A rate of exchange makes totals that are not whole cents, or none at all.
            lane = "'origin', 'DE 10117', 'destination', 'DE 80331', 'date', '2026-08-04'"
            start = f"CREATE TABLE n AS SELECT shipping_tables('{folder}'); "
            words = f"'1.2 kg', '28 x 18 x 12 cm', 'sealed', 1, {lane}, "
            yen = words + "'currency', 'JPY', 'exchange', 'EUR 161.5'"
            self.assertIn("found JPY, which has 0 decimals, expected a currency with 2; shipping_total_micros tells any",
                          error(f"SELECT shipping_total_cents({yen});", prepare=start))
            out, err, _ = sql(start + f"SELECT shipping_total_micros({yen}) AS micros, shipping_total({yen}) AS total;", bail=True)
            self.assertEqual(err, "")
            (row,) = json.loads(out)
            whole, _, part = row["total"].partition(".")
            self.assertEqual(row["micros"], int(whole) * 10**6 + int((part + "000000")[:6]))

    def test_bad_tables_leave_the_old_ones(self):
        with tempfile.TemporaryDirectory() as folder:
            (pathlib.Path(folder) / "bad.json").write_text("{", encoding="utf-8")
            out, err, _ = sql(set_up() + f"SELECT shipping_tables('{folder}');\nSELECT shipping_total('9 oz', '8 x 5 x 1 in') AS t;")
            self.assertIn("bad.json:1:", err)
            self.assertEqual(json.loads(out)[0]["t"], value("shipping_total('9 oz', '8 x 5 x 1 in')"))


class Page(unittest.TestCase):
    def test_its_statements_and_outputs(self):
        text = PAGE.read_text(encoding="utf-8")
        blocks = list(re.finditer(r"<!-- (sql|output) -->\n```\w+\n(.*?)```", text, re.S))
        self.assertGreater(sum(block[1] == "output" for block in blocks), 3)
        script = "".join(block[2] if block[1] == "sql" else ".print ====\n" for block in blocks)
        out, err, code = sql(script, bail=True, mode=".mode column")
        self.assertEqual((err, code), ("", 0))
        found = [part.strip("\n") for part in out.split("====\n")]
        # What the first statements say is in no block.
        found[0] = found[0][found[0].index("sku "):]
        outputs = [block for block in blocks if block[1] == "output"]
        if OPTIONS.refresh:
            for block, said in reversed(list(zip(outputs, found))):
                text = text[:block.start(2)] + re.sub(r" +$", "", said, flags=re.M) + "\n" + text[block.end(2):]
            PAGE.write_text(text, encoding="utf-8")
            return
        for block, said in zip(outputs, found):
            self.assertEqual(re.sub(r" +$", "", said, flags=re.M) + "\n", block[2])

    def test_its_errors(self):
        (block,) = re.findall(r"<!-- errors -->\n```text\n(.*?)```", PAGE.read_text(encoding="utf-8"), re.S)
        pairs = re.findall(r"^(SELECT .*)\n  (.*)$", block, re.M)
        self.assertGreater(len(pairs), 2)
        for statement, said in pairs:
            self.assertEqual(error(statement), said)


def main():
    global OPTIONS
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--extension", required=True)
    parser.add_argument("--command", required=True)
    parser.add_argument("--sqlite3", default="sqlite3")
    parser.add_argument("--rows", type=int, default=300)
    parser.add_argument("--refresh", action="store_true")
    OPTIONS, rest = parser.parse_known_args()
    OPTIONS.extension = str(pathlib.Path(OPTIONS.extension).resolve())
    OPTIONS.command = str(pathlib.Path(OPTIONS.command).resolve())
    unittest.main(argv=[sys.argv[0], *rest])


if __name__ == "__main__":
    main()
