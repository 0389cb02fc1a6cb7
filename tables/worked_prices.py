"""A small, slow pricer that works out the totals of the invented examples.

It reads a tariff as generate.py holds it (dicts, lists and Decimals) and follows FORMAT.md with
whole numbers and fractions only. It also keeps a list of the rules that were used, so that
generate.py can insist on an example for each of them.
"""

import datetime
import math
import re
from decimal import Decimal
from fractions import Fraction

WEIGHT_NG = {"lb": Fraction(453592370000), "oz": Fraction(453592370000, 16),
             "kg": Fraction(10**12), "g": Fraction(10**9), "mg": Fraction(10**6)}
LENGTH_NM = {"in": Fraction(25400000), "ft": Fraction(304800000), "yd": Fraction(914400000),
             "mi": Fraction(1609344000000), "mm": Fraction(10**6), "cm": Fraction(10**7),
             "m": Fraction(10**9), "km": Fraction(10**12)}
VOLUME_NM3 = {u + "3": LENGTH_NM[u]**3 for u in ("in", "ft", "cm", "m", "mm")}
VOLUME_NM3["l"] = 1000 * VOLUME_NM3["cm3"]

LENGTH_MEASURES = ("length", "width", "height", "girth", "length_plus_girth", "sum_of_sides",
                   "length_plus_width", "longest_plus_shortest", "exact_length", "exact_width",
                   "exact_height", "exact_length_plus_girth")
WEIGHT_MEASURES = ("weight", "billable_weight")
VOLUME_MEASURES = ("volume", "exact_volume")
MONEY_MEASURES = ("value", "cover")
MEASURES = LENGTH_MEASURES + WEIGHT_MEASURES + VOLUME_MEASURES + MONEY_MEASURES


def half_up(x):
    return math.floor(x + Fraction(1, 2))


def quantity(text, units):
    total = Fraction(0)
    for number, unit in re.findall(r"([0-9.]+) ?([a-z]+3?)", text):
        total += Fraction(number) * units[unit]
    return half_up(total)


def weight(text):
    return quantity(text, WEIGHT_NG)


def length(text):
    return quantity(text, LENGTH_NM)


def money(x):
    return Fraction(str(x))


def sides(text):
    *numbers, last = [p.strip() for p in text.split(" x ")]
    unit = last.split()[1]
    return [length(f"{p} {unit}") for p in numbers + [last.split()[0]]]


def bound(measure, x, unit=None):
    if measure in MONEY_MEASURES:
        return money(x)
    units = (LENGTH_NM if measure in LENGTH_MEASURES else
             WEIGHT_NG if measure in WEIGHT_MEASURES else VOLUME_NM3)
    text = x if isinstance(x, str) and re.search("[a-z]", x) else f"{x} {unit}"
    return quantity(text, units)


def step_round(x, step, how):
    n = Fraction(x) / step
    if how == "up":
        n = math.ceil(n)
    elif how == "down":
        n = math.floor(n)
    else:
        n = half_up(n)
    return n * step


def round_money(x, step, mode):
    step = money(step)
    n = abs(x) / step
    if mode == "half_up":
        k = half_up(n)
    elif mode == "half_even":
        k = round(n)
    elif mode == "up":
        k = math.ceil(n)
    else:
        k = math.floor(n)
    return k * step if x >= 0 else -k * step


def in_area(place, area):
    """The length of the prefix by which the area holds the place, or None."""
    if place is None:
        return None
    country, _, rest = area.partition(":")
    if country != place["country"]:
        return None
    code = place.get("postal_code", "").upper().replace(" ", "").replace("-", "")
    if not rest:
        return 0
    low, _, high = rest.partition("-")
    high = high or low
    return len(low) if low <= code[:len(low)] <= high else None


def longest(place, areas_of):
    best = None
    for name, areas in areas_of.items():
        for area in areas:
            n = in_area(place, area)
            if n is not None and (best is None or n > best[0]):
                best = (n, name)
    return best[1] if best else None


def distance_km(a, b):
    la, oa, lb, ob = map(math.radians, (a[0], a[1], b[0], b[1]))
    h = math.sin((lb - la) / 2)**2 + math.cos(la) * math.cos(lb) * math.sin((ob - oa) / 2)**2
    return 2 * 6371.0088 * math.asin(math.sqrt(h))


def zone_of(charts, origin, destination, gazetteer):
    for chart in charts:
        zone = None
        if chart["kind"] == "one":
            if destination["country"] in chart.get("countries", [destination["country"]]):
                zone = chart["zone"]
        elif chart["kind"] == "regions":
            zone = longest(destination, chart["zones"])
        elif chart["kind"] == "pairs":
            row = longest(origin, {a: [a] for a in chart["from"]})
            zone = row and longest(destination, chart["from"][row])
        else:
            same = chart.get("same")
            if same and origin["country"] == destination["country"] and \
                    origin["postal_code"][:same["prefix"]] == \
                    destination["postal_code"][:same["prefix"]] and \
                    len(origin["postal_code"]) >= same["prefix"]:
                zone = same["zone"]
            else:
                ends = [point(p, gazetteer) for p in (origin, destination)]
                if None not in ends:
                    km = distance_km(*ends)
                    for band in chart["bands"]:
                        if "up_to" not in band or km * 1e12 <= length(band["up_to"]):
                            zone = band["zone"]
                            break
        if zone is not None:
            return zone
    return None


def point(place, gazetteer):
    for n in range(len(place["postal_code"]), 0, -1):
        found = gazetteer.get((place["country"], place["postal_code"][:n]))
        if found:
            return found
    return None


class Pricing:
    """One example priced with one document. `used` gathers the rules that had a part in it."""

    def __init__(self, doc, example, grids, gazetteer, used):
        self.doc, self.grids, self.used = doc, grids, used
        self.service = next(s for s in doc["services"] if s["code"] == example["service"])
        self.example, self.parcel = example, example["parcel"]
        self.mode = doc["rounding"]["mode"]
        self.step = doc["rounding"]
        if "zone" in example:
            self.zone = example["zone"]
            self.origin = self.destination = None
            self.residential = example.get("residential", False)
        else:
            self.origin, self.destination = example["from"], example["to"]
            self.zone = zone_of(doc["zones"][self.service["zones"]], self.origin,
                                self.destination, gazetteer)
            self.residential = self.destination.get("residential", False)
        self.date = example.get("date", doc["in_force"]["from"])
        issued = {p["code"]: p for p in doc["packaging"]}
        self.packaging = self.parcel.get("packaging", "")
        self.own = self.packaging not in issued
        self.shape = self.parcel.get("shape", "box")
        self.kind = (issued[self.packaging]["kind"] if not self.own else
                     {"box": "carton", "tube": "tube", "soft": "mailer", "flat": "envelope",
                      "irregular": "bare"}[self.shape])
        self.facts()

    def facts(self):
        measure = self.service.get("measure", {})
        exact = sorted(sides(self.parcel["sides"]), reverse=True)
        rule = measure.get("sides", {"round": "exact"})
        kept = exact if rule["round"] == "exact" else sorted(
            (step_round(s, length(rule["to"]), rule["round"]) for s in exact), reverse=True)
        m = {}
        for prefix, (a, b, c) in (("", kept), ("exact_", exact)):
            m[prefix + "length"], m[prefix + "width"], m[prefix + "height"] = a, b, c
            m[prefix + "length_plus_girth"] = a + 2 * (b + c)
            m[prefix + "volume"] = Fraction(a * b * c)
        a, b, c = kept
        m["girth"], m["sum_of_sides"] = 2 * (b + c), a + b + c
        m["length_plus_width"], m["longest_plus_shortest"] = a + b, a + c
        if "irregular_factor" in measure and self.shape in ("tube", "irregular"):
            m["volume"] *= money(measure["irregular_factor"])
            self.used.add((self.service["code"], "irregular_factor"))
        m["weight"] = weight(self.parcel["weight"])
        m["value"] = money(self.parcel.get("value", 0))
        m["cover"] = money(self.example.get("cover", 0))
        self.m = m

        def rounded(x):
            how = measure.get("weight", {"round": "exact"})
            return x if how["round"] == "exact" else step_round(x, weight(how["to"]), how["round"])

        weights = [(rounded(m["weight"]), "actual")]
        for i, rule in enumerate(measure.get("dimensional", [])):
            if self.holds(rule.get("when", {})):
                if "volume_per_weight" in rule:
                    number, _, unit = rule["volume_per_weight"].partition(" ")
                    vol, _, mass = unit.partition("/")
                    d = rounded(m["volume"] / (Fraction(number) * VOLUME_NM3[vol] / WEIGHT_NG[mass]))
                else:
                    number, _, unit = rule["weight_per_volume"].partition(" ")
                    mass, _, vol = unit.partition("/")
                    d = rounded(m["volume"] * Fraction(number) * WEIGHT_NG[mass] / VOLUME_NM3[vol])
                if "at_most" in rule:
                    d = min(d, weight(rule["at_most"]))
                weights.append((d, "dimensional"))
                if d > weights[0][0]:
                    self.used.add((self.service["code"], "dimensional", i))
                break
        for i, rule in enumerate(measure.get("at_least", [])):
            if self.holds(rule["when"]):
                weights.append((weight(rule["weight"]), "at_least"))
                self.used.add((self.service["code"], "at_least", i))
        m["billable_weight"], self.billable_from = max(weights, key=lambda w: w[0])

    def holds(self, test):
        return all(self.one(k, v) for k, v in test.items())

    def one(self, key, want):
        if key == "any":
            return any(self.holds(t) for t in want)
        if key == "all":
            return all(self.holds(t) for t in want)
        if key == "not":
            return not self.holds(want)
        if key in MEASURES:
            got = self.m[key]
            return all({"over": got > b, "at_least": got >= b, "under": got < b,
                        "up_to": got <= b}[op]
                       for op, x in want.items() for b in [bound(key, x)])
        if key in ("rigid", "residential", "own_packaging"):
            return want == {"rigid": self.parcel.get("rigid", False),
                            "residential": self.residential, "own_packaging": self.own}[key]
        if key in ("origin", "destination"):
            place = self.origin if key == "origin" else self.destination
            return any(in_area(place, a) is not None for a in want["in"])
        if key == "date":
            return want.get("from", "") <= self.date <= want.get("until", "9999")
        if key in ("contents", "every_item", "extras"):
            have = set(self.example.get("extras", []) if key == "extras" else
                       self.parcel.get("contents", []))
            (op, words), = want.items()
            words = {words} if op == "has" else set(words)
            return bool(have & words) if op == "has_any" else words <= have
        got = {"zone": self.zone, "shape": self.shape, "packaging": self.packaging,
               "packaging_kind": self.kind, "mode": self.service.get("mode", "any")}[key]
        wanted = want["is"] if isinstance(want["is"], list) else [want["is"]]
        return got in wanted

    def amount(self, price, lines):
        """The unrounded amount, or None where the price does not cover the parcel."""
        if "amount" in price:
            return self.dated(price["amount"])
        if "by_zone" in price:
            cell = price["by_zone"].get(self.zone, price["by_zone"].get("*"))
            return None if cell is None else money(cell)
        if "per" in price:
            p = price["per"]
            n = max(1, math.ceil(self.m[p["measure"]] / Fraction(bound(p["measure"], p["step"]))))
            return money(p["first"]) + (n - 1) * money(p["each"])
        if "percent" in price:
            of = price["of"]
            base = sum(a for c, a in lines if of == ["*"] or c in of)
            percent = self.dated(price["percent"])
            return None if percent is None else base * percent / 100
        table = price["table"]
        columns, rows = ((table["columns"], table["rows"]) if "rows" in table else
                         self.grids[table["csv"]])
        name = self.zone if self.zone in columns else "*"
        if name not in columns:
            return None
        at = columns.index(name)
        got = self.m[table["by"]]
        if "rate" in table:
            return self.rate(table, rows, at, got)
        for row in rows:
            if got <= bound(table["by"], row[0], table.get("unit")):
                return None if row[at + 1] is None else money(row[at + 1])
        if "beyond" not in table or rows[-1][at + 1] is None or \
                table["beyond"]["add"][at] is None:
            return None
        beyond = table["beyond"]
        over = got - bound(table["by"], rows[-1][0], table.get("unit"))
        n = math.ceil(Fraction(over) / bound(table["by"], beyond["step"], table.get("unit")))
        self.used.add((self.service["code"], "beyond", table.get("csv", "")))
        return money(rows[-1][at + 1]) + n * money(beyond["add"][at])

    def dated(self, value):
        """A number, or what a series holds on the date; None where it holds nothing."""
        if not isinstance(value, dict):
            return money(value)
        columns, rows = rows_of_series(self.doc["series"][value["series"]], self.grids)
        held = None
        for row in rows:
            until = row[1] if columns[0] == "until" else None
            if row[0] <= self.date:
                held = row if not until or self.date <= until else None
        name = column_of_series(value, columns)
        cell = None if held is None else held[1 + columns.index(name)]
        if cell is None:
            return None
        self.used.add(("series", value["series"], name))
        number = money(str(cell).rstrip("% "))
        for op in ("at_least", "over"):
            if op in value:
                reached = [step for index, step in rows_of_steps(value[op], self.grids)
                           if (money(index) <= number if op == "at_least" else money(index) < number)]
                return money(str(reached[-1]).rstrip("% ")) if reached else None
        return number

    def lacks_a_value(self, charges):
        """A charge that is due and goes by a series without a value on the date."""
        return any(isinstance(value, dict) and "series" in value and self.dated(value) is None
                   for x in charges if self.holds(x.get("when", {}))
                   for value in (x.get("amount"), x.get("percent")))

    def rate(self, table, rows, at, got):
        """So much a step; of heavier rows what they would cost from their first weight on."""
        steps = lambda x: max(1, math.ceil(Fraction(x) / bound(table["by"], table["rate"])))
        edges = [bound(table["by"], row[0], table["unit"]) for row in rows]
        own = next((i for i, edge in enumerate(edges) if got <= edge), None)
        if own is None or rows[own][at + 1] is None:
            return None
        best = money(rows[own][at + 1]) * steps(got)
        self.used.add((self.service["code"], "rate"))
        for i in range(own + 1, len(rows) if table.get("deficit") else 0):
            there = money(rows[i][at + 1]) * steps(edges[i - 1])
            if there < best:
                best = there
                self.used.add((self.service["code"], "deficit"))
        least = money(table["least"][at])
        if least > best:
            self.used.add((self.service["code"], "least"))
        return max(best, least)

    def included(self):
        cover = self.service.get("included_cover", 0)
        if not isinstance(cover, dict):
            return money(cover)
        self.used.add((self.service["code"], "included_cover"))
        return min(self.amount(cover, []), money(cover["at_most"]))

    def arrives(self):
        """The first and the last day of arrival."""
        calendar = self.doc["calendar"]
        week = ("mon", "tue", "wed", "thu", "fri", "sat", "sun")
        on = lambda day, key: (week[day.weekday()] in calendar[key] and
                               day.isoformat() not in calendar["holidays"])

        def following(day, key):
            day += datetime.timedelta(1)
            while not on(day, key):
                day += datetime.timedelta(1)
            return day

        start = datetime.date.fromisoformat(self.date)
        if not on(start, "working") or self.example.get("time", "00:00") > calendar["cut_off"]:
            start = following(start, "working")
        out = []
        for n in self.service["days"].get(self.zone, self.service["days"].get("*")):
            day = start
            for _ in range(n - 1):
                day = following(day, "working")
            out.append(following(day, "delivering").isoformat())
        self.used.add("calendar")
        return out

    def rounded(self, x):
        return round_money(x, self.step["line"], self.mode)

    def price(self):
        """("refused", {reasons}) or ("total", total, lines)."""
        s, code = self.service, self.service["code"]
        reasons = set()
        if self.zone is None:
            reasons.add("no_zone")
        packaging = s.get("packaging", {"own": True, "issued": []})
        allowed = packaging.get("own", True) if self.own else \
            self.packaging in packaging.get("issued", [])
        if not allowed:
            reasons.add("packaging_not_allowed")
        elif not self.own:
            self.used.add((code, "packaging", self.packaging))
        for i, rule in enumerate(s.get("refuse", [])):
            if self.zone is None and '"zone"' in repr(rule).replace("'", '"'):
                continue
            if self.holds(rule["when"]):
                reasons.add(rule.get("code", "over_limit"))
                self.used.add((code, "refuse", i))
        contents = set(self.parcel.get("contents", []))
        if s.get("mode") == "air" and contents & {"lithium_alone", "flammable_liquid", "aerosol"}:
            reasons.add("contents_not_accepted")
        if reasons:
            return "refused", reasons
        found = []
        for i, price in enumerate(s["prices"]):
            if self.holds(price.get("when", {})):
                got = self.amount(price, [])
                if got is not None:
                    found.append((self.rounded(got), i))
                    if s.get("pick", "first") == "first":
                        break
        if not found:
            return "refused", {"no_price"}
        base, i = min(found, key=lambda f: f[0])
        self.used.add((code, "prices", i))
        lines = [("base", base)]
        listed = []
        shared = {x["code"]: x for x in self.doc["surcharges"]}
        offered = {x["code"]: x for x in self.doc["extras"]}
        asked = list(self.example.get("extras", []))
        if self.m["cover"] > self.included():
            asked.append("cover")
        surcharges = [shared[x] if isinstance(x, str) else x for x in s.get("surcharges", [])]
        if self.lacks_a_value(surcharges + [offered[x] for x in asked if x in s.get("extras", [])]):
            return "refused", {"no_price"}
        for x in surcharges:
            if self.holds(x.get("when", {})) and ("percent" in x or
                                                  self.amount(x, []) is not None):
                listed.append(x)
        for group in {x["group"] for x in listed if "group" in x}:
            members = [x for x in listed if x.get("group") == group]
            dearest = max(members, key=lambda x: self.rounded(self.amount(x, [])))
            listed = [x for x in listed if x.get("group") != group or x is dearest]
        struck = set()
        for x in listed:  # the invented tariffs have no chains of `replaces`
            struck |= set(x.get("replaces", []))
        for x in listed:
            if x["code"] not in struck:
                lines.append((x["code"], self.rounded(self.amount(x, lines))))
                self.used.add(("surcharge", x["code"]))
        for name in asked:
            x = offered[name]
            got = None
            if set(x.get("excludes", [])) & set(asked):
                self.used.add(("extra", name, "excludes"))
                return "refused", {"extras_disagree"}
            if name in s.get("extras", []) and self.holds(x.get("when", {})):
                got = self.amount({"amount": x["less"]} if "less" in x else x, lines)
            if got is None:
                return "refused", {"extra_not_offered"}
            lines.append((name, -self.rounded(got) if "less" in x else self.rounded(got)))
            self.used.add(("extra", name))
        self.net = net = sum(a for _, a in lines)
        tax = self.doc.get("tax")
        if tax and self.holds(tax["when"]):
            lines.append((tax["code"], self.rounded(net * money(tax["percent"]) / 100)))
            self.used.add("tax")
        total = round_money(sum(a for _, a in lines), self.step["total"], self.mode)
        return "total", total, lines


def rows_of_series(entry, grids):
    """A series' columns and rows, in the document or, as a grid is, in a file."""
    return (entry["columns"], entry["rows"]) if "rows" in entry else grids[entry["csv"]]


def rows_of_steps(steps, grids):
    return grids[steps["csv"]][1] if isinstance(steps, dict) else steps


def column_of_series(value, columns):
    return value["column"] if "column" in value else columns[-1]


def dated_values(x):
    """Whatever in a document goes by a series."""
    if isinstance(x, dict):
        if isinstance(x.get("series"), str):
            yield x
        else:
            for inner in x.values():
                yield from dated_values(inner)
    elif isinstance(x, list):
        for inner in x:
            yield from dated_values(inner)


def rules(doc, grids):
    """Every rule of a document that wants an example."""
    want = set()
    for value in dated_values(doc):
        columns, _ = rows_of_series(doc["series"][value["series"]], grids)
        want.add(("series", value["series"], column_of_series(value, columns)))
    listed = set()
    for s in doc["services"]:
        code = s["code"]
        measure = s.get("measure", {})
        for key in ("dimensional", "at_least"):
            want |= {(code, key, i) for i in range(len(measure.get(key, [])))}
        if "irregular_factor" in measure:
            want.add((code, "irregular_factor"))
        want |= {(code, "refuse", i) for i in range(len(s.get("refuse", [])))}
        for i, price in enumerate(s["prices"]):
            want.add((code, "prices", i))
            if "beyond" in price.get("table", {}):
                want.add((code, "beyond", price["table"].get("csv", "")))
            want |= {(code, key) for key in ("rate", "least", "deficit") if key in price.get("table", {})}
        if isinstance(s.get("included_cover"), dict):
            want.add((code, "included_cover"))
        want |= {(code, "packaging", p) for p in s.get("packaging", {}).get("issued", [])}
        listed |= {x if isinstance(x, str) else x["code"] for x in s.get("surcharges", [])}
    want |= {("surcharge", code) for code in listed}
    want |= {("extra", x["code"]) for x in doc["extras"]}
    want |= {("extra", x["code"], "excludes") for x in doc["extras"] if "excludes" in x}
    want |= {key for key in ("tax", "calendar") if key in doc}
    return want


def text_of_money(x, decimals=2):
    scaled = x * 10**decimals
    assert scaled.denominator == 1
    return str(Decimal(int(scaled)).scaleb(-decimals))
