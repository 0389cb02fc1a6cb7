"""Columns of every kind: values and never codes, what is left out, what cannot be read, and floats to the millionth."""

from __future__ import annotations

import datetime
import math
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

DATE = "2026-08-03"
HOME = tw.Lane("US 05401", "US 98101", residential=True)
ROWS = 12
# None is a value that is missing. No code is the value it stands for, nor near it.
PLAIN: dict[str, list[Any]] = {
    "weight_oz": [44.5, 9.25, None, 30.0, 9.25, 61.5, 44.5, 17.0, 30.0, 9.25, 61.5, 17.0],
    "length_in": [12.0, 9.5, 8.0, 15.25, 9.5, None, 12.0, 15.25, 8.0, 9.5, 12.0, 15.25],
    "width_in": [9, 7, 7, 11, 9, 9, 7, 11, 9, 7, 11, 9],
    "height_in": [4.5, 2.25, 4.5, 6.0, 2.25, 6.0, 2.25, 6.0, 4.5, 2.25, 6.0, 4.5],
    "quantity": [2, 3, 2, 3, None, 2, 4, 2, 2, 4, 2, 3],
    "value": [60.0, 350.5, None, 120.25, 60.0, 120.25, 350.5, 60.0, None, 350.5, 60.0, 900.0],
    "contents": ["media", "fragile media", None, "", "media", "fragile media"] * 2,
    "shape": ["tube", None, "soft", "box", "", "soft"] * 2,
    "rigid": [True, None, False, True, False, None] * 2,
    "this_side_up": [False, True, None] * 4,
}
NUMBERS = ("weight_oz", "length_in", "width_in", "height_in", "quantity", "value")
TEXTS = ("contents", "shape")
FLAGS = ("rigid", "this_side_up")


@pytest.fixture(scope="module")
def options(book: tw.Ratebook, shelf: tw.Shelf) -> dict[str, Any]:
    return {"ratebook": book, "shelf": shelf, "date": DATE, "currency": "USD", "lanes": HOME}


def answers(out: Any) -> list[tuple[Any, ...]]:
    """Totals in millionths, services, packagings and reasons of any kind of table."""
    names = ["total", "service", "packaging", "reason"]
    if isinstance(out, dict):
        columns = [[None if n < 0 else int(n) for n in out["total_micros"]], *(list(out[name]) for name in names[1:])]
        return list(zip(*columns))
    columns = [out[name].to_pylist() if isinstance(out, pa.Table) else list(out[name]) for name in names]
    columns = [[None if pd.isna(value) else value for value in column] for column in columns]
    return [(None if row[0] is None else int(row[0] * 10**6), *row[1:]) for row in zip(*columns)]


@pytest.fixture(scope="module")
def wanted(options: dict[str, Any]) -> list[tuple[Any, ...]]:
    """What the single ranking says of each row, written from the columns by hand."""
    kwargs = {name: value for name, value in options.items() if name not in ("ratebook", "lanes")}
    out: list[tuple[Any, ...]] = []
    for row in range(ROWS):
        cell = {name: values[row] for name, values in PLAIN.items()}
        if cell["weight_oz"] is None or cell["length_in"] is None:
            out.append((None, None, None, "missing"))
            continue
        item = tw.Item(
            f"{cell['weight_oz']} oz",
            f"{cell['length_in']} x {cell['width_in']} x {cell['height_in']} in",
            quantity=1 if cell["quantity"] is None else cell["quantity"],
            value="0" if cell["value"] is None else str(cell["value"]),
            contents=(cell["contents"] or "").split(),
            shape=cell["shape"] or "box",
            rigid=bool(cell["rigid"]),
            this_side_up=bool(cell["this_side_up"]),
        )
        best = tw.rank(options["ratebook"], item, lane=HOME, **kwargs).best
        assert best is not None, row
        out.append((int(best.total * 10**6), f"{best.carrier}/{best.service}", best.packaging, None))
    assert len({total for total, *_ in out}) > 6
    return out


def array_of(name: str) -> pa.Array:
    kind = pa.int64() if name in ("width_in", "quantity") else None
    return pa.array(PLAIN[name], kind)


def reindexed(array: pa.Array, kind: pa.DataType) -> pa.DictionaryArray:
    """A dictionary in another order than the values come, with one that is never used, and indices of a kind."""
    values = array.drop_null().unique()
    order = list(range(len(values)))[::-1]
    values = values.take(pa.array(order, pa.int64()))
    indices = pc.index_in(array, values).cast(kind)
    return pa.DictionaryArray.from_arrays(indices, values)


def with_null_values(array: pa.Array) -> pa.DictionaryArray:
    """What is missing is a null of the dictionary, not of the indices."""
    values = pa.concat_arrays([pa.nulls(1, array.type), array.drop_null().unique()])
    indices = pa.array([0 if value is None else values.to_pylist().index(value) for value in array.to_pylist()], pa.int8())
    out = pa.DictionaryArray.from_arrays(indices, values)
    assert out.null_count == 0
    return out


INDICES = [pa.int8(), pa.uint8(), pa.int16(), pa.uint16(), pa.int32(), pa.uint32(), pa.int64(), pa.uint64()]


def categorical(values: list[Any], *, ordered: bool) -> pd.Categorical:
    kinds = sorted({value for value in values if value is not None}, reverse=True)
    return pd.Categorical(values, categories=kinds, ordered=ordered)


def chunks(array: pa.Array, encode: Callable[[pa.Array], pa.Array]) -> pa.ChunkedArray:
    """Each chunk with a dictionary of its own, one of them empty."""
    return pa.chunked_array([encode(array[:5]), encode(array[5:5]), encode(array[5:])])


def run_ends(array: pa.Array) -> pa.Array:
    return pc.run_end_encode(array)


def tables() -> dict[str, Any]:
    arrow = {name: array_of(name) for name in PLAIN}
    frame = pd.DataFrame({name: pd.Series(values, dtype=object) for name, values in PLAIN.items()})
    enums = {
        name: pl.Series(PLAIN[name], dtype=pl.Enum(sorted({v for v in PLAIN[name] if v is not None}, reverse=True)))
        for name in TEXTS
    }
    polars = pl.DataFrame({name: enums.get(name, pl.Series(PLAIN[name], strict=False)) for name in PLAIN})
    cats = polars.with_columns(pl.col(name).cast(pl.String).cast(pl.Categorical) for name in TEXTS)
    texts = {name: pa.array([None if v is None else str(v) for v in PLAIN[name]]) for name in (*NUMBERS, *FLAGS)}
    with_units = {
        "weight": pa.array([None if v is None else f"{v} oz" for v in PLAIN["weight_oz"]]).dictionary_encode(),
        **{
            side: pa.array([None if v is None else f"{v} in" for v in PLAIN[f"{side}_in"]]).dictionary_encode()
            for side in ("length", "width", "height")
        },
    }
    decimals = {name: pa.array([None if v is None else Decimal(str(v)) for v in PLAIN[name]]) for name in NUMBERS}
    out: dict[str, Any] = {
        "objects": frame,
        "pandas categorical": frame.apply(lambda column: pd.Series(categorical(column.tolist(), ordered=False))),
        "pandas categorical, ordered": frame.apply(lambda column: pd.Series(categorical(column.tolist(), ordered=True))),
        "pandas categorical of texts": frame.assign(
            **{
                name: pd.Categorical([None if v is None else str(v) for v in PLAIN[name]])
                for name in ("value", "quantity", *FLAGS, "weight_oz", "length_in")
            }
        ),
        "pandas nullable": frame.convert_dtypes(),
        "pandas sparse": frame.assign(width_in=pd.arrays.SparseArray(PLAIN["width_in"], fill_value=9)),
        "categoricals in a dict": {name: categorical(PLAIN[name], ordered=False) for name in PLAIN},
        "Arrow in a dict": {name: reindexed(arrow[name], pa.uint8()) for name in PLAIN},
        "Polars in a dict": {name: polars[name] for name in PLAIN},
        "Arrow, nulls of the dictionary": pa.table({name: with_null_values(arrow[name]) for name in PLAIN}),
        "Arrow, ordered": pa.table(
            {
                name: pa.DictionaryArray.from_arrays(d.indices, d.dictionary, ordered=True)
                for name, d in ((name, reindexed(arrow[name], pa.int16())) for name in PLAIN)
            }
        ),
        "Arrow, chunks": pa.table({name: chunks(arrow[name], lambda a: reindexed(a, pa.int8())) for name in PLAIN}),
        "Arrow, chunks in a dict": {name: chunks(arrow[name], lambda a: reindexed(a, pa.int8())) for name in PLAIN},
        "Arrow, null chunks in a dict": {name: chunks(arrow[name], with_null_values) for name in PLAIN},
        "Arrow, slices": pa.table({name: reindexed(pa.concat_arrays([arrow[name]] * 3), pa.int32()) for name in PLAIN})[12:24],
        "pandas of Arrow dictionaries": pa.table(
            {name: chunks(arrow[name], lambda a: reindexed(a, pa.int32())) for name in PLAIN}
        ).to_pandas(types_mapper=pd.ArrowDtype),
        "Arrow, run ends": pa.table({name: run_ends(arrow[name]) for name in PLAIN}),
        "Arrow, run ends in chunks": {name: chunks(arrow[name], run_ends) for name in PLAIN},
        "Arrow, texts": pa.table({**arrow, **texts}),
        "Arrow, dictionaries of texts": pa.table({**arrow, **{n: a.dictionary_encode() for n, a in texts.items()}}),
        "Arrow, units in dictionaries": pa.table(
            {**{n: a for n, a in arrow.items() if n.split("_")[0] not in with_units}, **with_units}
        ),
        "Arrow, decimals": pa.table({**arrow, **decimals}),
        "Arrow, decimals of 256 bits": pa.table({**arrow, **{n: a.cast(pa.decimal256(60, 9)) for n, a in decimals.items()}}),
        "Arrow, dictionaries of decimals": pa.table({**arrow, **{n: a.dictionary_encode() for n, a in decimals.items()}}),
        "pandas of decimals": pa.table({**arrow, **decimals}).to_pandas(types_mapper=pd.ArrowDtype),
        "Polars of decimals": pl.from_arrow(pa.table({**arrow, **decimals})),
        "Polars, Enum": polars,
        "Polars, Categorical": cats,
        "Polars by the C data interface": pa.table(polars),
        "Polars by the C data interface, Categorical": pa.table(cats),
    }
    for kind in INDICES:
        out[f"Arrow, {kind}"] = pa.table({name: reindexed(arrow[name], kind) for name in PLAIN})
    return out


TABLES = tables()


@pytest.mark.parametrize("kind", TABLES)
def test_values_are_priced_and_never_codes(kind: str, options: dict[str, Any], wanted: list[tuple[Any, ...]]) -> None:
    assert answers(tw.reprice(TABLES[kind], **options)) == wanted


def test_bits_and_places_in_dictionaries_too(options: dict[str, Any], wanted: list[tuple[Any, ...]]) -> None:
    """Contents as bits and shapes as numbers, behind a dictionary in another order."""
    traits, shapes = tw._core.TRAITS, tw._core.SHAPES
    bits = [sum(1 << traits.index(word) for word in (text or "").split()) for text in PLAIN["contents"]]
    places = [shapes.index(text or "box") for text in PLAIN["shape"]]
    rest = {name: array_of(name) for name in PLAIN if name not in TEXTS}
    numbers = {"contents": pa.array(bits), "shape": pa.array(places)}
    coded = {name: reindexed(array, pa.uint16()) for name, array in numbers.items()}
    assert coded["contents"].indices.to_pylist() != bits and coded["shape"].indices.to_pylist() != places
    holed = {
        "contents": pa.array([None if text is None else n for n, text in zip(bits, PLAIN["contents"])], pa.uint64()),
        "shape": pa.array([None if text is None else n for n, text in zip(places, PLAIN["shape"])], pa.uint8()),
    }
    for columns in (numbers, coded, holed):
        assert answers(tw.reprice(pa.table({**rest, **columns}), **options)) == wanted


def test_what_lies_under_a_null_is_no_value(options: dict[str, Any], wanted: list[tuple[Any, ...]]) -> None:
    """Arrow says nothing of the bytes where a value is null, and masked arrays keep the old ones."""
    masked: dict[str, Any] = {}
    for name, values in PLAIN.items():
        gone = np.array([value is None for value in values])
        if name in TEXTS:
            rubbish = np.array(["rubbish" if value is None else value for value in values], object)
        elif name in FLAGS:
            rubbish = np.array([True if value is None else value for value in values])
        else:
            rubbish = np.array([7.0 if value is None else value for value in values])
        masked[name] = np.ma.masked_array(rubbish, gone)
    assert answers(tw.reprice(masked, **options)) == wanted


@pytest.mark.parametrize("name", [*NUMBERS, *TEXTS, *FLAGS])
@pytest.mark.parametrize(
    ("values", "words"),
    [
        (np.array(["2026-08-03"] * ROWS, "datetime64[s]"), "datetime64"),
        (np.array([3] * ROWS, "timedelta64[s]"), "timedelta64"),
        (pd.Series(pd.date_range("2026-08-03", periods=ROWS, tz="UTC")), "datetime64"),
        (pd.Series(pd.period_range("2026-08", periods=ROWS, freq="M")), "period"),
        (pd.Series(pd.interval_range(1, periods=ROWS)), "interval"),
        (pd.Series(pd.Categorical(pd.date_range("2026-08-03", periods=ROWS))), "datetime64"),
        (pd.Series([datetime.timedelta(days=2)] * ROWS), "timedelta64"),
        (pa.array([datetime.date(2026, 8, 3)] * ROWS), "date32"),
        (pa.array([datetime.datetime(2026, 8, 3)] * ROWS), "timestamp"),
        (pa.array([datetime.timedelta(1)] * ROWS), "duration"),
        (pa.array([datetime.datetime(2026, 8, 3)] * ROWS).dictionary_encode(), "timestamp"),
        (pa.array([b"3"] * ROWS), "binary"),
        (pa.array([{"oz": 3}] * ROWS), "struct"),
        (pl.Series([datetime.date(2026, 8, 3)] * ROWS), "Date"),
        (pl.Series([datetime.timedelta(1)] * ROWS), "Duration"),
        (pl.Series([b"3"] * ROWS), "Binary"),
        (np.ones(ROWS, complex), "complex128"),
        (pa.array(np.ones(ROWS, np.float16)), "float16"),
        (pa.array(np.ones(ROWS, np.float32)).dictionary_encode(), "float32"),
        (pd.Series(pd.Categorical(np.ones(ROWS, np.float32))), "float32"),
    ],
    ids=lambda value: value if isinstance(value, str) else type(value).__module__.split(".")[0],
)
def test_what_looks_like_a_number_is_refused_by_its_column(
    name: str, values: Any, words: str, options: dict[str, Any]
) -> None:
    if name == "quantity" and words.startswith("float"):
        pytest.skip("a whole number is as exact in any float")
    catalogue: dict[str, Any] = {other: array_of(other) for other in PLAIN}
    with pytest.raises(TypeError, match=f"^{name}: found .*{words}"):
        tw.reprice({**catalogue, name: values}, **options)
    if isinstance(values, pl.Series):
        frame: Any = pl.DataFrame({**{n: pl.Series(a.to_pylist()) for n, a in catalogue.items()}, name: values})
    elif isinstance(values, pa.Array):
        frame = pa.table({**catalogue, name: values})
    elif isinstance(values, pd.Series):
        frame = pd.DataFrame({**{n: pd.Series(a.to_pylist()) for n, a in catalogue.items()}, name: values})
    else:
        return
    with pytest.raises(TypeError, match=f"^{name}: found .*{words}"):
        tw.reprice(frame, **options)


@pytest.mark.parametrize("name", NUMBERS)
@pytest.mark.parametrize("wrap", [np.array, pd.Categorical, pa.array, lambda v: pa.array(v).dictionary_encode(), pl.Series])
def test_booleans_are_no_numbers(name: str, wrap: Any, options: dict[str, Any]) -> None:
    catalogue: dict[str, Any] = {other: array_of(other) for other in PLAIN}
    with pytest.raises(TypeError, match=f"^{name}: found bool"):
        tw.reprice({**catalogue, name: wrap([True, False] * (ROWS // 2))}, **options)


# ---- what is left out ----


def goods(**columns: Any) -> dict[str, Any]:
    rows = len(next(iter(columns.values())))
    sides = {"weight_oz": 20.5, "length_in": 10.0, "width_in": 7.0, "height_in": 3.0}
    return {**{name: np.full(rows, number) for name, number in sides.items() if name not in columns}, **columns}


NOTHING = [None, np.nan, pd.NA, pd.NaT, Decimal("NaN"), np.float32("nan"), "", "  ", np.datetime64("NaT")]


@pytest.mark.parametrize("name", ["value", "quantity", *TEXTS, *FLAGS, "bare"])
def test_an_empty_cell_of_a_column_that_may_be_left_out_is_left_out(name: str, options: dict[str, Any]) -> None:
    [alone] = answers(tw.reprice(goods(weight_oz=[20.5]), **options))
    assert alone[0] is not None and alone[3] is None
    values = np.empty(len(NOTHING), object)
    values[:] = NOTHING
    assert answers(tw.reprice(goods(**{name: values}), **options)) == [alone] * len(NOTHING)
    for column in (
        np.full(2, np.nan),
        pd.array([None, None], "Float64"),
        pd.Categorical([None, None]),
        pd.array([None, None], "string"),
        pa.nulls(2),
        pa.array([None, None], pa.string()),
        pa.array(["", None]).dictionary_encode(),
        pl.Series([None, None]),
        np.ma.masked_array(np.ones(2, bool if name in (*FLAGS, "bare") else np.int64), True),
    ):
        assert answers(tw.reprice(goods(**{name: column}), **options)) == [alone] * 2, repr(column)


@pytest.mark.parametrize("name", ["weight_oz", "length_in", "width_in", "height_in"])
def test_an_empty_weight_or_side_is_a_reason(name: str, options: dict[str, Any]) -> None:
    values = np.empty(len(NOTHING), object)
    values[:] = NOTHING
    out = tw.reprice(goods(**{name: values}), **options)
    assert out["reason"].tolist() == ["missing"] * len(NOTHING) and (out["total_micros"] == -1).all()
    for column in (np.full(2, np.nan), pd.Categorical([None, np.nan]), pa.nulls(2), pa.array([None, ""]).dictionary_encode()):
        assert tw.reprice(goods(**{name: column}), **options)["reason"].tolist() == ["missing"] * 2


# ---- what cannot be read ----

UNREADABLE = [
    ("weight_oz", "heavy", 'bad_weight: weight_oz: found "heavy", expected a weight'),
    ("weight_oz", "0", 'bad_weight: weight_oz: found "0", expected a weight over 0'),
    ("weight_oz", True, 'bad_weight: weight_oz: found "True", expected a weight'),
    ("weight_oz", datetime.date(2026, 8, 3), 'bad_weight: weight_oz: found "2026-08-03", expected'),
    ("length_in", "long", 'bad_side: length_in: found "long", expected a length'),
    ("height_in", "3 oz", 'bad_side: height_in: found "3 oz", expected a length'),
    ("quantity", "two", 'bad_quantity: quantity: found "two", expected a whole number from 1 to 10000'),
    ("quantity", "1.5", 'bad_quantity: quantity: found "1.5", expected a whole number'),
    ("quantity", True, 'bad_quantity: quantity: found "True", expected a whole number'),
    ("value", "cheap", 'bad_value: value: found "cheap", expected an amount of money'),
    ("value", "-", 'bad_value: value: found "-", expected'),
    ("value", False, 'bad_value: value: found "False", expected'),
    ("contents", "glass", 'bad_contents: contents: found "glass", expected'),
    ("shape", "round", 'bad_shape: shape: found "round", expected box, tube, soft, flat or irregular'),
    ("rigid", "maybe", 'bad_flag: rigid: found "maybe", expected true or false'),
    ("bare", "no box", 'bad_flag: bare: found "no box", expected true or false'),
    ("this_side_up", "2", 'bad_flag: this_side_up: found "2", expected true or false'),
]


@pytest.mark.parametrize(("name", "text", "words"), UNREADABLE)
def test_a_text_that_cannot_be_read_is_told_with_its_column(name: str, text: Any, words: str, options: dict[str, Any]) -> None:
    good: dict[str, Any] = {
        "weight_oz": "20.5", "length_in": "10", "width_in": "7", "height_in": "3", "quantity": "1", "value": "0",
        "contents": "", "shape": "box",
    }  # fmt: skip
    values = np.empty(3, object)
    values[:] = [good.get(name, "no"), text, good.get(name, "no")]
    catalogue = goods(**{name: values})
    [alone] = answers(tw.reprice(goods(weight_oz=[20.5]), **options))
    kinds: list[Any] = [catalogue, pd.DataFrame(catalogue)]
    if isinstance(text, str):
        encoded = {**catalogue, name: pa.array(values.tolist()).dictionary_encode()}
        kinds += [pl.DataFrame(catalogue), pa.table(encoded), pd.DataFrame({**catalogue, name: pd.Categorical(values)})]
    repricer = tw.Repricer(**options)
    for kind in kinds:
        before, told, after = answers(repricer(kind))
        assert before == after == alone
        assert told[:3] == (None, None, None) and told[3].startswith(words)
        with pytest.raises(tw.RequestError) as error:
            repricer.explain(kind, 1)
        assert str(error.value).startswith("row 1: " + words)
    numbers = tw.Repricer(plain=True, **options)
    out = numbers(catalogue)
    assert [numbers.reasons[n] for n in out["reason"]] == ["priced", words.split(":")[0], "priced"]
    assert out["total_micros"][1] == -1


def test_the_first_thing_wrong_is_told(options: dict[str, Any]) -> None:
    cells = ["x", "x", "x", "x", "x", "x", "x"]
    names = ["weight_oz", "length_in", "quantity", "value", "contents", "shape", "rigid"]
    reasons = ["weight", "side", "quantity", "value", "contents", "shape", "flag"]
    columns = {name: np.array([None] * 8, object) for name in names}
    columns["weight_oz"][:] = 20.5
    columns["length_in"][:] = 10
    for row, name in enumerate(names):  # row n: wrong from the n-th on
        columns[name][: row + 1] = cells[row]
    columns["weight_oz"][7] = None
    out = tw.reprice(goods(**columns), **options)["reason"].tolist()
    # The first row is wrong in all, the last only in nothing but its weight.
    assert [reason.split(":")[0] for reason in out] == [*(f"bad_{reason}" for reason in reasons), "missing"]


def test_batches_with_and_without_such_texts_go_together(options: dict[str, Any]) -> None:
    tables = [goods(value=np.array(values, object)) for values in (["1", "cheap"], ["2", "3"], ["dear", "4"])]
    repricer = tw.Repricer(**options)
    polars = pl.concat(repricer.batches(pl.DataFrame(table) for table in tables))
    frame = pd.concat(repricer.batches(pd.DataFrame(table) for table in tables))
    arrow = pa.concat_tables(repricer.batches(pa.table(table) for table in tables))
    reasons = polars["reason"].to_list()
    assert [reason and reason.split('"')[1] for reason in reasons] == [None, "cheap", None, None, "dear", None]
    assert reasons == arrow["reason"].to_pylist() == [None if pd.isna(r) else r for r in frame["reason"]]


# ---- floats ----


def nearest(value: float) -> int:
    """The nearest millionth of the number that a float is, by exact arithmetic."""
    return math.floor(Fraction(value) * 10**6 + Fraction(1, 2))


def rendered(value: float) -> int:
    """The nearest millionth of how it is written."""
    return math.floor(Fraction(repr(value)) * 10**6 + Fraction(1, 2))


def test_a_float_goes_to_the_nearest_millionth_of_the_number_it_is(options: dict[str, Any]) -> None:
    ties = [n + 0.0000005 for n in range(1, 400)] + [n / 16 + 0.0000005 for n in range(1, 200)]
    values = [v for v in ties if nearest(v) != rendered(v)]
    assert len(values) > 50  # the two differ here, and nowhere else but at what is written as a tie
    values += [8.0, 11.4, 10.5, 0.0001, 1 / 3, 2**-20, 1 + 2**-7, math.nextafter(8.0, 9), 100.0625, 12.3456785]
    exact_ties = [1 + 2**-7, 3 * 2**-7]  # 7,812.5 and 23,437.5 millionths: away from 0
    assert all((Fraction(v) * 10**6) % 1 == Fraction(1, 2) for v in exact_ties)
    values += exact_ties
    array = np.array(values)
    objects = np.array(values, object)
    repricer = tw.Repricer(**options)
    for catalogue in (
        goods(weight_oz=array),
        goods(weight_oz=objects),
        goods(weight_oz=np.ascontiguousarray(array[::-1])[::-1]),
        pd.DataFrame(goods(weight_oz=pd.Categorical(array))),
        pa.table(goods(weight_oz=pa.array(array).dictionary_encode())),
        pl.DataFrame(goods(weight_oz=array)),
    ):
        for row, value in enumerate(values):
            millionths = nearest(value)
            text = f"{millionths // 10**6}.{millionths % 10**6:06d} oz"
            (item,) = repricer.request(catalogue, row).goods
            assert item.weight == tw.Weight(text), (value, type(catalogue))


def test_money_and_sides_of_floats_too(options: dict[str, Any]) -> None:
    values = [n + 0.0000005 for n in range(1, 200)]
    assert sum(nearest(v) != rendered(v) for v in values) > 20
    repricer = tw.Repricer(**options)
    for kind in (np.float64, object):
        catalogue = goods(value=np.array(values, kind), height_in=np.array(values, kind) / 100)
        for row, value in enumerate(values):
            (item,) = repricer.request(catalogue, row).goods
            assert item.value.scaleb(6) == nearest(value)
            side = nearest(value / 100)
            assert item.sides[2] == tw.Length(f"{side // 10**6}.{side % 10**6:06d} in")
