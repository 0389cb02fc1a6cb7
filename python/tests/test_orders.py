"""Orders in catalogues: rows of one order are one parcel, priced as ``rank`` prices its goods, wherever the rows stand."""

from __future__ import annotations

import csv
import datetime
import os
import pathlib
import random
import signal
from collections.abc import Callable
from decimal import Decimal
from fractions import Fraction
from typing import Any

import numpy as np
import pandas as pd
import polars as pl
import pyarrow as pa
import pyarrow.compute as pc
import pytest

import tarewise as tw
from tarewise.__main__ import main
from tarewise.sheets import match_headers, reprice_sheet

DATE = "2026-08-03"
HOME = tw.Lane("US 05401", "US 98101", residential=True)
LANES = {"near": tw.Lane("US 05401", "US 05602"), "far": HOME}
FIELDS = ["weight", "length", "width", "height", "value", "quantity", "contents", "shape", "this_side_up", "rigid", "bare"]


@pytest.fixture(scope="module")
def options(book: tw.Ratebook, shelf: tw.Shelf) -> dict[str, Any]:
    return {"ratebook": book, "shelf": shelf, "date": DATE, "currency": "USD"}


@pytest.fixture(scope="module")
def repricer(options: dict[str, Any]) -> tw.Repricer:
    return tw.Repricer(lanes=LANES, units="g mm", **options)


def goods(rows: int, orders: list[Any], seed: int = 11) -> dict[str, Any]:
    """Invented goods in grams and millimetres; ``orders`` are drawn from for each row."""
    draw = random.Random(seed)

    def column(make: Callable[[], Any]) -> Any:
        out = np.empty(rows, object)
        out[:] = [make() for _ in range(rows)]
        return out

    return {
        "weight": np.array([draw.randint(20, 1500) for _ in range(rows)]),
        "length": np.array([draw.randint(20, 260) for _ in range(rows)]),
        "width": np.array([draw.randint(20, 180) for _ in range(rows)]),
        "height": np.array([draw.randint(5, 90) for _ in range(rows)]),
        "value": column(lambda: Decimal(draw.randint(0, 9000)) / 100),
        "quantity": np.array([draw.choice((1, 1, 1, 2, 3)) for _ in range(rows)]),
        "contents": column(lambda: draw.choice(("", "media", "media", "fragile", "lithium_in_equipment", "x-vinyl"))),
        "shape": column(lambda: draw.choice(("box", "box", "box", "soft", "flat", "irregular"))),
        "this_side_up": np.array([draw.random() < 0.2 for _ in range(rows)]),
        "rigid": np.array([draw.random() < 0.2 for _ in range(rows)]),
        "bare": np.array([draw.random() < 0.5 for _ in range(rows)]),
        "order": column(lambda: draw.choice(orders)),
    }


def item_of(catalogue: dict[str, Any], row: int) -> tw.Item:
    cell = {name: catalogue[name][row] for name in FIELDS}
    return tw.Item(
        f"{cell['weight']} g",
        f"{cell['length']} x {cell['width']} x {cell['height']} mm",
        value=str(cell["value"]),
        quantity=int(cell["quantity"]),
        contents=str(cell["contents"]).split(),
        shape=cell["shape"],
        this_side_up=bool(cell["this_side_up"]),
        rigid=bool(cell["rigid"]),
        bare=bool(cell["bare"]),
    )


def winner(ranking: tw.Ranking) -> tuple[Any, ...]:
    best = ranking.best
    if best is None:
        return (None, None, None)
    return (int(best.total * 10**6), f"{best.carrier}/{best.service}", best.packaging)


def parts_of(entries: Any) -> list[list[int]]:
    """The rows of each parcel, by what stands in the column as texts or None."""
    parts: dict[Any, list[int]] = {}
    for row, entry in enumerate(entries):
        parts.setdefault(("none", row) if entry is None else entry, []).append(row)
    return list(parts.values())


def column_of(out: Any, name: str) -> list[Any]:
    values = out[name].to_pylist() if isinstance(out, (pa.Table, pa.RecordBatch)) else list(out[name])
    return [None if value is None or value is pd.NA or value != value else value for value in values]


def answers(out: Any) -> list[tuple[Any, ...]]:
    """Of every row and kind of table: of each lane total in millionths, service, packaging; cautions and reason."""
    columns: list[list[Any]] = []
    for lane in LANES:
        if isinstance(out, dict):
            columns.append([None if n < 0 else int(n) for n in out[f"total_{lane}_micros"]])
        else:
            columns.append([None if total is None else int(total * 10**6) for total in column_of(out, f"total_{lane}")])
        columns += [column_of(out, f"{name}_{lane}") for name in ("service", "packaging")]
    return list(zip(*columns, column_of(out, "cautions"), column_of(out, "reason")))


NOTHING = (None,) * 7


@pytest.mark.parametrize("shelf_too", [True, False])
def test_an_order_is_what_rank_puts_first(shelf_too: bool, options: dict[str, Any]) -> None:
    given = options if shelf_too else {**options, "shelf": None}
    rows = 120 if shelf_too else 40
    names = [*(f"A-{n}" for n in range(rows // 4)), None, None, ""]
    catalogue = goods(rows, names)
    repricer = tw.Repricer(lanes=LANES, units="g mm", **given)
    out = answers(repricer(catalogue))
    priced = set()
    sizes = set()
    for parts in parts_of([entry or None for entry in catalogue["order"]]):
        items = [item_of(catalogue, row) for row in parts]
        wanted: tuple[Any, ...] = ()
        for lane in LANES.values():
            wanted += winner(tw.rank(goods=items, lane=lane, **given))
        assert out[parts[0]][:6] == wanted, parts
        priced.add(wanted[2])
        sizes.add(len(parts))
        for row in parts[1:]:
            assert out[row] == (*NOTHING, "in_order"), row
    assert len(priced) > (4 if shelf_too else 0) and max(sizes) >= 5 and 1 in sizes
    # The ranking behind a row of an order is the order's, whichever of its rows is asked for.
    for parts in [parts for parts in parts_of(catalogue["order"]) if len(parts) > 2 and parts[0] is not None][:5]:
        if catalogue["order"][parts[0]]:
            for row in parts:
                assert winner(repricer.explain(catalogue, row, "far")) == out[parts[0]][3:6]
                assert sum(item.quantity for item in repricer.request(catalogue, row).goods) == sum(
                    int(catalogue["quantity"][i]) for i in parts
                )


def test_the_order_of_rows_says_nothing(repricer: tw.Repricer) -> None:
    rows = 200
    catalogue = goods(rows, [None, *range(60)], seed=5)

    def told(catalogue: dict[str, Any]) -> dict[Any, Any]:
        out = answers(repricer(catalogue))
        by_parcel = {}
        for parts in parts_of(catalogue["order"]):
            key = catalogue["order"][parts[0]]
            name = ("row", *(str(catalogue[name][parts[0]]) for name in FIELDS)) if key is None else key
            by_parcel[name] = out[parts[0]]
            assert all(out[row] == (*NOTHING, "in_order") for row in parts[1:])
        return by_parcel

    wanted = told(catalogue)
    assert len(wanted) > 50
    for seed in range(4):
        shuffled = np.random.default_rng(seed).permutation(rows)
        assert told({name: column[shuffled] for name, column in catalogue.items()}) == wanted
    sorted_rows = np.array(sorted(range(rows), key=lambda row: -1 if catalogue["order"][row] is None else catalogue["order"][row]))
    assert told({name: column[sorted_rows] for name, column in catalogue.items()}) == wanted


def test_threads_and_plain_numbers_do_not_matter(options: dict[str, Any], repricer: tw.Repricer) -> None:
    catalogue = goods(900, [None, *(f"o{n}" for n in range(300))], seed=3)
    catalogue["length"][:800] = 100  # few shapes, quickly packed
    catalogue["width"][:800] = 80
    catalogue["height"][:800] = 20
    wanted = answers(repricer(catalogue))
    for threads in (1, 3):
        other = tw.Repricer(lanes=LANES, units="g mm", threads=threads, **options)
        assert answers(other(catalogue)) == wanted
    numbers = tw.Repricer(lanes=LANES, units="g mm", plain=True, **options)
    out = numbers(catalogue)
    assert [None if n == 0 else numbers.reasons[n] for n in out["reason"]] == [row[-1] for row in wanted]
    others = out["reason"] == numbers.reasons.index("in_order")
    assert others.sum() > 400 and (out["total_far_micros"][others] == -1).all() and (out["cautions"][others] == 0).all()
    assert (out["service_far"][others] == -1).all() and (out["packaging_near"][others] == -1).all()


# ---- what a column of orders is held as ----

NUMBERS = [12, None, 7, 12, 40_000, 7, None, -3, 12, 40_000, 0, 0]
TEXTS = ["A-7", None, " a-7", "A-7 ", "B", "\ta-7", "", "a-7x", "A-7", "B", "\u00e9", "\u00e9 "]


def texts_and_numbers() -> dict[str, tuple[Any, list[Any]]]:
    """By kind: the column, and the entries as texts."""
    numbers = [None if n is None else str(n) for n in NUMBERS]
    entries = [text.strip() or None if text else None for text in TEXTS]
    ints = pa.array(NUMBERS, pa.int64())
    words = pa.array(TEXTS)
    held = np.empty(len(NUMBERS), object)
    held[:] = [12, None, "7", 12.0, Decimal("4E4"), np.int16(7), float("nan"), -3, " 12", np.float64(40_000), 0, Decimal("0.0")]
    whole = [5, 9, 5, 5, 2, 9, 0, 0, 1, 2, 200, 200]
    masked = np.ma.masked_array([12.0, 1.5, 7, 12, 4e4, 7, np.inf, -3, 12, 4e4, 0, 0], [n is None for n in NUMBERS])
    out: dict[str, tuple[Any, list[Any]]] = {
        "objects": (held, numbers),
        "masked": (masked, numbers),
        "masked objects": (np.ma.masked_array(np.array([n if n is not None else [1] for n in NUMBERS], object), [n is None for n in NUMBERS]), numbers),
        "floats": (np.array([np.nan if n is None else n for n in NUMBERS]), numbers),
        "floats of 32 bits": (np.array([np.nan if n is None else n for n in NUMBERS], np.float32), numbers),
        "pandas": (pd.Series(NUMBERS), numbers),
        "pandas Int64": (pd.Series(NUMBERS, dtype="Int64"), numbers),
        "pandas Float64": (pd.Series(NUMBERS, dtype="Float64"), numbers),
        "pandas of Arrow": (pd.Series(ints.to_pandas(types_mapper=pd.ArrowDtype)), numbers),
        "pandas categorical of numbers": (pd.Series(pd.Categorical(NUMBERS, categories=[40_000, 1, 0, 12, 7, -3])), numbers),
        "Arrow": (ints, numbers),
        "Arrow dictionary of numbers": (ints.dictionary_encode(), numbers),
        "Arrow decimals": (ints.cast(pa.decimal128(30, 2)), numbers),
        "Arrow run ends": (pc.run_end_encode(ints), numbers),
        "Polars": (pl.Series(NUMBERS), numbers),
        "Polars decimals": (pl.Series([None if n is None else Decimal(n) for n in NUMBERS]), numbers),
        "texts": (np.array(TEXTS, object), entries),
        "NumPy texts": (np.array([text or "" for text in TEXTS]), entries),
        "pandas texts": (pd.Series(TEXTS, dtype="string"), entries),
        # Two categories that are one entry.
        "pandas categorical": (pd.Series(pd.Categorical(TEXTS, categories=["B", "A-7 ", "unused", "\u00e9 ", "\u00e9", "A-7", *TEXTS[5:8], " a-7"])), entries),
        "Arrow texts": (words, entries),
        "Arrow dictionary": (words.dictionary_encode(), entries),
        "Polars texts": (pl.Series(TEXTS), entries),
        "Polars categorical": (pl.Series(TEXTS).cast(pl.Categorical), entries),
        "small numbers": (np.array(whole, np.uint8), [str(n) for n in whole]),
        "large numbers": (np.array(whole, np.uint64) + np.uint64(2**63), [str(n) for n in whole]),
        "strided numbers": (np.repeat(np.array(whole, ">i4"), 2)[::2], [str(n) for n in whole]),
        "decimals past 64 bits": (pa.array([Decimal(n * 10**12 + 10**20) for n in whole], pa.decimal128(38, 0)), [str(n) for n in whole]),
        "integers past 64 bits": (np.array([n + 10**25 for n in whole], object), [str(n) for n in whole]),
        "nothing": (np.full(len(NUMBERS), np.nan), [None] * len(NUMBERS)),
        "Arrow nulls": (pa.nulls(len(NUMBERS)), [None] * len(NUMBERS)),
    }  # fmt: skip
    return out


KINDS = texts_and_numbers()


def wanted_of(catalogue: dict[str, Any], entries: list[Any], repricer: tw.Repricer) -> list[tuple[Any, ...]]:
    """The same orders as numbers that are right as they lie, which the tests above compare with ``rank``."""
    places = {entry: place for place, entry in enumerate(dict.fromkeys(entry for entry in entries if entry is not None), 1)}
    free = range(1000, 1000 + len(entries))
    lone = np.array([free[row] if entry is None else places[entry] for row, entry in enumerate(entries)])
    return answers(repricer({**catalogue, "order": lone}))


@pytest.mark.parametrize("kind", KINDS)
def test_orders_of_every_kind(kind: str, repricer: tw.Repricer) -> None:
    column, entries = KINDS[kind]
    catalogue = {name: array for name, array in goods(len(NUMBERS), [None], seed=2).items() if name != "order"}
    wanted = wanted_of(catalogue, entries, repricer)
    assert sum(row[-1] == "in_order" for row in wanted) == len(entries) - len(parts_of(entries))
    tables: list[Any] = [{**catalogue, "order": column}]
    plain = {name: array.tolist() for name, array in catalogue.items()}
    if isinstance(column, pa.Array):
        table = pa.table({**{name: pa.array(values) for name, values in plain.items()}, "order": column})
        tables += [table, table.combine_chunks().to_batches()[0]]
        tables.append(pa.concat_tables([table[:1], table[1:1], table[1:6], table[6:]]))
        tables.append(pa.concat_tables([table, table, table])[12:24])
        tables.append({**catalogue, "order": pa.chunked_array([column[:5], column[5:]])})
    if isinstance(column, pd.Series):
        tables.append(pd.DataFrame({**plain, "order": column}).set_index(pd.Index(range(50, 50 + len(NUMBERS)))))
    if isinstance(column, pl.Series):
        tables.append(pl.DataFrame({**plain, "order": column}))
        tables.append(pa.table(pl.DataFrame({**plain, "order": column})))
    if type(column) is np.ndarray and column.dtype.kind in "Of" and column.dtype.itemsize == 8:
        tables.append(pd.DataFrame({**catalogue, "order": column}))
    for table in tables:
        out = repricer(table)
        assert type(out) is type(table)
        assert answers(out) == wanted, type(table)


def test_whichever_column_it_is(repricer: tw.Repricer, options: dict[str, Any]) -> None:
    catalogue = goods(12, ["x", "y"])
    wanted = answers(repricer(catalogue))
    renamed = {("Bestellung" if name == "order" else name): column for name, column in catalogue.items()}
    assert not any(row[-1] == "in_order" for row in answers(repricer(renamed)))
    named = tw.Repricer(lanes=LANES, units="g mm", columns={"order": "Bestellung"}, **options)
    assert answers(named(renamed)) == wanted
    with pytest.raises(tw.QuantityError, match="no column 'Bestellung' for order"):
        named(catalogue)


def test_no_rows(repricer: tw.Repricer) -> None:
    for table in (goods(0, [1]), pd.DataFrame(goods(0, [1])), pa.table({n: pa.array(c.tolist()) for n, c in goods(3, ["x"]).items()})[:0]):
        assert answers(repricer(table)) == []


def test_a_mix_counts_an_order_once(options: dict[str, Any]) -> None:
    mix = tw.Mix("US 05401", [("US 05602", 2), ("US 98101", "0.5"), ("US 10001", 1)])
    catalogue = goods(60, [None, *range(15)], seed=9)
    out = tw.reprice(catalogue, mix=mix, units="g mm", quantiles=[0.5], **options)
    lanes = tw.reprice(catalogue, lanes=list(mix.lanes()), units="g mm", **options)
    names = [name for name in lanes if name.startswith("total_")]
    others = 0
    for row in range(60):
        totals = [int(lanes[name][row]) for name in names]
        if out["reason"][row] == "in_order":
            others += 1
            assert totals == [-1] * 3 and out["worst_total_micros"][row] == out["expected_total_micros"][row] == -1
            assert out["worst_place"][row] is None and out["total_p50_micros"][row] == -1
        else:
            mean = Fraction(sum(share * total for share, total in zip(mix.shares, totals)), sum(mix.shares) * 10_000)
            assert out["expected_total_micros"][row] == int(mean + Fraction(1, 2)) * 10_000
            assert out["worst_total_micros"][row] == max(totals)
    assert others > 30


# ---- orders that cannot be priced ----


def cells(**columns: list[Any]) -> dict[str, Any]:
    rows = len(next(iter(columns.values())))
    usual = {"weight": 300, "length": 180, "width": 100, "height": 50}
    out: dict[str, Any] = {name: np.full(rows, float(number)) for name, number in usual.items()}
    for name, values in columns.items():
        if name in usual and all(isinstance(value, (int, float)) for value in values):
            out[name] = np.array(values, float)
        else:
            out[name] = np.empty(rows, object)
            out[name][:] = values
    return out


@pytest.mark.parametrize(
    ("column", "bad", "words"),
    [
        ("weight", float("nan"), "missing"),
        ("weight", 0.0, "bad_weight"),
        ("weight", "heavy", 'bad_weight: weight: found "heavy", expected a weight'),
        ("height", 60_000.0, "bad_side"),
        ("height", None, "missing"),
        ("quantity", "two", 'bad_quantity: quantity: found "two", expected a whole number'),
        ("value", "cheap", 'bad_value: value: found "cheap", expected an amount'),
        ("contents", "glass", 'bad_contents: contents: found "glass", expected'),
        ("shape", "round", 'bad_shape: shape: found "round", expected'),
        ("rigid", "maybe", 'bad_flag: rigid: found "maybe", expected'),
    ],
)
def test_one_bad_row_is_told_and_the_order_is_not_priced(column: str, bad: Any, words: str, repricer: tw.Repricer) -> None:
    good: Any = {"weight": 300.0, "height": 50.0, "quantity": "1", "value": "4", "contents": "", "shape": "box", "rigid": "no"}[column]
    if isinstance(bad, str) or bad is None:
        good = {"weight": "300 g", "height": "50 mm"}.get(column, good)
    for at in (0, 2, 4):
        values: list[Any] = [good] * 6
        values[at] = bad
        catalogue = cells(**{column: values}, order=["A", "B", "A", "B", "A", None])
        out = answers(repricer(catalogue))
        for row in (0, 2, 4):
            assert out[row][:7] == NOTHING
            reason = out[row][7]
            assert reason.startswith(words) and ("found" in words) == ("found" in reason) if row == at else reason == "order_not_priced"
        assert out[1][0] is not None and out[3][7] == "in_order" and out[5][0] is not None
        if bad is not None and bad == bad:
            for row in (0, 2, 4):  # which row is wrong is told whichever is asked for
                with pytest.raises(tw.RequestError, match=f"^row {at}: {words}"):
                    repricer.request(catalogue, row)


@pytest.mark.parametrize(
    ("columns", "reason"),
    [
        ({"weight": [40e6, 40e6, 40e6]}, "bad_weight"),
        ({"weight": ["40000 kg", "40000 kg", "40000 kg"]}, "bad_weight"),
        ({"quantity": [5000, 3000, 2001], "weight": [1, 1, 1]}, "bad_quantity"),
        ({"quantity": ["5000", "3000", "2001"], "weight": [1, 1, 1]}, "bad_quantity"),
        ({"value": ["600000000", "300000000", "100000001"]}, "bad_value"),
    ],
)
def test_rows_that_are_good_and_too_much_together(columns: dict[str, Any], reason: str, repricer: tw.Repricer) -> None:
    """Told without what stands in the first row's cells, which is right."""
    catalogue = cells(**columns, order=["A", "A", "A"])
    assert [row[-1] for row in answers(repricer(catalogue))] == [reason, "order_not_priced", "order_not_priced"]
    alone = answers(repricer({name: column for name, column in catalogue.items() if name != "order"}))
    assert not any(row[-1] == reason for row in alone)
    with pytest.raises(tw.RequestError, match=f"^row 0: {reason}$"):
        repricer.request(catalogue, 2)


def test_one_row_that_is_too_much_by_its_quantity(repricer: tw.Repricer) -> None:
    out = repricer(cells(value=["600000000", "5", "-5"], quantity=["2", "1", "1"]))["reason"].tolist()
    assert out[:2] == ["bad_value", None] and out[2].startswith('bad_value: value: found "-5", expected')


# ---- entries that are none ----

MISTAKES: list[tuple[Any, str]] = [
    (1.5, 'found "1.5", expected a text or a whole number'),
    (float("inf"), 'found "inf", expected a text or a whole number'),
    (2.0**53, "a float has lost digits"),
    (Decimal("7.5"), 'found "7.5", expected a text or a whole number'),
    (Decimal("1E+999999"), "expected a text or a whole number"),
    (10**60, "expected a text or a whole number"),
    (True, 'found "True", expected a text or a whole number'),
    (np.True_, 'found "True", expected a text or a whole number'),
    (datetime.date(2026, 8, 3), 'found "2026-08-03", expected a text or a whole number'),
    (b"A-7", "expected a text or a whole number"),
    (("A", 7), "expected a text or a whole number"),
]


@pytest.mark.parametrize(("value", "words"), MISTAKES, ids=lambda value: str(value)[:20])
def test_an_entry_that_is_none_is_told_with_its_row(value: Any, words: str, repricer: tw.Repricer) -> None:
    catalogue = cells(order=["A", "A", None, value, "B"])
    for table in (catalogue, pd.DataFrame(catalogue)):
        with pytest.raises(tw.QuantityError, match="^order: row 3: found ") as error:
            repricer(table)
        assert str(error.value).endswith(words) and error.value.pointer == "/3/order"
    if isinstance(value, float):
        numbers = {**catalogue, "order": np.array([1.0, np.nan, 1.0, value, 2.5])}
        frames = [numbers, pd.DataFrame(numbers), pl.DataFrame(numbers), pa.concat_tables([pa.table(numbers)[:2], pa.table(numbers)[2:]])]
        categories = pd.Categorical([1.0, None, 1.0, value, 1.0], categories=[0.5, 1.0, value])
        for table in (*frames, pd.DataFrame({**catalogue, "order": categories})):
            with pytest.raises(tw.QuantityError, match="^order: row 3: found ") as error:
                repricer(table)
            assert words in str(error.value)


def test_floats_hold_what_numbers_they_can(repricer: tw.Repricer) -> None:
    for kind, most in ((np.float16, 2**11), (np.float32, 2**24), (np.float64, 2**53)):
        good = np.array([most - 1, most - 1, -(most - 1), np.nan], kind)
        assert [row[-1] for row in answers(repricer({**cells(order=[1] * 4), "order": good}))] == [None, "in_order", None, None]
        with pytest.raises(tw.QuantityError, match="^order: row 1: found .* a float has lost digits"):
            repricer({**cells(order=[1] * 2), "order": np.array([1, most], kind)})


@pytest.mark.parametrize(
    ("column", "words"),
    [
        (np.array([True, False]), "bool"),
        (pd.Series([True, None], dtype="boolean"), "bool"),
        (np.array(["2026-08-03"] * 2, "datetime64[s]"), "datetime64"),
        (pa.array([datetime.date(2026, 8, 3)] * 2), "date32"),
        (pa.array([b"A"] * 2), "binary"),
        (pa.array([True, False]).dictionary_encode(), "bool"),
        (pl.Series([datetime.date(2026, 8, 3)] * 2), "Date"),
        (np.ones(2, complex), "complex"),
        (np.array([b"A", b"B"]), r"\|S1"),
    ],
)
def test_columns_that_hold_no_orders(column: Any, words: str, repricer: tw.Repricer) -> None:
    with pytest.raises(TypeError, match=f"^order: found .*{words}"):
        repricer({**cells(order=[1, 2]), "order": column})


def test_batches_cannot_hold_an_order_together(repricer: tw.Repricer) -> None:
    table = pa.table({name: pa.array(column.tolist()) for name, column in goods(20, ["A", "B"]).items()})
    with pytest.raises(tw.QuantityError, match="^found a column of orders, expected none: an order may have rows in several"):
        list(repricer.batches(table.to_batches(max_chunksize=5)))
    whole = answers(repricer(table))
    assert answers(repricer(pa.Table.from_batches(table.to_batches(max_chunksize=5)))) == whole
    assert sum(row[-1] is None for row in whole) == 2


# ---- long work ----


def few_shapes(rows: int) -> dict[str, Any]:
    rng = np.random.default_rng(4)
    return {
        "weight": rng.integers(20, 900, rows),
        "length": rng.integers(4, 8, rows) * 25,
        "width": rng.integers(2, 4, rows) * 25,
        "height": rng.integers(1, 3, rows) * 10,
        "order": rng.integers(-(rows // 3), rows // 3, rows),
    }


def test_progress_is_told(options: dict[str, Any]) -> None:
    told: list[tuple[int, int]] = []
    tw.reprice(few_shapes(30_000), lanes=HOME, units="g mm", progress=lambda done, rows: told.append((done, rows)), **options)
    assert told[-1] == (30_000, 30_000) and told == sorted(told)


@pytest.mark.parametrize("threads", [1, 2])
def test_ctrl_c_cuts_no_order(threads: int, options: dict[str, Any]) -> None:
    catalogue = few_shapes(400_000)
    repricer = tw.Repricer(lanes=HOME, units="g mm", threads=threads, **options)
    sent: list[int] = []

    def interrupt(done: int, rows: int) -> None:
        if not sent and done > 0:
            sent.append(done)
            os.kill(os.getpid(), signal.SIGINT)

    with pytest.raises(tw.RepriceInterrupted) as caught:
        repricer(catalogue, progress=interrupt)
    out = caught.value.result
    done = out["reason"] != "not_done"
    assert 0 < caught.value.rows_done < 400_000 and caught.value.rows_done == done.sum()
    assert (out["total_micros"][~done] == -1).all()
    order = catalogue["order"]
    assert not np.intersect1d(order[done], order[~done]).size
    some = np.isin(order, np.unique(order[done])[:300])
    again = repricer({name: column[some] for name, column in catalogue.items()})
    assert again["total_micros"].tolist() == out["total_micros"][some].tolist()
    assert again["reason"].tolist() == out["reason"][some].tolist()


# ---- sheets ----

HEADERS = ["SKU", "Weight (g)", "Length mm", "Width mm", "Height mm", "Qty", "Contents", "Order"]
ROWS: list[list[Any]] = [
    ["A-1", 400, 210, 148, 30, 1, "media", "A-7"],
    ["A-2", 150, 120, 60, 40, 2, "fragile", None],
    ["A-3", 300, 180, 100, 50, 1, None, " 17 "],
    [None] * 8,
    ["A-4", 250, 200, 120, 20, 3, "media", "A-7"],
    ["A-5", 90, 150, 90, 15, 1, None, 17],
    ["A-6", 90, 150, 90, 15, 1, None, "a-7"],
    ["A-7", "heavy", 150, 90, 15, 1, None, "bad"],
    ["A-8", 90, 150, 90, 15, 1, None, "bad"],
]
PARTS = [[0, 4], [1], [2, 5], [6]]


def of_sheet(options: dict[str, Any]) -> tw.Repricer:
    return tw.Repricer(lanes=HOME, **options)


def check_sheet(rows: list[list[Any]], options: dict[str, Any]) -> None:
    """Of each row: total, service, packaging, cautions, reason."""
    for parts in PARTS:
        items = [
            tw.Item(
                f"{ROWS[row][1]} g", f"{ROWS[row][2]} x {ROWS[row][3]} x {ROWS[row][4]} mm", quantity=ROWS[row][5],
                contents=(ROWS[row][6] or "").split(),
            )
            for row in parts
        ]  # fmt: skip
        best = tw.rank(goods=items, lane=HOME, **options).best
        assert best is not None
        told = rows[parts[0]]
        assert Decimal(str(told[0])) == best.total and told[1] == f"{best.carrier}/{best.service}" and told[2] == best.packaging
        assert not told[4]
        for row in parts[1:]:
            assert not any(rows[row][:4]) and rows[row][4] == "in_order"
    assert rows[7][4].startswith('bad_weight: Weight (g): found "heavy"') and rows[8][4] == "order_not_priced"


def test_orders_in_workbooks(tmp_path: pathlib.Path, options: dict[str, Any]) -> None:
    openpyxl = pytest.importorskip("openpyxl")
    book = openpyxl.Workbook()
    for row in [HEADERS, *ROWS]:
        book.active.append(row)
    book.save(tmp_path / "goods.xlsx")
    priced = reprice_sheet(tmp_path / "goods.xlsx", tmp_path / "priced.xlsx", of_sheet(options))
    assert (priced.rows, priced.priced, priced.in_order) == (8, 4, 2) and priced.matched["order"] == "Order"
    rows = list(openpyxl.load_workbook(tmp_path / "priced.xlsx").active.iter_rows(min_row=2, values_only=True))
    check_sheet([list(row[8:]) for row in rows], options)
    summary = {row[0]: row[1] for row in priced.summary if row[0]}
    assert summary["Rows"] == 8 and summary["Priced"] == 4 and summary["In an order with a row above"] == 2
    told = [row[0] for row in priced.summary]
    assert "in_order" not in told and "order_not_priced" in told


def test_orders_in_csv_files(tmp_path: pathlib.Path, options: dict[str, Any], capsys: pytest.CaptureFixture[str], root: pathlib.Path) -> None:
    with open(tmp_path / "goods.csv", "w", newline="", encoding="utf-8") as file:
        csv.writer(file).writerows([HEADERS, *([cell if cell is not None else "" for cell in row] for row in ROWS)])
    where = ["--tables", str(root / "tables" / "demo"), "--date", DATE, "--from", "US 05401", "--to", "US 98101", "--residential"]
    arguments = [*where, "--currency", "USD", "--out", str(tmp_path / "priced.csv")]
    assert main(["reprice", str(tmp_path / "goods.csv"), *arguments]) == 0
    assert "4 of 8 rows priced (2 more in their orders) into" in capsys.readouterr().out
    with open(tmp_path / "priced.csv", newline="", encoding="utf-8") as file:
        check_sheet([row[8:] for row in list(csv.reader(file))[1:]], options)


def test_a_cell_that_is_no_order_is_told_where_it_stands(tmp_path: pathlib.Path, options: dict[str, Any]) -> None:
    openpyxl = pytest.importorskip("openpyxl")
    book = openpyxl.Workbook()
    for row in [HEADERS, *ROWS, ["A-9", 90, 150, 90, 15, 1, None, 17.5]]:
        book.active.append(row)
    book.save(tmp_path / "goods.xlsx")
    with pytest.raises(tw.TarewiseError, match='found "17.5", expected a text or a whole number under \'Order\'') as error:
        reprice_sheet(tmp_path / "goods.xlsx", tmp_path / "priced.xlsx", of_sheet(options))
    assert (error.value.line, error.value.column) == (11, 8) and not (tmp_path / "priced.xlsx").exists()


def test_headers_of_orders() -> None:
    needed = ["weight oz", "length in", "width in", "height in"]
    assert match_headers([*needed, "order"])["order"].column == match_headers([*needed, "The Order"])["order"].column == 4
    for other in ("Order date", "Order quantity", "Orders", "reorder"):
        assert "order" not in match_headers([*needed, other])
