#!/usr/bin/env python3
"""Random catalogues with orders over random worlds (random_world.py), for catalogues.py. All of it is invented.

    random_catalogues.py --seed N --cases K --out FOLDER [--each 24] [--catalogues 2]

writes FOLDER/world-0000/, ...: tables, and in `catalogues/` of each `case-0.json` (what is asked), its CSV file and perhaps its mix. K counts rows or
orders. The same seed gives the same bytes.
"""

import argparse
import csv
import json
import multiprocessing
import pathlib
import random
import sys
from fractions import Fraction

sys.path.insert(0, str(pathlib.Path(__file__).parent))
import oracle  # noqa: E402
import packing  # noqa: E402
import plans  # noqa: E402
import random_world  # noqa: E402
from random_orders import few_on_hand  # noqa: E402
from random_world import chance  # noqa: E402

MOST_PARTED = 4  # units of an order that may go in several parcels
MOST_PLACES = 3
WEIGHTS = (("weight", ""), ("weight", ""), ("weight_g", "g"), ("Weight (kg)", "kg"), ("weight_oz", "oz"), ("WEIGHT_LB", "lb"))
LENGTHS = (("", ""), ("", ""), ("_mm", "mm"), (" (cm)", "cm"), ("_in", "in"))
KEYS = ("A-1", "a-1", "7", "07", "1,5", "B \"2\"", "x y", "\u00e4", "0", "9223372036854775808")
BOOLEANS = {True: ("true", "yes", "1", "TRUE"), False: ("false", "no", "0", "")}
WRONG = {  # cells that cannot be read
    "weight": ("", "0", "abc", "-1", "1e3 g", "100001 kg", "NaN"),
    "sides": ("", "1 x 2", "0 x 1 x 1 in", "51 m x 1 m x 1 m", "9 x 6 x 3", "a x b x c"),
    "length": ("", "0", "abc", "-4", "51000000"),
    "quantity": ("0", "1.5", "-1", "10001", "two"),
    "value": ("-5", "x", "1.1234567", "1,50"),
    "contents": ("glass", "media;glass"),
    "shape": ("round", "Box"),
    "this_side_up": ("perhaps", "2"), "rigid": ("maybe",), "bare": ("-",),
}
HUGE = (  # rows that are each good, and together are not; and some that are just within
    [{"weight": "60000 kg"}, {"weight": "50000 kg"}], [{"quantity": 9999}, {"quantity": 2}], [{"value": "600000000"}, {"value": "400000000.01"}],
    [{"weight": "60000 kg", "quantity": 2}], [{"value": "500000000.5", "quantity": 2}], [{"value": "600000000"}, {"value": "600000000"}, {"quantity": 10000}],
    [{"value": "600000000"}, {"value": "400000000"}])


# What the goods of an order are together, each with a charge of its own that shows in the total.
TOGETHER = (({"rigid": True}, 1.13), ({"shape": {"is": "irregular"}}, 1.31), ({"shape": {"is": ["soft", "flat", "tube"]}}, 0.71),
            ({"contents": {"has": "media"}}, 0.17), ({"every_item": {"has": "media"}}, 0.43), ({"contents": {"has_any": ["fragile", "documents"]}}, 0.59),
            ({"value": {"over": "30"}}, 0.97), ({"packaging_kind": {"is": "bare"}}, 0.29), ({"residential": True}, 0.37))


def ask_of_orders(rng, world):
    """Surcharges on what only all goods of an order together have, of most services."""
    for file in world.files.values():
        if not isinstance(file, dict) or file.get("format") != "tarewise-tariff-1":
            continue
        for service in file["services"]:
            for number, (test, amount) in enumerate(TOGETHER):
                if chance(rng, 0.4):
                    service.setdefault("surcharges", []).append({"code": f"together-{number}", "title": "together", "when": test, "amount": amount})


class Catalogues(random_world.Requests):
    """What may be asked of a catalogue, and its rows."""

    def __init__(self, rng, world, tables):
        super().__init__(rng, world, tables)
        self.plain = oracle.Tables()  # without the seller's own rules, which ask for rates

    def case(self):
        """Mostly one in which something is offered for some goods at all."""
        for _ in range(8):
            case = self.drawn_case()
            if self.is_offered(case):
                break
        return case

    def is_offered(self, case):
        try:
            for item in self.items()[:1] + self.items()[:1] + [{"weight": "8 oz", "sides": "6 x 4 x 1 in", "bare": True}]:
                request = {**case["request"], "to": case["to"][0], "goods": [{**item, "quantity": 1}]}
                if oracle.rank_line(self.tables, json.dumps(request)).get("offers"):
                    return True
        except packing.Undecided:
            return True
        return False

    def drawn_case(self):
        rng = self.rng
        request = self.request()
        for key in ("goods", "parcel", "consignment", "format"):
            request.pop(key, None)
        if "extras" in request and len(set(request["extras"])) != len(request["extras"]):
            del request["extras"]
        case = {"request": {"format": "tarewise-request-1", **request}, "to": [request.pop("to")]}
        case["request"].pop("to")
        residential = case["to"][0].get("residential", False)
        for _ in range(rng.choice((0, 0, 0, 1, 2)) if chance(rng, 0.7) else rng.randint(1, 2 * MOST_PLACES)):
            case["to"].append(self.place())
        if len(case["to"]) > 1 and chance(rng, 0.5) or len(case["to"]) > MOST_PLACES:
            self.mixed(case)
        else:
            for to in case["to"]:
                to["residential"] = residential
        if chance(rng, 0.45):
            case["parcels"] = rng.choice((1, 2, 2, 3, 4, 100))
            request = case["request"]
            if chance(rng, 0.95):
                request.pop("amounts", None)
        if self.tables.shelf is not None and chance(rng, 0.06):
            case["estimate"] = True
            case.pop("parcels", None)
        if chance(rng, 0.5):  # many wishes leave little that is offered
            for key in ("extras", "cover", "amounts", "promise", "accepts"):
                case["request"].pop(key, None)
        return case

    def mixed(self, case):
        rng = self.rng
        for to in case["to"]:
            to["residential"] = chance(rng, 0.4)
            if to["country"] == "US" and "postal_code" in to and chance(rng, 0.4):  # an area: the beginning of a code
                to["postal_code"] = to["postal_code"][:rng.choice((1, 2, 3, 4) if to["postal_code"][0] == "0" else (1, 2, 3))]  # B5: 2134 is none
        case["shares"] = [rng.choice(("0", "1", "3", "2.5", "0.333333", "12")) for _ in case["to"]]
        if not any(Fraction(share) for share in case["shares"]):
            case["shares"][0] = "1"
        if chance(rng, 0.5):
            case["quantiles"] = rng.sample(("0", "10", "50", "90", "99.5", "100", "33.3333"), rng.randint(1, 3))

    # -- rows

    def items(self):
        """Goods as a request has them, without what a catalogue has no column for."""
        goods, _ = self.goods()
        for item in goods:
            for key in ("may_stand", "top_free", "bears", "soft", "title"):
                item.pop(key, None)
            item.setdefault("weight", "1 lb")
        return goods

    def order(self, most):
        """Mostly of goods of which something takes each alone."""
        for _ in range(6):
            kept = self.drawn_order(most)
            if all(self.can_be_packed(item) for item in kept):
                break
        return kept

    def can_be_packed(self, item):
        request = {"goods": [{**item, "quantity": 1, "value": "0"}], "from": {"country": "US"}, "to": {"country": "US"}, "date": random_world.MIDDLE, "currency": "USD"}
        try:
            return bool(oracle.packings(self.tables, oracle.read_request_fields(request, self.plain))[0])
        except packing.Undecided:
            return True

    def drawn_order(self, most):
        rng, rows = self.rng, self.items()
        while chance(rng, 0.4):
            rows += self.items()
        rng.shuffle(rows)
        kept, left = [], rng.randint(1, most)
        for item in rows:
            quantity = min(left, item.get("quantity", 1))
            if quantity < 1:
                break
            left -= quantity
            kept.append({**item, "quantity": quantity})
        if chance(rng, 0.3):
            for item in kept:
                item["rigid"] = chance(rng, 0.5)
        if len(kept) > 1 and chance(rng, 0.2):
            kept[0] = {**kept[1], "quantity": kept[0]["quantity"]}
        if chance(rng, 0.25):
            for item in kept:
                item["bare"] = True
        if chance(rng, 0.4):
            for item in kept:
                item.setdefault("value", self.money())
        return kept

    def rows(self, orders, parted, has_orders):
        """[(key, item)], the rows of an order next to each other or not."""
        rng, found = self.rng, []
        keys = list(KEYS) + [f"O-{number}" for number in range(orders)]
        rng.shuffle(keys)
        for number in range(orders):
            if not has_orders or chance(rng, 0.2):
                item = rng.choice(self.items())
                if chance(rng, 0.1):
                    item["quantity"] = rng.randint(2, 9)
                found.append([("", item)])
            elif chance(rng, 0.03):
                base = {"weight": "1 lb", "sides": "9 x 6 x 3 in"}
                found.append([(keys[number], {**base, **more}) for more in rng.choice(HUGE)])
            else:
                found.append([(keys[number], item) for item in self.order(MOST_PARTED if parted else rng.choice((2, 3, 4, 5, 6, 8)))])
        rows = [row for order in found for row in order]
        if chance(rng, 0.6):  # some of them, anywhere
            for _ in range(len(rows) // 2):
                rows.insert(rng.randrange(len(rows)), rows.pop(rng.randrange(len(rows))))
        return rows

    def write(self, folder, number, orders):
        rng, case = self.rng, self.case()
        has_orders = chance(rng, 0.92)
        case["catalogue"] = f"goods-{number}.csv"
        rows = self.rows(orders, (case.get("parcels") or 1) > 1, has_orders)
        weight, unit = rng.choice(WEIGHTS)
        length, length_unit = rng.choice(LENGTHS)
        three = chance(rng, 0.6)
        names = {"sku": "sku", "weight": weight, **({side: side.title() + length if chance(rng, 0.3) else side + length for side in ("length", "width", "height")}
                                                    if three else {"sides": "sides" + length}), "order": rng.choice(("order", "Order"))}
        names.update({key: key for key in ("quantity", "value", "contents", "shape", "this_side_up", "rigid", "bare")})
        currency = case["request"].get("currency")
        if currency and chance(rng, 0.4):
            names["value"] = f"value_{currency.lower()}"
        if not has_orders:
            del names["order"]
        for key in ("contents", "shape", "this_side_up", "rigid", "bare"):
            if chance(rng, 0.08):
                del names[key]
        order = list(names)
        rng.shuffle(order)
        with open(folder / case["catalogue"], "w", newline="", encoding="utf-8") as file:
            writer = csv.writer(file, lineterminator=rng.choice(("\n", "\r\n")))
            writer.writerow([names[key] for key in order])
            for line, (key, item) in enumerate(rows):
                cells = self.cells(item, unit, length_unit, three)
                cells["sku"], cells["order"] = f"S{line}", rng.choice(("", "", " ", "\t")) + key + rng.choice(("", "", " "))
                if chance(rng, 0.03):
                    what = rng.choice(sorted(set(WRONG) & set(names)))
                    cells[what] = rng.choice(WRONG[what])
                fields = [cells.get(name, "") for name in order]
                writer.writerow(fields[:rng.randint(1, len(fields) - 1)] if chance(rng, 0.005) else fields)
        if "shares" in case:
            case["mix"] = f"mix-{number}.csv"
            with open(folder / case["mix"], "w", newline="", encoding="utf-8") as file:
                writer = csv.writer(file, lineterminator="\n")
                writer.writerow(["country", "postal_code", "share", "residential"])
                for to, share in zip(case["to"], case["shares"]):
                    writer.writerow([to["country"], to.get("postal_code", ""), share, str(to["residential"]).lower()])
        (folder / f"case-{number}.json").write_text(json.dumps(case, ensure_ascii=False, indent=1), encoding="utf-8")

    def cells(self, item, unit, length_unit, three):
        rng = self.rng
        cells = {"weight": in_unit(item["weight"], unit, oracle.WEIGHT_UNITS, oracle.weight)}
        sides = oracle.read_sides(item["sides"])
        texts = [in_unit(f"{oracle.decimal(side, 6)} mm", length_unit, oracle.LENGTH_UNITS, oracle.length) for side in sides]
        if three:
            cells.update(zip(("length", "width", "height"), texts))
        else:
            cells["sides"] = " x ".join(texts) if length_unit else item["sides"]
        if item.get("quantity", 1) > 1 or chance(rng, 0.5):
            cells["quantity"] = str(item.get("quantity", 1))
        for key in ("value", "shape"):
            if key in item:
                cells[key] = str(item[key])
        cells["contents"] = rng.choice((" ", ", ", ";", "|")).join(item.get("contents", []))
        for key in ("this_side_up", "rigid", "bare"):
            if key in item or chance(rng, 0.3):
                cells[key] = rng.choice(BOOLEANS[item.get(key, False)])
        return cells


def in_unit(text, unit, units, read):
    """The same in the unit of a column, to as many decimals as it takes, or to twelve."""
    return text if not unit else oracle.decimal(int(read(text) * 10 ** 12 / units[unit]), 12)


def make(job):
    seed, number, orders, catalogues, folder = job
    packing.MOST_STEPS = plans.FEW_STEPS
    rng = random.Random(f"catalogues/{seed}/{number}")
    world = random_world.World(rng)
    world.share["consignment"] = rng.choice((0, 0, 0, 0.3))  # where much hangs on the other parcels the slow planner takes long
    world.build()
    few_on_hand(rng, world)
    ask_of_orders(rng, world)
    folder = pathlib.Path(folder) / f"world-{number:04d}"
    world.write(folder)
    makes = Catalogues(rng, world, oracle.Tables.load(folder))
    (folder / "catalogues").mkdir()
    for at in range(catalogues):
        makes.write(folder / "catalogues", at, orders // catalogues + (at < orders % catalogues))


def main():
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--cases", type=int, default=400, help="orders, and rows without one, in all")
    parser.add_argument("--each", type=int, default=24, help="of them a world")
    parser.add_argument("--catalogues", type=int, default=2, help="catalogues a world, which share them")
    parser.add_argument("--out", required=True)
    parser.add_argument("--jobs", type=int, default=2)
    args = parser.parse_args()
    jobs = [(args.seed, number, min(args.each, args.cases - number * args.each), args.catalogues, args.out) for number in range(-(-args.cases // args.each))]
    with multiprocessing.Pool(args.jobs) as pool:
        pool.map(make, jobs, chunksize=1)
    print(f"{len(jobs)} worlds, {args.cases} orders in {args.out}")


if __name__ == "__main__":
    main()
