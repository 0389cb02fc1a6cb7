#!/usr/bin/env python3
"""Headroom, savers and at_risk of the ranking page (B4), found by pricing again at every place where a price can change.

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

MOST_WEIGHT = 100000 * 10 ** 12  # A1
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
        for bounds, _ in price["rows"]:
            yield from zip(price["by"], bounds)
        if price["beyond"] is not None:
            yield price["by"][0], (price["rows"][-1][0][0], price["beyond"]["step"])
        if price["rate"] is not None:
            yield price["by"][0], (0, price["rate"])
    elif price["kind"] == "per":
        yield price["measure"], (0, price["step"])


def bounds_of_service(service, discounts):
    """Every (measure, bound) that can matter to a price or a refusal of the service."""
    found = list(bounds_of_price(service["included_cover"]["price"]))
    for rule in service["measure"]["dimensional"] + service["measure"]["at_least"]:
        found += bounds_of_test(rule["when"])
    for entry in service["refuse"]:
        found += bounds_of_test(entry["when"])
    for priced in service["prices"] + service["surcharges"] + list(service["extras"].values()):
        found += bounds_of_test(priced["when"])
        found += bounds_of_price(priced["price"])
    for other in discounts + ([service["tax"]] if service["tax"] is not None else []):
        found += bounds_of_test(other["when"])
    return found


def looked_at(tables, ask, carrier):
    """What beside the service's own rules has a test that weight and sides decide: discounts, and what the seller avoids."""
    return tables.discounts(carrier, ask.date) + (tables.seller["avoid"] if tables.seller is not None else [])


# ---------------------------------------------------------------------------------------------------------------------
# Where they lie for one parcel

def at(packed, of, value):
    """The parcel with its weight, or one of its sides, of another size. A side is named by rank, or numbered as written."""
    if of == "weight":
        return dataclasses.replace(packed, weight=value)
    sides = list(packed.sides) if isinstance(of, int) else sorted(packed.sides, reverse=True)
    sides[of if isinstance(of, int) else SIDES.index(of)] = value
    return dataclasses.replace(packed, sides=sides)


def size(packed, of):
    if of == "weight":
        return packed.weight
    return packed.sides[of] if isinstance(of, int) else sorted(packed.sides, reverse=True)[SIDES.index(of)]


def rising_values(service, parcel_of, consignment):
    """What the rules see, as functions of a size: each only rises. Billable weight is the greatest of its parts."""
    seen = {}

    def facts(x):
        if x not in seen:
            parcel = parcel_of(x)
            seen[x] = {"shape": parcel.shape, "consignment": consignment}
            oracle.add_measures(seen[x], service["measure"], parcel.weight, parcel.sides)
        return seen[x]

    values = {}
    for measure in oracle.MEASURES - oracle.MONEY_MEASURES - oracle.COUNT_MEASURES - {"billable_weight"}:
        values[measure] = [lambda x, measure=measure: facts(x)[measure]]
    how = service["measure"]["weight"]

    def dimensional(x, rule):
        w = oracle.rounded_quantity(Fraction(facts(x)["volume"]) / rule["volume_per_weight"], how)
        return w if rule["at_most"] is None else min(w, rule["at_most"])

    values["billable_weight"] = [lambda x: oracle.rounded_quantity(parcel_of(x).weight, how)] + [
        lambda x, rule=rule: dimensional(x, rule) for rule in service["measure"]["dimensional"]]
    return values


def first_where(holds, low, high):
    """The least whole number in low..high at which a condition that stays true once true holds, or None."""
    if not holds(high):
        return None
    while low < high:
        middle = (low + high) // 2
        low, high = (low, middle) if holds(middle) else (middle + 1, high)
    return low


def edges_along(ask, service, discounts, parcel_of, low, high, most_steps):
    """Every size in low + 1 .. high at which something that a rule of the service sees in parcel_of(size) can change."""
    values = rising_values(service, parcel_of, ask.consignment)
    edges = set()
    for measure, bound in set(bounds_of_service(service, discounts)):
        for value in values.get(measure, []):
            bottom, top = value(low), value(high)
            if bottom == top:
                continue
            if isinstance(bound, tuple):
                first, step = bound
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


def edges_of_service(ask, service, discounts, packed, of, low, high, most_steps):
    """The same where the parcel's weight or one of its sides, and nothing else, is of another size."""
    return edges_along(ask, service, discounts, lambda x: at(packed, of, x), low, high, most_steps)


def service_of(tables, ask, carrier, code):
    tariff, _ = tables.version(carrier, ask.date)
    return next(s for s in tariff["services"] if s["code"] == code)


# ---------------------------------------------------------------------------------------------------------------------
# B4

def headroom(tables, ask, packed, carrier, code, most_steps=60):
    """B4: {of: growth} at the same total; None: nothing limits it."""
    total = oracle.total_of(tables, ask, packed, carrier, code)
    service, discounts = service_of(tables, ask, carrier, code), looked_at(tables, ask, carrier)
    found = {}
    for of in ("weight",) + SIDES:
        now, most = size(packed, of), MOST_WEIGHT if of == "weight" else MOST_SIDE
        found[of] = None
        for edge in sorted(edges_of_service(ask, service, discounts, packed, of, now, most, most_steps)):
            if oracle.total_of(tables, ask, at(packed, of, edge), carrier, code) != total:
                found[of] = edge - now - 1
                break
    return found


def saver_floor(ask, packed, of):
    """B4: the least size that is left, or None where a side cannot be made smaller."""
    if of == "weight":
        return packed.weight - packed.goods_weight + 1 if packed.goods_weight else 1
    if packed.packaging == "estimate" or packed.carrier:
        return None
    return 1 if ask.parcel is not None or packed.kind == "carton" else None


def still_fits(ask, packed, parcel):
    """B4: whether goods and padding still go into a carton whose sides were cut down."""
    if ask.parcel is not None:
        return True
    source = packed.source
    order = sorted(range(3), key=lambda i: packed.sides[i], reverse=True)
    cut = sorted(packed.sides, reverse=True)
    inside = list(source.inside)
    if packed.cut_to is not None:
        inside[2] -= source.outside[2] - packed.cut_to
    for rank, i in enumerate(order):
        inside[i] -= cut[rank] - parcel.sides[rank]
    if min(inside) <= 0:
        return False
    return oracle.fit(dataclasses.replace(source, inside=inside), ask.items, ask.padding) is not None


def savers(tables, ask, packed, most_steps=10000):
    """B4, A8: {of: (steps to take, total of the best offer then)} of a packaging, best by total and handicap together."""
    best = with_handicap(oracle.best_offer(tables, ask, packed))
    found = {}
    for of in ("weight",) + SIDES:
        bottom = saver_floor(ask, packed, of)
        now = size(packed, of)
        if bottom is None or bottom >= now:
            continue
        edges = {bottom}
        for carrier, code in oracle.services_on(tables, ask.date):
            service = service_of(tables, ask, carrier, code)
            edges |= edges_of_service(ask, service, looked_at(tables, ask, carrier), packed, of, bottom, now, most_steps)
        step = ask.steps["weight" if of == "weight" else "sides"]
        edges = sorted(edges)
        for edge, above in reversed(list(zip(edges, edges[1:] + [now + 1]))):
            take = max(1, oracle.ceil((now - (above - 1) - Fraction(1, 2)) / step))  # the first whole step below the edge above
            left = now - oracle.half_up(take * step)
            if left >= above:
                take, left = take + 1, now - oracle.half_up((take + 1) * step)
            if left < edge:
                continue
            parcel = at(packed, of, left)
            if of != "weight" and not still_fits(ask, packed, parcel):
                break
            offer = oracle.best_offer(tables, ask, parcel)
            if offer is not None and with_handicap(offer) < best:
                found[of] = (take, offer["total"])
                break
    return found


def with_handicap(offer):
    return offer["total"] + offer["handicap"]


def worst_within(tables, ask, packed, carrier, code):
    """B4: (highest total, whether some place is refused) over corners and edges within the tolerance; a lower bound of the
    worst, for four dimensions at once are not all visited."""
    service, discounts = service_of(tables, ask, carrier, code), looked_at(tables, ask, carrier)
    places = []
    for of in ("weight",) + SIDES:
        now, more = size(packed, of), ask.tolerance["weight" if of == "weight" else "sides"]
        values = {now, now + more}
        if more:
            for parcel in (packed, dataclasses.replace(packed, weight=packed.weight + ask.tolerance["weight"],
                                                       sides=[side + ask.tolerance["sides"] for side in packed.sides])):
                edges = sorted(edges_of_service(ask, service, discounts, parcel, of, now, now + more, 20))
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
    room = headroom(tables, ask, packed, carrier, code)
    said = {of: (oracle.weight if of == "weight" else oracle.length)(text) for of, text in offer.get("headroom", {}).items()}
    if any(of in said and (room[of] is None or room[of] > said[of]) for of in room):  # look further than the first steps
        room = headroom(tables, ask, packed, carrier, code, 10000)
    for of, growth in room.items():
        got = offer.get("headroom", {}).get(of)
        if said.get(of) != growth:
            show = None if growth is None else oracle.decimal(growth, 9) + (" g" if of == "weight" else " m")
            short = said.get(of) is not None and (growth is None or said[of] < growth)
            wrong.append(f"headroom {of}: expected {show}, got {got}" + (", past which the total is the same" if short else ""))
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
        taken = oracle.half_up(expected[0] * step)
        shown = f"take {oracle.decimal(taken, 9)}{unit} for {oracle.show_money(expected[1], ask.currency)}"
        if got is None:
            wrong.append(f"saver {of}: expected {shown}, got none")
            continue
        take = (oracle.weight if of == "weight" else oracle.length)(got["take"])
        if (take, oracle.money(got["total"])) != (taken, expected[1]):
            wrong.append(f"saver {of}: expected {shown}, got {got}")
        elif oracle.Fraction(got["saves"]) * 10 ** 6 != total - expected[1]:
            wrong.append(f"saver {of}: saves {got['saves']}, but {offer['total']} - {got['total']}")
    worst, refused = worst_within(tables, ask, packed, carrier, code)
    if (refused or worst > total) and not offer.get("at_risk"):
        wrong.append(f"at_risk: a total of {oracle.show_money(worst, ask.currency)}{' and a refusal' if refused else ''} is within "
                     f"the tolerance, got {offer.get('at_risk')}")
    if not refused and worst <= total and offer.get("at_risk"):
        wrong.append("at_risk: nothing dearer was found within the tolerance, got true")
    due = offer.get("total_at_risk")
    if offer.get("at_risk") and refused != (due is None):
        wrong.append(f"at_risk: {'a refusal' if refused else 'no refusal'} was found within the tolerance, got total {due}")
    elif due is not None and oracle.money(due) != worst:
        wrong.append(f"at_risk: the highest total found is {oracle.show_money(worst, ask.currency)}, got {due}")
    return wrong


# ---------------------------------------------------------------------------------------------------------------------
# Ranges: the goods are walked, and the parcels are those that they make

def as_offered(ask, packed, offer):
    """B4: of a range, thresholds are those of the parcel that the offer tells, the dearest; of a carton that may be cut down, of the one
    of the two that it tells."""
    *numbers, unit = offer["parcel"]["sides"].replace(" x ", " ").split()
    sides = sorted((oracle.length(f"{number} {unit}") for number in numbers), reverse=True)
    for given in [packed.sides] + ([packed.cut.sides] if packed.cut is not None else []):
        if sides == sorted(given, reverse=True):
            sides = given
    gross = oracle.weight(offer["parcel"]["weight"])
    goods = packed.goods_weight
    if packed.packaging == "estimate":
        goods = gross - ask.most if gross > oracle.weight("1 lb") else gross
    elif goods:
        goods = gross - (packed.weight - goods)
    height = oracle.length(offer["cut_to"]) if "cut_to" in offer else None
    return dataclasses.replace(packed, weight=gross, sides=sides, goods_weight=goods, cut=None, cut_to=height)


def at_low_end(ask):
    return dataclasses.replace(ask, items=[dataclasses.replace(item, weight=item.least_weight, sides=item.least_sides,
                                                               largest=item.largest or item.sides) for item in ask.items])


def ranging(ask):
    """Every (number of an item, "weight" or number of a side, low end, high end) that ranges."""
    found = []
    for i, item in enumerate(ask.items):
        if item.weight != item.least_weight:
            found.append((i, "weight", item.least_weight, item.weight))
        found += [(i, side, item.least_sides[side], item.sides[side]) for side in range(3)
                  if item.sides[side] != item.least_sides[side]]
    return found


def with_size(ask, i, of, x):
    """The request with one weight or side of an item of another size, all units of the item alike."""
    item = ask.items[i]
    changed = {"weight": x} if of == "weight" else {"sides": item.sides[:of] + [x] + item.sides[of + 1:], "largest": item.largest or item.sides}
    return dataclasses.replace(ask, items=ask.items[:i] + [dataclasses.replace(item, **changed)] + ask.items[i + 1:])


def totals_over(tables, ask, packaging, carrier, code, allowance):
    """({total or None: the heaviest parcel there}, whether exact) over every range; exact where one thing alone ranges."""
    service, discounts = service_of(tables, ask, carrier, code), looked_at(tables, ask, carrier)
    of_all = ranging(ask)
    places = []
    for i, of, low, high in of_all:
        edges = set()
        for start in (ask, at_low_end(ask)) if len(of_all) > 1 else (ask,):
            def parcel_of(x, start=start, i=i, of=of):
                return oracle.packed_in(tables, with_size(start, i, of, x), packaging, allowance)
            edges |= edges_along(ask, service, discounts, parcel_of, low, high, 1000)
        sizes = sorted({low, high} | edges | {edge - 1 for edge in edges})
        places.append(sizes if len(of_all) == 1 else sizes[:8] + sizes[-8:])
    totals = {}
    for values in itertools.product(*places):
        here = ask
        for (i, of, _, _), x in zip(of_all, values):
            here = with_size(here, i, of, x)
        packed = oracle.packed_in(tables, here, packaging, allowance)
        total = oracle.total_of(tables, here, packed, carrier, code)
        if total not in totals or packed.weight > totals[total].weight:
            totals[total] = packed
    return totals, len(of_all) <= 1


def check_range(tables, ask, offer):
    """Lines on what differs in the lowest and highest total of an offer, and in the parcel that it is of."""
    estimate = ask.parcel is None and tables.shelf is None
    got = offer.get("total_range")
    if not ranging(ask):
        return []
    way = offer["packaging"] or "own", offer["carrier"], offer["service"]
    totals, exact = totals_over(tables, ask, *way, ask.most)
    if None in totals:
        return [f"offered, but refused for {totals[None]}"]
    dearest = max(totals)
    wrong = []
    if oracle.money(offer["total"]) < dearest or (exact and oracle.money(offer["total"]) != dearest):
        wrong.append(f"total: expected the highest, {oracle.show_money(dearest, ask.currency)}, got {offer['total']}")
    elif exact and oracle.weight(offer["parcel"]["weight"]) != totals[dearest].weight:
        wrong.append(f"parcel: expected the heaviest of the dearest, {oracle.show_weight(totals[dearest].weight)}, got {offer['parcel']}")
    if estimate:
        least, exact_too = totals_over(tables, ask, *way, ask.least)
        exact = exact and exact_too
        if None not in least:
            totals |= least
    lowest, highest = min(totals), max(totals)
    shown = f"{oracle.show_money(lowest, ask.currency)} to {oracle.show_money(highest, ask.currency)}"
    if got is None:
        return wrong if lowest == highest else wrong + [f"total_range: expected {shown}, got none"]
    a, b = oracle.money(got["lowest"]), oracle.money(got["highest"])
    if (exact and (a, b) != (lowest, highest)) or a > lowest or b < highest:
        wrong.append(f"total_range: {'expected' if exact else 'found'} {shown}, got {got}")
    return wrong


def first_choice(tables, ask):
    """(carrier, service, packaging, total) of the first offer, or None."""
    offers, _ = oracle.offers_and_refusals(tables, ask)
    if not offers:
        return None
    offer = offers[0][0]
    return offer["carrier"], offer["service"], offer["packaging"], offer["total"]


def winners(tables, ask):
    """[(size, first choice)] wherever the first choice changes over the only range, from its low end on: of a side the size of
    the item's, of a weight that of the goods (of an estimate: of the parcel)."""
    (i, of, low, high), = ranging(ask)

    def packed_at(x):
        return {packed.packaging: packed for packed in oracle.packings(tables, with_size(ask, i, of, x))[0]}

    edges = {low}
    for packaging in packed_at(low):
        def is_out(x, packaging=packaging):
            return not any(packed.packaging == packaging
                           for packed in oracle.packings(tables, with_size(ask, i, of, x), None, packaging)[0])
        last = first_where(is_out, low, high)
        if last is not None:
            edges.add(last)

        def parcel_of(x, packaging=packaging):
            return oracle.packed_in(tables, with_size(ask, i, of, x), packaging or "own")
        for carrier, code in oracle.services_on(tables, ask.date):
            service = service_of(tables, ask, carrier, code)
            edges |= edges_along(ask, service, looked_at(tables, ask, carrier), parcel_of, low,
                                 high if last is None else last - 1, 1000)
    changes = []
    for edge in sorted(edges):
        choice = first_choice(tables, with_size(ask, i, of, edge))
        if not changes or (changes[-1][1] or ())[:3] != (choice or ())[:3]:
            changes.append((edge, choice))
    return changes


def check_changes(tables, ask, ranking):
    """Lines on where the winner changes, where one weight, or one side of one unit, is all that ranges."""
    of_all = ranging(ask)
    if len(of_all) != 1:
        return []
    i, of, _, _ = of_all[0]
    if of != "weight" and (len(ask.items) > 1 or ask.items[0].quantity > 1):
        return [f"changes: expected none along a side of several units, got {ranking['changes']}"] if ranking.get("changes") else []
    estimate = ask.parcel is None and tables.shelf is None
    read = oracle.weight if of == "weight" else oracle.length

    def told(x):
        """The size that is told of the last place of a winner."""
        if of != "weight":
            return x
        here = with_size(ask, i, of, x)
        if estimate:
            return oracle.packings(tables, here)[0][0].weight
        return sum(item.weight * item.quantity for item in here.items)

    got = []
    for change in ranking.get("changes", []):
        packaging = change.get("packaging", "")
        got.append((read(change["above"]), (change.get("carrier", ""), change.get("service", ""),
                                            "" if packaging == "own" else packaging, oracle.money(change.get("total", "0")))))
    expected = [(told(edge - 1), told(edge), choice or ("", "", "", 0)) for edge, choice in winners(tables, ask)[1:]]
    # Any bound between the last place of one winner and the first of the next says the same of goods that come in steps.
    if len(got) == len(expected) and all(
            low <= above < high and (estimate or ask.items[i].quantity > 1 or above == low) and said == choice
            for (above, said), (low, high, choice) in zip(got, expected)):
        return []
    return [f"changes: expected {expected}", f"              got {got}"]


def vary_request(text, rng, ranges):
    """A request with a tolerance, steps or an objective, or with a range, so that there are thresholds to look at."""
    request = json.loads(text)
    pick = rng.random()
    if pick < 0.5:
        request["tolerance"] = rng.choice(({"weight": "0.2 oz", "sides": "0.25 in"}, {"weight": "10 g"}, {"sides": "5 mm"},
                                           {"weight": "1 lb", "sides": "1 in"}))
        if pick < 0.2:
            request["objective"] = "cautious"
    if rng.random() < 0.3:
        request["steps"] = rng.choice(({"weight": "1/2 oz"}, {"weight": "5 g", "sides": "1 cm"}, {"sides": "0.1 in"}))
    things = [request["parcel"]] if "parcel" in request else request["goods"]
    thing = rng.choice(things)
    try:
        grams, sides = oracle.read_weight(thing["weight"]), oracle.read_sides(thing["sides"])
    except ValueError:
        return json.dumps(request)
    if ranges:
        if rng.random() < 0.5 or "soft" in thing:  # whose sides do not range
            low = max(1, grams - rng.choice((1, 10 ** 9, 28349523125, 113398092500, grams // 3, grams * 9 // 10)))
            thing["weight"] = f"{oracle.decimal(low, 9)}..{oracle.decimal(grams, 9)} g"
        else:
            i = rng.randrange(3)
            low = max(1, sides[i] - rng.choice((1, 10 ** 6, 25400000, sides[i] // 3, sides[i] * 9 // 10)))
            parts = [oracle.decimal(side, 6) for side in sides]
            parts[i] = f"{oracle.decimal(low, 6)}..{parts[i]}"
            thing["sides"] = " x ".join(parts) + " mm"
    return json.dumps(request)


def main():
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("folder", type=pathlib.Path)
    parser.add_argument("--command", required=True)
    parser.add_argument("--requests", type=pathlib.Path, help="requests, one a line, for the tables in the folder")
    parser.add_argument("--cases", type=int, default=3, help="requests a world, taken at random")
    parser.add_argument("--offers", type=int, default=3, help="offers a request, the first of the list")
    parser.add_argument("--first", type=int, default=20, help="differences that are printed")
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--ranges", action="store_true", help="make a weight or a side of each request a range first")
    args = parser.parse_args()
    worlds = [args.folder] if args.requests or (args.folder / "requests.jsonl").exists() else sorted(
        path.parent for path in args.folder.glob("*/requests.jsonl"))
    rng = random.Random(args.seed)
    checked = differing = 0
    for world in worlds:
        tables = oracle.Tables.load(world)
        file = args.requests or world / "requests.jsonl"
        asked = [vary_request(line, rng, args.ranges) for line in file.read_text(encoding="utf-8").splitlines()]
        rankings, said, code = compare.run(shlex.split(args.command), world, asked)
        if len(rankings) != len(asked):
            print(f"{world}: {len(rankings)} answers to {len(asked)} requests, exit {code}: {said[:500]}")
            differing += 1
            continue
        useful = [i for i, ranking in enumerate(rankings) if ranking.get("offers")]
        for i in sorted(rng.sample(useful, min(args.cases, len(useful)))):
            ask = oracle.read_request(oracle.read_json(asked[i]), tables)
            found = {}
            whole = check_changes(tables, ask, rankings[i])
            if ask.objective == "cautious" and not compare.cautious_order(rankings[i]):
                whole.append("the offers are not in the order of their total at risk")
            if whole:
                differing += 1
                if differing <= args.first:
                    print(f"{file}:{i + 1}: {asked[i]}")
                    for line in whole:
                        print(f"    {line}")
            for offer in rankings[i]["offers"][:args.offers]:
                packed = oracle.packed_in(tables, ask, offer["packaging"] or "own")
                dearest = as_offered(ask, packed, offer)
                if packed.packaging not in found:
                    found[packed.packaging] = savers(tables, ask, dearest)
                wrong = check_offer(tables, ask, dearest, offer, found[packed.packaging]) + check_range(tables, ask, offer)
                checked += 1
                if wrong:
                    differing += 1
                    if differing <= args.first:
                        print(f"{file}:{i + 1}: {asked[i]}")
                        print(f"  {offer['carrier']}/{offer['service']}/{offer['packaging']} {offer['total']}")
                        for line in wrong:
                            print(f"    {line}")
    print(f"{len(worlds)} worlds, {checked} offers checked, {differing} differ")
    return 1 if differing else 0


if __name__ == "__main__":
    sys.exit(main())
