"""What a sale leaves, against the account done by hand with fractions."""

from __future__ import annotations

import pickle
from decimal import Decimal
from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

import tarewise as tw

# Invented.
FEES = (
    tw.Fee("selling", "11.4", of="price_and_shipping"),
    tw.Fee("payment", "2.2 %", "0.25", of="price_and_shipping", on_return="fixed_kept"),
)
SHOP = tw.Economics("USD", fees=FEES, labour="1.20", returns=tw.Returns("4 %", recovered=80, handling="0.50"))


def half_up(amount: Fraction) -> Fraction:
    """To the cent, by magnitude."""
    cents = abs(amount) * 100
    return (1 if amount >= 0 else -1) * Fraction((2 * cents + 1) // 2, 100)


def by_hand(cost: Fraction, price: Fraction, total: Fraction, charged: Fraction, returned: bool) -> Fraction:
    base = price + charged
    selling, payment = half_up(base * Fraction("0.114")), half_up(base * Fraction("0.022") + Fraction("0.25"))
    left = price + charged - selling - payment - total - Fraction("1.20") - cost
    if returned:
        left += -price - charged + (payment - Fraction("0.25")) - total - Fraction("0.50") + half_up(cost * Fraction("0.8"))
    return left


cents = st.integers(0, 20_000).map(lambda n: Decimal(n).scaleb(-2))


@given(cents, cents, st.lists(st.tuples(cents, cents, st.integers(1, 9)), min_size=1, max_size=4))
@settings(max_examples=300, deadline=None)
def test_profits_are_the_account_by_hand(
    cost: Decimal, price: Decimal, places: list[tuple[Decimal, Decimal, int]]
) -> None:
    totals = [tw.PlaceTotal(*place) for place in places]
    profit = SHOP.profit(totals, cost=cost, price=price, quantiles=[0, "0.5", 1.0])
    kept = [by_hand(Fraction(cost), Fraction(price), Fraction(t), Fraction(c), False) for t, c, _ in places]
    back = [by_hand(Fraction(cost), Fraction(price), Fraction(t), Fraction(c), True) for t, c, _ in places]
    assert profit.worst == min(kept) and profit.worst_place == kept.index(min(kept))
    assert profit.worst_returned == min(back)
    weights = sum(share for _, _, share in places)
    mean = sum(share * (Fraction(24, 25) * k + Fraction(1, 25) * b) for (_, _, share), k, b in zip(places, kept, back)) / weights
    assert profit.expected == half_up(mean)
    assert profit.quantiles[0] == min(kept + back) and profit.quantiles[2] == max(kept + back)
    for i, total in enumerate(totals):
        for returned, wanted in ((False, kept[i]), (True, back[i])):
            lines = SHOP.account(total, cost=cost, price=price, returned=returned)
            assert sum(line.amount for line in lines) == wanted and lines[0] == ("price", price)


def test_what_can_be_paid_and_what_must_be_asked() -> None:
    places = [tw.PlaceTotal("5.10", share=3), tw.PlaceTotal("9.40", share=1)]
    for of in ("worst", "average"):
        for wanted in ("5.00", "20 %", Decimal("-1")):
            most = SHOP.most_to_pay(places, price="24.90", wanted=wanted, of=of)  # type: ignore[arg-type]
            assert most is not None
            cent = Decimal("0.01")
            assert SHOP.keeps(places, cost=most, price="24.90", wanted=wanted, of=of)  # type: ignore[arg-type]
            assert not SHOP.keeps(places, cost=most + cent, price="24.90", wanted=wanted, of=of)  # type: ignore[arg-type]
            least = SHOP.least_price(places, cost="4.00", wanted=wanted, of=of)  # type: ignore[arg-type]
            assert least is not None
            assert SHOP.keeps(places, cost="4.00", price=least, wanted=wanted, of=of)  # type: ignore[arg-type]
            assert not SHOP.keeps(places, cost="4.00", price=least - cent, wanted=wanted, of=of)  # type: ignore[arg-type]
    assert SHOP.most_to_pay(places, price="1.00", wanted="5.00") is None
    # Without returns: 24.90 - 2.84 - 0.80 - 9.40 - 1.20 - 5.66 = 5.00.
    plain = tw.Economics("USD", fees=FEES, labour="1.20")
    assert plain.most_to_pay(places, price="24.90", wanted="5.00", of="worst") == Decimal("5.66")


def test_fees_in_tiers() -> None:
    tiers = (tw.FeeTier("100", "10"), tw.FeeTier(None, "2", "1.00"))
    whole = tw.Economics("USD", fees=[tw.Fee("selling", tiers=tiers)])
    parts = tw.Economics("USD", fees=[tw.Fee("selling", tiers=tiers, scale="by_parts", most="12.50")])
    place = tw.PlaceTotal(0)
    assert dict(whole.account(place, cost=0, price=100))["selling"] == Decimal("-10.00")
    assert dict(whole.account(place, cost=0, price="100.01"))["selling"] == Decimal("-3.00")
    assert dict(parts.account(place, cost=0, price=150))["selling"] == Decimal("-12.00")
    assert dict(parts.account(place, cost=0, price=1000))["selling"] == Decimal("-12.50")


def test_economics_are_values() -> None:
    again = tw.Economics(
        "USD",
        fees=list(FEES),
        labour=Decimal("1.2"),
        returns=tw.Returns("4 %", recovered=80, handling="0.50"),
    )
    assert again == SHOP and hash(again) == hash(SHOP) and again != tw.Economics("USD", fees=FEES)
    assert pickle.loads(pickle.dumps(SHOP)) == SHOP and repr(SHOP) == "<Economics in USD, fees: selling, payment>"
    assert (SHOP.currency, SHOP.fees, SHOP.labour, SHOP.packaging) == ("USD", FEES, Decimal("1.20"), 0)


def test_what_is_wrong_is_told() -> None:
    place = tw.PlaceTotal("5.00")
    with pytest.raises(TypeError, match="money is exact"):
        SHOP.profit([place], cost=4.0, price="20")  # type: ignore[arg-type]
    with pytest.raises(TypeError, match="quantities are exact"):
        tw.Economics("USD", fees=[tw.Fee("selling", 11.4)])  # type: ignore[arg-type]
    with pytest.raises(TypeError, match="expected a PlaceTotal"):
        SHOP.profit(["5.00"], cost="4", price="20")  # type: ignore[list-item]
    with pytest.raises(tw.QuantityError, match="price or price_and_shipping") as caught:
        tw.Economics("USD", fees=[tw.Fee("selling", 1, of="both")])  # type: ignore[arg-type]
    assert caught.value.pointer == "/fees/selling/of"
    with pytest.raises(tw.RequestError, match="twice"):
        tw.Economics("USD", fees=[FEES[0], FEES[0]])
    with pytest.raises(tw.RequestError, match="found none"):
        SHOP.profit([], cost="4", price="20")


def test_an_order_in_several_parcels_is_packed_several_times() -> None:
    one, two = tw.PlaceTotal("9.40"), tw.PlaceTotal("9.40", parcels=2)
    lines = {line.code: line.amount for line in SHOP.account(two, cost="4.00", price="24.90", returned=True)}
    once = {line.code: line.amount for line in SHOP.account(one, cost="4.00", price="24.90", returned=True)}
    assert lines["labour"] == 2 * once["labour"] == Decimal("-2.40")
    assert lines["return_handling"] == 2 * once["return_handling"] == Decimal("-1.00")
    assert lines["shipping"] == once["shipping"]
    with pytest.raises(ValueError, match="parcels"):
        SHOP.account(tw.PlaceTotal("9.40", parcels=101), cost=0, price=1)
