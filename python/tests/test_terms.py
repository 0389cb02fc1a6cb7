"""On what terms it is sent: where it may end, tax, dates, money to be collected, the week, and the seller's own rules.

The tables are the small ones of tests/command/europe; the amounts are worked out by hand.
"""

from __future__ import annotations

import copy
import datetime
import json
import pathlib
import pickle
from decimal import Decimal
from typing import Any

import numpy as np
import pytest

import tarewise as tw

LANE = tw.Lane("DE 10117", "DE 80331")
BOOKS = tw.Parcel("1.4 kg", "30 x 20 x 10 cm")


@pytest.fixture(scope="module")
def tables(root: pathlib.Path) -> tw.Tables:
    return tw.load(root / "tests" / "command" / "europe")


def rank(tables: tw.Tables, goods: tw.Parcel = BOOKS, lane: tw.Lane = LANE, **more: Any) -> tw.Ranking:
    return tw.rank(tables.ratebook, goods, **{"lane": lane, "date": "2026-08-04", "currency": "EUR", **more})


def names(ranking: tw.Ranking) -> list[str]:
    return [f"{offer.carrier}/{offer.service}" for offer in ranking]


def offer(ranking: tw.Ranking, service: str) -> tw.Offer:
    return next(one for one in ranking if one.service == service)


def reasons(ranking: tw.Ranking, service: str) -> tuple[str, ...]:
    return next(tuple(reason.code for reason in one.reasons) for one in ranking.refusals if one.service == service)


def test_it_ends_where_it_may(tables: tw.Tables) -> None:
    alone = rank(tables)
    assert names(alone) == ["fenwick-dray/home", "larkspur/morning", "fenwick-dray/freight"]
    assert {one.delivers for one in alone} == {"door"}
    assert reasons(alone, "counter") == ("delivered_elsewhere",)
    both = rank(tables, accepts=("door", "point"))
    assert names(both)[0] == "fenwick-dray/counter" and both[0].delivers == "point"
    assert both[0].total == Decimal("5.38")  # 5.15 of the second class (60 cm), and 4.5 % of it
    assert both == rank(tables, accepts="door, point") != alone
    assert names(rank(tables, accepts="point")) == ["fenwick-dray/counter"]
    # A locker needs a message to the addressee.
    assert reasons(rank(tables, accepts="locker"), "locker") == ("extras_disagree",)
    assert rank(tables, accepts="locker", extras=("message",))[0].total == Decimal("3.85")


def test_tax_with_and_without(tables: tw.Tables) -> None:
    home = offer(rank(tables), "home")
    assert home.total == Decimal("6.74")
    assert home.tax == tw.Tax("vat", "VAT", Decimal(19), Decimal("1.08"), Decimal("5.66"), Decimal("6.74"))
    morning = offer(rank(tables), "morning")
    assert morning.tax == tw.Tax("vat", "VAT", Decimal(19), Decimal("1.98"), Decimal("10.40"), Decimal("12.38"))
    assert [charge.code for charge in morning.charges] == ["base", "vat"] and morning.total == Decimal("12.38")
    without = rank(tables, totals="without_tax")
    assert without.totals == "without_tax" and rank(tables).totals == "with_tax"
    assert {one.service: one.total for one in without} == {
        "home": Decimal("5.66"), "morning": Decimal("10.40"), "freight": Decimal("11.76"),
    }  # fmt: skip
    assert offer(without, "home").tax == home.tax
    assert json.loads(without.to_json())["totals"] == "without_tax"
    abroad = rank(tables, lane=tw.Lane("DE 10117", "CH 8001"))
    assert offer(abroad, "home").tax is None and offer(abroad, "home").total == Decimal("13.48")
    assert offer(abroad, "morning").total == Decimal("10.40")


def test_dates(tables: tw.Tables) -> None:
    """Tuesday, 4 August; Thursday is a holiday, and Saturday delivers."""
    day = datetime.date
    assert offer(rank(tables), "home").arrives == tw.Arrival(day(2026, 8, 5), day(2026, 8, 7))
    assert offer(rank(tables, time="16:00"), "home").arrives == tw.Arrival(day(2026, 8, 5), day(2026, 8, 7))
    late = tw.Arrival(day(2026, 8, 7), day(2026, 8, 8))
    assert offer(rank(tables, time="16:01"), "home").arrives == late
    assert offer(rank(tables, time=datetime.time(16, 1)), "home").arrives == late and str(late) == "2026-08-07 to 2026-08-08"
    assert offer(rank(tables), "freight").arrives is None
    assert names(rank(tables, promise=tw.Promise.by("2026-08-06"))) == ["larkspur/morning"]
    assert "fenwick-dray/home" in names(rank(tables, promise=tw.Promise.by(day(2026, 8, 7))))
    assert reasons(rank(tables, time="16:01", promise=tw.Promise.by("2026-08-07")), "home") == ("promise_not_met",)
    promise = tw.Promise.by("2026-08-07")
    assert promise.date == day(2026, 8, 7) and promise.days is None and promise.service is None
    assert repr(promise) == "Promise.by('2026-08-07')" and tw.Promise.within(3).date is None


def test_money_to_be_collected(tables: tw.Tables) -> None:
    paid = rank(tables, amounts={"cash_on_delivery": "164.00"})
    assert names(paid) == ["fenwick-dray/home", "larkspur/morning"]
    line = paid[0].charges[-1]
    assert (line.code, line.amount) == ("cash-on-delivery", Decimal("5.30"))  # two hundreds begun
    assert reasons(paid, "freight") == ("extra_not_offered",)
    assert paid == rank(tables, amounts={"cash_on_delivery": Decimal(164)})
    disagree = rank(tables, amounts={"cash_on_delivery": 164}, extras=("drop-off",))
    assert reasons(disagree, "home") == ("extras_disagree",)
    assert rank(tables, amounts={}) == rank(tables, amounts={"cash_on_delivery": 0}) == rank(tables)


def test_reductions_and_the_week(tables: tw.Tables) -> None:
    assert [(c.code, c.amount) for c in offer(rank(tables, extras=("drop-off",)), "home").charges][-1] == (
        "drop-off", Decimal("-0.40"),
    )  # fmt: skip
    earned = offer(rank(tables, week={"parcels": 40}), "home")
    assert ("discount", Decimal("-0.65")) in [(c.code, c.amount) for c in earned.charges]
    both = offer(rank(tables, week={"parcels": 39, "carriers": {"fenwick-dray": {"parcels": 60, "spend": "300.01"}}}), "home")
    assert [c.amount for c in both.charges if c.code == "discount"] == [Decimal("-0.65"), Decimal("-0.25")]
    assert offer(rank(tables, week={"parcels": 39}), "home") .total == offer(rank(tables), "home").total


def test_deficit_weight(tables: tw.Tables) -> None:
    pallet = offer(rank(tables, tw.Parcel("40 kg", "80 x 60 x 50 cm")), "freight")
    assert pallet.total == Decimal("27.45") and pallet.charges[0].billed_as == "45 kg"
    assert offer(rank(tables, tw.Parcel("30 kg", "80 x 60 x 50 cm")), "freight").charges[0].billed_as is None


def test_included_cover_goes_by_the_weight(tables: tw.Tables) -> None:
    assert offer(rank(tables), "home").included_cover == Decimal(50)
    assert offer(rank(tables, tw.Parcel("2.1 kg", "30 x 20 x 10 cm")), "home").included_cover == Decimal(500)
    assert offer(rank(tables, cover="300"), "home").charges[-1].code == "cover"


def test_the_sellers_own_rules(tables: tw.Tables) -> None:
    ranking = rank(tables)
    morning, freight = offer(ranking, "morning"), offer(ranking, "freight")
    # A sealed box stands for a carton: a minute and a half of packing, and a trip to the counter.
    assert morning.handicaps == (
        tw.Handicap("packing", "Packing a carton", Decimal("0.45")),
        tw.Handicap("counter", "Trip to the counter", Decimal("0.75")),
    )
    assert morning.handicap == Decimal("1.20") and morning.total == Decimal("12.38")
    assert freight.handicap == Decimal("1.20")
    # 1.2 % of the value of 200 are 2.40: with it the counter, which is cheaper, comes behind.
    dear = rank(tables, tw.Parcel("1.4 kg", "30 x 20 x 10 cm", value=200), accepts=("door", "point"))
    assert names(dear)[:2] == ["fenwick-dray/home", "fenwick-dray/counter"]
    assert dear[0].total > dear[1].total and dear[1].handicap - dear[0].handicap == Decimal("2.40")
    glass = rank(tables, tw.Parcel("1.4 kg", "30 x 20 x 10 cm", contents="fragile"))
    assert reasons(glass, "morning") == ("not_wanted",)
    asked = rank(tables, tw.Parcel("1.4 kg", "30 x 20 x 10 cm", value=250))
    assert [c.code for c in asked[0].charges] == ["base", "diesel", "signature", "cover"]


def test_what_is_shown(tables: tw.Tables) -> None:
    ranking = rank(tables, accepts=("door", "point"), totals="without_tax")
    text, html = str(ranking), ranking._repr_html_()
    for shown in (text, html):
        assert "total EUR without tax" in shown
        assert "VAT 19 %: 5.38 EUR with it, 4.52 without" in shown
        assert "calls for it at a counter" in shown
        assert "counted in the order, in no total: Packing a carton 0.45" in shown
        assert "by 2026-08-07" in shown
    heading = next(line for line in text.splitlines() if "total EUR" in line).split("  ")
    assert "handicap" in [word.strip() for word in heading]
    plain = str(rank(tables, lane=tw.Lane("DE 10117", "CH 8001")))
    assert "VAT" not in plain and "billed as" not in plain
    assert "billed as 45 kg" in str(rank(tables, tw.Parcel("40 kg", "80 x 60 x 50 cm")))


TERMS: dict[str, Any] = {
    "accepts": ("door", "point"),
    "amounts": {"cash_on_delivery": "64.00"},
    "time": "15:30",
    "totals": "without_tax",
    "week": {"parcels": 60, "spend": "420.00", "carriers": {"fenwick-dray": {"parcels": 25}}},
    "promise": tw.Promise.by("2026-08-08"),
    "consignment": {"others": 2, "others_weight": "7.5 kg", "first": False},
}


def request_with(**terms: Any) -> tw.Request:
    return tw.Request(BOOKS, lane=LANE, date="2026-08-04", currency="EUR", **terms)


def test_requests_hold_their_terms(tables: tw.Tables) -> None:
    plain, asked = request_with(), request_with(**TERMS)
    assert (plain.accepts, plain.amounts, plain.time, plain.totals) == (("door",), {}, None, "with_tax")
    assert plain.week == {"parcels": 0, "spend": Decimal("0.00"), "carriers": {}}
    assert asked.accepts == ("door", "point") and asked.amounts == {"cash_on_delivery": Decimal("64.00")}
    assert asked.time == datetime.time(15, 30) and asked.totals == "without_tax" and asked.promise == TERMS["promise"]
    assert asked.week == {
        "parcels": 60, "spend": Decimal("420.00"), "carriers": {"fenwick-dray": {"parcels": 25, "spend": Decimal("0.00")}},
    }  # fmt: skip
    assert plain.consignment == {"others": 0, "others_weight": tw.Weight("0 kg"), "first": True}
    assert asked.consignment == {"others": 2, "others_weight": tw.Weight("7.5 kg"), "first": False}
    for name in TERMS:
        other = request_with(**{key: value for key, value in TERMS.items() if key != name})
        assert other != asked and other == pickle.loads(pickle.dumps(other)), name
    again = pickle.loads(pickle.dumps(asked))
    assert again == asked and hash(again) == hash(asked) and copy.deepcopy(asked) == asked
    assert tw.rank_request(tables.ratebook, again).to_json() == tw.rank_request(tables.ratebook, asked).to_json()
    document = {
        "format": "tarewise-request-1", "parcel": {"weight": "1.4 kg", "sides": "30 x 20 x 10 cm"},
        "from": {"country": "DE", "postal_code": "10117"}, "to": {"country": "DE", "postal_code": "80331"},
        "date": "2026-08-04", "currency": "EUR", **{**TERMS, "promise": {"by": "2026-08-08"}},
    }  # fmt: skip
    assert tw.Request.from_json(json.dumps(document)) == asked


# Each row of a catalogue goes by itself.
CATALOGUE_TERMS = {key: value for key, value in TERMS.items() if key != "consignment"}


@pytest.mark.parametrize("name", CATALOGUE_TERMS)
def test_catalogues_are_priced_on_the_same_terms(tables: tw.Tables, name: str) -> None:
    goods = {
        "weight_g": np.array([300, 1400, 4800, 9000, 40000]),
        "length_cm": np.array([20, 30, 30, 50, 80]), "width_cm": np.array([15, 20, 25, 30, 60]),
        "height_cm": np.array([5, 10, 15, 20, 50]), "value": np.array([0, 200, 250, 20, 90]),
    }  # fmt: skip
    lanes = {"here": LANE, "there": tw.Lane("DE 10117", "CH 8001")}
    terms = CATALOGUE_TERMS if name == "promise" else {name: CATALOGUE_TERMS[name]}
    repricer = tw.Repricer(tables.ratebook, lanes=lanes, date="2026-08-04", currency="EUR", **terms)
    out = repricer(goods)
    assert pickle.loads(pickle.dumps(repricer))(goods)["reason"].tolist() == out["reason"].tolist()
    for row in range(5):
        for lane in lanes:
            ranking = repricer.explain(goods, row, lane)
            best = (-1, None) if not ranking else (int(ranking[0].total * 10**6), names(ranking)[0])
            assert (int(out[f"total_{lane}_micros"][row]), out[f"service_{lane}"][row]) == best, (row, lane)


@pytest.mark.parametrize(
    ("terms", "error", "pointer", "said"),
    [
        ({"accepts": "window"}, tw.QuantityError, "/accepts", "door, point or locker"),
        ({"accepts": ()}, tw.QuantityError, "/accepts", "found none"),
        ({"accepts": 3}, TypeError, None, "accepts"),
        ({"amounts": {"customs": 3}}, tw.QuantityError, "/amounts", "expected cash_on_delivery"),
        ({"amounts": {"cash_on_delivery": 3.5}}, TypeError, None, "amounts/cash_on_delivery"),
        ({"amounts": {"cash_on_delivery": -1}}, tw.QuantityError, "/amounts/cash_on_delivery", "-1"),
        ({"time": "25:00"}, tw.QuantityError, "/time", "25:00"),
        ({"time": 1530}, TypeError, None, "time"),
        ({"time": datetime.time(15, 30, 1)}, tw.QuantityError, "/time", "whole minutes"),
        ({"totals": "net"}, tw.QuantityError, "/totals", "with_tax or without_tax"),
        ({"consignment": 2}, TypeError, None, "consignment"),
        ({"consignment": {}}, tw.QuantityError, "/consignment", "no others"),
        ({"consignment": {"others": 1000, "others_weight": "1 kg", "first": True}}, tw.QuantityError, "/consignment/others", "1000"),
        ({"consignment": {"others": 2, "first": True}}, tw.QuantityError, "/consignment", "no others_weight"),
        ({"consignment": {"others": 2, "others_weight": "1 kg"}}, tw.QuantityError, "/consignment", "no first"),
        ({"consignment": {"others": 2, "others_weight": "1 kg", "first": 1}}, TypeError, None, "first"),
        ({"consignment": {"others": 0, "pieces": 3}}, tw.QuantityError, "/consignment", "pieces"),
        ({"week": 60}, TypeError, None, "week"),
        ({"week": {"parcel": 60}}, tw.QuantityError, "/week", "parcels, spend or carriers"),
        ({"week": {"parcels": -1}}, tw.QuantityError, "/week/parcels", "-1"),
        ({"week": {"carriers": {"fenwick-dray": {"carriers": {}}}}}, tw.QuantityError, "/week/carriers/fenwick-dray", "parcels or spend"),
        ({"promise": "2026-08-07"}, TypeError, None, "Promise.by(date)"),
    ],
)
def test_errors_say_where_what_and_what_was_expected(
    terms: dict[str, Any], error: type[Exception], pointer: str | None, said: str
) -> None:
    with pytest.raises(error) as raised:
        request_with(**terms)
    assert said in str(raised.value)
    if pointer is not None:
        assert getattr(raised.value, "pointer") == pointer
