"""Packing alone: whether goods go into a packaging, how, and why not; arrangements that others made; room to grow."""

from __future__ import annotations

import json
import pathlib
from decimal import Decimal
from typing import Any

import pytest
import tarewise as tw

ROOT = pathlib.Path(__file__).resolve().parents[2]
CARTON = tw.Packaging("carton-18", "carton", inside="18 x 12 x 10 in", wall="0.15 in", tare="12 oz", least_height="2 in")


def goods() -> list[tw.Item]:
    return [
        tw.Item("20 oz", "10 x 8 x 2 in", quantity=3, title="Board game"),
        tw.Item("9 oz", "5 x 5 x 5 in", title="Tin", top_free=True),
    ]


@pytest.fixture(scope="module")
def ranking() -> tw.Ranking:
    tables = tw.load(ROOT / "tables" / "demo")
    lane = tw.Lane("US 05401", "US 98101", residential=True)
    return tw.rank(tables.ratebook, goods(), shelf=tw.Shelf([CARTON]), lane=lane, date="2026-08-03", currency="USD")


def test_it_is_what_a_ranking_says(ranking: tw.Ranking) -> None:
    packed = tw.arrange(goods(), CARTON)
    offer = next(offer for offer in ranking if offer.cut_to is not None)
    assert packed and packed.fit == "fits" and packed.proof is None and packed.why == ""
    assert packed.units == offer.arrangement and packed.steps == ranking.steps(offer)
    assert packed.cut_to == offer.cut_to and packed.inside == offer.inside
    assert packed.sides == tw.Sides("18.3 x 12.3 x 10.3 in")
    assert repr(packed) == f"<Arrangement of 4 units in carton-18: fits, cut down to {packed.cut_to}>"
    assert packed.goods == tuple(goods()) and packed.packaging == CARTON and packed.padding is None
    assert tw.check_arrangement(goods(), CARTON, packed) is None
    assert tw.check_arrangement(goods(), CARTON, list(reversed(packed.units))) is None


def test_a_plain_room_takes_texts_and_units() -> None:
    for room in ("12 x 9 x 6 in", tw.Sides("12 x 9 x 6 in"), ("12 in", "9 in", "6 in")):
        packed = tw.arrange(goods()[0], room)
        assert packed and packed.inside == packed.sides == packed.packaging == tw.Sides("12 x 9 x 6 in")
    assert repr(packed) == "<Arrangement of 3 units in 12 x 9 x 6 in: fits>"
    metric = tw.arrange(tw.Item("1 kg", "10 x 10 x 10 cm"), "20 x 20 x 20 cm")
    assert str(metric.inside) == "20 x 20 x 20 cm" and len(metric.units) == len(metric.steps[:1]) == 1


@pytest.mark.parametrize(
    ("item", "room", "proof", "why"),
    [
        (tw.Item("1 lb", "9 x 8 x 7 in"), "9 x 8 x 6 in", "unit_too_large", "the shortest side is 7 in, the carton has 6 in"),
        (tw.Item("1 lb", "5 x 5 x 5 in", quantity=9), "10 x 10 x 10 in", "volume", "the goods fill 1125 in3"),
        (tw.Item("1 lb", "6 x 6 x 6 in", quantity=2), "10 x 10 x 10 in", "bound", "no arrangement of these 2 units goes in"),
    ],
)
def test_a_refusal_has_its_proof(item: tw.Item, room: str, proof: str, why: str) -> None:
    packed = tw.arrange(item, room)
    assert not packed and packed.fit == "does_not_fit" and packed.proof == proof and packed.why.startswith(why)
    assert packed.units == () and packed.steps == ()
    assert packed.sides is None and packed.inside is None and packed.cut_to is None
    assert f"{item.quantity} unit" in repr(packed) and f"does not fit ({'one unit' if proof == 'unit_too_large' else 'by '}" in repr(packed)


def test_all_steps_taken_is_unknown() -> None:
    hard = [tw.Item("1 lb", "7 x 5 x 3 in", quantity=3), tw.Item("1 lb", "6 x 4 x 4 in", quantity=3)]
    packed = tw.arrange(hard, "11 x 9 x 7 in", nodes=1)
    assert not packed and packed.fit == "unknown" and packed.proof is None
    assert repr(packed) == "<Arrangement of 6 units in 11 x 9 x 7 in: unknown: whether the goods fit is not known>"


def test_padding_is_kept_free() -> None:
    cup = tw.Item("1 lb", "4 x 4 x 4 in", contents="fragile")
    assert not tw.arrange(cup, "5.9 x 6 x 6 in") and tw.arrange(cup, "6 x 6 x 6 in")
    packed = tw.arrange(cup, "5 x 5 x 5 in", padding="0.5 in")
    assert packed and packed.units[0].at == (tw.Length("0.5 in"),) * 3 and packed.padding == tw.Length("0.5 in")
    assert tw.check_arrangement(cup, "5 x 5 x 5 in", packed, padding="0.5 in") is None
    assert tw.check_arrangement(cup, "5 x 5 x 5 in", packed) is not None


def test_a_mailer_tells_the_parcel() -> None:
    mailer = tw.Packaging("poly", "mailer", inside="14 x 18 in", wall="0.005 in")
    packed = tw.arrange(tw.Item("1 lb", "9 x 8 x 2 in"), mailer)
    assert packed and packed.sides is not None
    assert sorted(str(side) for side in packed.sides) == ["2.01 in", "8.01 in", "9.01 in"]


def test_others_arrangements_are_checked() -> None:
    units = list(tw.arrange(goods(), CARTON).units)
    moved = [units[0], units[0]._replace(unit=1), *units[2:]]
    assert "apart" in str(tw.check_arrangement(goods(), CARTON, moved))
    assert "3 placements, expected 4" in str(tw.check_arrangement(goods(), CARTON, units[:3]))
    far = [units[0]._replace(at=(tw.Length("20 in"), *units[0].at[1:])), *units[1:]]
    assert "is at" in str(tw.check_arrangement(goods(), CARTON, far))
    by_hand = [tw.ArrangedUnit(0, 0, (tw.Length("0 in"),) * 3, tw.Sides("8 x 10 x 2 in"))]
    assert tw.check_arrangement(tw.Item("1 lb", "10 x 8 x 2 in"), "8 x 10 x 2 in", by_hand) is None
    assert "turned" in str(tw.check_arrangement(tw.Item("1 lb", "10 x 8 x 2 in", may_stand=(1,)), "8 x 10 x 2 in", by_hand))


def test_what_is_wrong_is_told() -> None:
    item = goods()[0]
    bad: Any
    for bad in (None, 5, item, 12.5):
        with pytest.raises(TypeError):
            tw.arrange(item, bad)
    with pytest.raises(TypeError):
        tw.arrange(tw.Parcel("1 lb", "9 x 9 x 9 in"), "9 x 9 x 9 in")  # type: ignore[arg-type]
    with pytest.raises(tw.QuantityError):
        tw.arrange(item, "12 x 9 in")
    with pytest.raises(tw.QuantityError):
        tw.arrange(item, "12 x 0 x 9 in")
    with pytest.raises(tw.QuantityError):
        tw.arrange(item, "12 x 9 x 9 in", padding="wide")
    for nodes in (0, -1, 10**9 + 1, 10**30):
        with pytest.raises(tw.QuantityError, match="nodes"):
            tw.arrange(item, "12 x 9 x 9 in", nodes=nodes)
    with pytest.raises(tw.RequestError, match="neither goods"):
        tw.arrange([], "12 x 9 x 9 in")
    with pytest.raises(tw.RequestError, match="bare"):
        tw.arrange(item, tw.Packaging("bare", "bare"))
    with pytest.raises(tw.TariffError):
        tw.arrange(item, tw.Packaging("carton", "carton", inside="12 x 9 in"))
    mailer = tw.Packaging("poly", "mailer", inside="14 x 18 in", wall="0.005 in")
    with pytest.raises(tw.RequestError, match="expected a carton"):
        tw.check_arrangement(item, mailer, [])
    unit: Any = tw.arrange(item, "12 x 9 x 9 in").units[0]
    for wrong in (unit._replace(item=1), unit._replace(unit=3), unit._replace(at=unit.at[:2]), unit._replace(sides="1 x 1 in")):
        with pytest.raises(tw.QuantityError, match="units/0"):
            tw.check_arrangement(item, "12 x 9 x 9 in", [wrong])
    with pytest.raises(TypeError):
        tw.check_arrangement(item, "12 x 9 x 9 in", [None])  # type: ignore[list-item]
    with pytest.raises(tw.RequestError, match="within 50 m"):
        tw.check_arrangement(item, "12 x 9 x 9 in", [unit._replace(at=("51 m", "0 in", "0 in"))] * 3)


def test_room_to_grow_is_the_most_that_still_fits(ranking: tw.Ranking) -> None:
    offer = ranking[0]
    growth = offer.room_to_grow()
    assert [one.item for one in growth] == [0, 1]
    whole = tw.Packaging("carton-18", "carton", inside="18 x 12 x 10 in", wall="0.15 in")
    for one in growth:
        for side in range(3):
            for more, fits in ((0, True), (1, False)):
                grown = goods()
                item = grown[one.item]
                sides = list(item.sides)
                sides[side] = tw.Length.millimetres(Decimal(sides[side].nanometres + one.sides[side].nanometres + more).scaleb(-6))
                grown[one.item] = tw.Item(item.weight, tuple(sides), quantity=item.quantity, top_free=item.top_free)  # type: ignore[arg-type]
                assert bool(tw.arrange(grown, whole)) == fits, (one, side)
    told = json.loads(ranking.to_json(room_to_grow=True))["arrangements"]
    assert told and all(
        one["room_to_grow"] == [{"item": g.item, "sides": [str(side) for side in g.sides]} for g in growth] for one in told
    )
    assert all("room_to_grow" not in one for one in json.loads(ranking.to_json())["arrangements"])
    with pytest.raises(tw.QuantityError, match="nodes"):
        offer.room_to_grow(nodes=0)
