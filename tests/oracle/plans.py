#!/usr/bin/env python3
"""The slow planner: B9 of tables/FORMAT.md by trying everything, and a comparison of a program's plans with it.

Every way to part the goods into at most so many parcels is made; of each parcel every packaging and every service is priced by
oracle.py, as a request for its goods alone; and of each way the lowest sum is looked for among all choices of these. Nothing is
cut short, so orders are of a few units.

    plans.py FOLDER --command PATH [--jobs N]     compares a program's plans over the worlds that random_orders.py wrote

The program is run as `PATH rank --tables WORLD --json --each`. Of each answer are compared: whether it is an error; the costs of the cheapest
ways and how many are told; `single`, `proved`, `at_least`; the obstacles. Of each plan that is told: that every unit is in it
once, what must be together or apart, that no packaging is used beyond what is on hand, that all go by one where that is asked, the price of every
parcel as the slow pricer prices that offer, the sums, the days, the order of parcels and plans, and that no choice costs less.

Where the slow pricer does not decide whether several units go into a packaging, the program's own ranking of these goods alone is asked, and
its arrangements are checked place by place (compare.py). Goods that range, and cautious orders with a tolerance, are priced by the
program's own rankings of each set of goods: those are compared elsewhere.
"""

import argparse
import collections
import dataclasses
import functools
import itertools
import json
import math
import multiprocessing
import pathlib
import shlex
import subprocess
import sys
from fractions import Fraction

sys.path.insert(0, str(pathlib.Path(__file__).parent))
import compare  # noqa: E402
import oracle  # noqa: E402
import packing  # noqa: E402

MOST_PARCELS = 100
MOST_PLANS = 100
MOST_CHOICES = 1500  # of services for the parcels of one way, where it matters what goes together
FEW_STEPS = 300  # of the search of packing.py: then the program is asked
LANE = {"not_in_force", "no_zone", "delivered_elsewhere", "promise_not_met"}  # reasons that no goods change
NOTHING = 0, 0  # a cost: whether a parcel may be refused, and the sum


class Unknown(Exception):
    """A set of goods of which the slow pricer does not say what takes it."""

    def __init__(self, alone):
        super().__init__(alone)
        self.alone = alone


# ---------------------------------------------------------------------------------------------------------------------
# What is asked

@dataclasses.dataclass
class Parting:
    """`parcels` of a request, read."""
    most: int
    all_by: str
    together: list
    apart: list
    plans: int


def a_number(value, most, what):
    if isinstance(value, bool) or not isinstance(value, int) or not 1 <= value <= most:
        raise ValueError(f"{what}: {value!r} is not a whole number from 1 to {most}")
    return value


def read_places(places, least, goods, what):
    if not isinstance(places, list) or len(places) < least or len(set(map(str, places))) != len(places):
        raise ValueError(f"{what}: {places!r} is not {least} or more places, each once")
    for place in places:
        if isinstance(place, bool) or not isinstance(place, int) or not 0 <= place < goods:
            raise ValueError(f"{what}: {place!r} is no place of the goods")
    return places


def read_parting(request):
    """B9: the keys of `parcels`; of sealed parcels `all_by` alone."""
    parcels = request.get("parcels", {})
    if not isinstance(parcels, dict):
        raise ValueError("`parcels` is no object")
    sealed = "sealed" in request
    if sealed and ("goods" in request or "parcel" in request):
        raise ValueError("sealed parcels beside goods")
    if not sealed and "goods" not in request:
        raise ValueError("`parcels` of a sealed parcel")
    oracle.check_keys(parcels, {"all_by"} if sealed else {"most", "all_by", "together", "apart", "plans"}, "parcels")
    all_by = oracle.one_of(parcels.get("all_by", "any"), ("any", "carrier", "service"))
    if sealed:
        if not isinstance(request["sealed"], list) or not 1 <= len(request["sealed"]) <= MOST_PARCELS:
            raise ValueError("`sealed` is not 1 to 100 parcels")
        return Parting(len(request["sealed"]), all_by, [], [], 1)
    goods = len(request["goods"])
    together = [read_places(places, 1, goods, "together") for places in parcels.get("together", [])]
    apart = [read_places(places, 2, goods, "apart") for places in parcels.get("apart", [])]
    named = [place for places in together for place in places]
    if len(named) != len(set(named)):
        raise ValueError("a place stands in two lists of `together`")
    if any(len(set(one) & set(other)) > 1 for one in together for other in apart):
        raise ValueError("two that must be together cannot be apart")
    return Parting(a_number(parcels["most"], MOST_PARCELS, "most"), all_by, together, apart, a_number(parcels.get("plans", 3), MOST_PLANS, "plans"))


def kept(method):
    """Of a method: what it gave for the same arguments before, kept with the object."""
    @functools.wraps(method)
    def answer(self, *args):
        key = (method.__name__, *args)
        if key not in self.known:
            self.known[key] = method(self, *args)
        return self.known[key]
    return answer


# ---------------------------------------------------------------------------------------------------------------------
# One order: its units, by kinds that are interchangeable

@dataclasses.dataclass(frozen=True)
class Option:
    """One offer for some goods, as one parcel of a consignment of one."""
    stock: tuple  # (issuer, code) of the packaging
    carrier: str
    service: str
    cost: tuple
    total: int
    order: tuple  # B3
    cautions: frozenset = frozenset()  # B7, of the offer alone


class Order:
    """A request with several parcels, and what each part of it costs. `ask_program` gives a ranking of goods alone, or nothing."""

    def __init__(self, tables, request, ask_program=None, by_rankings=False):
        self.tables, self.request, self.ask_program, self.by_rankings, self.known = tables, request, ask_program, by_rankings, {}
        self.hopeless = set()  # services that are refused on this lane whatever the goods are
        self.parting = read_parting(request)
        self.sealed = request.get("sealed")
        if self.sealed is not None:
            self.items = [dict(parcel) for parcel in self.sealed]
            for parcel in self.sealed:
                self.read({**self.rest(), "parcel": parcel})
            self.kind_of, self.counts = list(range(len(self.items))), [1] * len(self.items)
        else:
            self.items = request["goods"]
            self.whole = self.read({**self.rest(), "goods": self.items})
            self.count_kinds()
        self.kinds = [self.items[self.kind_of.index(kind)] for kind in range(len(self.counts))]
        first = self.read({**self.rest(), "parcel": self.sealed[0]}) if self.sealed is not None else self.whole
        if "paid_for" in first.promise:
            oracle.paid_service(tables, first)
        self.currency = first.currency
        self.read_cover()
        if self.parting.most > 1 and oracle.money(request.get("amounts", {}).get("cash_on_delivery", 0)) > 0:
            raise ValueError("cash on delivery of several parcels")
        if self.sealed is not None:
            for place in range(len(self.sealed)):
                self.packings_of(self.alone_in(place))

    def read(self, request):
        return oracle.read_request(request, self.tables)

    def rest(self):
        """The request without what is sent."""
        return {key: value for key, value in self.request.items() if key not in ("goods", "sealed", "parcels", "consignment")}

    def count_kinds(self):
        """B9: units are interchangeable of one item, and of items that are alike in all but their titles and named in no list."""
        named = {place for places in self.parting.together + self.parting.apart for place in places}
        self.kind_of, self.counts, seen = [], [], []
        for place, item in enumerate(self.whole.items):
            alike = dataclasses.replace(item, quantity=1)
            kind = next((kind for kind, other in enumerate(seen) if place not in named and other == alike), None)
            if kind is None:
                kind = len(seen)
                seen.append(None if place in named else alike)
                self.counts.append(0)
            self.kind_of.append(kind)
            self.counts[kind] += item.quantity

    def read_cover(self):
        """B9: shared by declared value."""
        self.cover = oracle.money(self.request.get("cover", 0))
        things = [oracle.money(item.get("value", 0)) for item in self.kinds]
        self.values = things
        self.value = sum(value * count for value, count in zip(things, self.counts))
        if self.cover and not self.value and self.parting.most > 1:
            raise ValueError("a cover of goods without a declared value")

    def cover_of(self, part):
        if not self.cover or not self.value:
            return self.cover
        share = Fraction(self.cover * sum(value * count for value, count in zip(self.values, part)), self.value)
        return oracle.rounded(share, oracle.minor_unit(self.currency), "up")

    def alone_in(self, place):
        return tuple(int(other == place) for other in range(len(self.items)))

    @kept
    def request_of(self, part):
        """The request for some of the goods alone."""
        request, cover = self.rest(), self.cover_of(part)
        request.pop("cover", None)
        if cover:
            request["cover"] = oracle.decimal(cover, 6)
        if self.sealed is not None:
            request["parcel"] = self.sealed[part.index(1)]
        else:
            request["goods"] = [{**item, "quantity": count} for item, count in zip(self.kinds, part) if count]
        return request

    # -- what a part may hold

    @functools.cached_property
    def blocks(self):
        """The least that must travel together: a list of `together`, or one unit."""
        blocks, taken = [], set()
        for places in self.parting.together:
            kinds = {self.kind_of[place] for place in places}
            taken |= kinds
            blocks.append(tuple(count if kind in kinds else 0 for kind, count in enumerate(self.counts)))
        for kind in range(len(self.counts)):
            if kind not in taken:
                blocks.append(tuple(int(other == kind) for other in range(len(self.counts))))
        return blocks

    def may_be(self, part):
        for places in self.parting.together:
            shares = [part[self.kind_of[place]] == self.counts[self.kind_of[place]] for place in places]
            some = [part[self.kind_of[place]] > 0 for place in places]
            if any(some) and not all(shares):
                return False
        for places in self.parting.apart:
            if sum(1 for place in places if part[self.kind_of[place]] > 0) > 1:
                return False
        return self.sealed is None or sum(part) == 1

    @functools.cached_property
    def parts(self):
        found = itertools.product(*(range(count, -1, -1) for count in self.counts))
        return [part for part in found if any(part) and self.may_be(part)]

    def ways(self, most):
        """Every way to part the goods, each once: parts that fall in the order of the page, the first item's units first."""
        parts = [part for part in self.parts if self.options(part) or self.joined_services(part)]

        def go(left, start, so_far):
            if not any(left):
                yield tuple(so_far)
                return
            if len(so_far) == most:
                return
            lead = next(kind for kind, count in enumerate(left) if count)
            for at in range(start, len(parts)):
                part = parts[at]
                if any(part[:lead]):
                    continue
                if not part[lead]:  # they fall: none that follows has it
                    return
                if all(x <= y for x, y in zip(part, left)):
                    yield from go([y - x for x, y in zip(part, left)], at, so_far + [part])
        yield from go(list(self.counts), 0, [])

    # -- what a part costs

    @kept
    def ask(self, part, consignment):
        request = self.request_of(part)
        if consignment is not None:
            others, weight, first = consignment
            request = {**request, "consignment": {"others": others, "others_weight": oracle.show_weight(weight), "first": first}}
        return self.read(request)

    @kept
    def packings_of(self, part):
        ask = self.ask(part, None)
        try:
            return oracle.packings(self.tables, ask)[0]
        except packing.Undecided:
            pass
        if self.ask_program is None:
            raise packing.Undecided("and no program to ask")
        told = self.ask_program(self.request_of(part))
        if told is None:
            raise Unknown(self.request_of(part))
        return told_packings(self.tables, ask, told)

    @functools.cached_property
    def services(self):
        return oracle.services_on(self.tables, self.request["date"])

    @functools.cached_property
    def joined(self):
        """The services for which it matters what else goes with a parcel."""
        found = set()
        for carrier, code in self.services:
            tariff, _ = self.tables.version(carrier, self.request["date"])
            service = next(s for s in tariff["services"] if s["code"] == code)
            if asks_the_consignment(service, self.tables.discounts(carrier, self.request["date"])):
                found.add((carrier, code))
        return found

    def judged(self, part, packed, carrier, service, consignment=None):
        """(offer or None) of one packaging and one service."""
        if (carrier, service) in self.hopeless:
            return None
        offer, reasons = oracle.judge(self.tables, self.ask(part, consignment), packed, carrier, service)
        if offer is None and LANE & set(reasons):
            self.hopeless.add((carrier, service))
        return offer

    @kept
    def options(self, part):
        """Every offer by a service for which nothing else matters, in the order of B3."""
        if self.by_rankings:
            return self.told_options(part)
        found = []
        for packed in self.packings_of(part):
            for carrier, service in self.services:
                if (carrier, service) in self.joined:
                    continue
                offer = self.judged(part, packed, carrier, service)
                if offer is not None:
                    found.append(Option((packed.carrier, packed.packaging), carrier, service, (0, offer["total"] + offer["handicap"]), offer["total"],
                                        oracle.order_of(offer), frozenset(offer["cautions"])))
        return sorted(found, key=lambda option: option.order)

    def told_options(self, part):
        told = self.ask_program(self.request_of(part))
        if told is None:
            raise Unknown(self.request_of(part))
        if "error" in told:
            raise ValueError(told["error"])
        found = []
        for place, offer in enumerate(told["offers"]):
            late, due = 0, offer["total"]
            if self.request.get("objective") == "cautious":
                late, due = int(offer["at_risk"] and "total_at_risk" not in offer), offer.get("total_at_risk", offer["total"])
            found.append(Option((offer.get("issued_by", ""), offer["packaging"]), offer["carrier"], offer["service"],
                                (late, millionths(due) + millionths(offer.get("handicap", "0"))), millionths(offer["total"]), (place,)))
        return found

    @kept
    def joined_services(self, part):
        """Services of a consignment that may take the part, by name; whether they do is known when the others are."""
        if self.by_rankings:
            return []
        for carrier, service in self.joined - self.hopeless:
            for packed in self.packings_of(part)[:1]:
                self.judged(part, packed, carrier, service)
        return sorted(self.joined - self.hopeless) if self.packings_of(part) else []

    @kept
    def joined_offer(self, part, number, carrier, service, consignment):
        packed = self.packings_of(part)[number]
        return self.judged(part, packed, carrier, service, consignment)

    def alone_offers(self, part):
        """Options of a part as a consignment of one, by whatever service."""
        found = list(self.options(part))
        for carrier, service in self.joined_services(part):
            for number, packed in enumerate(self.packings_of(part)):
                offer = self.joined_offer(part, number, carrier, service, None)
                if offer is not None:
                    found.append(Option((packed.carrier, packed.packaging), carrier, service, (0, offer["total"] + offer["handicap"]), offer["total"],
                                        oracle.order_of(offer), frozenset(offer["cautions"])))
        return sorted(found, key=lambda option: option.order)

    @functools.cached_property
    def on_hand(self):
        """(issuer, code) of each packaging with a number, which sealed parcels do not take: they are packed."""
        if self.sealed is not None or self.tables.shelf is None:
            return {}
        return {(p.carrier, p.code): p.on_hand for p in oracle.packagings_at_hand(self.tables, self.ask(self.parts[0], None))[0]
                if p.on_hand is not None}

    # -- the lowest sum of one way

    def lowest(self, way, stock=None, all_by=None):
        """The lowest cost of a way to part the goods, or None; `stock` and `all_by` in the place of what the order says."""
        stock = self.on_hand if stock is None else stock
        all_by = self.parting.all_by if all_by is None else all_by
        scopes = {"any": [None], "carrier": [(c, None) for c in sorted({c for c, _ in self.services})], "service": self.services}[all_by]
        costs = [cost for scope in scopes for cost in self.costs_within(way, stock, scope).values()]
        return min(costs, default=None)

    def costs_within(self, way, stock, scope):
        """{packagings with a number that are used: the lowest cost}, of a way by the services of one scope."""
        def within(carrier, service):
            return scope is None or scope[0] == carrier and scope[1] in (None, service)

        for part in way:
            self.joined_services(part)
        joined = sorted(pair for pair in self.joined - self.hopeless if within(*pair)) if not self.by_rankings else []
        best = {}
        if (len(joined) + 1) ** len(way) > MOST_CHOICES:
            raise packing.Undecided("too many services of which a price hangs on the other parcels")
        for by in itertools.product([None] + joined, repeat=len(way)):
            found = {(): NOTHING}
            for part, service in zip(way, by):
                if service is None:
                    found = joined_costs(found, least_by_use(self.options(part), within, stock), stock)
            for service in set(by) - {None} if found else ():
                group = [part for part, other in zip(way, by) if other == service]
                if found:
                    found = joined_costs(found, self.group_costs(tuple(group), service, tuple(sorted(stock.items()))), stock)
            for use, cost in found.items():
                if use not in best or cost < best[use]:
                    best[use] = cost
        return best

    @kept
    def group_costs(self, group, service, stock):
        """A4.10: what parcels that go as one consignment cost together, in every packaging that takes each."""
        found, stock = {}, dict(stock)
        for numbers in itertools.product(*(range(len(self.packings_of(part))) for part in group)):
            packed = [self.packings_of(part)[number] for part, number in zip(group, numbers)]
            gross, cost = sum(p.weight for p in packed), 0
            for place, (part, number) in enumerate(zip(group, numbers)):
                consignment = (len(group) - 1, gross - packed[place].weight, place == 0) if len(group) > 1 else None
                offer = self.joined_offer(part, number, *service, consignment)
                if offer is None:
                    break
                cost += offer["total"] + offer["handicap"]
            else:
                use = tuple(sorted(key for p in packed for key in [(p.carrier, p.packaging)] if key in stock))
                if within_stock(use, stock) and (use not in found or (0, cost) < found[use]):
                    found[use] = 0, cost
        return found

    # -- the answer

    @functools.cached_property
    def solved(self):
        """[(cost, number of parcels, way)] of every way that can be sent, cheapest first."""
        found = []
        for way in self.ways(self.parting.most):
            cost = self.lowest(way)
            if cost is not None:
                found.append((cost, len(way), way))
        return sorted(found)

    def single(self):
        """The best single parcel's option, or None."""
        part = tuple(self.counts)
        if not self.may_be(part):
            return None
        return min(self.alone_offers(part), key=lambda option: (option.cost, option.order), default=None)

    def obstacles(self):
        """[(code, what)] where nothing was found: every block that nothing takes; or each limit that alone, were it not there, would leave
        a plan; or where none alone does, each that with all the others gone still leaves none (or all that are there)."""
        alone = [block for block in self.blocks if self.may_be(block) and not self.alone_offers(block)]
        if alone:
            return [("nothing_takes", sorted(alone))]
        units, asked = sum(self.counts), self.parting

        @functools.cache
        def fewest(plenty, by_any):
            """In how many parcels it goes, however many these are."""
            limits = {**({"stock": {}} if plenty else {}), **({"all_by": "any"} if by_any else {})}
            return min((len(way) for way in self.ways(units) if self.lowest(way, **limits) is not None), default=math.inf)

        there = {"not_on_hand": bool(self.on_hand), "more_parcels": self.sealed is None and asked.most < units, "not_by_one": asked.all_by != "any"}

        def goes(gone):
            return fewest("not_on_hand" in gone, "not_by_one" in gone) <= (units if "more_parcels" in gone else asked.most)

        codes = [code for code in there if there[code]]
        found = [code for code in codes if goes({code})]
        self.each_alone = bool(found)
        if not found and goes(set(codes)):
            found = [code for code in codes if not goes(set(codes) - {code})] or codes
        plenty, by_any = (False, False) if self.each_alone else ("not_on_hand" in codes, "not_by_one" in codes)
        return [(code, fewest(plenty, by_any) if code == "more_parcels" else None) for code in found] or [("not_found", None)]


def millionths(text):
    value = Fraction(str(text)) * oracle.MILLION
    assert value.denominator == 1
    return int(value)


def asks_the_consignment(service, discounts):
    """A4.10: whether a price or a test of a service, or a discount's, asks for pieces, their weight, or which is first."""
    text = repr(service) + repr(discounts)
    return "'pieces'" in text or "'consignment_weight'" in text or "'once': True" in text


def within_stock(use, stock):
    return all(use.count(key) <= stock[key] for key in set(use))


def least_by_use(options, within, stock):
    found = {}
    for option in options:
        if within(option.carrier, option.service):
            use = (option.stock,) if option.stock in stock else ()
            if use not in found or option.cost < found[use]:
                found[use] = option.cost
    return found


def joined_costs(one, other, stock):
    """The lowest costs of both, by what they use together."""
    found = {}
    for (use, cost), (more, added) in itertools.product(one.items(), other.items()):
        both, total = tuple(sorted(use + more)), (max(cost[0], added[0]), cost[1] + added[1])
        if within_stock(both, stock) and (both not in found or total < found[both]):
            found[both] = total
    return found


def told_packings(tables, ask, told):
    """The parcels of the packagings that a program's ranking says take the goods, checked by its arrangements elsewhere."""
    found, seen = [], {line["packaging"] for line in told["offers"] + told["refusals"] if line["carrier"]}
    goods_weight = sum(item.weight * item.quantity for item in ask.items)
    heights = {a["packaging"]: oracle.length(a["cut_to"]) for a in told.get("arrangements", []) if "cut_to" in a}
    shape = oracle.goods_shape(ask.items)
    at_hand = oracle.packagings_at_hand(tables, ask)[0]
    for packaging in at_hand:
        if packaging.code not in seen or packaging.on_hand == 0:
            continue
        if sum(1 for other in at_hand if other.code == packaging.code) > 1:
            raise packing.Undecided("two packagings of one code")
        if packaging.kind == "carton":
            sides = packaging.outside
        else:
            offer = next((offer for offer in told["offers"] if offer["packaging"] == packaging.code), None)
            if offer is None:
                continue
            sides = oracle.lengths(offer["parcel"]["sides"], 3)
        gross = goods_weight + (packaging.tare + ask.fill_weight if packaging.kind != "bare" else 0)
        whole = oracle.Packed(packaging.code, packaging.kind, packaging.carrier, packaging.cost, packaging.currency, gross, sides,
                              oracle.SHAPE_OF_KIND.get(packaging.kind, shape), goods_weight, packaging)
        if packaging.code in heights:
            whole.cut = dataclasses.replace(whole, sides=[*sides[:2], heights[packaging.code]], cut_to=heights[packaging.code])
        found.append(whole)
    return found


# ---------------------------------------------------------------------------------------------------------------------
# The comparison

def needs_rankings(request):
    """What the slow pricer leaves to the program's own rankings."""
    tolerance = request.get("tolerance", {})
    cautious = request.get("objective") == "cautious" and any(oracle.number(text.split()[0]) for text in tolerance.values())
    things = request.get("goods", []) + request.get("sealed", [])
    return cautious or any(".." in str(thing.get(key, "")) for thing in things for key in ("weight", "sides"))


def parts_of(order, plan):
    """The goods of each parcel, as kinds; and as items."""
    kinds, items = [], []
    for parcel in plan["parcels"]:
        of_item = [0] * len(order.items)
        if order.sealed is not None:
            of_item[parcel["sealed"]] = 1
        for goods in parcel.get("goods", []):
            if of_item[goods["item"]] or goods["units"] < 1:
                raise ValueError(f"item {goods['item']} stands twice in a parcel, or with no unit")
            of_item[goods["item"]] = goods["units"]
        of_kind = [0] * len(order.counts)
        for item, units in enumerate(of_item):
            of_kind[order.kind_of[item]] += units
        kinds.append(tuple(of_kind))
        items.append(tuple(of_item))
    return kinds, items


def quantities(order):
    return [1] * len(order.items) if order.sealed is not None else [item.get("quantity", 1) for item in order.items]


def stock_of(offer):
    return offer.get("issued_by", ""), offer["packaging"]


def priced_again(order, kinds, offers):
    """The cost of the offers that were chosen, each (cost, offer of the slow pricer or None), priced as parcels of their consignments."""
    weights = [oracle.weight(offer["parcel"]["weight"]) for offer in offers]
    for place, (part, offer) in enumerate(zip(kinds, offers)):
        by = offer["carrier"], offer["service"]
        stock = ("", "") if order.sealed is not None and offer["packaging"] == "own" else stock_of(offer)
        if order.by_rankings:
            yield next((option.cost for option in order.options(part) if (option.stock, (option.carrier, option.service)) == (stock_of(offer), by)),
                       None), None
            continue
        found = next((packed for packed in order.packings_of(part) if (packed.carrier if stock[0] else "", packed.packaging) == stock), None)
        if found is None or by not in order.services:
            yield None, None
            continue
        group = [other for other, one in enumerate(offers) if (one["carrier"], one["service"]) == by]
        consignment = None
        if len(group) > 1 and by in order.joined:
            consignment = len(group) - 1, sum(weights[other] for other in group) - weights[place], place == group[0]
        number = order.packings_of(part).index(found)
        priced = order.joined_offer(part, number, *by, consignment)
        yield (None, None) if priced is None else ((0, priced["total"] + priced["handicap"]), priced)


def faults_of_plan(order, plan):
    """Lines on what is wrong with one plan by itself, and (cost, way)."""
    wrong = []
    kinds, items = parts_of(order, plan)
    offers = [parcel["offer"] for parcel in plan["parcels"]]
    if [sum(units) for units in zip(*items)] != quantities(order):
        return [f"the units are not each there once: {items}"], None
    if len(items) > order.parting.most or not all(map(order.may_be, kinds)):
        wrong.append(f"may not be parted so: {items}")
    if order.sealed is None and sorted(items, reverse=True) != items and sorted(kinds, reverse=True) != kinds:
        wrong.append(f"the parcels do not stand in their order: {items}")
    if order.sealed is not None and items != [order.alone_in(place) for place in range(len(items))]:
        wrong.append("sealed parcels do not stand as given")
    use = [stock_of(offer) for offer in offers if stock_of(offer) in order.on_hand]
    if not within_stock(use, order.on_hand):
        wrong.append(f"more packagings than are on hand: {use}")
    for all_by, by in (("carrier", {o["carrier"] for o in offers}), ("service", {(o["carrier"], o["service"]) for o in offers})):
        if order.parting.all_by == all_by and len(by) > 1:
            wrong.append(f"not by one {all_by}: {sorted(by)}")
    cost = NOTHING
    for place, (offer, (again, priced)) in enumerate(zip(offers, priced_again(order, kinds, offers))):
        name = f"parcel {place} {compare.name(compare.key(offer))}"
        if again is None:
            wrong.append(f"{name}: no such offer")
            continue
        cost = max(cost[0], again[0]), cost[1] + again[1]
        if priced is None:
            continue
        shown = {**oracle.shown_where_due(priced, order.currency), "total": oracle.show_money(priced["total"], order.currency)}
        for field, wanted, got in (
                ("total", priced["total"], millionths(offer["total"])), ("handicap", priced["handicap"], millionths(offer.get("handicap", "0"))),
                ("days", priced["days"], offer.get("days")), ("arrives", priced["arrives"], offer.get("arrives")),
                ("charges", compare.charges({"charges": oracle.shown_charges(priced["priced"], priced["currency"])}), compare.charges(offer)),
                ("cut_to", shown.get("cut_to") and oracle.length(shown["cut_to"]), offer.get("cut_to") and oracle.length(offer["cut_to"])),
                ("zone", priced["zone"], offer["zone"]), ("weight", priced["weight"], oracle.weight(offer["parcel"]["weight"]))):
            if wanted != got:
                wrong.append(f"{name} {field}: expected {wanted}, got {got}")
    for first, second in zip(range(len(items)), range(1, len(items))):  # B9: of the very same goods, by their offers
        joined = (offers[first]["carrier"], offers[first]["service"]) in order.joined  # which is first decides what its offer is
        if order.sealed is None and items[first] == items[second] and not joined and place_of(offers[first]) > place_of(offers[second]):
            wrong.append(f"parcels {first} and {second} have the same goods, and the second's offer comes first")
    wrong += faults_of_sums(plan, offers)
    if order.request.get("objective") != "cautious" and plan_cost(plan) != cost and not wrong:
        wrong.append(f"total: expected {cost[1]}, got {plan['total']}")
    return wrong, (cost, tuple(sorted(kinds, reverse=True)) if order.sealed is None else tuple(kinds))


def place_of(offer):
    """B3, as far as an offer tells it: the total with its handicap."""
    return millionths(offer["total"]) + millionths(offer.get("handicap", "0")) if "total_at_risk" not in offer else 0


def plan_cost(plan):
    return 0, millionths(plan["total"]) + millionths(plan.get("handicap", "0"))


def faults_of_sums(plan, offers):
    """What a plan tells of its parcels' offers."""
    wrong = []
    for key in ("total", "handicap"):
        if sum(millionths(offer.get(key, "0")) for offer in offers) != millionths(plan.get(key, "0")):
            wrong.append(f"{key} of the plan is not that of its parcels: {plan.get(key)}")
    for key, least_of in (("days", max), ("arrives", max)):
        wanted = [least_of(offer[key][end] for offer in offers) for end in (0, 1)] if all(offer.get(key) for offer in offers) else None
        if plan.get(key) != wanted:
            wrong.append(f"{key}: expected {wanted}, got {plan.get(key)}")
    if bool(plan.get("at_risk")) != any(offer["at_risk"] for offer in offers):
        wrong.append("at_risk of the plan is not that of its parcels")
    refused = any(offer["at_risk"] and "total_at_risk" not in offer for offer in offers)
    at_risk = None if refused else sum(millionths(offer.get("total_at_risk", offer["total"])) for offer in offers)
    if "total_at_risk" in plan and millionths(plan["total_at_risk"]) != at_risk or refused and "total_at_risk" in plan:
        wrong.append(f"total_at_risk: expected {at_risk}, got {plan['total_at_risk']}")
    return wrong


def differences(order, told):
    """Pairs (kind, text) of one answer."""
    wrong, wanted = [], order.solved
    plans = told["plans"]
    if len(plans) != min(order.parting.plans, len(wanted)):
        wrong.append(("number of plans", f"expected {min(order.parting.plans, len(wanted))} of {len(wanted)}, got {len(plans)}"))
    by_way, seen, costs = {way: cost for cost, _, way in wanted}, set(), []
    for number, plan in enumerate(plans):
        faults, found = faults_of_plan(order, plan)
        wrong += [("plan", f"plan {number}: {fault}") for fault in faults]
        if found is None or faults:
            continue
        cost, way = found
        costs.append((cost, len(way)))
        if way in seen:
            wrong.append(("way", f"plan {number}: a way to part the goods that was told before"))
        seen.add(way)
        if by_way.get(way) != cost:
            wrong.append(("lowest", f"plan {number}: expected {by_way.get(way)} for {way}, got {cost}"))
    # Of plans with a parcel that may be refused it is said that they come last, not in which order.
    sure = [(cost, parcels) for cost, parcels in costs if not cost[0]]
    if not wrong and (sure != [(cost, parcels) for cost, parcels, _ in wanted if not cost[0]][:len(plans)] or
                      [cost[0] for cost, _ in costs] != sorted(cost[0] for cost, _ in costs)):
        wrong.append(("order", f"expected {[(cost, parcels) for cost, parcels, _ in wanted][:len(plans)]}, got {costs}"))
    if order.sealed is None:
        single = order.single()
        got = told.get("single", "missing")
        if (None if got is None else got if got == "missing" else millionths(got)) != (None if single is None else single.total):
            wrong.append(("single", f"single: expected {single and single.total}, got {got}"))
    elif "single" in told:
        wrong.append(("single", "single of sealed parcels"))
    if told["proved"] is not True:
        wrong.append(("proved", "not proved"))
    if plans and not wrong and order.request.get("objective") != "cautious" and \
            millionths(told["at_least"]) not in (millionths(plans[0]["total"]), plan_cost(plans[0])[1]):
        wrong.append(("at_least", f"at_least {told['at_least']} is not the first plan's total {plans[0]['total']}"))
    if told["currency"] != order.currency:
        wrong.append(("currency", f"currency: expected {order.currency}, got {told['currency']}"))
    if not plans and not wanted:
        expected = [code for code, _ in order.obstacles()]
        got = list(dict.fromkeys(obstacle["code"] for obstacle in told["obstacles"]))
        # Of several that only together leave a plan, others that are there may be told beside them.
        together = expected[0] not in ("nothing_takes", "not_found") and not order.each_alone
        if expected != ([code for code in got if code in expected] if together else got):
            wrong.append(("obstacles", f"obstacles: expected {order.obstacles()}, got {got}"))
        else:
            wrong += [("obstacles", text) for text in faults_of_obstacles(order, told["obstacles"])]
    elif plans and told.get("obstacles"):
        wrong.append(("obstacles", "obstacles beside plans"))
    return wrong


def faults_of_obstacles(order, told):
    wanted = dict(order.obstacles())
    wrong = []
    if "nothing_takes" in wanted:
        got = []
        for obstacle in told:
            part = [0] * len(order.counts)
            for goods in obstacle.get("goods", []):
                part[order.kind_of[goods["item"]]] += goods["units"]
            if order.sealed is not None:
                part = list(order.alone_in(obstacle["sealed"])) if "sealed" in obstacle else part
            got.append(tuple(part))
            if not obstacle.get("refusals"):
                wrong.append("nothing takes, and no refusals")
        if sorted(set(got)) != sorted(wanted["nothing_takes"]):
            wrong.append(f"nothing takes: expected {wanted['nothing_takes']}, got {got}")
    if "more_parcels" in wanted:
        need = [obstacle.get("need") for obstacle in told if obstacle["code"] == "more_parcels"]
        if need != [wanted["more_parcels"]]:
            wrong.append(f"more parcels: expected {wanted['more_parcels']}, got {need}")
    return wrong


class Program:
    """Answers of a program, each request once."""

    def __init__(self, command, world, tables):
        self.command, self.world, self.tables, self.known, self.wanted, self.faults = command, world, tables, {}, {}, []
        self.undecided = 0  # arrangements that the slow packing could not judge

    def __call__(self, request):
        text = json.dumps(request, default=lambda value: oracle.decimal(int(value * oracle.MILLION), 6))  # a number that is read as a fraction
        if text not in self.known:
            self.wanted[text] = request
            return None
        return self.known[text]

    def fetch(self):
        if not self.wanted:
            return False
        texts = list(self.wanted)
        rankings, said, _ = compare.run(self.command, self.world, texts)
        if len(rankings) != len(texts):
            raise RuntimeError(f"{len(rankings)} answers to {len(texts)} requests: {said[:500]}")
        for text, ranking in zip(texts, rankings):
            self.known[text] = ranking
            try:
                self.faults += compare.arrangements_or_why_not(self.tables, self.wanted[text], ranking)
            except packing.Undecided:
                self.undecided += 1
        self.wanted = {}
        return True


def prepare(order):
    """Prices everything that the answer needs, and all sets of goods that are unknown at once; raises Unknown."""
    unknown = None
    for part in order.parts:
        try:
            if order.by_rankings:
                order.options(part)
            else:
                order.packings_of(part)
        except Unknown as found:
            unknown = found
    if unknown is not None:
        raise unknown


def compared(tables, text, told, program):
    """[(kind, text)] of one order, or None where it is left undecided."""
    try:
        request = oracle.read_json(text)
        order = Order(tables, request, program, needs_rankings(request))
        prepare(order)
        if order.by_rankings and order.joined:
            return None
        if "error" in told:
            return [("error", f"expected plans, got {told['error']!r}")]
        return differences(order, told)
    except packing.Undecided:
        return None
    except (oracle.RequestError, ValueError, KeyError, TypeError) as error:
        if isinstance(error, (KeyError, TypeError)) and "error" not in told:
            raise
        return [] if "error" in told else [("error", f"expected {type(error).__name__}: {error}, got plans")]


def tally_of(text, told):
    """What an order was of, for the spread."""
    request, found = json.loads(text), collections.Counter()
    if "error" in told:
        found["error"] += 1
        return found
    found["sealed" if "sealed" in request else f"units: {sum(item.get('quantity', 1) for item in request['goods'])}"] += 1
    plans = told["plans"]
    found["none: " + ",".join(dict.fromkeys(o["code"] for o in told["obstacles"])) if not plans else f"parcels of the first: {len(plans[0]['parcels'])}"] += 1
    if plans and told.get("single") is not None and len(plans[0]["parcels"]) > 1:
        found["several cheaper than one"] += 1
    for key in ("all_by", "together", "apart"):
        found[key] += key in request.get("parcels", {})
    found["cover"] += "cover" in request
    found["something due once"] += any("once" in plan for plan in plans)
    return found


def told_by(command, world, texts, seconds):
    """A program's answer to each order, None where there was none in time."""
    try:
        done = subprocess.run(command + ["rank", "--tables", str(world), "--json", "--each"], input="".join(text + "\n" for text in texts).encode(),
                              capture_output=True, check=False, timeout=seconds)
    except subprocess.TimeoutExpired:
        half = len(texts) // 2
        return [None] if not half else told_by(command, world, texts[:half], seconds) + told_by(command, world, texts[half:], seconds)
    answers = done.stdout.decode("utf-8").splitlines()
    if len(answers) != len(texts):
        raise RuntimeError(f"{len(answers)} answers to {len(texts)} orders, exit {done.returncode}: {done.stderr[:500]}")
    return [json.loads(answer) for answer in answers]


def check_world(job):
    """(orders, undecided, tally, [(number, text, wrong)]) of one world."""
    world, command, seconds = job
    packing.MOST_STEPS = FEW_STEPS
    world = pathlib.Path(world)
    tables = oracle.Tables.load(world)
    texts = (world / "orders.jsonl").read_text(encoding="utf-8").splitlines()
    try:
        told = told_by(command, world, texts, seconds)
    except (RuntimeError, ValueError) as error:
        return len(texts), 0, {}, [(0, "", [("no answer", str(error))])]
    program = Program(command, world, tables)
    undecided, tally, found = 0, collections.Counter(), []
    left = [number for number, answer in enumerate(told) if answer is not None]
    tally["no answer in time"] += len(texts) - len(left)
    while left:
        again = []
        for number in left:
            try:
                wrong = compared(tables, texts[number], told[number], program)
            except Unknown:
                again.append(number)
                continue
            if wrong is None:
                undecided += 1
                continue
            tally.update(tally_of(texts[number], told[number]))
            if wrong:
                found.append((number + 1, texts[number], wrong))
        if again and not program.fetch():
            raise RuntimeError("nothing new to ask")
        left = again
    tally["arrangements not judged"] += program.undecided
    found += [(0, "", [("arrangement", fault)]) for fault in program.faults]
    return len(texts), undecided, tally, found


def main():
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("folder", type=pathlib.Path)
    parser.add_argument("--command", required=True, help="the program, with leading arguments if need be")
    parser.add_argument("--first", type=int, default=10, help="orders whose differences are printed")
    parser.add_argument("--jobs", type=int, default=1)
    parser.add_argument("--seconds", type=float, default=120, help="how long the program may take for a world; without an answer it is asked less")
    parser.add_argument("--tally", action="store_true", help="print what came up how often")
    args = parser.parse_args()
    worlds = sorted(path.parent for path in args.folder.glob("**/orders.jsonl"))
    if not worlds:
        print(f"no orders in {args.folder}", file=sys.stderr)
        return 2
    orders = undecided = 0
    told, tally = compare.Told(args.first), collections.Counter()
    with multiprocessing.Pool(args.jobs) as pool:
        jobs = [(str(world), shlex.split(args.command), args.seconds) for world in worlds]
        for world, (asked, left, what, found) in zip(worlds, pool.imap(check_world, jobs)):
            orders, undecided = orders + asked, undecided + left
            tally.update(what)
            for number, text, wrong in found:
                told.add(f"{world}/orders.jsonl:{number}", text, wrong)
    if args.tally:
        for what in sorted(tally):
            print(f"{tally[what]:8d}  {what}")
    late = tally["no answer in time"]
    print(f"{len(worlds)} worlds, {orders} orders, {undecided} left undecided{f', {late} without an answer in time' if late else ''}; {told.differing} differ")
    return told.end()


if __name__ == "__main__":
    sys.exit(main())
