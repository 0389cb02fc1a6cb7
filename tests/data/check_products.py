#!/usr/bin/env python3
"""Ranks every real product on one lane over the demonstration tables, and compares with the slow pricer.

    check_products.py --command PATH --tables FOLDER --lane near|far|abroad

Every request must be answered; every packaging of the shelf and every service must be offered or refused once, with a reason
in words; and the ranking must be the slow pricer's.
"""

import argparse
import csv
import itertools
import json
import pathlib
import shlex
import sys

HERE = pathlib.Path(__file__).resolve().parent
sys.path.insert(0, str(HERE.parent / "oracle"))
import compare  # noqa: E402
import oracle  # noqa: E402

LANES = {
    "near": {"country": "US", "postal_code": "05602"},
    "far": {"country": "US", "postal_code": "98101", "residential": True},
    "abroad": {"country": "DE", "postal_code": "10115", "residential": True},
}
CONTENTS = [[], ["media"], [], ["fragile"], [], ["lithium_in_equipment"], [], ["flammable_liquid"], [], ["sharp"], []]
WISHES = [{}, {"extras": ["signature"]}, {}, {"promise": {"within": 3}}, {"cover": "150.00"}, {}]


def requests(lane):
    turns = zip(itertools.cycle(CONTENTS), itertools.cycle(WISHES))
    with open(HERE / "products.csv", newline="", encoding="utf-8") as file:
        for row, (contents, wish) in zip(csv.DictReader(file), turns):
            item = {"weight": f"{row['weight_kg']} kg", "value": "40.00", "contents": contents,
                    "sides": f"{row['width_mm']} x {row['length_mm']} x {row['height_mm']} mm",
                    "this_side_up": row["rot_x"] == row["rot_y"] == "0"}
            yield {"format": "tarewise-request-1", "goods": [item], "from": {"country": "US", "postal_code": "05401"},
                   "to": LANES[lane], "date": "2026-08-03", "currency": "USD", "exchange": {"EUR": "1.0842"}, **wish}


def left_out(ranking, services, packagings):
    """Lines on ways that are told of twice or not at all, and refusals without a reason in words."""
    wrong, told = [], {}
    for offer in ranking["offers"]:
        key = (offer["packaging"], offer["carrier"], offer["service"])
        told[key] = told.get(key, 0) + 1
    for refusal in ranking["refusals"]:
        key = (refusal["packaging"], refusal["carrier"], refusal["service"])
        told[key] = told.get(key, 0) + 1
        if not refusal["reasons"] or not all(reason["text"] for reason in refusal["reasons"]):
            wrong.append(f"{key}: refused without a reason in words")
    for packaging in packagings:
        whole = told.pop((packaging, "", ""), 0)
        times = [told.pop((packaging, *service), 0) for service in services]
        if (whole, set(times)) not in ((1, {0}), (0, {1})):
            wrong.append(f"{packaging}: refused whole {whole} times, and told of {times} by service")
    return wrong + [f"{key}: not of these tables" for key in told]


def main():
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--command", required=True)
    parser.add_argument("--tables", required=True, type=pathlib.Path)
    parser.add_argument("--lane", required=True, choices=LANES)
    args = parser.parse_args()
    asked = [json.dumps(request) for request in requests(args.lane)]
    rankings, said, code = compare.run(shlex.split(args.command), args.tables, asked)
    if len(asked) != 382 or len(rankings) != len(asked):
        print(f"{len(rankings)} answers to {len(asked)} requests, exit {code}: {said[:1500]}")
        return 1
    tables = oracle.Tables.load(args.tables)
    services = oracle.services_on(tables, "2026-08-03")
    packagings = [p.code for p in tables.shelf] + [code for _, code, _ in tables.at_hand]
    differing = offered = 0
    for number, (request, ranking) in enumerate(zip(asked, rankings), 2):
        if "error" in ranking:
            found = [f"error: {ranking['error']}"]
        else:
            found = left_out(ranking, services, packagings)
            found += [text for _, text in compare.differences(oracle.rank_line(tables, request), ranking, False)]
            offered += bool(ranking["offers"])
        if found:
            differing += 1
            print(f"products.csv:{number}: {request}")
            print("".join(f"    {text}\n" for text in found[:5]), end="")
    print(f"{len(asked)} products, {len(packagings)} packagings, {len(services)} services, lane {args.lane}: {offered} offered, "
          f"{len(asked) - offered} refused, {differing} differ")
    return 1 if differing or not 0 < offered else 0


if __name__ == "__main__":
    sys.exit(main())
