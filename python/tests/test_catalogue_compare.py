"""What a change of rates does to a catalogue: against a recount of two repricings, row by row with fractions, and against the command."""

from __future__ import annotations

import collections
import csv
import json
import os
import pathlib
import subprocess
from decimal import Decimal
from fractions import Fraction
from typing import Any

import numpy as np
import pandas as pd
import polars as pl
import pyarrow as pa
import pytest

import tarewise as tw

MIX = tw.Mix("US 05401", {"US 98101": 120, "US 10001": 310, "US 60601": 95, "US 05602": 0})
# Fees are invented.
SHOP = tw.Economics("USD", fees=[tw.Fee("selling", "11.4", "0.25")], labour="1.20")
SALE = tw.SaleColumns(SHOP, price="price", cost="cost", wanted="1.00")
NONE = np.iinfo(np.int64).min


def goods(rows: int) -> dict[str, Any]:
    table = {name: column[:: 3000 // rows][:rows] for name, column in tw.demo().goods.items()}
    table["length_in"] = table["length_in"].copy()
    table["length_in"][7:8] = 400.0  # past every service
    table["price"] = table["value"]
    table["cost"] = np.round(table["value"] * 0.4, 2)
    return table


def sides(book: tw.Ratebook, shelf: tw.Shelf, **given: Any) -> tuple[tw.Repricer, tw.Repricer]:
    given = {"mix": MIX, "shelf": shelf, "currency": "USD", "plain": True, **given}
    before = tw.Repricer(book, date="2026-07-11", **given)
    return before, before.replace(date="2026-08-03")


def cents(amount: Fraction) -> Decimal:
    """Half up by magnitude, to the cent."""
    whole = (abs(amount) * 100 + Fraction(1, 2)).__floor__()
    return Decimal(whole if amount >= 0 else -whole).scaleb(-2)


def test_every_number_is_that_of_a_recount(book: tw.Ratebook, shelf: tw.Shelf) -> None:
    table = goods(500)
    before, after = sides(book, shelf, sale=SALE)
    compared = tw.compare_catalogue(table, before, after, monthly="monthly_sales", name="sku", most_losers=4)
    change, rows = compared.change, compared.rows
    lanes, shares = len(MIX), [share for _, share in MIX]
    sent = [i for i in range(lanes) if shares[i] > 0]
    old, new = (one.replace(outputs=["total", "service", "packaging"], sale=None)(table) for one in (before, after))
    names = [name.removeprefix("total_").removesuffix("_micros") for name in old if name.startswith("total_")]
    assert len(names) == lanes
    counted: collections.Counter[str] = collections.Counter()
    moves: collections.Counter[tuple[Any, Any]] = collections.Counter()
    months, places, losses = [Fraction(), Fraction()], collections.defaultdict(lambda: [Fraction(), Fraction()]), []
    for row in range(len(table["sku"])):
        cells = [
            [(int(side[f"total_{name}_micros"][row]), one.services[side[f"service_{name}"][row]], one.packagings[side[f"packaging_{name}"][row]])
             if side[f"total_{name}_micros"][row] >= 0 else None for name in names]
            for one, side in ((before, old), (after, new))
        ]
        bits = 0
        for i in sent:
            was, now = cells[0][i], cells[1][i]
            moves[was and was[1], now and now[1]] += (was or now) is not None
            if (was is None) != (now is None):
                bits |= 8
            if was and now:
                bits |= (was[0] != now[0]) | (was[1] != now[1]) << 1 | (was[2] != now[2]) << 2
        means = [
            None if any(side[i] is None for i in sent) else sum((Fraction(shares[i] * side[i][0], sum(shares) * 10**6) for i in sent), Fraction())  # type: ignore[index]
            for side in cells
        ]
        assert rows["change"][row] == bits
        for mean, column in zip(means, ("before_total_micros", "after_total_micros")):
            assert rows[column][row] == (-1 if mean is None else int(cents(mean).scaleb(6)))
        for i, kind in enumerate(("total", "service", "packaging", "offered")):
            counted[kind] += bits >> i & 1
        counted["changed"] += bits != 0
        if means[0] is None or means[1] is None:
            assert rows["month_rise_micros"][row] == NONE
            continue
        sold = Fraction(repr(float(table["monthly_sales"][row])))
        rise = (means[1] - means[0]) * sold
        assert rows["month_rise_micros"][row] == int(cents(rise).scaleb(6))
        counted["comparable"] += 1
        counted["dearer"] += means[1] > means[0]
        counted["cheaper"] += means[1] < means[0]
        losses.append((-rise, row))
        for side in range(2):
            months[side] += means[side] * sold  # type: ignore[operator]
            for i in sent:
                places[i][side] += Fraction(shares[i] * cells[side][i][0], sum(shares) * 10**6) * sold  # type: ignore[index]
    found = (change.total_changed, change.service_changed, change.packaging_changed, change.offered_changed)
    assert found == tuple(counted[kind] for kind in ("total", "service", "packaging", "offered")) and min(found[:3]) > 0
    assert (change.changed, change.comparable) == (counted["changed"], counted["comparable"])
    assert (change.dearer, change.cheaper) == (counted["dearer"], counted["cheaper"]) and change.dearer > 100
    assert (change.month_before, change.month_after) == (cents(months[0]), cents(months[1]))
    assert {(move.before, move.after): move.cells for move in change.by_service} == {pair: n for pair, n in moves.items() if n}
    assert [(cents(places[i][0]), cents(places[i][1])) for i in range(lanes)] == [
        (place.month_before, place.month_after) for place in change.by_place
    ]
    assert abs(sum(move.month_after for move in change.by_service) - change.month_after) <= Decimal("0.01") * len(change.by_service)
    assert [loss.row for loss in change.losers] == [row for _, row in sorted(losses)[:4]]
    assert [loss.name for loss in change.losers] == [table["sku"][loss.row] for loss in change.losers]
    assert change.lost == change.gained == 0 and change.rows == 500 and change.places == 4


def test_those_that_now_lose_are_what_economics_says(book: tw.Ratebook, shelf: tw.Shelf) -> None:
    table = goods(300)
    table["cost"] = np.round(table["value"] * 0.4 - 1.5, 2).clip(0)
    before, after = sides(book, shelf, sale=SALE)
    compared = tw.compare_catalogue(table, before, after)
    losing: list[set[int]] = []
    for one, word in ((before, "before"), (after, "after")):
        priced = one.replace(outputs=["total"])(table)
        names = [name for name in priced if name.startswith("total_")]
        losing.append(set())
        for row in range(300):
            totals = [int(priced[name][row]) for name in names]
            if min(totals) < 0:
                continue
            places = [tw.PlaceTotal(Decimal(total).scaleb(-6), share=share) for total, (_, share) in zip(totals, MIX)]
            cost, price = (Decimal(str(table[name][row])) for name in ("cost", "price"))
            if not SHOP.keeps(places, cost=cost, price=price, wanted="1.00"):
                losing[-1].add(row)
            assert compared.rows[f"{word}_profit_micros"][row] == int(SHOP.profit(places, cost=cost, price=price).expected.scaleb(6))
    told = compared.change.losing
    assert told is not None and (set(told.before), set(told.after)) == (losing[0], losing[1])
    assert set(told.newly) == losing[1] - losing[0] and set(told.no_longer) == losing[0] - losing[1] and told.newly
    words = tw.compare_catalogue(pd.DataFrame(table), *(one.replace(plain=False) for one in (before, after))).rows["loses"]
    wanted = [
        "newly" if row in told.newly else "no longer" if row in told.no_longer else "still" if row in told.after else None
        for row in range(300)
    ]
    assert [None if word != word else word for word in words] == wanted


@pytest.mark.parametrize("kind", ["pandas", "polars", "arrow", "chunks"])
@pytest.mark.parametrize("lanes", [False, True])
def test_every_kind_of_table(book: tw.Ratebook, shelf: tw.Shelf, kind: str, lanes: bool) -> None:
    table = goods(60)
    where: dict[str, Any] = {"mix": None, "lanes": MIX.lanes()[0]} if lanes else {}
    before, after = sides(book, shelf, sale=SALE, **where)
    plain = tw.compare_catalogue(table, before, after, monthly="monthly_sales")
    make: dict[str, Any] = {
        "pandas": pd.DataFrame,
        "polars": lambda columns: pl.DataFrame(pa.table(columns)),
        "arrow": pa.table,
        "chunks": lambda columns: pa.concat_tables([pa.table(columns).slice(0, 13), pa.table(columns).slice(13)]),
    }
    frame = make[kind](table)
    compared = tw.compare_catalogue(frame, before.replace(plain=False), after.replace(plain=False), monthly="monthly_sales")
    assert type(compared.rows) is type(frame) and compared.to_dict() == plain.to_dict() == json.loads(json.dumps(plain.to_dict()))

    def values(name: str) -> list[Any]:
        column: Any = compared.rows[name]
        listed = column.to_pylist() if hasattr(column, "to_pylist") else list(column)
        return [None if value is None or value is pd.NA or value != value else value for value in listed]

    for name, none in (("before_total", -1), ("after_total", -1), ("month_rise", NONE), ("before_profit", NONE), ("after_profit", NONE)):
        wanted = plain.rows[f"{name}_micros"].tolist()
        assert [none if value is None else int(value.scaleb(6)) for value in values(name)] == wanted, name
    if lanes:
        numbers = plain.rows["after_service"].tolist()
        assert values("after_service") == [None if number < 0 else after.services[number] for number in numbers]
    assert values("reason")[7] is not None and values("sale_reason")[7] == "not_priced"
    assert any(word is not None and "total" in word.split() for word in values("change"))


def command(root: pathlib.Path) -> str:
    named = os.environ.get("TAREWISE_COMMAND")
    found = [named] if named else sorted(map(str, root.glob("build/*/lib/command/tarewise")))
    if not found:
        pytest.skip("the command is not built here: TAREWISE_COMMAND says where it is")
    return found[0]


def test_the_same_numbers_as_the_command(root: pathlib.Path, book: tw.Ratebook, shelf: tw.Shelf, tmp_path: pathlib.Path) -> None:
    tarewise = command(root)
    tables = root / "tables"
    out = tmp_path / "rows.csv"
    arguments = [tarewise, "compare", "--tables", tables / "demo", "--dates", "2026-07-11", "2026-08-03", "--out", out, "--json"]
    arguments += ["--catalogue", tables / "catalogue" / "goods.csv", "--mix", tables / "catalogue" / "destinations.csv"]
    arguments += ["--from", "US 05401", "--currency", "USD"]
    done = subprocess.run([*map(str, arguments)], check=True, capture_output=True, text=True)
    document = json.loads(done.stdout)
    demo = tw.demo()
    before, after = sides(book, shelf, mix=demo.mix)
    compared = tw.compare_catalogue(demo.goods, before, after, monthly="monthly_sales", name="sku")
    found = compared.to_dict()
    for key, value in document["catalogue"].items():
        if key == "lose_most":
            for told, wanted in zip(found[key], value, strict=True):
                for name in ("row", "name", "before", "after", "month"):
                    assert told[name] == wanted[name], (name, told, wanted)
                assert told["most_to"] == f"{wanted['most_to']['country']} {wanted['most_to']['postal_code']}"
        else:
            assert found[key] == value, key
    assert document["summary"][-len(compared.change.summary.splitlines()) :] == compared.change.summary.splitlines()
    with open(out, newline="") as file:
        rows = list(csv.DictReader(file))
    kinds = ("total", "service", "packaging", "offered")
    for i, row in enumerate(rows):
        for name, column in (("before_total_usd", "before_total_micros"), ("after_total_usd", "after_total_micros")):
            assert int(Decimal(row[name] or "-0.000001").scaleb(6)) == compared.rows[column][i]
        rise = int(compared.rows["month_rise_micros"][i])
        assert int(Decimal(row["month_rise_usd"] or 0).scaleb(6)) == (0 if rise == NONE else rise)
        assert row["change"] == " ".join(kind for at, kind in enumerate(kinds) if compared.rows["change"][i] >> at & 1)
    assert len(rows) == len(demo.goods["sku"])


def test_what_cannot_be_compared_is_told(book: tw.Ratebook, shelf: tw.Shelf) -> None:
    before, after = sides(book, shelf)
    table = goods(20)
    for changes, words in (
        ({"mix": tw.Mix("US 05401", {"US 98101": 1})}, "lanes: found different ones"),
        ({"mix": tw.Mix("US 05401", {"US 98101": 1, "US 10001": 310, "US 60601": 95, "US 05602": 0})}, "shares: found different ones"),
        ({"currency": "EUR", "exchange": {"USD": "0.9"}}, "currency: found USD before and EUR after"),
        ({"plain": False}, "plain: found different ones"),
        ({"sale": SALE}, "sale: found different ones"),
        ({"most_parcels": 2}, "after: found most_parcels over 1"),
    ):
        other = after.replace(**changes)
        with pytest.raises(tw.QuantityError, match=words):
            tw.compare_catalogue(table, before, other)
    with pytest.raises(TypeError, match="after: found str, expected a Repricer"):
        tw.compare_catalogue(table, before, "2026-08-03")  # type: ignore[arg-type]
    with pytest.raises(tw.QuantityError, match="monthly: found no column 'sales', the catalogue has sku, "):
        tw.compare_catalogue(table, before, after, monthly="sales")
    table["monthly_sales"] = table["monthly_sales"].copy()
    table["monthly_sales"][3] = -1
    with pytest.raises(tw.QuantityError, match='monthly_sales: row 3: found "-1.0", expected a number from 0'):
        tw.compare_catalogue(table, before, after, monthly="monthly_sales")
    with pytest.raises(tw.QuantityError, match="found a column of orders"):
        tw.compare_catalogue({**table, "order": table["sku"]}, before, after)
    with pytest.raises(tw.QuantityError, match="found columns change already"):
        tw.compare_catalogue({**table, "change": table["sku"]}, before, after)
    with pytest.raises(tw.QuantityError, match="found -1, expected 0 to 1000000"):
        tw.compare_catalogue(table | {"monthly_sales": table["cost"]}, before, after, most_losers=-1)
    price_alone = tw.SaleColumns(SHOP, price="price", wanted=1)
    with pytest.raises(tw.QuantityError, match="before: found a sale without price or cost"):
        tw.compare_catalogue(table, before.replace(sale=price_alone), after.replace(sale=price_alone))


def test_a_comparison_shows_itself(book: tw.Ratebook, shelf: tw.Shelf) -> None:
    before, after = sides(book, shelf, sale=SALE)
    compared = tw.compare_catalogue(goods(300), before, after, name="sku")
    assert repr(compared).startswith("<CatalogueComparison of 300 rows to 4 places: ") and "newly lose>" in repr(compared)
    assert str(compared) == compared.change.summary and compared.change.losers[0].name in str(compared)
    page = compared._repr_html_()
    assert "Loses most" in page and compared.change.moved[0].before is not None and compared.change.moved[0].before in page
    same = tw.compare_catalogue(goods(5), before, before)
    assert same.change.changed == 0 and not same.change.moved and "nothing changes" in str(same)
    none = tw.compare_catalogue({name: column[:0] for name, column in goods(5).items()}, before, after)
    assert none.change.rows == 0 and none.change.losers == ()


def test_losers_month_by_month(book: tw.Ratebook, shelf: tw.Shelf) -> None:
    table = goods(300)
    before, _ = sides(book, shelf, sale=SALE)
    lost = tw.losers(table, before, ["2026-06-30", "2026-07", "2026-08", "2027-01"])
    assert [one.name for one in lost.periods] == ["2026-06-30", "2026-07", "2026-08", "2027-01"]
    assert lost.periods[0].dates == ("2026-06-30",) and "2026-07-12" in lost.periods[1].dates
    earlier: set[int] = set()
    words: list[list[str]] = [[] for _ in range(300)]
    for i, period in enumerate(lost.periods):
        days = [before.replace(date=day) for day in period.dates]
        # A comparison of each day with itself tells who loses on it.
        each = [tw.compare_catalogue(table, day, day) for day in days]
        rows = set().union(*(set(one.change.losing.after) for one in each if one.change.losing is not None))
        assert set(period.rows) == rows and rows
        if i:
            assert set(period.newly) == rows - earlier and set(period.no_longer) == earlier - rows
        least = np.minimum.reduce([one.rows["after_profit_micros"] for one in each])
        assert (lost.rows[f"profit_{period.name}_micros"] == least).all()
        earlier = rows
        for row in rows:
            words[row].append(period.name)
    told = tw.losers(pd.DataFrame(table), before.replace(plain=False), ["2026-06-30", "2026-07", "2026-08", "2027-01"])
    assert [None if word != word else word for word in told.rows["loses_in"]] == [" ".join(row) or None for row in words]
    assert list(told.of("2026-08").index) == list(lost.periods[2].rows)
    assert repr(told).startswith("<Losers: 2026-06-30: ") and len(str(told).splitlines()) == 5 and "2027-01" in told._repr_html_()
    assert json.loads(json.dumps(told.to_dict())) == told.to_dict()


def test_days_between_the_changes_of_a_month_are_like_those_before(book: tw.Ratebook, shelf: tw.Shelf) -> None:
    table = goods(100)
    before, _ = sides(book, shelf, sale=SALE)
    period = tw.losers(table, before, ["2026-07"]).periods[0]
    asked = set(period.dates)
    days = [f"2026-07-{day:02}" for day in range(1, 32)]
    every = tw.losers(table, before, days)
    for earlier, day in zip(days, days[1:]):
        if day not in asked:
            assert (every.rows[f"profit_{day}_micros"] == every.rows[f"profit_{earlier}_micros"]).all(), day
    assert set(period.rows) == set().union(*(one.rows for one in every.periods))


def test_the_rows_of_a_period_in_every_kind_of_table(book: tw.Ratebook, shelf: tw.Shelf) -> None:
    table = goods(100)
    before, _ = sides(book, shelf, sale=SALE)
    for frame in (table, pd.DataFrame(table), pl.DataFrame(pa.table(table)), pa.table(table)):
        lost = tw.losers(frame, before, ["2026-08"])
        part: Any = lost.of("2026-08")
        assert type(part) is type(frame) and list(map(str, part["sku"])) == [table["sku"][row] for row in lost.periods[0].rows]


def test_what_is_wrong_with_periods_is_told(book: tw.Ratebook, shelf: tw.Shelf) -> None:
    before, _ = sides(book, shelf, sale=SALE)
    table = goods(5)
    for dates in (["2026-13"], ["July"], ["20260712"], ["2026-02-30"]):
        with pytest.raises(tw.QuantityError, match='expected a day such as "2026-07-12" or a month such as "2026-07"'):
            tw.losers(table, before, dates)
    with pytest.raises(tw.QuantityError, match="found 2026-07 twice"):
        tw.losers(table, before, ["2026-07", "2026-07"])
    with pytest.raises(tw.QuantityError, match="dates: found none"):
        tw.losers(table, before, [])
    with pytest.raises(TypeError, match="expected a list of days or months"):
        tw.losers(table, before, "2026-07")
    with pytest.raises(tw.QuantityError, match="found no sale with price and cost"):
        tw.losers(table, before.replace(sale=None), ["2026-07"])
    with pytest.raises(KeyError, match="found '2026-09', expected one of 2026-07"):
        tw.losers(table, before, ["2026-07"]).of("2026-09")
