#!/usr/bin/env python3
"""Random tables, random requests close to their thresholds, and what the slow pricer answers. All of it is invented.

    random_world.py --seed N --cases K --out FOLDER

writes FOLDER/world-0000/, world-0001/, ...: tariffs, terms, grids, a gazetteer and (mostly) a shelf, with
`requests.jsonl` (one request a line) and `expected.jsonl` (the ranking of each, or {"error": ...}). The same seed
gives the same bytes.
"""

import argparse
import copy
import csv
import datetime
import itertools
import json
import multiprocessing
import pathlib
import random
import sys
from fractions import Fraction

sys.path.insert(0, str(pathlib.Path(__file__).parent))
import oracle  # noqa: E402
import packing  # noqa: E402
import random_flat  # noqa: E402
import random_goods  # noqa: E402
from random_lists import Lists  # noqa: E402

CARRIERS = (("harbourline", "Harbourline Post"), ("fenwick-dray", "Fenwick & Dray"), ("larkspur", "Larkspur Air"))
SERVICE_CODES = ("ground", "fast", "printed", "light", "two-day", "air-one", "box", "economy")
PLACES = {  # invented points for prefixes of three or two characters
    "US": ("054", "051", "059", "065", "078", "981", "969", "006", "008"),
    "CA": ("K1A", "K1B", "V5K"),
    "DE": ("10", "80"),
    "FR": ("75",),
    "GB": ("PA2", "PA20", "PA2 0", "EC1", "EC1A", "B", "BA1"),
}
CONTENTS = ("media", "documents", "fragile", "liquid", "perishable", "lithium_in_equipment", "lithium_alone",
            "flammable_liquid", "aerosol", "sharp", "magnetic", "live", "x-clock", "x-vinyl")
SHAPES = ("box", "tube", "soft", "flat", "irregular")
KINDS = ("carton", "mailer", "envelope", "tube", "bare")
DELIVERS = ("door", "point", "locker")
EXTRAS = ("signature", "adult", "early", "drop-off")  # what a request may ask for
WEEKDAYS = oracle.WEEKDAYS
SPOILT_SOFT = tuple({"soft": soft} for soft in (
    {}, {"presses_to": "60"}, {"least_thickness": "1 mm"}, {"presses_to": "0", "least_thickness": "1 mm"}, {"presses_to": 101, "least_thickness": "1 mm"},
    {"presses_to": "60", "least_thickness": "40 m"}, {"presses_to": "60.00001", "least_thickness": "1 mm"}, True)) + (
        {"soft": {"presses_to": "60", "least_thickness": "1 mm"}, "rigid": True}, {"soft": {"presses_to": "60", "least_thickness": "1 mm"}, "bears": "1 kg"},
        {"soft": {"presses_to": "60", "least_thickness": "1 mm"}, "may_stand": [1, 2, 3]})
TIMES = ("16:00", "15:59", "16:01", "09:30", "09:31", "00:00", "00:01", "23:59")
EARLY, BETWEEN, MIDDLE, LATE, END = "2026-01-11", "2026-05-02", "2026-07-12", "2027-01-17", "2027-03-31"
CLOSE = ("2026-07-30", "2026-08-03", "2026-08-04", "2026-08-05", "2026-08-07", "2026-08-08", "2026-08-09", "2026-09-09", "2026-09-10")
DAYS = (EARLY, "2026-01-10", "2026-03-03", BETWEEN, "2026-07-11", MIDDLE, "2026-08-03", LATE, "2027-01-18", END, "2027-04-01")

WEIGHTS = {  # steps to 15.999 oz: common practice
    "imperial": ("1 oz", "4 oz", "8 oz", "12 oz", "15.999 oz", "1 lb", "1 lb 8 oz", "2 lb", "3 lb", "5 lb", "6-1/2 lb", "10 lb",
                 "20 lb", "50 lb", "66 lb"),
    "metric": ("50 g", "100 g", "250 g", "500 g", "1 kg", "1.4 kg", "2 kg", "3500 g", "5 kg", "10 kg", "20 kg", "31 kg"),
}
LENGTHS = {
    "imperial": ("1/4 in", "1 in", "3-1/2 in", "6 in", "9 in", "12 in", "15.5 in", "21 in", "31 in", "47 in"),
    "metric": ("5 mm", "2.5 cm", "8 cm", "16 cm", "23 cm", "34.7 cm", "44 cm", "62 cm", "103 cm", "1.2 m"),
}
GIRTHS = {
    "imperial": ("30 in", "50 in", "74 in", "86 in", "104 in", "132 in", "160 in"),
    "metric": ("60 cm", "102 cm", "150 cm", "2.1 m", "290 cm", "406 cm"),
}
VOLUMES = {
    "imperial": ("216 in3", "1728 in3", "1 ft3", "1.9 ft3", "0.5 ft3", "3283.2 in3"),
    "metric": ("3300 cm3", "0.01 m3", "12 l", "25000 cm3", "0.1 m3", "500000000 mm3"),
}
SIZE_MEASURES = oracle.WEIGHT_MEASURES | oracle.LENGTH_MEASURES | oracle.VOLUME_MEASURES
# A5, A8: what a test may not look at.
NOT_IN_TERMS = frozenset({"zone", "extras"})
NOT_IN_AVOID = frozenset({"zone", "extras", "cover", "week"}) | oracle.OF_CONSIGNMENT
NOT_IN_HANDICAPS = NOT_IN_AVOID | SIZE_MEASURES
NOT_IN_ASK = NOT_IN_HANDICAPS | {"cash_on_delivery", "shape", "packaging", "packaging_kind", "mode", "own_packaging"}
# A4.10: what decides of nothing that is due once a consignment.
NOT_IN_ONCE = (oracle.MEASURES - oracle.OF_CONSIGNMENT) | {"shape", "packaging", "packaging_kind", "contents", "every_item", "extras", "rigid",
                                                           "own_packaging"}
EXACT = [measure for measure in sorted(oracle.MEASURES) if measure.startswith("exact_")]
SUMS = ("girth", "length_plus_girth", "sum_of_sides", "length_plus_width", "longest_plus_shortest", "exact_length_plus_girth")


def chance(rng, probability):
    return rng.random() < probability


def some(rng, values, least, most):
    """A sample in the order of `values`."""
    most = min(most, len(values))
    chosen = set(rng.sample(range(len(values)), rng.randint(min(least, most), most)))
    return [value for i, value in enumerate(values) if i in chosen]


def digits(value):
    """An exact decimal text of a Fraction, or None."""
    for places in range(0, 13):
        scaled = value * 10 ** places
        if scaled.denominator == 1:
            return oracle.decimal(int(scaled), places)
    return None


def write_weight(rng, nanograms):
    """One of the ways to write a weight, always exact."""
    units = list(oracle.WEIGHT_UNITS)
    rng.shuffle(units)
    for unit in units:
        text = digits(Fraction(nanograms) / oracle.WEIGHT_UNITS[unit])
        if text is None:
            continue
        if unit == "oz" and float(text) > 16 and chance(rng, 0.5):
            pounds, rest = divmod(nanograms, int(oracle.WEIGHT_UNITS["lb"]))
            return f"{pounds} lb {digits(rest / oracle.WEIGHT_UNITS['oz'])} oz"
        return text + rng.choice((" ", "")) + unit
    raise ValueError(nanograms)


def write_length(rng, nanometres, unit=None):
    units = [unit] if unit else list(oracle.LENGTH_UNITS)[:1] * 3 + ["mm", "cm", "m", "ft"]
    rng.shuffle(units)
    for u in units + ["mm"]:
        value = Fraction(nanometres) / oracle.LENGTH_UNITS[u]
        if value.denominator in (2, 4, 8, 16) and chance(rng, 0.4):
            whole, rest = divmod(value, 1)
            part = f"{rest.numerator}/{rest.denominator}"
            return (f"{whole}-{part}" if whole else part), u
        if digits(value) is not None:
            return digits(value), u
    raise ValueError(nanometres)


def write_sides(rng, sides):
    """One of the ways to write three sides, always exact."""
    if chance(rng, 0.5):
        for unit in rng.sample(("in", "mm", "cm"), 3):
            values = [write_length(rng, side, unit) for side in sides]
            if all(u == unit for _, u in values):
                return rng.choice((" x ", "x", " X ", " × ")).join(value for value, _ in values) + " " + unit
    return " x ".join(" ".join(write_length(rng, side)) for side in sides)


def mend_percentages(document):
    """Takes out of each percentage what stands above it in no service that lists it, which would be an error."""
    def charge(entry, shared):
        price = entry["less"] if isinstance(entry.get("less"), dict) else entry
        return {"code": entry["code"], "shared": shared, "of": price,
                "price": {"kind": "percent", "of": price["of"]} if "of" in price else {"kind": "another"}}

    def listed(service, name):
        shared = {entry["code"]: entry for entry in document[name]}
        return [charge(shared[x], True) if isinstance(x, str) else charge(x, False) for x in service.get(name, [])]

    mended = True
    while mended:  # one that is no longer late may stand above others
        mended = False
        services = [{"surcharges": listed(s, "surcharges"), "extras": {x["code"]: x for x in listed(s, "extras")}}
                    for s in document["services"]]
        charges = [c for s in services for c in s["surcharges"] + list(s["extras"].values()) if "of" in c["of"]]
        for _, of, above in oracle.percentages(services):
            left = [name for name in of if name == "*" or name in above]
            if left != of:
                for c in charges:
                    if c["price"]["of"] is of or c["of"]["of"] is of:
                        c["of"]["of"] = left or ["base"]
                mended = True
                break


class World(Lists):
    """Makes one set of tables and remembers every bound, so that requests can be aimed at them."""

    def __init__(self, rng):
        self.rng = rng
        self.edges = {measure: [] for measure in oracle.MEASURES}
        self.files = {}
        self.packaging = []  # (carrier or "", document of it)
        self.coarse = chance(rng, 0.3)  # few distinct prices, so that totals tie
        self.many_currencies = chance(rng, 0.3)
        # What a world has at all, so that there are worlds with little of it and worlds with everything.
        self.share = {of: rng.choice((0, 0, 0.4, 0.8)) for of in (
            "tax", "calendar", "delivers", "less", "late", "rate", "bounds", "adds", "by_weight", "days_by", "disagree", "cash", "week", "printed",
            "lists", "series", "joined", "turned", "consignment")}
        self.share["delivers"] /= 2
        self.share["adds"] = max(self.share["adds"], rng.choice((0, 0.5)))
        self.seller_currency = None
        self.required = []  # extras that some service is not given without
        self.begin_lists("")

    # -- quantities

    def bound(self, measure, system):
        """The text of a bound, remembered."""
        rng = self.rng
        if measure in oracle.MONEY_MEASURES:
            text = rng.choice(("20", "50", "99.99", "100", "250"))
        elif measure in oracle.COUNT_MEASURES:
            text = rng.choice((1, 2, 2, 3, 4, 7, 12))
        elif measure in oracle.WEIGHT_MEASURES:
            text = rng.choice(WEIGHTS[system])
        elif measure in oracle.VOLUME_MEASURES:
            text = rng.choice(VOLUMES[system])
        else:
            text = rng.choice(GIRTHS[system] if measure in SUMS else LENGTHS[system])
        self.edges[measure].append(oracle.quantity_of(measure, text))
        return text

    def amount(self, least=1.0, most=40.0):
        rng = self.rng
        if self.coarse:
            value = round(rng.uniform(least, most) / 2) * 2 or 2
        else:
            value = round(rng.uniform(least, most), rng.choice((0, 1, 2, 2, 2, 3)))
            if chance(rng, 0.2):
                value = round(int(value * 100) / 100 + 0.005, 3)  # half a cent, for the ways of rounding
            elif chance(rng, 0.03):
                value = round(rng.uniform(least, most), 6)
        return rng.choice((value, f"{value}"))

    def great(self, amount, probability):
        """An amount, now and then so great that a few of it pass 1,000 million."""
        great = ("1000000000", 999999999, "600000000.01", 250000000, "20000000")
        return self.rng.choice(great) if chance(self.rng, probability) else amount

    def percent(self):
        value = self.rng.choice((2.5, 5, 7.75, 10, 12.5, 16.75, 19, 33.3333))
        return self.rng.choice((value, f"{value} %"))

    # -- tests

    def test(self, system, zones, issued, depth=2, billable=True, barred=frozenset()):
        """A random test; all words it uses are known to the document. `barred` are keys that it may not have: terms name
        neither zones nor extras, for which of them are known is a matter of each version of the tariff."""
        rng, test = self.rng, {}
        for _ in range(rng.choice((1, 1, 1, 2, 2, 3))):
            test.update(self.test_part(system, zones, issued, depth, billable, barred))
        return test

    def test_part(self, system, zones, issued, depth, billable, barred):
        rng = self.rng
        if depth > 0 and chance(rng, 0.05):
            inner = [self.test(system, zones, issued, depth - 1, billable, barred) for _ in range(2)]
            return rng.choice(({"any": inner}, {"all": inner}, {"not": inner[0]}, {"any": inner, "not": inner[1]}))
        kinds = [(40, self.test_of_measure), (14, self.test_of_money_or_time), (10, self.test_of_words), (12, self.test_of_contents),
                 (8, self.test_of_the_rest)]
        for _ in range(20):
            make, = rng.choices([make for _, make in kinds], [share for share, _ in kinds])
            part = make(system, zones, issued, billable, barred)
            if part and not barred & set(part):
                return part
        return {"residential": True}

    def bounds_on(self, measure, system):
        rng = self.rng
        first, second = self.bound(measure, system), self.bound(measure, system)
        low, high = sorted((first, second), key=lambda text: oracle.quantity_of(measure, text))
        apart = oracle.quantity_of(measure, high) - oracle.quantity_of(measure, low)
        # Between two counts next to each other there is none.
        if chance(rng, 0.2) and apart > (1 if measure == "pieces" else 0):
            return {rng.choice(("over", "at_least")): low, rng.choice(("under", "up_to")): high}
        if measure in oracle.MONEY_MEASURES and chance(rng, 0.5):
            first = float(first)
        return {rng.choice(("over", "at_least", "over", "under", "up_to")): first}

    def test_of_measure(self, system, zones, issued, billable, barred):
        rng = self.rng
        if chance(rng, self.share["consignment"] / 5):
            measure = rng.choice(sorted(oracle.OF_CONSIGNMENT))
            return None if measure in barred else {measure: self.bounds_on(measure, system)}
        measure = rng.choice(sorted(SIZE_MEASURES) + EXACT * 2 + list(SUMS) * 2 + ["weight", "length", "length_plus_girth", "volume"] * 3)
        measure = "weight" if measure == "billable_weight" and not billable else measure
        return None if measure in barred else {measure: self.bounds_on(measure, system)}

    def test_of_money_or_time(self, system, zones, issued, billable, barred):
        rng, pick = self.rng, self.rng.random()
        if pick < 0.3:
            measure = rng.choice(("value", "value", "cover", "cash_on_delivery"))
            return {measure: self.bounds_on(measure, system)}
        if pick < 0.6:
            return {"date": rng.choice(({"from": "2026-08-03"}, {"until": "2026-08-03"}, {"until": MIDDLE},
                                        {"from": "2026-03-03", "until": "2026-07-30"}, {"days": some(rng, WEEKDAYS, 1, 4)},
                                        {"days": ["mon"]}, {"days": ["thu", "mon"], "from": "2026-08-01"},
                                        {"until": "2026-09-01", "days": ["mon", "wed", "sat", "sun"]}))}
        if not chance(rng, self.share["week"]):
            return None
        parcels = {rng.choice(("at_least", "over", "under", "up_to", "at_least")): rng.choice((10, 50, 50, 200))}
        spend = {rng.choice(("at_least", "over", "under", "up_to", "over")): rng.choice(("100", 500, "499.99"))}
        return {"week": rng.choice(({"parcels": parcels}, {"spend": spend}, {"parcels": parcels, "spend": spend},
                                    {"parcels": {"at_least": 10, "under": 50}}))}

    def test_of_words(self, system, zones, issued, billable, barred):
        rng, pick = self.rng, self.rng.random()
        if pick < 0.4 and zones and "zone" not in barred:
            chosen = some(rng, zones, 1, 3)
            return {"zone": {"is": chosen if len(chosen) > 1 or chance(rng, 0.5) else chosen[0]}}
        if pick < 0.65:
            return {"shape": {"is": rng.choice((some(rng, SHAPES, 1, 3), rng.choice(SHAPES)))}}
        if pick < 0.82:
            return {"packaging_kind": {"is": rng.choice((some(rng, KINDS, 1, 3), rng.choice(KINDS)))}}
        if pick < 0.93 and issued:
            return {"packaging": {"is": rng.choice(issued)}}
        return {"mode": {"is": rng.choice(("air", "surface", "any"))}}

    def test_of_contents(self, system, zones, issued, billable, barred):
        rng = self.rng
        if chance(rng, 0.3) and "extras" not in barred:
            return {"extras": rng.choice(({"has": "signature"}, {"has_any": ["signature", "adult"]}, {"has": "cash-on-delivery"},
                                          {"has_all": ["signature", "adult"]}, {"has": "cover"}, {"has_any": ["cover", "adult"]},
                                          {"has_any": ["drop-off", "early"]}))}
        words = rng.choice(({"has": rng.choice(CONTENTS)}, {"has_any": some(rng, CONTENTS, 1, 4)},
                            {"has_all": some(rng, CONTENTS, 1, 2)}))
        return {rng.choice(("contents", "every_item")): words}

    def test_of_the_rest(self, system, zones, issued, billable, barred):
        rng = self.rng
        if chance(rng, 0.6):
            return {rng.choice(("rigid", "residential", "own_packaging")): chance(rng, 0.6)}
        if self.list_names and chance(rng, 0.7):
            name = "@" + rng.choice(self.list_names)
            return {rng.choice(("origin", "destination")): {"in": rng.choice(([name], [name, "CA"], ["DE", name]))}}
        return {rng.choice(("origin", "destination")): {"in": rng.choice(
            (["US"], ["US:05", "DE"], ["CA:K1A-K1B", "US:960-994"], ["US:969", "US:006-009"], ["FR", "DE", "CA"],
             ["GB:PA2", "GB:EC1M"], ["GB:PA20-80", "GB:PA2 0", "GB:B"]))}}

    # -- zones

    def charts(self, system):
        """A list of charts, and all zones they can give."""
        rng, charts, zones = self.rng, [], []
        for _ in range(rng.choice((1, 1, 2, 2, 3))):
            kind = rng.choice(("one", "regions", "pairs", "distance", "distance"))
            if chance(rng, self.share["printed"]):
                chart, given = self.printed_chart()
                zones += given
            elif self.list_names and chance(rng, 0.4):
                chart, given = self.chart_of_lists()
                zones += [zone for zone in given if f'"{zone}": [' in json.dumps(chart)]
            elif kind == "one":
                chart = {"kind": "one", "zone": "N"}
                if chance(rng, 0.7):
                    chart["countries"] = some(rng, tuple(PLACES), 1, 3)
                zones.append("N")
            elif kind == "regions":
                chart = {"kind": "regions", "zones": {"I": ["US:969", "US:006-009"][:rng.randint(1, 2)]}}
                zones.append("I")
                if chance(rng, 0.6):
                    chart["zones"]["EU"] = some(rng, ("FR", "DE:80"), 1, 2)
                    zones.append("EU")
                if chance(rng, 0.4):
                    chart["zones"]["GB"] = some(rng, ("GB", "GB:PA", "GB:EC1", "GB:B1-3"), 1, 3)
                    chart["zones"]["H"] = some(rng, ("GB:PA2", "GB:PA20-80", "GB:EC1A", "GB:PA2 0", "GB:PA20 8", "GB:EC1A 1BB"), 1, 4)
                    zones += ["GB", "H"]
                if chance(rng, 0.4):
                    chart["zones"]["2"] = ["US:05", "CA"]
                    chart["zones"]["1"] = ["US:050-059"]
                    zones += ["1", "2"]
            elif kind == "pairs":
                chart = {"kind": "pairs", "from": {"US:050-059": {"1": ["US:050-059"], "2": ["US:060-078", "CA:K"]}}}
                zones += ["1", "2"]
                if chance(rng, 0.6):
                    chart["from"]["US"] = {"3": ["US"], "4": ["US:9"], "5": ["CA", "DE:10"]}
                    zones += ["3", "4", "5"]
                if chance(rng, 0.4):
                    chart["from"]["US:0510"] = {"3": ["US:0"]}
                    zones.append("3")
                if chance(rng, 0.4):
                    chart["from"]["GB:PA2-9"] = {"3": ["GB:PA1-20"], "6": ["GB:PA2 0", "GB"]}
                    chart["from"]["GB:PA"] = {"4": ["GB:PA20", "GB:EC1"], "5": ["GB"]}
                    zones += ["3", "4", "5", "6"]
            else:
                ends = ("60 mi", "140 mi", "310 mi", "950 mi", "1750 mi") if system == "imperial" else (
                    "80 km", "250 km", "600 km", "1500 km", "3000 km")
                ends = some(rng, ends, 1, 5)
                bands = [{"zone": str(i + 1), "up_to": end} for i, end in enumerate(ends)]
                if chance(rng, 0.7):
                    bands.append({"zone": str(len(bands) + 1)})
                chart = {"kind": "distance", "bands": bands}
                zones += [band["zone"] for band in bands]
                if chance(rng, 0.5):
                    chart["same"] = {"prefix": rng.choice((3, 5)), "zone": "L"}
                    zones.append("L")
            charts.append(chart)
            if chart["kind"] == "one" and "countries" not in chart:
                return charts, sorted(set(zones))  # nothing after it could ever answer
        if chance(rng, 0.9 if any("csv" in chart for chart in charts) else 0.6):
            charts.append({"kind": "one", "zone": "N"})
            zones.append("N")
        return charts, sorted(set(zones))

    # -- prices

    def by_zone(self, zones):
        cells = {zone: None if chance(self.rng, 0.1) else self.amount() for zone in some(self.rng, zones, 1, 9)}
        if chance(self.rng, 0.7):
            cells["*"] = self.amount()
        return cells if any(cell is not None for cell in cells.values()) else {"*": 3}

    def table(self, system, zones, by, name):
        """A grid, its bounds in one of the ways to write them, its cells here or in a file."""
        rng = self.rng
        texts = {oracle.quantity_of(by, text): text for text in (self.bound(by, system) for _ in range(rng.randint(2, 9)))}
        bounds = sorted(texts)
        table = {"by": by}
        if by in oracle.COUNT_MEASURES:
            rows = [[b] for b in bounds]
        elif by in oracle.MONEY_MEASURES:
            rows = [[rng.choice((texts[b], float(texts[b])))] for b in bounds]
        else:
            table["unit"] = unit = {"weight": ("lb", "kg"), "volume": ("in3", "cm3"), "length": ("in", "cm")}[
                "weight" if by in oracle.WEIGHT_MEASURES else "volume" if by in oracle.VOLUME_MEASURES else "length"][
                system == "metric"]
            units = {**oracle.WEIGHT_UNITS, **oracle.LENGTH_UNITS, **oracle.VOLUME_UNITS}
            rows = []
            for b in bounds:
                bare = digits(b / units[unit])
                rows.append([texts[b] if bare is None or chance(rng, 0.3) else
                             int(bare) if bare.isdigit() and chance(rng, 0.8) else float(bare) if len(bare) < 8 else texts[b]])
        columns = self.joined(some(rng, zones, 1, len(zones))) if chance(rng, 0.75) else []
        if not columns or chance(rng, 0.2):
            columns.append("*")
        starts = [rng.uniform(2, 20) for _ in columns]
        steps = [rng.choice((0, 0.5, 1.25, 3)) for _ in columns]
        for i, row in enumerate(rows):
            for start, step in zip(starts, steps):
                value = round(start + step * i + rng.random(), 2)
                value = max(2, round(value / 4) * 4) if self.coarse else value
                row.append(None if chance(rng, 0.05) else rng.choice((value, str(value))))
        if all(cell is None for row in rows for cell in row[1:]):
            rows[0][1] = 5
        if columns and by not in oracle.MONEY_MEASURES and chance(rng, self.share["rate"] / 2):
            return self.rates(table, columns, rows, by, system, name)
        if chance(rng, 0.4):
            if by in oracle.MONEY_MEASURES:
                step = rng.choice(("100", 50))
            elif by in oracle.COUNT_MEASURES:
                step = rng.choice((1, 2))
            else:
                step = rng.choice((1, 0.5, self.bound(by, system)))
            table["beyond"] = {"step": step, "add": [None if chance(rng, 0.1) else self.great(self.amount(0.1, 3), 0.02) for _ in columns]}
        return self.placed(table, columns, rows, name)

    def placed(self, table, columns, rows, name, least=None):
        """The grid in the document or in a file; of a file, a list of least amounts is its last line."""
        bounds = len(table["by"]) if isinstance(table["by"], list) else 1
        if chance(self.rng, 0.3):
            lines = rows if least is None else rows + [["least"] + least]
            self.files[name] = [["bound"] * bounds + columns] + [["" if cell is None else cell for cell in line] for line in lines]
            both_ways = all(str(text).isdigit() for text in columns + [row[0] for row in rows])  # which A4.5 forbids
            if bounds == 1 and chance(self.rng, self.share["turned"]) and not both_ways:
                self.files[name] = self.turned(columns, rows, least)
            table["csv"] = name
        else:
            table["columns"], table["rows"] = columns, rows
            if least is not None:
                table["least"] = least
        return table

    def rates(self, table, columns, rows, by, system, name):
        """A4.5: cells by the step of the whole measure, that fall with the weight, and now and then a heavier row's where it
        is lower; the place where it becomes lower is remembered."""
        rng = self.rng
        steps = (1, 1, 2) if by in oracle.COUNT_MEASURES else {"weight": ("1 lb", "1 lb", "0.5 lb", "4 oz") if system == "imperial" else ("1 kg", "1 kg", "500 g", "250 g"),
                 "volume": ("216 in3", "0.25 ft3") if system == "imperial" else ("1 l", "2500 cm3"),
                 "length": ("1 in", "6 in") if system == "imperial" else ("1 cm", "15 cm")}[
            "weight" if by in oracle.WEIGHT_MEASURES else "volume" if by in oracle.VOLUME_MEASURES else "length"]
        table["rate"] = rng.choice(steps)
        step = oracle.quantity_of(by, table["rate"])
        if chance(rng, 0.85):
            table["deficit"] = chance(rng, 0.95)
        bounds = [oracle.quantity_of(by, row[0], table.get("unit")) for row in rows]
        fall = rng.choice((0.3, 0.45, 0.55, 0.75, 0.9, 1.1))
        for column in range(1, len(columns) + 1):
            start = rng.uniform(0.5, 6)
            for i, row in enumerate(rows):
                row[column] = None if chance(rng, 0.05) else round(start * fall ** i + 0.01, rng.choice((1, 2, 2)))
            for i in range(len(rows) - 1):  # where the next row's rate for this row's bound is the same
                if table.get("deficit") and rows[i][column] and rows[i + 1][column]:
                    heavier = rows[i + 1][column] * oracle.steps_begun(bounds[i], step) / rows[i][column]
                    self.edges[by] += [max(1, int(heavier)) * step, max(1, bounds[i] - step), bounds[i]]
        if all(cell is None for row in rows for cell in row[1:]):
            rows[0][1] = 5
        least = None
        if chance(rng, 0.6):
            least = [None if chance(rng, 0.2) else self.amount(2, 12) for _ in columns]
            if chance(rng, 0.4):
                table["least"], least = self.amount(2, 12), None
        return self.placed(table, columns, rows, name, least)

    def several_bounds(self, system, zones, name):
        """A4.5: rows with two to four bounds, of which none lies within an earlier one."""
        rng = self.rng
        by = list(rng.choice((("sum_of_sides", "weight"), ("length", "weight"), ("weight", "volume"), ("length_plus_girth", "billable_weight"),
                              ("length", "width", "height"), ("length", "width", "height", "weight"), ("weight", "value"),
                              ("cover", "weight"), ("billable_weight", "sum_of_sides", "value"))))
        if chance(rng, self.share["consignment"] / 2):
            by = list(rng.choice((("pieces", "consignment_weight"), ("consignment_weight", "length"), ("weight", "pieces"))))
        return self.rows_of(by, system, zones, name)

    def rows_of(self, by, system, zones, name):
        rng = self.rng
        texts = [sorted({self.bound(measure, system) for _ in range(4)}, key=lambda text, m=measure: oracle.quantity_of(m, text))
                 for measure in by]
        rows, seen = [], []
        for i in range(rng.randint(2, 7)):
            row = [column[min(len(column) - 1, i // 2 if chance(rng, 0.8) else rng.randrange(len(column)))] for column in texts]
            bounds = [oracle.quantity_of(measure, text) for measure, text in zip(by, row)]
            if not any(all(x <= y for x, y in zip(bounds, earlier)) for earlier in seen):
                seen.append(bounds)
                rows.append(row)
        unit = [None if m in oracle.MONEY_MEASURES | oracle.COUNT_MEASURES else "lb" if m in oracle.WEIGHT_MEASURES else "in3" if m in oracle.VOLUME_MEASURES else
                "in" for m in by]
        columns = self.joined(some(rng, zones, 1, 3)) if chance(rng, 0.6) else []
        if not columns or chance(rng, 0.7):
            columns.append("*")
        if chance(rng, 0.5):  # what is larger than the printed classes
            row = ["1000000" if m in oracle.MONEY_MEASURES else 1000 if m in oracle.COUNT_MEASURES else "60 lb" if m in oracle.WEIGHT_MEASURES else
                   "20 ft3" if m in oracle.VOLUME_MEASURES else "160 in" for m in by]
            bounds = [oracle.quantity_of(measure, text) for measure, text in zip(by, row)]
            if not any(all(x <= y for x, y in zip(bounds, earlier)) for earlier in seen):
                rows.append(row)
        for row in rows:
            row += [None if chance(rng, 0.06) else self.amount(2, 25) for _ in columns]
        if all(cell is None for row in rows for cell in row[len(by):]):
            rows[0][-1] = 5
        return self.placed({"by": by, "unit": unit}, columns, rows, name)

    def per(self, system, measure):
        if measure in oracle.MONEY_MEASURES:
            step = self.rng.choice(("100", "50", 25))
        elif measure in oracle.COUNT_MEASURES:
            step = self.rng.choice((1, 1, 2, 3))
        else:
            step = self.bound(measure, system)
        return {"measure": measure, "step": step, "first": self.amount(0.5, 6),
                "each": self.great(self.amount(0.05, 2), 0.03)}

    def price(self, system, zones, name, last=False):
        """A base price, and whether it may cover every parcel."""
        rng, pick = self.rng, self.rng.random()
        if chance(rng, self.share["bounds"] / (6 if last else 2)):
            return {"table": self.several_bounds(system, zones, name)}, False
        if not last and chance(rng, self.share["consignment"] / 3):
            by = rng.choice(("pieces", "consignment_weight", "consignment_weight"))
            if pick < 0.4:
                return {"per": self.per(system, by)}, True
            table = self.table(system, zones, by, name)
            return {"table": table}, "beyond" in table
        if pick < 0.5:
            by = rng.choice(("billable_weight",) * 6 + ("weight",) * 3 + ("volume", "length", "girth", "value"))
            table = self.table(system, zones, by, name)
            return {"table": table}, "beyond" in table
        if pick < 0.7:
            measure = rng.choice(("billable_weight", "billable_weight", "weight", "volume", "sum_of_sides", "value"))
            return {"per": self.per(system, measure)}, True
        if pick < 0.85:
            return {"by_zone": self.by_zone(zones)}, True
        amount = self.dated("amount", self.amount())
        return {"amount": amount}, not isinstance(amount, dict)

    def once(self, system, zones, name):
        """A4.10: a price that is the same whichever parcel of a consignment is asked."""
        by = self.rng.choice(("pieces", "consignment_weight", "consignment_weight"))
        price = self.rng.choice((
            lambda: {"amount": self.dated("amount", self.amount(1, 12))}, lambda: {"by_zone": self.by_zone(zones)},
            lambda: {"per": self.per(system, by)}, lambda: {"table": self.table(system, zones, by, name)},
            lambda: {"table": self.rows_of(["consignment_weight", "pieces"], system, zones, name)}))()
        return {"once": True, **price}

    # -- documents

    def measure(self, system, zones, issued):
        rng, measure = self.rng, {}
        if chance(rng, 0.5):
            measure["sides"] = {"round": rng.choice(("up", "up", "nearest", "down")),
                                "to": rng.choice(("1 in", "1/4 in") if system == "imperial" else ("1 cm", "5 mm"))}
        elif chance(rng, 0.1):
            measure["sides"] = {"round": "exact"}
        if chance(rng, 0.3):
            measure["irregular_factor"] = rng.choice((0.785, 0.785, 0.5, 1))  # 0.785: common practice
        if chance(rng, 0.7):
            steps = ("1 lb", "1 lb", "1 oz", "0.5 lb") if system == "imperial" else ("1 kg", "0.5 kg", "100 g")
            measure["weight"] = {"round": rng.choice(("up", "up", "up", "nearest", "down")), "to": rng.choice(steps)}
        if chance(rng, 0.6):
            rules = []
            for last in ([True], [False, True])[chance(rng, 0.3)]:
                rule = {"volume_per_weight": rng.choice(("170 in3/lb", "190 in3/lb", "145 in3/lb", "10 in3/oz") if system == "imperial"
                                                        else ("5000 cm3/kg", "6000 cm3/kg", "4000 cm3/kg", "5 l/kg", "0.005 m3/kg"))}
                if chance(rng, 0.4):
                    rule = {"weight_per_volume": rng.choice(
                        ("10.4 lb/ft3", "11 lb/ft3", "0.0061 lb/in3", "7 oz/l") if system == "imperial" else
                        ("280 kg/m3", "167 kg/m3", "333 kg/m3", "250 kg/m3", "0.2 g/cm3", "0.17 kg/l"))}
                if not last or chance(rng, 0.5):
                    rule["when"] = self.test(system, zones, issued, 1, billable=False)
                if chance(rng, 0.3):
                    rule["at_most"] = self.bound("weight", system)
                rules.append(rule)
            measure["dimensional"] = rules
        if chance(rng, 0.4):
            measure["at_least"] = [{"when": self.test(system, zones, issued, 1, billable=False), "weight": self.bound("weight", system)}
                                   for _ in range(rng.randint(1, 2))]
        return measure

    def surcharge(self, code, system, zones, issued, names, name):
        """A surcharge; `names` are the codes it may name."""
        rng = self.rng
        surcharge = {"code": code, "title": code.capitalize()}
        if chance(rng, 0.7):
            surcharge["when"] = self.test(system, zones, issued)
        if chance(rng, self.share["consignment"] / 2):
            if "when" in surcharge:
                surcharge["when"] = self.test(system, zones, issued, barred=NOT_IN_ONCE)
            surcharge.update(self.once(system, zones, name))
            if "amount" in surcharge and chance(rng, self.share["less"] / 2):
                surcharge["less"] = {"amount": surcharge.pop("amount")}
            return surcharge
        if chance(rng, self.share["less"] / 3):
            surcharge["less"] = self.less(system, zones, names)
            return surcharge
        pick = rng.random()
        if pick < 0.3:
            surcharge.update({"percent": self.dated("percent", self.percent()), "of": self.of_lines(names)})
        elif pick < 0.65:
            surcharge["amount"] = self.dated("amount", self.great(self.amount(0, 9), 0.01))
        elif pick < 0.75:
            surcharge["by_zone"] = self.by_zone(zones)
        elif pick < 0.88:
            surcharge["per"] = self.per(system, rng.choice(("billable_weight", "length", "volume", "value", "exact_volume",
                                                              "cash_on_delivery") + (
                                                                  tuple(sorted(oracle.OF_CONSIGNMENT)) if self.share["consignment"] else ())))
        else:
            surcharge["table"] = self.table(system, zones, rng.choice(("weight", "length_plus_girth", "billable_weight")), name)
            if chance(rng, self.share["bounds"] / 2):
                self.files.pop(name, None)
                surcharge["table"] = self.several_bounds(system, zones, name)
        if "percent" not in surcharge and chance(rng, 0.45):
            surcharge["group"] = rng.choice(("handling", "handling", "area"))
            if "amount" in surcharge and chance(rng, 0.6):
                surcharge["amount"] = rng.choice((2, 4, "4.00"))  # equals, of which the first stands
        return surcharge

    def of_lines(self, names):
        """What a percentage is of; what can never stand above it is taken out when all services are made."""
        rng = self.rng
        if chance(rng, self.share["late"] / 1.5):
            extras = some(rng, EXTRAS + ("cover", "cash-on-delivery"), 1, 3)
            return rng.choice((["extras"], ["*", "extras"], ["base", "extras"], extras, ["base"] + names[:2] + extras, ["cover"]))
        return ["*"] if chance(rng, 0.4) else some(rng, ["base"] + names, 1, 3)

    def less(self, system, zones, names):
        """A4.6: an amount taken off, or one of the prices."""
        rng = self.rng
        return rng.choice((
            lambda: self.amount(0, 4), lambda: self.amount(5, 60), lambda: {"amount": self.dated("amount", self.amount(0, 3))},
            lambda: {"by_zone": self.by_zone(zones)}, lambda: {"percent": self.dated("percent", self.percent()), "of": self.of_lines(names)},
            lambda: {"per": self.per(system, "weight")}))()

    def extras(self, system, zones, issued, name):
        rng = self.rng
        extras = [{"code": "signature", "title": "Signature", "amount": self.dated("amount", self.amount(1, 5))},
                  {"code": "adult", "title": "Signature of an adult", "when": self.test(system, zones, issued),
                   "by_zone": self.by_zone(zones)},
                  {"code": "early", "title": "Before noon", "percent": self.dated("percent", self.percent()),
                   "of": rng.choice((["*"], ["base", "signature"], ["extras"], ["base", "extras"]))},
                  {"code": "drop-off", "title": "Brought to the counter"}]
        if chance(rng, 0.7):
            extras[-1]["less"] = rng.choice((0.4, "1.25", {"percent": 5, "of": ["base"]}, {"percent": "10 %", "of": ["*"]},
                                             {"by_zone": self.by_zone(zones)}, 30))
        else:
            extras[-1]["amount"] = 0
        money = "cash_on_delivery"
        price = rng.choice((lambda: {"table": self.table(system, zones, money, name + "-cash.csv")}, lambda: {"per": self.per(system, money)},
                            lambda: {"amount": self.amount(1, 8)}, lambda: {"percent": self.percent(), "of": ["*"]}))()
        extras.append({"code": "cash-on-delivery", "title": "Cash on delivery", **price})
        price = rng.choice((lambda: {"table": self.table(system, zones, "cover", name + "-cover.csv")}, lambda: {"per": self.per(system, "cover")},
                            lambda: {"amount": self.amount(1, 5)},
                            lambda: {"percent": self.dated("percent", 10), "of": ["base", "cash-on-delivery"]}))()
        extras.append({"code": "cover", "title": "Cover", **price})
        if chance(rng, 0.2):
            extras[-1]["when"] = self.test(system, zones, issued)
        if chance(rng, self.share["disagree"]):
            others = {extra["code"]: extra for extra in extras}
            for code, key, named in some(rng, (
                    ("adult", "requires", ["signature"]), ("early", "excludes", ["adult"]), ("adult", "excludes", ["early", "drop-off"]),
                    ("cover", "requires", ["signature"]), ("cash-on-delivery", "requires", ["cover"]), ("drop-off", "excludes", ["cover"]),
                    ("signature", "requires", ["cover", "early"]), ("cover", "excludes", ["cash-on-delivery"])), 1, 3):
                others[code][key] = named
        return extras

    def tax(self, system, zones, issued):
        """A4.7."""
        rng = self.rng
        tax = {"code": rng.choice(("vat", "gst")), "title": "Tax", "percent": rng.choice((19, 20, "7.7 %", 5.5, 0, 33.3333)),
               "listed": rng.choice(("with", "without"))}
        if chance(rng, 0.5):
            tax["rounded"] = rng.choice(("total", "line", "line"))
        if chance(rng, 0.4):
            tax["when"] = self.test(system, zones, issued, 1)
        return tax

    def calendar(self):
        """A4.8."""
        rng = self.rng
        calendar = {"working": rng.choice((list(WEEKDAYS[:5]), list(WEEKDAYS[:6]), ["mon", "wed", "fri"], ["thu"], some(rng, WEEKDAYS, 1, 7)))}
        if chance(rng, 0.5):
            calendar["delivering"] = rng.choice((list(WEEKDAYS[:6]), ["sat"], ["tue", "fri"], list(WEEKDAYS), some(rng, WEEKDAYS, 1, 7)))
        if chance(rng, 0.6):
            calendar["holidays"] = some(rng, CLOSE + ("2026-08-06", "2026-08-10", "2026-08-11", "2026-08-14", "2026-12-25"), 1, 4)
            if chance(rng, 0.04):  # too long to look past
                first = datetime.date(2026, 8, 6)
                calendar["holidays"] = [(first + datetime.timedelta(days=i)).isoformat() for i in range(rng.choice((399, 400, 401, 410)))]
        if chance(rng, 0.6):
            calendar["cut_off"] = rng.choice(("16:00", "16:00", "00:00", "09:30"))
        return calendar

    def included_cover(self, system):
        """A4: an amount, or by the weight."""
        rng = self.rng
        if not chance(rng, self.share["by_weight"]):
            return rng.choice(("20", 50, "100", "99.99"))
        measure = rng.choice(("weight", "billable_weight"))
        if chance(rng, 0.5):
            included = {"per": {"measure": measure, "step": self.bound(measure, system), "first": rng.choice((20, "50", 0)),
                                "each": rng.choice((20, "10", "33.33"))}}
        else:
            texts = sorted({self.bound(measure, system) for _ in range(4)}, key=oracle.weight)
            included = {"table": {"by": measure, "unit": "lb", "columns": ["*"], "rows": [
                [text, rng.choice((None, 20, "50", "99.99", 100, 250))] for text in texts]}}
            if all(row[1] is None for row in included["table"]["rows"]):
                included["table"]["rows"][0][1] = 20
        if chance(rng, 0.4):
            included["at_most"] = rng.choice((50, "100", "99.99"))
        return included

    def service(self, code, carrier, version, system, charts, zones, issued, surcharges, extras):
        rng = self.rng
        name = f"{carrier}-{version}-{code}"
        s = {"code": code, "title": code.capitalize(), "zones": "main" if charts == 1 else rng.choice(("main", "other"))}
        all_zones, zones = zones, zones[s["zones"]]
        if chance(rng, 0.85):
            days = {}
            for zone in ["*"] + some(rng, zones, 0, 3):
                least = rng.randint(1, 4) if chance(rng, 0.9) else 0
                days[zone] = [least, least + rng.randint(0, 3)]
            s["days"] = days
            if chance(rng, self.share["days_by"]):
                s["days_by"] = rng.choice(sorted(all_zones))
                s["days"] = {"*": [2, 3], **{zone: [1, rng.randint(1, 4)] for zone in some(rng, all_zones[s["days_by"]], 0, 3)}}
        if chance(rng, self.share["delivers"]):
            s["delivers"] = rng.choice(DELIVERS + ("door", "point"))
        if chance(rng, self.share["disagree"] / 6):
            s["requires"] = rng.choice((["signature"], ["cover"], ["drop-off"], ["signature", "cover"], ["cash-on-delivery"]))
            self.required.append(s["requires"])
        if chance(rng, self.share["tax"] / 4):
            s["tax"] = None if chance(rng, 0.5) else self.tax(system, zones, issued)
        if chance(rng, self.share["calendar"] / 4):
            s["calendar"] = None if chance(rng, 0.3) else self.calendar()
        if chance(rng, 0.6):
            s["tracked"] = chance(rng, 0.6)
        if chance(rng, 0.6):
            s["mode"] = rng.choice(("air", "surface", "surface", "any"))
        if chance(rng, 0.7):
            s["packaging"] = {"own": chance(rng, 0.92), "issued": some(rng, issued, 0, 9)}
        if chance(rng, 0.85):
            s["measure"] = self.measure(system, zones, issued)
        rules = s.get("measure", {}).get("dimensional", []) + s.get("measure", {}).get("at_least", [])
        by_zone = any('"zone"' in json.dumps(rule) for rule in rules)
        if chance(rng, 0.8):
            refuse = [{"when": {"weight": {"over": WEIGHTS[system][-1]}}, "reason": "too heavy"}]
            if chance(rng, 0.4):
                refuse.append({"when": {"length_plus_girth": {"over": rng.choice(GIRTHS[system][-3:])}}, "reason": "too big"})
            if chance(rng, 0.3):
                test = self.test(system, zones, issued, billable=not by_zone)
                refuse.append({"when": test, "reason": "as said", "code": rng.choice(("over_limit", "contents_not_accepted"))})
            if chance(rng, 0.2):
                refuse.append({"when": {"contents": {"has_any": some(rng, CONTENTS, 1, 3)}}, "reason": "not these",
                               "code": "contents_not_accepted"})
            if chance(rng, 0.2):
                refuse.append({"when": {"not": {"zone": {"is": some(rng, zones, 1, 9)}}}, "reason": "these zones only"})
            if code == "media":
                refuse.append({"when": {"not": {"every_item": {"has_any": ["media", "documents", "x-vinyl"]}}},
                               "reason": "media only", "code": "contents_not_accepted"})
            for entry in refuse:
                for measure in ("weight", "length_plus_girth"):
                    if "over" in entry["when"].get(measure, {}):
                        self.edges[measure].append(oracle.quantity_of(measure, entry["when"][measure]["over"]))
            s["refuse"] = refuse
        if chance(rng, 0.3):
            s["pick"] = rng.choice(("lowest", "first"))
        prices = []
        for i in range(rng.choice((0, 1, 1, 2, 3))):
            price, covers = self.price(system, zones, f"{name}-{i}.csv")
            if covers or chance(rng, 0.3):
                price = {"when": self.test(system, zones, issued), **price}
            prices.append(price)
        if chance(rng, 0.85) or not prices:
            price, _ = self.price(system, zones, f"{name}-last.csv", last=True)
            prices.append(price)
        if chance(rng, self.share["consignment"] / 2) and s.get("pick") != "lowest":
            first = {"when": self.test(system, zones, issued, barred=NOT_IN_ONCE), **self.once(system, zones, f"{name}-once.csv")}
            prices.insert(0, first)
        s["prices"] = prices
        shared = [entry["code"] for entry in surcharges]
        listed = some(rng, shared, 1, 7)
        if chance(rng, 0.4):
            rng.shuffle(listed)
        if chance(rng, 0.3):
            inline = self.surcharge(f"own-{code}", system, zones, issued, shared, f"{name}-own.csv")
            if shared and chance(rng, 0.5):
                inline["replaces"] = some(rng, shared, 1, 2)
            listed.insert(rng.randint(0, len(listed)), inline)
        s["surcharges"] = listed
        if chance(rng, 0.9):
            share = {"cover": 0.85, "cash-on-delivery": 0.7}
            s["extras"] = [copy.deepcopy(entry) if chance(rng, 0.1) and entry["code"] not in share else entry["code"] for entry in extras
                           if chance(rng, share.get(entry["code"], 0.8)) or entry["code"] in s.get("requires", [])]
        if chance(rng, 0.6):
            s["included_cover"] = self.included_cover(system)
        return s

    def tariff(self, carrier, title, version, dates, system, currency, packagings, codes):
        rng = self.rng
        issued = [p["code"] for p in packagings]
        self.begin_lists(f"{carrier}-{version}")
        areas, series = self.lists(), self.dated_series()
        charts, zones = {}, {}
        for name in ("main", "other")[:rng.randint(1, 2)]:
            charts[name], zones[name] = self.charts(system)
        common = sorted(set.intersection(*(set(z) for z in zones.values())))
        if not common:  # a shared surcharge may only name zones that every chart list can give
            charts, zones = {"main": charts["main"]}, {"main": zones["main"]}
            common = zones["main"]
        rounding = {}
        if chance(rng, 0.6):
            step = {"JPY": (1, 10), "KWD": (0.001, 0.01)}.get(currency, (0.01, 0.01, 0.05, 0.001, 0.1))
            rounding = {"line": rng.choice(step), "total": rng.choice(step), "mode": rng.choice(("half_up", "half_even", "up", "down"))}
            for key in list(rounding):
                if chance(rng, 0.2):
                    del rounding[key]
        names = some(rng, ("long", "heavy", "oversize", "fuel", "remote", "home", "uneven"), 1, 6)
        rng.shuffle(names)
        surcharges = []
        for i, code in enumerate(names):
            surcharge = self.surcharge(code, system, common, issued, names[:i] + names[i + 1:], f"{carrier}-{version}-{code}.csv")
            if i and chance(rng, 0.5):
                surcharge["replaces"] = some(rng, names[:i], 1, 2)
            surcharges.append(surcharge)
        rng.shuffle(surcharges)
        extras = self.extras(system, common, issued, f"{carrier}-{version}")
        document = {
            "format": "tarewise-tariff-1",
            "carrier": {"code": carrier, "name": title},
            "title": f"Tariff {version}",
            "source": "invented at random",
            "currency": currency,
            "in_force": dict(zip(("from", "until"), dates)),
            "zones": charts,
            "packaging": packagings,
            "services": [self.service(code, carrier, version, system, len(charts), zones, issued, surcharges, extras)
                         for code in codes],
            "surcharges": surcharges,
            "extras": extras,
        }
        for key, part in (("rounding", rounding), ("areas", areas), ("series", series)):
            if part:
                document[key] = part
        if chance(rng, self.share["tax"]):
            document["tax"] = self.tax(system, common, issued)
        if chance(rng, self.share["calendar"]):
            document["calendar"] = self.calendar()
        mend_percentages(document)
        self.begin_lists("")  # terms and the seller's own rules name none of them
        self.files[f"{carrier}-{version}.json"] = document

    def packaging_of(self, code, kind, system):
        """A packaging of a kind, about the size of a book or a lamp."""
        rng = self.rng
        unit, scale = ("in", 1) if system == "imperial" else ("cm", 2.5)

        def size(least, most):
            return round(rng.uniform(least, most) * scale * 4) / 4

        p = {"code": code, "title": code.capitalize(), "kind": kind,
             "tare": rng.choice(("0.4 oz", "1.5 oz", "4.1 oz", "7 oz", "1 lb 2 oz") if system == "imperial" else ("9 g", "40 g", "0.2 kg")),
             "cost": rng.choice((0, 0, "0.35", 0.62, "1.10"))}
        wall = rng.choice(("0.15 in", "1/8 in", "0.02 in") if system == "imperial" else ("3 mm", "0.5 mm", "0.2 cm"))
        if kind == "carton":
            sides = [size(5, 20), size(4, 14), size(2, 10)]
            p["inside"] = " x ".join(map(str, sides)) + " " + unit
            if chance(rng, 0.5):
                p["outside"] = " x ".join(f"{side + 0.25 * scale:g}" for side in sides) + " " + unit
            else:
                p["wall"] = wall
        elif kind == "mailer":
            p["inside"] = f"{size(6, 12)} x {size(9, 18)} {unit}"
            if chance(rng, 0.6):
                p["wall"] = wall
        elif kind == "envelope":
            if chance(rng, 0.5):
                p["inside"], p["thickness"] = f"{size(6, 10)} x {size(9, 15)} {unit}", f"{rng.choice((0.25, 0.5, 0.75)) * scale} {unit}"
            else:
                p["inside"] = f"{size(6, 10)} x {size(9, 15)} x {rng.choice((0.25, 0.5, 0.75)) * scale} {unit}"
            if chance(rng, 0.4):
                p["wall"] = wall
            elif chance(rng, 0.4):
                flat = oracle.re.split(" x | in| cm", p["inside"])
                p["outside"] = f"{float(flat[0]) + 0.5 * scale} x {float(flat[1]) + 0.75 * scale} {unit}"
        elif kind == "tube":
            width, long = size(2, 5), size(14, 36)
            p["inside"] = f"{width} x {long} {unit}"
            if chance(rng, 0.4):
                p["outside"] = f"{width + 0.25 * scale} x {long + 0.5 * scale} {unit}"
            else:
                p["wall"] = wall
        else:
            p["tare"] = "0 oz" if chance(rng, 0.5) else p["tare"]
        return p

    def build(self):
        """Every file of the folder."""
        rng = self.rng
        carriers = rng.sample(CARRIERS, rng.choice((1, 2, 2, 3, 3)))
        currencies = [rng.choice(("USD", "USD", "EUR", "JPY", "KWD"))] * 3
        if self.many_currencies:
            currencies = rng.sample(("USD", "EUR", "JPY", "KWD"), 3)
        self.carriers = {}
        for (carrier, title), currency in zip(carriers, currencies):
            system = rng.choice(("imperial", "imperial", "metric"))
            packagings = []
            for i in range(rng.choice((0, 1, 2, 3))):
                kind = rng.choice(("carton", "carton", "envelope", "mailer", "tube", "bare"))
                packagings.append(self.packaging_of(f"{carrier[:2]}-{kind}-{i + 1}", kind, system))
            codes = rng.sample(SERVICE_CODES, rng.choice((1, 2, 3, 4)))
            dates = rng.choice((((EARLY,),), ((EARLY, END),), ((EARLY, "2026-07-11"), (MIDDLE, END)), ((EARLY, END), (MIDDLE, LATE)),
                                ((EARLY,), (MIDDLE,)), ((EARLY, BETWEEN), (MIDDLE, LATE)), ((MIDDLE, END),)))
            common = packagings  # what every version has
            for version, days in enumerate(dates, 1):
                offered = codes if version == 1 or chance(rng, 0.5) else some(rng, codes, 1, 4)
                offered = offered + (["new"] if version > 1 and chance(rng, 0.3) else [])
                # A later list may no longer have a packaging that the shelf still holds.
                held = packagings[:-1] if version > 1 and chance(rng, 0.2) else packagings
                self.tariff(carrier, title, version, days, system, currency, held, offered)
                common = min(common, held, key=len)
                codes = [code for code in codes if code in offered]
            self.carriers[carrier] = (codes, currency)  # what every version has
            self.packaging += [(carrier, p) for p in packagings]
            if chance(rng, 0.5):
                self.terms(carrier, self.carriers[carrier][0], system, [p["code"] for p in common])
        self.gazetteer()
        if chance(rng, 0.45):
            self.seller_currency = rng.choice(currencies + ["EUR"])
        self.shelf_kind = rng.choice(("json", "json", "csv", "csv", None))
        self.shelf_currency = currencies[0]
        if self.shelf_kind:
            self.shelf(self.shelf_currency)
        if self.seller_currency:
            self.seller()
        self.currencies = sorted({currency for _, currency in self.carriers.values()} |
                                 ({self.shelf_currency} if self.shelf_kind else set()))

    def terms(self, carrier, codes, system, issued):
        rng = self.rng
        tariffs = [document for name, document in self.files.items()
                   if name.startswith(carrier) and name.endswith(".json")]
        lines = ["base", "*"] + sorted(set.intersection(*(
            {x["code"] for x in document["surcharges"] + document["extras"]} for document in tariffs)))
        for version, days in enumerate(rng.choice((((EARLY,),), ((EARLY, "2026-08-03"), (MIDDLE,)))), 1):
            discounts = []
            for _ in range(rng.randint(1, 6)):
                of = some(rng, lines, 1, 2)
                discount = {"percent": self.percent(), "of": ["*"] if "*" in of else of}
                if chance(rng, self.share["less"] / 2):
                    del discount["percent"]
                    discount["less"] = rng.choice((0.4, "1.25", "0.005", 3, 12))
                elif chance(rng, 0.1):
                    discount["percent"] = rng.choice((100, 50))
                if chance(rng, self.share["adds"]):
                    discount["adds"] = chance(rng, 0.8)
                if chance(rng, 0.5):
                    discount["services"] = some(rng, codes, 1, 2)
                if chance(rng, 0.5):
                    discount["when"] = self.test(system, [], issued, 1, barred=NOT_IN_TERMS)
                if chance(rng, 0.5):
                    discount["floor"] = rng.choice(("7.90", 2, "15"))
                discounts.append(discount)
            self.files[f"{carrier}-terms-{version}.json"] = {
                "format": "tarewise-terms-1", "carrier": carrier, "in_force": dict(zip(("from", "until"), days)),
                "discounts": discounts}

    def seller(self):
        """A8: what the seller avoids, asks for and counts; not so much that nothing is left."""
        rng = self.rng
        codes = sorted({p["code"] for _, p in self.packaging})
        services = [f"{carrier}/{code}" for carrier, (served, _) in sorted(self.carriers.items()) for code in served]

        def of(entry, share):
            if chance(rng, share):
                entry["services"] = some(rng, services + sorted(self.carriers), 1, 3)
            return entry

        document = {"format": "tarewise-seller-1", "currency": self.seller_currency, "hour": rng.choice(("18.00", 15, "21.35"))}
        document["avoid"] = [of({"when": self.test("imperial", [], codes, 1, billable=False, barred=NOT_IN_AVOID), "reason": "not by us"}, 0.93)
                             for _ in range(rng.randint(0, 2))]
        document["ask"] = []
        # An extra that no service has is an error.
        had = {extra if isinstance(extra, str) else extra["code"] for part in self.files.values() if isinstance(part, dict)
               for served in part.get("services", ()) for extra in served.get("extras", ())}
        extras = [code for code in EXTRAS[:2] + EXTRAS[3:] if code in had]
        for _ in range(rng.randint(0, 2)):
            entry = {"when": self.test("imperial", [], codes, 1, barred=NOT_IN_ASK)}
            if chance(rng, 0.7) and extras:
                entry["extras"] = some(rng, extras, 1, min(2, len(extras)))
            if "extras" not in entry or chance(rng, 0.4):
                entry["cover"] = rng.choice(("value", 50, "100.01"))
            document["ask"].append(entry)
        document["handicaps"] = []
        for i in range(rng.randint(1, 4)):
            handicap = of({"code": f"effort-{i + 1}", "title": "Effort"}, 0.7)
            if chance(rng, 0.7):
                handicap["when"] = self.test("imperial", [], codes, 1, barred=NOT_IN_HANDICAPS)
            handicap.update(rng.choice(({"amount": self.amount(0, 15)}, {"minutes": rng.choice((4, "2.5", 0.75, 10))},
                                        {"percent_of_value": rng.choice((1.2, "0.5 %", 12.5))})))
            document["handicaps"].append(handicap)
        self.files["seller.json"] = {key: part for key, part in document.items() if part}

    def gazetteer(self):
        rng, rows = self.rng, [["country", "prefix", "latitude", "longitude", "name"]]
        for country, prefixes in PLACES.items():
            for prefix in prefixes:
                if chance(rng, 0.95):
                    rows.append([country, prefix, round(rng.uniform(25, 50), 4), round(rng.uniform(-125, -70), 4), "Invented"])
        rows.append(["US", "4", round(rng.uniform(38, 42), 4), round(rng.uniform(-85, -80), 4), "Invented"])
        self.files["gazetteer.csv"] = rows

    def shelf(self, currency):
        rng = self.rng
        system = rng.choice(("imperial", "metric"))
        own = []
        for i in range(rng.randint(2, 7)):
            kind = rng.choice(KINDS + ("carton", "carton", "carton"))
            packaging = self.packaging_of(f"{kind}-{i + 1}", kind, system)
            if chance(rng, 0.3):
                packaging["on_hand"] = rng.choice((0, 3, 12, 40))
            if kind == "carton" and chance(rng, 0.45):
                self.cut_down(packaging)
            own.append(packaging)
        at_hand = []
        for carrier, packaging in self.packaging:
            if chance(rng, 0.7):
                entry = {"carrier": carrier, "code": packaging["code"]}
                if chance(rng, 0.3):
                    entry["on_hand"] = rng.choice((0, 5))
                at_hand.append(entry)
        self.packaging += [("", packaging) for packaging in own]
        if self.shelf_kind == "json":
            self.files["shelf.json"] = {"format": "tarewise-shelf-1", "currency": currency, "packaging": own, "issued": at_hand}
        else:
            header = "code title kind inside outside wall thickness tare cost currency on_hand carrier".split()
            if any("cut_down" in entry for entry in own) or chance(rng, 0.1):
                header += ["cut_down", "least_height"]
            rows = [{**entry, "currency": "" if "carrier" in entry else currency} for entry in own + at_hand]
            for row in rows:
                if "cut_down" in row:
                    row["cut_down"] = "true" if row["cut_down"] else rng.choice(("false", ""))
            self.files["shelf-a.csv"] = [header] + [[row.get(key, "") for key in header] for row in rows]

    def cut_down(self, carton):
        """A6: a carton that may be cut down to some part of its height, or almost not."""
        rng = self.rng
        carton["cut_down"] = chance(rng, 0.95)
        if carton["cut_down"]:
            *_, height = oracle.lengths(carton["inside"], 3)
            carton["least_height"] = " ".join(write_length(rng, max(10 ** 6, height * rng.choice((1, 1, 2, 3, 5, 8, 10)) // 10)))

    def add_examples(self, tables):
        """Examples of every tariff, with the slow pricer's totals: what is copied from a list must come out."""
        rng = self.rng
        for tariff in tables.tariffs:
            name = next(name for name, file in self.files.items() if name.endswith(".json") and "services" in file and
                        (file["carrier"]["code"], file["in_force"]["from"]) == (tariff["carrier"], tariff["from"]))
            requests, examples = Requests(rng, self, tables), []
            for _ in range(6):
                service = rng.choice(tariff["services"])
                parcel = requests.parcel()
                if parcel.get("packaging") not in tariff["packaging"]:
                    parcel.pop("packaging", None)
                example = {"service": service["code"], "parcel": parcel}
                if chance(rng, 0.6):
                    example["zone"] = rng.choice(sorted(set().union(*map(oracle.zones_given, service["charts"]))))
                    if chance(rng, 0.4):
                        example["residential"] = chance(rng, 0.7)
                else:
                    example["from"], example["to"] = requests.place(), requests.place()
                if chance(rng, 0.3):
                    example["cover"] = requests.money()
                if chance(rng, 0.3):
                    known = sorted(set(service["extras"]) - {"cover", "cash-on-delivery"})
                    example["extras"] = rng.sample(known, min(1, len(known)))
                if chance(rng, 0.15):
                    example["amounts"] = {"cash_on_delivery": requests.money()}
                if chance(rng, 0.2):
                    example["week"] = requests.week()
                if chance(rng, self.share["consignment"] / 2 + 0.02):
                    example["consignment"] = requests.consignment(parcel)
                if chance(rng, 0.3):
                    example["date"] = rng.choice(CLOSE + (tariff["from"],))
                    example["time"] = rng.choice(TIMES)
                outcome = oracle.example_outcome(tables, tariff, oracle.read_json(json.dumps(example)))
                if outcome.reasons:
                    example["refused"] = rng.choice(outcome.reasons)
                else:
                    total, net = (oracle.show_money(x, tariff["currency"]) for x in (outcome.priced.total, outcome.priced.net))
                    example.update(rng.choice(({"total": total}, {"total": total}, {"net": net}, {"total": total, "net": net})))
                    if outcome.billable.denominator == 1 and chance(rng, 0.5):
                        example["billable_weight"] = write_weight(rng, int(outcome.billable))
                    if outcome.arrives is not None and chance(rng, 0.5):
                        example["arrives"] = outcome.arrives
                example["why"] = "from the slow pricer"
                examples.append(example)
            self.files[name]["examples"] = examples

    def tally(self):
        """How many documents have what stands in files or changes by date."""
        found = {}
        for document in (json.dumps(file) for name, file in self.files.items() if name.endswith(".json")):
            for what, key in (("zones from a file", '-zones-'), ("areas by name", '"@'), ("series", '"series": {"'), ("an index", '-steps-')):
                found["document: " + what] = found.get("document: " + what, 0) + (key in document)
        return found

    def write(self, folder):
        folder.mkdir(parents=True, exist_ok=True)
        for name, content in self.files.items():
            if name.endswith(".json"):
                (folder / name).write_text(json.dumps(content, indent=1, ensure_ascii=False) + "\n", encoding="utf-8")
            else:
                with open(folder / name, "w", newline="", encoding="utf-8") as file:
                    csv.writer(file, lineterminator="\n").writerows(content)


# ---------------------------------------------------------------------------------------------------------------------
# Requests

class Requests:
    """Makes requests close to the bounds of a world."""

    def __init__(self, rng, world, tables):
        self.rng, self.world, self.tables = rng, world, tables

    def near(self, value, steps):
        """A value on, just under or just over a bound."""
        return max(1, value + self.rng.choice((0, 0, 1, -1)) * self.rng.choice(steps))

    def gross_weight(self):
        rng = self.rng
        edges = self.world.edges["weight"] + self.world.edges["billable_weight"]
        if edges and chance(rng, 0.65):
            value = rng.choice(edges)
            if chance(rng, 0.1):
                value *= rng.randint(2, 3)
            return self.near(value, (1, 10 ** 6, 10 ** 9, 2834952312, 28349523125))
        if chance(rng, 0.5):
            return rng.randint(1, 320) * 2834952312 + rng.randint(0, 1)
        return oracle.half_up(Fraction(rng.randint(1, 30000), 1000) * oracle.WEIGHT_UNITS[rng.choice(("lb", "kg"))])

    def some_side(self):
        rng = self.rng
        if chance(rng, 0.5):
            return rng.randint(1, 160) * oracle.length("1/8 in")
        return rng.randint(1, 500) * oracle.length("1 mm")

    def sides(self):
        """Three sides with one measure near a bound."""
        rng, edges = self.rng, self.world.edges
        a, b, c = (self.some_side() for _ in range(3))
        wanted = [measure for measure in sorted(edges) if edges[measure] and (
            measure in oracle.LENGTH_MEASURES or measure in oracle.VOLUME_MEASURES)]
        if not wanted or chance(rng, 0.3):
            return [a, b, c]
        measure = rng.choice(wanted)
        value = self.near(rng.choice(edges[measure]), (1, 1000, 10 ** 6, 25400000 // 8))
        name = measure.replace("exact_", "")
        if name in ("length", "width", "height"):
            a = min(value, 40 * 10 ** 9)
            small, large = max(1, a // rng.randint(2, 9)), a * rng.randint(1, 3)
            others = {"length": (small, small), "width": (large, small), "height": (large, large)}[name]
            return [a, *others] if chance(rng, 0.5) else [a, b, c]
        if name == "volume":
            # a of the cubic root's size, b of the square root's of what is left, c what is left, rounded.
            value = rng.choice(edges[measure])
            root = round((value / 1) ** (1 / 3))
            a = rng.choice((oracle.length("12 in"), oracle.length("10 in"), oracle.length("20 cm"), root))
            b = rng.choice((oracle.length("12 in"), oracle.length("6 in"), oracle.length("10 cm"), a))
            c = max(1, value // (a * b) + rng.choice((0, 0, 1, -1, 10 ** 6)))
            return [a, b, min(c, 40 * 10 ** 9)]
        b, c = (min(x, max(1, value // 8)) for x in (b, c))
        a = {"girth": b, "length_plus_girth": value - 2 * (b + c), "sum_of_sides": value - b - c, "length_plus_width": value - max(b, c),
             "longest_plus_shortest": value - min(b, c)}[name]
        if name == "girth":  # 2 x (b + c) is the value, whatever the longest side
            b = max(1, value // 2 - c)
            a = max(b, c) + self.some_side()
        return [max(1, x) for x in (a, b, c)]

    def place(self):
        rng = self.rng
        country = rng.choice(("US",) * 8 + ("CA", "CA", "DE", "FR", "GB", "GB"))
        if country == "GB":
            codes = ("PA2 0AA", "pa20aa", "PA2 9XX", "PA20 8XX", "PA20 1AA", "PA80 1AB", "EC1A 1BB", "EC1M 2AA", "EC10 1AA", "B1 1AA",
                     "BA1 1AA", "BFPO 61", "GIR 0AA")
            return {"country": country, "postal_code": rng.choice(codes)} if chance(rng, 0.97) else {"country": country}
        prefix = rng.choice(PLACES[country])
        if country == "CA":
            code = prefix + rng.choice((" 0B1", "-1C2", "1c2", " 1a1"))
            code = code.lower() if chance(rng, 0.3) else code
        else:
            code = prefix + "".join(rng.choice("01") for _ in range(5 - len(prefix)))
            code += rng.choice(("", "", "", "-1234")) if country == "US" else ""
        place = {"country": country, "postal_code": code}
        if country == "US" and chance(rng, 0.03):
            del place["postal_code"]
        elif country in ("DE", "FR") and chance(rng, 0.1):
            del place["postal_code"]
        return place

    def contents(self):
        rng = self.rng
        return some(rng, CONTENTS, 1, 2) if chance(rng, 0.25) else (["media"] if chance(rng, 0.35) else [])

    def money(self):
        if chance(self.rng, 0.02):
            return self.rng.choice(("100000000", "7000000.01"))  # past 1,000 million in some currency, or nearly
        return self.rng.choice(("20", "20.01", "50", "50.5", "99.99", "100", "100.01", "24.00", 12.5, "250", "330"))

    def parcel(self):
        rng = self.rng
        p = {"weight": write_weight(rng, self.gross_weight()), "sides": write_sides(rng, self.sides())}
        if chance(rng, 0.04):
            p["weight"] = f"{rng.uniform(0.1, 9):.11f} lb"
        if chance(rng, 0.6):
            p["shape"] = rng.choice(SHAPES)
        if chance(rng, 0.3) and self.world.packaging:
            p["packaging"] = rng.choice(self.world.packaging)[1]["code"]
        contents = self.contents()
        if contents:
            p["contents"] = contents
        if chance(rng, 0.4):
            p["value"] = self.money()
        if chance(rng, 0.3):
            p["rigid"] = chance(rng, 0.5)
        return p

    def goods(self):
        """Items whose parcel comes close to a bound in some packaging."""
        rng, goods = self.rng, []
        shelf = [p for _, p in self.world.packaging if "inside" in p]
        cartons = [p for p in shelf if p["kind"] == "carton"]
        at_hand = {(carrier, code) for carrier, code, _ in self.tables.at_hand}
        flats = [p for carrier, p in self.world.packaging if p["kind"] in ("mailer", "envelope", "tube") and self.tables.shelf is not None and
                 (not carrier or (carrier, p["code"]) in at_hand)]
        if flats and chance(rng, 0.25):
            thicknesses = self.world.edges["height"] + self.world.edges["exact_height"]
            drawn = random_flat.several(rng, rng.choice(flats), thicknesses, write_sides)
            if drawn is not None:
                return drawn, None
        if cartons and chance(rng, 0.5):
            drawn = random_goods.several(rng, oracle.lengths(rng.choice(cartons)["inside"], 3), write_sides)
            if drawn is not None:
                self.some_give(drawn[0], 0.12)
                return drawn
        for _ in range(rng.choice((1, 1, 1, 1, 2, 3))):
            grams = self.gross_weight()
            if chance(rng, 0.6) and shelf:  # aim the gross weight, not the goods', at the bound
                grams = max(10 ** 9, grams - oracle.weight(rng.choice(shelf)["tare"]))
            elif self.world.shelf_kind is None and chance(rng, 0.5):
                grams = max(10 ** 9, grams - oracle.weight("12 oz"))
            if chance(rng, 0.05 if self.world.shelf_kind else 0.3):
                grams = oracle.weight("1 lb") + rng.choice((0, 1, -1))
            item = {"weight": write_weight(rng, grams)}
            sides = [min(side, oracle.length(rng.choice(("1 in", "4 in", "9 in")))) for side in self.sides()]
            if not shelf or chance(rng, 0.15):
                sides = self.sides()
            elif chance(rng, 0.6):
                p = rng.choice(shelf)
                count = p["inside"].count(" x ") + 1
                room = oracle.lengths(p["inside"], count)
                if count == 2:
                    room.append(rng.choice((oracle.length("1/4 in"), oracle.length("1 in"), oracle.length("2 cm"))))
                    if p["kind"] == "mailer":
                        room = [room[0] - room[2], room[1] - room[2], room[2]]
                    if p["kind"] == "tube":
                        room = [room[0] * 3 // 5, room[1], room[0] * 4 // 5]
                sides = [max(10 ** 6, side - rng.choice((0, 0, 0, 0, 0, 1, 10 ** 7, side // 3, 50800000)) + rng.choice((0,) * 9 + (1,)))
                         for side in room]
                rng.shuffle(sides)
            item["sides"] = write_sides(rng, sides)
            if chance(rng, 0.25):
                item["quantity"] = rng.randint(1, 3)
            contents = self.contents()
            if contents:
                item["contents"] = contents
            if chance(rng, 0.4):
                item["value"] = self.money()
            if chance(rng, 0.5):
                item["shape"] = rng.choice(SHAPES)
            for key, probability in (("this_side_up", 0.1), ("rigid", 0.2), ("bare", 0.3), ("top_free", 0.04)):
                if chance(rng, probability):
                    item[key] = chance(rng, 0.8)
            if chance(rng, 0.07):
                item["may_stand"] = some(rng, (1, 2, 3), 1, 3)
                item.pop("this_side_up", None)
            if chance(rng, 0.03):
                item["bears"] = write_weight(rng, grams)
            goods.append(item)
        self.some_give(goods, 0.1)
        return goods, None

    def some_give(self, goods, probability):
        """Makes one item soft, pressed of the sides that it has, or all of them."""
        if chance(self.rng, probability):
            for item in goods if chance(self.rng, 0.3) else [self.rng.choice(goods)]:
                random_flat.soften(self.rng, item, oracle.read_sides(item["sides"]), write_sides)

    def request(self):
        rng, world = self.rng, self.world
        request = {"format": "tarewise-request-1"}
        if chance(rng, 0.45):
            request["parcel"] = self.parcel()
        else:
            request["goods"], padding = self.goods()
            if padding is not None:
                request["padding"] = padding
            elif chance(rng, 0.1):
                request["padding"] = rng.choice(("1 in", "1/2 in", "5 mm", "0 in"))
            if chance(rng, 0.2):
                request["fill_weight"] = rng.choice(("2 oz", "35 g", "0.5 oz"))
            if world.shelf_kind is None and chance(rng, 0.3):
                request["allowance"] = rng.choice(({"least": "8 oz", "most": "12 oz"}, {"least": "100 g", "most": "1 lb"},
                                                   {"least": "10 oz", "most": "10 oz"}))
        request["from"], request["to"] = self.place(), self.place()
        if chance(rng, 0.7):
            request["from"] = {"country": "US", "postal_code": rng.choice(("05401", "05101", "05999"))}
        if chance(rng, 0.4):
            request["to"]["residential"] = chance(rng, 0.8)
        request["date"] = rng.choice(DAYS + (MIDDLE, "2026-08-03", "2026-07-30", "2026-09-09") * 4 + CLOSE * 2)
        if chance(rng, 0.01):
            request["date"] = rng.choice(("9999-12-31", "9999-12-29", "9999-12-20"))
        if chance(rng, 0.25):
            carrier = rng.choice(sorted(world.carriers))
            code = rng.choice(world.carriers[carrier][0])
            by = datetime.date.fromisoformat(request["date"]).toordinal() + rng.choice((0, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 12, 15, 20, 30, 40, 60))
            by = {"by": datetime.date.fromordinal(min(by, datetime.date.max.toordinal())).isoformat()}
            request["promise"] = rng.choice(({"within": rng.randint(1, 6)}, {"within": rng.randint(1, 6)}, {"paid_for": f"{carrier}/{code}"},
                                             {"paid_for": f"{carrier}/{code}"}) + ((by,) * 4 if world.share["calendar"] else ()))
            if "paid_for" in request["promise"] and chance(rng, 0.4) and self.has_everywhere(code, request["date"]):
                request["promise"]["paid_for"] = code
        if chance(rng, 0.22):
            request["extras"] = rng.sample(EXTRAS, rng.choice((1, 1, 1, 2, 2, 3))) if chance(rng, 0.94) else ["gift-wrap"]
        if chance(rng, 0.25):
            request["cover"] = self.money()
        if world.required and chance(rng, 0.35):
            for code in rng.choice(world.required):
                if code == "cover":
                    request["cover"] = self.money()
                elif code == "cash-on-delivery":
                    request["amounts"] = {"cash_on_delivery": self.money()}
                elif code not in request.get("extras", []):
                    request["extras"] = request.get("extras", []) + [code]
        if chance(rng, 1.2 * world.share["delivers"] + 0.05):
            request["accepts"] = rng.choice((some(rng, DELIVERS, 1, 3), list(DELIVERS), ["point", "door"]))
        if chance(rng, 0.08):
            request["amounts"] = {"cash_on_delivery": self.money() if chance(rng, 0.9) else 0}
        if chance(rng, 0.5 * world.share["calendar"] + 0.05):
            request["time"] = rng.choice(TIMES)
        if chance(rng, 0.35 * world.share["tax"] + 0.03):
            request["totals"] = rng.choice(("without_tax", "without_tax", "with_tax"))
        if chance(rng, 0.7 * world.share["week"] + 0.03):
            request["week"] = self.week(sorted(world.carriers))
        if chance(rng, 0.8 * world.share["consignment"] + 0.03):
            request["consignment"] = self.consignment(request.get("parcel"))
        self.choose_currency(request)
        return self.spoil(request) if chance(rng, 0.02) else request

    def week(self, carriers=()):
        """B1: figures on, just under and just over the bounds of tests."""
        rng = self.rng

        def figures():
            week = {"parcels": rng.choice((0, 9, 10, 11, 49, 50, 51, 200, 201)), "spend": rng.choice(("99.99", "100", 100.01, 499.99, "500", "500.01"))}
            return {key: week[key] for key in week if chance(rng, 0.75)}

        week = figures()
        if carriers and chance(rng, 0.4):
            week["carriers"] = {carrier: figures() for carrier in some(rng, carriers, 1, 2)}
        return week

    def consignment(self, parcel=None):
        """A4.10: pieces on, just under and just over the bounds of tests and tables, and others that weigh what brings a sealed
        parcel there, or near."""
        rng, edges = self.rng, self.world.edges
        pieces = rng.choice(edges["pieces"] or [2]) + rng.choice((0, 0, 1, -1))
        others = max(0, min(999, rng.choice((pieces - 1, pieces - 1, pieces - 1, 1, 2, 5, 0))))
        if others == 0:
            return rng.choice(({"others": 0}, {"others": 0, "others_weight": "0 kg", "first": True}, {"others": 0, "first": True}))
        gross = rng.randint(1, 20) * 10 ** 12
        if edges["consignment_weight"] and chance(rng, 0.8):
            own = oracle.weight(parcel["weight"]) if parcel else rng.choice((0, 10 ** 12))
            gross = self.near(rng.choice(edges["consignment_weight"]) * rng.choice((1, 1, 1, 2)) - own, (1, 10 ** 6, 10 ** 9, 28349523125))
        return {"others": others, "others_weight": write_weight(rng, gross), "first": chance(rng, 0.4)}

    def has_everywhere(self, code, day):
        """Whether as many carriers have a service on a date as ever: then its bare code means the same to everyone."""
        ever = {t["carrier"] for t in self.tables.tariffs if any(s["code"] == code for s in t["services"])}
        now = {c for c in self.tables.carriers() if any(s["code"] == code for s in self.tables.version(c, day)[0]["services"])}
        return ever == now

    def choose_currency(self, request):
        """Names a currency where the tables leave a choice, and most of the rates."""
        rng, world = self.rng, self.world
        day = request["date"]
        any_in_force = any(self.tables.version(carrier, day)[1] for carrier in world.carriers)
        if len(world.currencies) == 1 and any_in_force and chance(rng, 0.6):
            ranked = world.currencies[0]
        else:
            ranked = request["currency"] = rng.choice(world.currencies + ["USD"])
        rates = {"USD": "1", "EUR": "1.0842", "JPY": "0.0066", "KWD": 3.25}
        exchange = {}
        for currency in sorted({*world.currencies, world.seller_currency or ranked}):
            # Without a rate for the seller's own rules there is no answer at all.
            if currency != ranked and chance(rng, 0.97 if currency == world.seller_currency else 0.85):
                rate = oracle.Fraction(str(rates[currency])) / oracle.Fraction(str(rates[ranked]))
                exchange[currency] = rng.choice((f"{float(rate):.6f}", f"{float(rate):.4f}")) if rate > Fraction(1, 1000) else "0.0021"
        if exchange:
            request["exchange"] = exchange

    def spoil(self, request):
        """A request that must be answered with an error."""
        rng = self.rng
        thing = request["parcel"] if "parcel" in request else request["goods"][0]
        pick = rng.randrange(15)
        if pick == 0:
            thing["contents"] = ["glass"]
        elif pick == 1:
            request["extras"] = ["signature", "signature"]
        elif pick == 2:
            request["extras"] = ["cover"]
        elif pick == 3:
            thing["weight"] = rng.choice(("0 g", "-1 lb", "5", "3 oz 1 lb", "100001 kg", "1e3 g"))
        elif pick == 4:
            thing["sides"] = rng.choice(("1 x 2 in", "0 x 1 x 1 in", "51 m x 1 m x 1 m", "1 in x 2 x 3 in"))
        elif pick == 5:
            request["colour"] = "red"
        elif pick == 6:
            request["date"] = rng.choice(("2026-02-30", "03/08/2026"))
        elif pick == 7:
            request["promise"] = {"paid_for": "nobody/nothing"}
        elif pick == 8:
            request["accepts"] = rng.choice(([], ["window"], "door"))
        elif pick == 9:
            request["amounts"] = rng.choice(({"cash": "5"}, {"cash_on_delivery": "-5"}, {"cash_on_delivery": "1000000000.01"}))
        elif pick == 10:
            request["time"] = rng.choice(("24:00", "9:30", "16.00", "16:60"))
        elif pick == 11:
            request["totals"] = rng.choice(("net", "with-tax", True))
        elif pick == 12 and "goods" in request:
            thing.update(rng.choice(({"may_stand": []}, {"may_stand": [0]}, {"may_stand": [1, 1]}, {"may_stand": [4]}, {"may_stand": 2},
                                     {"may_stand": [3], "this_side_up": True}, {"top_free": 1}, {"bears": "0 kg"}, {"bears": "5"},
                                     {"bears": "100001 kg"}, {"bears": "1..2 kg"}, *SPOILT_SOFT)))
        elif pick in (12, 13):
            request["week"] = rng.choice(({"parcels": -1}, {"parcels": 1.5}, {"spend": "-1"}, {"parcels": 1000000001},
                                          {"carriers": {"harbourline": {"carriers": {}}}}))
            if chance(rng, 0.5):
                del request["week"]
                request["consignment"] = rng.choice((
                    {}, {"others": -1}, {"others": 1000, "others_weight": "1 kg", "first": True}, {"others": 1.5, "others_weight": "1 kg", "first": True},
                    {"others": 2, "first": True}, {"others": 2, "others_weight": "1 kg"}, {"others": 0, "others_weight": "1 kg"},
                    {"others": 2, "others_weight": "0 kg", "first": True}, {"others": 2, "others_weight": "100001 kg", "first": True},
                    {"others": 0, "first": False}, {"others": 2, "others_weight": "1 kg", "first": 1}, {"pieces": 3}, 2))
        else:
            request.update(rng.choice(({"promise": {"by": "2026-02-30"}}, {"promise": {"by": "soon"}}, {"extras": ["cash-on-delivery"]})))
        return request


def make(job):
    """One world: its folder, requests and expected rankings; (offers, refusals, errors)."""
    seed, number, count, folder = job
    rng = random.Random(f"{seed}/{number}")
    world = World(rng)
    world.build()
    folder = pathlib.Path(folder) / f"world-{number:04d}"
    world.write(folder)
    tables = oracle.Tables.load(folder)
    world.add_examples(tables)
    world.write(folder)
    requests = Requests(rng, world, tables)
    tally = world.tally()
    with open(folder / "requests.jsonl", "w", encoding="utf-8") as asked, open(folder / "expected.jsonl", "w", encoding="utf-8") as expected:
        for _ in range(count):
            text, ranking = decided(requests, tables, tally)
            asked.write(text + "\n")
            expected.write(json.dumps(ranking, separators=(",", ":")) + "\n")
            count_outcomes(oracle.read_json(text), ranking, tables, tally)
    return tally


def decided(requests, tables, tally):
    """A request as text and its ranking; what is too much for the slow pricer's search is not asked."""
    while True:
        text = json.dumps(requests.request(), ensure_ascii=False)
        try:
            return text, oracle.rank_line(tables, text)
        except packing.Undecided:
            tally["request: left undecided, another asked"] = tally.get("request: left undecided, another asked", 0) + 1


def looks_at(test):
    """The newer keys that a test looks at, at any depth."""
    found = {"test: " + key for key in ("week", "cash_on_delivery", "pieces", "consignment_weight") if oracle.mentions(test, {key})}
    for key, arg in test:
        if key == "date" and "days" in arg:
            found.add("test: days of the week")
        for inner in arg if key in ("any", "all") else [arg] if key == "not" else []:
            found |= looks_at(inner)
    return found


def structures(service):
    """What a service is made of, by name, for the tally."""
    found = set()
    charges = service["surcharges"] + list(service["extras"].values())
    for priced in service["prices"] + charges:
        price = priced["price"]
        found |= looks_at(priced["when"])
        if oracle.dated_of(price) is not None:
            found |= {f"{'base' if 'code' not in priced else 'charge'}: {price['kind']} by {'index' if oracle.dated_of(price).bound else 'date'}"}
        if priced["once"]:
            found |= {"once: " + price["kind"]}
        by = {"table": price.get("by"), "per": [price.get("measure")]}.get(price["kind"], [])
        found |= {f"{price['kind']} by {measure}" for measure in by if measure in oracle.OF_CONSIGNMENT}
        if price["kind"] == "table":
            where = "base" if "code" not in priced else "charge"
            found |= {f"{where}: several bounds"} if len(price["by"]) > 1 else set()
            found |= {f"{where}: rate"} if price["rate"] is not None else set()
            found |= {f"{where}: deficit"} if price["deficit"] else set()
            found |= {f"{where}: least"} if any(cell is not None for cell in price["least"]) else set()
    for entry in service["refuse"]:
        found |= looks_at(entry["when"])
    for key in ("days_by", "calendar", "requires"):
        found |= {key} if service[key] else set()
    found |= {"requires or excludes"} if any(x["requires"] or x["excludes"] for x in service["extras"].values()) else set()
    found |= {"cover included by " + service["included_cover"]["price"]["kind"]}
    found |= {"at most so much cover"} if service["included_cover"]["at_most"] is not None else set()
    if service["tax"] is not None:
        found |= {"tax: " + service["tax"]["listed"] + ", by " + service["tax"]["rounded"]} | looks_at(service["tax"]["when"])
    found |= {"late"} if any(s.get("late") for s in service["surcharges"]) else set()
    return found


def count_outcomes(request, ranking, tables, tally):
    """What came up how often, so that a gap in the spread shows."""
    def one(what):
        tally[what] = tally.get(what, 0) + 1

    if "error" in ranking:
        return one("request: error")
    one("request: with offers" if ranking["offers"] else "request: none offered")
    for key in ("accepts", "amounts", "time", "totals", "week", "consignment"):
        if key in request:
            one(f"request: {key}" + (", with offers" if ranking["offers"] else ", none offered"))
    if "promise" in request:
        one(f"request: promise {next(iter(request['promise']))}" + (", with offers" if ranking["offers"] else ", none offered"))
    made_of = {}
    for carrier in tables.carriers():
        for service in tables.version(carrier, request["date"])[0]["services"]:
            made_of[carrier, service["code"]] = (structures(service), service)
    count_packings(request, tables, one)
    totals = [(Fraction(offer["total"]), Fraction(offer.get("handicap", 0))) for offer in ranking["offers"]]
    if totals != sorted(totals, key=lambda pair: pair[0]):
        one("ranking: a handicap changes the order")
    for offer in ranking["offers"]:
        one("offer")
        one("billable: " + offer["billable_weight"]["from"])
        found, service = made_of[offer["carrier"], offer["service"]]
        for what in found:
            one("offered by: " + what)
        late = {s["code"] for s in service["surcharges"] if s["late"]}
        before = ""
        for charge in offer["charges"]:
            one("line: " + charge["code"].split("-")[0])
            if charge["code"] == before == "discount":
                one("line: a second discount")
            elif charge["code"] != "discount" and charge["amount"].startswith("-"):
                one("line: a reduction")
            if charge["code"] in late:
                one("line: a late one")
            if "billed_as" in charge:
                one("line: billed as")
            before = charge["code"]
        if sum(Fraction(charge["amount"]) for charge in offer["charges"]) == 0:
            one("lines: a sum of 0")
        for key in ("tax", "arrives", "delivers", "handicap", "overdue", "cut_to"):
            if key in offer:
                one("offer: " + key)
    for refusal in ranking["refusals"]:
        for what in made_of.get((refusal["carrier"], refusal["service"]), [()])[0]:
            one("refused by: " + what)
        for reason in refusal["reasons"]:
            one("reason: " + reason["code"])
            if len(refusal["reasons"]) == 1:
                one("sole reason: " + reason["code"])
    return None


def count_packings(request, tables, one):
    """How several units fare in what is at hand, and goods that give."""
    items = [oracle.read_item(item) for item in request.get("goods", [])]
    if any(item.soft for item in items):
        one("goods: soft" + ("" if all(item.soft for item in items) else " beside others") + (", estimate" if tables.shelf is None else ""))
    if tables.shelf is None or not (sum(item.quantity for item in items) > 1 or any(item.soft for item in items)):
        return
    units, stack = oracle.units_of(items), oracle.stack(items)
    ask = oracle.read_request(request, tables)
    for carton in oracle.packagings_at_hand(tables, ask)[0]:
        if carton.kind == "carton":
            fits = oracle.fit(carton, items, ask.padding) is not None
            volume = sum(unit.sides[0] * unit.sides[1] * unit.sides[2] for unit in units)
            full = volume > carton.inside[0] * carton.inside[1] * carton.inside[2]
            one(f"carton, {min(len(units), 7)} units: " + ("fit" if fits else "too much" if full else "do not fit"))
            if fits and any(unit.limit is not None for unit in units):
                one("carton: fit, with a limit above")
            if fits and not any(all(x <= y for x, y in zip(turned, carton.inside)) for turned in itertools.permutations(stack)):
                one("carton: fit, but not as a pile")
        elif carton.kind != "bare":
            fits = oracle.fit(carton, items, ask.padding) is not None
            what = "a pillow" if oracle.is_pillow(carton, items) else f"{min(len(units), 7)} units"
            one(f"{carton.kind}, {what}: " + ("fit" if fits else "do not fit"))
            if fits and not oracle.is_pillow(carton, items) and sorted(oracle.box_in(carton, items)) != sorted(stack):
                one(f"{carton.kind}: fit, but not as a pile")


def main():
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--cases", type=int, default=5000, help="requests in all")
    parser.add_argument("--each", type=int, default=50, help="requests a world")
    parser.add_argument("--out", required=True)
    parser.add_argument("--jobs", type=int, default=2)
    parser.add_argument("--tally", action="store_true", help="print what came up how often")
    args = parser.parse_args()
    jobs = [(args.seed, number, min(args.each, args.cases - number * args.each), args.out)
            for number in range(-(-args.cases // args.each))]
    with multiprocessing.Pool(args.jobs) as pool:
        tallies = pool.map(make, jobs, chunksize=1)
    if args.tally:
        total = {}
        for tally in tallies:
            for what, times in tally.items():
                total[what] = total.get(what, 0) + times
        for what in sorted(total):
            print(f"{total[what]:8d}  {what}")
    print(f"{len(jobs)} worlds, {args.cases} requests in {args.out}")


if __name__ == "__main__":
    main()
