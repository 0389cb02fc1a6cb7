"""The kinds of tables that a catalogue comes in: its columns out, and the same kind back with columns added."""

from __future__ import annotations

import dataclasses
from collections.abc import Iterator, Mapping, Sequence
from decimal import Decimal
from typing import Any, Protocol, Union

import numpy as np
import numpy.typing as npt

from tarewise import _core

Array = npt.NDArray[Any]


# ---- what is added ----


@dataclasses.dataclass
class Plain:
    """Numbers as they are."""

    name: str
    numbers: Array


@dataclasses.dataclass
class Money:
    """Totals in millionths; below 0: none."""

    name: str
    micros: Array
    scale: int  #: decimals that every total fits in

    def plain(self) -> Plain:
        return Plain(self.name + "_micros", self.micros)

    def units(self) -> Array:
        """In units of the last decimal."""
        step = 10 ** (6 - self.scale)
        return np.ascontiguousarray(self.micros) if step == 1 else self.micros // step

    def decimals(self) -> list[Decimal | None]:
        return [None if n < 0 else Decimal(n).scaleb(-self.scale) for n in self.units().tolist()]


@dataclasses.dataclass
class Signed(Money):
    """Amounts of either sign in millionths; the least number: none."""

    def decimals(self) -> list[Decimal | None]:
        none = (self.micros == _core.NO_PROFIT).tolist()
        return [None if gone else Decimal(n).scaleb(-self.scale) for n, gone in zip(self.units().tolist(), none)]

    def valid(self) -> Array:
        valid: Array = self.micros != _core.NO_PROFIT
        return valid


@dataclasses.dataclass
class Code:
    """Which of the names each row has; below 0: none."""

    name: str
    codes: Array
    names: Sequence[str]
    open: bool = False  #: another table may have other names, so those of this one are no type

    def plain(self) -> Plain:
        return Plain(self.name, self.codes)

    def distinct(self) -> tuple[Array, list[str]]:
        """The same with names that are all different."""
        names = list(self.names)
        codes = self.codes
        if len(set(names)) == len(names):
            return codes, names
        unique = list(dict.fromkeys(names))
        index = np.array([unique.index(name) for name in names] + [-1], codes.dtype)
        return index[codes], unique

    def objects(self) -> Array:
        return _core.take_names(self.codes, tuple(self.names))


@dataclasses.dataclass
class Text(Code):
    """The same as plain texts, where the names that occur differ from table to table."""

    open: bool = True


@dataclasses.dataclass
class Count:
    """How many; 0: none, and nothing stands there in tables that can say so."""

    name: str
    counts: Array

    def plain(self) -> Plain:
        return Plain(self.name, self.counts)


@dataclasses.dataclass
class Float:
    """Amounts as floats, each the nearest to its decimal; NaN: none, which is a null where tables have them."""

    name: str
    numbers: Array


Result = Union[Money, Code, Count, Plain, Float]


def in_floats(results: Sequence[Result]) -> list[Result]:
    """The same with floats in the place of decimals."""
    return [_in_floats(result) if isinstance(result, Money) else result for result in results]


def _in_floats(money: Money) -> Float:
    there = money.valid() if isinstance(money, Signed) else money.micros >= 0
    # Exact below 2^53, and amounts are below 10^15 millionths; so the quotient is the nearest there is.
    return Float(money.name, np.where(there, money.micros, 0) / np.where(there, 1e6, np.nan))


# ---- what comes in ----


@dataclasses.dataclass
class Raw:
    """A column as it is held, and what of it is missing."""

    values: Array
    mask: Array | None = None
    categories: Raw | None = None  #: the values are indices into these, which are a column too; below 0: none
    micros: bool = False  #: the values are millionths already
    wrong: str = ""  #: what the column holds, where nothing of it can be priced

    @property
    def rows(self) -> int:
        return len(self.values)

    @property
    def objects(self) -> bool:
        """Texts or objects, not numbers as they lie."""
        return self.categories.objects if self.categories is not None else self.values.dtype.kind in "OUT"

    def at(self, row: int) -> object:
        """The value of a row as Python has it, None where there is none."""
        value = self.values[row]
        if self.mask is not None and self.mask[row]:
            return None
        if self.categories is not None:
            return None if value < 0 else self.categories.at(int(value))
        return Decimal(int(value)).scaleb(-6) if self.micros else value


class Piece(Protocol):
    @property
    def rows(self) -> int: ...
    @property
    def names(self) -> Sequence[str]: ...
    def column(self, name: str) -> Raw: ...


class Table(Piece, Protocol):
    money_suffix: str

    def pieces(self) -> Iterator[tuple[int, Piece]]: ...
    def with_columns(self, results: Sequence[Result]) -> Any: ...


def table_of(catalogue: object) -> Table:
    """Answers by the type's own module, so that no library is imported that the caller has not."""
    module = type(catalogue).__module__.partition(".")[0]
    name = type(catalogue).__name__
    if module == "pandas" and name == "DataFrame":
        return _Pandas(catalogue)
    if module == "polars" and name == "DataFrame":
        return _Polars(catalogue)
    if module == "pyarrow" and name in ("Table", "RecordBatch"):
        return _Arrow(catalogue)
    if isinstance(catalogue, Mapping):
        return _Arrays(catalogue)
    if module == "polars" and name == "LazyFrame":
        raise TypeError("catalogue: found a LazyFrame, expected a DataFrame: collect it first")
    if name == "DataFrame":  # of Dask, of Spark
        raise TypeError(
            f"catalogue: found a DataFrame of {module}, expected one of pandas or Polars: give its partitions to a Repricer, as "
            "python/examples/with_dask.py and with_pyspark.py do"
        )
    raise TypeError(
        f"catalogue: found {name}, expected a pandas or Polars DataFrame, a pyarrow Table or RecordBatch, or a dict of arrays"
    )


def _refuse_twins(names: Sequence[str]) -> None:
    if len(set(names)) != len(names):
        twin = next(name for i, name in enumerate(names) if name in names[:i])
        raise ValueError(f"catalogue: found two columns of one name, {twin!r}, expected different names")


def take(catalogue: Any, rows: Array) -> Any:
    """Some rows of a table, of the same kind."""
    module = type(catalogue).__module__.partition(".")[0]
    if module == "pandas":
        return catalogue.iloc[rows]
    if module == "polars":
        return catalogue[rows]
    if module == "pyarrow":
        return catalogue.take(rows)
    return {name: _take_values(values, rows) for name, values in catalogue.items()}


def _take_values(values: Any, rows: Array) -> Any:
    if hasattr(values, "iloc"):
        return values.iloc[rows]
    return values.take(rows) if hasattr(values, "type") else np.asarray(values)[rows]


class _Whole:
    """A table in one piece."""

    money_suffix = ""

    def pieces(self) -> Iterator[tuple[int, Any]]:
        yield 0, self


class _Arrays(_Whole):
    money_suffix = "_micros"

    def __init__(self, arrays: Mapping[str, Any]) -> None:
        self._arrays = arrays
        self.names = list(arrays)
        lengths = {name: len(array) for name, array in arrays.items()}
        if len(set(lengths.values())) > 1:
            raise ValueError(f"catalogue: found arrays of {lengths} values, expected one length")
        self.rows = next(iter(lengths.values()), 0)

    def column(self, name: str) -> Raw:
        value = self._arrays[name]
        module = type(value).__module__.partition(".")[0]
        if module == "pandas" and hasattr(value, "dtype"):
            import pandas as pd

            return _pandas_column(pd.Series(value))
        if module == "pyarrow" and hasattr(value, "type"):
            return _arrow_column(value)
        if module == "polars" and hasattr(value, "dtype"):
            return _polars_column(value)
        mask = None
        if isinstance(value, np.ma.MaskedArray):
            mask = np.ma.getmaskarray(value)
            value = value.data
        array = np.asarray(value)
        if array.ndim != 1:
            raise ValueError(f"{name}: found an array of {array.ndim} dimensions, expected one")
        return Raw(array, mask)

    def with_columns(self, results: Sequence[Result]) -> Any:
        out: dict[str, Any] = dict(self._arrays)
        by_column = _ByColumn(results)
        for result in results:
            if isinstance(result, (Plain, Float)):
                out[result.name] = result.numbers
            elif isinstance(result, Money):
                out[result.name + "_micros"] = by_column(result.micros)
            elif isinstance(result, Count):
                out[result.name] = result.counts
            else:
                out[result.name] = result.objects()
        return out


class _Pandas(_Whole):
    def __init__(self, frame: Any) -> None:
        self._frame = frame
        self.names = [str(name) for name in frame.columns]
        self.rows = len(frame)
        _refuse_twins(self.names)

    def column(self, name: str) -> Raw:
        return _pandas_column(self._frame.iloc[:, self.names.index(name)])

    def with_columns(self, results: Sequence[Result]) -> Any:
        import pandas as pd

        added: dict[str, Any] = {}
        decimals_of = _Decimals(results)
        for result in results:
            if isinstance(result, (Plain, Float)):
                added[result.name] = result.numbers
            elif isinstance(result, Count):
                added[result.name] = pd.arrays.IntegerArray(np.ascontiguousarray(result.counts), result.counts == 0)
            elif isinstance(result, Text):
                added[result.name] = pd.Series(result.objects(), dtype=object, index=self._frame.index)
            elif isinstance(result, Code):
                codes, names = result.distinct()
                added[result.name] = pd.Categorical.from_codes(codes, categories=names)
            elif (decimals := decimals_of(result)) is not None:
                added[result.name] = pd.arrays.ArrowExtensionArray(decimals)
            else:
                added[result.name] = pd.Series(result.decimals(), dtype=object, index=self._frame.index).array
        new = pd.DataFrame(added, index=self._frame.index)
        return pd.concat([self._frame, new], axis=1)


class _Polars(_Whole):
    def __init__(self, frame: Any) -> None:
        self._frame = frame
        self.names = list(frame.columns)
        self.rows = frame.height

    def column(self, name: str) -> Raw:
        return _polars_column(self._frame.get_column(name))

    def with_columns(self, results: Sequence[Result]) -> Any:
        import polars as pl

        added = []
        decimals_of = _Decimals(results)
        for result in results:
            if isinstance(result, Plain):
                added.append(pl.Series(result.name, np.ascontiguousarray(result.numbers)))
            elif isinstance(result, Float):
                added.append(pl.Series(result.name, result.numbers, nan_to_null=True))
            elif isinstance(result, Count):
                counts = pl.Series(result.name, np.ascontiguousarray(result.counts))
                added.append(counts.set(pl.Series(result.counts == 0), None))
            elif isinstance(result, Code):
                codes, names = result.distinct()
                # Looked up in the names and a null after them.
                table = pl.Series(result.name, [*names, None], dtype=pl.String if result.open else pl.Enum(names))
                added.append(table.gather(np.where(codes < 0, len(names), codes).astype(np.uint32)))
            elif (decimals := decimals_of(result)) is not None:
                added.append(pl.Series(result.name, decimals))
            else:
                added.append(pl.Series(result.name, result.decimals(), dtype=pl.Decimal(18, result.scale)))
        return self._frame.with_columns(added)


class _Arrow:
    money_suffix = ""

    def __init__(self, table: Any) -> None:
        self._table = table
        self.names = list(table.schema.names)
        self.rows = table.num_rows
        _refuse_twins(self.names)

    def pieces(self) -> Iterator[tuple[int, Piece]]:
        if not hasattr(self._table, "to_batches"):
            yield 0, self
            return
        first = 0
        for batch in self._table.to_batches():
            yield first, _Arrow(batch)
            first += batch.num_rows
        if first == 0:  # no rows: the columns are looked at all the same
            import pyarrow as pa

            yield 0, _Arrow(pa.RecordBatch.from_pylist([], schema=self._table.schema))

    def column(self, name: str) -> Raw:
        return _arrow_column(self._table.column(self.names.index(name)))

    def with_columns(self, results: Sequence[Result]) -> Any:
        import pyarrow as pa

        arrays = list(self._table.columns)
        names = list(self.names)
        schema = self._table.schema
        decimals_of = _Decimals(results)
        for result in results:
            if isinstance(result, Plain):
                array = pa.array(np.ascontiguousarray(result.numbers))
            elif isinstance(result, Float):
                array = pa.array(result.numbers, mask=np.isnan(result.numbers))
            elif isinstance(result, Count):
                array = pa.array(np.ascontiguousarray(result.counts), mask=result.counts == 0)
            elif isinstance(result, Text):
                array = _arrow_names(result).dictionary_decode()
            elif isinstance(result, Code):
                array = _arrow_names(result)
            else:
                array = decimals_of(result)
            arrays.append(array)
            names.append(result.name)
            schema = schema.append(pa.field(result.name, array.type))
        return type(self._table).from_arrays(arrays, schema=schema)


def _objects(values: Sequence[Any]) -> Raw:
    array = np.empty(len(values), object)
    array[:] = values
    return Raw(array)


def _wrong(rows: int, kind: object) -> Raw:
    return Raw(np.broadcast_to(np.int8(0), rows), wrong=str(kind))


def _pandas_column(series: Any) -> Raw:
    import pandas as pd

    dtype = series.dtype
    if isinstance(dtype, np.dtype):
        return Raw(series.to_numpy())
    if isinstance(dtype, pd.CategoricalDtype):
        return Raw(series.cat.codes.to_numpy(), categories=_pandas_column(pd.Series(dtype.categories)))
    if isinstance(dtype, pd.ArrowDtype):
        return _arrow_column(series.array.__arrow_array__())
    if isinstance(dtype, pd.StringDtype):
        return Raw(series.to_numpy(dtype=object, na_value=None))
    if isinstance(dtype, pd.SparseDtype):
        return _pandas_column(series.sparse.to_dense())
    held = getattr(dtype, "numpy_dtype", None)
    if held is None:  # times with a zone, periods, intervals
        return _wrong(len(series), dtype)
    mask = series.isna().to_numpy() if series.hasnans else None
    if mask is None:
        return Raw(series.to_numpy(dtype=held))
    return Raw(series.to_numpy(dtype=held, na_value=held.type(0)), mask)


def _polars_column(series: Any) -> Raw:
    import polars as pl

    dtype = series.dtype
    wide = str(dtype) in ("Int128", "UInt128")
    if (dtype.is_numeric() and not dtype.is_decimal() and not wide) or dtype == pl.Boolean:
        mask = series.is_null().to_numpy() if series.null_count() else None
        filled = series.fill_null(0 if dtype.is_numeric() else False) if mask is not None else series
        return Raw(filled.to_numpy(), mask)
    texts = dtype in (pl.String, pl.Categorical, pl.Enum, pl.Null, pl.List, pl.Array)
    if not (texts or wide or dtype.is_decimal()):
        return _wrong(len(series), dtype)
    return _objects(series.to_list())


def _arrow_column(column: Any) -> Raw:
    """The values of an Arrow array where they lie; nulls as a mask."""
    import pyarrow as pa

    kind = column.type
    types = pa.types
    encoded = getattr(types, "is_run_end_encoded", lambda kind: False)
    if isinstance(column, pa.ChunkedArray):
        if column.num_chunks == 1:
            return _arrow_column(column.chunk(0))
        if types.is_dictionary(kind):  # each with a dictionary of its own
            kind = kind.value_type
            column = pa.chunked_array([chunk.dictionary_decode() for chunk in column.chunks], kind)
        elif encoded(kind):
            kind = kind.value_type
            column = pa.chunked_array([_run_ends(chunk) for chunk in column.chunks], kind)
        column = column.combine_chunks()
        if isinstance(column, pa.ChunkedArray):  # of no chunks, in some versions
            column = pa.array([], kind)
        return _arrow_column(column)
    rows = len(column)
    if types.is_dictionary(kind):
        codes = column.indices
        mask = codes.is_null().to_numpy(zero_copy_only=False) if codes.null_count else None
        if mask is not None:
            codes = codes.fill_null(0)
        return Raw(codes.to_numpy(zero_copy_only=False), mask, categories=_arrow_column(column.dictionary))
    if encoded(kind):
        return _arrow_column(_run_ends(column))
    mask = column.is_null().to_numpy(zero_copy_only=False) if column.null_count else None
    if types.is_integer(kind) or types.is_floating(kind):
        dtype = np.dtype(kind.to_pandas_dtype())
        data = column.buffers()[1]
        if data is None:
            return Raw(np.zeros(rows, dtype), mask)
        return Raw(np.frombuffer(data, dtype, count=rows, offset=column.offset * dtype.itemsize), mask)
    if types.is_boolean(kind):
        filled = column.fill_null(False) if mask is not None else column
        return Raw(filled.to_numpy(zero_copy_only=False), mask)
    if types.is_decimal(kind):
        return _arrow_micros(column, mask)
    texts = ("string", "large_string", "string_view", "null")
    if str(kind) in texts or types.is_list(kind) or types.is_large_list(kind) or types.is_fixed_size_list(kind):
        return _objects(column.to_pylist())
    return _wrong(rows, kind)


def _run_ends(column: Any) -> Any:
    import pyarrow.compute as pc

    return pc.run_end_decode(column)


def _arrow_micros(column: Any, mask: Array | None) -> Raw:
    import pyarrow as pa

    try:
        exact = column.cast(pa.decimal128(38, 6))
    except (pa.ArrowInvalid, pa.ArrowNotImplementedError):  # finer than a millionth somewhere: read value by value
        return _objects(column.to_pylist())
    halves = np.frombuffer(exact.buffers()[1], np.int64, count=2 * len(exact), offset=16 * exact.offset)
    low, high = halves[::2], halves[1::2]
    if (high != low >> 63).any():  # past 64 bits, as numbers of orders may be
        return _objects(column.to_pylist())
    return Raw(low, mask, micros=True)


class _ByColumn:
    """The millionths of results, each column by itself. One large block of memory costs less than many."""

    def __init__(self, results: Sequence[Result]) -> None:
        columns = [result.micros for result in results if isinstance(result, Money) and not result.micros.flags.c_contiguous]
        self._room: Iterator[Array] = iter(np.empty((len(columns), len(columns[0])), np.int64)) if columns else iter(())

    def __call__(self, column: Array) -> Array:
        if column.flags.c_contiguous:
            return column
        room = next(self._room)
        room[...] = column
        return room


class _Decimals:
    """Arrow arrays of the decimals of results, or None without pyarrow. One large block of memory costs less than many."""

    def __init__(self, results: Sequence[Result]) -> None:
        money = [result for result in results if isinstance(result, Money)]
        self._room: Iterator[Array] = iter(np.empty((len(money), len(money[0].micros), 2), np.int64)) if money else iter(())

    def __call__(self, result: Money) -> Any:
        return _arrow_decimals(result, next(self._room))


def _arrow_decimals(result: Money, data: Array) -> Any:
    try:
        import pyarrow as pa
    except ImportError:
        return None
    if isinstance(result, Signed):
        units, there = result.units(), result.valid()
        data[:, 0] = np.where(there, units, 0)
        data[:, 1] = np.where(there, units >> 63, 0)
        nulls = len(data) - int(there.sum())
        valid = np.packbits(there, bitorder="little") if nulls else None
    else:
        valid, nulls = _core.arrow_decimals(result.micros, 10 ** (6 - result.scale), data)
    bitmap = None if valid is None else pa.py_buffer(valid)
    return pa.Array.from_buffers(pa.decimal128(18, result.scale), len(data), [bitmap, pa.py_buffer(data)], nulls)


def _arrow_names(result: Code) -> Any:
    import pyarrow as pa

    codes, names = result.distinct()
    data, valid, nulls = _core.arrow_codes(codes)
    bitmap = None if valid is None else pa.py_buffer(valid)
    kind = pa.int16() if data.itemsize == 2 else pa.int32()
    indices = pa.Array.from_buffers(kind, len(data), [bitmap, pa.py_buffer(data)], nulls)
    return pa.DictionaryArray.from_arrays(indices, pa.array(names, pa.string()))
