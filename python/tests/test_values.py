"""Quantities, goods, places and requests as values."""

from __future__ import annotations

import copy
import datetime
import pathlib
import pickle
from decimal import Decimal
from fractions import Fraction
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

import tarewise as tw

PICKLES = pathlib.Path(__file__).parent / "pickles"


def examples() -> dict[str, Any]:
    lane = tw.Lane("US 05401", "CA K1A 0B1", residential=True)
    item = tw.Item("1 lb 3 oz", "12 x 9 x 4 in", quantity=2, contents=["media", "x-vinyl"], value=Decimal("24.50"), rigid=True)
    return {
        "weight": tw.Weight("1 lb 3 oz"),
        "length": tw.Length("12-3/8 in"),
        "sides": tw.Sides("30 x 20.5 x 10 cm"),
        "place": tw.Place("US", "05401-1234"),
        "lane": lane,
        "item": item,
        "ranged item": tw.Item("14..18 oz", "10..12 x 9 x 6 in", shape="soft", this_side_up=True, bare=True),
        "lying item": tw.Item("9 oz", "5 x 4 x 3 in", may_stand=(2, 3), top_free=True, bears="5 lb", title='Tin, "red"'),
        "soft item": tw.Item("9 oz", "12 x 10 x 2 in", presses_to="62.5", least_thickness="0.4 in"),
        "parcel": tw.Parcel("900 g", "30 x 20..25 x 10 cm", packaging="carton-12", shape="tube"),
        "within": tw.Promise.within(3),
        "by": tw.Promise.by("2026-08-07"),
        "paid for": tw.Promise.paid_for("harbourline/swift"),
        "tolerance": tw.Tolerance(weight="0.1 oz", sides="0.25 in"),
        "steps": tw.Steps(weight="1/3 oz", sides="1/16 in"),
        "allowance": tw.Allowance("8 oz", "12 oz"),
        "request": tw.Request(
            [item],
            lane=lane,
            date="2026-08-03",
            promise=tw.Promise.within(3),
            extras=("signature",),
            cover="80.00",
            tolerance=tw.Tolerance(weight="0.1 oz"),
            steps=tw.Steps(weight="1/3 oz", sides="1/16 in"),
            objective="cautious",
            currency="USD",
            exchange={"EUR": "1.0842"},
            padding="1/2 in",
            fill_weight="2 oz",
            allowance=tw.Allowance("100 g", "1 lb"),
        ),
        "request on terms": tw.Request(
            item,
            lane=lane,
            date="2026-08-03",
            promise=tw.Promise.by("2026-08-07"),
            accepts="door point",
            amounts={"cash_on_delivery": "64.00"},
            time="15:30",
            totals="without_tax",
            week={"parcels": 60, "spend": "420.00", "carriers": {"harbourline": {"parcels": 25}}},
        ),
        "request of lying goods": tw.Request(
            [item, tw.Item("9 oz", "5 x 4 x 3 in", top_free=True)], lane=lane, date="2026-08-03"
        ),
        "shelf of cartons cut down": tw.Shelf(
            [tw.Packaging("box", "carton", inside="12 x 9 x 6 in", wall="1/8 in", tare="9 oz", least_height="2 in")]
        ),
        "mix": tw.Mix("US 05401", {"US 98101": 3, "US 10001": "1.5"}),
        "shelf": tw.Shelf(
            [
                tw.Packaging("box", "carton", inside="12 x 9 x 6 in", wall="1/8 in", tare="9 oz", cost="0.69", on_hand=3),
                tw.Packaging("bag", "mailer", inside="9 x 11 in", tare="1 oz", cost=Decimal("0.2")),
                tw.Packaging("stiff", "envelope", inside="6 x 9 x 0.5 in", outside="6.5 x 9.5 in", tare="20 g"),
                tw.Packaging("tube", "tube", inside="3 x 24 in", wall="2 mm", tare="200 g", cost=1),
                tw.Packaging("none", "bare"),
            ],
            issued=[tw.Issued("harbourline", "hl-crate-deep", 2)],
            currency="USD",
        ),
    }


@pytest.mark.parametrize("name", examples())
def test_values_compare_hash_pickle_and_copy(name: str) -> None:
    value, again = examples()[name], examples()[name]
    assert value == again and not value != again
    assert hash(value) == hash(again)
    assert value != name and value is not None
    for protocol in range(2, pickle.HIGHEST_PROTOCOL + 1):
        back = pickle.loads(pickle.dumps(value, protocol))
        assert type(back) is type(value) and back == value and repr(back) == repr(value)
    assert copy.copy(value) == value and copy.deepcopy(value) == value
    with pytest.raises(AttributeError):
        value.weight = None
    others = [other for key, other in examples().items() if key != name]
    assert all(value != other for other in others)


def test_old_pickles_load() -> None:
    """Pickles of earlier releases; `python test_values.py` writes those of this one."""
    found = sorted(PICKLES.glob("*.pickle"))
    assert found
    now = examples()
    for path in found:
        for name, value in pickle.loads(path.read_bytes()).items():
            assert value == now[name], (path.name, name)


def test_how_goods_lie_is_refused_where_it_is_wrong() -> None:
    for may_stand, error, words in (
        ((), tw.QuantityError, "found no side, expected one or more of 1, 2 and 3"),
        ((0,), tw.QuantityError, "expected"),
        ((1, 4), tw.QuantityError, "expected"),
        ((2, 2), tw.QuantityError, "expected each side once"),
        ("12", TypeError, "expected the places of sides"),
        ((1.5,), TypeError, "expected"),
    ):
        with pytest.raises(error, match=words):
            tw.Item("9 oz", "5 x 4 x 3 in", may_stand=may_stand)  # type: ignore[arg-type]
    with pytest.raises(tw.QuantityError, match="beside this_side_up"):
        tw.Item("9 oz", "5 x 4 x 3 in", this_side_up=True, may_stand=(3,))
    for bears in ("0 lb", "-1 lb", "100001 kg", "heavy"):
        with pytest.raises(tw.QuantityError):
            tw.Item("9 oz", "5 x 4 x 3 in", bears=bears)
    with pytest.raises(TypeError):
        tw.Item("9 oz", "5 x 4 x 3 in", title=5)  # type: ignore[arg-type]
    for presses_to, least_thickness in (("60", None), (None, "1 in"), ("sixty", "1 in"), ("60", "thin")):
        with pytest.raises(tw.QuantityError):
            tw.Item("9 oz", "5 x 4 x 3 in", presses_to=presses_to, least_thickness=least_thickness)
    with pytest.raises(TypeError):
        tw.Item("9 oz", "5 x 4 x 3 in", presses_to=0.6, least_thickness="1 in")  # type: ignore[arg-type]
    with pytest.raises(tw.QuantityError, match="beside presses_to"):
        tw.Item("9 oz", "5 x 4 x 3 in", presses_to="60", least_thickness="1 in", may_stand=(1, 2, 3))
    soft = examples()["soft item"]
    assert soft.presses_to == "62.5" and soft.least_thickness == tw.Length("0.4 in")
    assert soft != tw.Item("9 oz", "12 x 10 x 2 in") and tw.Item("9 oz", "5 x 4 x 3 in").presses_to is None
    item = tw.Item("9 oz", "5 x 4 x 3 in", bears="1 oz")
    assert item.bears == tw.Weight("1 oz") and item.may_stand == (1, 2, 3) and not item.top_free and item.title == ""
    assert tw.Item("9 oz", "5 x 4 x 3 in", this_side_up=True).may_stand == (3,)
    assert item != tw.Item("9 oz", "5 x 4 x 3 in") and examples()["lying item"].may_stand == (2, 3)


def test_what_an_earlier_tarewise_cannot_read_says_so() -> None:
    """The form of a pickle is 1 unless there is something in it that came later."""
    shown = examples()
    assert shown["item"].__getstate__()[0] == 1 and shown["lying item"].__getstate__()[0] == 3
    assert shown["shelf"].__getstate__()[0] == 1 and shown["shelf of cartons cut down"].__getstate__()[0] == 3


def test_reprs_read_well() -> None:
    shown = examples()
    assert repr(shown["weight"]) == "Weight('19 oz')"
    assert repr(shown["length"]) == "Length('12.375 in')"
    assert repr(shown["sides"]) == "Sides('30 x 20.5 x 10 cm')"
    assert repr(shown["place"]) == "Place('US 054011234')"
    assert repr(shown["lane"]) == "Lane('US 05401', 'CA K1A0B1', residential=True)"
    assert repr(shown["item"]) == (
        "Item('19 oz', '12 x 9 x 4 in', quantity=2, contents=('media', 'x-vinyl'), value=Decimal('24.50'), rigid=True)"
    )
    assert repr(shown["within"]) == "Promise.within(3)"
    assert repr(shown["tolerance"]) == "Tolerance(weight='0.1 oz', sides='0.25 in')"


@pytest.mark.parametrize("name", [n for n in examples() if n not in ("mix", "shelf", "shelf of cartons cut down", "request", "request on terms")])
def test_reprs_read_back(name: str) -> None:
    value = examples()[name]
    assert eval(repr(value), {**vars(tw), "Decimal": Decimal}) == value


def test_weights_are_exact() -> None:
    # International yard and pound agreement, 1959: 1 lb = 0.45359237 kg.
    assert tw.Weight("1 lb") == tw.Weight("453.59237 g") == tw.Weight.pounds(1) == tw.Weight.ounces(16)
    assert tw.Weight("1 lb").nanograms == 453_592_370_000
    assert tw.Weight.ounces(Decimal("11.4")) == tw.Weight("11.4 oz") == tw.Weight.ounces("11.4")
    assert tw.Weight.ounces(Fraction(1, 3)) == tw.Weight("1/3 oz")
    assert tw.Weight("1 lb 3 oz").to("oz") == Decimal(19)
    assert tw.Weight("1 lb") + tw.Weight("3 oz") == tw.Weight("19 oz") and 3 * tw.Weight("1 oz") == tw.Weight("3 oz")
    assert sum([tw.Weight("1 oz"), tw.Weight("2 oz")]) == tw.Weight("3 oz")
    assert tw.Weight("1 lb") > tw.Weight("10.5 oz") and not tw.Weight("0 g")
    assert str(tw.Weight("450 g")) == "450 g" and str(tw.Weight("5 lb 3 oz")) == "5 lb 3 oz"


def test_lengths_are_exact() -> None:
    # The same agreement: 1 yd = 0.9144 m, so 1 in = 25.4 mm.
    assert tw.Length("1 in") == tw.Length("25.4 mm") == tw.Length.millimetres("25.4")
    assert tw.Length("1/64 in").nanometres == 396_875
    sides = tw.Sides(("4 in", tw.Length("12 in"), "9 in"))
    assert (sides.length, sides.width, sides.height) == (tw.Length("12 in"), tw.Length("9 in"), tw.Length("4 in"))
    assert list(sides) == [sides[0], sides[1], sides[2]] and sides[-1] == tw.Length("9 in") and len(sides) == 3
    assert sides.girth == tw.Length("26 in") and sides.length_plus_girth == tw.Length("38 in")
    assert sides.volume("in3") == 432


@given(st.integers(1, 10**17), st.sampled_from(["lb", "oz", "kg", "g", "mg"]))
@settings(max_examples=300, deadline=None)
def test_weights_read_back(n: int, unit: Any) -> None:
    weight = tw.Weight(f"{n} mg") if n < 10**11 else tw.Weight(f"{n % 10**11} mg")
    assert tw.Weight(f"{weight.to(unit):f} {unit}") == weight
    assert tw.Weight(str(weight)) == weight


@pytest.mark.parametrize(
    ("make", "words"),
    [
        (lambda: tw.Item("3 oz", "1 x 1 x 1 in", value=2.5), "money is exact"),
        (lambda: tw.Item("3 oz", "1 x 1 x 1 in", value=True), "bool"),
        (lambda: tw.Item(3, "1 x 1 x 1 in"), "weight: found int"),
        (lambda: tw.Item("3 oz", 5), "sides: found int"),
        (lambda: tw.Item("3 oz", "1 x 1 x 1 in", quantity=1.5), "whole number"),
        (lambda: tw.Weight.ounces(1.5), "quantities are exact"),
        (lambda: tw.Weight("1 oz") < 3, "not supported"),
        (lambda: tw.Weight("1 oz") + tw.Length("1 in"), "unsupported operand"),
        (lambda: tw.Weight("1 oz") * 1.5, "whole number of times"),
        (lambda: tw.Promise.within("3"), "whole number"),
        (lambda: tw.Request(tw.Item("3 oz", "1 x 1 x 1 in"), lane="US", date="2026-08-03"), "expected a Lane"),
        (lambda: tw.Request("3 oz", lane=tw.Lane("US", "US"), date="2026-08-03"), "expected an Item"),
        (
            lambda: tw.Request(
                tw.Item("3 oz", "1 x 1 x 1 in"), lane=tw.Lane("US", "US"), date=datetime.datetime(2026, 8, 3)
            ),
            "time zone",
        ),
        (lambda: tw.Request(tw.Item("3 oz", "1 x 1 x 1 in"), lane=tw.Lane("US", "US"), date="2026-08-03", cover=80.0), "Decimal"),
        (
            lambda: tw.Request(
                tw.Item("3 oz", "1 x 1 x 1 in"), lane=tw.Lane("US", "US"), date="2026-08-03", extras="signature"
            ),
            "extras",
        ),
        (lambda: tw.Shelf([tw.Packaging("a", "carton", inside="1 x 1 x 1 in", wall="1 mm", cost=0.5)]), "money is exact"),
    ],
)
def test_wrong_types_say_what_is_wanted(make: Any, words: str) -> None:
    with pytest.raises(TypeError, match=words):
        make()


@pytest.mark.parametrize(
    ("make", "pointer", "words"),
    [
        (lambda: tw.Weight("3"), None, "expected a weight such as"),
        (lambda: tw.Weight("3 oz 1 lb"), None, "3 oz 1 lb"),
        (lambda: tw.Item("0 oz", "1 x 1 x 1 in"), "/weight", "more than 0"),
        (lambda: tw.Item("18..14 oz", "1 x 1 x 1 in"), "/weight", "second weight"),
        (lambda: tw.Item("3 oz", "1 x 1 in"), "/sides", "three lengths"),
        (lambda: tw.Item("3 oz", "51 m x 1 m x 1 m"), "/sides", "50 m"),
        (lambda: tw.Item("3 oz", "1 x 1 x 1 in", quantity=0), "/quantity", "1 to 10000"),
        (lambda: tw.Item("3 oz", "1 x 1 x 1 in", contents="glass"), "/contents", "contents trait"),
        (lambda: tw.Item("3 oz", "1 x 1 x 1 in", value="-1"), "/value", "amount of money"),
        (lambda: tw.Item("3 oz", "1 x 1 x 1 in", value=Decimal("0.0000001")), "/value", "6 decimals"),
        (lambda: tw.Item("3 oz", "1 x 1 x 1 in", value=Decimal("NaN")), "/value", "amount of money"),
        (lambda: tw.Item("3 oz", "1 x 1 x 1 in", shape="round"), "/shape", "box, tube"),
        (lambda: tw.Place("us 05401"), None, "two capital letters"),
        (lambda: tw.Lane("US 05401", "US 4#"), "/destination", 'found "4#", expected a postal code of letters and digits'),
        (lambda: tw.Promise.within(10_001), "/within", "0 to 10000"),
        (lambda: tw.Allowance("12 oz", "8 oz"), "/most", "no less"),
        (lambda: tw.Mix("US 05401", {}), "/shares", "expected a place"),
        (lambda: tw.Mix("US 05401", {"US 100": -1, "US 200": 3}), "/shares", "below 0"),
        (
            lambda: tw.Request(tw.Item("3 oz", "1 x 1 x 1 in"), lane=tw.Lane("US", "US"), date="2026-02-30"),
            "/date",
            "date that exists",
        ),
        (
            lambda: tw.Request(
                tw.Item("3 oz", "1 x 1 x 1 in"), lane=tw.Lane("US", "US"), date="2026-08-03", exchange={"EUR": 0}
            ),
            "/exchange/EUR",
            "rate of exchange",
        ),
    ],
)
def test_bad_values_say_where_and_what(make: Any, pointer: str | None, words: str) -> None:
    with pytest.raises(tw.QuantityError, match=words) as caught:
        make()
    assert caught.value.pointer == pointer
    assert isinstance(caught.value, ValueError) and isinstance(caught.value, tw.TarewiseError)
    back = pickle.loads(pickle.dumps(caught.value))
    assert str(back) == str(caught.value) and back.pointer == pointer


def test_decimals_with_zeros_are_fine() -> None:
    assert tw.Item("3 oz", "1 x 1 x 1 in", value=Decimal("24.500000000")).value == Decimal("24.5")


def test_swapping_sides_keeps_the_sorted_ones() -> None:
    assert tw.Parcel("1 lb", "4 x 12 x 9 in") == tw.Parcel("1 lb", "12 x 9 x 4 in")
    assert tw.Item("1 lb", "4 x 12 x 9 in") != tw.Item("1 lb", "12 x 9 x 4 in")  # the third is the upright one


def test_shelves_hold_what_they_were_made_of() -> None:
    shelf = examples()["shelf"]
    assert len(shelf) == 6 and shelf.currency == "USD"
    box = shelf.packaging[0]
    assert box.outside == (tw.Length("12.25 in"), tw.Length("9.25 in"), tw.Length("6.25 in"))
    assert box.cost == Decimal("0.69") and box.tare == tw.Weight("9 oz") and box.on_hand == 3
    assert [one.code for one in shelf] == ["box", "bag", "stiff", "tube", "none", "hl-crate-deep"]
    again = tw.Shelf(shelf.packaging, issued=shelf.issued, currency="USD")
    assert [(p.code, p.kind, p.inside, p.tare, p.cost) for p in again.packaging] == [
        (p.code, p.kind, p.inside, p.tare, p.cost) for p in shelf.packaging
    ]
    with pytest.raises(tw.TariffError) as caught:
        tw.Shelf([tw.Packaging("box", "carton", inside="12 x 9 in", wall="1 mm")])
    assert caught.value.pointer == "/packaging/0/inside" and caught.value.file == "shelf.json"


if __name__ == "__main__":
    PICKLES.mkdir(exist_ok=True)
    (PICKLES / f"{tw.__version__}.pickle").write_bytes(pickle.dumps(examples(), 2))
