#!/usr/bin/env python3
"""Headroom, savers and at_risk of the ranking page (R4), found by pricing again at every place where a price can change.

A parcel that grows in one direction (heavier, or one side longer) meets the bounds of the rules one after the other:
each measure only rises, so the first weight or side at which it reaches or passes a bound is found by halving. Between two
such places nothing that a rule can see changes, so a price at one place holds up to the next.

    thresholds.py FOLDER --command PATH     checks a program's headroom, savers and at_risk on the worlds of a folder
"""

import argparse
import dataclasses
import itertools
import json
import pathlib
import random
import shlex
import sys
from fractions import Fraction

sys.path.insert(0, str(pathlib.Path(__file__).parent))
import compare  # noqa: E402
import oracle  # noqa: E402

MOST_WEIGHT = 100000 * 10 ** 12  # D1
MOST_SIDE = 50 * 10 ** 9
SIDES = ("length", "width", "height")


# ---------------------------------------------------------------------------------------------------------------------
# The bounds that the rules of a service compare a measure with

def bounds_of_test(test):
    for key, arg in test:
        if key in oracle.MEASURES:
            for bound in arg.values():
                yield key, bound
        elif key in ("any", "all"):
            for inner in arg:
                yield from bounds_of_test(inner)
        elif key == "not":
            yield from bounds_of_test(arg)


def bounds_of_price(price):
    """(measure, bound), or (measure, (first, step)) for steps without end."""
    if price["kind"] == "table":
        for bound, _ in price["rows"]:
            yield price["by"], bound
        if price["beyond"] is not None:
            yield price["by"], (price["rows"][-1][0], price["beyond"]["step"])
    elif price["kind"] == "per":
        yield price["measure"], (0, price["step"])


def bounds_of_service(service, discounts):
    """Every (measure, bound) that can matter to a price or a refusal of the service."""
    found = []
    for rule in service["measure"]["dimensional"] + service["measure"]["at_least"]:
        found += bounds_of_test(rule["when"])
    for entry in service["refuse"]:
        found += bounds_of_test(entry["when"])
    for priced in service["prices"] + service["surcharges"] + list(service["extras"].values()):
        found += bounds_of_test(priced["when"])
        found += bounds_of_price(priced["price"])
    for discount in discounts:
        found += bounds_of_test(discount["when"])
    return found


# ---------------------------------------------------------------------------------------------------------------------
# Where they lie for one parcel

def at(packed, of, value):
    """The parcel with its weight, or one of its sides (longest first), of another size."""
    if of == "weight":
        return dataclasses.replace(packed, weight=value)
    sides = sorted(packed.sides, reverse=True)
    sides[SIDES.index(of)] = value
    return dataclasses.replace(packed, sides=sides)


def size(packed, of):
    return packed.weight if of == "weight" else sorted(packed.sides, reverse=True)[SIDES.index(of)]


def rising_values(service, packed, of):
    """What the rules see, as functions of the size: each only rises. Billable weight is the greatest of its parts."""
    def facts(x):
        f = {"shape": packed.shape}
        parcel = at(packed, of, x)
        oracle.add_measures(f, service["measure"], parcel.weight, parcel.sides)
        return f

    values = {}
    for measure in oracle.MEASURES - oracle.MONEY_MEASURES - {"billable_weight"}:
        if (measure == "weight") == (of == "weight"):
            values[measure] = [lambda x, measure=measure: facts(x)[measure]]
    how = service["measure"]["weight"]
    if of == "weight":
        values["billable_weight"] = [lambda x: oracle.rounded_quantity(x, how)]
    else:
        def dimensional(x, rule):
            w = oracle.rounded_quantity(Fraction(facts(x)["volume"]) / rule["volume_per_weight"], how)
            return w if rule["at_most"] is None else min(w, rule["at_most"])
        values["billable_weight"] = [lambda x, rule=rule: dimensional(x, rule) for rule in service["measure"]["dimensional"]]
    return values


def first_where(holds, low, high):
    """The least whole number in low..high at which a condition that stays true once true holds, or None."""
    if not holds(high):
        return None
    while low < high:
        middle = (low + high) // 2
        low, high = (low, middle) if holds(middle) else (middle + 1, high)
    return low


def edges_of_service(service, discounts, packed, of, low, high, most_steps):
    """Every size in low + 1 .. high at which something that a rule of the service sees can change."""
    values = rising_values(service, packed, of)
    edges = set()
    for measure, bound in set(bounds_of_service(service, discounts)):
        for value in values.get(measure, []):
            if isinstance(bound, tuple):
                first, step = bound
                bottom, top = value(low), value(high)
                start = max(0, oracle.floor((bottom - first) / Fraction(step)))
                stop = min(oracle.ceil((top - first) / Fraction(step)), start + most_steps)
                bounds = [first + step * i for i in range(start, stop + 1)]
            else:
                bounds = [bound]
            for b in bounds:
                for reached in (lambda x, b=b: value(x) >= b, lambda x, b=b: value(x) > b):
                    if reached(low):
                        continue
                    edge = first_where(reached, low, high)
                    if edge is not None:
                        edges.add(edge)
    return edges


def service_of(tables, ask, carrier, code):
    tariff, _ = tables.version(carrier, ask.date)
    return next(s for s in tariff["services"] if s["code"] == code)


# ---------------------------------------------------------------------------------------------------------------------
# R4

def headroom(tables, ask, packed, carrier, code, most_steps=60):
    """D30: {of: growth} at the same total; None: nothing limits it."""
    total = oracle.total_of(tables, ask, packed, carrier, code)
    service, discounts = service_of(tables, ask, carrier, code), tables.discounts(carrier, ask.date)
    found = {}
    for of in ("weight",) + SIDES:
        now, most = size(packed, of), MOST_WEIGHT if of == "weight" else MOST_SIDE
        found[of] = None
        for edge in sorted(edges_of_service(service, discounts, packed, of, now, most, most_steps)):
            if oracle.total_of(tables, ask, at(packed, of, edge), carrier, code) != total:
                found[of] = edge - now - 1
                break
    return found


def saver_floor(ask, packed, of):
    """D28: the least size that is left, or None where a side cannot be made smaller."""
    if of == "weight":
        return packed.weight - packed.goods_weight + 1 if packed.goods_weight else 1
    if packed.packaging == "estimate" or packed.carrier:
        return None
    if ask.parcel is not None:
        return 1
    if packed.kind != "carton":
        return None
    return 1


def still_fits(ask, packed, parcel):
    """D28: whether goods and padding still go into a carton whose sides were cut down."""
    if ask.parcel is not None:
        return True
    source = packed.source
    order = sorted(range(3), key=lambda i: packed.sides[i], reverse=True)
    cut = sorted(packed.sides, reverse=True)
    inside = list(source.inside)
    for rank, i in enumerate(order):
        inside[i] -= cut[rank] - parcel.sides[rank]
    if min(inside) <= 0:
        return False
    goods, upright = oracle.stack(ask.items)
    return oracle.fit(dataclasses.replace(source, inside=inside), goods, upright, ask.padding, False) is not None


def savers(tables, ask, packed, most_steps=10000):
    """D28: {of: (steps to take, best total then)} of a packaging."""
    best = oracle.best_total(tables, ask, packed)
    found = {}
    for of in ("weight",) + SIDES:
        bottom = saver_floor(ask, packed, of)
        now = size(packed, of)
        if bottom is None or bottom >= now:
            continue
        edges = {bottom}
        for carrier, code in oracle.services_on(tables, ask.date):
            service = service_of(tables, ask, carrier, code)
            edges |= edges_of_service(service, tables.discounts(carrier, ask.date), packed, of, bottom, now, most_steps)
        step = ask.steps["weight" if of == "weight" else "sides"]
        edges = sorted(edges)
        for edge, above in reversed(list(zip(edges, edges[1:] + [now + 1]))):
            take = max(1, oracle.ceil(Fraction(now - (above - 1), step)))  # the first whole step below the edge above
            left = now - take * step
            if left < edge:
                continue
            parcel = at(packed, of, left)
            if of != "weight" and not still_fits(ask, packed, parcel):
                break
            total = oracle.best_total(tables, ask, parcel)
            if total is not None and total < best:
                found[of] = (take, total)
                break
    return found


def worst_within(tables, ask, packed, carrier, code):
    """D29: (highest total, whether some place is refused) over corners and edges within the tolerance; a lower bound of the
    worst, for four dimensions at once are not all visited."""
    service, discounts = service_of(tables, ask, carrier, code), tables.discounts(carrier, ask.date)
    places = []
    for of in ("weight",) + SIDES:
        now, more = size(packed, of), ask.tolerance["weight" if of == "weight" else "sides"]
        values = {now, now + more}
        if more:
            for parcel in (packed, dataclasses.replace(packed, weight=packed.weight + ask.tolerance["weight"],
                                                       sides=[side + ask.tolerance["sides"] for side in packed.sides])):
                edges = sorted(edges_of_service(service, discounts, parcel, of, now, now + more, 20))
                values |= set(edges[:2] + edges[-1:])
        places.append(sorted(values))
    worst, refused = 0, False
    for gross, *sides in itertools.product(*places):
        total = oracle.total_of(tables, ask, dataclasses.replace(packed, weight=gross, sides=sides), carrier, code)
        refused = refused or total is None
        worst = max(worst, total or 0)
    return worst, refused


# ---------------------------------------------------------------------------------------------------------------------
# A program's answers

def check_offer(tables, ask, packed, offer, best_savers):
    """Lines on what differs in one offer."""
    carrier, code = offer["carrier"], offer["service"]
    wrong = []
    total = oracle.money(offer["total"])
    for of, growth in headroom(tables, ask, packed, carrier, code).items():
        got = offer.get("headroom", {}).get(of)
        read = oracle.weight if of == "weight" else oracle.length
        if (None if got is None else read(got)) != growth:
            show = None if growth is None else oracle.decimal(growth, 9) + (" g" if of == "weight" else " m")
            wrong.append(f"headroom {of}: expected {show}, got {got}")
    savings = {}
    for saver in offer.get("savers", []):
        savings[saver["of"]] = saver
    for of in ("weight",) + SIDES:
        got, expected = savings.get(of), best_savers.get(of)
        if got is None and expected is None:
            continue
        step = ask.steps["weight" if of == "weight" else "sides"]
        unit = " g" if of == "weight" else " m"
        if expected is None:
            wrong.append(f"saver {of}: expected none, got {got}")
            continue
        shown = f"take {oracle.decimal(expected[0] * step, 9)}{unit} for {oracle.show_money(expected[1], ask.currency)}"
        if got is None:
            wrong.append(f"saver {of}: expected {shown}, got none")
            continue
        take = (oracle.weight if of == "weight" else oracle.length)(got["take"])
        if (take, oracle.money(got["total"])) != (expected[0] * step, expected[1]):
            wrong.append(f"saver {of}: expected {shown}, got {got}")
        elif oracle.Fraction(got["saves"]) * 10 ** 6 != total - expected[1]:
            wrong.append(f"saver {of}: saves {got['saves']}, but {offer['total']} - {got['total']}")
    worst, refused = worst_within(tables, ask, packed, carrier, code)
    if (refused or worst > total) and not offer.get("at_risk"):
        wrong.append(f"at_risk: a total of {oracle.show_money(worst, ask.currency)}{' and a refusal' if refused else ''} is within "
                     f"the tolerance, got {offer.get('at_risk')}")
    if not refused and worst <= total and offer.get("at_risk"):
        wrong.append("at_risk: nothing dearer was found within the tolerance, got true")
    return wrong


def main():
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("folder", type=pathlib.Path)
    parser.add_argument("--command", required=True)
    parser.add_argument("--requests", type=int, default=3, help="requests a world, taken at random")
    parser.add_argument("--offers", type=int, default=3, help="offers a request, the first of the list")
    parser.add_argument("--first", type=int, default=20, help="differences that are printed")
    parser.add_argument("--seed", type=int, default=1)
    args = parser.parse_args()
    worlds = [args.folder] if (args.folder / "requests.jsonl").exists() else sorted(
        path.parent for path in args.folder.glob("*/requests.jsonl"))
    rng = random.Random(args.seed)
    checked = differing = 0
    for world in worlds:
        tables = oracle.Tables.load(world)
        asked = (world / "requests.jsonl").read_text(encoding="utf-8").splitlines()
        rankings, said, code = compare.run(shlex.split(args.command), world)
        if len(rankings) != len(asked):
            print(f"{world}: {len(rankings)} answers to {len(asked)} requests, exit {code}: {said[:500]}")
            differing += 1
            continue
        useful = [i for i, ranking in enumerate(rankings) if ranking.get("offers")]
        for i in sorted(rng.sample(useful, min(args.requests, len(useful)))):
            ask = oracle.read_request(oracle.read_json(asked[i]), tables)
            found = {}
            for offer in rankings[i]["offers"][:args.offers]:
                packed = oracle.packed_in(tables, ask, offer["packaging"] or "own")
                if packed.packaging not in found:
                    found[packed.packaging] = savers(tables, ask, packed)
                wrong = check_offer(tables, ask, packed, offer, found[packed.packaging])
                checked += 1
                if wrong:
                    differing += 1
                    if differing <= args.first:
                        print(f"{world}/requests.jsonl:{i + 1}: {asked[i]}")
                        print(f"  {offer['carrier']}/{offer['service']}/{offer['packaging']} {offer['total']}")
                        for line in wrong:
                            print(f"    {line}")
    print(f"{len(worlds)} worlds, {checked} offers checked, {differing} differ")
    return 1 if differing else 0


if __name__ == "__main__":
    sys.exit(main())
