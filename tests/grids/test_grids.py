#!/usr/bin/env python3
"""Price grids as they are printed, read by the command: published ones, invented ones, and random ones in random styles.

    test_grids.py --command PATH [NAMES OF TESTS ...]
"""

import csv
import io
import json
import pathlib
import random
import re
import resource
import sys
import tempfile
import unittest

HERE = pathlib.Path(__file__).resolve().parent
sys.path.insert(0, str(HERE.parent / "command"))
import tested  # noqa: E402
from tested import ROOT, run  # noqa: E402

FOUND = "tests/grids/found/"
CLEAN, DOUBTS, REFUSED = 0, 1, 2


def rows(text):
    return list(csv.reader(io.StringIO(text)))


def table(path):
    """A grid of the published tables, by (bound, zone); a column of several zones is one for each."""
    header, *lines = rows((ROOT / path).read_text(encoding="utf-8"))
    return {(line[0], zone): cell for line in lines for zones, cell in zip(header[1:], line[1:])
            for zone in re.split(r" *[,&] *", zones)}


def merged(cells, zones, name):
    """Columns that are printed as one."""
    out = {}
    for (bound, zone), cell in cells.items():
        key = (bound, name if zone in zones else zone)
        assert out.setdefault(key, cell) == cell
    return out


def column(service, path="tests/published/post-2015/post.json"):
    document = json.loads((ROOT / path).read_text(encoding="utf-8"), parse_float=str, parse_int=str)
    found = next(one for one in document["services"] if one["code"] == service)
    return {row[0]: row[1] for row in found["prices"][0]["table"]["rows"]}


PARCELS_2004 = "tests/published/parcel-post-2004/inter-bmc.csv"
PRIORITY_2007 = "tests/published/post-2007/by-zone.csv"


class Grids(unittest.TestCase):
    def read(self, text, *options, code=CLEAN):
        """The grid by (bound, column), and what was said."""
        done = run(["grid", *options, "-"], text)
        said = done.stderr.decode()
        self.assertEqual(done.returncode, code, said + done.stdout.decode())
        if code == REFUSED:
            self.assertEqual(done.stdout, b"")
            return None, said
        header, *lines = rows(done.stdout.decode())
        self.assertEqual(header[0], "bound")
        cells = {(line[0], zone): cell for line in lines for zone, cell in zip(header[1:], line[1:])}
        self.assertEqual(len(cells), len(lines) * (len(header) - 1))
        self.assertTrue(all(len(line) == len(header) for line in lines))
        return cells, said

    def refused(self, text, *words, options=()):
        _, said = self.read(text, *options, code=REFUSED)
        for word in words:
            self.assertIn(word, said)
        return said

    def found(self, name):
        return (HERE / "found" / name).read_text(encoding="utf-8")


class Published(Grids):
    """Lists as publications lay them out; README.md names each and says which text is as it was found."""

    def figures(self, text, first, last):
        """An independent reading of lines: the first figure of each is the bound, the others are prices."""
        lines = text.splitlines()[first - 1 : last]
        return [[figure.replace(",", ".") for figure in re.findall(r"[0-9]+(?:[.,][0-9]+)?", line)] for line in lines]

    def equal(self, cells, names, lines):
        self.assertEqual(cells, {(line[0], name): cell for line in lines for name, cell in zip(names, line[1:])})

    # ---- as found ----

    def test_parcel_post_2004_in_spaces(self):
        cells, said = self.read(self.found("parcel-post-2004-spaces.txt"))
        self.assertEqual(cells, merged(table(PARCELS_2004), "12", "1 & 2"))
        self.assertEqual(len(cells), 32 * 7)
        self.assertIn('removed "$" from 7 cells, line 18', said)
        self.assertIn('the unit of the table is "lb"', said)
        self.assertIn("passed over what stands above, lines 1 to 14", said)

    def test_parcel_post_2004_in_bars(self):
        cells, said = self.read(self.found("parcel-post-2004-bars.txt"))
        printed = merged(table(PARCELS_2004), "12", "1 & 2")
        self.assertEqual(cells, {key: cell for key, cell in printed.items() if int(key[0]) <= 24})
        self.assertIn("removed the word before the zone (Zone 8) from 7 names, line 4", said)

    def test_express_by_country_group_2005(self):
        text = self.found("express-by-group-2005.txt")
        cells, _ = self.read(text)
        self.equal(cells, "12345678", self.figures(text, 8, 28))

    def test_gazette_1999(self):
        text = self.found("gazette-1999.txt")
        self.refused(text, "found 2 tables", "--table")
        cells, said = self.read(text, "--table", "1")
        lines = [[line[-2], line[-1]] for line in self.figures(text, 5, 11)]
        self.equal(cells, ["Standard Service parcel to Zone"], lines)
        self.assertIn("took the upper of the two bounds of 6 rows, lines 6 to 11", said)
        cells, said = self.read(text, "--table", "2", code=DOUBTS)
        self.assertEqual(cells, {("0.5", "Standard Service parcel to Zone 5"): "4.35"})
        self.assertIn("left out \"each additional 0.5kg", said)

    def test_a_shop_of_spare_parts(self):
        text = self.found("spare-parts-shop.txt")
        self.refused(text, "found 2 tables", "under \"Deutschland / Germany\"")
        for number, first in (("1", 8), ("2", 22)):
            cells, said = self.read(text, "--table", number)
            self.equal(cells, ["*"], self.figures(text, first, first + 5))
            self.assertIn("read a comma before decimals in 6 cells", said)
            self.assertIn('the unit of the table is "kg"', said)

    def test_a_publisher_of_games(self):
        text = self.found("game-publisher.txt")
        self.refused(text, "found 2 tables", "under no header, lines 7 to 12")
        cells, said = self.read(text, "--table", "1")
        self.equal(cells, ["Colissimo OM 11", "Colissimo OM 22"],
                   [["500 g", "7", "8"]] + self.figures(text, 17, 21))
        self.assertIn('the unit of the table is "kg"; 1 bound has its own', said)
        cells, _ = self.read(text, "--table", "2")
        self.equal(cells, ["Mondial Relay", "Colissimo"], [["500 g", "0", "8"]] + self.figures(text, 28, 32))

    def test_letters_of_an_island(self):
        # Its header is broken into lines.
        self.refused(self.found("island-letters.txt"), "found 7 rows of prices under no header")

    def test_a_cell_a_line(self):
        for name in ("swabian-parcels", "registered-parcels-2009", "act-of-1882", "post-2015-one-line"):
            with self.subTest(name):
                self.refused(self.found(name + ".txt"), "found no price grid", "each on one line")

    # ---- laid out by us from published figures ----

    def laid_out_2007(self):
        printed = merged(table(PRIORITY_2007), "L12", "L & 1 & 2")
        zones = ["L & 1 & 2", *"345678"]
        return printed, zones, [[bound, *(printed[bound, zone] for zone in zones)] for bound in "12345"]

    def test_priority_2007_in_two_header_rows(self):
        printed, _, lines = self.laid_out_2007()
        text = "Priority Mail\t\t\t\t\t\t\t\n\tZones\t\t\t\t\t\t\nWeight not over (pounds)\tL,1,2\t3\t4\t5\t6\t7\t8\n"
        text += "".join("\t".join([line[0], *("$" + cell for cell in line[1:])]) + "\n" for line in lines)
        cells, said = self.read(text + "* Flat-rate envelope: $4.60\n")
        self.assertEqual(cells, printed)
        self.assertIn("joined 2 header rows, lines 2 to 3, tabs between the columns", said)
        self.assertIn('wrote several zones with "&" in 1 name, line 3', said)
        self.assertIn('removed "$" from 35 cells, lines 4 to 8', said)
        self.assertIn("passed over what stands below, line 9", said)

    def test_priority_2007_in_columns(self):
        printed, _, lines = self.laid_out_2007()
        text = "Weight not over\n(pounds)    Local, 1 & 2       3       4       5       6       7       8\n"
        for line in lines:
            text += line[0].rjust(4) + "".join(cell.rjust(8 if i else 18) for i, cell in enumerate(line[1:])) + "\n"
        cells, said = self.read(text)
        self.assertEqual(cells, {(bound, zone.replace("L ", "Local ")): cell for (bound, zone), cell in printed.items()})
        self.assertIn('the unit of the table is "lb"', said)

    def test_priority_2007_in_decimal_commas(self):
        printed, zones, lines = self.laid_out_2007()
        text = "Gewicht (lbs.);" + ";".join("Zone " + zone for zone in zones) + "\n"
        text += "".join(";".join(cell.replace(".", ",") for cell in line) + "\n" for line in lines)
        cells, said = self.read(text)
        self.assertEqual(cells, printed)
        self.assertIn("read a comma before decimals in 35 cells, lines 2 to 6", said)

    def test_parcel_post_2004_turned_round(self):
        printed = merged(table(PARCELS_2004), "12", "1 & 2")
        bounds = sorted({bound for bound, _ in printed}, key=int)
        text = "Zone," + ",".join(bound + (" lb" if bound == "1" else " lbs.") for bound in bounds) + "\n"
        for zone in ["1 & 2", *"345678"]:
            text += zone + "," + ",".join("$" + printed[bound, zone] for bound in bounds) + "\n"
        cells, said = self.read(text)
        self.assertEqual(cells, printed)
        self.assertIn("turned the grid round", said)

    def test_parcel_post_2004_page_by_page(self):
        printed = merged(table(PARCELS_2004), "12", "1 & 2")
        zones = ["1 & 2", *"345678"]
        header = "Weight not over (pounds),Zones 1 & 2," + ",".join("Zone " + zone for zone in zones[1:]) + "\n"
        text = "Price list\n\n"
        for bound in map(str, range(1, 33)):
            if bound in ("1", "12", "23"):
                text += ("\nPage " + bound + " of the list\n\n" if bound != "1" else "") + header
            text += bound + "," + ",".join("$" + printed[bound, zone] for zone in zones) + "\n"
        cells, said = self.read(text)
        self.assertEqual(cells, printed)
        self.assertIn("passed over what says the header again, 2 lines, lines 18 to 33", said)
        self.assertIn("passed over, between rows, 2 lines, lines 16 to 31", said)

    def first_class_2015(self, half):
        columns = [column(code) for code in ("letter-stamped", "letter-metered", "large-envelope", "parcel")]
        bounds = ["1", "2", "3", "3.5", *map(str, range(4, 13))]
        printed = {(bound, str(i + 1)): cells.get(bound, "") for bound in bounds for i, cells in enumerate(columns)}
        text = "Weight Not Over (ounces) | 1 | 2 | 3 | 4\n"
        for bound in bounds:
            text += " | ".join([half if bound == "3.5" else bound, *(cells.get(bound) or "—" for cells in columns)]) + "\n"
        return {key: cell for key, cell in printed.items()}, text

    def test_first_class_2015_with_half_ounces(self):
        for half in ("3.5", "3 1/2", "3-1/2", "3½", "3.5*", "3.5⁴"):
            printed, text = self.first_class_2015(half)
            with self.subTest(half):
                cells, said = self.read(text)
                self.assertEqual({key: cell for key, cell in cells.items()}, printed)
                self.assertIn("read a dash or N/A as not offered in 20 cells", said)
                self.assertIn('the unit of the table is "oz"', said)

    def test_first_class_2015_with_a_footnote_pasted_on(self):
        # Notice 123 prints 3.5 with the raised figure 4, which is 3.54 where it is pasted.
        _, text = self.first_class_2015("3.54")
        cells, said = self.read(text, code=DOUBTS)
        self.assertEqual(cells["3.54", "1"], "1.15")
        self.assertIn("found the bound 3.54 oz, expected wholes or halves as the others are; perhaps a footnote's figure", said)

    def test_parcel_post_1913_in_cents(self):
        # The Act prints the first pound and each further one; the Jasper County Democrat of 7 December 1912 eleven pounds.
        first = dict(zip(["local", *"12345678"], (5, 5, 6, 7, 8, 9, 10, 11, 12)))
        eleven = dict(zip(["local", *"12345678"], ("15", "35", "46", "57", "68", "79", "1.00", "1.11", "1.32")))
        text = "Zone\tup to 1 lb.\tup to 11 lbs.\n"
        for zone, cents in first.items():
            last = "$" + eleven[zone] if "." in eleven[zone] else eleven[zone] + "¢"
            text += f"{zone}\t{cents}¢\t{last}\n"
        cells, said = self.read(text)
        self.assertEqual(cells, {(bound, zone): value for zone, cents in first.items() for bound, value in
                                 (("1", f"0.{cents:02}"), ("11", eleven[zone] if "." in eleven[zone] else "0." + eleven[zone]))})
        self.assertIn("read cents as hundredths in 15 cells", said)

    def test_ounces_then_pounds(self):
        # The ounces of 2015 over the pounds of 2007, as lists have them.
        ounces, pounds = column("parcel"), {bound: cell for (bound, zone), cell in table(PRIORITY_2007).items() if zone == "L"}
        printed = {**{bound + " oz": cell for bound, cell in ounces.items()}, **pounds}
        expected = {(bound if bound.endswith("oz") else bound + " lb", "1"): cell for bound, cell in printed.items()}
        body = [(bound.split()[0], "oz" if "oz" in bound else "lb", cell) for bound, cell in printed.items()]
        beside = "Weight,Zone 1\n" + "".join(f"{bound} {unit}.,${cell}\n" for bound, unit, cell in body)
        once = "Unit,Weight not over,Zone 1\n"
        lines = "Weight not over;Zone 1\n"
        last = ""
        for bound, unit, cell in body:
            once += f"{unit if unit != last else ''},{bound},{cell}\n"
            lines += ("Ounces\n" if unit == "oz" else "Pounds\n") if unit != last else ""
            lines += f"{bound};{cell}\n"
            last = unit
        for text in (beside, once, lines):
            with self.subTest(text[:30]):
                cells, said = self.read(text)
                # Most bounds are of ounces.
                self.assertIn('the unit of the table is "oz"; 5 bounds have their own', said)
                self.assertEqual({(bound if " " in bound else bound + " oz", zone): cell for (bound, zone), cell in cells.items()},
                                 expected)


class Invented(Grids):
    GOOD = "lb,Zone 1,Zone 2,Zone 3\n1,4.00,4.40,4.90\n2,4.50,5.00,5.60\n3,5.00,5.60,6.30\n4,5.50,6.20,7.00\n5,6.00,6.80,7.70\n"

    def test_clean(self):
        cells, said = self.read(self.GOOD)
        self.assertEqual(cells["5", "3"], "7.70")
        self.assertNotIn("doubt", said)

    def test_the_loader_takes_it(self):
        with tempfile.TemporaryDirectory() as folder:
            tariff = json.loads((ROOT / PARCELS_2004).with_name("parcel-post.json").read_text(encoding="utf-8"))
            text = (ROOT / PARCELS_2004).read_text(encoding="utf-8").replace("\n1,", "\n1 lb.,$").replace("lb,", "lb,Zone ", 1)
            printed = pathlib.Path(folder) / "printed.txt"
            printed.write_text(text, encoding="utf-8")
            done = run(["grid", "--out", folder + "/inter-bmc.csv", str(printed)])
            self.assertEqual(done.returncode, CLEAN, done.stderr.decode())
            (pathlib.Path(folder) / "parcel-post.json").write_text(json.dumps(tariff), encoding="utf-8")
            printed.unlink()
            done = run(["check", folder])
            self.assertEqual(done.returncode, 0, done.stderr.decode())
            self.assertIn(b"all as published", done.stdout)

    def test_a_row_of_another_length(self):
        said = self.refused(self.GOOD.replace("3,5.00,5.60,", "3,5.00,"), ":4:1: error 610: found a row of 2 prices, expected 3 as the header names on line 1")
        self.assertNotIn("line 5", said)
        self.refused(self.GOOD.replace("3,5.00", "3,5.00,5.10"), ":4:1: error 610: found a row of 4 prices, expected 3")
        spaced = "Weight (lb) 1 2 3\n1 4.00 4.40 4.90\n2 4.50 5.60\n3 5.00 5.60 6.30\n"
        self.refused(spaced, ":3:1: error 610: found a row of 2 prices, expected 3 as the header names on line 1")

    def test_a_cell_that_is_no_price(self):
        self.refused(self.GOOD.replace("5.60,6.30", "5.6O,6.30"), ':4:8: error 608: found "5.6O" in column "2", expected a price')

    def with_row(self, row, place, columns, separator=","):
        """A grid of the bounds 1 to 4 where one row is another."""
        lines = [[str(i), *(f"{i + 3}.{10 * k:02}" for k in range(columns))] for i in range(1, 5)]
        lines[place] = row
        header = ["lb", *(f"Zone {k + 1}" for k in range(columns))]
        return "\n".join(separator.join(line) for line in [header, *lines]) + "\n"

    def test_a_row_that_is_offered_nowhere(self):
        for place in (0, 1, 3):
            for columns in (1, 2, 3):
                for cell in ("--", "N/A", "-", ""):
                    for separator in (",", ";", "\t", "|", "   ", " "):
                        if cell == "" and separator in "   ":
                            continue
                        text = self.with_row([str(place + 1)] + [cell] * columns, place, columns, separator)
                        with self.subTest(text):
                            cells, _ = self.read(text)
                            self.assertEqual(len(cells), 4 * columns)
                            for k in range(columns):
                                self.assertEqual(cells[str(place + 1), str(k + 1)], "")

    def test_a_row_that_cannot_be_read(self):
        for place in (0, 1, 3):
            for row in (["call", "call"], ["3.O0", "4.00"], ["free", "TBD"], ["4.00", "$6.60 per lb"], ["call", ""], ["call", "-"],
                        ["call"], ["3.O0"], ["free"]):
                for separator in (",", ";", "\t", "|", "   ", " "):
                    if "" in row and separator in "   " or separator == " " and any(" " in cell for cell in row):
                        continue
                    text = self.with_row([str(place + 1), *row], place, len(row), separator)
                    bad = next(cell for cell in row if cell != "4.00")
                    with self.subTest(text):
                        said = self.refused(text, f'error 608: found "{bad}" in column')
                        self.assertRegex(said.splitlines()[0], f"^[^:]*:{place + 2}:[0-9]+: error 608")

    def test_notes_that_begin_with_figures(self):
        spaced = "lb 1 2 3\n1 4.00 5.00 6.00\n2 5.00 6.00 7.00\n"
        self.assertEqual(len(self.read(spaced + "1 Not for letters\n2 From 1 May\n")[0]), 6)
        self.assertEqual(len(self.read("Post\nUp to 30 kg,Zone 1,Zone 2\n1 kg,4.00,5.00\n2 kg,5.00,6.00\n")[0]), 4)
        self.refused("lb,1,2\n1,4.00,5.00\n2,call\n3,6.00,7.00\n", ":3:1: error 610: found a row of 1 price, expected 2")

    def test_a_first_row_of_words(self):
        for text in ("lb,Zone 1,Zone 2\nLetter,4.10,4.60\n1,5.00,5.50\n2,6.00,6.50\n", "lb,Zone 1\nLetter,4.10\n1,5.00\n2,6.00\n",
                     "lb   Zone 1   Zone 2\nLetter   $4.10   $4.60\n1   $5.00   $5.50\n2   $6.00   $6.50\n"):
            with self.subTest(text):
                cells, said = self.read(text, code=DOUBTS)
                self.assertEqual({key[0] for key in cells}, {"1", "2"})
                self.assertEqual(cells["2", "1"], "6.00")
                self.assertIn(":2: doubt 650: left out \"Letter", said)

    def test_a_zone_that_is_offered_nowhere(self):
        for place in (0, 1, 2):
            lines = ["Local,4.00,5.00", "Near,4.50,5.50", "Far,5.00,6.00"]
            lines[place] = lines[place].split(",")[0] + ",-,-"
            cells, _ = self.read("Zone,1 lb,2 lb\n" + "\n".join(lines) + "\n")
            self.assertEqual(len(cells), 6)
            lines[place] = lines[place].split(",")[0] + ",4.O0,5.00"
            self.refused("Zone,1 lb,2 lb\n" + "\n".join(lines) + "\n", f":{place + 2}:", 'error 608: found "4.O0"')

    def test_commas_that_nothing_settles(self):
        text = "kg;1;2\n1;1,234;1,300\n2;2,234;2,300\n"
        self.refused(text, "error 603", '"1,234"', "--decimal")
        self.assertEqual(self.read(text, "--decimal", "comma")[0]["1", "1"], "1.234")
        self.assertEqual(self.read(text, "--decimal", "point")[0]["1", "1"], "1234")
        self.assertEqual(self.read(text.replace("2,300", "2,300.50"))[0]["2", "2"], "2300.50")
        self.refused(text.replace("2,300", "2.5").replace("1,300", "1,3"), "error 603", "on line 2", "expected one sign before decimals")

    def test_which_are_weights(self):
        text = ",1,2,3\n1,4.00,4.40,4.90\n2,4.50,5.00,5.60\n"
        self.refused(text, "error 604", "found figures both down and across")
        self.refused("Zone" + text, "error 604")
        self.assertEqual(self.read("lb" + text)[0]["2", "3"], "5.60")
        self.assertEqual(self.read("Zone,1 lb,2 lb,3 lb\n1,4.00,4.40,4.90\n2,4.50,5.00,5.60\n")[0]["3", "2"], "5.60")

    def test_a_corner_of_both(self):
        for corner in ("Weight (lb) / Zone", "lb / Zone", "Zones (lbs)", "Zone / kg", "Weight/Zone"):
            for separator in (",", "\t", "   "):
                lines = [[corner, "2", "3"], ["1", "4.00", "5.00"], ["2", "5.00", "6.00"]]
                with self.subTest(corner, separator=separator):
                    self.refused("\n".join(map(separator.join, lines)) + "\n", "error 604")
        # The values' words settle it.
        self.assertEqual(self.read("Weight (lb) / Zone,A,B\n1,4.00,5.00\n2,5.00,6.00\n")[0]["2", "A"], "5.00")
        self.assertEqual(self.read("Zone / Weight (lb),1 lb,2 lb\n2,4.00,5.00\n3,5.00,6.00\n")[0]["2", "3"], "6.00")

    def test_weights_in_a_line_of_their_own(self):
        for separator in (",", "\t", "   "):
            for above in ("Weight (lb)", "Weight (lb)" + separator * 3, separator + "Weight (lb)" + separator * 2):
                lines = [["Zone", "2", "3", "4"], ["1", "5.00", "6.00", "7.00"], ["2", "6.00", "7.00", "8.00"]]
                text = above + "\n" + "\n".join(map(separator.join, lines)) + "\n"
                # In a cell over those of prices it is plain.
                plain = above.startswith(separator) and separator != "   "
                with self.subTest(text):
                    cells, said = self.read(text, code=CLEAN if plain else DOUBTS)
                    self.assertEqual(cells["4", "2"], "8.00")
                    self.assertIn("turned the grid round: zones stand down", said)
                    self.assertIn('the unit of the table is "lb"', said)
                    self.assertEqual(not plain, ':1: doubt 658: found "Weight (lb)" over the corner "Zone"' in said)
        # What says that weights stand down settles it.
        for old, new in (("2,3,4", "A,3,4"), ("1,5", "1 lb,5")):
            text = "Weight (lb)\nZone,2,3,4\n1,5.00,6.00,7.00\n2,6.00,7.00,8.00\n".replace(old, new)
            self.assertEqual(self.read(text)[0]["2", "4"], "8.00")

    def test_words_of_two_readings(self):
        body = "\n1 5.00 6.00 7.00\n2 6.00 7.00 8.00\n"
        for header in ("Zones (lbs) 2 3 4", "Zone Weight (lb) 2 3 4", "Weight (lb)\nZone 2 3 4"):
            self.refused(header + body, "error 604", "of which each word may be said of either")
        for header in ("Weight (lb) Zones 2 3 4", "Weight\n(lb) Zone 2 Zone 3 Zone 4", "Zone\nWeight (lb) 2 3 4", "lb 2 3 4"):
            cells, said = self.read(header + body)
            self.assertEqual(cells["2", "4"], "8.00")
            self.assertIn('took as names of columns the words "2", "3", "4"', said)

    SPACED = "  lb   Zone 2   Zone 3   Zone 4\n   1     5.00     6.00     7.00\n{}\n   3     7.00     8.00     9.00\n"

    def test_cells_that_are_missing_between_spaces(self):
        for row, cells in (("   2     6.00              8.00", ["6.00", "", "8.00"]), ("   2              6.00     8.00", ["", "6.00", "8.00"]),
                           ("   2     6.00     7.00", ["6.00", "7.00", ""]), ("   2              6.00", ["", "6.00", ""]),
                           ("   2                       8.00", ["", "", "8.00"]), ("   2        -                 -", ["", "", ""])):
            with self.subTest(row):
                read, said = self.read(self.SPACED.format(row))
                self.assertEqual([read["2", zone] for zone in "234"], cells)
                self.assertIn("put prices by their places under the columns, and left the others empty, in 1 row, line 3", said)
        # The header alone says where they stand; euros are wider in bytes than in characters.
        read, _ = self.read("  kg   Zone 2   Zone 3   Zone 4\n   1   5,00 €            7,00 €\n   2   6,00 €            8,00 €\n")
        self.assertEqual([read["2", zone] for zone in "234"], ["6.00", "", "8.00"])
        read, _ = self.read("Zone    1 lb   2 lb   3 lb\nLocal   4.00   5.00   6.00\nNear    4.50          6.50\n")
        self.assertEqual([read[bound, "Near"] for bound in "123"], ["4.50", "", "6.50"])

    def test_cells_that_stand_nowhere_between_spaces(self):
        for row in ("         5.50     6.50     7.50", "   2     6.00 \t   8.00", "   2     6.00 7.00"):
            with self.subTest(row):
                self.refused(self.SPACED.format(row), ":3:1: error 610: found a row of", "a dash in the place of each")
        # As long as the others, with a stray figure behind.
        self.refused(self.SPACED.format("   2     6.00              8.00     9.00"), ":3:1: error 610: found prices that do not stand under")
        self.refused("lb   Zone 2   Zone 3   Zone 4\n1   5.00   6.00   7.00\n2   6.00   7.00\n10   15.00   16.00   17.00\n", ":3:1: error 610")

    def test_columns_that_are_empty(self):
        for separator in (",", ";", "\t"):
            text = "\n".join(map(separator.join, [["lb", "1", "2", "3"], ["1", "4.00", "5.00", ""], ["2", "5.00", "6.00", ""]]))
            self.assertEqual(self.read(text)[0]["2", "3"], "")

    def test_a_bound_alone(self):
        for separator in (",", "   "):
            text = "\n".join(map(separator.join, [["lb", "1", "2"], ["1", "4.00", "5.00"], ["{}"], ["3", "5.00", "6.00"]])) + "\n{}"
            self.assertIn(':3: doubt 650: left out "2": a row that has lost its prices', self.read(text.format("2", ""), code=DOUBTS)[1])
            self.assertIn(':5: doubt 650: left out "4 lb": a row', self.read(text.format("", "4 lb\n"), code=DOUBTS)[1])
            self.assertIn("passed over, between rows, 1 line, line 3", self.read(text.format("17", "\n\nPage 3\n"))[1])

    def test_what_is_done_to_bounds(self):
        text = ("Weight,Zone 1\nNot over 1 lb,5.00\nNot over 2 lbs.,6.00\nover 2 to 3 lb,7.00\n4 lb max.,8.00\nup to 5 (lb),9.00\n"
                "5 lb 8 oz,9.50\n≤ 6 lb,9.70\n6½ lb*,9.80\nLetters up to 7 lb,9.90\n")
        cells, said = self.read(text)
        self.assertEqual([bound for bound, _ in cells], ["1", "2", "3", "4", "5", "5.5", "6", "6.5", "7"])
        for words in ('removed "Not over" from 2 bounds, lines 2 to 3', 'read the unit "lb" beside the figure of 9 bounds, lines 2 to 10',
                      "took the upper of the two bounds of 1 row, line 4", 'removed "max." from 1 bound, line 5',
                      'removed "up to" from 1 bound, line 6', "added the ounces to the pounds of 1 bound, line 7",
                      'removed "≤" from 1 bound, line 8', 'removed the footnote mark "*" from 1 bound, line 9',
                      "read the fraction of 1 bound, line 9", "took the bound out of the words of 1 row, line 10"):
            self.assertIn(words, said)
        self.assertNotIn('"(', said)
        said = self.read("Zone,up to 1 lb,not over 2 lb\nA,4.00,5.00\nB,5.00,6.00\n")[1]
        self.assertIn('removed "not over" from 1 bound, line 1', said)

    def test_spaces_of_sheets(self):
        cells, said = self.read("Weight\u00a0(lb),Zone\u00a01,Zone\u202f2\n1,4.00\u00a0$,4.40\u00a0$\n2,\u00a04.50\u00a0$,5.00\u00a0$\n")
        self.assertEqual(cells["2", "2"], "5.00")
        self.assertIn('the unit of the table is "lb"', said)
        for space in "\u00a0\u202f\u2009\u2007":
            cells, said = self.read(f"g;A;B\n500;4,00;5,00\n1{space}000;1{space}005,00;1{space}006,00\n")
            self.assertEqual(cells["1000", "B"], "1006.00")
            self.assertIn("removed what parts thousands from 1 bound, line 3", said)
        # The mark of byte order, where files were put one behind the other.
        self.assertIn('the unit of the table is "lb"', self.read("Prices\n\ufeff" + self.GOOD)[1])

    def test_columns_with_nothing(self):
        for text in ("lb,,1,2\n1,,4.00,4.40\n2,,4.50,5.00\n", "Prices\n,lb,,1,,2,\n,1,,4.00,,4.40,\n,2,,4.50,,5.00,\n",
                     "lb\t1\t\t2\n1\t4.00\t\t4.40\n2\t4.50\t\t5.00\n"):
            cells, said = self.read(text)
            self.assertEqual([cells[key] for key in (("1", "1"), ("1", "2"), ("2", "1"), ("2", "2"))], ["4.00", "4.40", "4.50", "5.00"])
            self.assertRegex(said, "took out [12] columns? with nothing in any line")

    def test_columns_that_are_no_zones(self):
        for name in ("%", "Increase (%)"):
            self.refused(f"lb,1,{name},2\n1,4.00,5.9,4.40\n2,4.50,5.9,5.00\n", ":1:6: error 611", "a column of percentages")
        self.refused("No.,Weight (lb),1,2\n1,1,4.00,4.40\n2,2,4.50,5.00\n", "error 611", "a second column of weights")

    def test_a_zone_in_two_columns(self):
        for header in ("1 & 2;2", "Zones 1-4;Zone 3", "2;1,2"):
            self.refused(f"lb;{header}\n1;4.00;5.00\n2;5.00;6.00\n", "error 611: found the zone", "twice, expected it once")

    def test_what_is_no_price(self):
        for cell in ("-4.50", "(4.50)", "4.50 1", "4.50 a", "Free", "4 . 50", "4.50-5.00", "4.50 / 5.00", "4.5E0", "=B2+0.5", "5.9%", "\u0664.\u0665\u0660"):
            with self.subTest(cell):
                self.refused(self.GOOD.replace("5.60,6.30", cell + ",6.30"), f':4:8: error 608: found "{cell}" in column "2"')
        self.assertIn("doubt 652", self.read(self.GOOD.replace("5.60,6.30", "0,6.30"), code=DOUBTS)[1])

    def test_rows_that_are_no_weights(self):
        for label in ("Total", "Average", "02-Jan", "*", ""):
            text = self.GOOD.replace("\n4,", f"\n{label},")
            self.assertIn(":5: doubt 650: left out", self.read(text, code=DOUBTS)[1])
        self.assertIn("passed over what stands below, line 7", self.read(self.GOOD + "Call 0800 555 010, ext 5, 6\n")[1])
        for order in ("3,5.00\n2,4.50\n1,4.00", "1,4.00\n1,4.10\n2,4.50"):
            self.refused("lb,A\n" + order + "\n", "error 607")

    def test_units_of_bounds_without_one(self):
        for header, rows_, unit, bounds in (
            ("Weight (lb)", ("8 oz", "10"), "lb", ["8 oz", "10"]),
            ("Weight (kg)", ("500 g", "1", "2"), "kg", ["500 g", "1", "2"]),
            ("Weight", ("8 oz", "10"), "oz", ["8", "10"]),
        ):
            text = header + ",Zone 3\n" + "".join(f"{row},{i + 5}.60\n" for i, row in enumerate(rows_))
            cells, said = self.read(text)
            self.assertEqual([bound for bound, _ in cells], bounds)
            self.assertIn(f'the unit of the table is "{unit}"', said)

    def test_the_unit_that_is_asked_for(self):
        self.refused(self.GOOD, ':2:1: error 605: found the unit "lb", expected "kg" as --unit says', options=("--unit", "kg"))
        self.read(self.GOOD, "--unit", "lb")

    def test_figures_of_bounds(self):
        said = self.read("kg;A;B\n0,5;4,00;5,00\n1.000;5,00;6,00\n")[1]
        self.assertIn("read a comma before decimals in 1 bound, line 2", said)
        self.assertIn("removed what parts thousands from 1 bound, line 3", said)

    def test_a_sentence_over_the_header(self):
        for separator in (" ", "   "):
            body = ["1", "4.00", "5.00", "6.00"], ["2", "5.00", "6.00", "7.00"]
            for names in ("ABC", "BC"):
                for above in ("Max weight 30 kg", "Up to 30 kg", "Max weight 30"):
                    text = "\n".join([above, *map(separator.join, [["Weight (kg)", *names], *body])]) + "\n"
                    with self.subTest(text):
                        if names == "ABC":
                            self.assertEqual(self.read(text)[0]["2", "A"], "5.00")
                        else:
                            self.refused(text, "error 601")

    def test_a_price_of_each_further_pound(self):
        for last in ("Each further lb", "Over 3 lb per lb", "each additional pound"):
            for zones in ("12", "AB"):
                for separator in (",", ";", "   "):
                    lines = [["Zone", "1 lb", "3 lb", last], *([zone, "4.00", "5.00", "1.00"] for zone in zones)]
                    with self.subTest(lines, separator=separator):
                        said = self.refused("\n".join(map(separator.join, lines)) + "\n", "error 60")
                        if zones == "12":
                            self.assertIn(f'found "{last}" beside the bound "1 lb"', said)

    def test_two_columns_of_weights(self):
        for second in ("up to (lb)", "lb", "Weight (lb)", "lbs."):
            self.refused(f"Weight (kg),{second},Zone 2,Zone 3\n1,2.2,4.00,5.00\n2,4.4,5.00,6.00\n", "1:13: error 611",
                         f'found "{second}", a second column of weights')
        self.assertEqual(self.read("Weight (kg),MG,KG\n1,4.00,5.00\n2,5.00,6.00\n")[0]["1", "KG"], "5.00")

    def test_its_own_output(self):
        for text in (self.GOOD, "Weight (kg),Zone 3\n500 g,5.60\n1,6.20\n2,--\n"):
            first = run(["grid", "-"], text).stdout.decode()
            unit = "lb" if text == self.GOOD else "kg"
            again = run(["grid", "--unit", unit, "-"], first)
            self.assertEqual((again.returncode, again.stdout.decode()), (CLEAN, first), again.stderr.decode())

    def test_zone_in_a_line_of_its_own(self):
        for separator in (",", "\t", "   ", " "):
            for above in ("Zone", "Zones" + separator * 3 if separator in ",\t" else "          Zone"):
                lines = [["Weight (lb)", "2", "3", "4"], ["1", "4.00", "5.00", "6.00"], ["2", "5.00", "6.00", "7.00"]]
                text = above + "\n" + "\n".join(map(separator.join, lines)) + "\n"
                with self.subTest(text):
                    cells, said = self.read(text)
                    self.assertEqual(cells["2", "4"], "7.00")
                    self.assertNotIn("turned", said)

    def test_two_tables(self):
        text = "Retail\n" + self.GOOD + "\nCommercial\n" + self.GOOD.replace("4.00", "3.00")
        self.refused(text, 'found 2 tables: 1, lines 2 to 7, under "Retail"; 2, lines 10 to 15, under "Commercial"')
        self.assertEqual(self.read(text, "--table", "2")[0]["1", "1"], "3.00")
        self.refused(text, "found 2 tables, expected at least 3", options=("--table", "3"))

    def test_two_currencies(self):
        self.refused(self.GOOD.replace("4.00", "$4.00").replace("6.30", "€6.30"), "error 609")
        self.read(self.GOOD.replace("4.00", "US$4.00").replace("6.30", "6.30 USD"))

    def test_bounds(self):
        self.refused(self.GOOD.replace("\n4,", "\n2,"), "error 607", "found the bound 2 lb after 3 lb (line 4)")
        self.refused(self.GOOD.replace("\n4,", "\nunder 4,"), "error 606", "a bound that is itself inside")
        self.refused(self.GOOD.replace("\n4,", "\n4 cm,"), "expected weights or lengths alone")
        self.assertIn("found no unit of the bounds", self.read(self.GOOD.replace("lb,", "Weight,"), code=DOUBTS)[1])
        self.assertIn('unit of the table is "kg"', self.read(self.GOOD.replace("lb,", "Weight,"), "--unit", "kg")[1])
        self.refused(self.GOOD, "expected one of lb, oz", options=("--unit", "stone"))
        cells, said = self.read(self.GOOD + "Over 5,7.00,7.90,9.10\n", code=DOUBTS)
        self.assertEqual(len(cells), 15)
        self.assertIn("it has no upper bound", said)
        self.assertIn("left out \"each additional lb", self.read(self.GOOD + "each additional lb,0.50,0.60,0.70\n", code=DOUBTS)[1])
        cells, _ = self.read(self.GOOD.replace("\n2,", "\n1 lb 8 oz,"))
        self.assertEqual(cells["1.5", "1"], "4.50")
        self.assertEqual(self.read(self.GOOD.replace("\n2,", "\nover 1 to 2,"))[0]["2", "1"], "4.50")
        self.assertIn("doubt 657", self.read(self.GOOD.replace("\n3,", "\nover 1 to 3,"), code=DOUBTS)[1])
        self.refused(self.GOOD.replace("Zone 2", "Zone 1"), "601")

    def test_doubts(self):
        for old, new, number, words in (
            ("5.00,5.60,6.30", "5.00,5.60,3.60", 651, ":4: doubt 651: found 3.60 for 3 lb in column \"3\", expected at least 5.60 as in column \"2\"; perhaps 6.30, two figures swapped"),
            ("5.60,6.30", "6.50,6.30", 652, "perhaps 5.60, two figures swapped"),
            ("5,6.00,6.80,7.70", "5,6.00,6.80,11.70", 653, "expected a step like those around it"),
            ("6.20", "6.201", 655, "perhaps a footnote's figure"),
            ("3,5.00,5.60,6.30\n", "", 654, "expected 3 between them in a series of 1"),
        ):
            with self.subTest(new):
                text = self.GOOD.replace(old, new)
                if number == 654:
                    text += "6,6.50,7.40,8.40\n"
                _, said = self.read(text, code=DOUBTS)
                self.assertIn(f"doubt {number}: ", said)
                self.assertIn(words, said)

    def test_hostile(self):
        for text, words in (
            (b"", "found an empty file, expected a price grid"),
            (b"lb,1\n1,\xff\n", "expected UTF-8 (save the file again as UTF-8)"),
            ("lb,1\n1,2\n".encode("utf-16"), "found UTF-16, expected UTF-8 (save the file again in that encoding)"),
            (b"lb,1\x00\n1,2\n", "zero byte"),
            (b"1 " * (8 << 20), "2000000 cells"),
            (b"," * (16 << 20), "2000000 cells"),
            (b"x\n" * (8 << 20), "1000000 lines"),
            (b"1,2\n" * (4 << 20), "error"),
            (b"\"" * (16 << 20), "found no price grid"),
            (b"a,\"b" * (2 << 20), "error"),
            (b"x" * (16 << 20) + b"y", "at most 16 MiB"),
            (b"lb" + b",Zone 1" * 1_000_000 + b"\n1" + b",2" * 1_000_000 + b"\n", "2000000 cells"),
            (b"not over " * (1 << 20), "found no price grid"),
            (b"lb,1,2\n" + b"".join(b"%d,1,2\n" % i for i in range(1, 20_000)), "at most 10000"),
        ):
            with self.subTest(text[:20]):
                self.refused(text, words)

    def seconds(self, text):
        """Of the processor, the least of three runs."""
        def once():
            before = resource.getrusage(resource.RUSAGE_CHILDREN)
            run(["grid", "-"], text)
            after = resource.getrusage(resource.RUSAGE_CHILDREN)
            return after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime

        return min(once() for _ in range(3))

    def test_prose_takes_no_longer_than_prices(self):
        # Words are asked of many lists: a list's terms and conditions took eleven times as long as its prices.
        random_ = random.Random(3)
        words = ("the parcel is sent by our carrier to a place that you name and each pound over the first is charged as "
                 "printed in this list of prices which holds from 3 March 2026 unless told otherwise zone weight up to 30 kg").split()
        prose = "\n".join(" ".join(random_.choices(words, k=11)) for _ in range(40_000))
        prices = "lb " + " ".join(f"Zone {i}" for i in range(1, 9)) + "\n"
        prices += "".join(f"{i} " + " ".join(f"{i + k}.{k:02}" for k in range(8)) + "\n" for i in range(1, 10_000))
        self.assertLess(self.seconds(prose) / len(prose), 5 * self.seconds(prices) / len(prices))

    def test_out(self):
        with tempfile.TemporaryDirectory() as folder:
            out = pathlib.Path(folder) / "grid.csv"
            self.assertEqual(run(["grid", "--out", str(out), "-"], "nothing").returncode, REFUSED)
            self.assertFalse(out.exists())
            out.write_text(self.GOOD, encoding="utf-8")
            link = pathlib.Path(folder) / "link.csv"
            link.symlink_to("none")
            for there, source in ((out, "-"), (out, str(out)), (link, "-"), (link, str(out))):
                done = run(["grid", "--out", str(there), source], self.GOOD.replace("4.00", "3.00"))
                self.assertEqual((done.returncode, done.stdout), (REFUSED, b""))
                self.assertIn(f"tarewise grid: --out: found {there} already there, expected a new name", done.stderr.decode())
                self.assertEqual(out.read_text(encoding="utf-8"), self.GOOD)
            link.unlink()
            self.assertEqual(run(["grid", "--out", "/dev/null", "-"], self.GOOD).returncode, CLEAN)
            out.unlink()
            done = run(["grid", "--out", str(out), "-"], self.GOOD)
            self.assertEqual((done.returncode, done.stdout), (CLEAN, b""))
            self.assertTrue(out.read_text(encoding="utf-8").startswith("bound,1,2,3\n1,4.00,4.40,4.90\n"))
            self.assertEqual([path.name for path in pathlib.Path(folder).iterdir()], ["grid.csv"])

    def test_arguments(self):
        for arguments, words in ((["grid"], "found 0 files"), (["grid", "a", "b"], "found 2 files"), (["grid", "/none/x"], "501"),
                                 (["grid", "--table", "0", "-"], "--table"), (["grid", "--decimal", "dot", "-"], "--decimal")):
            done = run(arguments, self.GOOD)
            self.assertEqual(done.returncode, REFUSED)
            self.assertIn(words, done.stderr.decode())


class RoundTrip(Grids):
    """A random grid printed in a random style is read back equal, or refused."""

    CASES = 300

    def grid(self, random_):
        rows_, columns = random_.randint(2, 12), random_.randint(1, 9)
        unit = random_.choice(["lb", "oz", "kg", "g"])
        bound, bounds = 0, []
        for _ in range(rows_):
            bound += random_.choice([50, 100, 100, 100, 200, 500]) if unit != "g" else 10_000
            bounds.append(bound)
        prices = []
        for row in range(rows_):
            cents = random_.randint(200, 900) + row * random_.randint(0, 300) * 10
            line = []
            for _ in range(columns):
                cents += random_.randint(0, 120)
                line.append(None if random_.random() < 0.06 else cents * random_.choice([1, 1, 1, 1]))
            prices.append(line)
        if random_.random() < 0.2:  # a row that is offered nowhere
            prices[random_.randrange(rows_)] = [None] * columns
        return unit, bounds, prices

    def printed(self, random_, unit, bounds, prices):
        comma = random_.random() < 0.4
        sign = random_.choice(["", "", "$", "€", "£", "USD "])
        behind = sign.strip() and random_.random() < 0.3
        separator = random_.choice(["\t", ";", " | ", ",", "   ", " "])
        if comma and separator == ",":
            comma = False
        point = "," if comma else "."
        thousands = random_.choice(["", ".", " "] if comma else ["", ",", " "])
        if thousands.strip() == separator.strip() or not separator.strip():
            thousands = ""
        dash = random_.choice(["-", "—", "N/A", "n/a", "–"])
        places = random_.choice([2, 2, 2, 2, 2, 2, 3])
        words = {"lb": ["lb", "lbs.", "pounds"], "oz": ["oz", "oz.", "ounces"], "kg": ["kg", "kg."], "g": ["g", "grams"]}[unit]

        def money(cents):
            if cents is None:
                return dash
            whole, part = divmod(cents, 100)
            text = f"{whole:,}".replace(",", thousands) + point + f"{part:02}" + "0" * (places - 2)
            text = (text + " " + sign.strip() if behind else sign + text) if sign else text
            return text + random_.choice(["", "", "", "", "*"])

        def weight(hundredths):
            whole, part = divmod(hundredths, 100)
            return f"{whole}{point}{part:02}".rstrip("0").rstrip(point) if part else str(whole)

        in_header = random_.random() < 0.5
        before = random_.choice(["", "", "up to ", "not over "])
        labels = [before + weight(bound) + ("" if in_header else " " + random_.choice(words)) for bound in bounds]
        zone = random_.choice(["Zone ", "", "Zone "])
        names = [zone + str(i + 1) for i in range(len(prices[0]))]
        corner = random_.choice(["Weight", "Weight not over"]) + (f" ({random_.choice(words)})" if in_header else "")
        turned = random_.random() < 0.25 and not in_header and separator.strip()
        table_ = [[corner, *names]] + [[label, *map(money, line)] for label, line in zip(labels, prices)]
        if turned:
            table_ = [list(line) for line in zip(*table_)]
            table_[0][0] = "Zone"
        lines = [separator.join(line) for line in table_]
        above = random_.choice([[], ["Harbourline Post", ""], ["Price list, 3 August"], ["Prices of 2026", "All with tax"]])
        below = random_.choice([[], ["", "* from the counter"], ["Prices may change."]])
        return "\n".join([*above, *lines, *below]) + "\n"

    def test_random(self):
        random_ = random.Random(20260803)
        read = 0
        for case in range(self.CASES):
            unit, bounds, prices = self.grid(random_)
            text = self.printed(random_, unit, bounds, prices)
            with self.subTest(case, text=text):
                done = run(["grid", "-"], text)
                if done.returncode == REFUSED:
                    continue
                read += 1
                header, *lines = rows(done.stdout.decode())
                self.assertEqual(header[1:], [str(i + 1) for i in range(len(prices[0]))])
                self.assertIn(f'the unit of the table is "{unit}"', done.stderr.decode())
                self.assertEqual([[round(float(line[0]) * 100), *(round(float(cell) * 100) if cell else None for cell in line[1:])]
                                  for line in lines], [[bound, *line] for bound, line in zip(bounds, prices)])
        self.assertGreater(read, self.CASES * 8 // 10)


if __name__ == "__main__":
    tested.main(__doc__)
