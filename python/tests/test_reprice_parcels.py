"""Orders in several parcels: the best of all ways to part few goods, put together here from what ``rank`` says of each part."""

from __future__ import annotations

import csv
import pathlib
from collections.abc import Iterator
from decimal import Decimal
from typing import Any

import numpy as np
import pandas as pd
import polars as pl
import pyarrow as pa
import pytest

import tarewise as tw
from tarewise.__main__ import main
from tarewise.sheets import reprice_sheet

DATE = "2026-08-03"
HOME = tw.Lane("US 05401", "US 98101", residential=True)
NEAR = tw.Lane("US 05401", "US 05602")

# Invented: irons and an anvil cost less apart, a book and a print less together; nothing takes a cannon; of three balls no
# two are one parcel. The lamp is of no order.
GOODS: list[tuple[str, int, tuple[int, int, int], str | None]] = [
    ("irons", 40, (14, 12, 9), "A-1"),
    ("book", 2, (9, 6, 1), "A-2"),
    ("anvil", 30, (12, 10, 8), "A-1"),
    ("print", 1, (9, 6, 1), "A-2"),
    ("cannon", 160, (30, 9, 9), "A-3"),
    ("lamp", 3, (10, 8, 5), None),
    ("ball", 80, (8, 8, 8), "A-4"),
    ("ball", 80, (8, 8, 8), "A-4"),
    ("ball", 80, (8, 8, 8), "A-4"),
]
ORDERS = [[0, 2], [1, 3], [4], [5], [6, 7, 8]]


@pytest.fixture(scope="module")
def options(book: tw.Ratebook, shelf: tw.Shelf) -> dict[str, Any]:
    return {"ratebook": book, "shelf": shelf, "date": DATE, "currency": "USD"}


def catalogue() -> dict[str, Any]:
    return {
        "weight_lb": np.array([pounds for _, pounds, _, _ in GOODS]),
        **{f"{side}_in": np.array([sides[i] for _, _, sides, _ in GOODS]) for i, side in enumerate(("length", "width", "height"))},
        "order": [order for _, _, _, order in GOODS],
    }


def ways(rows: list[int]) -> Iterator[list[list[int]]]:
    """Every way to part the rows."""
    if not rows:
        yield []
        return
    first, rest = rows[0], rows[1:]
    for parts in ways(rest):
        yield [[first], *parts]
        for i, part in enumerate(parts):
            yield [*parts[:i], [first, *part], *parts[i + 1 :]]


def best_of(rows: list[int], most: int, lane: tw.Lane, options: dict[str, Any]) -> tuple[Decimal | None, int]:
    """The least total in at most so many parcels, and in how many. No price of the demonstration minds what goes together,
    and of the packagings that these goods go in more are on hand than are used; so a plan is the sum of its parcels."""
    found: tuple[Decimal | None, int] = (None, 0)
    for parts in ways(rows):
        if len(parts) > most:
            continue
        offers = []
        for part in parts:
            items = [tw.Item(f"{GOODS[row][1]} lb", "{} x {} x {} in".format(*GOODS[row][2])) for row in part]
            offers.append(tw.rank(goods=items, lane=lane, **options).best)
        if any(offer is None for offer in offers):
            continue
        total = sum((offer.total for offer in offers if offer is not None), Decimal(0))
        if found[0] is None or (total, len(parts)) < found:
            found = (total, len(parts))
    return found


@pytest.mark.parametrize("most", [1, 2, 3])
def test_an_order_goes_in_the_best_way_to_part_it(most: int, options: dict[str, Any]) -> None:
    lanes = {"near": NEAR, "far": HOME}
    out = tw.reprice(catalogue(), lanes=lanes, most_parcels=most, outputs=["total", "parcels", "second_total"], **options)
    counts = set()
    for name, lane in lanes.items():
        for rows in ORDERS:
            total, parcels = best_of(rows, most, lane, options)
            first = rows[0]
            assert out[f"total_{name}_micros"][first] == (-1 if total is None else int(total * 10**6))
            assert out[f"parcels_{name}"][first] == parcels
            assert (out[f"total_{name}_micros"][rows[1:]] == -1).all() and (out[f"parcels_{name}"][rows[1:]] == 0).all()
            counts.add(parcels)
            if most > 1 and GOODS[first][3] is not None:
                assert out[f"second_total_{name}_micros"][first] == -1
        assert out[f"second_total_{name}_micros"][5] > 0  # of no order
    assert counts == set(range(most + 1))


def test_the_column_is_there_where_it_is_asked_for(options: dict[str, Any]) -> None:
    names = ["total_micros", "service", "packaging", "cautions", "reason"]
    assert [*tw.reprice(catalogue(), lanes=HOME, **options)][5:] == names
    assert [*tw.reprice(catalogue(), lanes=HOME, most_parcels=3, **options)][5:] == ["total_micros", "parcels", *names[1:]]
    mix = tw.Mix("US 05401", {"US 98101": 1, "US 05602": 2})
    mixed = tw.reprice(catalogue(), mix=mix, most_parcels=3, **options)
    assert [*mixed][5:] == ["expected_total_micros", "worst_total_micros", "worst_place", "cautions", "reason"]
    lanes = tw.reprice(catalogue(), lanes=mix.lanes(), most_parcels=3, outputs=["total"], **options)
    totals = [int(lanes[name][0]) for name in ("total_US_98101_micros", "total_US_05602_micros")]
    # The mean, half up to a cent.
    assert mixed["expected_total_micros"][0] == (2 * (totals[0] + 2 * totals[1]) + 30_000) // 60_000 * 10_000
    prefixed = tw.reprice(catalogue(), lanes=HOME, most_parcels=3, prefix="tw_", **options)
    assert prefixed["tw_parcels"].tolist() == [2, 1, 0, 0, 0, 1, 3, 0, 0]


@pytest.mark.parametrize("kind", ["arrays", "pandas", "polars", "arrow", "chunks"])
@pytest.mark.parametrize("plain", [False, True])
def test_every_kind_of_table(kind: str, plain: bool, options: dict[str, Any]) -> None:
    columns = catalogue()
    table: Any = columns
    if kind == "pandas":
        table = pd.DataFrame(columns, index=range(5, 14))
    elif kind == "polars":
        table = pl.DataFrame(columns)
    elif kind in ("arrow", "chunks"):
        table = pa.table(columns)
        if kind == "chunks":
            table = pa.concat_tables([table.slice(0, 4), table.slice(4)])
    repricer = tw.Repricer(lanes=HOME, most_parcels=3, plain=plain, threads=2, **options)
    out = repricer(table)
    column = out["parcels"]
    if kind in ("arrow", "chunks"):
        assert column.type == pa.int16()
    else:
        assert str(column.dtype) == {"arrays": "int16", "polars": "Int16"}.get(kind, "int16" if plain else "Int16")
    got = column.to_pylist() if kind in ("arrow", "chunks") else column.to_list() if kind != "arrays" else column.tolist()
    none = 0 if plain or kind == "arrays" else None
    assert [none if value is pd.NA else value for value in got] == [2, 1, none, none, none, 1, 3, none, none]
    # Of no rows it has the same type.
    if kind in ("pandas", "polars"):
        assert repricer(table[:0])["parcels"].dtype == column.dtype


@pytest.mark.parametrize(("most", "error", "words"), [
    (0, tw.QuantityError, "found 0, expected 1 to 100"),
    (101, tw.QuantityError, "found 101, expected 1 to 100"),
    ("2", TypeError, "most_parcels: found str, expected a whole number"),
    (True, TypeError, "most_parcels: found bool, expected a whole number"),
    (1.5, TypeError, "most_parcels: found float, expected a whole number"),
])  # fmt: skip
def test_what_is_no_number_of_parcels(most: Any, error: type[Exception], words: str, options: dict[str, Any]) -> None:
    with pytest.raises(error, match=words):
        tw.Repricer(lanes=HOME, most_parcels=most, **options)


def test_money_cannot_be_collected_by_several(options: dict[str, Any]) -> None:
    with pytest.raises(tw.RequestError, match="found with orders in several parcels, expected none"):
        tw.Repricer(lanes=HOME, most_parcels=2, amounts={"cash_on_delivery": "64.00"}, **options)


def test_the_ranking_behind_an_order_is_that_of_one_parcel(options: dict[str, Any]) -> None:
    repricer = tw.Repricer(lanes=HOME, most_parcels=3, **options)
    best = repricer.explain(catalogue(), 2).best
    assert best is not None and best.total == best_of([0, 2], 1, HOME, options)[0]


def test_sheets(tmp_path: pathlib.Path, options: dict[str, Any]) -> None:
    openpyxl = pytest.importorskip("openpyxl")
    book = openpyxl.Workbook()
    book.active.append(["Weight (lb)", "Length in", "Width in", "Height in", "Order"])
    for _, pounds, sides, order in GOODS:
        book.active.append([pounds, *sides, order])
    book.save(tmp_path / "goods.xlsx")
    repricer = tw.Repricer(lanes=HOME, most_parcels=3, **options)
    priced = reprice_sheet(tmp_path / "goods.xlsx", tmp_path / "priced.xlsx", repricer)
    assert priced.added == ("Total (USD)", "Parcels", "Service", "Packaging", "Cautions", "Reason")
    rows = list(openpyxl.load_workbook(tmp_path / "priced.xlsx").active.iter_rows(min_row=2, values_only=True))
    assert [row[6] for row in rows] == [2, 1, None, None, None, 1, 3, None, None]
    assert Decimal(str(rows[0][5])) == best_of([0, 2], 3, HOME, options)[0]
    at = [row[0] for row in priced.summary].index("Parcels")
    assert {(row[0], row[1]) for row in priced.summary[at + 1 : at + 4]} == {("1", 2), ("2", 1), ("3", 1)}


def test_the_command(tmp_path: pathlib.Path, root: pathlib.Path, capsys: pytest.CaptureFixture[str]) -> None:
    with open(tmp_path / "goods.csv", "w", newline="", encoding="utf-8") as file:
        writer = csv.writer(file)
        writer.writerow(["Weight (lb)", "Length in", "Width in", "Height in", "Order"])
        writer.writerows([pounds, *sides, order or ""] for _, pounds, sides, order in GOODS)
    arguments = ["--tables", str(root / "tables" / "demo"), "--date", DATE, "--from", "US 05401", "--to", "US 98101", "--residential"]
    command = ["reprice", str(tmp_path / "goods.csv"), *arguments, "--currency", "USD", "--out", str(tmp_path / "priced.csv")]
    assert main([*command, "--parcels", "3"]) == 0
    assert "4 of 9 rows priced (4 more in their orders) into" in capsys.readouterr().out
    with open(tmp_path / "priced.csv", newline="", encoding="utf-8") as file:
        assert [row["Parcels"] for row in csv.DictReader(file)] == ["2", "1", "", "", "", "1", "3", "", ""]
    assert main([*command, "--parcels", "0"]) == 2
    assert "found 0, expected 1 to 100" in capsys.readouterr().err
