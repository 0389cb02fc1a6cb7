#!/usr/bin/env python3
"""Requests for real products, one a line, from a CSV file of their sides and weights.

    product_requests.py products.csv > requests.jsonl

The file has the columns width_mm, length_mm, height_mm, weight_kg, rot_x, rot_y, rot_z, as the goods of the instances of Alonso
et al., Computers and Industrial Engineering (2019, 10.1016/j.cie.2018.11.012) and 4OR (2020, 10.1007/s10288-018-0397-z). A
product that may stand on no other side is kept upright. Places, days and wishes are invented and go round.
"""

import csv
import itertools
import json
import sys

PLACES = [{"country": "US", "postal_code": "98101", "residential": True}, {"country": "US", "postal_code": "05602"},
          {"country": "US", "postal_code": "55401", "residential": True}, {"country": "US", "postal_code": "99501"},
          {"country": "US", "postal_code": "02139", "residential": True}, {"country": "DE", "postal_code": "10115"},
          {"country": "US", "postal_code": "33101"}]
WISHES = [{}, {"extras": ["signature"]}, {"promise": {"within": 3}}, {"cover": "150.00"}, {}]
CONTENTS = [[], ["media"], [], ["fragile"], [], ["lithium_in_equipment"], [], ["flammable_liquid"], [], ["sharp"], []]
DATES = ["2026-08-03", "2026-03-02", "2026-11-30"]


def main():
    turns = zip(itertools.cycle(PLACES), itertools.cycle(WISHES), itertools.cycle(CONTENTS), itertools.cycle(DATES))
    with open(sys.argv[1], newline="", encoding="utf-8") as file:
        for row, (place, wish, contents, date) in zip(csv.DictReader(file), turns):
            item = {"weight": f"{row['weight_kg']} kg",
                    "sides": f"{row['width_mm']} x {row['length_mm']} x {row['height_mm']} mm", "value": "40.00"}
            if contents:
                item["contents"] = contents
            if row["rot_x"] == row["rot_y"] == "0":
                item["this_side_up"] = True
            print(json.dumps({"format": "tarewise-request-1", "goods": [item],
                              "from": {"country": "US", "postal_code": "05401"}, "to": place, "date": date, "currency": "USD",
                              "exchange": {"EUR": "1.0842"}, **wish}))


if __name__ == "__main__":
    main()
