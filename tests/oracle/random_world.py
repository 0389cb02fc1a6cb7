#!/usr/bin/env python3
"""Random tables, random requests close to their thresholds, and what the slow pricer answers. All of it is invented.

    random_world.py --seed N --cases K --out FOLDER

writes FOLDER/world-0000/, world-0001/, ...: tariffs, terms, grids, a gazetteer and (mostly) a shelf, with
`requests.jsonl` (one request a line) and `expected.jsonl` (the ranking of each, or {"error": ...}). The same seed
gives the same bytes.
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
EARLY, BETWEEN, MIDDLE, LATE, END = "2026-01-11", "2026-05-02", "2026-07-12", "2027-01-17", "2027-03-31"
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


class World:
    """Makes one set of tables and remembers every bound, so that requests can be aimed at them."""

    def __init__(self, rng):
        self.rng = rng
        self.edges = {measure: [] for measure in oracle.MEASURES}
        self.files = {}
        self.packaging = []  # (carrier or "", document of it)
        self.coarse = chance(rng, 0.3)  # few distinct prices, so that totals tie
        self.many_currencies = chance(rng, 0.3)

    # -- quantities

    def bound(self, measure, system):
        """The text of a bound, remembered."""
        rng = self.rng
        if measure in oracle.MONEY_MEASURES:
            text = rng.choice(("20", "50", "99.99", "100", "250"))
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

    def test(self, system, zones, issued, depth=2, billable=True, zone=True):
        """A random test; all words it uses are known to the document. Without `zone` it is for terms, which name neither
        zones nor extras: which of them are known is a matter of each version of the tariff."""
        rng, test = self.rng, {}
        for _ in range(rng.choice((1, 1, 1, 2, 2, 3))):
            test.update(self.test_part(system, zones, issued, depth, billable, zone))
        return test

    def test_part(self, system, zones, issued, depth, billable, zone):
        rng = self.rng
        pick = rng.random()
        if pick < 0.5:
            measure = rng.choice(sorted(oracle.MEASURES) + EXACT * 2 + list(SUMS) * 2 + ["weight", "length", "length_plus_girth", "volume"] * 3)
            if measure == "billable_weight" and not billable:
                measure = "weight"
            first, second = self.bound(measure, system), self.bound(measure, system)
            low, high = sorted((first, second), key=lambda text: oracle.quantity_of(measure, text))
            if chance(rng, 0.2) and oracle.quantity_of(measure, low) < oracle.quantity_of(measure, high):
                return {measure: {rng.choice(("over", "at_least")): low, rng.choice(("under", "up_to")): high}}
            if measure in oracle.MONEY_MEASURES and chance(rng, 0.5):
                first = float(first)
            return {measure: {rng.choice(("over", "at_least", "over", "under", "up_to")): first}}
        if pick < 0.6 and zone:
            chosen = some(rng, zones, 1, 3)
            return {"zone": {"is": chosen if len(chosen) > 1 or chance(rng, 0.5) else chosen[0]}}
        if pick < 0.66:
            return {"shape": {"is": rng.choice((some(rng, SHAPES, 1, 3), rng.choice(SHAPES)))}}
        if pick < 0.70:
            return {"packaging_kind": {"is": rng.choice((some(rng, KINDS, 1, 3), rng.choice(KINDS)))}}
        if pick < 0.73 and issued:
            return {"packaging": {"is": rng.choice(issued)}}
        if pick < 0.80:
            words = rng.choice(({"has": rng.choice(CONTENTS)}, {"has_any": some(rng, CONTENTS, 1, 4)},
                                {"has_all": some(rng, CONTENTS, 1, 2)}))
            return {rng.choice(("contents", "every_item")): words}
        if pick < 0.83 and zone:
            return {"extras": rng.choice(({"has": "signature"}, {"has_any": ["signature", "adult"]},
                                          {"has_all": ["signature", "adult"]}, {"has": "cover"}, {"has_any": ["cover", "adult"]}))}
        if pick < 0.88:
            return {rng.choice(("rigid", "residential", "own_packaging")): chance(rng, 0.6)}
        if pick < 0.91:
            return {rng.choice(("origin", "destination")): {"in": rng.choice(
                (["US"], ["US:05", "DE"], ["CA:K1A-K1B", "US:960-994"], ["US:969", "US:006-009"], ["FR", "DE", "CA"],
                 ["GB:PA2", "GB:EC1M"], ["GB:PA20-80", "GB:PA2 0", "GB:B"]))}}
        if pick < 0.94:
            return {"date": rng.choice(({"from": "2026-08-03"}, {"until": "2026-08-03"}, {"until": MIDDLE},
                                        {"from": "2026-03-03", "until": "2026-07-30"}))}
        if pick < 0.95:
            return {"mode": {"is": rng.choice(("air", "surface", "any"))}}
        if depth == 0:
            return {"residential": True}
        inner = [self.test(system, zones, issued, depth - 1, billable, zone) for _ in range(2)]
        return rng.choice(({"any": inner}, {"all": inner}, {"not": inner[0]}, {"any": inner, "not": inner[1]}))

    # -- zones

    def charts(self, system):
        """A list of charts, and all zones they can give."""
        rng, charts, zones = self.rng, [], []
        for _ in range(rng.choice((1, 1, 2, 2, 3))):
            kind = rng.choice(("one", "regions", "pairs", "distance", "distance"))
            if kind == "one":
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
            if kind == "one" and "countries" not in chart:
                return charts, sorted(set(zones))  # nothing after it could ever answer
        if chance(rng, 0.6):
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
        if by in oracle.MONEY_MEASURES:
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
        columns = some(rng, zones, 1, len(zones)) if chance(rng, 0.75) else []
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
        if chance(rng, 0.4):
            if by in oracle.MONEY_MEASURES:
                step = rng.choice(("100", 50))
            else:
                step = rng.choice((1, 0.5, self.bound(by, system)))
            table["beyond"] = {"step": step, "add": [None if chance(rng, 0.1) else self.great(self.amount(0.1, 3), 0.02) for _ in columns]}
        if chance(rng, 0.3):
            self.files[name] = [["not over"] + columns] + [["" if cell is None else cell for cell in row] for row in rows]
            table["csv"] = name
        else:
            table["columns"], table["rows"] = columns, rows
        return table

    def per(self, system, measure):
        if measure in oracle.MONEY_MEASURES:
            step = self.rng.choice(("100", "50", 25))
        else:
            step = self.bound(measure, system)
        return {"measure": measure, "step": step, "first": self.amount(0.5, 6),
                "each": self.great(self.amount(0.05, 2), 0.03)}

    def price(self, system, zones, name):
        """A base price, and whether it may cover every parcel."""
        rng, pick = self.rng, self.rng.random()
        if pick < 0.5:
            by = rng.choice(("billable_weight",) * 6 + ("weight",) * 3 + ("volume", "length", "girth", "value"))
            table = self.table(system, zones, by, name)
            return {"table": table}, "beyond" in table
        if pick < 0.7:
            measure = rng.choice(("billable_weight", "billable_weight", "weight", "volume", "sum_of_sides", "value"))
            return {"per": self.per(system, measure)}, True
        if pick < 0.85:
            return {"by_zone": self.by_zone(zones)}, True
        return {"amount": self.amount()}, True

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
        pick = rng.random()
        if pick < 0.3:
            of = ["*"] if chance(rng, 0.4) else some(rng, ["base"] + names, 1, 3)
            surcharge.update({"percent": self.percent(), "of": of})
        elif pick < 0.65:
            surcharge["amount"] = self.great(self.amount(0, 9), 0.01)
        elif pick < 0.75:
            surcharge["by_zone"] = self.by_zone(zones)
        elif pick < 0.88:
            surcharge["per"] = self.per(system, rng.choice(("billable_weight", "length", "volume", "value", "exact_volume")))
        else:
            surcharge["table"] = self.table(system, zones, rng.choice(("weight", "length_plus_girth", "billable_weight")), name)
        if "percent" not in surcharge and chance(rng, 0.45):
            surcharge["group"] = rng.choice(("handling", "handling", "area"))
            if "amount" in surcharge and chance(rng, 0.6):
                surcharge["amount"] = rng.choice((2, 4, "4.00"))  # equals, of which the first stands
        return surcharge

    def extras(self, system, zones, issued, name):
        rng = self.rng
        extras = [{"code": "signature", "title": "Signature", "amount": self.amount(1, 5)},
                  {"code": "adult", "title": "Signature of an adult", "when": self.test(system, zones, issued),
                   "by_zone": self.by_zone(zones)},
                  {"code": "early", "title": "Before noon", "percent": self.percent(), "of": rng.choice((["*"], ["base", "signature"]))}]
        price = rng.choice(({"table": self.table(system, zones, "cover", name)}, {"per": self.per(system, "cover")},
                            {"amount": self.amount(1, 5)}))
        extras.append({"code": "cover", "title": "Cover", **price})
        if chance(rng, 0.2):
            extras[-1]["when"] = self.test(system, zones, issued)
        return extras

    def service(self, code, carrier, version, system, charts, zones, issued, surcharges, extras):
        rng = self.rng
        name = f"{carrier}-{version}-{code}"
        s = {"code": code, "title": code.capitalize(), "zones": "main" if charts == 1 else rng.choice(("main", "other"))}
        zones = zones[s["zones"]]
        if chance(rng, 0.85):
            days = {}
            for zone in ["*"] + some(rng, zones, 0, 3):
                least = rng.randint(1, 4)
                days[zone] = [least, least + rng.randint(0, 3)]
            s["days"] = days
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
            price, _ = self.price(system, zones, f"{name}-last.csv")
            prices.append(price)
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
            s["extras"] = [dict(entry) if chance(rng, 0.1) else entry["code"] for entry in some(rng, extras, 2, 4) if entry["code"] != "cover"] + (
                ["cover"] if chance(rng, 0.85) else [])
        if chance(rng, 0.5):
            s["included_cover"] = rng.choice(("20", 50, "100", "99.99"))
        return s

    def tariff(self, carrier, title, version, dates, system, currency, packagings, codes):
        rng = self.rng
        issued = [p["code"] for p in packagings]
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
        extras = self.extras(system, common, issued, f"{carrier}-{version}-cover.csv")
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
        if rounding:
            document["rounding"] = rounding
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
        self.shelf_kind = rng.choice(("json", "json", "csv", "csv", None))
        self.shelf_currency = currencies[0]
        if self.shelf_kind:
            self.shelf(self.shelf_currency)
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
            for _ in range(rng.randint(1, 5)):
                of = some(rng, lines, 1, 2)
                discount = {"percent": self.percent(), "of": ["*"] if "*" in of else of}
                if chance(rng, 0.5):
                    discount["services"] = some(rng, codes, 1, 2)
                if chance(rng, 0.5):
                    discount["when"] = self.test(system, [], issued, 1, zone=False)
                if chance(rng, 0.5):
                    discount["floor"] = rng.choice(("7.90", 2, "15"))
                discounts.append(discount)
            self.files[f"{carrier}-terms-{version}.json"] = {
                "format": "tarewise-terms-1", "carrier": carrier, "in_force": dict(zip(("from", "until"), days)),
                "discounts": discounts}

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
            self.files["shelf-a.csv"] = [header] + [
                [({**entry, "currency": "" if "carrier" in entry else currency}).get(key, "") for key in header] for entry in own + at_hand]

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
                    charts = self.files[name]["zones"]
                    known = next(s for s in self.files[name]["services"] if s["code"] == service["code"])["zones"]
                    example["zone"] = rng.choice(self.zones_of(charts[known]))
                    if chance(rng, 0.4):
                        example["residential"] = chance(rng, 0.7)
                else:
                    example["from"], example["to"] = requests.place(), requests.place()
                if chance(rng, 0.3):
                    example["cover"] = requests.money()
                if chance(rng, 0.3):
                    example["extras"] = rng.sample(sorted(set(service["extras"]) - {"cover"}), min(1, len(set(service["extras"]) - {"cover"})))
                _, total, billable, reasons = oracle.example_outcome(tables, tariff, oracle.read_json(json.dumps(example)))
                if reasons:
                    example["refused"] = rng.choice(reasons)
                else:
                    example["total"] = oracle.show_money(total, tariff["currency"])
                    if billable.denominator == 1 and chance(rng, 0.5):
                        example["billable_weight"] = write_weight(rng, int(billable))
                example["why"] = "from the slow pricer"
                examples.append(example)
            self.files[name]["examples"] = examples

    @staticmethod
    def zones_of(charts):
        """Every zone that a list of charts can give."""
        found = set()
        for chart in charts:
            if chart["kind"] == "one":
                found.add(chart["zone"])
            elif chart["kind"] == "regions":
                found |= set(chart["zones"])
            elif chart["kind"] == "pairs":
                found |= {zone for zones in chart["from"].values() for zone in zones}
            else:
                found |= {band["zone"] for band in chart["bands"]} | ({chart["same"]["zone"]} if "same" in chart else set())
        return sorted(found)

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
            for key, probability in (("this_side_up", 0.1), ("rigid", 0.2), ("bare", 0.3)):
                if chance(rng, probability):
                    item[key] = chance(rng, 0.8)
            goods.append(item)
        return goods

    def request(self):
        rng, world = self.rng, self.world
        request = {"format": "tarewise-request-1"}
        if chance(rng, 0.45):
            request["parcel"] = self.parcel()
        else:
            request["goods"] = self.goods()
            if chance(rng, 0.15):
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
        request["date"] = rng.choice(DAYS + (MIDDLE, "2026-08-03", "2026-07-30", "2026-09-09") * 6)
        if chance(rng, 0.3):
            carrier = rng.choice(sorted(world.carriers))
            code = rng.choice(world.carriers[carrier][0])
            request["promise"] = rng.choice(({"within": rng.randint(1, 6)}, {"within": rng.randint(1, 6)}, {"paid_for": f"{carrier}/{code}"},
                                             {"paid_for": f"{carrier}/{code}"}))
            if "paid_for" in request["promise"] and chance(rng, 0.4) and self.has_everywhere(code, request["date"]):
                request["promise"]["paid_for"] = code
        if chance(rng, 0.25):
            request["extras"] = (rng.sample(("signature", "adult", "early"), rng.choice((1, 1, 2, 3))) if chance(rng, 0.92) else
                                 ["gift-wrap"])
        if chance(rng, 0.25):
            request["cover"] = self.money()
        self.choose_currency(request)
        return self.spoil(request) if chance(rng, 0.02) else request

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
            return
        request["currency"] = rng.choice(world.currencies + ["USD"])
        rates = {"USD": "1", "EUR": "1.0842", "JPY": "0.0066", "KWD": 3.25}
        exchange = {}
        for currency in world.currencies:
            if currency != request["currency"] and chance(rng, 0.85):
                rate = oracle.Fraction(str(rates[currency])) / oracle.Fraction(str(rates[request["currency"]]))
                exchange[currency] = rng.choice((f"{float(rate):.6f}", f"{float(rate):.4f}")) if rate > Fraction(1, 1000) else "0.0021"
        if exchange:
            request["exchange"] = exchange

    def spoil(self, request):
        """A request that must be answered with an error."""
        rng = self.rng
        thing = request["parcel"] if "parcel" in request else request["goods"][0]
        pick = rng.randrange(8)
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
        else:
            request["promise"] = {"paid_for": "nobody/nothing"}
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
    tally = {}
    with open(folder / "requests.jsonl", "w", encoding="utf-8") as asked, open(folder / "expected.jsonl", "w", encoding="utf-8") as expected:
        for _ in range(count):
            text = json.dumps(requests.request(), ensure_ascii=False)
            ranking = oracle.rank_line(tables, text)
            asked.write(text + "\n")
            expected.write(json.dumps(ranking, separators=(",", ":")) + "\n")
            count_outcomes(ranking, tally)
    return tally


def count_outcomes(ranking, tally):
    """What came up how often, so that a gap in the spread shows."""
    def one(what):
        tally[what] = tally.get(what, 0) + 1

    if "error" in ranking:
        return one("request: error")
    one("request: with offers" if ranking["offers"] else "request: none offered")
    for offer in ranking["offers"]:
        one("offer")
        one("billable: " + offer["billable_weight"]["from"])
        for charge in offer["charges"]:
            one("line: " + charge["code"].split("-")[0])
    for refusal in ranking["refusals"]:
        for reason in refusal["reasons"]:
            one("reason: " + reason["code"])
    return None


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
