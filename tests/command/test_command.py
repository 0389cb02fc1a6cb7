#!/usr/bin/env python3
"""The command as a whole: what it says to the last character, its exit codes, and that what it says is so.

    test_command.py --command PATH [--refresh] [NAMES OF TESTS ...]

Texts are kept in golden/; --refresh writes them anew, and the difference is then for a person to read. The tables beside
this file are invented, small and frozen; those of the demonstration are only asked what any tables would be asked.
"""

import json
import os
import pathlib
import pty
import random
import re
import shutil
import subprocess
import tempfile
import unicodedata
import unittest

import tested
from tested import DEMO, HERE, ROOT, run

TABLES = "tests/command/tables"
CASES = "tests/cases/tables"
EUROPE = "tests/command/europe"
REFRESH = False

LANE = ["--from", "US 05401", "--to", "US 98101", "--date", "2026-08-03"]
USD = ["--currency", "USD"]
BOOK = ["--weight", "11.6 oz", "--sides", "7 x 5 x 3 in"]
HEAVY = ["--weight", "20 lb", "--sides", "9 x 7 x 4 in", "--quantity", "2", "--title", "Irons", "--and", "--weight", "11 oz", "--sides",
         "6 x 4 x 1 in", "--title", "Stand"]
IN_EUROPE = ["--tables", EUROPE, "--from", "DE 10117", "--to", "DE 80331", "--date", "2026-08-04", "--currency", "EUR"]
BOX = ["--weight", "1.2 kg", "--sides", "28 x 18 x 12 cm"]
OF_PIECES = ["--tables", "tests/cases/consignment", "--sealed", "--weight", "60 lb", "--sides", "20 x 20 x 20 in",
             "--from", "US 05401", "--to", "US 98101", "--date", "2026-02-01"]
PACKING = ["rank", "--tables", "tests/command/packing", *LANE, "--arrangement"]
GAMES = ["--weight", "20 oz", "--sides", "10 x 8 x 2 in", "--quantity", "3", "--title", "Board game"]


def rank(request, tables=TABLES):
    """The ranking of a request document, and the exit code."""
    done = run(["rank", "--tables", tables, "--json"], json.dumps(request))
    return json.loads(done.stdout) if done.stdout else {"error": done.stderr.decode()}, done.returncode


def sealed(weight, sides="7 x 5 x 3 in", **more):
    return {"format": "tarewise-request-1", "parcel": {"weight": weight, "sides": sides},
            "from": {"country": "US", "postal_code": "05401"}, "to": {"country": "US", "postal_code": "98101"},
            "date": "2026-08-03", "currency": "USD", **more}


def several_sealed():
    request = {**sealed("2 lb"), "parcels": {"all_by": "service"}, "sealed": [
        {"weight": "2 lb", "sides": "7 x 5 x 3 in"}, {"weight": "9 oz", "sides": "7 x 5 x 1 in"}]}
    del request["parcel"]
    return request


def columns(text):
    """The columns that text takes in a terminal (Unicode's own east Asian widths)."""
    return sum(0 if unicodedata.combining(c) else 2 if unicodedata.east_asian_width(c) in "WF" else 1 for c in text)


# name, exit code, arguments, standard input, columns
GOLDEN = [
    ("help", 0, ["help"], None, 80),
    ("help-rank", 0, ["help", "rank"], None, 80),
    ("help-check", 0, ["check", "--help"], None, 80),
    ("help-grid", 0, ["grid", "--help"], None, 80),
    ("help-begin", 0, ["help", "begin"], None, 80),
    ("help-renew", 0, ["help", "renew"], None, 80),
    ("help-reprice", 0, ["help", "reprice"], None, 120),
    ("help-zone", 0, ["zone", "-h"], None, 80),
    ("help-staircase", 0, ["help", "staircase"], None, 80),
    ("rank-goods-80", 0, ["rank", "--tables", TABLES, *LANE, *USD, *BOOK, "--residential"], None, 80),
    ("rank-goods-120", 0, ["rank", "--tables", TABLES, *LANE, *USD, *BOOK, "--residential"], None, 120),
    ("rank-all-lines", 0, ["rank", "--tables", TABLES, *LANE, *USD, *BOOK, "--all", "--lines"], None, 100),
    # In its carton 0.1 oz over 15.5 oz, the last step: the saver is the one thing to do.
    ("rank-saver", 0, ["rank", "--tables", TABLES, *LANE, *USD, "--weight", "12.3 oz", "--sides", "7.5 x 5.5 x 3.5 in"], None, 80),
    ("rank-at-risk", 0, ["rank", "--tables", TABLES, *LANE, *USD, "--weight", "12.2 oz", "--sides", "7.5 x 5.5 x 3.5 in",
                         "--tolerance", "0.2 oz", "--tolerance-sides", "0.25 in", "--objective", "cautious"], None, 80),
    ("rank-range", 0, ["rank", "--tables", TABLES, *LANE, *USD, "--weight", "10..14 oz", "--sides", "7 x 5 x 3 in"], None, 80),
    ("rank-two-things", 0, ["rank", "--tables", TABLES, *LANE, *USD, "--weight", "9 oz", "--sides", "7 x 5 x 1 in",
                            "--quantity", "2", "--and", "--weight", "1 lb", "--sides", "6 x 4 x 1 in", "--contents", "fragile",
                            "--padding", "0.5 in", "--fill-weight", "1 oz"], None, 80),
    ("rank-arrangement", 0, [*PACKING, *GAMES, "--and", "--weight", "9 oz", "--sides", "5 x 5 x 5 in", "--title", "Tin"],
     None, 80),
    ("rank-arrangement-lying", 0, [*PACKING, *GAMES, "--may-stand", "1,2", "--and", "--weight", "9 oz", "--sides",
                                   "6 x 4 x 3 in", "--top-free", "--contents", "fragile", "--and", "--weight", "2 lb",
                                   "--sides", "9 x 4 x 1 in", "--quantity", "2", "--bears", "8 oz"], None, 80),
    ("rank-arrangement-one", 0, [*PACKING, "--weight", "2 lb", "--sides", "14 x 10 x 4 in"], None, 80),
    ("rank-arrangement-metric", 0, [*PACKING, "--weight", "150 g", "--sides", "9 x 6 x 3.5 cm", "--quantity", "12"],
     None, 80),
    ("rank-estimate", 0, ["rank", "--tables", TABLES, "--estimate", *LANE, *USD, "--weight", "1 lb 3 oz", "--sides",
                          "7 x 5 x 3 in"], None, 80),
    ("rank-sealed", 0, ["rank", "--tables", TABLES, *LANE, *USD, "--sealed", "--weight", "3 lb", "--sides", "12 x 9 x 4 in",
                        "--extra", "signature", "--cover", "250", "--lines"], None, 80),
    ("rank-exchange", 0, ["rank", "--tables", TABLES, "--from", "US 05401", "--to", "DE 10115", "--date", "2026-08-03", *USD,
                          "--exchange", "EUR=1.0842", "--weight", "900 g", "--sides", "20 x 15 x 10 cm"], None, 80),
    ("rank-promise", 0, ["rank", "--tables", TABLES, *LANE, *USD, *BOOK, "--within", "4"], None, 80),
    ("rank-paid-for", 0, ["rank", "--tables", TABLES, *LANE, *USD, *BOOK, "--paid-for", "fenwick-dray/nacht"], None, 80),
    ("rank-cautions", 0, ["rank", "--tables", TABLES, *LANE, *USD, "--weight", "52 lb", "--sides", "12 x 9 x 5 in", "--contents",
                          "lithium_alone"], None, 80),
    ("rank-nothing", 1, ["rank", "--tables", TABLES, *LANE, *USD, "--weight", "200 lb", "--sides", "40 x 30 x 30 in"], None, 80),
    ("rank-json", 0, ["rank", "--tables", TABLES, "--json"], json.dumps(sealed("2 lb", extras=["signature"])), 80),
    ("rank-cases", 0, ["rank", "--tables", CASES, *LANE, *USD, "--sealed", "--weight", "9 lb", "--sides", "20 x 12 x 9 in",
                       "--residential"], None, 100),
    ("rank-plans", 0, ["rank", "--tables", TABLES, *LANE, *USD, *BOOK, "--title", "Tin", "--and", "--weight", "9 oz", "--sides",
                       "7 x 5 x 1 in", "--quantity", "2", "--parcels", "3", "--plans", "4"], None, 80),
    ("rank-plans-two", 0, ["rank", "--tables", TABLES, *LANE, *USD, *HEAVY, "--parcels", "2", "--arrangement"], None, 80),
    ("rank-plans-apart", 0, ["rank", "--tables", TABLES, *LANE, *USD, *HEAVY, "--parcels", "3", "--all-by", "service", "--apart", "1,2",
                             "--together", "1", "--plans", "1"], None, 80),
    ("rank-plans-none", 1, ["rank", "--tables", TABLES, *LANE, *USD, *BOOK, "--and", "--weight", "200 lb", "--sides", "40 x 30 x 30 in",
                            "--parcels", "2"], None, 80),
    ("rank-plans-json", 0, ["rank", "--tables", TABLES, "--json"], json.dumps(several_sealed()), 80),
    ("zone", 0, ["zone", "--tables", TABLES, *LANE], None, 80),
    ("zone-pairs", 0, ["zone", "--tables", TABLES, "--from", "US 05401", "--to", "US 05601", "--date", "2026-08-03"], None, 80),
    ("zone-none", 1, ["zone", "--tables", TABLES, "--from", "US 05401", "--to", "AU 2600", "--date", "2026-08-03"], None, 80),
    ("zone-not-in-force", 0, ["zone", "--tables", TABLES, "--from", "US 05401", "--to", "US 98101", "--date", "2026-02-03"],
     None, 80),
    ("staircase-80", 0, ["staircase", "--tables", TABLES, *LANE, *USD, "--sides", "7 x 5 x 3 in", "--exchange", "EUR=1.1"], None,
     80),
    ("staircase-all", 0, ["staircase", "--tables", TABLES, *LANE, *USD, "--sides", "7 x 5 x 3 in", "--services",
                          "parcel,harbourline/small", "--up-to", "3 lb", "--all"], None, 100),
    ("staircase-metric", 0, ["staircase", "--tables", TABLES, "--from", "US 05401", "--to", "DE 10115", "--date", "2026-08-03",
                             "--currency", "EUR", "--sides", "30 x 20 x 10 cm"], None, 80),
    ("staircase-nothing", 1, ["staircase", "--tables", TABLES, *LANE, *USD, "--sides", "7 x 5 x 3 in", "--services",
                              "harbourline/note"], None, 80),
    ("check", 0, ["check", TABLES], None, 80),
    ("rank-europe", 0, ["rank", *IN_EUROPE, *BOX, "--value", "180", "--accepts", "door,point", "--time", "16:30"], None, 80),
    ("rank-europe-lines", 0, ["rank", *IN_EUROPE, *BOX, "--without-tax", "--lines", "--all"], None, 100),
    ("rank-terms", 0, ["rank", *IN_EUROPE, *BOX, "--by", "2026-08-08", "--cash-on-delivery", "164", "--week-parcels", "10",
                       "--week-parcels", "fenwick-dray=60", "--week-spend", "fenwick-dray=300.01"], None, 80),
    ("rank-consignment", 0, ["rank", *OF_PIECES, "--others", "2", "--others-weight", "140 lb", "--first", "yes"], None, 80),
    ("rank-deficit", 0, ["rank", *IN_EUROPE, "--sealed", "--weight", "40 kg", "--sides", "80 x 60 x 50 cm"], None, 80),
    ("rank-refusals", 1, ["rank", *IN_EUROPE, *BOX, "--contents", "fragile", "--accepts", "door,locker", "--extra", "adult", "--padding", "0 mm"], None, 80),
    ("staircase-handicaps", 0, ["staircase", *IN_EUROPE, "--sides", "28 x 18 x 12 cm", "--value", "180", "--accepts", "door,point"],
     None, 80),
    ("check-europe", 0, ["check", EUROPE], None, 80),
]

# What is said on standard error for each bad input: name, arguments, standard input, what the lines hold.
ERRORS = [
    ("no command", [], None, ["found no command, expected one", "rank", "check"]),
    ("command misspelt", ["rnk"], None, ['found the command "rnk"', "the nearest is rank"]),
    ("help of none", ["help", "stair"], None, ['found the command "stair"']),
    ("option misspelt", ["rank", "--tables", TABLES, "--wieght", "3 lb"], None,
     ['found the option "--wieght"', "the nearest is --weight"]),
    ("option of no name", ["rank", "--zzzzzz"], None, ['found the option "--zzzzzz"', "--help lists them"]),
    ("option without its value", ["rank", "--tables", TABLES, "--weight", "--sides"], None,
     ['--weight: found the option "--sides" after it', "--sides: found nothing after it"]),
    ("flag with a value", ["rank", "--json=yes"], None, ['--json: found the value "yes", expected none']),
    ("option twice", ["rank", "--tables", TABLES, "--tables", TABLES], None, ["--tables: found it twice"]),
    ("no tables", ["rank", *LANE, *BOOK], None, ["--tables: found none, expected the folder"]),
    ("tables that are not there", ["rank", "--tables", "nowhere", *LANE, *BOOK], None, ["nowhere: error 501: found no such folder"]),
    ("tables that hold none", ["rank", "--tables", "tests/command", *LANE, *BOOK], None, ["tests/command: error 504"]),
    ("document that is not there", ["rank", "--tables", TABLES, "nowhere.json"], None, ["nowhere.json: error 501"]),
    ("two documents", ["rank", "--tables", TABLES, "a.json", "b.json"], None, ['found "b.json" after "a.json"']),
    ("document and arguments", ["rank", "--tables", TABLES, *BOOK, "a.json"], None,
     ['found --weight beside the request document "a.json"']),
    ("arguments and each", ["rank", "--tables", TABLES, "--each", *BOOK], None, ["found --weight beside --each"]),
    ("document and each", ["rank", "--tables", TABLES, "--each", "a.json"], None, ["expected requests on standard input"]),
    ("no date", ["rank", "--tables", TABLES, "--from", "US 05401", "--to", "US 98101", *BOOK], None,
     ["--date: found none", "never takes it from a clock"]),
    ("nothing but goods", ["rank", "--tables", TABLES, "--weight", "1 lb"], None,
     ["--sides: found none", "--from: found none", "--to: found none", "--date: found none"]),
    ("everything wrong at once",
     ["rank", "--tables", TABLES, "--weight", "1 lbs", "--sides", "12 x 9", "--from", "US054", "--to", "us 98101", "--date",
      "2026-02-30", "--within", "soon", "--objective", "fast", "--shape", "bx", "--contents", "fragil", "--quantity", "0",
      "--exchange", "EUR"], None,
     ['--weight: found "1 lbs", expected a weight', '--sides: found "12 x 9", expected three lengths',
      '--from: found "US054", expected a country', '--to: found "us 98101"', '--date: found "2026-02-30", expected a date that exists',
      '--within: found "soon"', '--objective: found "fast"', 'did you mean "box"?', 'did you mean "fragile"?', "--quantity: found 0",
      "such as EUR=1.0842"]),
    *[(f"{command} {option} {place}", [command, "--tables", TABLES, *lane, "--date", "2026-08-03", *rest], None, [f"{option}: {said}"])
      for command, rest in (("rank", [*USD, *BOOK]), ("zone", []), ("staircase", [*USD, "--sides", "6 x 4 x 2 in"]))
      for place, said in (
          ("US 2134", 'found "2134", expected five digits, perhaps a hyphen and four more; was it "02134"?'),
          ("US 9810I", 'found "9810I", expected five digits, perhaps a hyphen and four more; was it "98101"?'),
          ("US 981010", 'found "981010", expected five digits, perhaps a hyphen and four more\n'),
          ("US 981", 'found "981", expected five digits'),
          ("XX", 'found "XX", expected an ISO 3166-1 code such as "US"'))
      for option, lane in (("--to", ["--from", "US 10001", "--to", place]), ("--from", ["--from", place, "--to", "US 10001"]))],
    ("second thing wrong", ["rank", "--tables", TABLES, *LANE, *USD, *BOOK, "--and", "--weight", "0 lb", "--sides", "1 x 1 x 1 in"],
     None, ['--weight (thing 2): found "0 lb"']),
    ("thing with two weights", ["rank", "--tables", TABLES, *LANE, *USD, *BOOK, "--weight", "1 lb"], None,
     ["--weight: found it twice for one thing"]),
    ("sealed and quantity", ["rank", "--tables", TABLES, *LANE, *USD, *BOOK, "--sealed", "--quantity", "2"], None,
     ["--quantity: found it with --sealed"]),
    ("how sealed lies", ["rank", "--tables", TABLES, *LANE, *BOOK, "--sealed", "--top-free", "--bears", "1 lb", "--may-stand", "1",
                         "--title", "Book"], None,
     [f"--{name}: found it with --sealed, expected it with goods" for name in ("top-free", "bears", "may-stand", "title")]),
    ("no such side", ["rank", "--tables", TABLES, *LANE, *BOOK, "--may-stand", "1 4"], None,
     ["--may-stand: found 4, expected a whole number from 1 to 3"]),
    ("side twice", ["rank", "--tables", TABLES, *LANE, *BOOK, "--may-stand", "1,1"], None,
     ["--may-stand: found the side twice, expected it once"]),
    ("no side", ["rank", "--tables", TABLES, *LANE, *BOOK, "--may-stand", ""], None, ["--may-stand: found an empty list"]),
    ("side beside the other", ["rank", "--tables", TABLES, *LANE, *BOOK, "--may-stand", "2", "--this-side-up"], None,
     ['--may-stand: found "may_stand" beside "this_side_up", expected one of the two']),
    ("bears what", ["rank", "--tables", TABLES, *LANE, *BOOK, "--and", *BOOK, "--bears", "5"], None,
     ['--bears (thing 2): found "5", expected a weight']),
    ("together without parcels", ["rank", "--tables", TABLES, *LANE, *USD, *BOOK, "--together", "1"], None,
     ["--together: found it without --parcels, expected both"]),
    ("too many parcels", ["rank", "--tables", TABLES, *LANE, *USD, *BOOK, "--parcels", "101", "--plans", "0"], None,
     ["--parcels: found 101, expected a whole number from 1 to 100", "--plans: found 0"]),
    ("parcels of a sealed one", ["rank", "--tables", TABLES, *LANE, *USD, *BOOK, "--sealed", "--parcels", "2"], None,
     ["--parcels: found it with --sealed"]),
    ("parcels by no such thing", ["rank", "--tables", TABLES, *LANE, *USD, *BOOK, "--parcels", "2", "--all-by", "servise"], None,
     ["--all-by: found \"servise\"", "did you mean \"service\"?"]),
    ("things that are not there", ["rank", "--tables", TABLES, *LANE, *USD, *BOOK, "--and", *BOOK, "--parcels", "2", "--together", "1,3", "--apart", "0,2"],
     None, ['--together: found "3", expected numbers of the things, 1 to 2', '--apart: found "0", expected numbers of the things']),
    ("things named wrongly", ["rank", "--tables", TABLES, *LANE, *USD, *BOOK, "--and", *BOOK, "--parcels", "2", "--together", "1,1", "--apart", "2"],
     None, ['--together: found "1" twice, expected it once', '--apart: found "2", expected two things or more']),
    ("things in two lists", ["rank", "--tables", TABLES, *LANE, *USD, *BOOK, "--and", *BOOK, "--parcels", "2", "--together", "1", "--together", "2,1"],
     None, ['--together: found "1" in two lists, expected it in one']),
    ("things together and apart", ["rank", "--tables", TABLES, *LANE, *USD, *BOOK, "--and", *BOOK, "--parcels", "2", "--together", "1,2", "--apart", "2,1"],
     None, ['--apart: found "2,1", expected none of which travel --together']),
    ("goods and packaging", ["rank", "--tables", TABLES, *LANE, *USD, *BOOK, "--packaging", "carton-8"], None,
     ["--packaging: found it without --sealed"]),
    ("unknown packaging", ["rank", "--tables", TABLES, *LANE, *USD, *BOOK, "--sealed", "--packaging", "chest"], None,
     ['--packaging: found "chest"']),
    ("two promises", ["rank", "--tables", TABLES, *LANE, *USD, *BOOK, "--within", "3", "--paid-for", "parcel"], None,
     ["expected one promise"]),
    ("promise of an unknown service", ["rank", "--tables", TABLES, *LANE, *USD, *BOOK, "--paid-for", "swift"], None,
     ['--paid-for: found service "swift"']),
    ("promise of a service of two carriers", ["rank", "--tables", TABLES, *LANE, *USD, *BOOK, "--paid-for", "parcel"], None,
     ["several carriers"]),
    ("promise past the bound", ["rank", "--tables", TABLES, *LANE, *USD, *BOOK, "--within", "10001"], None,
     ["--within: found 10001, expected a whole number from 0 to 10000"]),
    ("promise of a service that is no code", ["rank", "--tables", TABLES, *LANE, *USD, *BOOK, "--paid-for", "/parcel"], None,
     ['--paid-for: found "/parcel", expected "carrier/service", or the code of a service']),
    ("rate past the bound", ["rank", "--tables", TABLES, *LANE, *USD, *BOOK, "--exchange", "EUR=1000000000.000001"], None,
     ['--exchange: found "1000000000.000001", expected a rate of exchange of at most 1000000000']),
    ("rate of the ranking's currency", ["rank", "--tables", TABLES, *LANE, *USD, *BOOK, "--exchange", "USD=1"], None,
     ['--exchange: found a rate for "USD", expected none for the currency of the ranking']),
    ("units past the bound", ["rank", "--tables", TABLES, *LANE, *USD, "--weight", "1 g", "--sides", "1 x 1 x 1 in", "--quantity", "10000",
                              "--and", "--weight", "1 g", "--sides", "1 x 1 x 1 in"], None,
     ["goods: found 10001 units, expected at most 10000"]),
    ("extra twice", ["rank", "--tables", TABLES, *LANE, *USD, *BOOK, "--extra", "signature", "--extra", "signature"], None,
     ["--extra: found the extra", "twice"]),
    ("every term wrong at once",
     ["rank", *IN_EUROPE, *BOX, "--accepts", "window", "--cash-on-delivery", "x", "--time", "25:00", "--by", "2026-02-30",
      "--week-parcels", "many", "--week-spend", "fenwick-dray=x"], None,
     ["--accepts: found", "--cash-on-delivery: found", "--time: found", "--by: found", '--week-parcels: found "many"',
      "--week-spend (fenwick-dray): found"]),
    ("two promises", ["rank", *IN_EUROPE, *BOX, "--within", "3", "--by", "2026-08-07"], None,
     ["--within: found it with --by, expected one promise"]),
    ("a week twice", ["rank", *IN_EUROPE, *BOX, "--week-parcels", "larkspur=3", "--week-parcels", "larkspur=4"], None,
     ['--week-parcels: found it twice for "larkspur"']),
    ("others without their parts", ["rank", *OF_PIECES, "--others", "2"], None,
     ["--others-weight: found none, expected what the others weigh together", "--first: found none, expected yes or no"]),
    ("others out of range", ["rank", *OF_PIECES, "--others", "1000", "--others-weight", "5", "--first", "maybe"], None,
     ["--others: found 1000, expected a whole number from 0 to 999", '--others-weight: found "5", expected a weight',
      '--first: found "maybe", expected yes or no']),
    ("a weight without others", ["rank", *OF_PIECES, "--others", "0", "--others-weight", "5 lb"], None,
     ["--others-weight: found 2.26796185 kg without others, expected none"]),
    ("no others", ["rank", *OF_PIECES, "--first", "no"], None, ["--others: found none, expected how many other parcels go with it"]),
    ("several currencies", ["rank", "--tables", TABLES, *LANE, *BOOK], None, ["--currency: found none", "(EUR, USD)"]),
    ("allowance", ["rank", "--tables", TABLES, *LANE, *USD, *BOOK, "--allowance", "8 oz"], None, ["--allowance: found"]),
    ("request that is no request", ["rank", "--tables", TABLES], '{"format": "tarewise-request-1", "gods": []}',
     ["standard input:1:", 'did you mean "goods"?', 'found no "date"']),
    ("request that is no JSON", ["rank", "--tables", TABLES], "{", ["standard input:1:2: error 103"]),
    ("empty request", ["rank", "--tables", TABLES], "", ["standard input:1:1: error 109"]),
    ("zone with words", ["zone", "--tables", TABLES, "05401"], None, ['found "05401", expected options only']),
    ("zone with nothing", ["zone", "--tables", TABLES], None, ["--from: found none", "--to: found none", "--date: found none"]),
    ("staircase to a bare number", ["staircase", "--tables", TABLES, *LANE, *USD, "--sides", "1 x 1 x 1 in", "--up-to", "5"], None,
     ['--up-to: found "5", expected a weight']),
    ("staircase of an unknown service",
     ["staircase", "--tables", TABLES, *LANE, *USD, "--sides", "1 x 1 x 1 in", "--services", "parcel,parcl"], None,
     ['--services: found "parcl"', "the nearest is parcel"]),
    ("staircase without sides", ["staircase", "--tables", TABLES, *LANE, *USD], None, ["--sides: found none"]),
    ("check of nothing", ["check"], None, ["found no path"]),
    ("check of what is not there", ["check", "nowhere.json"], None, ["nowhere.json: error 501", "1 error"]),
    ("check of a grid", ["check", "tests/cases/tables/harbourline-grid.csv"], None, ["a grid is checked by the price list"]),
]


class Golden(unittest.TestCase):
    def test_texts(self):
        for name, code, arguments, stdin, width in GOLDEN:
            with self.subTest(name):
                done = run(arguments, stdin, COLUMNS=str(width))
                self.assertEqual(done.returncode, code, done.stderr.decode())
                self.assertEqual(done.stderr.decode(), "")
                text = done.stdout.decode()
                path = HERE / "golden" / (name + ".txt")
                if REFRESH:
                    path.write_text(text, encoding="utf-8")
                self.assertEqual(text, path.read_text(encoding="utf-8"), f"{path}: see what changed, then --refresh")
                if name != "rank-json":
                    for line in text.splitlines():
                        self.assertLessEqual(columns(line), width, line)
                        self.assertEqual(line, line.rstrip())

    def test_what_each_may_grow_is_told_exactly_where_it_is_asked_for(self):
        asked = ["rank", "--tables", "tests/command/packing", *LANE, *GAMES, "--and", "--weight", "9 oz", "--sides", "5 x 5 x 5 in"]
        found = json.loads(run([*asked, "--json", "--room-to-grow"]).stdout)["arrangements"]
        self.assertEqual({one["packaging"] for one in found}, {"carton-18"})
        for one in found:
            self.assertEqual(one["room_to_grow"], [{"item": 0, "sides": ["7.75 in", "4.75 in", "2.75 in"]},
                                                   {"item": 1, "sides": ["12.75 in", "12.75 in", "12.75 in"]}])
        for one in json.loads(run([*asked, "--json"]).stdout)["arrangements"]:
            self.assertNotIn("room_to_grow", one)
        for arguments in ([*asked, "--room-to-grow"], ["rank", "--tables", TABLES, "--each", "--room-to-grow"]):
            done = run(arguments)
            self.assertEqual((done.returncode, done.stdout), (2, b""))
            self.assertIn("expected it beside --json", done.stderr.decode())

    def test_no_text_is_left_over(self):
        self.assertEqual({path.stem for path in (HERE / "golden").iterdir()}, {case[0] for case in GOLDEN})

    def test_version(self):
        header = (ROOT / "include/tarewise/version.h").read_text(encoding="utf-8")
        self.assertEqual(run(["--version"]).stdout.decode(),
                         "tarewise " + re.search(r'TAREWISE_VERSION_STRING "([^"]*)"', header)[1] + "\n")

    def test_every_command_is_in_the_list(self):
        listed = set(re.findall(r"^  (\S+)", run(["help"], COLUMNS="120").stdout.decode(), re.M)) - {"help"}
        self.assertTrue(listed)
        for name in listed:
            done = run(["help", name])
            self.assertEqual(done.returncode, 0)
            self.assertTrue(done.stdout.decode().startswith("tarewise " + name))


class Errors(unittest.TestCase):
    def test_errors(self):
        for name, arguments, stdin, expected in ERRORS:
            with self.subTest(name):
                done = run(arguments, stdin)
                said = done.stderr.decode()
                self.assertEqual(done.returncode, 2, said)
                self.assertEqual(done.stdout, b"", "an error leaves standard output empty")
                for words in expected:
                    self.assertIn(words, said)

    def test_no_control_character_reaches_the_terminal(self):
        with tempfile.TemporaryDirectory() as folder:
            tables = pathlib.Path(folder) / "tables"
            shutil.copytree(ROOT / TABLES, tables)
            path = tables / "fenwick-dray.json"
            text = path.read_text(encoding="utf-8")
            path.write_text(text.replace("Fenwick & Dray Parcel", "Fenwick \\u001b[31m Parcel"), encoding="utf-8")
            done = run(["rank", "--tables", str(tables), *LANE, *USD, *BOOK, "--all", "--lines"])
            self.assertNotIn(b"\x1b", done.stdout + done.stderr)


class Checks(unittest.TestCase):
    def setUp(self):
        self.folder = tempfile.TemporaryDirectory()
        self.addCleanup(self.folder.cleanup)
        self.tables = pathlib.Path(self.folder.name) / "tables"
        shutil.copytree(ROOT / TABLES, self.tables)

    def change(self, name, old, new):
        path = self.tables / name
        text = path.read_text(encoding="utf-8")
        self.assertEqual(text.count(old), 1, old)
        path.write_text(text.replace(old, new), encoding="utf-8")

    def check(self, *arguments):
        done = run(["check", *arguments])
        return done.returncode, done.stdout.decode(), done.stderr.decode()

    def test_a_differing_total_is_named_with_its_lines(self):
        self.change("harbourline-2026-07.json", '"zone": "6", "total": "9.30"', '"zone": "6", "total": "9.40"')
        code, out, said = self.check(str(self.tables))
        self.assertEqual((code, out), (2, ""))
        self.assertIn("harbourline-2026-07.json:", said)
        self.assertIn("example 1: parcel, 17 oz, 12 x 9 x 6 in, zone 6: expected 9.40, got 9.30", said)
        self.assertIn("    9.30  base: billable weight 2 lb (actual); zone 6", said)
        self.assertIn("    published: row 2 lb", said)
        self.assertIn("3 examples priced, 1 not as published", said)

    def test_an_example_is_told_in_its_own_units(self):
        self.change("harbourline-2026-07.json", '"parcel": {"weight": "1 lb 1 oz", "sides": "12 x 9 x 6 in"}, "zone": "6", "total": "9.30"',
                    '"parcel": {"weight": "481.5 g", "sides": "30 x 22.5 x 15 cm"}, "zone": "6", "billable_weight": "1.5 kg", "total": "9.40"')
        code, _, said = self.check(str(self.tables))
        self.assertEqual(code, 2)
        self.assertIn("example 1: parcel, 481.5 g, 30 x 22.5 x 15 cm, zone 6: expected 9.40, billable weight 1.5 kg, got ", said)
        self.assertIn(", billable weight 0.90718474 kg\n", said)

    def test_a_refusal_where_a_total_is_published(self):
        self.change("harbourline-2026-07.json", '"refused": "over_limit"', '"total": "6.45"')
        code, _, said = self.check(str(self.tables))
        self.assertEqual(code, 2)
        self.assertIn("expected 6.45, got refused, over_limit", said)
        self.assertIn("    over_limit: heavier than 15.5 oz: weight is 16 oz, the limit is 15.5 oz", said)

    def test_a_total_where_a_refusal_is_published(self):
        self.change("harbourline-2026-07.json", '"zone": "6", "total": "9.30"', '"zone": "6", "refused": "no_price"')
        code, _, said = self.check(str(self.tables))
        self.assertEqual(code, 2)
        self.assertIn("expected refused, no_price, got 9.30", said)

    def test_another_reason_than_the_published_one(self):
        self.change("harbourline-2026-07.json", '"refused": "over_limit"', '"refused": "no_price"')
        code, _, said = self.check(str(self.tables))
        self.assertEqual(code, 2)
        self.assertIn("expected refused, no_price, got refused, over_limit", said)

    def test_a_billable_weight_that_differs(self):
        self.change("harbourline-2026-07.json", '"zone": "6", "total": "9.30"',
                    '"zone": "6", "billable_weight": "3 lb", "total": "9.30"')
        code, _, said = self.check(str(self.tables))
        self.assertEqual(code, 2)
        self.assertIn("expected 9.30, billable weight 3 lb, got 9.30, billable weight 2 lb", said)

    def test_an_example_by_its_lane_needs_the_points_beside(self):
        # The lane's zone is by the list of pairs; without it the distance decides, and without points nothing does.
        self.change("harbourline-2026-07.json", '{"kind": "pairs", "from": {"US:054": {"1": ["US:054-056"]}}},\n      ', "")
        one = str(self.tables / "harbourline-2026-07.json")
        self.assertEqual(self.check(one)[0], 0)
        (self.tables / "gazetteer.csv").unlink()
        code, _, said = self.check(one)
        self.assertEqual(code, 2)
        self.assertIn("got refused, no_zone", said)

    def test_the_agreed_terms_never_change_an_example(self):
        self.change("fenwick-dray.json", '"currency": "USD",', '"currency": "USD",\n  "examples": [{"service": "parcel", '
                    '"parcel": {"weight": "10 lb", "sides": "9 x 9 x 9 in"}, "zone": "7", "total": "16.37", '
                    '"why": "8.25 + 9 x 0.70, and 12.5 % of it"}],')
        code, out, said = self.check(str(self.tables))
        self.assertEqual((code, said), (0, ""))
        self.assertIn("4 examples priced, all as published", out)

    def test_warnings_fail_only_when_strict(self):
        self.change("harbourline-2026-07.json", '[9, "8.80", "13.05", "20.15"]', '[9, "7.00", "13.05", "20.15"]')
        self.change("harbourline-2026-07.json", '"total": "9.50"', '"total": "7.70"')
        code, out, said = self.check(str(self.tables))
        self.assertEqual(code, 0)
        self.assertIn("warning", said)
        self.assertIn("0 errors, 1 warning;", out)
        self.assertEqual(self.check("--strict", str(self.tables))[:2], (2, ""))

    def test_findings_have_a_place(self):
        self.change("harbourline-2026-07.json", '"mode": "air"', '"mode": "balloon"')
        code, out, said = self.check(str(self.tables))
        self.assertEqual((code, out), (2, ""))
        self.assertRegex(said, r"harbourline-2026-07\.json:\d+:\d+: error \d+: found \"balloon\"")
        self.assertIn("examples wait until the errors are gone", said)

    def test_documents_one_by_one(self):
        for name in sorted(path.name for path in self.tables.iterdir()):
            with self.subTest(name):
                code, out, said = self.check(str(self.tables / name))
                self.assertEqual((code, said), (0, ""))
                self.assertTrue(out.startswith("1 document checked, 0 errors"))

    def test_requests_too(self):
        path = pathlib.Path(self.folder.name) / "request.json"
        path.write_text(json.dumps(sealed("1 lb")), encoding="utf-8")
        self.assertEqual(self.check(str(path))[0], 0)
        path.write_text(json.dumps(sealed("1 pound")), encoding="utf-8")
        self.assertEqual(self.check(str(path))[0], 2)


class Rankings(unittest.TestCase):
    def test_arguments_and_documents_give_one_answer(self):
        by_arguments = run(["rank", "--tables", TABLES, "--json", *LANE, *USD, "--residential", "--weight", "1 lb 3 oz", "--sides",
                            "8 x 5 x 1.5 in", "--quantity", "2", "--contents", "fragile, media", "--value", "24.00", "--shape", "soft",
                            "--rigid", "--this-side-up", "--within", "5", "--extra", "signature", "--cover", "80", "--tolerance",
                            "0.1 oz", "--tolerance-sides", "0.25 in", "--objective", "cautious", "--exchange", "EUR=1.0842",
                            "--padding", "0.5 in", "--fill-weight", "2 oz", "--step", "0.5 oz", "--step-sides", "0.25 in",
                            "--allowance", "8..12 oz", "--and", "--weight", "200 g", "--sides", "10 x 10 x 2 cm", "--bare"])
        document = {
            "format": "tarewise-request-1",
            "goods": [{"weight": "1 lb 3 oz", "sides": "8 x 5 x 1.5 in", "quantity": 2, "contents": ["fragile", "media"], "value": "24.00",
                       "shape": "soft", "rigid": True, "this_side_up": True},
                      {"weight": "200 g", "sides": "10 x 10 x 2 cm", "bare": True}],
            "from": {"country": "US", "postal_code": "05401"},
            "to": {"country": "US", "postal_code": "98101", "residential": True},
            "date": "2026-08-03", "promise": {"within": 5}, "extras": ["signature"], "cover": "80",
            "tolerance": {"weight": "0.1 oz", "sides": "0.25 in"}, "objective": "cautious", "exchange": {"EUR": "1.0842"},
            "padding": "0.5 in", "fill_weight": "2 oz", "steps": {"weight": "0.5 oz", "sides": "0.25 in"},
            "allowance": {"least": "8 oz", "most": "12.2 oz"}, "currency": "USD"}
        by_document = run(["rank", "--tables", TABLES, "--json"], json.dumps(document))
        self.assertEqual(by_arguments.returncode, by_document.returncode)
        self.assertEqual(by_arguments.stdout, by_document.stdout)
        self.assertEqual(by_arguments.stderr, b"")
        self.assertTrue(json.loads(by_arguments.stdout)["offers"])

    def test_a_document_from_a_file_or_from_standard_input(self):
        with tempfile.TemporaryDirectory() as folder:
            path = pathlib.Path(folder) / "request.json"
            path.write_text(json.dumps(sealed("1 lb")), encoding="utf-8")
            named = run(["rank", "--tables", TABLES, "--json", str(path)])
        for more in ([], ["-"]):
            self.assertEqual(named.stdout, run(["rank", "--tables", TABLES, "--json", *more], json.dumps(sealed("1 lb"))).stdout)
        self.assertEqual(named.returncode, 0)

    def test_the_text_tells_what_the_document_holds(self):
        request = json.dumps(sealed("3 lb 2 oz"))
        ranking = json.loads(run(["rank", "--tables", TABLES, "--json"], request).stdout)
        text = run(["rank", "--tables", TABLES, "--all"], request).stdout.decode()
        totals = re.search(r"^Ways to send.*?\n\n", text, re.M | re.S)[0]
        self.assertEqual(re.findall(r"^ +(\d+\.\d\d) ", totals, re.M), [offer["total"] for offer in ranking["offers"]])
        self.assertIn(f"for {ranking['offers'][0]['total']} USD", text)

    def test_one_request_a_line(self):
        good = [json.dumps(sealed(weight)) for weight in ("1 oz", "2 lb", "40 lb")]
        lines = [good[0], "nonsense", good[1], "", json.dumps(sealed("1 lb", currency="XYZ")), good[2]]
        done = run(["rank", "--tables", TABLES, "--json", "--each"], "\n".join(lines))
        self.assertEqual((done.returncode, done.stderr), (0, b""))
        answers = [json.loads(line) for line in done.stdout.decode().splitlines()]
        self.assertEqual(len(answers), len(lines))
        self.assertEqual([i for i, answer in enumerate(answers) if "error" in answer], [1, 3, 4])
        self.assertIn("request 2:1:1: error", answers[1]["error"])
        for line, answer in zip(lines, answers):
            if "error" not in answer:
                self.assertEqual(answer, rank(json.loads(line))[0])

    def test_one_request_a_line_and_none_at_all(self):
        done = run(["rank", "--tables", TABLES, "--each"], "")
        self.assertEqual((done.returncode, done.stdout, done.stderr), (0, b"", b""))

    def test_the_saver_of_the_text_does_what_it_says(self):
        def told(weight):
            return run(["rank", "--tables", TABLES, *LANE, *USD, "--sides", "7.5 x 5.5 x 3.5 in", "--weight", weight],
                       COLUMNS="120").stdout.decode()
        found = re.search(r"take out (\S+) oz and it is (\S+), saving (\S+)\n", told("12.3 oz"))
        self.assertIsNotNone(found)
        now = re.search(r"for (\S+) USD", told("12.3 oz"))[1]
        after = re.search(r"for (\S+) USD", told(f"{12.3 - float(found[1]):.1f} oz"))[1]
        one_step_less = re.search(r"for (\S+) USD", told(f"{12.3 - float(found[1]) + 0.1:.1f} oz"))[1]
        self.assertEqual(after, found[2])
        self.assertEqual(one_step_less, now)
        self.assertEqual(f"{float(now) - float(after):.2f}", found[3])


class Cautions(unittest.TestCase):
    """What never goes by air, where a service does not say how it goes."""

    CONFIRM = "confirm with the carrier that it goes by surface"

    def setUp(self):
        self.folder = tempfile.TemporaryDirectory()
        self.addCleanup(self.folder.cleanup)
        self.tables = str(pathlib.Path(self.folder.name) / "tables")
        shutil.copytree(ROOT / TABLES, self.tables)
        path = pathlib.Path(self.tables) / "harbourline-2026-07.json"
        document = json.loads(path.read_text(encoding="utf-8"))
        for service in document["services"]:
            if service["code"] in ("parcel", "small"):
                del service["mode"]
        path.write_text(json.dumps(document, indent=1), encoding="utf-8")

    def test_check_warns_of_a_service_without_a_mode(self):
        done = run(["check", self.tables])
        self.assertEqual(done.returncode, 0)
        said = done.stderr.decode()
        for code in ("small", "parcel"):
            self.assertRegex(said, rf'harbourline-2026-07\.json:\d+:\d+: warning 358: found no "mode" in the service "{code}"')
        self.assertIn("0 errors, 2 warnings;", done.stdout.decode())
        self.assertEqual(run(["check", "--strict", self.tables]).returncode, 2)

    def test_the_offer_says_what_to_confirm(self):
        for trait in ("lithium_alone", "flammable_liquid", "aerosol"):
            ranking, code = rank(sealed("1 lb 4 oz") | {"parcel": {"weight": "1 lb 4 oz", "sides": "7 x 5 x 3 in", "contents": [trait]}},
                                 self.tables)
            self.assertEqual(code, 0)
            own = {(o["carrier"], o["service"]): o.get("cautions") for o in ranking["offers"]}
            self.assertEqual(own, {("harbourline", "parcel"): ["confirm_surface"], ("fenwick-dray", "parcel"): None})
            self.assertEqual([one["code"] for one in ranking["cautions"]], [trait, "confirm_surface", "carrier_decides"])
            self.assertTrue(all(one["text"] and one["source"] for one in ranking["cautions"]))
            self.assertIn(self.CONFIRM, ranking["cautions"][1]["text"])

    def test_the_words_stand_beside_the_offer(self):
        arguments = ["rank", "--tables", self.tables, *LANE, *USD, "--weight", "6 oz", "--sides", "7 x 5 x 3 in", "--sealed"]
        text = run([*arguments, "--contents", "aerosol"]).stdout.decode()
        self.assertIn("\nSend it by Harbourline Small Parcel", text)
        self.assertRegex(text, rf"\n  take care      {self.CONFIRM}\n")
        self.assertRegex(text, r"\n +[\d.]+  !  Harbourline Small Parcel ")
        self.assertRegex(text, r"\n +[\d.]+     Fenwick & Dray Parcel ")
        self.assertIn(f"\n  !: {self.CONFIRM}\n", text)
        self.assertIn("\nTake care\n", text)
        plain = run([*arguments, "--contents", "media"]).stdout.decode()
        self.assertNotIn(self.CONFIRM, plain)
        self.assertNotIn("Take care", plain)

    def test_a_staircase_tells_them_below(self):
        arguments = ["staircase", "--tables", self.tables, *LANE, *USD, "--sides", "7 x 5 x 3 in", "--exchange", "EUR=1.1"]
        done = run([*arguments, "--contents", "flammable_liquid", "--up-to", "60 lb"])
        self.assertEqual((done.returncode, done.stderr), (0, b""))
        chart, words = done.stdout.decode().split("\nTake care\n")
        self.assertRegex(chart, r"\n  [a-z]  !  Harbourline Parcel ")
        self.assertRegex(chart, r"\n  [a-z]     Fenwick & Dray Parcel ")
        self.assertIn(f"\n  !: {self.CONFIRM}\n", chart)
        for expected in ("Flammable liquids", self.CONFIRM, "lift with help", "local law decide"):
            self.assertIn(expected, re.sub(r"\s+", " ", words))
        self.assertNotIn("mark the parcel as heavy", words)
        # Up to 5 lb there is nothing to lift, and media may go as they like.
        self.assertNotIn("lift with help", run([*arguments, "--contents", "aerosol"]).stdout.decode())
        self.assertNotIn("Take care", run([*arguments, "--contents", "media"]).stdout.decode())
        nothing = run([*arguments, "--contents", "aerosol", "--services", "harbourline/crate"])
        self.assertEqual(nothing.returncode, 1)
        self.assertIn("Take care", nothing.stdout.decode())


class Staircases(unittest.TestCase):
    """The steps that the chart tells are those of the ranking, at every threshold and between them."""

    ARGUMENTS = ["staircase", "--tables", TABLES, *LANE, *USD, "--sides", "9 x 6 x 4 in", "--up-to", "14 lb", "--exchange", "EUR=1.1"]

    def steps(self, text):
        """The rows of the table of the cheapest: heaviest weight, total (or None), title."""
        table = re.search(r"^Cheapest\n(.*?)(\n\n|\Z)", text, re.M | re.S)[1].splitlines()[1:]
        rows = []
        for line in table:
            weight, total, title = re.match(r" *((?:[\d.]+ \S+ ?)+?)  +(\S+) +(.*)", line).groups()
            rows.append((weight.strip(), None if total == "-" else total, re.sub(r"^[A-Z?]  ", "", title)))
        return rows

    @staticmethod
    def nanograms(text):
        units = {"lb": 453592370000, "oz": 28349523125, "kg": 10**12, "g": 10**9}
        total = 0
        for number, unit in re.findall(r"([\d.]+) (lb|oz|kg|g)", text):
            whole, _, part = number.partition(".")
            scaled = int(whole + part) * units[unit]
            power = 10 ** len(part)
            total += (2 * scaled + power) // (2 * power)  # half up
        return total

    def best(self, nanograms):
        whole, part = divmod(nanograms, 10**9)
        ranking, _ = rank(sealed(f"{whole}.{part:09d} g", "9 x 6 x 4 in", exchange={"EUR": "1.1"}))
        self.assertNotIn("error", ranking)
        if not ranking["offers"]:
            return None, None
        return ranking["offers"][0]["total"], ranking["offers"][0]["title"]

    def test_steps_are_the_rankings(self):
        done = run(self.ARGUMENTS)
        self.assertEqual(done.returncode, 0, done.stderr)
        rows = self.steps(done.stdout.decode())
        self.assertGreater(len(rows), 8)
        self.assertEqual(rows[-1][0], "14 lb")
        least = 1
        for i, (weight, total, title) in enumerate(rows):
            most = self.nanograms(weight)
            inside = random.Random(i).randint(least, most)
            for at in {least, inside, most}:
                got_total, got_title = self.best(at)
                self.assertEqual(got_total, total, f"{at} ng")
                self.assertTrue(got_title is None or title.endswith(got_title), f"{at} ng: {got_title}, {title}")
            least = most + 1

    def test_the_chart_marks_the_cheapest_of_each_column(self):
        text = run(self.ARGUMENTS, COLUMNS="80").stdout.decode()
        rows = self.steps(text)
        letters = {title: letter for letter, title in re.findall(r"^  ([a-z])  (.*?)  +\S+/\S+$", text, re.M)}
        line = re.search(r"^ *cheapest  (.*)$", text, re.M)[1]
        self.assertEqual(len(line), 80 - 11)
        for column, letter in enumerate(line):
            heavy_end = self.nanograms("14 lb") * (column + 1) // len(line)
            row = next(row for row in rows if heavy_end <= self.nanograms(row[0]))
            self.assertEqual(letter, letters[row[2]].upper(), f"column {column}")

    def test_a_capital_stands_once_in_each_column(self):
        text = run(self.ARGUMENTS, COLUMNS="80").stdout.decode()
        grid = [line.split("|", 1)[1] for line in text.splitlines() if re.match(r"^ *[\d.]* \|", line)]
        self.assertEqual(len(grid), 16)
        best = re.search(r"^ *cheapest  (.*)$", text, re.M)[1]
        for column, letter in enumerate(best):
            capitals = [row[column] for row in grid if column < len(row) and row[column].isupper()]
            self.assertEqual(capitals, [letter])


class OverdueStaircases(unittest.TestCase):
    """A staircase names the series that are overdue at any weight that it tells, as a ranking does."""

    def setUp(self):
        folder = tempfile.TemporaryDirectory()
        self.addCleanup(folder.cleanup)
        self.tables = folder.name
        dated = lambda series: {"series": series}
        service = {"zones": "main", "mode": "surface"}
        heavy = {"weight": {"over": "2 lb"}}
        light = {"weight": {"up_to": "1 lb"}}
        pathlib.Path(folder.name, "larkspur.json").write_text(json.dumps({
            "format": "tarewise-tariff-1", "carrier": {"code": "larkspur", "name": "Larkspur Air"}, "title": "Air", "currency": "USD",
            "in_force": {"from": "2026-07-01"}, "zones": {"main": [{"kind": "one", "zone": "1"}]},
            "series": {"fuel": {"columns": ["air"], "rows": [["2026-07-01", 10]], "good_for": "7 days"},
                       "peak": {"columns": ["all"], "rows": [["2026-07-01", 0.5]], "good_for": "14 days"},
                       "calm": {"columns": ["all"], "rows": [["2026-07-01", 0.25]]}},
            "services": [{"code": "day", "title": "Larkspur Day", **service, "prices": [{"amount": 5}], "surcharges": [
                             {"code": "peak", "title": "Peak", "when": light, "amount": dated("peak")},
                             {"code": "fuel", "title": "Fuel", "when": heavy, "percent": dated("fuel"), "of": ["base"]}]},
                         {"code": "slow", "title": "Larkspur Slow", **service, "prices": [{"amount": 4}], "surcharges": [
                             {"code": "calm", "title": "Calm", "amount": dated("calm")}]}]}), encoding="utf-8")

    def staircase(self, date, *more):
        done = run(["staircase", "--tables", self.tables, "--from", "US 05401", "--to", "US 98101", "--date", date, "--sides", "7 x 5 x 3 in", *more])
        self.assertEqual((done.returncode, done.stderr), (0, b""))
        return done.stdout.decode()

    def told(self, text):
        """What is told below the key, a line for each service."""
        key = re.sub(r"\s+", " ", text.split("\nCheapest")[0])
        return re.findall(r"\S+: [^:]*lacks a value since[^:;]*; the last one was charged", key)

    def test_it_names_series_and_day(self):
        text = self.staircase("2026-08-03", "--up-to", "4 lb")
        self.assertIn("\n  b  Larkspur Day   larkspur/day\n", text)
        # The light end goes by one, the heavy end by another: both, in the document's order.
        self.assertEqual(self.told(text), ["b: fuel lacks a value since 2026-07-08, peak lacks a value since 2026-07-15; the last one was charged"])
        self.assertIn("the last one was charged. Type in the one since then.", re.sub(r"\s+", " ", text.split("\nTake care\n")[1]))
        best = run(["rank", "--tables", self.tables, "--from", "US 05401", "--to", "US 98101", "--date", "2026-08-03", "--sides", "7 x 5 x 3 in",
                    "--sealed", "--weight", "4 lb"]).stdout.decode()
        self.assertIn("fuel lacks a value since 2026-07-08; the last one was charged", re.sub(r"\s+", " ", best), "the same words")

    def test_a_service_that_is_not_drawn_is_named(self):
        path = pathlib.Path(self.tables, "larkspur.json")
        tariff = json.loads(path.read_text(encoding="utf-8"))
        day, slow = tariff["services"]
        tariff["services"] = [day] + [{**slow, "code": f"slow-{i}", "title": f"Slow {i}"} for i in range(6)]
        path.write_text(json.dumps(tariff), encoding="utf-8")
        text = self.staircase("2026-08-03", "--up-to", "2 lb")
        self.assertIn("1 dearer not drawn", text)
        self.assertEqual(self.told(text), ["larkspur/day: peak lacks a value since 2026-07-15; the last one was charged"])

    def test_it_names_them_where_the_steps_go_by_them_alone(self):
        self.assertEqual(self.told(self.staircase("2026-08-03", "--up-to", "2 lb")), ["b: peak lacks a value since 2026-07-15; the last one was charged"])
        self.assertEqual(self.told(self.staircase("2026-07-10", "--up-to", "4 lb")), ["b: fuel lacks a value since 2026-07-08; the last one was charged"])
        for text in (self.staircase("2026-07-10", "--up-to", "2 lb"), self.staircase("2026-07-07", "--up-to", "4 lb"),
                     self.staircase("2026-08-03", "--services", "slow")):
            self.assertNotIn("lacks a value", text)
            self.assertNotIn("Take care", text)


class Streams(unittest.TestCase):
    """Terminals, pipes and full disks."""

    def on_terminal(self, **environment):
        leader, follower = pty.openpty()
        process = subprocess.Popen([tested.COMMAND, "rank", "--tables", TABLES, *LANE, *USD, *BOOK], cwd=ROOT, stdin=subprocess.DEVNULL,
                                   stdout=follower, stderr=subprocess.PIPE, env=tested.surroundings(**environment))
        os.close(follower)
        text = b""
        while True:
            try:
                piece = os.read(leader, 65536)
            except OSError:  # how Linux says that the other end is closed
                break
            if not piece:
                break
            text += piece
        os.close(leader)
        self.assertEqual(process.communicate()[1], b"")
        self.assertEqual(process.returncode, 0)
        return text.replace(b"\r\n", b"\n").decode()

    def test_colour_on_a_terminal_alone(self):
        coloured = self.on_terminal(TERM="xterm", COLUMNS="80")
        self.assertIn("\x1b[", coloured)
        plain = re.sub("\x1b\\[[0-9;]*m", "", coloured)
        piped = run(["rank", "--tables", TABLES, *LANE, *USD, *BOOK], COLUMNS="80").stdout.decode()
        self.assertEqual(plain, piped, "colour changes nothing else")
        self.assertNotIn("\x1b", piped)

    def test_no_color(self):
        self.assertNotIn("\x1b", self.on_terminal(TERM="xterm", NO_COLOR="1"))
        self.assertIn("\x1b", self.on_terminal(TERM="xterm", NO_COLOR=""), "an empty NO_COLOR is none (no-color.org)")
        self.assertNotIn("\x1b", self.on_terminal(TERM="dumb"))

    def test_a_reader_that_stops_early(self):
        lines = "\n".join([json.dumps(sealed("2 lb"))] * 500)
        for arguments, stdin in ((["rank", "--tables", TABLES, "--each"], lines), (["rank", "--tables", TABLES], json.dumps(sealed("2 lb")))):
            process = subprocess.Popen([tested.COMMAND, *arguments], cwd=ROOT, stdin=subprocess.PIPE, stdout=subprocess.PIPE,
                                       stderr=subprocess.PIPE)
            process.stdout.close()
            try:
                process.stdin.write(stdin.encode())
                process.stdin.close()
            except BrokenPipeError:
                pass
            said = process.stderr.read()
            process.stderr.close()
            self.assertEqual((process.wait(), said), (0, b""))

    @unittest.skipUnless(os.path.exists("/dev/full"), "no /dev/full here")
    def test_a_full_disk(self):
        with open("/dev/full", "wb") as full:
            done = subprocess.run([tested.COMMAND, "rank", "--tables", TABLES, *LANE, *USD, *BOOK], cwd=ROOT, stdout=full,
                                  stderr=subprocess.PIPE, check=False)
        self.assertEqual(done.returncode, 2)
        self.assertIn(b"the answer cannot be written: No space left on device", done.stderr)

    def test_standard_input_that_cannot_be_read(self):
        for each in ([], ["--each"]):
            folder = os.open(ROOT, os.O_RDONLY)
            done = subprocess.run([tested.COMMAND, "rank", "--tables", TABLES, *each], cwd=ROOT, stdin=folder, capture_output=True, check=False)
            os.close(folder)
            self.assertEqual((done.returncode, done.stdout), (2, b""))
            self.assertIn(b"standard input cannot be read", done.stderr)


class Demonstration(unittest.TestCase):
    def orders(self):
        found = sorted((ROOT / "tables/demo-orders").glob("*.json"))
        self.assertTrue(found)
        return found

    def test_every_order_is_answered(self):
        for path in self.orders():
            with self.subTest(path.name):
                done = run(["rank", "--tables", DEMO, "--json", str(path)])
                self.assertIn(done.returncode, (0, 1), done.stderr.decode())
                self.assertEqual(done.stderr, b"")
                ranking = json.loads(done.stdout)
                self.assertEqual(ranking["format"], "tarewise-ranking-1")
                self.assertEqual(done.returncode, 0 if ranking["offers"] else 1)

    @tested.in_bulk
    def test_every_order_fits_the_page(self):
        for path in self.orders():
            for width in (80, 120):
                for more in ([], ["--all", "--lines"]):
                    with self.subTest(f"{path.name} {width} {more}"):
                        text = run(["rank", "--tables", DEMO, *more, str(path)], COLUMNS=str(width)).stdout.decode()
                        for line in text.splitlines():
                            self.assertLessEqual(columns(line), width, line)

    def test_the_tables_are_in_order(self):
        done = run(["check", DEMO])
        self.assertEqual(done.returncode, 0, done.stderr.decode())
        self.assertIn("all as published", done.stdout.decode())

    def test_zones_and_staircases(self):
        done = run(["zone", "--tables", DEMO, *LANE])
        self.assertEqual((done.returncode, done.stderr), (0, b""))
        self.assertRegex(done.stdout.decode(), r"by distance.*: [\d.]+ mi, [\d.]+ km")
        done = run(["staircase", "--tables", DEMO, *LANE, *USD, "--sides", "12 x 9 x 4 in"])
        self.assertEqual((done.returncode, done.stderr), (0, b""))


def refresh():
    global REFRESH
    REFRESH = True


if __name__ == "__main__":
    tested.main(__doc__, refresh=("write the golden texts anew", refresh))
