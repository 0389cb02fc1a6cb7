#!/usr/bin/env python3
"""The slow, obvious pricer: tables/FORMAT.md, rule by rule, in whole numbers and fractions.

It exists to be compared with, so it is written to be checked against the page and shares no code with the library.
Each function names the section of the page that it follows: A1 to A8 on documents and prices, B1 to B8 on the ranking.

What stands in files beside a document is read by printed.py, what changes by date by series.py, what goes into a carton is found by
packing.py, and what goes into a mailer, an envelope or a tube by flat.py.

Inside: weights are whole nanograms, lengths whole nanometres, volumes nanometres cubed, money whole millionths. A
quotient is a Fraction until the page says how to round it. The great-circle distance alone is in floating point.

    oracle.py rank FOLDER < request.json      the ranking as JSON
    oracle.py rank FOLDER --each < lines      one request a line in, one ranking a line out
    oracle.py examples FOLDER                 prices every example of every tariff, prints those that differ
"""

import csv
import dataclasses
import datetime
import itertools
import json
import math
import pathlib
import re
import sys
from fractions import Fraction

import flat
import packing
import printed
from series import Dated, read_dated, read_series


class TablesError(Exception):
    """A table that cannot be read."""


class RequestError(Exception):
    """A request that cannot be answered."""


# ---------------------------------------------------------------------------------------------------------------------
# A1: quantities

WEIGHT_UNITS = {  # in nanograms
    "lb": Fraction("453592370000"),
    "oz": Fraction("453592370000") / 16,
    "kg": Fraction(10) ** 12,
    "g": Fraction(10) ** 9,
    "mg": Fraction(10) ** 6,
}
LENGTH_UNITS = {  # in nanometres
    "in": Fraction(25400000),
    "ft": Fraction(25400000) * 12,
    "yd": Fraction(25400000) * 36,
    "mi": Fraction(25400000) * 12 * 5280,
    "mm": Fraction(10) ** 6,
    "cm": Fraction(10) ** 7,
    "m": Fraction(10) ** 9,
    "km": Fraction(10) ** 12,
}
VOLUME_UNITS = {  # in nanometres cubed
    "in3": LENGTH_UNITS["in"] ** 3,
    "ft3": LENGTH_UNITS["ft"] ** 3,
    "cm3": LENGTH_UNITS["cm"] ** 3,
    "m3": LENGTH_UNITS["m"] ** 3,
    "mm3": LENGTH_UNITS["mm"] ** 3,
    "l": LENGTH_UNITS["cm"] ** 3 * 1000,
}

NUMBER = r"(?:\d+-\d+/\d+|\d+/\d+|\d+\.\d+|\d+)"
MILLION = 10 ** 6
MOST = 1000 * MILLION * MILLION  # A1: 1,000 million, in millionths


def floor(x):
    return math.floor(x)


def ceil(x):
    return math.ceil(x)


def half_up(x):
    """Rounds a number of 0 or more to a whole one, half up."""
    return math.floor(x + Fraction(1, 2))


def number(text):
    """A1: "12.375", "12-3/8", "3/8"."""
    if not re.fullmatch(NUMBER, text):
        raise ValueError(f"{text!r} is not a number")
    whole, fraction = "0", text
    if "-" in text:
        whole, fraction = text.split("-")
    if "/" in fraction and int(fraction.split("/")[1]) == 0:
        raise ValueError(f"{text!r} divides by zero")
    return Fraction(whole) + Fraction(fraction)


def exact_quantity(text, units):
    """A1: the exact sum of "1 lb 3 oz"; the parts must fall in size."""
    part = rf"\s*({NUMBER})\s*([a-z]+3?)\s*"
    if not isinstance(text, str) or not re.fullmatch(f"(?:{part})+", text):
        raise ValueError(f"{text!r} is not a quantity with a unit")
    total, last_unit = Fraction(0), None
    for count, unit in re.findall(part, text):
        if unit not in units:
            raise ValueError(f"{text!r}: {unit!r} is not one of {', '.join(units)}")
        if last_unit is not None and units[unit] >= last_unit:
            raise ValueError(f"{text!r}: the parts must fall in size")
        total, last_unit = total + number(count) * units[unit], units[unit]
    return total


def weight(text):
    return half_up(exact_quantity(text, WEIGHT_UNITS))


def length(text):
    return half_up(exact_quantity(text, LENGTH_UNITS))


def volume(text):
    return half_up(exact_quantity(text, VOLUME_UNITS))


def lengths(text, count):
    """A1: "14 x 9 x 5 in": one unit at the end, or a unit on each."""
    if not isinstance(text, str):
        raise ValueError(f"{text!r} is not lengths")
    parts = re.split(r"\s*[xX×]\s*", text.strip())
    if len(parts) != count:
        raise ValueError(f"{text!r} is not {count} lengths")
    if all(re.fullmatch(NUMBER, part) for part in parts[:-1]):
        unit = re.sub(rf"^{NUMBER}\s*", "", parts[-1])
        parts = [f"{part} {unit}" for part in parts[:-1]] + [parts[-1]]
    return [length(part) for part in parts]


def money(value):
    """A1: "6.45" or 6.45, at most 6 decimals, in whole millionths."""
    if isinstance(value, str):
        if not re.fullmatch(r"\d+(\.\d+)?", value):
            raise ValueError(f"{value!r} is not an amount of money")
        value = Fraction(value)
    if isinstance(value, bool) or not isinstance(value, (int, Fraction)):
        raise ValueError(f"{value!r} is not an amount of money")
    millionths = Fraction(value) * MILLION
    if millionths.denominator != 1 or millionths < 0:
        raise ValueError(f"{value} is negative or has more than 6 decimals")
    if millionths > MOST:
        raise ValueError(f"{value} is more than 1,000 million")
    return int(millionths)


def percent(value):
    """A1: "16.75 %" or 16.75, as a fraction of one; at most 4 decimals."""
    if isinstance(value, str):
        value = Fraction(re.fullmatch(r"(\d+(?:\.\d+)?)\s*%", value).group(1))
    if (Fraction(value) * 10000).denominator != 1:
        raise ValueError(f"{value} has more than 4 decimals")
    return Fraction(value) / 100


def date(text):
    """A1: a day of the calendar; ISO dates compare as text."""
    if not isinstance(text, str) or not re.fullmatch(r"\d{4}-\d\d-\d\d", text):
        raise ValueError(f"{text!r} is not a date")
    datetime.date.fromisoformat(text)
    return text


def clock(text):
    """A4.8: "HH:MM"; such times compare as text."""
    if not isinstance(text, str) or not re.fullmatch(r"([01]\d|2[0-3]):[0-5]\d", text):
        raise ValueError(f"{text!r} is not a time of the day")
    return text


WEEKDAYS = ("mon", "tue", "wed", "thu", "fri", "sat", "sun")


def weekdays(words):
    """A4.4, A4.8: one day of the week or more."""
    if not isinstance(words, list) or not words or not set(words) <= set(WEEKDAYS):
        raise ValueError(f"{words!r} is not a list of days of the week")
    return set(words)


def weekday(day):
    return WEEKDAYS[datetime.date.fromisoformat(day).weekday()]


WEIGHT_MEASURES = {"weight", "billable_weight", "consignment_weight"}
COUNT_MEASURES = {"pieces"}
MONEY_MEASURES = {"value", "cover", "cash_on_delivery"}
VOLUME_MEASURES = {"volume", "exact_volume"}
LENGTH_MEASURES = {
    "length", "width", "height", "girth", "length_plus_girth", "sum_of_sides", "length_plus_width",
    "longest_plus_shortest", "exact_length", "exact_width", "exact_height", "exact_length_plus_girth",
}
MEASURES = WEIGHT_MEASURES | MONEY_MEASURES | VOLUME_MEASURES | LENGTH_MEASURES | COUNT_MEASURES


def quantity_of(measure, value, unit=None):
    """A4.5: a value of a measure: text with its unit, or a bare number in `unit`; money has no unit, nor has how many."""
    if measure in MONEY_MEASURES:
        return money(value)
    if measure in COUNT_MEASURES:  # text of digits: a cell of a file
        return whole(int(value) if isinstance(value, str) and re.fullmatch(r"[0-9]+", value) else value)
    units = WEIGHT_UNITS if measure in WEIGHT_MEASURES else VOLUME_UNITS if measure in VOLUME_MEASURES else LENGTH_UNITS
    if measure not in MEASURES:
        raise ValueError(f"{measure!r} is not a measure")
    if isinstance(value, str) and not re.fullmatch(NUMBER, value.strip()):
        return half_up(exact_quantity(value, units))
    if unit not in units:
        raise ValueError(f"{value!r} has no unit")
    bare = number(value.strip()) if isinstance(value, str) else Fraction(value)
    return half_up(bare * units[unit])


def is_quantity(measure, text, unit):
    try:
        quantity_of(measure, text, unit)
    except ValueError:
        return False
    return True


MINOR_DIGITS = {
    **dict.fromkeys("BIF CLP DJF GNF ISK JPY KMF KRW PYG RWF UGX UYI VND VUV XAF XOF XPF".split(), 0),
    **dict.fromkeys("BHD IQD JOD KWD LYD OMR TND".split(), 3),
    **dict.fromkeys("CLF UYW".split(), 4),
}


def minor_unit(currency):
    """ISO 4217: the smallest amount of a currency, in millionths (2 decimals but for those above)."""
    return 10 ** (6 - MINOR_DIGITS.get(currency, 2))


def rounded(amount, step, mode):
    """A2: to a whole number of steps; of a negative amount the magnitude is rounded (A1)."""
    steps = Fraction(abs(amount)) / step
    if mode == "up":
        whole = ceil(steps)
    elif mode == "down":
        whole = floor(steps)
    elif mode == "half_up":
        whole = floor(steps + Fraction(1, 2))
    elif mode == "half_even":
        whole = round(steps)  # of a Fraction: exact, half to even
    else:
        raise ValueError(f"{mode!r} is not a way to round")
    return whole * step if amount >= 0 else -whole * step


def rounded_quantity(value, how):
    """A4.2: {"round": "up", "to": step} of a weight or side."""
    if how is None or how["round"] == "exact":
        return value
    steps = Fraction(value) / how["to"]
    if how["round"] == "up":
        return ceil(steps) * how["to"]
    if how["round"] == "down":
        return floor(steps) * how["to"]
    if how["round"] == "nearest":
        return half_up(steps) * how["to"]
    raise ValueError(f"{how['round']!r} is not a way to round")


def decimal(value, digits):
    """Whole parts of 10**-digits, as text without needless zeros."""
    sign, value = ("-", -value) if value < 0 else ("", value)
    whole, rest = divmod(value, 10 ** digits)
    return f"{sign}{whole}.{rest:0{digits}d}".rstrip("0").rstrip(".")


def show_weight(nanograms):
    """A dimensional weight that no step rounds is shown raised to the nanogram."""
    return decimal(-(-nanograms // 1), 12) + " kg"


def show_length(value):
    return decimal(value, 6) + " mm"


def show_sides(sides):
    return " x ".join(decimal(side, 6) for side in sides) + " mm"


def show_quantity(measure, value):
    if measure in MONEY_MEASURES:
        return decimal(value, 6)
    if measure in COUNT_MEASURES:
        return str(value)
    if measure in WEIGHT_MEASURES:
        return show_weight(value)
    return decimal(value, 27) + " m3" if measure in VOLUME_MEASURES else decimal(value, 6) + " mm"


def show_money(millionths, currency):
    """B8: the currency's decimals, or more where the amount has them."""
    text = decimal(millionths, 6)
    digits = MINOR_DIGITS.get(currency, 2)
    whole, _, rest = text.partition(".")
    return whole + ("." + rest.ljust(digits, "0") if rest or digits else "")


# ---------------------------------------------------------------------------------------------------------------------
# A3: places, areas, zone charts

@dataclasses.dataclass
class Place:
    country: str
    code: str
    residential: bool = False


def read_code(text):
    """A3: compared without spaces and hyphens, upper-case."""
    return re.sub(r"[\s-]", "", text).upper()


def read_place(value):
    check_keys(value, {"country", "postal_code", "residential"}, "place")
    return Place(value["country"].upper(), read_code(value.get("postal_code", "")), value.get("residential", False))


BRITISH = {"GB", "GG", "IM", "JE"}


def british_parts(text):
    """A3: a British code, or as much of it as is given: [letters, number, letter after it, sector, unit], None from where
    it ends. A letter after the number that a code has not is ""; so is the number of GIR 0AA."""
    text = text.strip().upper()
    code = read_code(text)
    if re.fullmatch(r"BFPO\d{1,4}", code):
        return ["BFPO", int(code[4:]), None, None, None]
    forms = (r"(GIR)()()(0)(AA)", r"([A-Z]{1,2})(\d\d?)([A-Z]?)(\d)([A-Z]{2})",  # whole
             r"(GIR)()()(0)", r"([A-Z]{1,2}|BFPO|GIR)",
             r"([A-Z]{1,2})(\d)([A-Z])", r"([A-Z]{1,2})(\d\d?)([A-Z]?)(\d)" if re.search(r"\d[ -]\d$", text) else
             r"([A-Z]{1,2})(\d\d?)", r"([A-Z]{1,2})(\d\d?)([A-Z]?)(\d)")
    for form in forms:
        if found := re.fullmatch(form, code):
            letters, number, *rest = found.groups() + (None,) * (5 - len(found.groups()))
            return [letters, int(number) if number else number] + rest
    raise ValueError(f"{text!r} is no British code, nor the beginning of one")


def british_area(text):
    """A3: letters, a district, a range of districts, a sector or a whole code as (country, parts, last number)."""
    country, _, codes = text.partition(":")
    first, dash, last = codes.partition("-")
    parts = british_parts(first)
    if not dash:
        return country, parts, parts[1]
    end = british_parts(last if last.strip()[:1].isalpha() else parts[0] + last)
    if parts[1] is None or [parts[0]] + parts[2:] != [end[0], None, None, None] or end[2:] != [None] * 3 or end[1] < parts[1]:
        raise ValueError(f"{text!r}: a range is of districts of the same letters and rises")
    return country, parts, end[1]


def match_british(area, place):
    """A3: how exact an area of British codes is, from 1 (letters) to 5; None where it does not hold the place."""
    (_, parts, last), code = area, british_parts(place.code) if place.code else [None] * 5
    wanted = [part for part in parts if part is not None]
    for at, part in enumerate(wanted):
        inside = code[at] is not None and (code[at] == part if at != 1 or part == "" or code[at] == "" else
                                           part <= code[at] <= last)
        if not inside:
            return None
    return len(wanted)


def read_area(text):
    """A3: "US", "US:969", "US:050-059" as (country, first prefix, last prefix)."""
    country, _, codes = text.partition(":")
    if country in BRITISH and codes:
        return british_area(text)
    first, _, last = codes.partition("-")
    last = last or first
    if len(first) != len(last) or first > last:
        raise ValueError(f"{text!r}: prefixes must be of equal length and rise")
    return country.upper(), first.upper(), last.upper()


def match_length(area, place):
    """A3: how long a prefix of the place the area names; None where it does not hold the place."""
    country, first, last = area
    if country in BRITISH and first:
        return match_british(area, place) if place.country == country else None
    prefix = place.code[:len(first)]
    if place.country == country and len(prefix) == len(first) and first <= prefix <= last:
        return len(first)
    return None


def longest_match(areas, place):
    """A3: of (area, answer) pairs, the answer of the longest area that holds the place."""
    best_length, best_answer = -1, None
    for area, answer in areas:
        matched = match_length(area, place)
        if matched is not None and matched > best_length:
            best_length, best_answer = matched, answer
    return best_answer


@dataclasses.dataclass
class Names:
    """What the parts of one document may name."""
    folder: pathlib.Path = None
    areas: dict = dataclasses.field(default_factory=dict)  # A3.2: lists of read areas
    series: dict = dataclasses.field(default_factory=dict)  # A4.9
    zones: set = dataclasses.field(default_factory=set)  # all that a chart of the document can give


NO_NAMES = Names()  # of terms and of the seller's own rules


def read_areas(texts, names):
    """A3, A3.2: areas, and all of a list for "@name"."""
    found = []
    for text in texts:
        if text.startswith("@"):
            if text[1:] not in names.areas:
                raise ValueError(f"{text!r} is no list of areas of this document")
            found += names.areas[text[1:]]
        else:
            found.append(read_area(text))
    return found


def read_area_list(entry, folder):
    """A3.2: in place or from a file."""
    if isinstance(entry, list):
        return read_areas(entry, NO_NAMES)
    check_keys(entry, {"csv", "country", "column", "where"}, "list of areas")
    return read_areas(printed.areas_of_file(folder, entry), NO_NAMES)


def read_areas_by_zone(zones, names):
    return [(area, zone) for zone, areas in zones.items() for area in read_areas(areas, names)]


def read_printed_chart(chart, names):
    """A3.1: the areas of a chart from a file, and those of its origin."""
    check_keys(chart, {"kind", "csv", "codes", "column", "country", "origin", "rising"}, "chart")
    origins = read_areas(chart["origin"], names) if chart["kind"] == "pairs" else []
    if chart["kind"] == "regions" and "origin" in chart:
        raise ValueError("regions have no origin")
    countries = {country for country, *_ in origins}
    country = chart.get("country", countries.pop() if len(countries) == 1 else None)
    return origins, read_areas_by_zone(printed.zones_of_file(names.folder, chart, country), NO_NAMES)


def read_chart(chart, names=NO_NAMES):
    """A3: one zone chart, its areas and distances read."""
    kind = chart["kind"]
    if kind == "one":
        check_keys(chart, {"kind", "zone", "countries"}, "chart")
        return chart
    if kind == "regions":
        if "csv" in chart:
            return {"kind": kind, "areas": read_printed_chart(chart, names)[1]}
        check_keys(chart, {"kind", "zones", "rising"}, "chart")
        return {"kind": kind, "areas": read_areas_by_zone(chart["zones"], names)}
    if kind == "pairs":
        if "csv" in chart:
            origins, zones = read_printed_chart(chart, names)
            return {"kind": kind, "from": [(origin, zones) for origin in origins]}
        check_keys(chart, {"kind", "from", "rising"}, "chart")
        return {"kind": kind, "from": [(origin, read_areas_by_zone(zones, names))
                                       for text, zones in chart["from"].items() for origin in read_areas([text], names)]}
    if kind == "distance":
        check_keys(chart, {"kind", "bands", "same"}, "chart")
        bands = [(band["zone"], length(band["up_to"]) if "up_to" in band else None) for band in chart["bands"]]
        return {"kind": kind, "bands": bands, "same": chart.get("same")}
    raise ValueError(f"{kind!r} is not a kind of chart")


def point_of(gazetteer, place):
    """A3: the longest prefix in the gazetteer; of British codes the most exact."""
    if place.country in BRITISH:
        return longest_match([(read_area(f"{country}:{prefix}" if prefix else country), point)
                              for (country, prefix), point in gazetteer.items() if country == place.country], place)
    for size in range(len(place.code), -1, -1):
        point = gazetteer.get((place.country, place.code[:size]))
        if point is not None:
            return point
    return None


def great_circle_metres(a, b):
    """A3: haversine on a sphere of 6371.0088 km; the only floating point here."""
    lat_a, lon_a, lat_b, lon_b = (math.radians(x) for x in (*a, *b))
    h = math.sin((lat_b - lat_a) / 2) ** 2 + math.cos(lat_a) * math.cos(lat_b) * math.sin((lon_b - lon_a) / 2) ** 2
    return 2 * 6371008.8 * math.asin(math.sqrt(min(1.0, h)))


def same_british(a, b, size):
    """A3: the parts that the first `size` characters reach are the same."""
    if min(len(a), len(b)) < size:
        return False
    for one, other in zip(british_parts(a), british_parts(b)):
        if size <= 0:
            return True
        if one is None or one != other:
            return False
        size -= len(str(one))
    return size <= 0


def zones_given(chart):
    """A3: all zones that a chart, read, can give."""
    if chart["kind"] == "one":
        return {chart["zone"]}
    if chart["kind"] == "regions":
        return {zone for _, zone in chart["areas"]}
    if chart["kind"] == "pairs":
        return {zone for _, areas in chart["from"] for _, zone in areas}
    return {zone for zone, _ in chart["bands"]} | ({chart["same"]["zone"]} if chart["same"] else set())


def chart_zone(chart, origin, destination, gazetteer):
    """A3: the zone that one chart gives, or None."""
    if chart["kind"] == "one":
        countries = chart.get("countries")
        return chart["zone"] if countries is None or destination.country in countries else None
    if chart["kind"] == "regions":
        return longest_match(chart["areas"], destination)
    if chart["kind"] == "pairs":
        zones = longest_match(chart["from"], origin)
        return longest_match(zones, destination) if zones is not None else None
    same = chart["same"]
    if same is not None and origin.country == destination.country:
        size = same["prefix"]
        alike = min(len(origin.code), len(destination.code)) >= size and origin.code[:size] == destination.code[:size]
        if same_british(origin.code, destination.code, size) if origin.country in BRITISH else alike:
            return same["zone"]
    start, end = point_of(gazetteer, origin), point_of(gazetteer, destination)
    if start is None or end is None:
        return None
    metres = great_circle_metres(start, end)
    for zone, up_to in chart["bands"]:
        if up_to is None or metres <= up_to / 1e9:
            return zone
    return None


def zone_of(charts, origin, destination, gazetteer):
    """A3: the first chart that gives a zone."""
    for chart in charts:
        zone = chart_zone(chart, origin, destination, gazetteer)
        if zone is not None:
            return zone
    return None


# ---------------------------------------------------------------------------------------------------------------------
# A4.4: tests

WORD_TESTS = ("zone", "shape", "packaging", "packaging_kind", "mode")
SET_TESTS = ("contents", "every_item", "extras")
FLAG_TESTS = ("rigid", "residential", "own_packaging")
TRAITS = {
    "media", "documents", "fragile", "liquid", "perishable", "lithium_in_equipment", "lithium_alone",
    "flammable_liquid", "aerosol", "sharp", "magnetic", "live",
}
SHAPES = {"box", "tube", "soft", "flat", "irregular"}


def read_test(test, names=NO_NAMES):
    """A4.4: a test as a list of (key, argument), all of which must hold; quantities, areas and dates are read."""
    parts = []
    for key, arg in test.items():
        if key in MEASURES:
            check_keys(arg, {"over", "at_least", "under", "up_to"}, key)
            arg = {bound: whole(value) if key in COUNT_MEASURES else quantity_of(key, value) for bound, value in arg.items()}
        elif key in WORD_TESTS:
            check_keys(arg, {"is"}, key)
            arg = arg["is"] if isinstance(arg["is"], list) else [arg["is"]]
        elif key in SET_TESTS:
            check_keys(arg, {"has", "has_any", "has_all"}, key)
        elif key in FLAG_TESTS:
            pass
        elif key in ("origin", "destination"):
            check_keys(arg, {"in"}, key)
            arg = read_areas(arg["in"], names)
        elif key == "date":
            check_keys(arg, {"from", "until", "days"}, key)
            arg = {end: weekdays(day) if end == "days" else date(day) for end, day in arg.items()}
        elif key == "week":
            arg = read_week_test(arg)
        elif key in ("any", "all"):
            arg = [read_test(inner, names) for inner in arg]
        elif key == "not":
            arg = read_test(arg, names)
        else:
            raise ValueError(f"{key!r} is not a test")
        parts.append((key, arg))
    return parts


def read_week_test(arg):
    """A4.4: bounds of whole parcels, of money, or of both."""
    check_keys(arg, {"parcels", "spend"}, "week")
    if not arg:
        raise ValueError("a test on the week has no bound")
    for bounds in arg.values():
        check_keys(bounds, {"over", "at_least", "under", "up_to"}, "week")
    return {of: {bound: money(value) if of == "spend" else whole(value) for bound, value in bounds.items()}
            for of, bounds in arg.items()}


def whole(value):
    if isinstance(value, bool) or not isinstance(value, int) or not 0 <= value <= 1000 * MILLION:
        raise ValueError(f"{value!r} is not a whole number from 0 to 1,000 million")
    return value


def within(value, bounds):
    """A4.4: >, >=, <, <=; what is not known is within nothing."""
    return value is not None and (
        ("over" not in bounds or value > bounds["over"]) and ("at_least" not in bounds or value >= bounds["at_least"]) and
        ("under" not in bounds or value < bounds["under"]) and ("up_to" not in bounds or value <= bounds["up_to"]))


def has(words, arg):
    """A4.4: {"has": x}, {"has_any": [..]}, {"has_all": [..]}."""
    if "has" in arg and arg["has"] not in words:
        return False
    if "has_any" in arg and not any(word in words for word in arg["has_any"]):
        return False
    if "has_all" in arg and not all(word in words for word in arg["has_all"]):
        return False
    return True


def holds(test, facts):
    """A4.4: all keys must hold."""
    return all(part_holds(key, arg, facts) for key, arg in test)


def part_holds(key, arg, facts):
    """A4.4: one key of a test."""
    if key in MEASURES:
        return within(facts[key], arg)  # None: money in a currency without a rate of exchange
    if key == "week":
        return all(within(facts["week"][of], bounds) for of, bounds in arg.items())
    if key in WORD_TESTS:
        return facts[key] in arg
    if key == "every_item":
        return all(has(item, arg) for item in facts["items"])
    if key in SET_TESTS:
        return has(facts[key], arg)
    if key in FLAG_TESTS:
        return facts[key] == arg
    if key in ("origin", "destination"):
        return facts[key] is not None and any(match_length(area, facts[key]) is not None for area in arg)
    if key == "date":
        return (("from" not in arg or arg["from"] <= facts["date"]) and ("until" not in arg or facts["date"] <= arg["until"]) and
                ("days" not in arg or weekday(facts["date"]) in arg["days"]))
    if key == "any":
        return any(holds(inner, facts) for inner in arg)
    if key == "all":
        return all(holds(inner, facts) for inner in arg)
    return not holds(arg, facts)


def mentions(test, words):
    """Whether a test looks at any of these keys, at any depth."""
    for key, arg in test:
        if key in words:
            return True
        if key in ("any", "all") and any(mentions(inner, words) for inner in arg):
            return True
        if key == "not" and mentions(arg, words):
            return True
    return False


# ---------------------------------------------------------------------------------------------------------------------
# A4.1 to A4.3: measures and billable weight

def read_rounding(how, read):
    """A4.2: {"round", "to"}."""
    if how is None:
        return None
    check_keys(how, {"round", "to"}, "rounding of a measure")
    return {"round": how["round"], "to": read(how["to"]) if "to" in how else None}


def read_measure(measure, names=NO_NAMES):
    """A4.2."""
    check_keys(measure, {"sides", "irregular_factor", "weight", "dimensional", "at_least"}, "measure")
    dimensional = []
    for rule in measure.get("dimensional", []):
        check_keys(rule, {"when", "volume_per_weight", "weight_per_volume", "at_most"}, "dimensional")
        if ("volume_per_weight" in rule) == ("weight_per_volume" in rule):
            raise ValueError("one of volume_per_weight and weight_per_volume is expected")
        if "weight_per_volume" in rule:
            over, under = rule["weight_per_volume"].split("/")
            ratio = exact_quantity("1 " + under.strip(), VOLUME_UNITS) / exact_quantity(over, WEIGHT_UNITS)
        else:
            over, under = rule["volume_per_weight"].split("/")
            ratio = exact_quantity(over, VOLUME_UNITS) / exact_quantity("1 " + under.strip(), WEIGHT_UNITS)
        at_most = weight(rule["at_most"]) if "at_most" in rule else None
        dimensional.append({"when": read_test(rule.get("when", {}), names), "volume_per_weight": ratio, "at_most": at_most})
    at_least = [{"when": read_test(rule.get("when", {}), names), "weight": weight(rule["weight"])}
                for rule in measure.get("at_least", [])]
    factor = measure.get("irregular_factor", 1)
    return {
        "sides": read_rounding(measure.get("sides"), length),
        "irregular_factor": Fraction(factor),
        "weight": read_rounding(measure.get("weight"), weight),
        "dimensional": dimensional,
        "at_least": at_least,
    }


def add_measures(facts, measure, gross, sides):
    """A4.1: the measures of a parcel, from its sides after rounding; the exact ones from the sides as they are."""
    facts["weight"] = gross
    facts["consignment_weight"] = gross + facts["consignment"].others_weight  # A4.10
    a, b, c = sorted((rounded_quantity(side, measure["sides"]) for side in sides), reverse=True)
    facts["length"], facts["width"], facts["height"] = a, b, c
    facts["girth"] = 2 * (b + c)
    facts["length_plus_girth"] = a + 2 * (b + c)
    facts["sum_of_sides"] = a + b + c
    facts["length_plus_width"] = a + b
    facts["longest_plus_shortest"] = a + c
    facts["volume"] = a * b * c
    if facts["shape"] in ("tube", "irregular"):
        facts["volume"] = a * b * c * measure["irregular_factor"]
    a, b, c = sorted(sides, reverse=True)
    facts["exact_length"], facts["exact_width"], facts["exact_height"] = a, b, c
    facts["exact_length_plus_girth"] = a + 2 * (b + c)
    facts["exact_volume"] = a * b * c


def billable_weight(measure, facts):
    """A4.3: the greatest of actual, dimensional and minimum, and which of them it was."""
    actual = rounded_quantity(facts["weight"], measure["weight"])
    dimensional = 0
    for rule in measure["dimensional"]:
        if holds(rule["when"], facts):
            dimensional = rounded_quantity(Fraction(facts["volume"]) / rule["volume_per_weight"], measure["weight"])
            if rule["at_most"] is not None:
                dimensional = min(dimensional, rule["at_most"])
            break
    minimum = max([rule["weight"] for rule in measure["at_least"] if holds(rule["when"], facts)], default=0)
    greatest = max(actual, dimensional, minimum)
    if greatest == actual:
        return greatest, "actual"
    return greatest, "dimensional" if greatest == dimensional else "minimum"


# ---------------------------------------------------------------------------------------------------------------------
# A4.5: prices

PRICE_KEYS = {"amount", "by_zone", "table", "per", "percent", "of"}


def money_or_null(value):
    return None if value is None else money(value)


# A4.10: what parcels of one consignment cannot differ in.
OF_CONSIGNMENT = {"pieces", "consignment_weight"}
ONCE_TESTS = {"zone", "mode", "origin", "destination", "residential", "date", "week"} | OF_CONSIGNMENT


def same_in_consignment(test):
    return all(all(map(same_in_consignment, arg)) if key in ("any", "all") else same_in_consignment(arg) if key == "not" else
               key in ONCE_TESTS for key, arg in test)


def price_same_in_consignment(price):
    by = {"table": price.get("by"), "per": [price.get("measure")]}.get(price["kind"], [])
    return price["kind"] != "percent" and OF_CONSIGNMENT.issuperset(by)


def check_once(things, what):
    """A4.10: they, and what decides whether one of them is due, are the same whichever parcel of a consignment is asked."""
    if not all(same_in_consignment(thing["when"]) and price_same_in_consignment(thing["price"]) for thing in things):
        raise ValueError(f"{what}: due once a consignment by what its parcels may differ in")


def read_price(price, names):
    """A4.5: one of amount, by_zone, table, per, percent."""
    kinds = [kind for kind in ("amount", "by_zone", "table", "per", "percent") if kind in price]
    if len(kinds) != 1:
        raise ValueError(f"one price was expected, not {kinds}")
    if kinds == ["amount"]:
        return {"kind": "amount", "amount": money_or_dated(price["amount"], names)}
    if kinds == ["by_zone"]:
        return {"kind": "by_zone", "by_zone": {zone: money_or_null(cell) for zone, cell in price["by_zone"].items()}}
    if kinds == ["table"]:
        return read_table(price["table"], names)
    if kinds == ["per"]:
        per = price["per"]
        check_keys(per, {"measure", "step", "first", "each"}, "per")
        step = quantity_of(per["measure"], per["step"])
        if step < 1:
            raise ValueError("a step of 0")
        return {"kind": "per", "measure": per["measure"], "step": step,
                "first": money(per["first"]), "each": money(per["each"])}
    rate = price["percent"]
    rate = read_dated(rate, names.series, names.folder, is_percent=True) if isinstance(rate, dict) else percent(rate)
    return {"kind": "percent", "percent": rate, "of": price["of"]}


def money_or_dated(value, names):
    """A4.5, A4.9: an amount, or one that changes by date."""
    return read_dated(value, names.series, names.folder, is_percent=False) if isinstance(value, dict) else money(value)


def amount_on(amount, facts):
    """A4.9: the amount on the hand-over date, or None."""
    if not isinstance(amount, Dated):
        return amount
    number = amount.on(facts["date"])
    return None if number is None else int(number * MILLION)


def percent_on(rate, facts):
    """A4.9: the percent on the hand-over date, as a fraction of one."""
    return rate.on(facts["date"]) / 100 if isinstance(rate, Dated) else rate


def dated_of(price):
    """A4.9: what changes by date of a price, or None."""
    value = price.get(price["kind"])
    return value if isinstance(value, Dated) else None


def has_no_value(price, facts):
    """A4.9: it changes by date and has no value on this one."""
    dated = dated_of(price)
    return dated is not None and dated.on(facts["date"]) is None


def read_table(table, names):
    """A4.5: a grid, its cells in the document or in a CSV file beside it."""
    check_keys(table, {"by", "unit", "columns", "rows", "beyond", "csv", "rate", "least", "deficit"}, "table")
    by = table["by"] if isinstance(table["by"], list) else [table["by"]]
    units = table.get("unit") if isinstance(table["by"], list) else [table.get("unit")]
    units = [None] * len(by) if units is None else units
    if isinstance(table["by"], list) and not (2 <= len(by) == len(set(by)) == len(units) <= 4):
        raise ValueError(f"two to four different measures, each with its unit, were expected, not {by} in {units}")
    least = table.get("least")
    if "csv" in table:
        columns, rows, of_file = printed.grid_of_file(names.folder / table["csv"], len(by), names.zones,
                                                      lambda text: is_quantity(by[0], text, units[0]))
        if of_file is not None and least is not None:
            raise ValueError("`least` stands in the document and in the file")
        least = least if of_file is None else of_file
    else:
        columns, rows = table["columns"], table["rows"]
    grid = []
    for row in rows:
        if len(row) != len(by) + len(columns):
            raise ValueError(f"the row {row} has not one cell for each column")
        bounds = tuple(quantity_of(measure, bound, unit) for measure, bound, unit in zip(by, row, units))
        if any(all(x <= y for x, y in zip(bounds, earlier)) for earlier, _ in grid):
            raise ValueError(f"the row {row} lies within an earlier one")
        grid.append((bounds, [money_or_null(cell) for cell in row[len(by):]]))
    beyond = None
    if "beyond" in table:
        beyond = {"step": quantity_of(by[0], table["beyond"]["step"], units[0]),
                  "add": [money_or_null(cell) for cell in table["beyond"]["add"]]}
    rate = quantity_of(by[0], table["rate"]) if "rate" in table else None
    if rate is None and (least is not None or "deficit" in table):
        raise ValueError("`least` and `deficit` are of a table with `rate`")
    if beyond is not None and (rate is not None or len(by) > 1) or rate is not None and len(by) > 1:
        raise ValueError("`beyond` and `rate` stand in a table by one measure, and not both")
    least = least if isinstance(least, list) else [least] * len(columns)
    if len(least) != len(columns):
        raise ValueError(f"{least} has not one amount for each column")
    return {"kind": "table", "by": by, "columns": printed.by_zone(columns, names.zones), "rows": grid, "beyond": beyond, "rate": rate,
            "least": [money_or_null(cell) for cell in least], "deficit": table.get("deficit", False)}


def price_of(price, facts):
    """A4.5: the amount before rounding, or None where the price does not cover the parcel."""
    return price_and_weight_of(price, facts)[0]


def price_and_weight_of(price, facts):
    """A4.5: (amount, in words the bound that a heavier row's rate was charged for, or None)."""
    if price["kind"] == "amount":
        return amount_on(price["amount"], facts), None
    if price["kind"] == "by_zone":
        return price["by_zone"].get(facts["zone"], price["by_zone"].get("*")), None
    if price["kind"] == "table":
        return table_cell(price, facts)
    steps = steps_begun(facts[price["measure"]], price["step"])
    return price["first"] + (steps - 1) * price["each"], None


def steps_begun(value, step):
    """A4.5: at least one."""
    return max(1, ceil(Fraction(value) / step))


def table_cell(table, facts):
    """A4.5: the first row all of whose bounds hold, in the zone's column; past the last row steps of `beyond`."""
    zone = facts["zone"] if facts["zone"] in table["columns"] else "*"
    if zone not in table["columns"]:
        return None, None
    column, measures = table["columns"][zone], [facts[measure] for measure in table["by"]]
    for number, (bounds, cells) in enumerate(table["rows"]):
        if all(bound >= measure for bound, measure in zip(bounds, measures)):
            if cells[column] is None or table["rate"] is None:
                return cells[column], None
            return rate_of(table, number, column, measures[0])
    if table["beyond"] is None:
        return None, None
    (last_bound,), last_cells = table["rows"][-1]
    last, add = last_cells[column], table["beyond"]["add"][column]
    if last is None or add is None:
        return None, None
    return last + ceil(Fraction(measures[0] - last_bound) / table["beyond"]["step"]) * add, None


def rate_of(table, number, column, measure):
    """A4.5: the row's own rate, or with `deficit` a heavier row's where that is lower; never below `least`."""
    found = [(table["rows"][number][1][column] * steps_begun(measure, table["rate"]), None)]
    if table["deficit"]:
        for (before, _), (_, cells) in zip(table["rows"][number:], table["rows"][number + 1:]):
            if cells[column] is not None:
                found.append((cells[column] * steps_begun(before[0], table["rate"]), show_quantity(table["by"][0], before[0])))
    amount, billed_as = min(found, key=lambda one: one[0])  # the first of equals
    least = table["least"][column]
    return (least, None) if least is not None and least > amount else (amount, billed_as)


# ---------------------------------------------------------------------------------------------------------------------
# A2, A4, A5, A6: documents

def check_keys(value, allowed, what):
    unknown = set(value) - set(allowed)
    if unknown:
        raise ValueError(f"{what}: unknown key {sorted(unknown)[0]!r}")


def flag(thing, key):
    if not isinstance(thing.get(key, False), bool):
        raise ValueError(f"{key}: {thing[key]!r} is neither true nor false")
    return thing.get(key, False)


@dataclasses.dataclass
class Packaging:
    """A6: one packaging; lengths in the order of the page."""
    code: str
    kind: str
    inside: list
    outside: list
    wall: int
    thickness: int
    tare: int
    cost: int
    currency: str
    carrier: str = ""  # who issued it; empty: the seller's own
    on_hand: int = None  # None: plenty
    least_height: int = None  # of its outside, of a carton that may be cut down


def read_packaging(p, currency, carrier=""):
    """A6: outside = inside + 2 walls."""
    kind = p["kind"]
    wall = length(p["wall"]) if p.get("wall") else 0
    thickness, inside, outside = 0, [], []
    if kind == "carton":
        inside = lengths(p["inside"], 3)
        outside = lengths(p["outside"], 3) if p.get("outside") else [side + 2 * wall for side in inside]
    elif kind in ("mailer", "tube"):
        inside = lengths(p["inside"], 2)
        outside = lengths(p["outside"], 2) if p.get("outside") else [side + 2 * wall for side in inside]
    elif kind == "envelope":
        if p.get("thickness"):
            inside, thickness = lengths(p["inside"], 2), length(p["thickness"])
        else:
            *inside, thickness = lengths(p["inside"], 3)
        outside = lengths(p["outside"], 2) if p.get("outside") else [side + 2 * wall for side in inside]
    elif kind != "bare":
        raise ValueError(f"{kind!r} is not a kind of packaging")
    return Packaging(p["code"], kind, inside, outside, wall, thickness, weight(p["tare"]), money(p["cost"]), currency,
                     carrier, least_height=read_least_height(p, kind, outside, carrier))


def read_least_height(p, kind, outside, carrier):
    """A6: of a carton of the seller's own."""
    if not flag(p, "cut_down"):
        if "least_height" in p:
            raise ValueError("least_height is of a carton that may be cut down")
        return None
    if kind != "carton" or carrier:
        raise ValueError("only a carton of the seller's own may be cut down")
    if "least_height" not in p:
        raise ValueError("a carton that may be cut down has a least_height")
    least = length(p["least_height"])
    if not 0 < least <= outside[2]:
        raise ValueError(f"least_height: {p['least_height']} is not over 0 and at most the third outside length")
    return least


def read_charge(s, names):
    """A4.6: a surcharge or an extra; its price, or what it takes off."""
    check_keys(s, {"code", "title", "when", "group", "replaces", "less", "requires", "excludes", "once"} | PRICE_KEYS, "surcharge or extra")
    if "less" in s:
        if set(s) & (PRICE_KEYS | {"group"}):
            raise ValueError(f"{s['code']}: a reduction has neither a price beside it nor a group")
        price = s["less"] if isinstance(s["less"], dict) else {"amount": s["less"]}
        check_keys(price, PRICE_KEYS, "less")
    else:
        price = s
    price = read_price(price, names)
    if "group" in s and price["kind"] == "percent":
        raise ValueError(f"{s['code']}: a percentage in a group")
    charge = {"code": s["code"], "when": read_test(s.get("when", {}), names), "group": s.get("group"),
              "replaces": s.get("replaces", []), "price": price, "reduces": "less" in s, "once": flag(s, "once"),
              "requires": s.get("requires", []), "excludes": s.get("excludes", [])}
    if charge["once"]:
        check_once([charge], s["code"])
        if charge["group"] is not None:
            raise ValueError(f"{s['code']}: once a consignment in a group")
    return charge


def read_included_cover(value, names):
    """A4: an amount, or by the weight."""
    if not isinstance(value, dict):
        return {"price": {"kind": "amount", "amount": money(value)}, "at_most": None}
    check_keys(value, {"per", "table", "at_most"}, "included_cover")
    price = read_price({key: part for key, part in value.items() if key != "at_most"}, names)
    by = price["by"] if price["kind"] == "table" else [price["measure"]]
    if len(by) != 1 or by[0] not in ("weight", "billable_weight") or list(price.get("columns", ["*"])) != ["*"]:
        raise ValueError("included_cover goes by the weight, in the column `*`")
    return {"price": price, "at_most": money(value["at_most"]) if "at_most" in value else None}


def read_tax(tax, names):
    """A4.7."""
    if tax is None:
        return None
    check_keys(tax, {"code", "title", "percent", "listed", "rounded", "when"}, "tax")
    if tax["listed"] not in ("with", "without") or tax.get("rounded", "total") not in ("total", "line"):
        raise ValueError("tax: `listed` is `with` or `without`, `rounded` is `total` or `line`")
    if percent(tax["percent"]) > 1:
        raise ValueError("tax: more than 100 %")
    return {"code": tax["code"], "title": tax["title"], "percent": percent(tax["percent"]), "listed": tax["listed"],
            "rounded": tax.get("rounded", "total"), "when": read_test(tax.get("when", {}), names)}


def read_calendar(calendar):
    """A4.8."""
    if calendar is None:
        return None
    check_keys(calendar, {"working", "delivering", "holidays", "cut_off"}, "calendar")
    return {"working": weekdays(calendar["working"]), "delivering": weekdays(calendar.get("delivering", calendar["working"])),
            "holidays": {date(day) for day in calendar.get("holidays", [])},
            "cut_off": clock(calendar["cut_off"]) if "cut_off" in calendar else None}


DELIVERS = ("door", "point", "locker")


def one_of(word, words):
    if word not in words:
        raise ValueError(f"{word!r} is not one of {', '.join(words)}")
    return word


def read_service(s, tariff, charts, names):
    """A4."""
    check_keys(s, {"code", "title", "zones", "days", "tracked", "mode", "packaging", "measure", "refuse", "prices",
                   "pick", "surcharges", "extras", "included_cover", "days_by", "calendar", "tax", "delivers", "requires"},
               "service")
    packaging = s.get("packaging", {})
    check_keys(packaging, {"own", "issued"}, "packaging")
    refuse = []
    for entry in s.get("refuse", []):
        check_keys(entry, {"when", "reason", "code"}, "refuse")
        refuse.append({"when": read_test(entry["when"], names), "code": entry.get("code", "over_limit")})
    prices = []
    for price in s["prices"]:
        check_keys(price, {"when", "title", "once"} | PRICE_KEYS, "price")
        prices.append({"when": read_test(price.get("when", {}), names), "price": read_price(price, names), "once": flag(price, "once")})
        if prices[-1]["once"]:
            check_once(prices, s["code"])
            if s.get("pick") == "lowest":
                raise ValueError(f"{s['code']}: the lowest of prices of which one is due once a consignment")

    def listed(name):
        """A4: codes of the shared list, or objects in place."""
        shared = {entry["code"]: entry for entry in tariff.get(name, [])}
        return [{**read_charge(shared[x] if isinstance(x, str) else x, names), "shared": isinstance(x, str)}
                for x in s.get(name, [])]

    extras = listed("extras")
    if any(extra["once"] for extra in extras):
        raise ValueError(f"{s['code']}: an extra that is due once a consignment")
    return {
        "code": s["code"],
        "charts": charts[s["zones"]],
        "days": s.get("days"),
        "days_by": charts[s["days_by"]] if "days_by" in s else None,
        "calendar": read_calendar(s.get("calendar", tariff.get("calendar"))),
        "tax": read_tax(s.get("tax", tariff.get("tax")), names),
        "delivers": one_of(s.get("delivers", "door"), DELIVERS),
        "requires": s.get("requires", []),
        "tracked": s.get("tracked", False),
        "mode": s.get("mode", "any"),
        "own": packaging.get("own", True),
        "issued": packaging.get("issued", []),
        "measure": read_measure(s.get("measure", {}), names),
        "refuse": refuse,
        "prices": prices,
        "pick": s.get("pick", "first"),
        "surcharges": listed("surcharges"),
        "extras": {extra["code"]: extra for extra in extras},
        "included_cover": read_included_cover(s.get("included_cover", 0), names),
    }


def percentages(services):
    """A4.5: marks the surcharges that are a percentage of extras, as late; gives (code, codes that it names, codes that stand
    above it in some service) of each percentage, of a shared one once."""
    extras = {"extras", "cover", "cash-on-delivery"}.union(*(s["extras"] for s in services))
    above = {}
    for number, service in enumerate(services):
        for surcharge in service["surcharges"]:
            surcharge["late"] = not extras.isdisjoint(surcharge["price"].get("of", []))
        early = [s["code"] for s in service["surcharges"] if not s["late"]]
        late = [s["code"] for s in service["surcharges"] if s["late"]]
        for charge in service["surcharges"] + list(service["extras"].values()):
            if charge["price"]["kind"] != "percent":
                continue
            code = charge["code"]
            if "late" not in charge:  # an extra
                stands = {"base", "extras", *early, *service["extras"]} - {code, "cover"}
                stands -= {"cash-on-delivery"} if code != "cover" else set()
            elif charge["late"]:
                stands = {"base", "extras", *early, *service["extras"], *late[:late.index(code)]}
            else:
                stands = {"base", *early[:early.index(code)]}
            key = (code, "late" in charge, None if charge["shared"] else number)
            above.setdefault(key, (code, charge["price"]["of"], set()))[2].update(stands)
    return list(above.values())


def check_percentages(services):
    """A4.5: an error where a percentage names what never stands above it."""
    for code, of, above in percentages(services):
        if "*" in of and set(of) - {"*", "extras"}:
            raise ValueError(f"{code}: `*` stands beside a code")
        for name in of:
            if name != "*" and name not in above:
                raise ValueError(f"{code}: a percentage of {name!r}, which stands above it in no service")


def read_tariff(t, folder):
    """A2."""
    check_keys(t, {"format", "carrier", "title", "source", "currency", "in_force", "rounding", "zones", "packaging",
                   "services", "surcharges", "extras", "examples", "tax", "calendar", "areas", "series"}, "tariff")
    minor = Fraction(minor_unit(t["currency"]), MILLION)
    rounding = t.get("rounding", {})
    check_keys(rounding, {"line", "total", "mode"}, "rounding")
    carrier = t["carrier"]["code"]
    names = Names(folder, {code: read_area_list(entry, folder) for code, entry in t.get("areas", {}).items()},
                  {code: read_series(code, entry, folder) for code, entry in t.get("series", {}).items()})
    charts = {name: [read_chart(chart, names) for chart in listed] for name, listed in t["zones"].items()}
    names.zones.update(zone for listed in charts.values() for chart in listed for zone in zones_given(chart))
    services = [read_service(s, t, charts, names) for s in t["services"]]
    check_percentages(services)
    return {
        "carrier": carrier,
        "currency": t["currency"],
        "from": date(t["in_force"]["from"]),
        "until": date(t["in_force"].get("until", "9999-12-31")),
        "line": money(rounding.get("line", minor)),
        "total": money(rounding.get("total", minor)),
        "mode": rounding.get("mode", "half_up"),
        "packaging": {p["code"]: read_packaging(p, t["currency"], carrier) for p in t.get("packaging", [])},
        "services": services,
        "series": list(names.series),
        "examples": t.get("examples", []),
    }


def read_terms(t):
    """A5."""
    check_keys(t, {"format", "carrier", "title", "source", "in_force", "discounts"}, "terms")
    discounts = []
    for d in t["discounts"]:
        check_keys(d, {"services", "when", "percent", "less", "of", "floor", "adds"}, "discount")
        if ("percent" in d) == ("less" in d):
            raise ValueError("a discount is either a percentage or an amount less")
        discounts.append({"services": d.get("services"), "when": read_test(d.get("when", {})),
                          "percent": percent(d["percent"]) if "percent" in d else None,
                          "less": money(d["less"]) if "less" in d else None, "of": d["of"],
                          "floor": money(d["floor"]) if "floor" in d else 0, "adds": d.get("adds", False)})
    return {
        "carrier": t["carrier"] if isinstance(t["carrier"], str) else t["carrier"]["code"],
        "from": date(t["in_force"]["from"]),
        "until": date(t["in_force"].get("until", "9999-12-31")),
        "discounts": discounts,
    }


def minutes(value):
    """A8: a number with at most two decimals."""
    value = Fraction(value)
    if value < 0 or (value * 100).denominator != 1:
        raise ValueError(f"{value} minutes are below 0 or have more than two decimals")
    return value


def read_seller(d):
    """A8."""
    check_keys(d, {"format", "title", "currency", "hour", "avoid", "ask", "handicaps"}, "the seller's own rules")
    avoid, asks, handicaps = [], [], []
    for entry in d.get("avoid", []):
        check_keys(entry, {"services", "when", "reason"}, "avoid")
        avoid.append({"services": entry.get("services"), "when": read_test(entry.get("when", {}))})
    for entry in d.get("ask", []):
        check_keys(entry, {"when", "extras", "cover"}, "ask")
        if {"cover", "cash-on-delivery"} & set(entry.get("extras", [])):
            raise ValueError("ask: `cover` and `cash-on-delivery` do not stand among the extras")
        cover = entry.get("cover", 0)
        asks.append({"when": read_test(entry.get("when", {})), "extras": entry.get("extras", []),
                     "cover": cover if cover == "value" else money(cover)})
    for entry in d.get("handicaps", []):
        check_keys(entry, {"code", "title", "services", "when", "amount", "minutes", "percent_of_value"}, "handicap")
        if len(set(entry) & {"amount", "minutes", "percent_of_value"}) != 1:
            raise ValueError(f"{entry['code']}: one of amount, minutes and percent_of_value was expected")
        if "minutes" in entry:
            amount = money(d["hour"]) * minutes(entry["minutes"]) / 60
        else:
            amount = money(entry.get("amount", 0))
        share = percent(entry["percent_of_value"]) if "percent_of_value" in entry else None
        if share is not None and share > 1:
            raise ValueError(f"{entry['code']}: more than 100 % of the value")
        handicaps.append({"code": entry["code"], "title": entry["title"], "services": entry.get("services"),
                          "when": read_test(entry.get("when", {})), "amount": amount, "percent": share})
    return {"currency": d["currency"], "avoid": avoid, "ask": asks, "handicaps": handicaps}


def unique(pairs):
    keys = [key for key, _ in pairs]
    if len(keys) != len(set(keys)):
        raise ValueError(f"a key stands twice in {keys}")
    return dict(pairs)


def read_json(text):
    """JSON with numbers kept exact."""
    return json.loads(text, parse_float=Fraction, object_pairs_hook=unique)


class Tables:
    """B8: a folder of tables, read whole."""

    def __init__(self):
        self.tariffs = []
        self.terms = []
        self.gazetteer = {}  # (country, prefix): (latitude, longitude)
        self.shelf = None  # packagings of the seller's own; None: no shelf
        self.at_hand = []  # (carrier, code, on_hand) of issued packagings on the shelf
        self.shelf_currencies = set()
        self.seller = None  # the seller's own rules

    @staticmethod
    def load(folder):
        tables, folder = Tables(), pathlib.Path(folder)
        for path in sorted(folder.iterdir()):
            try:
                if path.suffix == ".json":
                    tables.add_document(read_json(path.read_text(encoding="utf-8")), folder)
                elif path.suffix == ".csv" and path.name.startswith("gazetteer"):
                    tables.add_gazetteer(path)
                elif path.suffix == ".csv" and path.name.startswith("shelf"):
                    tables.add_shelf_rows(path)
            except (ValueError, KeyError, TypeError, AttributeError, ZeroDivisionError) as error:
                raise TablesError(f"{path}: {type(error).__name__}: {error}") from error
        return tables

    def add_document(self, document, folder):
        kind = document["format"]
        if kind == "tarewise-tariff-1":
            self.tariffs.append(read_tariff(document, folder))
        elif kind == "tarewise-terms-1":
            self.terms.append(read_terms(document))
        elif kind == "tarewise-shelf-1":
            self.add_shelf(document)
        elif kind == "tarewise-seller-1":
            if self.seller is not None:
                raise ValueError("a second document of the seller's own rules")
            self.seller = read_seller(document)
        else:
            raise ValueError(f"format {kind!r} is not known")

    def add_gazetteer(self, path):
        with open(path, newline="", encoding="utf-8") as file:
            for row in csv.DictReader(file):
                prefix = row["prefix"] if row["country"] in BRITISH else read_code(row["prefix"])
                self.gazetteer[row["country"].upper(), prefix] = (
                    float(row["latitude"]), float(row["longitude"]))

    def add_shelf(self, document):
        """A6."""
        check_keys(document, {"format", "title", "currency", "packaging", "issued"}, "shelf")
        self.shelf = self.shelf or []
        self.shelf_currencies.add(document["currency"])
        for p in document.get("packaging", []):
            packaging = read_packaging(p, document["currency"])
            packaging.on_hand = p.get("on_hand")
            self.shelf.append(packaging)
        for p in document.get("issued", []):
            self.at_hand.append((p["carrier"], p["code"], p.get("on_hand")))

    def add_shelf_rows(self, path):
        """A6."""
        self.shelf = self.shelf or []
        with open(path, newline="", encoding="utf-8") as file:
            for row in csv.DictReader(file):
                on_hand = int(row["on_hand"]) if row.get("on_hand") else None
                if row.get("carrier"):
                    self.at_hand.append((row["carrier"], row["code"], on_hand))
                else:
                    cells = {"cut_down": {"true": True, "false": False}.get(row["cut_down"], row["cut_down"])} if row.get("cut_down") else {}
                    if row.get("least_height"):
                        cells["least_height"] = row["least_height"]
                    packaging = read_packaging({**{key: cell for key, cell in row.items() if key not in ("cut_down", "least_height")}, **cells},
                                               row["currency"])
                    packaging.on_hand = on_hand
                    self.shelf.append(packaging)
                    self.shelf_currencies.add(row["currency"])

    def carriers(self):
        return sorted({tariff["carrier"] for tariff in self.tariffs})

    def version(self, carrier, day):
        """A2: the tariff of a carrier in force on a date, the later `from` of several, and whether there is one.

        B3: without one, the latest that began before the date, else the earliest.
        """
        versions = sorted((t for t in self.tariffs if t["carrier"] == carrier), key=lambda t: t["from"])
        in_force = [t for t in versions if t["from"] <= day <= t["until"]]
        if in_force:
            return in_force[-1], True
        begun = [t for t in versions if t["from"] <= day]
        return (begun[-1] if begun else versions[0]), False

    def discounts(self, carrier, day):
        """A5: the discounts of the terms in force, the later `from` of several."""
        in_force = [t for t in self.terms if t["carrier"] == carrier and t["from"] <= day <= t["until"]]
        return max(in_force, key=lambda t: t["from"])["discounts"] if in_force else []


# ---------------------------------------------------------------------------------------------------------------------
# A4.5, A4.6, A4.7, A5: the lines of a price

@dataclasses.dataclass
class Line:
    """A charge or a reduction, and its discounts, which are lines below it."""
    code: str
    amount: int
    offs: list
    is_extra: bool = False
    billed_as: str = None
    dated: Dated = None  # A4.9: what it went by

    def net(self):
        return self.amount - sum(self.offs)


@dataclasses.dataclass
class Priced:
    """A4.6, A4.7: what a service charges."""
    charges: list  # (code, amount) of every line
    total: int
    tax: dict  # None: none is due
    tax_amount: int
    net: int
    billed_as: list  # (code of the line, bound) where a heavier row's rate was charged
    overdue: list  # A4.9: (series, first date that lacks a value)


def line_amount(amount, tariff):
    """A4.6: rounded; past 1,000 million all amounts are equal."""
    return min(rounded(amount, tariff["line"], tariff["mode"]), MOST + 1)


def line_of_price(price, facts, tariff):
    """A4.5, A4.6: (amount rounded, bound of a heavier row), or None where the price covers nothing."""
    amount, billed_as = price_and_weight_of(price, facts)
    return None if amount is None else (line_amount(amount, tariff), billed_as)


def due_here(thing, facts, amount):
    """A4.10: of what is due once a consignment nothing comes to the parcels that are not the first of it."""
    return (0, amount[1]) if thing["once"] and not facts["consignment"].first else amount


def base_price(tariff, service, facts):
    """A4.5: (price, its amount) of the first alternative that covers the parcel, or of the lowest of them after rounding, the
    first of equals; None where none covers it."""
    found = []
    for alternative in service["prices"]:
        if holds(alternative["when"], facts):
            amount = line_of_price(alternative["price"], facts, tariff)
            if amount is not None:
                found.append((alternative["price"], due_here(alternative, facts, amount)))
    if not found:
        return None
    return min(found, key=lambda one: one[1][0]) if service["pick"] == "lowest" else found[0]


def standing_surcharges(tariff, service, facts):
    """A4.6: what is due, then the dearest of each group, then what is not struck; with list amounts (None: a
    percentage)."""
    due = []
    for surcharge in service["surcharges"]:
        if holds(surcharge["when"], facts):
            if surcharge["price"]["kind"] == "percent":
                due.append((surcharge, None))
            else:
                amount = line_of_price(surcharge["price"], facts, tariff)
                if amount is not None:
                    due.append((surcharge, due_here(surcharge, facts, amount)))
    dearest = {}
    for surcharge, amount in due:
        group = surcharge["group"]
        if group is not None and (group not in dearest or amount[0] > dearest[group][1][0]):
            dearest[group] = (surcharge, amount)
    left = [(s, amount) for s, amount in due if s["group"] is None or dearest[s["group"]][0] is s]

    def struck(code):
        """A surcharge is struck where one that replaces it is left and is not itself struck."""
        return any(code in other["replaces"] and not struck(other["code"]) for other, _ in left)

    return [(s, amount) for s, amount in left if not struck(s["code"])]


def discounts_on(code, amount, tariff, service, discounts, facts):
    """A5: of those that hold for a line the first that does not add, and all that add; none takes what is left of the line
    below its own floor, or 0."""
    offs, first_taken = [], False
    for discount in discounts:
        if discount["services"] is not None and service["code"] not in discount["services"]:
            continue
        if code not in discount["of"] and discount["of"] != ["*"]:
            continue
        if not holds(discount["when"], facts):
            continue
        if not discount["adds"]:
            if first_taken:
                continue
            first_taken = True
        off = discount["less"] if discount["percent"] is None else amount * discount["percent"]
        off = rounded(off, tariff["line"], tariff["mode"])
        off = min(off, amount - sum(offs) - discount["floor"])
        if off > 0:
            offs.append(off)
    return offs


def percentage(price, lines, tariff, facts):
    """A4.5: a percentage of lines above, net of their discounts; of a sum below 0 it is 0."""
    of = price["of"]
    named = sum(line.net() for line in lines if "*" in of or line.code in of or (line.is_extra and "extras" in of))
    return line_amount(max(0, named) * percent_on(price["percent"], facts), tariff)


def extra_amount(extra, lines, tariff, facts):
    """A4.6: (amount, bound of a heavier row) of an extra, or None where it is not offered for this parcel. One that lacks a
    value on the date is offered, and the service has no price (A4.9)."""
    if not holds(extra["when"], facts):
        return None
    if has_no_value(extra["price"], facts):
        return 0, None
    if extra["price"]["kind"] == "percent":
        return percentage(extra["price"], lines, tariff, facts), None
    return line_of_price(extra["price"], facts, tariff)


def included_cover(service, facts):
    """A4: an amount, or by the weight; nothing where a table has no row."""
    amount = price_of(service["included_cover"]["price"], facts) or 0
    at_most = service["included_cover"]["at_most"]
    return amount if at_most is None else min(amount, at_most)


def included_for_order(service):
    """B3: of cover that goes by the weight, what is included at 1 ng."""
    return included_cover(service, {"weight": 1, "billable_weight": 1, "zone": None})


def extras_wanted(service, facts):
    """A4.6: the extras asked for, `cash-on-delivery`, and `cover` last where more is asked for than is included."""
    wanted = list(facts["extras_asked"])
    if facts["cash_on_delivery"] > 0:
        wanted.append("cash-on-delivery")
    if facts["cover"] > included_cover(service, facts):
        wanted.append("cover")
    return wanted


def extras_not_offered(tariff, service, facts):
    """A4.6: the extras asked for that the service does not list or whose price covers nothing."""
    missing = []
    for code in extras_wanted(service, facts):
        extra = service["extras"].get(code)
        if extra is None or extra_amount(extra, [], tariff, facts) is None:
            missing.append(code)
    return missing


def lacks_a_value(service, facts):
    """A4.9: whether a surcharge or an extra that is due has no value on the date."""
    extras = [service["extras"][code] for code in extras_wanted(service, facts) if code in service["extras"]]
    return any(holds(charge["when"], facts) and has_no_value(charge["price"], facts) for charge in service["surcharges"] + extras)


def overdue(tariff, lines, day):
    """A4.9: (series, first date that lacks a value) of each that a line went by, in the order of the document's series."""
    by = {line.dated.series.code: line.dated.series.since(day) for line in lines if line.dated is not None}
    return [(code, by[code]) for code in tariff["series"] if by.get(code) is not None]


def extras_that_disagree(service, facts):
    """A4.6: (who, code) of each that is required and not asked for, or excluded and asked for."""
    asked = list(facts["extras_asked"]) + [code for code, amount in (("cash-on-delivery", facts["cash_on_delivery"]),
                                                                     ("cover", facts["cover"])) if amount > 0]
    found = [(service["code"], code) for code in service["requires"] if code not in asked]
    for code in asked:
        extra = service["extras"].get(code, {"requires": [], "excludes": []})
        found += [(code, other) for other in extra["requires"] if other not in asked]
        found += [(code, other) for other in extra["excludes"] if other in asked]
    return found


def price_lines(tariff, service, discounts, facts):
    """A4.6, A4.7: base, surcharges, extras, late surcharges, each followed by its discounts, and tax."""
    lines = []

    def add(charge, amount, is_extra=False):
        amount, billed_as = amount
        if charge["reduces"]:
            off = min(amount, sum(line.net() for line in lines))
            if off > 0:
                lines.append(Line(charge["code"], -off, [], is_extra, billed_as, dated_of(charge["price"])))
        else:
            offs = discounts_on(charge["code"], amount, tariff, service, discounts, facts)
            lines.append(Line(charge["code"], amount, offs, is_extra, billed_as, dated_of(charge["price"])))

    def add_surcharges(late):
        for surcharge, amount in standing:
            if surcharge["late"] == late:
                add(surcharge, (percentage(surcharge["price"], lines, tariff, facts), None) if amount is None else amount)

    standing = standing_surcharges(tariff, service, facts)
    price, amount = base_price(tariff, service, facts)
    add({"code": "base", "reduces": False, "price": price}, amount)
    add_surcharges(late=False)
    missing = extras_not_offered(tariff, service, facts)
    for code in extras_wanted(service, facts):
        if code not in missing:
            add(service["extras"][code], extra_amount(service["extras"][code], lines, tariff, facts), is_extra=True)
    add_surcharges(late=True)

    charges = []
    for line in lines:
        charges.append((line.code, line.amount))
        charges += [("discount", -off) for off in line.offs]
    tax = service["tax"] if service["tax"] is not None and holds(service["tax"]["when"], facts) else None
    if tax is not None and tax["listed"] == "without":
        tax_amount = tax_on(tax, sum(amount for _, amount in charges), charges, tax["percent"], tariff)
        charges.append((tax["code"], tax_amount))
    total = rounded(sum(amount for _, amount in charges), tariff["total"], tariff["mode"])
    if tax is None:
        tax_amount = 0
    elif tax["listed"] == "with":
        tax_amount = tax_on(tax, total, charges, tax["percent"] / (1 + tax["percent"]), tariff)
    return Priced(charges, total, tax, tax_amount, max(0, total - tax_amount),
                  [(line.code, line.billed_as) for line in lines if line.billed_as is not None], overdue(tariff, lines, facts["date"]))


def tax_on(tax, whole_sum, charges, share, tariff):
    """A4.7: once, of the whole, or the sum of each line's, rounded to `line`; not below 0."""
    parts = [whole_sum] if tax["rounded"] == "total" else [amount for _, amount in charges]
    return max(0, sum(rounded(part * share, tariff["line"], tariff["mode"]) for part in parts))


def too_dear(priced):
    """A4.6: a line, before its discount, or the total past 1,000 million."""
    return priced.total > MOST or any(amount > MOST for _, amount in priced.charges)


# ---------------------------------------------------------------------------------------------------------------------
# A4, A4.8: days, and the dates of the calendar

def published_days(service, zone, origin, destination, gazetteer):
    """A4: [least, most] by zone, `*` for the rest, or by the zones of `days_by`; None: not published."""
    if service["days"] is None:
        return None
    if service["days_by"] is not None:
        zone = None if origin is None or destination is None else zone_of(service["days_by"], origin, destination, gazetteer)
        if zone is None:
            return None
    return service["days"].get(zone, service["days"].get("*"))


def next_date(day, days_of_week, holidays):
    """A4.8: the first such day after a date, of the 400 that follow it; None: there is none, or it is past the year 9999."""
    for _ in range(400):
        if day is None or day == datetime.date.max:
            return None
        day += datetime.timedelta(days=1)
        if is_on(day, days_of_week, holidays):
            return day
    return None


def is_on(day, days_of_week, holidays):
    return WEEKDAYS[day.weekday()] in days_of_week and day.isoformat() not in holidays


def arrival(calendar, handed_over, time, days):
    """A4.8: the date of a parcel that takes so many business days, or None."""
    day = datetime.date.fromisoformat(handed_over)
    late = calendar["cut_off"] is not None and time is not None and time > calendar["cut_off"]
    if late or not is_on(day, calendar["working"], calendar["holidays"]):
        day = next_date(day, calendar["working"], calendar["holidays"])
    if days == 0 and day is not None and is_on(day, calendar["delivering"], calendar["holidays"]):
        return day.isoformat()
    for _ in range(days - 1):
        day = next_date(day, calendar["working"], calendar["holidays"])
    day = next_date(day, calendar["delivering"], calendar["holidays"])
    return None if day is None else day.isoformat()


def arrives(service, days, handed_over, time):
    """A4.8: [earliest, latest], or None."""
    if days is None or service["calendar"] is None:
        return None
    found = [arrival(service["calendar"], handed_over, time, n) for n in days]
    return None if None in found else found


# ---------------------------------------------------------------------------------------------------------------------
# B1: the request

@dataclasses.dataclass
class Item:
    weight: int  # of a range the high end: what is ranked
    sides: list  # as written: the third is the upright one
    least_weight: int  # of a range the low end
    least_sides: list
    quantity: int
    contents: frozenset
    value: int
    shape: str
    this_side_up: bool
    rigid: bool
    bare: bool
    may_stand: tuple = (0, 1, 2)  # which of its sides may be upright, counted from 0
    top_free: bool = False
    bears: int = None  # None: anything
    soft: flat.Soft = None
    largest: list = None  # the sides at their most, where a point within a range is looked at


@dataclasses.dataclass
class Consignment:
    """A4.10: of what a parcel is one."""
    pieces: int
    others_weight: int
    first: bool


ALONE = Consignment(1, 0, True)


@dataclasses.dataclass
class Ask:
    """A request, read."""
    items: list
    parcel: dict  # shape and packaging of the sealed parcel, which is the only item; None: goods
    origin: Place
    destination: Place
    date: str
    promise: dict
    extras: list
    cover: int
    value: int
    currency: str
    exchange: dict
    accepts: list
    cash_on_delivery: int
    time: str
    totals: str
    week: dict  # {"parcels", "spend", "carriers"}
    consignment: Consignment
    padding: int  # None: left out
    fill_weight: int
    least: int
    most: int
    tolerance: dict
    objective: str
    steps: dict  # fractions: a tenth of an ounce is not a whole number of nanograms


def read_weight(text):
    """A1: more than 0, at most 100,000 kg."""
    value = weight(text)
    if not 0 < value <= 100000 * 10 ** 12:
        raise ValueError(f"weight {text!r} is not over 0 and at most 100,000 kg")
    return value


def read_sides(text):
    """A1: each more than 0, at most 50 m."""
    values = lengths(text, 3)
    if not all(0 < value <= 50 * 10 ** 9 for value in values):
        raise ValueError(f"sides {text!r} are not each over 0 and at most 50 m")
    return values


def range_ends(text):
    """B4: "14..18 oz" or "10..12 x 9 x 6 in" as two texts, of the low ends and of the high ends."""
    low, high = [], []
    for part in re.split(r"\s*[xX×]\s*", text):
        first, _, last = part.partition("..")
        last = last or first
        unit = re.search(r"[a-z]+$", last.strip())
        if unit and not re.search(r"[a-z]", first):
            first = f"{first} {unit.group()}"
        low.append(first)
        high.append(last)
    return " x ".join(low), " x ".join(high)


def read_contents(words):
    """B1: a fixed vocabulary, and x-… for one's own."""
    for word in words:
        if word not in TRAITS and not (word.startswith("x-") and len(word) > 2):
            raise ValueError(f"{word!r} is not a contents trait")
    return frozenset(words)


def read_shape(word):
    if word not in SHAPES:
        raise ValueError(f"{word!r} is not a shape")
    return word


def read_item(item):
    check_keys(item, {"weight", "sides", "quantity", "contents", "value", "shape", "this_side_up", "rigid", "bare",
                      "title", "code", "may_stand", "top_free", "bears", "soft"}, "item")
    quantity = item.get("quantity", 1)
    if not isinstance(quantity, int) or quantity < 1:
        raise ValueError(f"quantity {quantity!r} is not a whole number over 0")
    return Item(*read_size(item), quantity, read_contents(item.get("contents", [])), money(item.get("value", 0)),
                read_shape(item.get("shape", "box")), flag(item, "this_side_up"), item.get("rigid", False),
                item.get("bare", False), read_may_stand(item), flag(item, "top_free"),
                read_weight(item["bears"]) if "bears" in item else None, read_soft(item))


def read_soft(item):
    """B2: both words, and nothing beside that goods which give cannot have."""
    if "soft" not in item:
        return None
    soft = item["soft"]
    check_keys(soft, {"presses_to", "least_thickness"}, "soft")
    if "may_stand" in item or "bears" in item or any(flag(item, key) for key in ("this_side_up", "top_free", "rigid")):
        raise ValueError("a soft good has neither this_side_up, may_stand, top_free, bears nor rigid")
    _, sides, _, low_sides = read_size(item)
    if sides != low_sides:
        raise ValueError(f"sides: {item['sides']!r} is a range, of a soft good")
    presses_to = soft["presses_to"]
    if isinstance(presses_to, bool):
        raise ValueError(f"presses_to: {presses_to!r} is not a percentage")
    if isinstance(presses_to, str):  # B2: the sign may be left out
        presses_to = presses_to.strip().removesuffix("%") + " %"
    presses_to = percent(presses_to)
    if not 0 < presses_to <= 1:
        raise ValueError(f"presses_to: {soft['presses_to']} is not over 0 and at most 100")
    least = length(soft["least_thickness"])
    if not 0 < least <= min(sides):
        raise ValueError(f"least_thickness: {soft['least_thickness']} is not over 0 and at most the shortest side")
    return flat.Soft(int(presses_to * MILLION), least)


def read_may_stand(item):
    """B2: places from 1 to 3, each once; not with `this_side_up`, of which the third is upright."""
    if "may_stand" not in item:
        return (2,) if flag(item, "this_side_up") else (0, 1, 2)
    places = item["may_stand"]
    if flag(item, "this_side_up"):
        raise ValueError("may_stand is not given with this_side_up")
    if not isinstance(places, list) or not places or len(places) != len(set(places)) or any(
            isinstance(place, bool) or place not in (1, 2, 3) for place in places):
        raise ValueError(f"may_stand: {places!r} is not one or more of 1, 2 and 3, each once")
    return tuple(sorted(int(place) - 1 for place in places))


def read_size(thing):
    """B1, B4: (weight, sides, least weight, least sides) of an item or a sealed parcel."""
    low_weight, high_weight = (read_weight(text) for text in range_ends(thing["weight"]))
    low_sides, high_sides = (read_sides(text) for text in range_ends(thing["sides"]))
    if low_weight > high_weight or any(low > high for low, high in zip(low_sides, high_sides)):
        raise ValueError(f"a range in {thing['weight']!r} or {thing['sides']!r} falls")
    return high_weight, high_sides, low_weight, low_sides


def read_request(request, tables):
    """B1, B8."""
    try:
        return read_request_fields(request, tables)
    except (ValueError, KeyError, TypeError, AttributeError) as error:
        raise RequestError(f"{type(error).__name__}: {error}") from error


def read_request_fields(request, tables):
    check_keys(request, {"format", "goods", "parcel", "from", "to", "date", "promise", "extras", "cover", "tolerance",
                         "objective", "currency", "exchange", "padding", "fill_weight", "allowance", "steps", "accepts",
                         "amounts", "time", "totals", "week", "consignment"}, "request")
    if ("goods" in request) == ("parcel" in request):
        raise ValueError("either goods or a parcel is expected")
    items, parcel = [], None
    if "goods" in request:
        items = [read_item(item) for item in request["goods"]]
        if not items:
            raise ValueError("goods are empty")
        first = request["goods"][0]
    else:
        first = p = request["parcel"]
        check_keys(p, {"weight", "sides", "shape", "packaging", "contents", "value", "rigid"}, "parcel")
        parcel = {"shape": read_shape(p.get("shape", "box")), "packaging": p.get("packaging", "")}
        items = [Item(*read_size(p), 1, read_contents(p.get("contents", [])), money(p.get("value", 0)), parcel["shape"],
                      False, p.get("rigid", False), False)]
    day = date(request["date"])
    extras = request.get("extras", [])
    if len(extras) != len(set(extras)) or "cover" in extras or "cash-on-delivery" in extras:
        raise ValueError("an extra is asked for twice, or `cover` or `cash-on-delivery` stands among the extras")
    promise = request.get("promise", {})
    check_keys(promise, {"within", "by", "paid_for"}, "promise")
    if "by" in promise:
        date(promise["by"])
    if len(promise) > 1:
        raise ValueError("one promise was expected")
    accepts = request.get("accepts", ["door"])
    if not accepts:
        raise ValueError("`accepts` is empty")
    check_keys(request.get("amounts", {}), {"cash_on_delivery"}, "amounts")
    exchange = {currency: Fraction(rate) for currency, rate in request.get("exchange", {}).items()}
    if any(rate <= 0 for rate in exchange.values()):
        raise ValueError("a rate of exchange is not over 0")
    allowance = request.get("allowance", {})
    first_units = [re.search(r"[a-z]+", text.replace("x", " ").replace("X", " ")).group() for text in (first["weight"], first["sides"])]
    default_steps = ["0.1 oz" if first_units[0] in ("oz", "lb") else "1 g", "0.125 in" if first_units[1] in ("in", "ft", "yd", "mi") else "1 mm"]
    steps = request.get("steps", {})
    tolerance = request.get("tolerance", {})
    ask = Ask(
        items=items,
        parcel=parcel,
        origin=read_place(request["from"]),
        destination=read_place(request["to"]),
        date=day,
        promise=promise,
        extras=extras,
        cover=money(request.get("cover", 0)),
        value=sum_of_values(items),
        currency=request.get("currency") or only_currency(tables, day),
        exchange=exchange,
        accepts=[one_of(word, DELIVERS) for word in accepts],
        cash_on_delivery=money(request.get("amounts", {}).get("cash_on_delivery", 0)),
        time=clock(request["time"]) if "time" in request else None,
        totals=one_of(request.get("totals", "with_tax"), ("with_tax", "without_tax")),
        week=read_week(request.get("week", {})),
        consignment=read_consignment(request.get("consignment", {"others": 0})),
        padding=length(request["padding"]) if "padding" in request else None,
        fill_weight=weight(request["fill_weight"]) if "fill_weight" in request else 0,
        least=weight(allowance.get("least", "8 oz")),
        most=weight(allowance.get("most", "12 oz")),
        tolerance={"weight": weight(tolerance.get("weight", "0 g")), "sides": length(tolerance.get("sides", "0 mm"))},
        objective=request.get("objective", "cheapest"),
        steps={"weight": exact_quantity(steps.get("weight", default_steps[0]), WEIGHT_UNITS),
               "sides": exact_quantity(steps.get("sides", default_steps[1]), LENGTH_UNITS)},
    )
    return ask if tables.seller is None else with_what_the_seller_asks(ask, tables.seller)


def read_week(week):
    """B1, B8: the figures of all carriers, and of one in the place of both."""
    check_keys(week, {"parcels", "spend", "carriers"}, "week")
    figures = {"parcels": whole(week.get("parcels", 0)), "spend": money(week.get("spend", 0))}
    for own in week.get("carriers", {}).values():
        check_keys(own, {"parcels", "spend"}, "week of a carrier")
    return {**figures, "carriers": {carrier: read_week(own) for carrier, own in week.get("carriers", {}).items()}}


def read_consignment(consignment):
    """A4.10, B8."""
    check_keys(consignment, {"others", "others_weight", "first"}, "consignment")
    others, gross, first = whole(consignment["others"]), consignment.get("others_weight"), consignment.get("first")
    if others > 999:
        raise ValueError(f"{others} others are more than 999")
    if first is not None and not isinstance(first, bool):
        raise ValueError(f"first: {first!r} is neither true nor false")
    if others == 0:
        if (gross is not None and weight(gross) != 0) or first is False:
            raise ValueError("a weight of others, or another that is the first, where there are none")
        return ALONE
    if gross is None or first is None:
        raise ValueError("others without their weight, or without who is the first")
    return Consignment(others + 1, read_weight(gross), first)


def with_what_the_seller_asks(ask, seller):
    """A8: extras behind the request's own, each once, and cover to the greatest amount; an error without a rate."""
    if exchange_rate(ask, seller["currency"]) is None:
        raise ValueError(f"no rate of exchange for {seller['currency']}, in which the seller's own rules are")
    facts = {**facts_of_goods(ask.items), "value": from_ranking(ask.value, seller["currency"], ask), "origin": ask.origin,
             "destination": ask.destination, "residential": ask.destination.residential, "date": ask.date}
    extras, cover = list(ask.extras), ask.cover
    for entry in seller["ask"]:
        if holds(entry["when"], facts):
            extras += [code for code in dict.fromkeys(entry["extras"]) if code not in extras]
            cover = max(cover, ask.value if entry["cover"] == "value" else to_ranking(entry["cover"], seller["currency"], ask))
    return dataclasses.replace(ask, extras=extras, cover=cover)


def facts_of_goods(items):
    """A4.4: what tests may see of the goods alone."""
    return {"contents": frozenset().union(*(item.contents for item in items)), "items": [item.contents for item in items],
            "rigid": any(item.rigid for item in items)}


def sum_of_values(items):
    """A1: at most 1,000 million together."""
    value = sum(item.value * item.quantity for item in items)
    if value > MOST:
        raise ValueError("the goods are worth more than 1,000 million")
    return value


def only_currency(tables, day):
    """B3."""
    found = {t["currency"] for t in tables.tariffs if t["from"] <= day <= t["until"]} | tables.shelf_currencies
    if len(found) != 1:
        raise ValueError(f"the request names no currency, and the tables have {sorted(found)}")
    return found.pop()


def exchange_rate(ask, currency):
    """B3: one unit of a currency in the ranking's; None: not known."""
    return Fraction(1) if currency == ask.currency else ask.exchange.get(currency)


def to_ranking(amount, currency, ask):
    """B3: converted once, half up to the minor unit of the ranking's currency."""
    if currency == ask.currency or amount == 0:
        return amount
    return rounded(amount * exchange_rate(ask, currency), minor_unit(ask.currency), "half_up")


def from_ranking(amount, currency, ask):
    """B3: divided by the rate, half up to the minor unit of the tariff's currency."""
    if currency == ask.currency:
        return amount
    return rounded(amount / exchange_rate(ask, currency), minor_unit(currency), "half_up")


# ---------------------------------------------------------------------------------------------------------------------
# B2: packing

@dataclasses.dataclass
class Packed:
    """A parcel as it is handed over."""
    packaging: str
    kind: str
    carrier: str  # who issued the packaging; empty: own
    cost: int
    currency: str
    weight: int
    sides: list
    shape: str
    goods_weight: int  # 0 for a sealed parcel: all of it may be goods
    source: Packaging = None
    cut_to: int = None  # the height of the outside of a carton that is cut down
    cut: object = None  # the parcel in the same carton cut down, another Packed; None: it is not cut


KIND_OF_SHAPE = {"box": "carton", "tube": "tube", "soft": "mailer", "flat": "envelope", "irregular": "bare"}
SHAPE_OF_KIND = {"carton": "box", "tube": "tube", "mailer": "soft", "envelope": "flat"}


def goods_shape(items):
    """B2: several goods are irregular unless all of one shape."""
    shapes = {item.shape for item in items}
    return shapes.pop() if len(shapes) == 1 else "irregular"


def stack(items):
    """B2: one pile along the shortest side of those that may be upright: sides with the pile's height third. One item alone is
    itself."""
    if is_alone(items):
        return items[0].sides
    piles = []
    for item in items:
        upright = min(item.may_stand, key=lambda place: item.sides[place])
        across = [side for place, side in enumerate(item.sides) if place != upright]
        piles.append((max(across), min(across), item.sides[upright] * item.quantity))
    return [max(pile[0] for pile in piles), max(pile[1] for pile in piles), sum(pile[2] for pile in piles)]


def may_be_piled(items):
    """B2: but for an estimate."""
    return is_alone(items) or all(not item.top_free and item.bears is None for item in items)


def is_alone(items):
    return len(items) == 1 and items[0].quantity == 1


def at_most(items):
    """B4: with every side that ranges at its most."""
    return [dataclasses.replace(item, sides=item.largest or item.sides) for item in items]


FRAGILE_PADDING = length("1 in")


def units_of(items):
    """B2: one after the other, in the order of the items; soft ones pressed."""
    return tuple(packing.Unit(tuple(flat.pressed_sides(item.sides, item.soft) if item.soft else item.sides), item.may_stand,
                              "fragile" in item.contents, 0 if item.top_free else item.bears, item.weight)
                 for item in items for _ in range(item.quantity))


def is_pillow(packaging, items):
    """B2: what gives, and nothing else, in a mailer."""
    return packaging.kind == "mailer" and all(item.soft for item in items)


def box_in(packaging, items):
    """B2: (l, w, t) of the box of a mailer, an envelope or a tube in which the goods lie, or None; raises packing.Undecided."""
    if any(len(item.may_stand) < 3 for item in items) or not may_be_piled(items):
        return None
    alike = tuple(packing.Unit(unit.sides) for unit in units_of(items if is_alone(items) else at_most(items)))
    return flat.least_box(packaging.kind, tuple(packaging.inside), packaging.thickness, alike)


def fit(packaging, items, padding):
    """B2, A6: the parcel's sides, or None where the goods do not go in; raises packing.Undecided."""
    walls = 2 * packaging.wall
    if packaging.kind == "carton":
        found = packing.arrangement(units_of(items), tuple(packaging.inside), padding, FRAGILE_PADDING)
        return None if found is None else packaging.outside
    if packaging.kind == "bare":
        return list(stack(items)) if all(item.bare for item in items) and may_be_piled(items) else None
    if is_pillow(packaging, items):
        sides = flat.pillow(*packaging.inside, [(item.sides, item.soft) for item in items for _ in range(item.quantity)])
        return None if sides is None else [side + walls for side in sides]
    box = box_in(packaging, items)
    if box is None:
        return None
    if packaging.kind == "mailer":
        return [side + walls for side in box]
    if packaging.kind == "envelope":
        return packaging.outside + [box[2] + walls]
    return [packaging.outside[1], packaging.outside[0], packaging.outside[0]]


def cut_height(packaging, items, padding):
    """B2: the outside height to which a carton that takes the goods is cut, at their most, or None where it stays whole."""
    if packaging.least_height is None:
        return None
    inside = packing.least_height(units_of(at_most(items)), tuple(packaging.inside), padding, FRAGILE_PADDING)
    height = max(inside + packaging.outside[2] - packaging.inside[2], packaging.least_height)
    return height if height < packaging.outside[2] else None


def packagings_at_hand(tables, ask):
    """B2, A6: the seller's own, then the carriers' that the shelf names; and the codes that no such tariff has (B3)."""
    found, lacking = list(tables.shelf), []
    for carrier, code, on_hand in tables.at_hand:
        tariff, _ = tables.version(carrier, ask.date)
        if code in tariff["packaging"]:
            found.append(dataclasses.replace(tariff["packaging"][code], on_hand=on_hand))
        else:
            lacking.append(code)
    return found, lacking


def sealed_parcel(tables, ask):
    """B2: the parcel as given, in the packaging it names or the seller's own."""
    p, code = ask.parcel, ask.parcel["packaging"]
    item = ask.items[0]
    own = Packed("", KIND_OF_SHAPE[p["shape"]], "", 0, ask.currency, item.weight, item.sides, p["shape"], 0)
    if not code:
        return own
    found = [x for x in tables.shelf or [] if x.code == code]
    for carrier in tables.carriers():
        issued = tables.version(carrier, ask.date)[0]["packaging"].get(code)
        if issued is not None:
            found.append(issued)
    if not found:
        raise RequestError(f"packaging {code!r} is not known")
    x = found[0]
    return dataclasses.replace(own, packaging=code, kind=x.kind, carrier=x.carrier, cost=x.cost, currency=x.currency,
                               source=x)


def packings(tables, ask, allowance=None, only=None):
    """B2: every packaging at hand (or only one, by code) that takes the goods, and (code, reasons) of those that do not."""
    if ask.parcel is not None:
        return [sealed_parcel(tables, ask)], []
    goods_weight = sum(item.weight * item.quantity for item in ask.items)
    shape = goods_shape(ask.items)
    if tables.shelf is None:  # B2: an estimate
        more = (ask.most if allowance is None else allowance) if goods_weight > weight("1 lb") else 0
        sides = [side + length("1 in") for side in stack(ask.items)]
        return [Packed("estimate", KIND_OF_SHAPE[shape], "", 0, ask.currency, goods_weight + more, sides, shape,
                       goods_weight)], []
    at_hand, lacking = packagings_at_hand(tables, ask)
    packed, refused = [], [(code, ["not_in_force"]) for code in lacking if only in (None, code)]
    for packaging in at_hand:
        if only is not None and packaging.code != only:
            continue
        sides = fit(packaging, ask.items, ask.padding)
        reasons = []
        if sides is None:
            reasons.append("does_not_fit")
        if packaging.on_hand == 0:
            reasons.append("out_of_stock")
        if reasons:
            refused.append((packaging.code, reasons))
            continue
        gross = goods_weight + (packaging.tare + ask.fill_weight if packaging.kind != "bare" else 0)
        whole = Packed(packaging.code, packaging.kind, packaging.carrier, packaging.cost, packaging.currency, gross,
                       sides, SHAPE_OF_KIND.get(packaging.kind, shape), goods_weight, packaging)
        height = cut_height(packaging, ask.items, ask.padding)
        if height is not None:
            whole.cut = dataclasses.replace(whole, sides=[*sides[:2], height], cut_to=height)
        packed.append(whole)
    return packed, refused


# ---------------------------------------------------------------------------------------------------------------------
# B3: an offer or the reasons against one

NEVER_BY_AIR = ("lithium_alone", "flammable_liquid", "aerosol")


@dataclasses.dataclass
class Moneys:
    """What is declared, asked for and stated, in a tariff's currency; None: not known there."""
    value: int
    cover: int
    cash_on_delivery: int
    week: dict  # {"parcels", "spend"}

    def told(self):
        """B3: whether all can be told in the tariff's currency."""
        return None not in (self.value, self.cover, self.cash_on_delivery, self.week["spend"])

    def too_much(self):
        """A4.6: past 1,000 million."""
        return self.told() and max(self.value, self.cover, self.cash_on_delivery) > MOST


def facts_of(packed, service, zone, items, origin, destination, residential, day, extras, moneys, consignment):
    """A4.1, A4.4: all that a test may look at, but the billable weight."""
    asked = {code for code, amount in (("cover", moneys.cover), ("cash-on-delivery", moneys.cash_on_delivery))
             if amount is None or amount > 0}
    facts = {
        **facts_of_goods(items),
        "zone": zone,
        "shape": packed.shape,
        "packaging": packed.packaging,
        "packaging_kind": packed.kind,
        "mode": service["mode"],
        "extras": set(extras) | asked,
        "extras_asked": extras,
        "residential": residential,
        "own_packaging": packed.carrier == "",
        "origin": origin,
        "destination": destination,
        "date": day,
        "value": moneys.value,
        "cover": moneys.cover,
        "cash_on_delivery": moneys.cash_on_delivery,
        "week": moneys.week,
        "consignment": consignment,
        "pieces": consignment.pieces,
        "moneys": moneys,
    }
    add_measures(facts, service["measure"], packed.weight, packed.sides)
    facts["billable_weight"], facts["billable_from"] = billable_weight(service["measure"], facts)
    return facts


def reasons_against(tariff, service, discounts, packed, facts, promise_met, money_known=True, elsewhere=False, unwanted=0):
    """B3: every reason that can be judged, in the page's order, one for each thing that is wrong."""
    zone_known = facts["zone"] is not None
    reasons = []
    if not money_known:
        reasons.append("currency_differs")
    if not zone_known:
        reasons.append("no_zone")
    if packed.carrier == "":
        allowed = service["own"]
    else:
        allowed = packed.carrier == tariff["carrier"] and packed.packaging in service["issued"]
    if not allowed:
        reasons.append("packaging_not_allowed")
    if elsewhere:
        reasons.append("delivered_elsewhere")
    reasons += ["not_wanted"] * unwanted
    if zone_known and not promise_met:
        reasons.append("promise_not_met")
    too_much = facts["moneys"].too_much()
    told = facts["moneys"].told() and not too_much
    refused = []
    if service["mode"] == "air":
        refused += ["contents_not_accepted" for trait in NEVER_BY_AIR if trait in facts["contents"]]
    for entry in service["refuse"]:
        if not zone_known and mentions(entry["when"], {"zone"}):
            continue
        if not told and mentions(entry["when"], MONEY_MEASURES | {"week"}):
            continue
        if holds(entry["when"], facts):
            refused.append(entry["code"])
    reasons += [code for code in refused if code == "contents_not_accepted"]
    reasons += [code for code in refused if code == "over_limit"]
    if zone_known and too_much and not refused:
        reasons.append("no_price")
    if zone_known and told:
        if not refused and (base_price(tariff, service, facts) is None or lacks_a_value(service, facts) or
                            too_dear(price_lines(tariff, service, discounts, facts))):
            reasons.append("no_price")
        reasons += ["extra_not_offered" for _ in extras_not_offered(tariff, service, facts)]
        reasons += ["extras_disagree" for _ in extras_that_disagree(service, facts)]
    return reasons


def paid_service(tables, ask):
    """B3: (carrier, service) of the promise."""
    carrier, _, code = ask.promise["paid_for"].rpartition("/")
    found = []
    for other in tables.carriers():
        tariff, in_force = tables.version(other, ask.date)
        found += [(tariff, s, in_force) for s in tariff["services"] if s["code"] == code and carrier in ("", other)]
    if len(found) != 1:
        raise RequestError(f"paid_for {ask.promise['paid_for']!r} names {len(found)} services")
    return found[0]


def days_of(tables, ask, service, zone):
    return published_days(service, zone, ask.origin, ask.destination, tables.gazetteer)


def promise_met(tables, ask, service, zone):
    """B3: within N business days, by a date, or at least as fast as, and tracked as, the service paid for."""
    days = days_of(tables, ask, service, zone)
    if "within" in ask.promise:
        return days is not None and days[1] <= ask.promise["within"]
    if "by" in ask.promise:
        dates = arrives(service, days, ask.date, ask.time)
        return dates is not None and dates[1] <= ask.promise["by"]
    if "paid_for" in ask.promise:
        _, paid, in_force = paid_service(tables, ask)
        if paid is service:
            return True
        paid_zone = zone_of(paid["charts"], ask.origin, ask.destination, tables.gazetteer)
        paid_days = days_of(tables, ask, paid, paid_zone) if in_force and paid_zone is not None else None
        if days is None or paid_days is None:
            return False
        return days[1] <= paid_days[1] and (service["tracked"] or not paid["tracked"])
    return True


def ends_elsewhere(tables, ask, service):
    """B3: whether it ends where the request does not accept it; of the service paid for it does not matter."""
    if "paid_for" in ask.promise and paid_service(tables, ask)[1] is service:
        return False
    return service["delivers"] not in ask.accepts


def moneys_in(ask, currency, carrier):
    """B3: divided by the rate; without one only what is 0 is known."""
    week = ask.week["carriers"].get(carrier, ask.week)

    def converted(amount):
        if exchange_rate(ask, currency) is not None:
            return from_ranking(amount, currency, ask)
        return None if amount else 0

    return Moneys(converted(ask.value), converted(ask.cover), converted(ask.cash_on_delivery),
                  {"parcels": week["parcels"], "spend": converted(week["spend"])})


def is_of(services, carrier, code):
    """A8: "carrier/service", or "carrier" for all of its services; left out: everybody's."""
    return services is None or carrier in services or f"{carrier}/{code}" in services


def seller_facts(ask, seller, facts):
    """A8: what a surcharge's test sees, money in the seller's currency."""
    return {**facts, "value": from_ranking(ask.value, seller["currency"], ask),
            "cash_on_delivery": from_ranking(ask.cash_on_delivery, seller["currency"], ask)}


def unwanted(tables, ask, carrier, code, facts):
    """A8: how many entries of `avoid` hold."""
    if tables.seller is None:
        return 0
    facts = seller_facts(ask, tables.seller, facts)
    return sum(1 for entry in tables.seller["avoid"] if is_of(entry["services"], carrier, code) and holds(entry["when"], facts))


def handicaps(tables, ask, carrier, code, facts):
    """A8: (code, amount in the ranking's currency) of each whose test holds."""
    if tables.seller is None:
        return []
    seller, found = tables.seller, []
    facts = seller_facts(ask, seller, facts)
    for handicap in seller["handicaps"]:
        if is_of(handicap["services"], carrier, code) and holds(handicap["when"], facts):
            if handicap["percent"] is None:
                amount = min(MOST, rounded(handicap["amount"], minor_unit(seller["currency"]), "half_up"))
                amount = to_ranking(amount, seller["currency"], ask)
            else:
                amount = rounded(ask.value * handicap["percent"], minor_unit(ask.currency), "half_up")
            found.append((handicap["code"], min(MOST, amount)))
    return found


def judge(tables, ask, packed, carrier, service_code):
    """B2, B3: (offer, []) or (None, reasons) of one packaging with one service: of a carton that may be cut down the lower total,
    of equals the whole one; where both are refused, the reasons against the whole one."""
    whole = judge_parcel(tables, ask, packed, carrier, service_code)
    if packed.cut is None:
        return whole
    cut = judge_parcel(tables, ask, packed.cut, carrier, service_code)
    if cut[0] is not None and (whole[0] is None or cut[0]["total"] < whole[0]["total"]):
        return cut
    return whole


def judge_parcel(tables, ask, packed, carrier, service_code):
    """B3: the same of a parcel as it is."""
    tariff, in_force = tables.version(carrier, ask.date)
    service = next(s for s in tariff["services"] if s["code"] == service_code)
    if not in_force:
        return None, ["not_in_force"]
    zone = zone_of(service["charts"], ask.origin, ask.destination, tables.gazetteer)
    known = exchange_rate(ask, tariff["currency"]) is not None and (
        packed.carrier != "" or packed.cost == 0 or exchange_rate(ask, packed.currency) is not None)
    facts = facts_of(packed, service, zone, ask.items, ask.origin, ask.destination, ask.destination.residential, ask.date,
                     ask.extras, moneys_in(ask, tariff["currency"], carrier), ask.consignment)
    met = promise_met(tables, ask, service, zone)
    discounts = tables.discounts(carrier, ask.date)
    reasons = reasons_against(tariff, service, discounts, packed, facts, met, known, ends_elsewhere(tables, ask, service),
                              unwanted(tables, ask, carrier, service_code, facts))
    if reasons:
        return None, reasons
    priced = price_lines(tariff, service, discounts, facts)
    counted = priced.total if ask.totals == "with_tax" else priced.net  # A4.7
    if packed.carrier:  # B3: an issued packaging is paid in the tariff's currency, before conversion
        grand_total = to_ranking(counted + packed.cost, tariff["currency"], ask)
        cost = to_ranking(packed.cost, tariff["currency"], ask)
    else:
        cost = to_ranking(packed.cost, packed.currency, ask)
        grand_total = to_ranking(counted, tariff["currency"], ask) + cost
    if grand_total > MOST:
        return None, ["no_price"]
    days = days_of(tables, ask, service, zone)
    added = handicaps(tables, ask, carrier, service_code, facts)
    return {
        "carrier": carrier,
        "service": service_code,
        "packaging": packed.packaging,
        "zone": zone,
        "days": days,
        "arrives": arrives(service, days, ask.date, ask.time),
        "delivers": service["delivers"],
        "tracked": service["tracked"],
        "included_cover": to_ranking(included_for_order(service), tariff["currency"], ask),
        "weight": packed.weight,
        "sides": packed.sides,
        "cut_to": packed.cut_to,
        "billable_weight": facts["billable_weight"],
        "billable_from": facts["billable_from"],
        "currency": tariff["currency"],
        "priced": priced,
        "packaging_cost": cost,
        "total": grand_total,
        "handicaps": added,
        "handicap": sum(amount for _, amount in added),
        "cautions": cautions_of_offer(ask.items, packed, service["mode"], priced.overdue),
    }, []


# ---------------------------------------------------------------------------------------------------------------------
# B7: cautions, by their codes, in the order of the page

CAUTIONS = ("lithium_alone", "lithium_in_equipment", "flammable_liquid", "aerosol", "liquid", "sharp", "perishable", "live",
            "lift_with_help", "mark_heavy", "confirm_surface", "value_overdue", "measure_soft", "carrier_decides")
OF_TRAITS = CAUTIONS[:8]


def cautions_of_weight(gross):
    return {code for code, bound in (("lift_with_help", "23 kg"), ("mark_heavy", "70 lb")) if gross > weight(bound)}


def cautions_of_goods(items):
    found = cautions_of_weight(sum(item.weight * item.quantity for item in items))
    return found | {trait for item in items for trait in item.contents if trait in OF_TRAITS}


def cautions_of_offer(items, packed, mode, overdue_series):
    found = cautions_of_weight(packed.weight)
    if packed.source is not None and is_pillow(packed.source, items):
        found.add("measure_soft")
    if mode == "any" and any(trait in NEVER_BY_AIR for item in items for trait in item.contents):
        found.add("confirm_surface")
    if overdue_series:
        found.add("value_overdue")
    return found


def cautions_of_ranking(items, offers):
    found = cautions_of_goods(items).union(*(offer["cautions"] for offer in offers))
    return found | {"carrier_decides"} if found - {"value_overdue", "measure_soft"} else found


def in_order(cautions):
    return [code for code in CAUTIONS if code in cautions]


def order_of(offer):
    """B3, A8."""
    longest = offer["days"][1] if offer["days"] is not None else math.inf
    return (offer["total"] + offer["handicap"], longest, not offer["tracked"], -offer["included_cover"], offer["service"],
            offer["packaging"], offer["carrier"])


def services_on(tables, day):
    return [(carrier, s["code"]) for carrier in tables.carriers() for s in tables.version(carrier, day)[0]["services"]]


def offers_and_refusals(tables, ask):
    """B3: an offer or a refusal for each packaging that fits and each service, offers in order."""
    packed_all, not_packed = packings(tables, ask)
    offers, refusals = [], [("", "", code, reasons) for code, reasons in not_packed]
    for packed in packed_all:
        for carrier, service in services_on(tables, ask.date):
            offer, reasons = judge(tables, ask, packed, carrier, service)
            if offer is not None:
                offers.append((offer, packed))
            else:
                refusals.append((carrier, service, packed.packaging, reasons))
    offers.sort(key=lambda pair: order_of(pair[0]))
    return offers, refusals


def rank(tables, request):
    """B8: the ranking as a document."""
    ask = read_request(request, tables)
    if "paid_for" in ask.promise:
        paid_service(tables, ask)
    offers, refusals = offers_and_refusals(tables, ask)
    estimate = ask.parcel is None and tables.shelf is None
    shown = []
    for offer, packed in offers:
        o = {
            "carrier": offer["carrier"],
            "service": offer["service"],
            "packaging": offer["packaging"] or "own",
            "zone": offer["zone"],
            "days": offer["days"],
            "tracked": offer["tracked"],
            "included_cover": show_money(offer["included_cover"], ask.currency),
            "parcel": {"weight": show_weight(offer["weight"]), "sides": show_sides(offer["sides"])},
            "billable_weight": {"weight": show_weight(offer["billable_weight"]), "from": offer["billable_from"]},
            "charges": shown_charges(offer["priced"], offer["currency"]),
            "packaging_cost": show_money(offer["packaging_cost"], ask.currency),
            "total": show_money(offer["total"], ask.currency),
            "cautions": in_order(offer["cautions"]),
        }
        if offer["days"] is None:
            del o["days"]
        o.update(shown_where_due(offer, ask.currency))
        if estimate:  # B2: totals at both ends of the allowance
            least = packings(tables, ask, ask.least)[0][0]
            lightest, _ = judge(tables, ask, least, offer["carrier"], offer["service"])
            o["total_at_least_allowance"] = show_money(lightest["total"], ask.currency) if lightest else None
        shown.append(o)
    return {
        "format": "tarewise-ranking-1",
        "estimate": estimate,
        "currency": ask.currency,
        **({"totals": ask.totals} if ask.totals == "without_tax" else {}),
        "offers": shown,
        "refusals": [{"carrier": carrier, "service": service, "packaging": packaging or "own",
                      "reasons": [{"code": code} for code in reasons]} for carrier, service, packaging, reasons in refusals],
        "cautions": [{"code": code} for code in in_order(cautions_of_ranking(ask.items, [offer for offer, _ in offers]))],
    }


def shown_charges(priced, currency):
    """B8: the lines, and what is billed for another weight."""
    charges = [{"code": code, "amount": show_money(amount, currency)} for code, amount in priced.charges]
    for code, bound in priced.billed_as:
        next(charge for charge in charges if charge["code"] == code)["billed_as"] = bound
    return charges


def shown_where_due(offer, currency):
    """B8: the keys that an offer has where they apply."""
    shown, priced = {}, offer["priced"]
    if offer["delivers"] != "door":
        shown["delivers"] = offer["delivers"]
    if offer["cut_to"] is not None:
        shown["cut_to"] = show_length(offer["cut_to"])
    if offer["arrives"] is not None:
        shown["arrives"] = offer["arrives"]
    if priced.overdue:
        shown["overdue"] = [{"series": code, "since": since} for code, since in priced.overdue]
    if priced.tax is not None:
        shown["tax"] = {"code": priced.tax["code"], "title": priced.tax["title"],
                        "percent": decimal(int(priced.tax["percent"] * MILLION), 4),
                        "amount": show_money(priced.tax_amount, offer["currency"]),
                        "net": show_money(priced.net, offer["currency"]),
                        "with_tax": show_money(priced.total, offer["currency"])}
    if offer["handicaps"]:
        shown["handicaps"] = [{"code": code, "amount": show_money(amount, currency)} for code, amount in offer["handicaps"]]
        shown["handicap"] = show_money(offer["handicap"], currency)
    return shown


# ---------------------------------------------------------------------------------------------------------------------
# B4: thresholds, by pricing again and nothing else

def total_of(tables, ask, packed, carrier, service):
    """The total of one service, or None where it is refused."""
    offer, _ = judge(tables, ask, packed, carrier, service)
    return None if offer is None else offer["total"]


def best_offer(tables, ask, packed):
    """B4, A8: the first offer of any service with a packaging, or None."""
    offers = [judge(tables, ask, packed, c, s)[0] for c, s in services_on(tables, ask.date)]
    return min((offer for offer in offers if offer is not None), key=order_of, default=None)


def best_total(tables, ask, packed):
    """The total of that offer, or None."""
    offer = best_offer(tables, ask, packed)
    return None if offer is None else offer["total"]


def packed_in(tables, ask, packaging, allowance=None):
    """The parcel made with a packaging, by code."""
    code = "" if packaging == "own" else packaging
    return next(packed for packed in packings(tables, ask, allowance, code)[0] if packed.packaging == code)


def totals_at(tables, request, packaging, gross=None, sides=None):
    """{(carrier, service): total or None} were the parcel in this packaging of this weight and these sides."""
    ask = read_request(request, tables)
    packed = packed_in(tables, ask, packaging)
    packed = dataclasses.replace(packed, weight=packed.weight if gross is None else gross,
                                 sides=packed.sides if sides is None else sides)
    return {(c, s): total_of(tables, ask, packed, c, s) for c, s in services_on(tables, ask.date)}


def best_total_with_packaging(tables, request, packaging, gross=None, sides=None):
    totals = totals_at(tables, request, packaging, gross, sides).values()
    return min((total for total in totals if total is not None), default=None)


# ---------------------------------------------------------------------------------------------------------------------
# A2: the examples of a tariff

@dataclasses.dataclass
class Outcome:
    """What comes of an example; `priced` is None where it is refused."""
    priced: Priced
    arrives: list
    billable: int
    reasons: list


def example_outcome(tables, tariff, example, discounts=()):
    """A2: an example, priced; its own terms (A2: none) are applied."""
    check_keys(example, {"service", "parcel", "zone", "from", "to", "residential", "date", "extras", "cover", "total", "net",
                         "refused", "billable_weight", "why", "amounts", "week", "time", "arrives",
                         "consignment"}, "example")
    service = next(s for s in tariff["services"] if s["code"] == example["service"])
    p = example["parcel"]
    check_keys(p, {"weight", "sides", "shape", "packaging", "contents", "value", "rigid"}, "parcel")
    shape, code = read_shape(p.get("shape", "box")), p.get("packaging", "")
    item = Item(*read_size(p), 1, read_contents(p.get("contents", [])), money(p.get("value", 0)), shape, False,
                p.get("rigid", False), False)
    packed = Packed(code, KIND_OF_SHAPE[shape], "", 0, tariff["currency"], item.weight, item.sides, shape, 0)
    if code:
        issued = tariff["packaging"][code]
        packed = dataclasses.replace(packed, kind=issued.kind, carrier=issued.carrier, source=issued)
    origin = read_place(example["from"]) if "from" in example else None
    destination = read_place(example["to"]) if "to" in example else None
    zone = example["zone"] if "zone" in example else zone_of(service["charts"], origin, destination, tables.gazetteer)
    residential = example.get("residential", destination.residential if destination else False)
    day, time = date(example.get("date", tariff["from"])), clock(example["time"]) if "time" in example else None
    week = read_week(example.get("week", {}))
    week = week["carriers"].get(tariff["carrier"], week)
    check_keys(example.get("amounts", {}), {"cash_on_delivery"}, "amounts")
    moneys = Moneys(item.value, money(example.get("cover", 0)), money(example.get("amounts", {}).get("cash_on_delivery", 0)),
                    {"parcels": week["parcels"], "spend": week["spend"]})
    facts = facts_of(packed, service, zone, [item], origin, destination, residential, day, example.get("extras", []), moneys,
                     read_consignment(example.get("consignment", {"others": 0})))
    dates = arrives(service, published_days(service, zone, origin, destination, tables.gazetteer), day, time)
    reasons = reasons_against(tariff, service, discounts, packed, facts, True)
    priced = None if reasons else price_lines(tariff, service, discounts, facts)
    return Outcome(priced, dates, facts["billable_weight"], reasons)


def shown_outcome(outcome, currency):
    if outcome.reasons:
        told = f"refused {outcome.reasons}"
    else:
        lines = ", ".join(f"{code} {show_money(amount, currency)}" for code, amount in outcome.priced.charges)
        told = f"total {show_money(outcome.priced.total, currency)} of {lines}, net {show_money(outcome.priced.net, currency)}"
    return f"{told}, arrives {outcome.arrives}, billable {show_weight(outcome.billable)}"


def check_examples(tables):
    """A2: (number of examples, a line for each that differs)."""
    count, differing = 0, []
    for tariff in tables.tariffs:
        for index, example in enumerate(tariff["examples"]):
            count += 1
            name = f"{tariff['carrier']} {tariff['from']} example {index}: {example['service']}"
            try:
                outcome = example_outcome(tables, tariff, example)
            except (ValueError, KeyError, StopIteration, TypeError, AttributeError) as error:
                differing.append(f"{name}: {type(error).__name__}: {error}")
                continue
            got, wanted, right = shown_outcome(outcome, tariff["currency"]), [], "refused" in example or not outcome.reasons
            for key, met in (("refused", lambda x: x in outcome.reasons), ("total", lambda x: outcome.priced.total == money(x)),
                             ("net", lambda x: outcome.priced.net == money(x)), ("arrives", lambda x: outcome.arrives == x),
                             ("billable_weight", lambda x: outcome.billable == weight(x))):
                if key in example:
                    wanted.append(f"{key} {example[key]}")
                    right = right and met(example[key])
            wanted = ", ".join(wanted)
            if not right:
                differing.append(f"{name}: expected {wanted}, got {got}  ({example.get('why', '')})")
    return count, differing


# ---------------------------------------------------------------------------------------------------------------------

def rank_line(tables, text):
    """One request as text to one ranking, or {"error": ...}."""
    try:
        return rank(tables, read_json(text))
    except (RequestError, ValueError) as error:
        return {"error": str(error)}


def main(args):
    if len(args) >= 2 and args[0] == "rank":
        tables = Tables.load(args[1])
        if "--each" in args[2:]:
            for line in sys.stdin:
                if line.strip():
                    print(json.dumps(rank_line(tables, line), separators=(",", ":")), flush=True)
            return 0
        ranking = rank_line(tables, sys.stdin.read())
        if "error" in ranking:
            print(ranking["error"], file=sys.stderr)
            return 2
        print(json.dumps(ranking, indent=1))
        return 0 if ranking["offers"] else 1
    if len(args) == 2 and args[0] == "examples":
        count, differing = check_examples(Tables.load(args[1]))
        for line in differing:
            print(line)
        print(f"{count} examples, {len(differing)} differ")
        return 1 if differing else 0
    print(__doc__, file=sys.stderr)
    return 2


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
