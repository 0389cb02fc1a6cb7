#!/usr/bin/env python3
"""Writes the exhaustive case files, every cell of the published price lists.

  make_cases.py          writes them
  make_cases.py --check  writes nothing; names each file that differs and exits 1

The lists stand here as they were printed, a second time and apart from the tables that are priced, so that a slip in
either shows. Each cell is asked for at its bound and just past the bound below.
"""

import decimal
import pathlib
import sys

HERE = pathlib.Path(__file__).resolve().parent
NOTE = "# Written by make_cases.py; change that, not this file.\n"

# Act of 24 August 1912, ch. 389, sec. 8, 37 Stat. 557-558: cents for the first pound, for each further pound or part;
# and the 11-lb column as printed in the Jasper County Democrat, 7 December 1912.
PARCEL_POST_1913 = {
    "local": (5, 1, "0.15"),
    "1": (5, 3, "0.35"),
    "2": (6, 4, "0.46"),
    "3": (7, 5, "0.57"),
    "4": (8, 6, "0.68"),
    "5": (9, 7, "0.79"),
    "6": (10, 9, "1.00"),
    "7": (11, 10, "1.11"),
    "8": (12, 12, "1.32"),
}

# Domestic Mail Manual R700.1.1, Parcel Post, Inter-BMC/ASF machinable, archive of 9 December 2004: weight not over
# (pounds), then zones 1&2, 3, 4, 5, 6, 7, 8.
INTER_BMC_2004 = """
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
32 8.50 10.99 14.22 18.29 21.16 24.37 32.00
"""

# Quick Service Guide 120, July 2007: weight not over (pounds), then zones L,1,2 in one column, 3, 4, 5, 6, 7, 8.
POST_2007 = """
1 4.60 4.60 4.60 4.60 4.60 4.60 4.60
2 4.60 4.90 5.30 6.20 6.55 7.00 7.50
3 5.05 5.70 6.40 8.25 9.10 9.65 10.55
4 5.70 6.65 7.70 10.20 11.10 12.20 13.45
5 6.30 7.55 8.90 11.90 12.90 14.35 15.85
"""

# Notice 123, First-Class Mail, effective 31 May 2015: weight not over (ounces), letter stamped, letter metered, large
# envelope, parcel; "-" where nothing is printed.
POST_2015 = """
1 0.49 0.485 0.98 2.54
2 0.71 0.705 1.20 2.54
3 0.93 0.925 1.42 2.54
3.5 1.15 1.145 - -
4 - - 1.64 2.74
5 - - 1.86 2.94
6 - - 2.08 3.14
7 - - 2.30 3.34
8 - - 2.52 3.54
9 - - 2.74 3.74
10 - - 2.96 3.94
11 - - 3.18 4.14
12 - - 3.40 4.34
"""


def rows(text):
    return [line.split() for line in text.strip().splitlines()]


def heading(tables, lines):
    return NOTE + "".join(f"# {line}\n" for line in lines) + f"\ntables tests/published/{tables}\n"


def parcel_post_1913():
    out = heading("parcel-post-1913", [
        "Parcel post of 1 January 1913: Act of 24 August 1912, ch. 389, sec. 8, 37 Stat. 557-558. All nine zones by",
        "all eleven pounds, each at the whole pound and at a tenth of an ounce past the pound below.",
        "The 11-lb prices are as printed in the Jasper County Democrat, 7 December 1912; the rest are derived.",
    ]) + "service post-1913/parcel\ndate 1913-01-01\n"
    for zone, (first, each, at_eleven) in PARCEL_POST_1913.items():
        out += f"\nzone {zone}\n"
        for pounds in range(1, 12):
            cents = first + each * (pounds - 1)
            price = f"{cents // 100}.{cents % 100:02}"
            if pounds == 11 and price != at_eleven:
                raise ValueError(f"zone {zone}: {price} by the Act, {at_eleven} in print")
            past = f"{pounds - 1} lb 0.1 oz" if pounds > 1 else "0.1 oz"
            for weight in (past, f"{pounds} lb"):
                out += f"parcel {weight}; 12 x 9 x 6 in\nexpect {price}\n"
        out += "parcel 11 lb 0.1 oz; 12 x 9 x 6 in\nrefused over_limit\n"
        # 24 + 2 x (12 + 12) = 72 in
        out += f"parcel 1 lb; 24 x 12 x 12 in\nexpect {first // 100}.{first % 100:02}\n"
        out += "parcel 1 lb; 24.1 x 12 x 12 in\nrefused over_limit\n"
    return out


def just_past(below):
    """A hundredth past the bound below."""
    return decimal.Decimal(below) + decimal.Decimal("0.01")


def grid(text, zones, service, date, tables, lines, last):
    out = heading(tables, lines) + f"service {service}\ndate {date}\n"
    table = rows(text)
    for zone, column in zones.items():
        out += f"\nzone {zone}\n"
        below = "0"
        for row in table:
            for weight in (just_past(below), row[0]):
                out += f"parcel {weight} lb; 10 x 8 x 5 in\nexpect {row[column]}; billable {row[0]} lb\n"
            below = row[0]
        out += f"parcel {just_past(below)} lb; 10 x 8 x 5 in\nrefused {last}\n"
    return out


def parcel_post_2004():
    zones = {"1": 1, "2": 1, "3": 2, "4": 3, "5": 4, "6": 5, "7": 6, "8": 7}
    return grid(INTER_BMC_2004, zones, "post-2004/parcel", "2004-12-09", "parcel-post-2004", [
        "Domestic Mail Manual R700.1.1, Parcel Post, Inter-BMC/ASF machinable, archive of 9 December 2004: every cell,",
        "at its bound and a hundredth of a pound past the bound below. Zones 1 and 2 are printed as one column.",
        "Rows above 32 lb were not read, so 32.01 lb has no price here.",
    ], "no_price")


def post_2007():
    zones = {"L": 1, "1": 1, "2": 1, "3": 2, "4": 3, "5": 4, "6": 5, "7": 6, "8": 7}
    return grid(POST_2007, zones, "post-2007/by-zone", "2007-07-01", "post-2007", [
        "Quick Service Guide 120, July 2007, Priority Mail: every cell, at its bound and a hundredth of a pound past the",
        "bound below. Zones L, 1 and 2 are printed as one column. Rows above 5 lb were not read, so 5.01 lb has no price.",
    ], "no_price")


def post_2015():
    out = heading("post-2015", [
        "Notice 123, First-Class Mail, effective 31 May 2015: every cell, at its bound and a hundredth of an ounce past the",
        "bound below. Nothing is printed past 3.5 oz for letters and past 12 oz for the others: no price.",
    ]) + "date 2015-05-31\nzone N\n"
    columns = {"letter-stamped": 1, "letter-metered": 2, "large-envelope": 3, "parcel": 4}
    for service, column in columns.items():
        out += f"\nservice post-2015/{service}\n"
        sides = "6 x 4 x 2 in" if service == "parcel" else "6 x 4 x 0.1 in; shape flat"
        below = "0"
        for row in rows(POST_2015):
            if row[column] == "-":
                continue
            for weight in (just_past(below), row[0]):
                out += f"parcel {weight} oz; {sides}\nexpect {row[column]}\n"
            below = row[0]
        out += f"parcel {just_past(below)} oz; {sides}\nrefused no_price\n"
    return out


FILES = {
    HERE / "parcel-post-1913.case": parcel_post_1913,
    HERE / "parcel-post-2004.case": parcel_post_2004,
    HERE / "post-2007.case": post_2007,
    HERE / "post-2015.case": post_2015,
}


def main(args):
    if args not in ([], ["--check"]):
        print(__doc__, file=sys.stderr)
        return 2
    differing = 0
    for path, make in FILES.items():
        text = make()
        if not args:
            path.write_text(text, encoding="utf-8")
        elif not path.exists() or path.read_text(encoding="utf-8") != text:
            print(f"{path.relative_to(HERE.parent.parent)} differs from what make_cases.py writes", file=sys.stderr)
            differing += 1
    return 1 if differing else 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
