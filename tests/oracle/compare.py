#!/usr/bin/env python3
"""Compares a program's rankings with the slow pricer's, over the worlds that random_world.py wrote.

    compare.py FOLDER --command PATH [--first 20] [--every-reason]
    compare.py TABLES --requests FILE --command PATH      any tables and requests, the slow pricer answering on the way

FOLDER is one world or holds several. For each, the program is run as `PATH rank --tables WORLD --json --each`, reads one
request a line and writes one ranking a line, or {"error": ...}. Compared: the order of the offers; of each, zone,
days, dates, where it ends, tracked, parcel, to what height its carton is cut, billable weight and its origin, charges (code, amount, the weight billed as), tax,
packaging cost, total, handicaps and cautions; the ranking's cautions; of the refusals, the codes of each (with --every-reason also how often). Where several
units are packed, each arrangement is checked unit by unit (packing.py), and that each packaging of an offer that has one tells it.
Requests that the slow pricer leaves undecided are counted and passed over. Prints the first differences; exits 1 if there is any.
"""

import argparse
import collections
import json
import pathlib
import shlex
import subprocess
import sys
from fractions import Fraction

sys.path.insert(0, str(pathlib.Path(__file__).parent))
import oracle  # noqa: E402
import packing  # noqa: E402


def amount(text):
    return None if text is None else Fraction(str(text))


def key(line):
    return (line.get("carrier", ""), line.get("service", ""), line.get("packaging") or "own")


def name(k):
    return "/".join(part or "-" for part in k)


def parcel(offer):
    p = offer.get("parcel", {})
    return oracle.weight(p["weight"]), sorted(oracle.lengths(p["sides"], 3))


def billable(offer):
    b = offer.get("billable_weight", {})
    return oracle.weight(b["weight"]), b["from"]


def charges(offer):
    return [(c["code"], amount(c["amount"]), billed_as(c)) for c in offer["charges"]]


def billed_as(charge):
    """The weight of another row whose rate was charged; what else a table may go by is only told or not."""
    text = charge.get("billed_as")
    try:
        return None if text is None else oracle.weight(text)
    except ValueError:
        return "told"


def tax(offer):
    t = offer.get("tax")
    return None if t is None else (t["code"], amount(t["percent"]), amount(t["amount"]), amount(t["net"]), amount(t["with_tax"]))


def handicaps(offer):
    return amount(offer.get("handicap", 0)), [(h["code"], amount(h["amount"])) for h in offer.get("handicaps", [])]


def ends(offer):
    """B2: the totals at both ends of an estimate's allowance, lowest first; of the slow pricer's offer, made of the two."""
    if "total_range" in offer:
        return amount(offer["total_range"]["lowest"]), amount(offer["total_range"]["highest"])
    if "total_at_least_allowance" not in offer:
        return None
    least = offer["total_at_least_allowance"] or offer["total"]
    return tuple(sorted((amount(offer["total"]), amount(least))))


FIELDS = {
    "zone": lambda o: o.get("zone"),
    "days": lambda o: o.get("days"),
    "arrives": lambda o: o.get("arrives"),
    "overdue": lambda o: [(late["series"], late["since"]) for late in o.get("overdue", [])],
    "delivers": lambda o: o.get("delivers", "door"),
    "tracked": lambda o: o.get("tracked"),
    "parcel": parcel,
    "cut_to": lambda o: oracle.length(o["cut_to"]) if "cut_to" in o else None,
    "billable_weight": billable,
    "charges": charges,
    "tax": tax,
    "packaging_cost": lambda o: amount(o.get("packaging_cost")),
    "total": lambda o: amount(o.get("total")),
    "total_range": ends,
    "handicaps": handicaps,
    "cautions": lambda o: o.get("cautions", []),
}
SHOWN = {"charges": lambda o: ", ".join(
    f"{c['code']} {c['amount']}" + (f" (billed as {c['billed_as']})" if "billed_as" in c else "") for c in o["charges"])}


def field_of(read, offer):
    try:
        return read(offer)
    except (KeyError, ValueError, TypeError) as error:
        return f"unreadable: {type(error).__name__}: {error}"


def refusals_of(ranking, every_reason):
    found = collections.defaultdict(list)
    for refusal in ranking["refusals"]:
        for reason in refusal["reasons"]:
            codes = found[key(refusal)]
            if every_reason or reason["code"] not in codes:
                codes.append(reason["code"])
    return found


def cautious_order(ranking, expected=None):
    """Whether offers stand by the total at risk, those that may be refused last, and equals by their total, each with its
    handicap, then as in the list expected; what is at risk is checked elsewhere."""
    places = {key(offer): place for place, offer in enumerate(expected["offers"])} if expected else {}

    def order(offer):
        may_be_refused = offer["at_risk"] and "total_at_risk" not in offer
        handicap = Fraction(offer.get("handicap", 0))
        due = 0 if may_be_refused else Fraction(offer.get("total_at_risk", offer["total"])) + handicap
        return may_be_refused, due, Fraction(offer["total"]) + handicap, places.get(key(offer), 0)

    orders = [order(offer) for offer in ranking["offers"]]
    return orders == sorted(orders)


def differences(expected, got, every_reason, cautious=False):
    """Pairs (kind, text), empty where the two rankings are equal."""
    if "error" in expected or "error" in got:
        if "error" in expected and "error" in got:
            return []
        return [("error", f"expected {expected.get('error', 'a ranking')!r}, got {got.get('error', 'a ranking')!r}")]
    found = []
    for word in ("estimate", "currency", "totals"):
        if expected.get(word) != got.get(word):
            found.append((word, f"{word}: expected {expected.get(word)}, got {got.get(word)}"))
    a, b = [[caution.get("code") for caution in ranking.get("cautions", [])] for ranking in (expected, got)]
    if a != b:
        found.append(("cautions", f"cautions: expected {a}, got {b}"))
    theirs = {key(offer): offer for offer in got["offers"]}
    ours = {key(offer): offer for offer in expected["offers"]}
    their_refusals, our_refusals = refusals_of(got, every_reason), refusals_of(expected, every_reason)
    for k in list(ours) + [k for k in theirs if k not in ours]:
        if k not in theirs:
            found.append(("offer missing", f"{name(k)}: expected {ours[k]['total']}, got refused {their_refusals.get(k)}"))
        elif k not in ours:
            found.append(("offer too many", f"{name(k)}: expected refused {our_refusals.get(k)}, got {theirs[k].get('total')}"))
        else:
            for field, read in FIELDS.items():
                a, b = field_of(read, ours[k]), field_of(read, theirs[k])
                if a != b:
                    show = SHOWN.get(field, lambda o, field=field: o.get(field))
                    found.append((field, f"{name(k)} {field}: expected {show(ours[k])}, got {show(theirs[k])}"))
    for k in list(our_refusals) + [k for k in their_refusals if k not in our_refusals]:
        a, b = our_refusals.get(k), their_refusals.get(k)
        if not k[0]:  # of a packaging alone the order of the reasons says nothing
            a, b = a and sorted(a), b and sorted(b)
        if a != b and k not in theirs and k not in ours:
            found.append(("reasons", f"{name(k)} reasons: expected {a}, got {b}"))
    if cautious:
        if not cautious_order(got, expected):
            found.append(("order", "the offers are not in the order of their total at risk"))
    elif not found:
        a, b = [key(offer) for offer in expected["offers"]], [key(offer) for offer in got["offers"]]
        if a != b:
            place = next((i for i, (x, y) in enumerate(zip(a, b)) if x != y), min(len(a), len(b)))
            found.append(("order", f"place {place + 1}: expected {name(a[place])}, got {name(b[place])}" if place < min(len(a), len(b))
                          else f"expected {len(a)} offers, got {len(b)}"))
    return found


def arrangements(tables, request, got):
    """B8: lines on what is wrong with the arrangements that a ranking gives, each checked from its places alone."""
    told = got.get("arrangements", [])
    if "error" in got or not request.get("goods"):
        return ["arrangements without goods"] if told else []
    ask = oracle.read_request(request, tables)
    units = oracle.units_of(ask.items)
    if len(units) < 2 or tables.shelf is None:
        return ["arrangements where nothing is packed, or one unit"] if told else []
    at_hand = {(p.carrier, p.code): p for p in oracle.packagings_at_hand(tables, ask)[0] if p.kind != "bare"}
    offered = [key for key in dict.fromkeys(map(arranged_in, got["offers"]))
               if key[:2] in at_hand and not oracle.is_pillow(at_hand[key[:2]], ask.items)]
    found, seen = [], set()
    for arrangement in told:
        key = arranged_in(arrangement)
        if key in seen or key[:2] not in at_hand:
            found.append(f"arrangement in {name(key[:2])}: told twice, or no packaging at hand that has one")
            continue
        seen.add(key)
        found += [f"arrangement in {name(key[:2])}: {wrong}" for wrong in faults_of(arrangement, ask, units, at_hand[key[:2]])]
    return found + [f"no arrangement in {name(key[:2])}, which is offered" for key in offered if key not in seen]


def arranged_in(told):
    """Which packaging of an offer or an arrangement: the carrier, the code, and the height to which it is cut."""
    return told.get("issued_by", ""), told["packaging"], oracle.length(told["cut_to"]) if "cut_to" in told else None


def faults_of(arrangement, ask, units, packaging):
    """Of one arrangement, in a carton that may be cut down, or in the box of a mailer, an envelope or a tube."""
    padding, fragile_padding = ask.padding, oracle.FRAGILE_PADDING
    if packaging.kind == "carton":
        inside, what = list(packaging.inside), "the inside of the carton"
        if "cut_to" in arrangement:
            inside[2] -= packaging.outside[2] - oracle.length(arrangement["cut_to"])
    elif oracle.is_pillow(packaging, ask.items):
        return ["of a pillow"]
    else:
        inside, what, padding, fragile_padding = oracle.box_in(packaging, ask.items), "the box that counts", 0, 0
        if inside is None:
            return ["the goods do not go in"]
        inside = list(inside)
        if "cut_to" in arrangement:
            return ["cut down"]
    if oracle.lengths(arrangement["sides"], 3) != inside:
        return [f"{arrangement['sides']} is not {what}, {oracle.show_sides(inside)}"]
    if not arrangement.get("steps"):
        return ["no steps"]
    first, numbers = 0, {}
    for i, item in enumerate(ask.items):
        numbers.update({(i, k): first + k for k in range(item.quantity)})
        first += item.quantity
    placed = [None] * len(units)
    for unit in arrangement["units"]:
        number = numbers.pop((unit["item"], unit["unit"]), None)
        if number is None:
            return [f"unit {unit['unit']} of item {unit['item']} is no unit, or stands there twice"]
        placed[number] = (oracle.lengths(unit["at"], 3), oracle.lengths(unit["sides"], 3))
    if numbers:
        return [f"lacks the units {sorted(numbers)}"]
    return packing.faults(units, inside, padding, fragile_padding, placed)


def arrangements_or_why_not(tables, request, got):
    try:
        return arrangements(tables, request, got)
    except (KeyError, ValueError, TypeError) as error:
        return [f"unreadable arrangement: {type(error).__name__}: {error}"]


def answer(tables, line):
    """The slow pricer's ranking, or None where it does not decide."""
    try:
        return oracle.rank_line(tables, line)
    except packing.Undecided:
        return None


def run(command, world, lines=None):
    """The rankings of a world, of its own requests unless others are given; what the program said on stderr; its exit code."""
    text = (world / "requests.jsonl").read_bytes() if lines is None else "".join(line + "\n" for line in lines).encode("utf-8")
    done = subprocess.run(command + ["rank", "--tables", str(world), "--json", "--each"], input=text, capture_output=True, check=False)
    rankings = []
    for line in done.stdout.decode("utf-8").splitlines():
        try:
            rankings.append(json.loads(line))
        except ValueError:
            rankings.append({"error": "not JSON: " + line[:200]})
    return rankings, done.stderr.decode("utf-8", "replace"), done.returncode


class Told:
    """Cases that differ: the first of them with what was found, and how often each kind of it."""

    def __init__(self, first, lines=8):
        self.first, self.lines, self.differing, self.kinds = first, lines, 0, collections.Counter()

    def add(self, where, asked, found):
        self.differing += 1
        self.kinds.update(kind for kind, _ in found)
        if self.first > 0:
            self.first -= 1
            print(f"{where}: {asked}")
            for _, text in found[: self.lines]:
                print(f"    {text}")
            if len(found) > self.lines:
                print(f"    and {len(found) - self.lines} more")

    def end(self):
        for kind, times in self.kinds.most_common():
            print(f"{times:8d}  {kind}")
        return 1 if self.differing else 0


def main():
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("folder", type=pathlib.Path)
    parser.add_argument("--command", required=True, help="the program, with leading arguments if need be")
    parser.add_argument("--first", type=int, default=20, help="requests whose differences are printed")
    parser.add_argument("--every-reason", action="store_true", help="compare how often a code stands in a refusal too")
    parser.add_argument("--requests", type=pathlib.Path, help="requests, one a line, for the tables in the folder")
    args = parser.parse_args()
    if args.requests:
        worlds = [args.folder]
    elif (args.folder / "requests.jsonl").exists():
        worlds = [args.folder]
    else:
        worlds = sorted(path.parent for path in args.folder.glob("*/requests.jsonl"))
    if not worlds:
        print(f"no worlds in {args.folder}", file=sys.stderr)
        return 2
    requests = compared = undecided = arranged = 0
    told = Told(args.first)
    for world in worlds:
        asked = (args.requests or world / "requests.jsonl").read_text(encoding="utf-8").splitlines()
        tables = oracle.Tables.load(world)
        if args.requests:
            wanted = [answer(tables, line) for line in asked]
        else:
            wanted = [json.loads(line) for line in (world / "expected.jsonl").read_text(encoding="utf-8").splitlines()]
        rankings, said, code = run(shlex.split(args.command), world, asked)
        requests += len(asked)
        if len(rankings) != len(asked):
            told.differing += 1
            told.kinds["no answer"] += 1
            print(f"{world}: {len(rankings)} answers to {len(asked)} requests, exit {code}: {said[:1500]}")
            continue
        for number, (request, expected, got) in enumerate(zip(asked, wanted, rankings), 1):
            if expected is None:
                undecided += 1
                continue
            compared += len(expected.get("offers", [])) + len(expected.get("refusals", []))
            found = differences(expected, got, args.every_reason, '"cautious"' in request)
            arranged += len(got.get("arrangements", []))
            if "error" not in expected and "error" not in got:
                found += [("arrangement", text) for text in arrangements_or_why_not(tables, oracle.read_json(request), got)]
            if not found:
                continue
            told.add(f"{args.requests or world / 'requests.jsonl'}:{number}", request, found)
    print(f"{len(worlds)} worlds, {requests} requests, {compared} offers and refusals compared, {arranged} arrangements checked"
          f"{f', {undecided} left undecided' if undecided else ''}; {told.differing} requests differ")
    return told.end()


if __name__ == "__main__":
    sys.exit(main())
