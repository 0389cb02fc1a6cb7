#!/usr/bin/env python3
"""Price lists that the command begins, and those that it makes from the last season's. All carriers and prices invented.

    test_seasons.py --command PATH [NAMES OF TESTS ...]
"""

import json
import os
import pathlib
import pty
import re
import select
import subprocess
import tempfile
import unittest

import tested
from tested import DEMO, ROOT, run, surroundings

GRID = "bound,1,2,3\n1,5.10,5.60,6.90\n2,5.45,6.20,8.15\n5,6.80,8.40,12.30\n10,8.95,11.70,19.60\n20,12.40,17.25,31.50\n"


class Folder(unittest.TestCase):
    def setUp(self):
        folder = tempfile.TemporaryDirectory()
        self.addCleanup(folder.cleanup)
        self.folder = pathlib.Path(folder.name)
        self.out = self.folder / "own"

    def write(self, name, text):
        path = self.folder / name
        path.parent.mkdir(exist_ok=True)
        path.write_text(text, encoding="utf-8")
        return str(path)

    def refused(self, done, *words):
        """Bad input: an exit code of 2, nothing on standard output, and these words said."""
        said = done.stderr.decode()
        self.assertEqual(done.returncode, 2, said)
        self.assertEqual(done.stdout, b"")
        for one in words:
            self.assertIn(one, said)

    def prices(self, document, service, parcels, **more):
        """The totals of sealed parcels in given zones, by `check` of examples that tell a wrong price."""
        path = pathlib.Path(document)
        tariff = json.loads(path.read_text(encoding="utf-8"))
        tariff["examples"] = [{"service": service, "parcel": {"weight": weight, "sides": sides}, "zone": zone, "total": "999999", **more}
                              for weight, sides, zone in parcels]
        copy = path.with_name("priced.json")
        copy.write_text(json.dumps(tariff), encoding="utf-8")
        said = run(["check", str(copy)]).stderr.decode()
        copy.unlink()
        return re.findall(r"expected 999999\.00, got ([^\n,]*)", said)


class Begin(Folder):
    def answers(self, **more):
        given = {"carrier": "kestrel", "carrier-name": "Kestrel Parcels", "title": "Ground list, autumn 2026",
                 "source": "Kestrel Parcels ground price list", "page": "3", "published": "2026-08-20", "currency": "USD",
                 "from": "2026-09-01", "service": "ground", "service-title": "Kestrel Ground", "mode": "surface",
                 "unit": "lb", "one-zone": "N", "out": str(self.out)} | {key.replace("_", "-"): value for key, value in more.items()}
        words = []
        for key, value in given.items():
            for one in value if isinstance(value, list) else [] if value is None else [value]:
                words += ["--" + key, one]
        return words

    def begin(self, **more):
        return run(["begin", *self.answers(**more)])

    def drafted(self, grid, **more):
        """Begins a list that must be sound without a warning; gives its document's path."""
        done = self.begin(grid=self.write("sheets/grid.csv", grid), **more)
        self.assertEqual((done.returncode, done.stderr.decode()), (0, ""))
        check = run(["check", str(self.out)])
        self.assertEqual((check.returncode, check.stderr.decode()), (0, ""))
        self.assertIn("1 document checked, 0 errors, 0 warnings", check.stdout.decode())
        return str(self.out / "kestrel-2026-09.json")

    def test_ounces_then_pounds(self):
        document = self.drafted("bound,N\n4 oz,3.10\n8 oz,3.75\n15.5 oz,4.60\n1,5.20\n2,6.05\n")
        self.assertEqual(self.prices(document, "ground", [("4 oz", "6 x 4 x 2 in", "N"), ("4.1 oz", "6 x 4 x 2 in", "N"),
                                                          ("15.6 oz", "6 x 4 x 2 in", "N"), ("1 lb 1 oz", "6 x 4 x 2 in", "N"),
                                                          ("2 lb 1 oz", "6 x 4 x 2 in", "N")]),
                         ["3.10", "3.75", "5.20", "6.05", "refused"])

    def test_kilograms_and_a_weight_for_a_volume(self):
        # 0.5 x 0.4 x 0.3 m are 0.06 m3, and 200 kg/m3 make them 12 kg; without the volume it is 3 kg.
        document = self.drafted("bound,N\n3,4.00\n10,8.50\n12,9.75\n20,14.00\n", unit="kg", currency="EUR", divisor="200 kg/m3",
                                round_weight="up to 1 kg", most_weight="20 kg")
        self.assertEqual(self.prices(document, "ground", [("2.1 kg", "50 x 40 x 30 cm", "N"), ("2.1 kg", "50 x 40 x 10 cm", "N"),
                                                          ("20 kg", "20 x 20 x 20 cm", "N"), ("20001 g", "20 x 20 x 20 cm", "N")]),
                         ["9.75", "8.50", "14.00", "refused"])

    def test_one_flat_price(self):
        document = self.drafted("bound,*\n30,12.50\n", tracked="yes", days="2-5")
        self.assertEqual(self.prices(document, "ground", [("1 lb", "6 x 4 x 2 in", "N"), ("30 lb", "6 x 4 x 2 in", "N")]), ["12.50", "12.50"])
        tariff = json.loads(pathlib.Path(document).read_text(encoding="utf-8"))
        self.assertEqual(tariff["services"][0]["days"], {"*": [2, 5]})
        self.assertIs(tariff["services"][0]["tracked"], True)

    def test_a_volume_for_a_weight_past_a_volume(self):
        # 14 x 12 x 12 in are 2016 in3: 11.52 lb, so 12 lb. 12 x 12 x 10 in are 1440 in3, which do not count.
        document = self.drafted("bound,N\n1,6.90\n5,12.30\n20,31.50\n", divisor="175 in3/lb over 1500 in3", round_weight="up 1 lb",
                                round_sides="up 1 in")
        self.assertEqual(self.prices(document, "ground", [("3 lb", "14 x 12 x 12 in", "N"), ("3 lb", "12 x 12 x 10 in", "N"),
                                                          ("3 lb", "13.1 x 12 x 11.5 in", "N")]),
                         ["31.50", "12.30", "31.50"])

    def test_surcharges(self):
        # 12.30, a home 2.10, long 4.00; 8.5 % of 14.40 is 1.224; 8.5 % of 12.30 is 1.0455.
        document = self.drafted("bound,N\n5,12.30\n20,31.50\n", surcharge=[
            "residential; Delivery to a home; 2.10; residential", "long; Longer than 30 in; 4.00; length over 30 in and weight up to 10 lb",
            "fuel; Fuel; 8.5 % of base, residential"])
        parcel = [("4 lb", "12 x 9 x 6 in", "N")]
        long = [("4 lb", "31 x 9 x 6 in", "N"), ("11 lb", "31 x 9 x 6 in", "N")]
        self.assertEqual(self.prices(document, "ground", parcel), ["13.35"])
        self.assertEqual(self.prices(document, "ground", parcel, residential=True), ["15.62"])
        self.assertEqual(self.prices(document, "ground", long), ["17.35", "34.18"])

    def test_several_bounds(self):
        document = self.drafted("bound,bound,N\n60,2,7.40\n80,5,9.10\n", unit="cm, kg", by="sum of sides, weight", currency="EUR")
        self.assertEqual(self.prices(document, "ground", [("2 kg", "20 x 20 x 20 cm", "N"), ("2.1 kg", "20 x 20 x 20 cm", "N"),
                                                          ("1 kg", "30 x 30 x 21 cm", "N")]), ["7.40", "9.10", "refused"])

    def sent(self, weight, origin, to):
        """The total of a sealed parcel by what is in the folder; none where there is no zone."""
        done = run(["rank", "--tables", str(self.out), "--sealed", "--weight", weight, "--sides", "6 x 4 x 2 in", "--from", origin, "--to", to,
                    "--date", "2026-10-05", "--json"])
        offers = json.loads(done.stdout)["offers"]
        return offers[0]["total"] if offers else None

    def test_pairs_from_a_file(self):
        zones = self.write("sheets/zones.csv", "Handed over in 664 to 668,,\nCodes,Road,Swift\n500-639,2,A\n640-699,1,A\n\"700-799, 980\",2,-\n"
                                               "005-499,3,B\n800-979,3,B\n981-999,3,B\n")
        self.drafted(GRID, zones=zones, one_zone=None, origin="US:664-668", zone_column="road", example="1 lb; 6 x 4 x 2 in; 3; 6.90")
        self.assertEqual([self.sent("2 lb", "US 66502", to) for to in ("US 64105", "US 73301", "US 98001", "US 98101", "US 00401")],
                         ["5.45", "6.20", "6.20", "8.15", None])
        self.assertIsNone(self.sent("2 lb", "US 10001", "US 64105"))
        self.assertEqual({path.name for path in self.out.iterdir()}, {"grid.csv", "zones.csv", "kestrel-2026-09.json"})
        # Next season's list has the zones as they are, in another folder too.
        old = str(self.out / "kestrel-2026-09.json")
        self.out = self.folder / "next"
        done = run(["renew", "--from", "2026-10-01", "--increase", "10", "--out", str(self.out), old])
        self.assertEqual((done.returncode, done.stderr), (0, b""))
        self.assertEqual({path.name for path in self.out.iterdir()}, {"kestrel-2026-10-grid.csv", "zones.csv", "kestrel-2026-10.json"})
        self.assertEqual(self.sent("2 lb", "US 66502", "US 98101"), "8.97")

    def test_regions_from_a_file(self):
        zones = self.write("sheets/zones.csv", "First,Last,Zone\n005,059,1\n060,149,2\n150,999,3\n")
        self.drafted(GRID, zones=zones, one_zone=None, country="US", code_column="First, Last")
        self.assertEqual([self.sent("2 lb", "US 10001", to) for to in ("US 05602", "US 12207", "US 98101")], ["5.45", "6.20", "8.15"])
        zones = self.write("sheets/abroad.csv", "Country,Zone\nCA,1\nDE,2\n\"FR, IT\",3\n")
        self.out = self.folder / "abroad"
        self.drafted(GRID, zones=zones, one_zone=None)
        self.assertEqual([self.sent("2 lb", "US 10001", to) for to in ("CA", "DE 10115", "IT", "ES")], ["5.45", "6.20", "8.15", None])

    def test_what_the_zones_have_wrong_is_said_of_the_sheet(self):
        zones = self.write("zones.csv", "Codes,Road\n500-639,2*\n")
        grid = self.write("grid.csv", GRID)
        self.refused(self.begin(grid=grid, zones=zones, one_zone=None, origin="US:664-668"), zones + ":2:9: error")
        self.refused(self.begin(grid=grid, zones=zones, one_zone=None, origin="US:664-668", zone_column="Swift"), "Swift")
        # A column is needed where there are several, or lines above the header.
        for text in ("Codes,Road,Air\n500-639,2,3\n", "Zones of the list\nCodes,Road\n500-639,2\n"):
            zones = self.write("zones.csv", text)
            self.refused(self.begin(grid=grid, zones=zones, one_zone=None, origin="US:664-668"),
                         "--zone-column: found none, expected the name of the column of zones: " + zones + " has several columns")
        self.assertFalse(self.out.exists())

    def test_two_files_of_one_name(self):
        grid = self.write("a/one.csv", GRID)
        zones = self.write("b/one.csv", "Codes,Road\n500-639,1\n640-699,2\n700-999,3\n")
        self.refused(self.begin(grid=grid, zones=zones, one_zone=None, origin="US:664-668"), "b/one.csv: found a second file of this name")
        self.refused(self.begin(grid=grid, zones=grid, one_zone=None, origin="US:664-668"), "a/one.csv: found a second file of this name")
        self.assertFalse(self.out.exists())

    def test_zones_named_otherwise_in_the_grid(self):
        grid = self.write("grid.csv", GRID.replace("1,2,3", "Zone 1,Zone 2,Zone 3"))
        zones = self.write("zones.csv", "Codes,Road\n500-639,1\n640-699,2\n700-999,3\n")
        done = self.begin(grid=grid, zones=zones, one_zone=None, origin="US:664-668")
        self.refused(done, grid + ':1:7: error 301: found the column "Zone 1"',
                     "the header of --grid and the zones of --zones or --one-zone name a zone alike: change the one or the other")
        self.assertEqual(done.stderr.decode().count("name a zone alike"), 1)
        self.assertFalse(self.out.exists())

    def test_limits_are_told_in_words(self):
        document = self.drafted("bound,N\n20,31.50\n", most_weight="15 lb", most_length="30 in", most_length_plus_girth="80 in")
        self.assertEqual(json.loads(pathlib.Path(document).read_text(encoding="utf-8"))["services"][0]["refuse"], [
            {"when": {"weight": {"over": "15 lb"}}, "reason": "heavier than 15 lb"},
            {"when": {"length": {"over": "30 in"}}, "reason": "longer than 30 in"},
            {"when": {"length_plus_girth": {"over": "80 in"}}, "reason": "larger than 80 in of length plus girth"}])
        self.assertEqual(self.prices(document, "ground", [("16 lb", "6 x 4 x 2 in", "N"), ("1 lb", "31 x 4 x 2 in", "N"),
                                                          ("1 lb", "30 x 13 x 12.1 in", "N"), ("15 lb", "30 x 13 x 12 in", "N")]),
                         ["refused", "refused", "refused", "31.50"])

    def test_keys_stand_as_on_the_page_and_text_as_typed(self):
        document = self.drafted("bound,N\n1,6.90\n5,12.30\n", surcharge=["fuel; Fuel; 8.50 % of base"], until="2027-01-17",
                                example="4.01 lb; 12 x 9 x 6 in; N; 13.35; page 3: 5 lb")
        text = pathlib.Path(document).read_text(encoding="utf-8")
        self.assertEqual(list(json.loads(text)), ["format", "carrier", "title", "source", "currency", "in_force", "zones", "services",
                                                  "surcharges", "examples"])
        self.assertIn('{"code": "fuel", "title": "Fuel", "percent": "8.50 %", "of": ["base"]}', text)
        self.assertIn('"source": {"title": "Kestrel Parcels ground price list", "page": "3", "published": "2026-08-20"}', text)
        self.assertIn('"in_force": {"from": "2026-09-01", "until": "2027-01-17"}', text)
        self.assertIn('{"service": "ground", "parcel": {"weight": "4.01 lb", "sides": "12 x 9 x 6 in"}, "zone": "N", "total": "13.35", '
                      '"why": "page 3: 5 lb"}', text)

    def test_without_an_example_it_says_so_and_how(self):
        grid = self.write("grid.csv", "bound,N\n1,6.90\n5,12.30\n10,19.60\n")
        done = self.begin(grid=grid, divisor="175 in3/lb")
        text = " ".join(done.stdout.decode().split())
        self.assertIn("No example was given: nothing of this draft has been compared with the printed list.", text)
        self.assertIn("79.9 oz, 6 x 4 x 2 in, zone N (just under the bound 5 lb): the draft gives 12.30", text)
        self.assertIn("5 lb, 6 x 4 x 2 in, zone N (on the bound 5 lb): the draft gives 12.30", text)
        self.assertIn("80.1 oz, 6 x 4 x 2 in, zone N (just over the bound 5 lb): the draft gives 19.60", text)
        # 1728 / 175 is under 10 lb, the last row.
        self.assertIn("1 lb, 12 x 12 x 12 in, zone N (dimensional): the draft gives 19.60", text)
        document = self.out / "kestrel-2026-09.json"
        self.assertNotIn("examples", document.read_text(encoding="utf-8"))
        # What it says to do, done.
        added = re.search(r'^,\n  "examples": .*?\n  \]\n', done.stdout.decode(), re.M | re.S)[0].replace("PRINTED", "12.30")
        whole = document.read_text(encoding="utf-8").rstrip()
        document.write_text(whole[:-1].rstrip() + added + "}\n", encoding="utf-8")
        self.assertIn("1 example priced, all as published", run(["check", str(self.out)]).stdout.decode())

    def test_an_example_that_differs_writes_nothing(self):
        grid = self.write("grid.csv", "bound,N\n1,6.90\n5,12.30\n")
        self.refused(self.begin(grid=grid, example="4 lb; 12 x 9 x 6 in; N; 12.35"), "example 1: ground, 4 lb, 12 x 9 x 6 in, zone N: "
                     "expected 12.35, got 12.30", "    12.30  base: billable weight 4 lb (actual); zone N")
        self.assertFalse(self.out.exists())

    def test_nothing_is_overwritten(self):
        self.drafted("bound,N\n5,12.30\n")
        before = {path.name: path.read_bytes() for path in self.out.iterdir()}
        self.refused(self.begin(grid=str(self.folder / "sheets/grid.csv"), title="Another"),
                     "grid.csv already there", "kestrel-2026-09.json already there", "no file is overwritten")
        self.assertEqual(before, {path.name: path.read_bytes() for path in self.out.iterdir()})
        # One of the two is enough, and a link to nowhere is something too.
        (self.out / "kestrel-2026-09.json").unlink()
        self.refused(self.begin(grid=str(self.folder / "sheets/grid.csv")), "grid.csv already there")
        os.symlink("nowhere", self.out / "other.json")
        self.refused(self.begin(grid=str(self.out / "grid.csv"), name="other"), "other.json already there")

    def test_what_to_do_where_a_file_is_there_already(self):
        self.drafted("bound,N\n5,12.30\n")
        self.refused(self.begin(grid=str(self.folder / "sheets/grid.csv")),
                     "grid.csv already there, and no file is overwritten, expected a new name: rename the file, or give --grid the one in the folder",
                     "kestrel-2026-09.json already there, and no file is overwritten, expected a new name: --name gives another; the next season "
                     "of a list is made from it by tarewise renew")

    def test_a_second_list_of_one_start_is_not_written(self):
        first = self.drafted("bound,N\n5,12.30\n")
        before = {path.name: path.read_bytes() for path in self.out.iterdir()}
        # A name before and one behind that of the first.
        for name in ("another", "zebra"):
            done = self.begin(grid=str(self.out / "grid.csv"), name=name)
            self.refused(done, '--from: found the start "2026-09-01", expected another than that of ' + first + ": two tariffs of",
                         "tarewise renew makes the next season's list from that one", "tarewise check would not pass")
            self.assertEqual(before, {path.name: path.read_bytes() for path in self.out.iterdir()})
        done = self.begin(grid=str(self.out / "grid.csv"), name="another", **{"from": "2026-09-02"})
        self.assertEqual((done.returncode, done.stderr), (0, b""))
        self.assertIn("2 documents checked, 0 errors", run(["check", str(self.out)]).stdout.decode())

    def test_what_else_the_folder_has_wrong_is_said_before_anything_is_written(self):
        self.write("own/torn.json", '{"format": "tarewise-tariff-1"')
        done = self.begin(grid=self.write("grid.csv", "bound,N\n5,12.30\n"))
        self.refused(done, "torn.json:1:31: error 103", "--out: found a folder that tarewise check would not pass with this list in it")
        self.assertEqual([path.name for path in self.out.iterdir()], ["torn.json"])

    def piped(self, name, text, run):
        """What `run` gives where a pipe of that name is written to once."""
        path = self.folder / name
        os.mkfifo(path)
        with subprocess.Popen(["sh", "-c", 'printf %s "$1" > "$2"', "sh", text, str(path)]) as writer:
            try:
                return run(str(path))
            finally:
                try:
                    writer.wait(10)
                except subprocess.TimeoutExpired:
                    writer.kill()

    def test_each_file_is_read_once(self):
        # A pipe gives its text once: what was checked is what is written.
        grid = "bound,N\n1,6.90\n5,12.30\n"
        done = self.piped("grid.csv", grid, lambda path: self.begin(grid=path, example="4 lb; 12 x 9 x 6 in; N; 12.30"))
        self.assertEqual((done.returncode, done.stderr.decode()), (0, ""))
        self.assertEqual((self.out / "grid.csv").read_text(encoding="utf-8"), grid)
        zones = "Codes,Road\nUS:5-6,N\nUS:7-9,F\n"
        self.out = self.folder / "zoned"
        done = self.piped("zones.csv", zones, lambda path: self.begin(grid=self.write("sheets/g.csv", "bound,N,F\n5,12.30,14.10\n"), zones=path,
                                                                      one_zone=None))
        self.assertEqual((done.returncode, done.stderr.decode()), (0, ""))
        self.assertEqual((self.out / "zones.csv").read_text(encoding="utf-8"), zones)
        self.assertIn("1 document checked, 0 errors, 0 warnings", run(["check", str(self.out)]).stdout.decode())

    def test_a_pipe_in_the_folder_is_no_file_beside_the_document(self):
        self.out.mkdir()
        done = self.piped("own/grid.csv", "bound,N\n5,12.30\n", lambda path: self.begin(grid=path))
        self.refused(done, "grid.csv: found a pipe, expected a file")
        self.assertEqual([path.name for path in self.out.iterdir()], ["grid.csv"])

    def test_a_grid_in_the_folder_is_named_where_it_is(self):
        done = self.begin(grid=self.write("own/grid.csv", "bound,N\n5,12.30\n"))
        self.assertEqual(done.returncode, 0, done.stderr.decode())
        self.assertEqual({path.name for path in self.out.iterdir()}, {"grid.csv", "kestrel-2026-09.json"})

    def test_a_folder_that_cannot_be_written_is_left_as_it_was(self):
        grid = self.write("grid.csv", "bound,N\n5,12.30\n")
        self.refused(self.begin(grid=grid, out=grid), "which is no folder")
        self.refused(self.begin(grid=grid, out=str(self.folder / "a" / "b")), "cannot be made: No such file")
        self.assertEqual([path.name for path in self.folder.iterdir()], ["grid.csv"])

    def test_what_the_grid_has_wrong_is_said_of_the_sheet(self):
        grid = self.write("grid.csv", "bound,N\n1,6.90\n5,$12.30\n")
        self.refused(self.begin(grid=grid), grid + ":3:3: error 208")
        self.assertFalse(self.out.exists())

    def test_every_answer_wrong_at_once(self):
        grid = self.write("grid.csv", "bound,N\n5,12.30\n")
        self.refused(self.begin(grid=grid, carrier="Kestrel", currency="usd", **{"from": "2026-02-30"}, mode="sea", tracked="maybe", days="5-2",
                                by="wieght", unit="pound", divisor="175", round_weight="1 lb", round_sides="up", most_weight="20",
                                surcharge=["fuel", "fuel; Fuel; 8.5 %", "long; Long; 4; longer than 30 in"], example="5 lb"),
                     '--carrier: found "Kestrel", expected a code', '--currency: found "usd"', '--from: found "2026-02-30"', '--mode: found "sea"',
                     '--tracked: found "maybe", expected yes or no', '--days: found "5-2"', '--by: found "wieght", expected a measure (did you mean "weight"?)',
                     '--unit: found "pound"', '--divisor: found "175"', '--round-weight: found "1 lb"', '--round-sides: found "up"',
                     '--most-weight: found "20"', '--surcharge: found "fuel", expected a code, a title', '--surcharge: found "8.5 %"',
                     '--surcharge: found "longer than 30 in"', '--example: found "5 lb"')
        none = str(self.folder / "none.csv")
        self.refused(self.begin(grid=none), "--grid: " + none + ": found no such file, expected one that is there")
        self.refused(self.begin(grid=grid, zones=none, one_zone=None), "--zones: " + none + ": found no such file, expected one that is there")
        self.refused(self.begin(grid=grid, published="last autumn"), '--published: found "last autumn", expected')
        self.refused(self.begin(grid=grid, published="2026-13-01"), '--published: found "2026-13-01", expected')
        for name in ("shelf-prices.csv", "gazetteer.csv"):
            self.refused(self.begin(grid=self.write(name, GRID)), name + '", expected a name that begins otherwise: a folder of tables takes')
        self.refused(self.begin(grid=grid, days="1=1-2,9=2-5"), '--days: found the key "1", expected a zone')
        self.refused(self.begin(grid=grid, surcharge=["base; Base; 1"]), "--surcharge: found", "reserved")
        self.refused(self.begin(grid=grid, zones=grid), "--one-zone: found it where it has no place: beside --zones")
        self.refused(self.begin(grid=grid, origin="US:054"), "--origin: found it where it has no place: it is of --zones")

    def test_an_answer_missing_off_a_terminal_is_named(self):
        self.refused(run(["begin"], ""), "--carrier: found none, expected a code", "--grid: found none", "--one-zone: found none", "--out: found none")
        done = self.begin(grid=self.write("grid.csv", "bound,N\n5,12.30\n"), currency=None)
        self.refused(done, "tarewise begin: --currency: found none, expected a currency such as USD",
                     "standard input is no terminal, so nothing was asked: every answer is an option")
        self.assertEqual(done.stderr.count(b"\n"), 2)

    def ask(self, lines, *options, seconds=60):
        """A run on a terminal, to which `lines` are typed. One that waits for more is ended, and fails."""
        ours, theirs = pty.openpty()
        with subprocess.Popen([tested.COMMAND, "begin", *options], cwd=ROOT, env=surroundings(), stdin=theirs, stdout=subprocess.PIPE,
                              stderr=subprocess.PIPE) as process:
            os.close(theirs)
            os.write(ours, "".join(line + "\n" for line in lines).encode())
            try:
                out, said = process.communicate(timeout=seconds)
            except subprocess.TimeoutExpired:
                process.kill()
                out, said = process.communicate()
                os.close(ours)
                self.fail(f"still running after {seconds} seconds; asked so far:\n{said.decode()}")
        while select.select([ours], [], [], 0)[0]:
            try:
                if not os.read(ours, 4096):
                    break
            except OSError:
                break
        os.close(ours)
        return process.returncode, out.decode(), said.decode()

    TYPED = ["kestrel", "Kestrel Parcels", "Ground list", "Kestrel's price list", "3", "2026-08-20", "usd", "USD", "2026-09-01", "", "ground",
             "Kestrel Ground", "surface", "yes", "2-5"]

    def test_on_a_terminal_it_asks(self):
        grid = self.write("grid.csv", "bound,N\n1,6.90\n5,12.30\n10,19.60\n")
        code, out, said = self.ask([*self.TYPED, grid, "", "lb", "", "N", "175 in3/lb", "up 1 lb", "", "", "", "", "fuel; Fuel; 8.5 % of base", "",
                                    str(self.out), "13.30", "13.35", "", "21.27", ""])
        self.assertEqual(code, 0, said)
        self.assertIn('--currency: found "usd"', said)
        self.assertIn("the draft gives 13.35 (12.30 base, 1.05 fuel); the printed list", said)
        self.assertIn("expected 13.30, got 13.35", said)
        self.assertIn("2 examples of the printed list", out)
        self.assertIn("2 examples priced, all as published", run(["check", str(self.out)]).stdout.decode())
        tariff = json.loads((self.out / "kestrel-2026-09.json").read_text(encoding="utf-8"))
        self.assertEqual([one["total"] for one in tariff["examples"]], ["13.35", "21.27"])
        self.assertEqual(tariff["examples"][0]["why"], "page 3")

    def test_a_printed_price_that_the_draft_does_not_give_is_told_at_the_end(self):
        grid = self.write("grid.csv", "bound,N\n1,6.90\n5,12.30\n10,19.60\n")
        code, out, said = self.ask([*self.TYPED, grid, "", "lb", "", "N", *[""] * 7, str(self.out), "12.30", "", "19.66", "19.90", ""])
        self.assertEqual(code, 0, said)
        self.assertIn("1 example of the printed list", out)
        self.assertIn("Not kept, for the draft differs: 80.1 oz, 6 x 4 x 2 in, zone N (just over the bound 5 lb): the draft gives 19.60, the printed "
                      "list 19.90.", " ".join(out.split()))
        self.assertEqual(out.count("Not kept"), 1)
        self.assertNotIn("19.66", out)

    def test_on_a_terminal_with_all_that_is_needed_it_does_not_ask(self):
        code, _, said = self.ask([], *self.answers(grid=self.write("grid.csv", "bound,N\n5,12.30\n")))
        self.assertEqual((code, said), (0, ""))

    def test_what_was_typed_in_vain_is_told_as_options(self):
        grid = self.write("grid.csv", "bound,N\n1,$6.90\n")
        code, out, said = self.ask([*self.TYPED, grid, "", "lb", "", "N", *[""] * 7, str(self.out)])
        self.assertEqual((code, out), (2, ""))
        self.assertIn("error 208", said)
        self.assertIn("--source 'Kestrel'\\''s price list'", said)

    def test_the_end_of_the_terminal(self):
        code, out, said = self.ask(["kestrel", "\x04"])
        self.assertEqual((code, out), (2, ""))
        self.assertIn('found the end of standard input, expected an answer to "The carrier\'s name" (--carrier-name); nothing was written', said)
        self.assertIn("--carrier 'kestrel'", said)
        # Where the printed prices are asked for, those that were given are told too.
        grid = self.write("grid.csv", "bound,N\n1,6.90\n5,12.30\n10,19.60\n")
        code, out, said = self.ask([*self.TYPED, grid, "", "lb", "", "N", *[""] * 7, str(self.out), "12.30", "\x04"], "--name", "autumn")
        self.assertEqual((code, out), (2, ""))
        self.assertIn("the printed list (Enter: not looked up)\" (--example); nothing was written", said)
        self.assertIn("--example '79.9 oz; 6 x 4 x 2 in; N; 12.30'", said)
        self.assertIn("--name 'autumn'", said)
        self.assertFalse(self.out.exists())

    def test_a_terminal_where_too_little_is_typed_is_not_waited_for(self):
        with self.assertRaisesRegex(AssertionError, "still running after 1 seconds; asked so far:"):
            self.ask(["kestrel"], seconds=1)


class Renew(Folder):
    def setUp(self):
        super().setUp()
        self.old = self.write("old/kestrel-2026-09.json", json.dumps({
            "format": "tarewise-tariff-1", "carrier": {"code": "kestrel", "name": "Kestrel Parcels"}, "title": "Autumn", "currency": "USD",
            "in_force": {"from": "2026-09-01"}, "zones": {"main": [{"kind": "regions", "zones": {"1": ["US:0"], "2": ["US:1"], "3": ["US:9"]}}]},
            "services": [{"code": "ground", "title": "Ground", "zones": "main", "mode": "surface",
                          "prices": [{"table": {"by": "billable_weight", "unit": "lb", "csv": "kestrel-2026-09-grid.csv"}}]}],
            "examples": [{"service": "ground", "parcel": {"weight": "1 lb", "sides": "6 x 4 x 2 in"}, "zone": "3", "total": "6.90"}]}))
        self.grid = self.write("old/kestrel-2026-09-grid.csv", GRID)

    def renew(self, *words, old=None, **surroundings):
        return run(["renew", "--from", "2027-01-18", "--out", str(self.out), *words, old or self.old], **surroundings)

    def test_a_whole_list(self):
        before = {path.name: path.read_bytes() for path in (self.folder / "old").iterdir()}
        done = self.renew("--increase", "5.9 %", "--until", "2027-06-30")
        self.assertEqual((done.returncode, done.stderr), (0, b""))
        self.assertEqual((self.out / "kestrel-2027-01-grid.csv").read_text(encoding="utf-8"),
                         "bound,1,2,3\n1,5.40,5.93,7.31\n2,5.77,6.57,8.63\n5,7.20,8.90,13.03\n10,9.48,12.39,20.76\n20,13.13,18.27,33.36\n")
        text = " ".join(done.stdout.decode().split())
        for words in ("in force from 2027-01-18 until 2027-06-30: kestrel-2027-01.json, kestrel-2027-01-grid.csv.",
                      "ground 15 of 15 5.10 -> 5.40 +5.88 % 31.50 -> 33.36 +5.90 % 0.01 (kestrel-2026-09-grid.csv)",
                      'to close the old one as well, put "until": "2027-01-17" into its "in_force"',
                      "1 example was left out"):
            self.assertIn(words, text)
        self.assertEqual(before, {path.name: path.read_bytes() for path in (self.folder / "old").iterdir()})
        check = run(["check", "--strict", str(self.out)])
        self.assertEqual((check.returncode, check.stderr), (0, b""))
        self.assertEqual(json.loads((self.out / "kestrel-2027-01.json").read_text(encoding="utf-8"))["examples"], [])

    def test_into_the_folder_of_the_old_one(self):
        done = self.renew("--increase", "5.9", "--out=" + str(self.folder / "old"))
        self.refused(done, "--out: found it twice")
        done = run(["renew", "--from", "2027-01-18", "--increase", "5.9", "--out", str(self.folder / "old"), self.old])
        self.assertEqual(done.returncode, 0, done.stderr)
        check = run(["check", str(self.folder / "old")])
        self.assertIn("2 documents checked, 0 errors, 0 warnings; 1 example priced", check.stdout.decode())
        again = run(["renew", "--from", "2027-01-18", "--increase", "5.9", "--out", str(self.folder / "old"), self.old])
        self.refused(again, "kestrel-2027-01.json already there", "kestrel-2027-01-grid.csv already there")

    def test_a_printed_grid_laid_over(self):
        # Beside 5.40 stands 5.45, beside 33.36 what it was, 31.50; one row is new.
        printed = self.write("printed.csv", "bound,1,2,3\n1,5.45,5.93,7.31\n2,5.77,6.57,8.63\n5,7.20,8.90,13.03\n10,9.48,12.39,20.76\n"
                                            "15,11.00,14.00,25.00\n20,13.13,18.27,31.50\n")
        done = self.renew("--increase", "5.9 %", "--lay", "ground=" + printed)
        self.assertEqual((done.returncode, done.stderr), (0, b""))
        text = [" ".join(line.split()) for line in done.stdout.decode().splitlines()]
        rows = text[text.index("Printed beside computed"):]
        self.assertEqual(rows[1:], ["ground: the printed grid adds the row 15 lb", "5 cells differ", "service row zone old computed printed over computed over old",
                                    "ground 1 lb 1 5.10 5.40 5.45 +0.05 +6.86 %", "ground 15 lb 1 none none 11.00",
                                    "ground 15 lb 2 none none 14.00", "ground 15 lb 3 none none 25.00",
                                    "ground 20 lb 3 31.50 33.36 31.50 -1.86 +0.00 %"])
        self.assertEqual((self.out / "kestrel-2027-01-grid.csv").read_text(encoding="utf-8"),
                         pathlib.Path(printed).read_text(encoding="utf-8"))
        self.assertEqual(run(["check", str(self.out)]).returncode, 0)

    def test_a_printed_grid_by_the_name_of_the_old_one_and_no_increase(self):
        printed = self.write("printed.csv", GRID.replace("5.10", "5.20"))
        done = self.renew("--lay", "kestrel-2026-09-grid.csv=" + printed)
        self.assertEqual(done.returncode, 0, done.stderr)
        text = [" ".join(line.split()) for line in done.stdout.decode().splitlines()]
        # Nothing was computed, so nothing is said of it.
        self.assertEqual(text[text.index("What is laid over") + 1], "ground: the printed grid in the place of kestrel-2026-09-grid.csv")
        self.assertEqual(text[text.index("Printed beside old") + 1:], ["1 cell differs", "service row zone old printed more",
                                                                       "ground 1 lb 1 5.10 5.20 +0.10 +1.96 %"])
        self.assertIn("Its source says that it was made from the old list: replace that", " ".join(text))
        self.assertNotIn("What rises", text)
        source = json.loads((self.out / "kestrel-2027-01.json").read_text(encoding="utf-8"))["source"]
        self.assertEqual(source, 'made from "Autumn" (kestrel-2026-09.json, in force from 2026-09-01), with printed grids laid over 1 price: '
                                 "replace by the printed list")

    def test_what_a_printed_grid_lacks_is_named(self):
        printed = self.write("printed.csv", "bound,1,3\n1,5.45,7.31\n2,5.77,8.63\n20,13.13,33.36\n")
        for words, heading in ((["--increase", "5.9"], "Printed beside computed"), ([], "Printed beside old")):
            self.out = self.folder / ("own" + str(len(words)))
            done = self.renew(*words, "--lay", "ground=" + printed)
            self.assertEqual(done.returncode, 0, done.stderr)
            text = [" ".join(line.split()) for line in done.stdout.decode().splitlines()]
            self.assertEqual(text[text.index(heading) + 1:][:2],
                             ["ground: the printed grid lacks the rows 5 lb, 10 lb", "ground: the printed grid lacks the zone 2"])

    def test_bounds_in_another_unit_are_the_same_rows(self):
        printed = self.write("printed.csv", GRID.replace("\n1,", "\n16 oz,"))
        done = self.renew("--lay", "ground=" + printed)
        self.assertIn("no cell differs: every printed price is the old one", done.stdout.decode())
        self.assertNotIn("the row", done.stdout.decode())

    def test_no_line_is_wider_than_eighty_columns(self):
        tariff = json.loads(pathlib.Path(self.old).read_text(encoding="utf-8"))
        ground = tariff["services"][0]
        tariff["services"] += [{**ground, "code": "next-day-before-noon-" + str(i), "title": "Next day",
                                "prices": [{"table": {"by": "billable_weight", "unit": "lb", "columns": ["1", "2", "3"],
                                                      "rows": [[1, "12345.125", "23456.125", "34567.375"]]}}]} for i in range(2)]
        self.old = self.write("old/kestrel-2026-09.json", json.dumps(tariff))
        printed = self.write("printed.csv", "bound,1,2,3\n1,12345.1,23456.2,34567.3\n2,123456.1,234567.2,345678.3\n")
        laid = ["--lay", "next-day-before-noon-1=" + printed]
        for i, words in enumerate((["--increase", "5.9"], ["--increase", "5.9", *laid], laid)):
            self.out = self.folder / ("own" + str(i))
            done = self.renew(*words, COLUMNS="80")
            self.assertEqual(done.returncode, 0, done.stderr)
            self.assertEqual([line for line in done.stdout.decode().splitlines() if len(line) > 80], [])

    def test_a_second_list_of_one_start_is_not_written(self):
        self.assertEqual(self.renew("--increase", "5.9").returncode, 0)
        before = {path.name: path.read_bytes() for path in self.out.iterdir()}
        for name in ("another", "zebra"):
            self.refused(self.renew("--increase", "5.9", "--name", name), '--from: found the start "2027-01-18", expected another than that of',
                         "kestrel-2027-01.json: two tariffs of", "remove what an earlier run computed, or write to another folder",
                         "tarewise check would not pass")
        self.refused(self.renew("--increase", "5.9"), "kestrel-2027-01.json already there, and no file is overwritten, expected a new name: remove "
                     "what an earlier run computed, or write to another folder (--out) or under another name (--name)")
        self.assertEqual(before, {path.name: path.read_bytes() for path in self.out.iterdir()})

    def test_a_printed_grid_that_is_the_computed_one(self):
        self.renew("--increase", "5.9")
        computed = str(self.out / "kestrel-2027-01-grid.csv")
        self.out = self.folder / "other"
        done = self.renew("--increase", "5.9", "--lay", "ground/1=" + computed)
        self.assertEqual(done.returncode, 0, done.stderr)
        self.assertIn("no cell differs: every printed price is the computed one", done.stdout.decode())

    def test_many_differences_are_told_in_full_when_asked(self):
        rows = "".join(f"{bound},{bound}.00,{bound}.50,{bound}.75\n" for bound in range(1, 21))
        printed = self.write("printed.csv", "bound,1,2,3\n" + rows)
        done = self.renew("--increase", "5.9", "--lay", "ground=" + printed)
        self.assertIn("60 cells differ; the first 20 (--all tells every one)", done.stdout.decode())
        self.out = self.folder / "other"
        done = self.renew("--increase", "5.9", "--lay", "ground=" + printed, "--all")
        self.assertEqual(len(re.findall(r"^  ground  ", done.stdout.decode().split("Printed beside")[1], re.M)), 60)

    def test_what_is_asked_wrongly(self):
        self.refused(run(["renew"]), "found 0 paths, expected one price list", "--from: found none", "--out: found none", "--increase: found none, nor --lay")
        self.refused(self.renew("--increase", "-3"), "--increase: found")
        self.refused(self.renew("--increase", "5.9", "--services", "grund"), '--services: found the service "grund", expected one of ' + self.old +
                     ': ground (did you mean "ground"?)')
        self.refused(self.renew("--lay", "express=" + self.grid), '--lay: found the service "express", expected one of ' + self.old + ": ground")
        self.refused(self.renew("--services", "ground", "--lay", "ground=" + self.grid), "--services: found it without --increase")
        self.refused(self.renew("--lay", "ground"), '--lay: found "ground", expected a price and a file')
        self.refused(self.renew("--lay", "ground/0=" + self.grid), '--lay: found the price "ground/0"')
        self.refused(self.renew("--lay", "ground/2=" + self.grid), 'found the price "ground/2" to lay', "ground/1 (kestrel-2026-09-grid.csv)")
        self.refused(self.renew("--lay", "ground=" + str(self.folder / "none.csv")), "none.csv: error 501")
        self.refused(self.renew("--lay", "ground=" + self.write("printed.csv", "bound,1,2,4\n1,1,1,1\n")), "printed.csv:1:11: error 301")
        self.refused(self.renew("--increase", "5.9", "--name", "a/b"), '--name: found "a/b"')
        self.refused(run(["renew", "--from", "2026-08-01", "--increase", "5", "--out", str(self.out), self.old]),
                     "found the start 2026-08-01, expected a day after 2026-09-01")
        self.refused(self.renew("--increase", "5", old=self.grid), "error")
        self.assertFalse(self.out.exists())

    def test_surcharges_that_stay_are_told(self):
        said = "Surcharges and extras are the old list's"
        self.assertNotIn(said, self.renew("--increase", "5.9").stdout.decode())
        tariff = json.loads(pathlib.Path(self.old).read_text(encoding="utf-8"))
        tariff["services"][0]["surcharges"] = [{"code": "home", "title": "To a home", "when": {"residential": True}, "amount": 2.10}]
        self.old = self.write("old/kestrel-2026-09.json", json.dumps(tariff))
        for name, words, told in (("a", ["--increase", "5.9"], said + " (--surcharges lets their amounts rise too)."),
                                  ("b", ["--lay", "ground=" + self.grid], said + "."), ("c", ["--increase", "5.9", "--surcharges"], None)):
            self.out = self.folder / name
            done = self.renew(*words)
            self.assertEqual(done.returncode, 0, done.stderr)
            text = " ".join(done.stdout.decode().split())
            self.assertIn(told or "What rises", text)
            self.assertEqual(said in text, told is not None)

    def test_every_list_of_the_demonstration(self):
        for path in sorted((ROOT / DEMO).glob("*.json")):
            if "terms" in path.name:
                continue
            with self.subTest(path.name):
                out = self.folder / path.stem
                done = run(["renew", "--from", "2030-01-07", "--increase", "5.9 %", "--surcharges", "--out", str(out), str(path)])
                self.assertEqual((done.returncode, done.stderr.decode()), (0, ""))
                check = run(["check", "--strict", *map(str, out.glob("*.json"))])
                self.assertEqual((check.returncode, check.stderr.decode()), (0, ""))
                # Nothing but amounts, dates, the source and names of files differs.
                old = re.sub(r"\d+\.\d+|\d+", "#", path.read_text(encoding="utf-8"))
                new = re.sub(r"\d+\.\d+|\d+", "#", next(out.glob("*.json")).read_text(encoding="utf-8"))
                begin, end = (text.index('"currency"') for text in (old, new))
                cut = [re.sub(r'"(in_force": \{.*?\}|csv": "[^"]*")', "", text) for text in (old[begin:], new[end:])]
                self.assertEqual(cut[0].split('"examples"')[0], cut[1].split('"examples"')[0])


if __name__ == "__main__":
    tested.main(__doc__)
