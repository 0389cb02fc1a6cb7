#!/usr/bin/env python3
"""Random orders in several parcels over random worlds (random_world.py), for plans.py. All of it is invented.

    random_orders.py --seed N --cases K --out FOLDER [--each 40]

writes FOLDER/world-0000/, ...: tables, with few packagings on hand, and `orders.jsonl`, a request a line. The same seed gives the same bytes.
"""

import argparse
import json
import multiprocessing
import pathlib
import random
import sys

sys.path.insert(0, str(pathlib.Path(__file__).parent))
import oracle  # noqa: E402
import packing  # noqa: E402
import plans  # noqa: E402
import random_world  # noqa: E402
from random_world import chance, some  # noqa: E402

MOST_JOINED = 4  # units, where a price hangs on the other parcels
SHARES = {1: 3, 2: 22, 3: 30, 4: 22, 5: 12, 6: 7, 7: 4}  # of orders with so many units
ON_HAND = (0, 1, 1, 2, 2, 3, 5)


def few_on_hand(rng, world):
    """Numbers that an order can use up."""
    share = rng.choice((0, 0.3, 0.6, 1))
    for name, file in world.files.items():
        if name == "shelf.json":
            for entry in file["packaging"] + file["issued"]:
                if chance(rng, share):
                    entry["on_hand"] = rng.choice(ON_HAND)
        elif name == "shelf-a.csv":
            place = file[0].index("on_hand")
            for row in file[1:]:
                if chance(rng, share):
                    row[place] = rng.choice(ON_HAND)


class Orders(random_world.Requests):
    """Orders of several units, of which the whole is often too much for what is at hand."""

    def order(self):
        rng = self.rng
        request = self.request()
        request.pop("consignment", None)
        units = rng.choices(list(SHARES), list(SHARES.values()))[0]
        if self.world.share["consignment"]:
            units = min(units, MOST_JOINED)
        if chance(rng, 0.1):
            self.make_sealed(request, units)
        else:
            self.make_goods(request, units)
            request["parcels"] = self.parcels(len(request["goods"]), units)
        if chance(rng, 0.9):  # an error else
            request.pop("amounts", None)
        worth = any(float(thing.get("value", 0)) for thing in request.get("goods", []) + request.get("sealed", []))
        if not worth and chance(rng, 0.9):
            request.pop("cover", None)
        if chance(rng, 0.04):
            request["objective"] = "cautious"
        if chance(rng, 0.05):
            request["tolerance"] = {"weight": rng.choice(("0.1 oz", "1 g", "0 g")), "sides": rng.choice(("0 mm", "0.25 in", "1 mm"))}
        return self.spoil_parcels(request) if chance(rng, 0.03) else request

    def make_goods(self, request, units):
        """Up to so many units, drawn as goods that just fit, once or more often."""
        rng, goods = self.rng, []
        request.pop("parcel", None)
        while sum(item.get("quantity", 1) for item in goods) < units:
            drawn, padding = self.goods()
            if padding is not None and "padding" not in request:
                request["padding"] = padding
            goods += drawn if chance(rng, 0.6) else [rng.choice(drawn)]
        rng.shuffle(goods)
        left, kept = units, []
        for item in goods:
            quantity = min(left, item.get("quantity", 1))
            if quantity < 1:
                break
            if "quantity" in item or quantity > 1:
                item["quantity"] = quantity
            if "weight" not in item:
                item["weight"] = "1 lb"
            kept.append(item)
            left -= quantity
        if len(kept) > 1 and chance(rng, 0.3):  # alike in all but their titles, or in the very same words
            source, target = rng.sample(range(len(kept)), 2)
            quantity = kept[target].get("quantity", 1)
            kept[target] = {**kept[source], "quantity": quantity}
            if chance(rng, 0.5):
                kept[target]["title"] = "the other"
        for item in kept:
            if chance(rng, 0.3):
                item["value"] = self.money()
            if chance(rng, 0.3):
                item["bare"] = True
        if chance(rng, 0.03):
            self.widen(rng.choice(kept))
        request["goods"] = kept

    def widen(self, item):
        """A weight or a side that is a range."""
        if chance(self.rng, 0.6):
            nanograms = oracle.read_weight(item["weight"])
            item["weight"] = f"{oracle.decimal(nanograms * 4 // 5 // 1000 * 1000 + 1000, 9)} g..{oracle.decimal(nanograms, 9)} g"
        elif "soft" not in item:
            a, b, c = oracle.read_sides(item["sides"])
            item["sides"] = " x ".join(f"{oracle.decimal(low, 6)} mm..{oracle.decimal(a, 6)} mm" if n == 0 else f"{oracle.decimal(side, 6)} mm"
                                       for n, (low, side) in enumerate(((max(1, a * 9 // 10), a), (b, b), (c, c))))

    def make_sealed(self, request, parcels):
        rng = self.rng
        for key in ("goods", "parcel", "padding", "fill_weight", "allowance"):
            request.pop(key, None)
        request["sealed"] = [self.parcel() for _ in range(min(parcels, 5))]
        if len(request["sealed"]) > 1 and chance(rng, 0.3):
            request["sealed"][1] = dict(request["sealed"][0])
        if chance(rng, 0.4):
            request["parcels"] = {"all_by": rng.choice(("any", "carrier", "service"))} if chance(rng, 0.9) else {}

    def parcels(self, goods, units):
        rng = self.rng
        parcels = {"most": rng.choice((1, 2, 2, 3, 3, 4, units, units, units + 1, 100))}
        if chance(rng, 0.25):
            parcels["all_by"] = rng.choice(("carrier", "service", "service", "any"))
        if chance(rng, 0.2):
            first = some(rng, list(range(goods)), 1, 3)
            parcels["together"] = [first]
            rest = [place for place in range(goods) if place not in first]
            if len(rest) > 1 and chance(rng, 0.3):
                parcels["together"].append(some(rng, rest, 1, 2))
        if goods > 1 and chance(rng, 0.2):
            parcels["apart"] = [some(rng, list(range(goods)), 2, 3) for _ in range(rng.choice((1, 1, 2)))]
            lists = parcels.get("together", [])
            if any(len(set(one) & set(other)) > 1 for one in lists for other in parcels["apart"]) and chance(rng, 0.9):
                del parcels["apart"]
        if chance(rng, 0.5):
            parcels["plans"] = rng.choice((1, 2, 5, 20, 100))
        return parcels

    def spoil_parcels(self, request):
        """An order that must be answered with an error."""
        rng = self.rng
        if "sealed" in request:
            request.update(rng.choice(({"parcels": {"most": 2}}, {"parcels": {"together": [[0]]}}, {"parcels": {"plans": 3}}, {"sealed": []},
                                       {"goods": [{"weight": "1 lb", "sides": "9 x 6 x 3 in"}]}, {"sealed": request["sealed"] * 101})))
            return request
        goods = len(request["goods"])
        request["parcels"] = rng.choice((
            {}, {"most": 0}, {"most": 101}, {"most": 1.5}, {"most": True}, {"most": "2"}, {"most": 2, "plans": 0}, {"most": 2, "plans": 101},
            {"most": 2, "all_by": "day"}, {"most": 2, "together": [[]]}, {"most": 2, "together": [[goods]]}, {"most": 2, "together": [[0, 0]]},
            {"most": 2, "together": [[0], [0]]}, {"most": 2, "apart": [[0]]}, {"most": 2, "apart": [[0, goods]]}, {"most": 2, "apart": [[0, 0]]},
            {"most": 2, "least": 1}, {"most": 2, "together": [0]}, [], {"most": 2, "together": [[-1]]},
            {"most": 2, "together": [[0, 1]], "apart": [[1, 0]]} if goods > 1 else {"most": -1}))
        return request


def can_be_sent(tables, request):
    """Whether something takes each unit alone; what cannot be read is as good."""
    try:
        order = plans.Order(tables, request)
        return all(order.alone_offers(block) for block in order.blocks if order.may_be(block))
    except packing.Undecided:
        return True
    except (oracle.RequestError, ValueError, KeyError, TypeError, AttributeError):
        return True


def make(job):
    seed, number, count, folder = job
    packing.MOST_STEPS = plans.FEW_STEPS
    rng = random.Random(f"orders/{seed}/{number}")
    world = random_world.World(rng)
    world.share["consignment"] = rng.choice((0, 0, 0.2, 0.4))  # where much hangs on the other parcels the slow planner takes long
    world.build()
    few_on_hand(rng, world)
    folder = pathlib.Path(folder) / f"world-{number:04d}"
    world.write(folder)
    orders = Orders(rng, world, oracle.Tables.load(folder))
    with open(folder / "orders.jsonl", "w", encoding="utf-8") as file:
        for _ in range(count):
            for _ in range(6):  # mostly of goods that can be sent at all
                text = json.dumps(orders.order(), ensure_ascii=False)
                if can_be_sent(orders.tables, oracle.read_json(text)) or chance(rng, 0.06):
                    break
            file.write(text + "\n")


def main():
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--cases", type=int, default=400, help="orders in all")
    parser.add_argument("--each", type=int, default=40, help="orders a world")
    parser.add_argument("--out", required=True)
    parser.add_argument("--jobs", type=int, default=2)
    args = parser.parse_args()
    jobs = [(args.seed, number, min(args.each, args.cases - number * args.each), args.out) for number in range(-(-args.cases // args.each))]
    with multiprocessing.Pool(args.jobs) as pool:
        pool.map(make, jobs, chunksize=1)
    print(f"{len(jobs)} worlds, {args.cases} orders in {args.out}")


if __name__ == "__main__":
    main()
