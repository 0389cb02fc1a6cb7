#!/usr/bin/env python3
"""The runner of worked prices notices what differs and what is not written as it should be.

    check_runner.py RUNNER ROOT
"""

import pathlib
import subprocess
import sys
import tempfile

HEAD = """tables tests/cases/tables
date 2026-02-01
service harbourline/extras
zone N
"""
PARCEL = "parcel 1 lb; 10 x 8 x 5 in\n"
RIGHT = PARCEL + "expect 10.00; billable 1 lb; from actual; lines base 10.00\n"

# A file, and the words that its output must hold (exit 1), or None (exit 0).
FILES = {
    "right": (HEAD + RIGHT, None),
    "comments and blanks": ("# a comment\n\n  " + HEAD + "   " + RIGHT + "\t\n", None),
    "a wrong total": (HEAD + PARCEL + "expect 10.01\n", ":6: harbourline/extras, 1 lb; 10 x 8 x 5 in\n  expected 10.01\n  got      10.00;"),
    "a wrong billable weight": (HEAD + PARCEL + "expect 10.00; billable 2 lb\n", "expected 10.00; billable 2 lb"),
    "a wrong rule": (HEAD + PARCEL + "expect 10.00; from minimum\n", "expected 10.00; from minimum"),
    "a line missing": (HEAD + "extras signature\n" + PARCEL + "expect 12.40; lines base 10.00, signature 2.00\n",
                       "hand-fee 0.40  ("),
    "a line too many": (HEAD + PARCEL + "expect 10.00; lines base 10.00, fuel 0\n", "expected 10.00; lines base 10.00, fuel 0.00"),
    "lines in another order": (HEAD + "extras signature\n" + PARCEL + "expect 12.40; lines base 10.00, signature 2.00, hand-fee 0.40\n",
                               "1 cases, 1 differ"),
    "refused and not priced": (HEAD + PARCEL + "refused over_limit\n", "expected refused over_limit\n  got      10.00;"),
    "priced and refused": (HEAD + "extras cold\n" + PARCEL + "expect 10.00\n",
                           "expected 10.00\n  got      refused extra_not_offered\n           extra_not_offered: \"cold\""),
    "a reason missing": (HEAD.replace("extras", "refusals").replace("zone N", "zone 1") +
                         "parcel 70.1 lb; 10 x 8 x 5 in; contents live\nrefused over_limit\n",
                         "got      refused contents_not_accepted over_limit"),
    "reasons in another order": (HEAD.replace("extras", "refusals").replace("zone N", "zone 1") +
                                 "parcel 70.1 lb; 10 x 8 x 5 in; contents live\nrefused over_limit contents_not_accepted\n", "1 differ"),
    "an unknown word": (HEAD + "colour red\n" + RIGHT, ":5: unknown word colour"),
    "an unknown part": (HEAD + "parcel 1 lb; 10 x 8 x 5 in; colour red\n", ":5: unknown part of a parcel: colour red"),
    "an unreadable weight": (HEAD + "parcel 1 stone; 10 x 8 x 5 in\n", ":5: found \"1 stone\", expected a weight"),
    "an unreadable total": (HEAD + PARCEL + "expect ten\n", ":6: found \"ten\", expected an amount of money"),
    "an unknown reason": (HEAD + PARCEL + "refused too_big\n", ":6: unknown reason too_big"),
    "a parcel without an answer": (HEAD + PARCEL, "the last parcel has no answer"),
    "two parcels": (HEAD + PARCEL + RIGHT, ":6: expected the answer of the parcel above, found parcel"),
    "an answer without a parcel": (HEAD + "expect 10.00\n", ":5: an answer without a parcel"),
    "tables not first": (HEAD.replace("tables tests/cases/tables\n", "") + RIGHT, ":1: expected tables first in the file"),
    "tables twice": (HEAD + "tables tests/cases/tables\n" + RIGHT, ":5: expected tables first in the file, and once"),
    "no zone": (HEAD.replace("zone N\n", "") + RIGHT, ":4: expected a zone, or from and to"),
    "no case": (HEAD, "no case"),
    "an unknown zone": (HEAD.replace("zone N", "zone Q") + RIGHT, "no tariff of harbourline has a zone Q"),
    "an unknown service": (HEAD.replace("extras", "extra") + RIGHT, "no service extra of harbourline on 2026-02-01"),
    "an unknown carrier": (HEAD.replace("harbourline", "fenwick") + RIGHT, "error: no tariff of fenwick"),
    "a folder that is not there": (HEAD.replace("cases/tables", "cases/nowhere") + RIGHT, "tests/cases/nowhere"),
}


def main(runner, root):
    wrong = 0
    with tempfile.TemporaryDirectory() as folder:
        path = pathlib.Path(folder) / "one.case"
        for name, (text, words) in FILES.items():
            path.write_text(text, encoding="utf-8")
            done = subprocess.run([runner, root, str(path)], capture_output=True, text=True, check=False)
            good = done.returncode == (0 if words is None else 1) and (words is None or words in done.stdout)
            if not good:
                wrong += 1
                print(f"{name}: exit {done.returncode}, expected {words!r} in\n{done.stdout}{done.stderr}")
    print(f"{len(FILES)} files, {wrong} wrong")
    return 1 if wrong else 0


if __name__ == "__main__":
    sys.exit(main(*sys.argv[1:]))
