#!/usr/bin/env python3
"""Writes the demonstration tables of Quillmoor Secondhand again, byte for byte.

    python3 tables/generate.py            writes demo/, demo-orders/, catalogue/ and VERSION
    python3 tables/generate.py --check    exits 1 and names the files that differ from the folder

README.md, FORMAT.md, NEWS.md and postal-areas.csv are written by hand or copied, not generated.
"""

import csv
import json
import pathlib
import sys
from decimal import Decimal

import invented_goods
import invented_tariffs
import worked_prices

HERE = pathlib.Path(__file__).resolve().parent
VERSION = "6"
WIDTH = 110
ROW = 220  # a table row, an example or a surcharge stays on one line up to this
WIDE = ("rows", "examples", "packaging", "surcharges", "extras", "discounts", "refuse")


def compact(x):
    if isinstance(x, Decimal):
        return f"{x:f}"
    if isinstance(x, dict):
        return "{" + ", ".join(f"{json.dumps(k)}: {compact(v)}" for k, v in x.items()) + "}"
    if isinstance(x, list):
        return "[" + ", ".join(map(compact, x)) + "]"
    return json.dumps(x, ensure_ascii=False)


def pretty(x, indent=0, room=WIDTH, key=None):
    """JSON that reads like a price list: short things on one line, table rows one a line."""
    flat = compact(x)
    broken = key in ("services", "rows", "examples", "packaging", "surcharges", "extras",
                     "discounts") and isinstance(x, list) and x and isinstance(x[0], (dict, list))
    if not isinstance(x, (dict, list)) or not x or (len(flat) <= room - indent and not broken):
        return flat
    if isinstance(x, list) and all(isinstance(i, str) for i in x):
        return wrapped([compact(i) for i in x], indent)
    pad = " " * (indent + 2)
    if isinstance(x, dict):
        parts = [pad + json.dumps(k) + ": " + pretty(v, indent + 2, room - len(k) - 5, k)
                 for k, v in x.items()]
        return "{\n" + ",\n".join(parts) + "\n" + " " * indent + "}"
    parts = [pad + pretty(v, indent + 2, ROW if key in WIDE else room) for v in x]
    return "[\n" + ",\n".join(parts) + "\n" + " " * indent + "]"


def wrapped(words, indent):
    lines, line = [], " " * (indent + 2)
    for i, w in enumerate(words):
        w += "," if i + 1 < len(words) else ""
        if len(line) + len(w) > WIDTH and line.strip():
            lines.append(line.rstrip())
            line = " " * (indent + 2)
        line += w + " "
    return "[\n" + "\n".join(lines + [line.rstrip()]) + "\n" + " " * indent + "]"


def grid_csv(columns, rows, first="bound"):
    out = [first + "," + ",".join(columns)]
    out += [",".join("" if c is None else f"{c}" for c in row) for row in rows]
    return "\n".join(out) + "\n"


def settle_examples(doc, grids, gazetteer, name):
    """Fills in what each example costs, and insists on an example for every rule."""
    used = set()
    numeric = {f: (c, [[r[0]] + r[1:] for r in rows]) for f, (c, rows) in grids.items()}
    for e in doc["examples"]:
        p = worked_prices.Pricing(doc, e, numeric, gazetteer, used)
        answer = p.price()
        why, show = e.pop("why"), e.pop("show")
        if answer[0] == "total":
            e["total"] = worked_prices.text_of_money(answer[1])
            if "net" in show:
                e["net"] = worked_prices.text_of_money(p.net)
            if "arrives" in show:
                e["arrives"] = p.arrives()
            if "billable" in show:
                unit, ng = ("kg", worked_prices.WEIGHT_NG["kg"]) if "larkspur" in name else \
                    ("lb", worked_prices.WEIGHT_NG["lb"])
                n = p.m["billable_weight"] / ng
                e["billable_weight"] = f"{float(n):g} {unit}"
        else:
            order = ("no_zone", "packaging_not_allowed", "contents_not_accepted", "over_limit",
                     "no_price", "extra_not_offered", "extras_disagree")
            e["refused"] = next(r for r in order if r in answer[1])
        e["why"] = why
    missing = sorted(map(str, worked_prices.rules(doc, numeric) - used))
    if missing:
        sys.exit(f"{name}: no example uses\n  " + "\n  ".join(missing))


def files():
    areas = (HERE / "postal-areas.csv").read_text(encoding="utf-8")
    rows = list(csv.DictReader(areas.splitlines()))
    gazetteer = {(r["country"], r["prefix"]): (float(r["latitude"]), float(r["longitude"]))
                 for r in rows}
    out = {"VERSION": VERSION + "\n", "demo/gazetteer-us.csv": areas,
           "demo/shelf.csv": invented_goods.shelf_csv(),
           "catalogue/goods.csv": invented_goods.goods_csv(),
           "catalogue/destinations.csv": invented_goods.destinations_csv(
               [r["prefix"] for r in rows])}
    docs, grids, terms = invented_tariffs.all_tariffs(gazetteer)
    for name, doc in docs.items():
        settle_examples(doc, grids, gazetteer, name)
        out["demo/" + name] = pretty(doc) + "\n"
    for name, doc in terms.items():
        out["demo/" + name] = pretty(doc) + "\n"
    for name, (columns, rows) in grids.items():
        out["demo/" + name] = grid_csv(columns, rows, "from" if name.endswith("-fuel.csv") else "bound")
    for name, request in invented_goods.ORDERS.items():
        out[f"demo-orders/{name}.json"] = pretty(request) + "\n"
    return out


def main():
    check = "--check" in sys.argv[1:]
    if set(sys.argv[1:]) - {"--check"}:
        sys.exit(__doc__)
    made = files()
    differ = []
    for name, text in made.items():
        path = HERE / name
        old = path.read_text(encoding="utf-8") if path.exists() else None
        if old != text:
            differ.append(name)
            if not check:
                path.parent.mkdir(parents=True, exist_ok=True)
                path.write_text(text, encoding="utf-8", newline="\n")
    for folder in ("demo", "demo-orders", "catalogue"):
        for path in sorted((HERE / folder).glob("*")):
            if f"{folder}/{path.name}" not in made:
                differ.append(f"{folder}/{path.name} (not made by this script)")
    for name in differ:
        print(("differs: " if check else "wrote: ") + name)
    return 1 if check and differ else 0


if __name__ == "__main__":
    sys.exit(main())
