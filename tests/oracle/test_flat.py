#!/usr/bin/env python3
"""Proves the slow pricer on how several goods lie in a mailer, an envelope or a tube, and on soft goods (B2). Worked out on paper, the
reasons beside the figures; the data is invented."""

import pathlib
import random
import sys
import unittest

sys.path.insert(0, str(pathlib.Path(__file__).parent))
import compare  # noqa: E402
import flat  # noqa: E402
import oracle  # noqa: E402
import packing  # noqa: E402
import thresholds  # noqa: E402
from small_tables import HERE, THERE, one, service, tables_of, tariff, thing  # noqa: E402
from test_packing import on_grid  # noqa: E402

PRESSED = {"presses_to": "50", "least_thickness": "1 cm"}


def packaging(kind, inside, **more):
    return oracle.read_packaging({"code": "p", "kind": kind, "inside": inside, "tare": "1 oz", "cost": 0, **more}, "USD")


def sides(text):
    return sorted(oracle.lengths(text, 3))


def parcel(kind, inside, *items, **more):
    """The parcel's sides, rising, or None."""
    found = oracle.fit(packaging(kind, inside, **more), items, None)
    return None if found is None else sorted(found)


def box(kind, inside, *items, **more):
    """l x w x t in whole nanometres, or None."""
    found = oracle.box_in(packaging(kind, inside, **more), items)
    return None if found is None else list(found)


class Boxes(unittest.TestCase):
    def test_two_books(self):
        # On each other 9 x 6 x 2: flat width 6 + 2, length 9 + 2. Side by side 12 x 9 x 1, along their short edges 18 x 6 x 1.
        books = thing("9 x 6 x 1 in", quantity=2)
        for inside, lies in (("8 x 11 in", "9 x 6 x 2 in"), ("10 x 13 in", "12 x 9 x 1 in"), ("9.999999 x 13 in", "9 x 6 x 2 in"),
                             ("10 x 12.999999 in", "9 x 6 x 2 in"), ("13 x 10 in", "9 x 12 x 1 in"), ("7 x 19 in", "18 x 6 x 1 in"),
                             ("19 x 7 in", "6 x 18 x 1 in"), ("13 x 13 in", "9 x 12 x 1 in"), ("19 x 19 in", "6 x 18 x 1 in"),
                             ("11 x 8 in", "6 x 9 x 2 in")):
            self.assertEqual(box("mailer", inside, books), oracle.lengths(lies, 3), inside)
        for inside in ("7.999999 x 11 in", "8 x 10.999999 in", "6.999999 x 19 in"):
            self.assertIsNone(box("mailer", inside, books), inside)
        # Two walls on each side.
        self.assertEqual(parcel("mailer", "10 x 13 in", books, wall="0.1 in"), sides("12.2 x 9.2 x 1.2 in"))
        # The box need not be thinnest along t: 2 x 2 x 8 in, two on end side by side, where nothing else goes in.
        self.assertEqual(box("mailer", "10 x 4 in", thing("2 x 1 x 8 in", quantity=2)), oracle.lengths("2 x 8 x 2 in", 3))

    def test_a_thicker_box_may_lack_room(self):
        # 9 x 6 x 1 and a cube of 2: flat 2 thick, 9 x 8 (beside) or 11 x 6: at thickness 2, not between.
        goods = thing("9 x 6 x 1 in"), thing("2 x 2 x 2 in")
        self.assertEqual(box("mailer", "10 x 11 in", *goods), oracle.lengths("9 x 8 x 2 in", 3))
        self.assertEqual(box("mailer", "8 x 13 in", *goods), oracle.lengths("11 x 6 x 2 in", 3))
        # On each other 3: that takes 6 + 3 across and 9 + 3 along. 8 + 2 across is then too much.
        self.assertEqual(box("mailer", "9 x 12 in", *goods), oracle.lengths("9 x 6 x 3 in", 3))
        # With 7.5 across, 3 + 6 is too much where 2 + 6 is too, so nothing goes in, though 7.5 alone would.
        self.assertIsNone(box("mailer", "7.5 x 12.9 in", *goods))

    def test_three_in_an_envelope(self):
        # Two of 5 x 4 beside each other are 8 x 5, the third lies across below them: 8 x 9 in all.
        cards = thing("5 x 4 x 0.25 in", quantity=3)
        self.assertEqual(box("envelope", "8 x 9 x 0.5 in", cards), oracle.lengths("9 x 8 x 0.25 in", 3))
        self.assertEqual(box("envelope", "9 x 9 x 0.5 in", cards), oracle.lengths("8 x 9 x 0.25 in", 3))
        self.assertEqual(parcel("envelope", "8 x 9 x 0.5 in", cards, wall="0.1 in"), sides("8.2 x 9.2 x 0.45 in"))
        self.assertEqual(parcel("envelope", "8 x 9 in", cards, thickness="0.5 in", outside="8.5 x 9.75 in"), sides("8.5 x 9.75 x 0.25 in"))
        # A little shorter: two on each other, one beside them: 5 x 8.
        self.assertEqual(box("envelope", "8 x 8.999999 x 0.5 in", cards), oracle.lengths("5 x 8 x 0.5 in", 3))
        self.assertIsNone(box("envelope", "8 x 8.999999 x 0.499999 in", cards))
        self.assertEqual(box("envelope", "4 x 5 x 0.75 in", cards), oracle.lengths("5 x 4 x 0.75 in", 3))
        self.assertIsNone(box("envelope", "4 x 5 x 0.749999 in", cards))

    def test_two_in_a_tube(self):
        # 24 x 2 x 2 twice: 4² + 2² = 20 = 4.47²; end to end 48 and 2² + 2² = 8.
        rolls = thing("24 x 2 x 2 in", quantity=2)
        self.assertEqual(box("tube", "4.5 x 24 in", rolls), oracle.lengths("24 x 4 x 2 in", 3))
        self.assertIsNone(box("tube", "4.4 x 24 in", rolls))
        self.assertIsNone(box("tube", "4.5 x 23.999999 in", rolls))
        self.assertEqual(box("tube", "2.9 x 48 in", rolls), oracle.lengths("48 x 2 x 2 in", 3))
        self.assertIsNone(box("tube", "2.8 x 48 in", rolls))
        self.assertEqual(parcel("tube", "4.5 x 24 in", rolls, wall="0.1 in"), sides("24.2 x 4.7 x 4.7 in"))
        # 3² + 4² = 5²: on the bound, and a nanometre over it.
        self.assertEqual(box("tube", "5 x 10 in", thing("10 x 3 x 2 in", quantity=2)), oracle.lengths("10 x 4 x 3 in", 3))
        self.assertIsNone(box("tube", "4.9999999 x 10 in", thing("10 x 3 x 2 in", quantity=2)))

    def test_nothing_is_kept_free(self):
        glass = thing("9 x 6 x 1 in", quantity=2, contents=["fragile"])
        self.assertEqual(oracle.fit(packaging("mailer", "8 x 11 in"), [glass], oracle.length("1 in")), oracle.lengths("9 x 6 x 2 in", 3))

    def test_how_they_may_lie(self):
        book = thing("9 x 6 x 1 in")
        for words in ({"this_side_up": True}, {"may_stand": [1, 3]}, {"top_free": True}, {"bears": "9 kg"}):
            self.assertIsNone(box("mailer", "20 x 20 in", book, thing("9 x 6 x 1 in", **words)), words)
        self.assertIsNotNone(box("mailer", "20 x 20 in", book, thing("9 x 6 x 1 in", may_stand=[1, 2, 3], top_free=False)))
        self.assertIsNotNone(box("mailer", "20 x 20 in", thing("9 x 6 x 1 in", top_free=True, bears="1 kg")))  # one alone

    def test_range(self):
        # Several: at their most wherever they are; one: as it is there.
        asked = {"goods": [{"weight": "1 lb", "sides": "9 x 6 x 0.5..1 in", "quantity": 2}], "from": HERE, "to": THERE, "date": "2026-08-03"}
        tables, mailer = tables_of(tariff([service(prices=[{"amount": 5}])])), packaging("mailer", "8 x 11 in")
        ask = oracle.read_request(asked, tables)
        half = oracle.length("0.75 in")
        for here in (ask, thresholds.at_low_end(ask), thresholds.with_size(ask, 0, 2, half)):
            self.assertEqual(sorted(oracle.fit(mailer, here.items, None)), sides("9 x 6 x 2 in"))
        asked["goods"][0]["quantity"] = 1
        ask = oracle.read_request(asked, tables)
        self.assertEqual(sorted(oracle.fit(mailer, thresholds.with_size(ask, 0, 2, half).items, None)), sides("9 x 6 x 0.75 in"))

    def test_on_a_grid(self):
        """Whole sides: every box that goes in is tried, the least t first, and every place in it."""
        rng, met = random.Random(20260805), {}
        while min([met.get((kind, some), 0) for kind in ("mailer", "envelope", "tube") for some in (True, False)]) < 25:
            kind = rng.choice(("mailer", "envelope", "tube"))
            inside, thickness = (rng.randint(2, 5), rng.randint(2, 6)), rng.randint(1, 3)
            units = []
            for _ in range(rng.choice((1, 2, 2, 3, 3))):
                units.append(units[-1] if units and rng.random() < 0.3 else packing.Unit(tuple(rng.randint(1, 3) for _ in range(3))))
            units = tuple(units)
            found = flat.least_box(kind, inside, thickness, units)
            self.assertEqual(found, first_box(kind, inside, thickness, units), (kind, inside, thickness, units))
            met[kind, found is not None] = met.get((kind, found is not None), 0) + 1


def goes_in(kind, inside, thickness, l, w, t):
    """The table of B2, word by word."""
    if kind == "mailer":
        return inside[0] >= w + t and inside[1] >= l + t
    if kind == "envelope":
        return inside[0] >= w and inside[1] >= l and thickness >= t
    return inside[1] >= l and inside[0] ** 2 >= w ** 2 + t ** 2


def first_box(kind, inside, thickness, units):
    for t in range(1, max(inside) + 1):
        for l in range(1, max(inside) + 1):
            for w in range(1, max(inside) + 1):
                volume = sum(unit.sides[0] * unit.sides[1] * unit.sides[2] for unit in units)
                if goes_in(kind, inside, thickness, l, w, t) and volume <= l * w * t and on_grid(units, (l, w, t), 0, []):
                    return l, w, t
    return None


class Soft(unittest.TestCase):
    # 22.6 x 20 x 6 cm are 2,712 cm3, pressed 1,356; two of them 2,712. A mailer of 23.55 x 33.55 cm that is 4.52 cm thick has rounds
    # of 4.52 x 355 / 452 = 3.55 cm: 4.52 x 20 x 30 = 2,712. Less 129 / 226 of 4.52, 2.58, it is 20.97 x 30.97 across.
    MAILER = "23.55 x 33.55 cm"
    SHIRT = "22.6 x 20 x 6 cm"

    def test_pillow(self):
        two = thing(self.SHIRT, soft=PRESSED, quantity=2)
        self.assertEqual(parcel("mailer", self.MAILER, two), sides("20.97 x 30.97 x 4.52 cm"))
        self.assertEqual(parcel("mailer", self.MAILER, two, wall="1 mm"), sides("21.17 x 31.17 x 4.72 cm"))
        # One nanometre more of one: 226 cm2 x 1 nm more, and a bag that is 1 nm thicker holds 422 cm2 x 1 nm more.
        more = parcel("mailer", self.MAILER, thing(self.SHIRT, soft=PRESSED), thing("22.6 x 20 x 6.0000001 cm", soft=PRESSED))
        self.assertEqual(more, [45200001, 209700000, 309700000])  # 129 / 226 of a nanometre less across, rounded up

    def test_least_thickness(self):
        # Never thinner than the thickest of them: 4.52 cm though one alone is but half of it.
        thick = thing(self.SHIRT, soft={"presses_to": "50 %", "least_thickness": "4.52 cm"})
        self.assertIsNone(parcel("mailer", self.MAILER, thick))  # 20 + 4.52 is more than 23.55
        self.assertEqual(parcel("mailer", self.MAILER, thing("22.6 x 19.03 x 6 cm", soft={"presses_to": 1, "least_thickness": "4.52 cm"})),
                         sides("20.97 x 30.97 x 4.52 cm"))
        # One way round: 22.6 + 1 is more than 23.55, so it lies along the length alone, where 23.6 is just enough.
        one_of = thing(self.SHIRT, soft=PRESSED)
        self.assertIsNotNone(parcel("mailer", "21 x 23.6 cm", one_of))
        self.assertIsNotNone(parcel("mailer", "23.6 x 21 cm", one_of))
        self.assertIsNone(parcel("mailer", "21 x 23.5999999 cm", one_of))
        self.assertIsNone(parcel("mailer", "20.9999999 x 23.6 cm", one_of))
        self.assertIsNone(parcel("mailer", "20.9999999 x 23.6 cm", thing("9 x 9 x 1 cm", soft=PRESSED), one_of))

    def test_most_thickness(self):
        # Square, it holds most at 4.52 where its side is 3 x 3.55: 4.52 x 7.1 x 7.1.
        full = {"presses_to": "100", "least_thickness": "1 mm"}
        self.assertEqual(parcel("mailer", "10.65 x 10.65 cm", thing("7.1 x 7.1 x 4.52 cm", soft=full)), sides("4.52 x 8.07 x 8.07 cm"))
        self.assertIsNone(parcel("mailer", "10.65 x 10.65 cm", thing("7.1 x 7.1 x 4.5200001 cm", soft=full)))
        # As thick as that for its least thickness, and no thicker.
        self.assertEqual(parcel("mailer", "10.65 x 10.65 cm", thing("6 x 6 x 5 cm", soft={"presses_to": "1", "least_thickness": "4.52 cm"})),
                         sides("4.52 x 8.07 x 8.07 cm"))
        self.assertIsNone(parcel("mailer", "10.65 x 10.65 cm", thing("6 x 6 x 5 cm", soft={"presses_to": "1", "least_thickness": "4.5200001 cm"})))
        # Not as a box either, though a cube of 3 goes into 7 x 7 as one: that is thickest at 2.97.
        cube = "3 x 3 x 3 cm"
        self.assertIsNone(parcel("mailer", "7 x 7 cm", thing(cube, soft={**full, "least_thickness": "3 cm"})))
        self.assertIsNotNone(parcel("mailer", "7 x 7 cm", thing(cube, soft={**full, "least_thickness": "2.97 cm"})))
        self.assertIsNotNone(parcel("mailer", "7 x 7 cm", thing(cube)))

    def test_thickness_by_trying(self):
        """Every thickness of small mailers, of goods of a few nanometres."""
        rng, met = random.Random(20260806), {True: 0, False: 0}
        while min(met.values()) < 60:
            width, long = rng.randint(4, 40), rng.randint(4, 40)
            goods = []
            for _ in range(rng.choice((1, 1, 2, 3))):
                at_rest = [rng.randint(1, 16) for _ in range(3)]
                goods.append((at_rest, flat.Soft(rng.randint(1, 10 ** 6), rng.randint(1, min(at_rest)))))
            found = flat.pillow(width, long, goods)
            self.assertEqual(found, first_pillow(width, long, goods), (width, long, goods))
            met[found is not None] += 1

    def test_counts_as_a_box(self):
        # 6 x 50 % = 3 cm: in a carton, beside a rigid one in a mailer, and in the others.
        shirt, book = thing(self.SHIRT, soft=PRESSED), thing("22.6 x 20 x 1 cm")
        self.assertIsNotNone(parcel("carton", "22.6 x 20 x 3 cm", shirt))
        self.assertIsNotNone(parcel("carton", "3 x 22.6 x 20 cm", shirt))
        self.assertIsNone(parcel("carton", "22.6 x 20 x 2.9999999 cm", shirt))
        self.assertEqual(box("mailer", "24 x 26.6 cm", shirt, book), oracle.lengths("22.6 x 20 x 4 cm", 3))
        self.assertEqual(parcel("mailer", "24 x 26.6 cm", shirt, book), sides("22.6 x 20 x 4 cm"))
        self.assertIsNone(parcel("mailer", "24 x 26.5999999 cm", shirt, book))
        self.assertEqual(parcel("envelope", "20 x 23 x 3 cm", shirt), sides("20 x 23 x 3 cm"))
        self.assertIsNone(parcel("envelope", "20 x 23 x 2.9999999 cm", shirt))
        self.assertEqual(parcel("tube", "21 x 23 cm", shirt), sides("23 x 21 x 21 cm"))  # 20² + 3² = 409 <= 441
        self.assertIsNone(parcel("tube", "20.2 x 23 cm", shirt))  # 408.04
        # No thinner than it may be, a part of a nanometre is a whole one, and which side is written where is nothing.
        self.assertEqual(flat.pressed_sides([7, 5, 9], flat.Soft(500000, 1)), [7, 3, 9])
        self.assertEqual(flat.pressed_sides([7, 5, 9], flat.Soft(500000, 4)), [7, 4, 9])
        self.assertEqual(flat.pressed_sides([5, 5, 9], flat.Soft(400000, 1)), [2, 5, 9])
        self.assertEqual(flat.pressed_sides([9, 7, 5], flat.Soft(400001, 1)), [9, 7, 3])
        self.assertEqual(flat.pressed_volume([7, 5, 9], flat.Soft(500000, 5)), 158)  # 157.5, whatever its least thickness

    def test_at_rest(self):
        shirt = thing(self.SHIRT, soft=PRESSED, bare=True, quantity=2)
        self.assertEqual(sorted(oracle.fit(oracle.read_packaging({"code": "p", "kind": "bare", "tare": "1 oz", "cost": 0}, "USD"), [shirt], None)),
                         sides("22.6 x 20 x 12 cm"))
        asked = {"goods": [{"weight": "1 lb", "sides": "9 x 6 x 2 in", "soft": {"presses_to": 50, "least_thickness": "0.1 in"}}],
                 "from": HERE, "to": THERE, "date": "2026-08-03"}
        offer, = oracle.rank(tables_of(tariff([service(prices=[{"amount": 5}])])), asked)["offers"]
        self.assertEqual(oracle.lengths(offer["parcel"]["sides"], 3), oracle.lengths("10 x 7 x 3 in", 3))

    def test_words(self):
        read = thing("9 x 6 x 1 in", soft={"presses_to": "62.5 %", "least_thickness": "1 in"}, rigid=False, this_side_up=False, top_free=False)
        self.assertEqual(read.soft, flat.Soft(625000, oracle.length("1 in")))
        for presses_to in ("100", "100 %", 100, "0.0001", "60"):
            self.assertIsNotNone(thing("9 x 6 x 1 in", soft={**PRESSED, "presses_to": presses_to}).soft)
        for soft in ({}, {"presses_to": "60"}, {"least_thickness": "1 cm"}, {**PRESSED, "presses_to": "0"}, {**PRESSED, "presses_to": "100.0001"},
                     {**PRESSED, "presses_to": "60.00001"}, {**PRESSED, "presses_to": "-1"}, {**PRESSED, "presses_to": True}, {**PRESSED, "presses_to": ""},
                     {**PRESSED, "presses_to": "60 in"}, {**PRESSED, "presses_to": "60 %%"}, {**PRESSED, "presses_to": ["60"]},
                     {**PRESSED, "least_thickness": "0 in"},
                     {**PRESSED, "least_thickness": "1.000001 in"}, {**PRESSED, "least_thickness": "1"}, {**PRESSED, "least_thickness": 1},
                     {**PRESSED, "least_thickness": "1..2 cm"}, {**PRESSED, "more": 1}, True, None, "60", [PRESSED]):
            with self.assertRaises((ValueError, KeyError, TypeError, AttributeError), msg=soft):
                thing("9 x 6 x 1 in", soft=soft)
        for words in ({"this_side_up": True}, {"may_stand": [1, 2, 3]}, {"top_free": True}, {"bears": "5 kg"}, {"rigid": True}, {"rigid": 0}):
            with self.assertRaises(ValueError, msg=words):
                thing("9 x 6 x 1 in", soft=PRESSED, **words)
        with self.assertRaises(ValueError):
            thing("9 x 6 x 0.9..1 in", soft=PRESSED)
        self.assertIsNotNone(thing("9 x 6 x 1 in", "1..2 lb", soft=PRESSED).soft)  # its weight may range
        asked = {"goods": [{"weight": "1 lb", "sides": "9 x 6 x 1 in", "soft": {"presses_to": "60"}}], "from": HERE, "to": THERE, "date": "2026-08-03"}
        with self.assertRaises(oracle.RequestError):
            oracle.rank(tables_of(tariff([service(prices=[{"amount": 5}])])), asked)

    def test_ranked(self):
        # A limit of the service on the thickness: 4.52 cm, just met; with a third it is more.
        shelf = {"format": "tarewise-shelf-1", "currency": "USD", "packaging": [
            {"code": "bag", "title": "Bag", "kind": "mailer", "inside": self.MAILER, "tare": "1 oz", "cost": 0}]}
        tables = tables_of(tariff([service(prices=[{"amount": 5}], refuse=[{"when": {"height": {"over": "4.52 cm"}}, "reason": "too thick"}])]), shelf)

        def asked(quantity):
            return {"goods": [{"weight": "1 lb", "sides": self.SHIRT, "quantity": quantity, "soft": PRESSED}],
                    "from": HERE, "to": THERE, "date": "2026-08-03"}
        ranking = oracle.rank(tables, asked(2))
        self.assertEqual(one(ranking), "5.00")
        # B7: the sides of a pillow are a model's; nothing there is for the carrier to decide.
        self.assertEqual((ranking["offers"][0]["cautions"], ranking["cautions"]), (["measure_soft"], [{"code": "measure_soft"}]))
        beside = asked(1)
        beside["goods"].append({"weight": "1 lb", "sides": "10 x 5 x 1 cm"})
        ranking = oracle.rank(tables, beside)
        self.assertEqual((one(ranking), ranking["cautions"]), ("5.00", []))
        self.assertEqual(one(oracle.rank(tables, asked(3))), ["over_limit"])
        self.assertEqual(one(oracle.rank(tables, asked(90))), ["does_not_fit"])


def first_pillow(width, long, goods):
    """B2 by fractions, one thickness after the other."""
    pi = oracle.Fraction(355, 113)
    pressed = [oracle.ceil(a * b * c * oracle.Fraction(soft.presses_to, 10 ** 6)) for (a, b, c), soft in goods]
    least = max(soft.least_thickness for _, soft in goods)
    for at_rest, soft in goods:
        a, b, m = max(at_rest), sorted(at_rest)[1], soft.least_thickness
        if not ((a + m <= long and b + m <= width) or (b + m <= long and a + m <= width)):
            return None
    for t in range(1, width + long):
        if width * long - pi / 2 * (width + long) * t + 3 * (pi / 4) ** 2 * t * t < 0 or t > (width + long) / (3 * pi / 4):
            return None
        if t >= least and t * (width - pi * t / 4) * (long - pi * t / 4) >= sum(pressed):
            return (t, *(oracle.ceil(side - (pi / 2 - 1) * t) for side in (width, long)))
    return None


class Arrangements(unittest.TestCase):
    """The check of arrangements sees what is wrong with them."""

    def setUp(self):
        shelf = {"format": "tarewise-shelf-1", "currency": "USD", "packaging": [
            {"code": "bag", "title": "Bag", "kind": "mailer", "inside": "8 x 11 in", "wall": "0.1 in", "tare": "1 oz", "cost": 0}]}
        self.tables = tables_of(tariff([service(prices=[{"amount": 5}])]), shelf)
        self.goods = [{"weight": "1 lb", "sides": "9 x 6 x 1 in", "contents": ["fragile"], "quantity": 2}]

    def wrong(self, *places, box_sides="9 x 6 x 2 in", offered=True, steps=("a", "b")):
        request = {"goods": self.goods, "from": HERE, "to": THERE, "date": "2026-08-03", "padding": "1 in"}
        units = [dict(zip(("item", "unit", "at", "sides"), place)) for place in places]
        got = {"offers": [{"packaging": "bag"}] if offered else [],
               "arrangements": [{"packaging": "bag", "sides": box_sides, "units": units, "steps": list(steps)}] if units else []}
        return " ".join(compare.arrangements_or_why_not(self.tables, request, got))

    def test_mailer(self):
        first, second = (0, 0, "0 x 0 x 0 in", "9 x 6 x 1 in"), (0, 1, "0 x 0 x 1 in", "9 x 6 x 1 in")
        self.assertEqual(self.wrong(first, second), "")
        self.assertIn("is not the box", self.wrong(first, second, box_sides="6 x 9 x 2 in"))
        self.assertIn("is not the box", self.wrong(first, second, box_sides="9 x 6 x 2.1 in"))
        self.assertIn("not inside", self.wrong(first, (0, 1, "0 x 0 x 1.1 in", "9 x 6 x 1 in")))
        self.assertIn("apart", self.wrong(first, (0, 1, "0 x 0 x 0.9 in", "9 x 6 x 1 in")))
        self.assertIn("may not lie", self.wrong(first, (0, 1, "0 x 0 x 1 in", "9 x 6 x 0.5 in")))
        self.assertIn("no steps", self.wrong(first, second, steps=()))
        self.assertIn("no arrangement", self.wrong())
        self.assertEqual(self.wrong(offered=False), "")

    def test_goods_that_give(self):
        soft = {"presses_to": 50, "least_thickness": "0.25 in"}
        first, second = (0, 0, "0 x 0 x 0 in", "9 x 6 x 0.5 in"), (1, 0, "0 x 0 x 0.5 in", "9 x 6 x 1 in")
        self.goods = [{"weight": "1 lb", "sides": "9 x 6 x 1 in", "soft": soft}, {"weight": "1 lb", "sides": "9 x 6 x 1 in"}]
        self.assertEqual(self.wrong(first, second, box_sides="9 x 6 x 1.5 in"), "")
        self.assertIn("is not the box", self.wrong(first, second))
        # A pillow has none.
        self.goods[1]["soft"] = soft
        self.assertIn("a pillow", self.wrong(first, second, box_sides="9 x 6 x 1 in"))
        self.assertEqual(self.wrong(), "")


if __name__ == "__main__":
    unittest.main()
