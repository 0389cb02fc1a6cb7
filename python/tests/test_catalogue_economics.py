"""What selling each row of a catalogue leaves: the same as `Economics`, called row by row."""

from __future__ import annotations

import pickle
from decimal import Decimal
from typing import Any

import numpy as np
import pandas as pd
import polars as pl
import pyarrow as pa
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

import tarewise as tw

# Fees and returns are invented.
FEES = (tw.Fee("selling", "11.4"), tw.Fee("payment", "2.2", "0.25", of="price_and_shipping"))
SHOP = tw.Economics("USD", fees=FEES, labour="1.20", returns=tw.Returns("4 %", recovered=80, handling="0.50"))
MIX = tw.Mix("US 05401", {"US 98101": 120, "US 10001": 310, "US 60601": 95, "US 05602": 0})
NONE = np.iinfo(np.int64).min


def goods(rows: int, seed: int = 5) -> dict[str, Any]:
    rng = np.random.default_rng(seed)
    price = rng.integers(100, 9000, rows) / 100
    length = rng.integers(8, 60, rows) / 4
    length[rng.random(rows) < 0.04] = 400.0  # past every service
    return {
        "weight_oz": rng.integers(1, 400, rows) / 4,
        "length_in": length,
        "width_in": rng.integers(8, 40, rows) / 4,
        "height_in": rng.integers(1, 20, rows) / 4,
        "price": price,
        "cost": rng.integers(0, 4000, rows) / 100,
        "charged": rng.integers(0, 900, rows) / 100,
    }


def money(number: Any) -> Decimal:
    return Decimal(repr(float(number))).quantize(Decimal("0.000001"))


def by_row(shop: tw.Economics, totals: list[int], row: dict[str, Any], sale: tw.SaleColumns, shares: list[int]) -> tuple[Any, ...]:
    """What `Economics` says of one row: profit, the most to pay, the least price."""
    if any(total < 0 and share > 0 for total, share in zip(totals, shares)):
        return None, None, None
    places = [
        tw.PlaceTotal(Decimal(total).scaleb(-6), money(row["charged"]) if sale.charged else 0, share)
        for total, share in zip(totals, shares)
        if total >= 0
    ]
    profit = shop.profit(places, cost=money(row["cost"]), price=money(row["price"]))
    wanted: Any = sale.wanted
    return (
        profit.worst if sale.of == "worst" else profit.expected,
        shop.most_to_pay(places, price=money(row["price"]), wanted=wanted, of=sale.of),
        shop.least_price(places, cost=money(row["cost"]), wanted=wanted, of=sale.of, up_to=sale.up_to),
    )


def micros(amount: Decimal | None, none: int) -> int:
    return none if amount is None else int(amount.scaleb(6))


def check(
    book: tw.Ratebook, shelf: tw.Shelf, shop: tw.Economics, sale: tw.SaleColumns, table: dict[str, Any], **where: Any
) -> dict[str, Any]:
    where = where or {"mix": MIX}
    given = {"date": "2026-08-03", "shelf": shelf, "currency": "USD", "plain": True, **where}
    priced = tw.reprice(table, book, sale=sale, outputs=["total"], **given)
    lanes = tw.Repricer(book, **given).lanes
    shares = list(where["mix"].shares) if "mix" in where else [1] * len(lanes)
    names = [name for name in priced if name.startswith("total") and name.endswith("_micros")]
    assert len(names) == len(lanes)
    for i in range(len(table["price"])):
        totals = [int(priced[name][i]) for name in names]
        profit, most, least = by_row(shop, totals, {name: column[i] for name, column in table.items()}, sale, shares)
        found = tuple(int(priced[f"{name}_micros"][i]) for name in ("profit", "most_to_pay", "least_price"))
        assert found == (micros(profit, NONE), micros(most, -1), micros(least, -1)), (i, totals, table["price"][i], table["cost"][i])
    return priced


@pytest.mark.parametrize("of", ["average", "worst"])
@pytest.mark.parametrize("wanted", ["5.00", "20 %", "-1"])
@pytest.mark.parametrize("charged", [None, "charged"])
def test_each_row_is_what_economics_says(
    book: tw.Ratebook, shelf: tw.Shelf, of: Any, wanted: str, charged: str | None
) -> None:
    sale = tw.SaleColumns(SHOP, price="price", cost="cost", charged=charged, wanted=wanted, of=of)
    priced = check(book, shelf, SHOP, sale, goods(150))
    reasons = set(priced["sale_reason"].tolist())
    assert {0, 1} <= reasons  # some have all three answers, some no total


@st.composite
def shops(draw: st.DrawFn) -> tw.Economics:
    percent = st.integers(0, 2000).map(lambda n: Decimal(n).scaleb(-2))
    amount = st.integers(0, 300).map(lambda n: Decimal(n).scaleb(-2))
    back = st.sampled_from(["kept", "fixed_kept", "given_back"])
    tiers = (tw.FeeTier(draw(st.integers(1, 60)), draw(percent), draw(amount)), tw.FeeTier(None, draw(percent)))
    fees: list[tw.Fee] = [
        tw.Fee("selling", tiers=tiers, scale=draw(st.sampled_from(["whole", "by_parts"])), on_return=draw(back)),
        tw.Fee("payment", draw(percent), draw(amount), of="price_and_shipping", least=draw(st.none() | amount), on_return=draw(back)),
    ]
    returns = tw.Returns(
        draw(st.integers(0, 100)),
        seller_pays=draw(st.booleans()),
        of_total=draw(st.integers(0, 150)),
        shipping_refunded=draw(st.booleans()),
        recovered=draw(st.sampled_from([0, 37, 99, 100])),
        handling=draw(amount),
    )
    return tw.Economics("USD", fees=fees[: draw(st.integers(0, 2))], labour=draw(amount), packaging=draw(amount), returns=returns)


@settings(max_examples=60, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(
    shop=shops(),
    seed=st.integers(0, 2**31),
    of=st.sampled_from(["average", "worst"]),
    wanted=st.sampled_from(["0", "5.00", "20 %", "-3.5", "0.005", "99 %"]),
    charged=st.booleans(),
    mixed=st.booleans(),
)
def test_any_shop_and_any_rows(
    book: tw.Ratebook, shelf: tw.Shelf, shop: tw.Economics, seed: int, of: Any, wanted: str, charged: bool, mixed: bool
) -> None:
    sale = tw.SaleColumns(
        shop, price="price", cost="cost", charged="charged" if charged else None, wanted=wanted, of=of, up_to=200
    )
    where: dict[str, Any] = {"mix": MIX} if mixed else {"lanes": list(MIX.lanes())[:2]}
    check(book, shelf, shop, sale, goods(12, seed), **where)


def test_prices_finer_than_the_cent(book: tw.Ratebook, shelf: tw.Shelf) -> None:
    table = goods(40)
    table["cost"] = table["cost"] + 0.0004
    sale = tw.SaleColumns(SHOP, price="price", cost="cost", wanted="5", of="worst")
    check(book, shelf, SHOP, sale, table)
    frame = tw.reprice(pd.DataFrame(table), book, date="2026-08-03", mix=MIX, shelf=shelf, currency="USD", sale=sale)
    assert frame["profit"].dropna().map(lambda profit: profit.as_tuple().exponent).eq(-6).all()


@pytest.mark.parametrize("kind", ["pandas", "polars", "arrow", "chunks", "arrays"])
@pytest.mark.parametrize("plain", [False, True])
def test_every_kind_of_table(book: tw.Ratebook, shelf: tw.Shelf, kind: str, plain: bool) -> None:
    table = goods(60)
    table["cost"][3] = np.nan
    table["price"][4] = -2
    table["weight_oz"][5] = np.nan
    make: dict[str, Any] = {
        "pandas": pd.DataFrame,
        "polars": pl.DataFrame,
        "arrow": pa.table,
        "chunks": lambda columns: pa.concat_tables([pa.table(columns).slice(0, 13), pa.table(columns).slice(13)]),
        "arrays": dict,
    }
    sale = tw.SaleColumns(SHOP, price="price", cost="cost", wanted="5.00")
    given: dict[str, Any] = {"date": "2026-08-03", "mix": MIX, "shelf": shelf, "currency": "USD", "sale": sale}
    wanted = tw.reprice(table, book, plain=True, **given)
    found = tw.reprice(make[kind](table), book, plain=plain, prefix="our_", **given)
    words = [
        "bad_price: price: found \"-2.0\", expected an amount of money such as \"6.45\", at most 1000 million" if code == 3
        else tw.Repricer(book, **given).sale_reasons[code] or None
        for code in wanted["sale_reason"].tolist()
    ]
    numbers = plain or kind == "arrays"
    for name, none in (("profit", NONE), ("most_to_pay", -1), ("least_price", -1)):
        column = found[f"our_{name}_micros" if numbers else f"our_{name}"]
        values = column.to_pylist() if hasattr(column, "to_pylist") else list(column)
        if not numbers:
            values = [micros(None if value is None or value is pd.NA or value != value else value, none) for value in values]
        assert [int(value) for value in values] == wanted[f"{name}_micros"].tolist(), name
    column = found["our_sale_reason"]
    values = column.to_pylist() if hasattr(column, "to_pylist") else list(column)
    if plain:
        assert [int(value) for value in values] == wanted["sale_reason"].tolist()
    else:
        assert [None if value is None or value != value else value for value in values] == words
    assert wanted["sale_reason"][3:6].tolist() == [4, 3, 1]
    assert wanted["least_price_micros"][4] > 0 and wanted["most_to_pay_micros"][3] > 0  # what can be told is


def test_cells_that_are_no_money_are_told(book: tw.Ratebook, shelf: tw.Shelf) -> None:
    table: dict[str, Any] = {name: column[:9] for name, column in goods(40).items()}
    for name, column in table.items():
        if name.endswith(("oz", "in")):
            column[:] = 4.0
    table["price"] = ["24.90", "cheap", None, "", "1e3", Decimal("19.5"), "-4", "12,50", "1000000000.01"]
    table["cost"] = np.full(9, 4.0)
    sale = tw.SaleColumns(SHOP, price="price", cost="cost", wanted="5.00", of="worst")
    priced = tw.reprice(pd.DataFrame(table), book, date="2026-08-03", mix=MIX, shelf=shelf, currency="USD", sale=sale)
    assert priced["reason"].isna().all()  # the parcel is priced all the same
    told = [None if reason != reason else reason for reason in priced["sale_reason"]]
    assert told[0] is None and told[5] is None and told[2] == told[3] == "no_price"
    for i, text in ((1, "cheap"), (4, "1e3"), (6, "-4"), (7, "12,50"), (8, "1000000000.01")):
        assert told[i] is not None and told[i].startswith(f'bad_price: price: found "{text}", expected an amount of money'), told[i]
    assert priced["profit"].isna().tolist() == [i not in (0, 5) for i in range(9)]
    assert priced["least_price"].notna().all()


def test_what_nothing_keeps_is_told(book: tw.Ratebook, shelf: tw.Shelf) -> None:
    table = {name: column[:1] for name, column in goods(1).items()}
    for name in ("weight_oz", "length_in", "width_in", "height_in"):
        table[name] = np.array([4.0])
    given: dict[str, Any] = {"date": "2026-08-03", "mix": MIX, "shelf": shelf, "currency": "USD"}
    table["price"], table["cost"] = np.array([3.0]), np.array([2.0])
    priced = tw.reprice(table, book, sale=tw.SaleColumns(SHOP, price="price", wanted="5.00"), **given)
    assert priced["sale_reason"][0] == "not_at_no_cost" and priced["most_to_pay_micros"][0] == -1
    priced = tw.reprice(table, book, sale=tw.SaleColumns(SHOP, cost="cost", wanted="5.00", up_to="6.00"), **given)
    assert priced["sale_reason"][0] == "not_at_any_price" and priced["least_price_micros"][0] == -1


def test_answers_are_those_that_can_be_asked_for(book: tw.Ratebook, shelf: tw.Shelf) -> None:
    given: dict[str, Any] = {"date": "2026-08-03", "mix": MIX, "shelf": shelf, "currency": "USD"}
    table = goods(3)
    for sale, answers in (
        (tw.SaleColumns(SHOP, price="price", cost="cost"), {"profit_micros"}),
        (tw.SaleColumns(SHOP, price="price", wanted=5), {"most_to_pay_micros"}),
        (tw.SaleColumns(SHOP, cost="cost", wanted=5), {"least_price_micros"}),
    ):
        before = tw.reprice(table, book, **given)
        assert set(tw.reprice(table, book, sale=sale, **given)) - set(before) == answers | {"sale_reason"}


def test_results_never_hang_on_threads_or_batches(book: tw.Ratebook, shelf: tw.Shelf) -> None:
    table = goods(3000)
    sale = tw.SaleColumns(SHOP, price="price", cost="cost", wanted="5.00")
    given: dict[str, Any] = {"date": "2026-08-03", "mix": MIX, "shelf": shelf, "currency": "USD", "sale": sale, "plain": True}
    one = tw.reprice(table, book, threads=1, **given)
    many = tw.reprice(table, book, threads=7, **given)
    repricer = pickle.loads(pickle.dumps(tw.Repricer(book, **given)))
    parts = list(repricer.batches({name: column[at : at + 700] for name, column in table.items()} for at in range(0, 3000, 700)))
    for name in one:
        assert (one[name] == many[name]).all(), name
        assert (one[name] == np.concatenate([part[name] for part in parts])).all(), name


def test_what_is_wrong_is_told_before_anything_is_priced(book: tw.Ratebook, shelf: tw.Shelf) -> None:
    given: dict[str, Any] = {"date": "2026-08-03", "mix": MIX, "shelf": shelf, "currency": "USD"}
    with pytest.raises(TypeError, match="neither price nor cost"):
        tw.SaleColumns(SHOP)
    with pytest.raises(TypeError, match="found no wanted"):
        tw.SaleColumns(SHOP, price="price")
    with pytest.raises(TypeError, match="price: found 24.9, expected the name of a column"):
        tw.SaleColumns(SHOP, price=24.9, cost="cost")  # type: ignore[arg-type]
    with pytest.raises(TypeError, match="expected an Economics"):
        tw.SaleColumns("USD", price="price", cost="cost")  # type: ignore[arg-type]
    with pytest.raises(TypeError, match="money is exact"):
        tw.SaleColumns(SHOP, price="price", cost="cost", wanted=5.0)  # type: ignore[arg-type]
    with pytest.raises(tw.QuantityError, match="worst or average"):
        tw.SaleColumns(SHOP, price="price", cost="cost", wanted="5", of="expected")  # type: ignore[arg-type]
    with pytest.raises(tw.RequestError, match="margin of 120 %"):
        tw.SaleColumns(SHOP, price="price", cost="cost", wanted="120 %")
    sale = tw.SaleColumns(SHOP, price="Price", cost="cost")
    with pytest.raises(tw.QuantityError, match="sale: found no column 'Price' for price, the catalogue has weight_oz, .*price"):
        tw.reprice(goods(2), book, sale=sale, **given)
    with pytest.raises(TypeError, match="sale: found Economics, expected SaleColumns"):
        tw.reprice(goods(2), book, sale=SHOP, **given)
    euros = tw.SaleColumns(tw.Economics("EUR"), price="price", cost="cost")
    with pytest.raises(tw.QuantityError, match="found economics in EUR, expected USD"):
        tw.reprice(goods(2), book, sale=euros, **given)
    sale = tw.SaleColumns(SHOP, price="price", cost="cost")
    with pytest.raises(tw.QuantityError, match="found a column of orders beside sale"):
        tw.reprice({**goods(2), "order": np.array(["a", "a"], object)}, book, sale=sale, **given)
    with pytest.raises(tw.QuantityError, match="found columns profit already"):
        tw.reprice({**goods(2), "profit_micros": np.zeros(2)}, book, sale=sale, **given)
    with pytest.raises(TypeError, match="price: found float32"):
        tw.reprice({**goods(2), "price": np.ones(2, np.float32)}, book, sale=sale, **given)
    empty = tw.reprice({name: column[:0] for name, column in goods(2).items()}, book, sale=sale, **given)
    assert len(empty["profit_micros"]) == 0


def test_sale_columns_are_values() -> None:
    sale = tw.SaleColumns(SHOP, price="price", cost="cost", wanted="5.00", of="worst")
    assert pickle.loads(pickle.dumps(sale)) == sale and hash(sale) == hash(pickle.loads(pickle.dumps(sale)))
    assert sale != tw.SaleColumns(SHOP, price="price", cost="cost", wanted="5.01", of="worst")
    with pytest.raises(AttributeError):
        sale.price = "other"  # type: ignore[misc]


def test_another_date_of_the_same(book: tw.Ratebook, shelf: tw.Shelf) -> None:
    repricer = tw.Repricer(book, date="2026-07-11", mix=MIX, shelf=shelf, currency="USD", plain=True)
    later = repricer.replace(date="2026-07-12")
    table = goods(50)
    wanted = tw.reprice(table, book, date="2026-07-12", mix=MIX, shelf=shelf, currency="USD", plain=True)
    assert (later(table)["expected_total_micros"] == wanted["expected_total_micros"]).all()
    assert (repricer(table)["expected_total_micros"] != wanted["expected_total_micros"]).any()
    with pytest.raises(TypeError, match=r"Repricer.replace\(\) has no keyword 'dates'; did you mean 'date'\?"):
        repricer.replace(dates="2026-07-12")  # type: ignore[call-arg]
