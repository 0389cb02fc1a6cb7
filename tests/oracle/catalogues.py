#!/usr/bin/env python3
"""The slow pricer of catalogues: B5 of tables/FORMAT.md row by row and order by order, and a comparison of `reprice` with it.

A row is read cell by cell (A1, B5), the rows of an order become the goods of one request, and that request is priced by oracle.py on
each lane by itself; an order that may go in several parcels is priced by the slow planner of plans.py. Nothing is shared between rows.

    catalogues.py FOLDER --command PATH [--jobs N]     compares the program over what random_catalogues.py wrote

The program is run as `PATH reprice --tables WORLD ... CATALOGUE.csv`. Compared are the header, the rows as they were written, and every
cell behind them: totals, numbers of parcels, services, packagings, the totals of another service, means, the farthest place, quantiles,
reasons and cautions; and the exit code. Totals are compared as numbers, a reason in words by the column that it names and the text found there.

Where the slow pricer does not decide whether several units go into a packaging, the program's own ranking of these goods alone is asked, and
its arrangements are checked place by place (compare.py).
"""

import argparse
import collections
import csv
import dataclasses
import functools
import io
import json
import multiprocessing
import pathlib
import re
import shlex
import subprocess
import sys
from fractions import Fraction

sys.path.insert(0, str(pathlib.Path(__file__).parent))
import compare  # noqa: E402
import oracle  # noqa: E402
import packing  # noqa: E402
import plans  # noqa: E402

MOST_UNITS = 10000  # B8
HEAVIEST = 100000 * 10 ** 12
UNITS = {**oracle.WEIGHT_UNITS, **oracle.LENGTH_UNITS}
THREE = ("length", "width", "height")
FLAGS = {"true": True, "yes": True, "1": True, "false": False, "no": False, "0": False}
COLUMNS = ("weight", "sides", *THREE, "quantity", "value", "contents", "shape", "this_side_up", "rigid", "bare", "order")


# ---------------------------------------------------------------------------------------------------------------------
# Reading

def columns_of(header, currency):
    """{what: (place, unit or "")} of a header: a word, perhaps with a unit behind it ("Length (cm)"), of a value with a currency."""
    found = {}
    for place, name in enumerate(header):
        words = re.sub(r"[^0-9a-z]+", "_", name.lower()).strip("_")
        for what in COLUMNS:
            rest = words[len(what):].strip("_")
            if words == what or words.startswith(what + "_") and (rest in UNITS or what == "value" and rest == currency.lower()):
                found[what] = place, rest if rest in UNITS else ""
    return found


@dataclasses.dataclass
class Row:
    """One line of a catalogue: the item that it is, or what is wrong with it."""
    order: str  # empty: none
    item: dict = None  # as in a request
    wrong: list = dataclasses.field(default_factory=list)  # (column, text) of cells that cannot be read; ("", "") of a line with too few
    out_of_range: str = ""  # a reason


def quantity_text(cell, unit):
    """A1: with its own unit, or a number of the column's."""
    if unit and re.search(r"[a-wyzA-WYZ]", cell):
        raise ValueError(f"{cell!r} has a unit, in a column of {unit}")
    return f"{cell} {unit}" if unit else cell


def read_cell(what, cell, unit):
    """The value of a cell as a request has it; ValueError where it cannot be read."""
    if what == "weight":
        oracle.read_weight(quantity_text(cell, unit))
        return quantity_text(cell, unit)
    if what == "sides":
        oracle.read_sides(quantity_text(cell, unit))
        return quantity_text(cell, unit)
    if what in THREE:
        side = oracle.length(quantity_text(cell, unit))
        if not 0 < side <= 50 * 10 ** 9:
            raise ValueError(f"{cell!r} is not over 0 and at most 50 m")
        return side
    if what == "quantity":
        if not re.fullmatch(r"\d+", cell) or not 1 <= int(cell) <= MOST_UNITS:
            raise ValueError(f"{cell!r} is not a whole number from 1 to {MOST_UNITS}")
        return int(cell)
    if what == "value":
        oracle.money(cell)
        return cell
    if what == "contents":
        words = [word for word in re.split(r"[ ,;|\t]+", cell) if word]
        oracle.read_contents(words)
        return words
    if what == "shape":
        return oracle.read_shape(cell)
    return FLAGS[cell.lower()]


def read_row(fields, width, columns):
    """B5: an empty cell that may be left out is left out; a missing weight or side, and what cannot be read, is named."""
    place = columns["order"][0] if "order" in columns else None
    row = Row(fields[place].strip(" \t") if place is not None and place < len(fields) else "")
    if len(fields) != width:
        row.wrong.append(("", ""))
        return row
    item = {}
    for what, (place, unit) in columns.items():
        cell = fields[place].strip(" \t")
        if what == "order" or (not cell and what not in ("weight", "sides", *THREE)):
            continue
        try:
            item[what] = read_cell(what, cell, unit)
        except (ValueError, KeyError, ZeroDivisionError):
            row.wrong.append((what, cell))
    if row.wrong:
        return row
    if "length" in item:
        item["sides"] = " x ".join(f"{oracle.decimal(item.pop(side), 6)} mm" for side in THREE)
    row.item = item
    row.out_of_range = out_of_range([row])
    return row


def out_of_range(rows):
    """B5: the reason of rows that are each good, and all together are not; of one alone too."""
    items = [oracle.read_item(row.item) for row in rows]
    if sum(item.weight * item.quantity for item in items) > HEAVIEST:
        return "bad_weight"
    if sum(item.quantity for item in items) > MOST_UNITS:
        return "bad_quantity"
    if sum(item.value * item.quantity for item in items) > oracle.MOST:
        return "bad_value"
    return ""


# ---------------------------------------------------------------------------------------------------------------------
# Pricing

@dataclasses.dataclass
class Told:
    """What stands of an order, or of a row without one, on one lane. `None` where there is nothing."""
    total: int = None
    parcels: int = None
    service: str = None
    packaging: str = None
    second: int = None
    cautions: frozenset = frozenset()
    unsure: frozenset = frozenset()  # what the slow planner does not tell: which first parcel


class Pricer:
    """Prices one catalogue's orders on its lanes."""

    def __init__(self, tables, case, program):
        self.tables, self.case, self.program = tables, case, program
        if case.get("estimate"):
            self.tables = oracle.Tables()
            self.tables.__dict__.update(tables.__dict__, shelf=None, at_hand=[])
            self.program = None
        self.known, self.taken = {}, {}

    def request(self, items, lane):
        request = {**self.case["request"], "goods": items, "to": self.case["to"][lane]}
        request["consignment"] = {"others": 0}  # B5: each row is a consignment of one
        return request

    def check(self):
        """Raises where nothing of the catalogue can be asked."""
        for lane in range(len(self.case["to"])):
            ask = oracle.read_request(self.request([{"weight": "1 lb", "sides": "1 x 1 x 1 in", "value": "1"}], lane), self.tables)
            if "paid_for" in ask.promise:
                oracle.paid_service(self.tables, ask)
            if (self.case.get("parcels") or 1) > 1 and ask.cash_on_delivery > 0:
                raise oracle.RequestError("cash on delivery of several parcels")
        return ask.currency

    def packings(self, items, lane, ask):
        """B2; of no lane, where the slow pricer decides it."""
        key = json.dumps(items)
        if key not in self.known:
            try:
                self.known[key] = oracle.packings(self.tables, ask)[0]
            except packing.Undecided:
                self.known[key] = None
        if self.known[key] is not None:
            return self.known[key]
        if self.program is None:
            raise packing.Undecided("and no program to ask")
        request = self.request(items, lane)
        area = is_area(request["to"])
        if area:  # a ranking is of whole places
            request["to"] = {"country": request["to"]["country"]}
        told = self.program(request)
        if told is None:
            raise plans.Unknown(request)
        if "error" in told:
            raise RuntimeError(f"{told['error']}: {json.dumps(request)}")
        if area:
            offered = {offer["packaging"] for offer in told["offers"]}
            if any(line["packaging"] not in offered for line in told["refusals"] if line["carrier"]):
                raise packing.Undecided("what is offered to the area alone")
        self.taken[key] = any(line["carrier"] for line in told["offers"] + told["refusals"])  # by a packaging whose parcel is not told, too
        return plans.told_packings(self.tables, ask, told)

    def single(self, items, lane):
        """(whether anything takes the goods, Told) of one parcel."""
        ask = oracle.read_request(self.request(items, lane), self.tables)
        packed = self.packings(items, lane, ask)
        offers = []
        for one in packed:
            for carrier, service in oracle.services_on(self.tables, ask.date):
                offer, _ = oracle.judge(self.tables, ask, one, carrier, service)
                if offer is not None:
                    offers.append(offer)
        if not offers:
            return bool(packed) or self.taken.get(json.dumps(items), False), [Told()]
        offers.sort(key=oracle.order_of)
        best = offers[0]
        other = next((offer for offer in offers if (offer["carrier"], offer["service"]) != (best["carrier"], best["service"])), None)
        return True, [Told(best["total"], 1, f"{best['carrier']}/{best['service']}", best["packaging"], other and other["total"],
                           frozenset(best["cautions"]))]

    def planned(self, items, lane):
        """The same of an order that may go in several parcels: the best plan, or those of them that are as good."""
        request = self.request(items, lane)
        del request["consignment"]
        order = plans.Order(self.tables, {**request, "parcels": {"most": self.case["parcels"]}}, self.program)
        plans.prepare(order)
        if not order.solved:
            return True, [Told()]  # B5: of these it is said that they are offered nowhere
        cost, number, _ = order.solved[0]
        return True, [told for told in (plan_told(order, way, cost) for other, parts, way in order.solved if (other, parts) == (cost, number))]

    def several(self, key):
        """B5: whether goods may go in several parcels: those of an order, whose key is its text."""
        return isinstance(key, str) and (self.case.get("parcels") or 1) > 1

    def price(self, items, several):
        """[Told that may be, ...] by lane, or the reason why there is none."""
        lanes = [(self.planned if several else self.single)(items, lane) for lane in range(len(self.case["to"]))]
        if not any(fits for fits, _ in lanes):
            return "fits_nothing", None
        return "", [told for _, told in lanes]


def is_area(place):
    return place["country"] == "US" and 0 < len(oracle.read_code(place.get("postal_code", ""))) < 5


def plan_told(order, way, cost):
    """B9: of a way to part the goods the parcels' offers that make the lowest sum, those that come first by B3."""
    if len(way) == 1:
        chosen = [order.alone_offers(way[0])[0]]
    elif any(order.joined_services(part) for part in way):
        handicapped = order.tables.seller is not None and order.tables.seller["handicaps"]
        return Told(None if handicapped else cost[1], len(way), unsure=frozenset({"service", "packaging", "cautions"} | ({"total"} if handicapped else set())))
    else:
        chosen = first_choice(order, way, cost)
    return Told(sum(option.total for option in chosen), len(way), f"{chosen[0].carrier}/{chosen[0].service}", chosen[0].stock[1],
                cautions=frozenset().union(*(option.cautions for option in chosen)))


def first_choice(order, way, cost):
    """One option a parcel, with this sum, and no packaging beyond what is on hand; the first in the order of B3, parcel by parcel."""
    least = [min(option.cost[1] for option in order.options(part)) for part in way]

    def go(number, left, use):
        if number == len(way):
            return [] if left == 0 else None
        for option in order.options(way[number]):
            after = left - option.cost[1]
            if after < sum(least[number + 1:]):
                continue
            used = use + ((option.stock,) if option.stock in order.on_hand else ())
            if not plans.within_stock(used, order.on_hand):
                continue
            rest = go(number + 1, after, used)
            if rest is not None:
                return [option, *rest]
        return None
    return go(0, cost[1], ())


@dataclasses.dataclass
class Answer:
    """What is expected of one row."""
    reason: str = ""
    wrong: list = None  # of a reason in words
    lanes: list = None  # by lane, what may stand there
    goods: frozenset = frozenset()  # cautions of the goods


def cautions_of_goods(items, several):
    """B7: by the weight of all; where they may go in several parcels, of each unit by itself."""
    if not several:
        return oracle.cautions_of_goods(items)
    return set().union(*(oracle.cautions_of_goods([dataclasses.replace(item, quantity=1)]) for item in items))


def answers(pricer, rows):
    """B5: an Answer for each row, which of an order stands on its first."""
    groups = collections.OrderedDict()
    for number, row in enumerate(rows):
        groups.setdefault(row.order or number, []).append(number)
    found, unknown = [None] * len(rows), None
    for key, numbers in groups.items():
        members = [rows[number] for number in numbers]
        if any(row.wrong or row.out_of_range for row in members):
            for number, row in zip(numbers, members):
                found[number] = Answer(row.out_of_range or ("" if row.wrong else "order_not_priced"), row.wrong or None)
            continue
        reason = out_of_range(members)
        if reason:
            for number in numbers:
                found[number] = Answer(reason if number == numbers[0] else "order_not_priced")
            continue
        items = [row.item for row in members]
        goods = frozenset(cautions_of_goods([oracle.read_item(item) for item in items], pricer.several(key)))
        for number in numbers[1:]:
            found[number] = Answer("in_order")
        try:
            reason, lanes = pricer.price(items, pricer.several(key))
        except plans.Unknown as one:
            unknown = one
            continue
        except packing.Undecided:
            continue
        except ValueError as error:
            if "a cover of goods without a declared value" not in str(error):
                raise
            for number in numbers:  # B9: an error of that order
                found[number] = Answer("bad_value" if number == numbers[0] else "order_not_priced")
            continue
        if lanes is not None:
            nothing = [all(told.total is None and not told.unsure for told in lane) for lane in lanes]
            reason = "offered_nowhere" if all(nothing) else "not_everywhere" if any(nothing) else ""
        found[numbers[0]] = Answer(reason, None, lanes, goods)
    if unknown is not None:
        raise unknown
    return found


# ---------------------------------------------------------------------------------------------------------------------
# A mix of destinations

def mean_step(tables, day, currency, totals="with_tax"):
    """B5: the minor unit of a currency, or the step of ten below it that totals keep: a tariff's, less its tax where that is what counts, and
    the cost of a packaging in that currency."""
    step = oracle.minor_unit(currency)
    kept = [packaging.cost for packaging in tables.shelf or [] if packaging.currency == currency]
    for carrier in tables.carriers():
        tariff, in_force = tables.version(carrier, day)
        if in_force and tariff["currency"] == currency:
            kept.append(tariff["total"])
            if totals == "without_tax" and any(service["tax"] for service in tariff["services"]):
                kept.append(tariff["line"])
            kept += [tariff["packaging"][code].cost for issuer, code, _ in tables.at_hand if issuer == carrier and code in tariff["packaging"]]
    while step > 1 and any(amount % step for amount in kept):
        step //= 10
    return step


def mix_cells(pricer, case, lanes, step):
    """B5: (mean, worst, worst place, quantiles); None for what there is not."""
    levels = case.get("quantiles", [])
    totals = [lane[0].total for lane in lanes]
    shares = [Fraction(share) for share in case["shares"]]
    known = [total for total in totals if total is not None]
    worst = max(known, default=None)
    place = None if worst is None else case["to"][totals.index(worst)]
    if any(total is None and share for total, share in zip(totals, shares)):
        return [None, worst, place] + [None] * len(levels)
    whole = sum(shares)
    mean = oracle.rounded(sum(total * share for total, share in zip(totals, shares) if share) / whole, step, "half_up")
    return [mean, worst, place] + [quantile(totals, shares, Fraction(level) / 100) for level in levels]


def quantile(totals, shares, level):
    """The least total that at least that part of the shares does not pass."""
    for total in sorted(total for total, share in zip(totals, shares) if share):
        if sum(share for other, share in zip(totals, shares) if share and other <= total) >= level * sum(shares):
            return total
    return None


# ---------------------------------------------------------------------------------------------------------------------
# The comparison

def arguments(case, world, folder):
    """The options that say what a case asks."""
    request = case["request"]

    def number(value):  # read as a fraction where it was a JSON number
        return value if isinstance(value, str) else oracle.decimal(int(value * oracle.MILLION), 6)

    def place(value):
        return f"{value['country']} {value.get('postal_code', '')}".strip()

    found = ["--tables", str(world), "--date", request["date"], "--from", place(request["from"])]
    if "shares" in case:
        found += ["--mix", str(folder / case["mix"])]
        for level in case.get("quantiles", []):
            found += ["--quantile", level]
    else:
        for to in case["to"]:
            found += ["--to", place(to)]
        found += ["--residential"] * case["to"][0]["residential"]
    promise = request.get("promise", {})
    found += [text for key, option in (("within", "--within"), ("by", "--by"), ("paid_for", "--paid-for")) if key in promise
              for text in (option, str(promise[key]))]
    for code in request.get("extras", []):
        found += ["--extra", code]
    for key, option in (("cover", "--cover"), ("currency", "--currency"), ("padding", "--padding"), ("fill_weight", "--fill-weight"), ("time", "--time")):
        if key in request:
            found += [option, number(request[key])]
    for currency, rate in request.get("exchange", {}).items():
        found += ["--exchange", f"{currency}={number(rate)}"]
    if "allowance" in request:
        found += ["--allowance", f"{request['allowance']['least']}..{request['allowance']['most']}"]
    if "amounts" in request:
        found += ["--cash-on-delivery", number(request["amounts"]["cash_on_delivery"])]
    if "accepts" in request:
        found += ["--accepts", ",".join(request["accepts"])]
    if request.get("totals") == "without_tax":
        found += ["--without-tax"]
    week = request.get("week", {})
    for carrier, figures in [("", week), *week.get("carriers", {}).items()]:
        for key in ("parcels", "spend"):
            if key in figures:
                found += [f"--week-{key}", f"{carrier}={number(figures[key])}" if carrier else number(figures[key])]
    if case.get("estimate"):
        found += ["--estimate"]
    if case.get("parcels"):
        found += ["--parcels", str(case["parcels"])]
    return found


def ours(case, currency):
    """The names of the columns that are added."""
    low = currency.lower()
    if "shares" in case:
        return [f"expected_total_{low}", f"worst_total_{low}", "worst_place", *(f"total_{level}_percent_{low}" for level in case.get("quantiles", [])),
                "reason", "cautions"]
    names = []
    for to in case["to"]:
        behind = "" if len(case["to"]) == 1 else "_" + "_".join(text for text in (to["country"], oracle.read_code(to.get("postal_code", ""))) if text)
        names += [f"best_total_{low}{behind}", *([f"parcels{behind}"] if case.get("parcels") else []), f"best_service{behind}",
                  f"best_packaging{behind}", f"second_total_{low}{behind}"]
    return names + ["reason", "cautions"]


def amount(text):
    return plans.millionths(text) if text else None


def place_key(text):
    return text[:2] + oracle.read_code(text[2:]) if text else None


def words_of(column, cell):
    """What of a cell a reason may name: of contents one word that is no trait."""
    if column != "contents":
        return [f'"{cell}"']
    found = []
    for word in filter(None, re.split(r"[ ,;|\t]+", cell)):
        try:
            oracle.read_contents([word])
        except ValueError:
            found.append(f'"{word}"')
    return found


def differences(case, step, answer, cells, pricer):
    """[(kind, text)] of one row; `cells` are those behind its own."""
    wrong = []
    *values, reason, cautions = cells
    several = bool(case.get("parcels"))
    if answer.wrong is not None:
        # B5: the reason names the column and the text.
        if not any(reason.startswith(f"{column}: ") and any(word in reason for word in words_of(column, cell)) if column else reason
                   for column, cell in answer.wrong):
            wrong.append(("reason in words", f"reason: expected one of {answer.wrong}, got {reason!r}"))
    elif reason != answer.reason:
        wrong.append(("reason", f"reason: expected {answer.reason!r}, got {reason!r}"))
    if answer.lanes is None:
        if any(values):
            wrong.append(("too much", f"expected nothing, got {values}"))
        due = answer.goods
    elif "shares" in case:
        got = [amount(values[0]), amount(values[1]), place_key(values[2]), *map(amount, values[3:])]
        wanted = mix_cells(pricer, case, answer.lanes, step)
        wanted[2] = wanted[2] and wanted[2]["country"] + oracle.read_code(wanted[2].get("postal_code", ""))
        names = ["mean", "worst", "worst place"] + ["quantile"] * len(case.get("quantiles", []))
        if not any(told.unsure & {"total"} for lane in answer.lanes for told in lane):
            wrong += [(name, f"{name}: expected {a}, got {b}") for name, a, b in zip(names, wanted, got) if a != b]
        due = None
    else:
        each = len(values) // len(answer.lanes)
        for place, lane in enumerate(answer.lanes):
            told = values[place * each:(place + 1) * each]
            total, parcels = amount(told[0]), int(told[1]) if several and told[1] else None
            service, packaging, second = told[-3] or None, told[-2] or None, amount(told[-1])
            got = {"total": total, "service": service, "packaging": packaging, "second": second, **({"parcels": parcels} if several else {})}
            if not any(all(getattr(one, key) == value for key, value in got.items() if key not in one.unsure) for one in lane):
                wanted = [{key: getattr(one, key) for key in got} for one in lane]
                kinds = [key for key in got if all(key not in one.unsure and getattr(one, key) != got[key] for one in lane)] or ["together"]
                wrong += [(kind, f"{case['to'][place]}: expected {wanted}, got {got}") for kind in kinds[:1]]
        due = None
    if due is None:
        due = answer.goods
        may = [{one.cautions for one in lane} for lane in answer.lanes]
        if any("cautions" in one.unsure for lane in answer.lanes for one in lane):
            due = None
        elif all(len(sets) == 1 for sets in may):
            due = due.union(*(next(iter(sets)) for sets in may))
        else:
            due = None
    if due is not None and cautions != " ".join(oracle.in_order(due - {"carrier_decides"})):
        wrong.append(("cautions", f"cautions: expected {oracle.in_order(due)}, got {cautions!r}"))
    return wrong


def tally_of(case, answer, found):
    found[f"reason: {'in words' if answer.wrong else answer.reason or 'priced'}"] += 1
    if answer.lanes is None:
        return
    found["lanes priced"] += sum(lane[0].total is not None or bool(lane[0].unsure) for lane in answer.lanes)
    for lane in answer.lanes:
        if case.get("parcels") and (lane[0].parcels or 0) > 1:
            found["parted"] += 1
            found["parted, which parcel is first is not told"] += bool(lane[0].unsure)
        found["of equal plans any"] += len(lane) > 1


def check_case(world, tables, path, command, program, tally):
    """[(line, text, wrong)] of one catalogue."""
    case = oracle.read_json(path.read_text(encoding="utf-8"))
    text = (path.parent / case["catalogue"]).read_text(encoding="utf-8")
    pricer = Pricer(tables, case, program)
    done = subprocess.run(command + ["reprice", *arguments(case, world, path.parent), str(path.parent / case["catalogue"])],
                          capture_output=True, check=False, timeout=600)
    said = done.stderr.decode("utf-8", "replace")
    try:
        currency = pricer.check()
    except (oracle.RequestError, ValueError) as error:
        tally["error of the whole catalogue"] += 1
        return [] if done.returncode == 2 and not done.stdout else [(0, "", [("error", f"expected {error}, got exit {done.returncode}: {said[:300]}")])]
    if done.returncode not in (0, 1):
        return [(0, "", [("no answer", f"exit {done.returncode}: {said[:600]}")])]
    header, *lines = csv.reader(io.StringIO(text))
    got_header, *got_lines = csv.reader(io.StringIO(done.stdout.decode("utf-8")))
    if got_header != header + ours(case, currency):
        return [(0, "", [("header", f"expected {header + ours(case, currency)}, got {got_header}")])]
    if len(got_lines) != len(lines):
        return [(0, "", [("rows", f"expected {len(lines)} rows, got {len(got_lines)}")])]
    columns = columns_of(header, currency)
    rows = [read_row(line, len(header), columns) for line in lines]
    while True:
        try:
            expected = answers(pricer, rows)
            break
        except plans.Unknown:
            if not program.fetch():
                raise
    step, found, priced = mean_step(pricer.tables, case["request"]["date"], currency, case["request"].get("totals")), [], False
    for number, (line, got, answer) in enumerate(zip(lines, got_lines, expected)):
        tally["rows"] += 1
        if answer is None:
            tally["left undecided"] += 1
            priced = None
            continue
        priced = priced if priced is None else priced or answer.lanes is not None and answer.reason != "offered_nowhere"
        tally["orders of several rows"] += answer.reason != "in_order" and bool(rows[number].order) and sum(row.order == rows[number].order for row in rows) > 1 \
            and rows[number].order not in {row.order for row in rows[:number]}
        tally_of(case, answer, tally)
        wrong = differences(case, step, answer, got[len(header):], pricer)
        own = (line + [""] * len(header))[:len(header)]
        kept = got[:len(header)]
        if len(line) != len(header):  # mended, without the spaces around
            own, kept = ([cell.strip(" \t") for cell in cells] for cells in (own, kept))
        if kept != own:
            wrong.append(("row", f"expected {own}, got {got[:len(header)]}"))
        if wrong:
            found.append((number + 2, ",".join(line), wrong))
    if priced is not None and lines and done.returncode != (0 if priced else 1):
        found.append((0, "", [("exit", f"exit {done.returncode}, and {'some rows' if priced else 'none'} were to be priced")]))
    return found


def check_world(job):
    """(catalogues, tally, [(path, line, text, wrong)]) of one world."""
    world, command = job
    packing.MOST_STEPS = plans.FEW_STEPS
    world = pathlib.Path(world)
    tables = oracle.Tables.load(world)
    program = plans.Program(command, world, tables)
    tally, found = collections.Counter(), []
    paths = sorted(world.glob("catalogues/case-*.json"))
    for path in paths:
        found += [(str(path), *one) for one in check_case(world, tables, path, command, program, tally)]
    tally["rankings asked of the program"] += len(program.known)
    tally["arrangements not judged"] += program.undecided
    found += [(str(world), 0, "", [("arrangement", fault)]) for fault in program.faults]
    return len(paths), tally, found


def main():
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("folder", type=pathlib.Path)
    parser.add_argument("--command", required=True, help="the program, with leading arguments if need be")
    parser.add_argument("--first", type=int, default=10, help="rows whose differences are printed")
    parser.add_argument("--jobs", type=int, default=1)
    parser.add_argument("--tally", action="store_true", help="print what came up how often")
    args = parser.parse_args()
    worlds = sorted({path.parent.parent for path in args.folder.glob("**/catalogues/case-*.json")})
    if not worlds:
        print(f"no catalogues in {args.folder}", file=sys.stderr)
        return 2
    catalogues = 0
    told, tally = compare.Told(args.first), collections.Counter()
    with multiprocessing.Pool(args.jobs) as pool:
        for count, what, found in pool.imap(check_world, [(str(world), shlex.split(args.command)) for world in worlds]):
            catalogues += count
            tally.update(what)
            for path, line, text, wrong in found:
                told.add(f"{path}, line {line}", text, wrong)
    if args.tally:
        for what in sorted(tally):
            print(f"{tally[what]:8d}  {what}")
    print(f"{len(worlds)} worlds, {catalogues} catalogues, {tally['rows']} rows, {tally['orders of several rows']} orders of several rows, "
          f"{tally['parted']} answers in several parcels, {tally['left undecided']} left undecided; {told.differing} differ")
    return told.end()


if __name__ == "__main__":
    sys.exit(main())
