#!/usr/bin/env python3
"""What the demonstration tables answer for a fixed sample of the catalogue, as text, so that a change shows its effect in the diff.

    snapshots.py --command PATH            compares with the files beside this script
    snapshots.py --command PATH --write    writes them again

Every tenth good of tables/catalogue/goods.csv, on two lanes and two days. A line a good: the best offer, the second best, what
would save the most, and how many ways are offered and refused.
"""

import argparse
import collections
import csv
import difflib
import json
import pathlib
import shlex
import subprocess
import sys
from decimal import Decimal

HERE = pathlib.Path(__file__).resolve().parent
ROOT = HERE.parent.parent
EVERY = 10
LANES = {
    "near": {"country": "US", "postal_code": "12207", "residential": True},
    "far": {"country": "US", "postal_code": "98101", "residential": True},
}
DAYS = ["2026-03-02", "2026-08-03"]


def goods():
    with open(ROOT / "tables/catalogue/goods.csv", newline="", encoding="utf-8") as file:
        return list(csv.DictReader(file))[::EVERY]


def request(row, lane, day):
    item = {"weight": row["weight_oz"] + " oz", "sides": f"{row['length_in']} x {row['width_in']} x {row['height_in']} in",
            "quantity": int(row["quantity"]), "value": row["value"] or "0", "contents": row["contents"].replace(";", " ").split(),
            "shape": row["shape"], **{key: row[key] == "true" for key in ("this_side_up", "rigid", "bare")}}
    return {"format": "tarewise-request-1", "goods": [item], "from": {"country": "US", "postal_code": "05401"},
            "to": LANES[lane], "date": day, "currency": "USD"}


def offer_text(offer):
    text = f"{offer['total']} {offer['carrier']}/{offer['service']} in {offer['packaging'] or 'own'}, zone {offer['zone']}"
    return text + f", billable {offer['billable_weight']['weight']} ({offer['billable_weight']['from']})"


def answer_text(ranking):
    if "error" in ranking:
        return "error: " + ranking["error"]
    offers = ranking["offers"]
    reasons = collections.Counter(reason["code"] for refusal in ranking["refusals"] for reason in refusal["reasons"])
    parts = [offer_text(offers[0]) if offers else "nothing is offered"]
    if len(offers) > 1:
        parts.append("then " + offer_text(offers[1]))
    savers = offers[0]["savers"] if offers else []
    if savers:
        best = max(savers, key=lambda saver: Decimal(saver["saves"]))
        parts.append(f"save {best['saves']} by {best['take']} off the {best['of']}")
    counts = f"{len(offers)} offers, {len(ranking['refusals'])} refusals"
    parts.append(counts if offers else counts + ": " + ", ".join(f"{code} {times}" for code, times in sorted(reasons.items())))
    return " | ".join(parts)


def snapshot(command, lane, day):
    """The text of one file."""
    rows = goods()
    asked = "".join(json.dumps(request(row, lane, day)) + "\n" for row in rows)
    done = subprocess.run([*command, "rank", "--tables", str(ROOT / "tables/demo"), "--json", "--each"], input=asked,
                          capture_output=True, text=True, check=False)
    answers = [json.loads(line) for line in done.stdout.splitlines()]
    if len(answers) != len(rows):
        raise RuntimeError(f"{len(answers)} answers to {len(rows)} requests, exit {done.returncode}: {done.stderr[:2000]}")
    to = LANES[lane]
    head = (f"# Written by tests/snapshots/snapshots.py: from US 05401 to {to['country']} {to['postal_code']} on {day}, every "
            f"{EVERY}th good of the catalogue.\n")
    return head + "".join(f"{row['sku']}: {answer_text(answer)}\n" for row, answer in zip(rows, answers))


def main():
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--command", required=True)
    parser.add_argument("--write", action="store_true")
    args = parser.parse_args()
    differing = 0
    expected = {f"{lane}-{day}.txt": (lane, day) for lane in LANES for day in DAYS}
    for name, (lane, day) in expected.items():
        path, text = HERE / name, snapshot(shlex.split(args.command), lane, day)
        if args.write:
            path.write_text(text, encoding="utf-8")
            continue
        before = path.read_text(encoding="utf-8") if path.exists() else ""
        diff = list(difflib.unified_diff(before.splitlines(), text.splitlines(), name, "now", n=0, lineterm=""))
        if diff:
            differing += 1
            changed = sum(line.startswith("+") for line in diff[2:])
            print("\n".join(diff[:40]))
            print(f"{name}: {changed} lines are otherwise now\n")
    for path in HERE.glob("*.txt"):
        if path.name not in expected:
            differing += 1
            print(f"{path.name} is of no lane and day")
    if differing:
        print("If the change is meant: build the target `snapshots` (or run this script with --write), and read the diff.")
    return 1 if differing else 0


if __name__ == "__main__":
    sys.exit(main())
