"""A catalogue's columns as the compiled part takes them: arrays as they are where they are right, and units."""

from __future__ import annotations

import dataclasses
import functools
import re
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from decimal import Decimal
from typing import Any, NoReturn, Union

import numpy as np
import numpy.typing as npt

from tarewise import _cells, _core
from tarewise._frames import Piece, Raw, Table
from tarewise.errors import QuantityError

WEIGHT_UNITS = {"lb": 453_592_370_000, "oz": 28_349_523_125, "kg": 10**12, "g": 10**9, "mg": 10**6}
LENGTH_UNITS = {"in": 25_400_000, "ft": 304_800_000, "yd": 914_400_000, "m": 10**9, "cm": 10**7, "mm": 10**6}
_METRIC = frozenset({"kg", "g", "mg", "m", "cm", "mm"})
_SIDES = ("length", "width", "height")
_REQUIRED = ("weight", *_SIDES)
_FLAGS = ("this_side_up", "rigid", "bare")
FIELDS = (*_REQUIRED, "quantity", "value", "contents", "shape", *_FLAGS, "order")

Array = npt.NDArray[Any]


@dataclasses.dataclass
class Told:
    """A column of texts or objects, which may hold what cannot be read, to be told with a row's reason."""

    field: str
    name: str
    raw: Raw
    bad: Callable[[int], bool]  #: of a row that was refused for such a field: is it this column?


@dataclasses.dataclass
class Columns:
    """What ``_core.Repricer.run`` takes."""

    rows: int
    arrays: dict[str, tuple[Array, int]]
    classes: list[tuple[str, ...]] | None
    metric_weight: bool
    metric_sides: bool
    told: list[Told]
    flaws: Array | None = None  #: rows with a flag that cannot be read; the compiled part sees a bad shape there

    def is_missing(self, row: int) -> bool:
        """True where a weight or a side of the row is not there."""
        if "missing" in self.arrays and self.arrays["missing"][0][row]:
            return True
        measures = (self.arrays[field][0] for field in _REQUIRED)
        return any(array.dtype.kind == "f" and np.isnan(array[row]) for array in measures)

    def why(self, reason: str, row: int) -> str | None:
        """The reason of a row with what was found there, or None where the row's numbers say it all."""
        for one in self.told:
            if _REASON_OF[one.field] == reason and one.bad(row):
                return f"{reason}: {one.name}: found {_shown(one.raw.at(row))}, expected {_EXPECTED[one.field]}"
        return None


_REASON_OF = {
    "weight": "bad_weight",
    **dict.fromkeys(_SIDES, "bad_side"),
    "quantity": "bad_quantity",
    "value": "bad_value",
    "contents": "bad_contents",
    "shape": "bad_shape",
    **dict.fromkeys(_FLAGS, "bad_flag"),
}
TOLD_REASONS = tuple(dict.fromkeys(_REASON_OF.values()))
_EXPECTED = {
    "weight": 'a weight over 0 such as "10.5 oz"',
    **dict.fromkeys(_SIDES, 'a length over 0 such as "12.5 in"'),
    "quantity": "a whole number from 1 to 10000",
    "value": 'an amount of money such as "6.45"',
    "contents": f"words of {', '.join(_core.TRAITS)}, or of your own with x- before them",
    "shape": ", ".join(_core.SHAPES[:-1]) + f" or {_core.SHAPES[-1]}",
    **dict.fromkeys(_FLAGS, "true or false"),
}
_MOST_NANOGRAMS = 10**17
_MOST_NANOMETRES = 50 * 10**9
#: Of columns of texts, beside quantities with a unit and contents, which are classes.
_BOUNDS = {"quantity": (1, 10_000), "value": (0, 10**15), "shape": (0, len(_core.SHAPES) - 1)}


def _shown(value: object) -> str:
    text = value if isinstance(value, str) else str(value)
    text = " ".join(text.split()) if text.split() else text
    return '"' + (text if len(text) <= 60 else text[:59] + "\u2026") + '"'


def has_orders(table: Piece, columns: Mapping[str, str | None]) -> bool:
    """True where rows of one table may be one parcel: then it is read and priced as one piece."""
    return columns["order"] is not None if "order" in columns else "order" in table.names


def pieces_of(table: Table, columns: Mapping[str, str | None]) -> Iterator[tuple[int, Piece]]:
    """The table as it lies in memory, piece by piece, each with its first row; no order is cut apart."""
    return iter([(0, table)]) if has_orders(table, columns) else table.pieces()


def marks_of(decimal: str | None) -> _cells.Marks:
    return _cells.Marks(decimal, said=decimal is not None)


def read_columns(
    piece: Piece, columns: Mapping[str, str | None], units: Union[str, Mapping[str, str], None], decimal: str | None = None
) -> Columns:
    marks = marks_of(decimal)
    found = _find(piece.names, columns, units)
    out = Columns(piece.rows, {}, None, False, False, [])
    missing: list[Array] = []
    flaws: list[Array] = []
    for field, (name, unit) in found.items():
        raw = piece.column(name)
        if field in _REQUIRED:
            known, parse, most = (
                (WEIGHT_UNITS, _core.parse_weights, _MOST_NANOGRAMS)
                if field == "weight"
                else (LENGTH_UNITS, _core.parse_lengths, _MOST_NANOMETRES)
            )
            got = _read(raw, name, _Quantities(name, unit, known, parse, marks))
            if got.gone is not None:
                missing.append(got.gone)
            if field == "weight":
                out.metric_weight = unit in _METRIC
            else:
                out.metric_sides = unit in _METRIC
            if raw.objects:
                out.told.append(Told(field, name, raw, _Outside(got.values, 1, most)))
        elif field == "contents":
            classes = _Classes(name)
            got = _read(raw, name, classes)
            out.classes = classes.classes
        else:
            money = functools.partial(_money, marks=marks)
            reader = {"value": money, "quantity": _wholes, "shape": _shapes, "order": _orders}.get(field, _flags)
            got = _read(raw, name, lambda values, reader=reader, name=name: reader(values, name))  # type: ignore[misc]
        if field not in _REQUIRED:  # left out where it is empty
            if got.gone is not None and got.gone.any():
                got.values = np.where(got.gone, got.values.dtype.type(field == "quantity"), got.values)
            if field == "order":
                if got.bad is not None and got.bad.any():
                    _refuse_order(raw, name, int(np.argmax(got.bad)))
            elif field in _FLAGS:
                if got.bad is not None and got.bad.any():
                    flaws.append(got.bad)
                    out.told.append(Told(field, name, raw, got.bad.__getitem__))
            elif raw.objects:
                least, most = _BOUNDS.get(field, (0, len(out.classes or ()) - 1))
                out.told.append(Told(field, name, raw, _Outside(got.values, least, most)))
        out.arrays[field] = (got.values, got.unit)
    if missing:
        out.arrays["missing"] = (np.logical_or.reduce(missing) if len(missing) > 1 else missing[0], 1)
    if flaws:
        out.flaws = np.logical_or.reduce(flaws)
        shapes = out.arrays["shape"][0] if "shape" in out.arrays else np.zeros(piece.rows, np.uint8)
        # A bad shape of the row's own is told first.
        out.flaws &= (shapes >= 0) & (shapes < len(_core.SHAPES))
        out.arrays["shape"] = (np.where(out.flaws, shapes.dtype.type(_NOT_A_SHAPE), shapes), 1)
    return out


# ---- which column is which ----


def _find(
    names: Sequence[str], columns: Mapping[str, str | None], units: Union[str, Mapping[str, str], None]
) -> dict[str, tuple[str, str | None]]:
    """Of each field the name of its column and its unit."""
    for field in columns:
        if field not in FIELDS:
            raise QuantityError(f"columns: found field {field!r}, expected {', '.join(FIELDS)}", pointer="/columns")
    by_name = _unit_names(units)
    used: set[str] = set()
    out: dict[str, tuple[str, str | None]] = {}
    for field in FIELDS:
        known = WEIGHT_UNITS if field == "weight" else LENGTH_UNITS if field in _SIDES else {}
        if field in columns:
            given_name = columns[field]
            if given_name is None and field not in _REQUIRED:
                continue
            name = str(given_name)
            if given_name is None or name not in names:
                raise QuantityError(
                    f"columns: found no column {given_name!r} for {field}, the catalogue has {_listed(names)}", pointer="/columns"
                )
            candidates = [(name, _suffix_unit(name, known))]
        else:
            candidates = [(field, None)] if field in names else []
            candidates += [(f"{field}_{unit}", unit) for unit in known if f"{field}_{unit}" in names]
        if not candidates:
            if field in _REQUIRED:
                wanted = f"{field!r}, {field}_{next(iter(known))} or the like" if known else repr(field)
                raise QuantityError(
                    f"found no column {wanted}, the catalogue has {_listed(names)}: say which it is in columns",
                    pointer="/columns",
                )
            _refuse_likes(field, names, columns)
            continue
        if len(candidates) > 1:
            both = " and ".join(name for name, _ in candidates)
            raise QuantityError(f"found {both}, expected one column for {field}: say which in columns", pointer="/columns")
        name, unit = candidates[0]
        if known:
            keys = [key for key in (name, field, "sides" if field in _SIDES else "") if key in by_name]
            given = by_name[keys[0]] if keys else None
            used.update(keys)
            if given is not None and given not in known:
                raise QuantityError(f"units: found {given!r} for {field}, expected {', '.join(known)}", pointer="/units")
            # The column's own name only proposes a unit where `columns` named the column.
            if given is not None and unit is not None and given != unit:
                if field not in columns:
                    raise QuantityError(f"units: found {given!r} for {name}, whose name says {unit!r}", pointer="/units")
            unit = given or unit
        out[field] = (name, unit)
    if not isinstance(units, str):
        for key in by_name:
            if key not in used:
                raise QuantityError(f"units: found {key!r}, expected a field or column with a unit, or sides", pointer="/units")
    return out


#: What a column of the field is called too, in tables that people make; without capitals, spaces, points and lines.
_LIKES = {field: {field.replace("_", "")} for field in FIELDS}
_LIKES["quantity"] |= {"qty", "pieces", "pcs"}


def _refuse_likes(field: str, names: Sequence[str], columns: Mapping[str, str | None]) -> None:
    """A column that may be the field is not passed over: the price would be another."""
    said = set(columns.values())
    likes = [name for name in names if name not in said and re.sub(r"[\s_.-]", "", name).lower() in _LIKES[field]]
    if likes:
        raise QuantityError(
            f"found column {likes[0]!r}, expected {field!r}: say columns={{{field!r}: {likes[0]!r}}} where it is that, and "
            f"columns={{{field!r}: None}} where it is not",
            pointer="/columns",
        )


def _unit_names(units: Union[str, Mapping[str, str], None]) -> dict[str, str]:
    if units is None:
        return {}
    if isinstance(units, Mapping):
        return dict(units)
    out: dict[str, str] = {}
    for word in units.replace(",", " ").split():
        key = "weight" if word in WEIGHT_UNITS else "sides" if word in LENGTH_UNITS else None
        if key is None or key in out:
            raise QuantityError(
                f"units: found {units!r}, expected a unit of weight and one of length such as \"oz in\"", pointer="/units"
            )
        out[key] = word
    return out


def _suffix_unit(name: str, known: Mapping[str, int]) -> str | None:
    suffix = name.rpartition("_")[2]
    return suffix if "_" in name and suffix in known else None


def _listed(names: Iterable[str]) -> str:
    return ", ".join(map(str, names)) or "none"


# ---- values ----


def _numeric(array: Array, name: str, expected: str = "numbers or texts with a unit") -> Array:
    """An array that the compiled part takes as it is; a TypeError for one that has already lost digits."""
    if array.dtype.kind == "f" and array.dtype.itemsize < 8:
        raise TypeError(
            f"{name}: found {array.dtype}, expected float64 or whole numbers: it has lost digits, "
            "so round it to what was measured, such as column.astype('float64').round(3)"
        )
    if array.dtype.kind == "f" and array.dtype.itemsize > 8:
        array = array.astype(np.float64)
    if array.dtype.kind in "iuf" and not array.dtype.isnative:
        array = array.astype(array.dtype.newbyteorder("="))
    if array.dtype.kind not in "iuf":
        raise TypeError(f"{name}: found {array.dtype}, expected {expected}")
    return array


@dataclasses.dataclass
class _Got:
    """A column read: what the compiled part takes, how much one of it is, and where there is nothing."""

    values: Array
    unit: int = 1
    gone: Array | None = None
    bad: Array | None = None  #: where a flag or an order cannot be read


def _read(raw: Raw, name: str, read: Callable[[Raw], _Got]) -> _Got:
    """Reads values, never codes: of a column of codes, what they stand for is read as a column and then looked up."""
    if raw.wrong:
        raise TypeError(f"{name}: found {raw.wrong}, expected numbers or texts")
    if raw.categories is None:
        got = read(raw)
        if raw.mask is not None:
            got.gone = raw.mask if got.gone is None else got.gone | raw.mask
        return got
    distinct = _read(raw.categories, name, read)
    none = raw.values < 0
    if raw.mask is not None:
        none = none | raw.mask
    if len(distinct.values) == 0:
        return _Got(np.zeros(raw.rows, distinct.values.dtype), distinct.unit, none, none & False)
    codes = np.where(none, 0, raw.values).astype(np.intp)
    gone = none if distinct.gone is None else none | distinct.gone[codes]
    bad = None if distinct.bad is None else distinct.bad[codes] & ~none
    return _Got(distinct.values[codes], distinct.unit, gone if gone.any() else None, bad)


def _is_gone(value: object) -> bool:
    """None, NaN, and what tables put for nothing; empty texts too."""
    if isinstance(value, str):
        return not value or value.isspace()
    if isinstance(value, (float, np.floating, Decimal)):
        return bool(value != value)
    if isinstance(value, (np.datetime64, np.timedelta64)):
        return bool(np.isnat(value))
    return value is None or value is np.ma.masked or type(value).__name__ in ("NAType", "NaTType")


def _is_number(value: object) -> bool:
    return isinstance(value, (int, float, Decimal, np.integer, np.floating)) and not isinstance(value, bool)


def _plain(value: Any, name: str) -> str:
    """A number among objects as a text: a float goes to its nearest millionth, as those of float64 columns do."""
    if isinstance(value, (float, np.floating)):
        if isinstance(value, np.floating) and not isinstance(value, np.float64):
            raise TypeError(f"{name}: found {type(value).__name__}, expected float64 or whole numbers: it has lost digits")
        if value in (float("inf"), float("-inf")):
            return str(value)
        over, under = abs(float(value)).as_integer_ratio()
        millionths = (2 * over * 10**6 + under) // (2 * under)
        sign = "-" if value < 0 else ""
        return f"{sign}{millionths // 10**6}.{millionths % 10**6:06d}"
    return f"{value:f}" if isinstance(value, Decimal) else str(int(value))


def _texts(raw: Raw) -> tuple[list[Any], Array | None]:
    """Objects, None where there is nothing, and where that is."""
    values = [None if _is_gone(value) else value for value in raw.values.tolist()]
    gone = np.fromiter((value is None for value in values), bool, len(values))
    return values, gone if gone.any() else None


class _Quantities:
    """Weights or sides, of numbers in one unit or of texts with their own."""

    def __init__(
        self,
        name: str,
        unit: str | None,
        known: Mapping[str, int],
        parse: Callable[[Sequence[Any]], Array],
        marks: _cells.Marks = _cells.Marks(),
    ) -> None:
        self._name = name
        self._unit = unit
        self._known = known
        self._parse = parse
        self._marks = marks
        self._words = _cells.weight if known is WEIGHT_UNITS else _cells.length

    def __call__(self, raw: Raw) -> _Got:
        unit, name = self._unit, self._name
        if raw.values.dtype.kind in "OUT":
            values, gone = _texts(raw)
            return _Got(self._parse_texts(values), 1, gone)
        if unit is None:
            raise QuantityError(
                f"{name}: found numbers without a unit, expected one of {', '.join(self._known)}: say which in units",
                pointer="/units",
            )
        if raw.micros:
            return _Got(_of_millionths(raw.values, self._known[unit]), 1)
        return _Got(_numeric(raw.values, name), self._known[unit])

    def _parse_texts(self, values: Sequence[Any]) -> Array:
        """As the library reads them; what it cannot read, as people type it. A comma first where it stands before decimals."""
        units = values if self._unit is None else [self._text(value) for value in values]
        if self._marks.decimal == ",":
            return self._parse([self._typed(value, given) for value, given in zip(values, units)])
        out = self._parse(units)
        bad = [i for i in np.flatnonzero(out == -2).tolist() if isinstance(values[i], str)]
        if bad:
            out = np.array(out)
            out[bad] = self._parse([self._typed(values[i], None) for i in bad])
        return out

    def _typed(self, value: Any, given: Any) -> Any:
        if not isinstance(value, str):
            return given
        try:
            return self._words(value, self._unit, self._marks)
        except _cells.CellError:
            return "?"

    def _text(self, value: Any) -> Any:
        """A number gets the column's unit, and so does a text without one."""
        if isinstance(value, str):
            return value if any(map(str.isalpha, value)) else f"{value} {self._unit}"
        return f"{_plain(value, self._name)} {self._unit}" if _is_number(value) else value


def _of_millionths(millionths: Array, unit: int) -> Array:
    """In base units, half up; below 0: none."""
    whole, rest = divmod(unit, 10**6)
    most = 10**18 // max(whole, 1)
    inside = (millionths >= 0) & (millionths <= most)
    n = np.where(inside, millionths, 0)
    thousands, units = np.divmod(n, 10**6)
    # The rest of a unit under a million times under 10^12 millions.
    return np.where(inside, n * whole + thousands * rest + (units * rest + 500_000) // 10**6, -2)


class _Outside:
    """Which of the values read cannot be priced, whatever stands beside them."""

    def __init__(self, values: Array, least: int, most: int) -> None:
        self._values = values
        self._least = least
        self._most = most

    def __call__(self, row: int) -> bool:
        return not self._least <= self._values[row] <= self._most


def _money(raw: Raw, name: str, marks: _cells.Marks = _cells.Marks()) -> _Got:
    if raw.micros:
        return _Got(raw.values)
    if raw.values.dtype.kind in "OUT":
        values, gone = _texts(raw)
        floats = (float, np.floating)
        texts = [_plain(value, name) if isinstance(value, floats) else _core_value(value) for value in values]
        if marks.said:
            texts = [_typed_amount(value, marks) if isinstance(value, str) else value for value in texts]
        return _Got(_core.parse_amounts(texts), 1, gone)
    array = _numeric(raw.values, name, 'amounts of money such as "6.45", or numbers')
    return _Got(array, 1_000_000, _nans(array))


def _typed_amount(text: str, marks: _cells.Marks) -> str:
    try:
        return _cells.number(text.strip(), marks)
    except _cells.CellError:
        return "?"


def _core_value(value: object) -> object:
    """As the compiled part takes amounts; what it would refuse as a type is a text that is none."""
    if isinstance(value, np.integer):
        return int(value)
    return value if value is None or isinstance(value, (str, Decimal)) or _is_number(value) else str(value)


def _nans(array: Array) -> Array | None:
    if array.dtype.kind != "f":
        return None
    gone = np.isnan(array)
    return gone if gone.any() else None


def _wholes(raw: Raw, name: str) -> _Got:
    array = raw.values
    if raw.micros:
        whole, rest = np.divmod(array, 10**6)
        return _Got(np.where(rest == 0, whole, -1))
    if array.dtype.kind in "OUT":
        values, gone = _texts(raw)
        return _Got(np.fromiter((_whole(value) for value in values), np.int64, len(values)), 1, gone)
    if array.dtype.kind == "f":  # what pandas makes of whole numbers with gaps
        gone = _nans(array)
        whole = array if gone is None else np.where(gone, 1, array)
        bad = (whole != np.floor(whole)) | (np.abs(whole) > 2**31)
        return _Got(np.where(bad, -1, whole).astype(np.int64), 1, gone)
    if array.dtype.kind not in "iu":
        raise TypeError(f"{name}: found {array.dtype}, expected whole numbers")
    return _Got(_numeric(array, name))


def _whole(value: object) -> int:
    """A whole number among objects, -1 where it is none."""
    if isinstance(value, str):
        digits = value.strip()
        return int(digits) if digits.isascii() and digits.isdigit() and len(digits) <= 9 else -1
    if value is None or not _is_number(value):
        return -1
    number: Any = value
    return int(number) if abs(number) < 2**31 and number == int(number) else -1


def _all_gone(raw: Raw) -> _Got | None:
    """A column of nothing, which pandas holds as numbers."""
    if raw.values.dtype.kind != "f":
        return None
    gone = np.isnan(raw.values)
    if not (gone if raw.mask is None else gone | raw.mask).all():
        return None
    return _Got(np.zeros(raw.rows, np.uint8), 1, np.ones(raw.rows, bool))


def _numbered(raw: Raw, name: str, number: Callable[[Any], int]) -> _Got:
    """Texts by a number for each distinct one."""
    if raw.values.dtype.kind not in "OUT":
        raise TypeError(f"{name}: found {raw.values.dtype}, expected texts")
    seen: dict[Any, int] = {}
    out = np.zeros(raw.rows, np.int64)
    gone = np.zeros(raw.rows, bool)
    for i, value in enumerate(raw.values.tolist()):
        key = tuple(map(str, value)) if isinstance(value, (list, tuple, np.ndarray)) else value
        if _is_gone(key):
            gone[i] = True
            continue
        if not isinstance(key, (str, tuple, int, float, np.bool_)):
            key = str(key)
        at = seen.get(key)
        if at is None:
            at = seen[key] = number(key)
        out[i] = at
    return _Got(out, 1, gone if gone.any() else None)


class _Classes:
    """Contents by class, of which 0 is nothing special; words that are none get a class that there is not."""

    NONE = 2**31 - 1

    def __init__(self, name: str) -> None:
        self._name = name
        self.classes: list[tuple[str, ...]] | None = None

    def __call__(self, raw: Raw) -> _Got:
        if raw.values.dtype.kind in "iu" and not raw.micros:
            return _Got(raw.values)  # bits, in the order of TRAITS
        self.classes = [()]
        return _all_gone(raw) or _numbered(raw, self._name, self._number)

    def _number(self, value: Any) -> int:
        assert self.classes is not None
        if isinstance(value, str):
            words = tuple(re.split(r"[\s,;|]+", value.strip(" \t\r\n,;|")))
        elif isinstance(value, tuple):
            words = value
        else:
            return self.NONE
        words = tuple(word for word in words if word)
        try:
            _core.check_contents(words)
        except QuantityError:
            return self.NONE
        self.classes.append(words)
        return len(self.classes) - 1


def _shapes(raw: Raw, name: str) -> _Got:
    if raw.values.dtype.kind in "iu" and not raw.micros:
        return _Got(raw.values)

    def number(value: Any) -> int:
        text = value.strip() if isinstance(value, str) else value
        return _core.SHAPES.index(text) if text in _core.SHAPES else _NOT_A_SHAPE

    return _all_gone(raw) or _numbered(raw, name, number)


_NOT_A_SHAPE = 127
_FLAG_WORDS = {"true": 1, "yes": 1, "1": 1, "false": 0, "no": 0, "0": 0}
_NOT_A_FLAG = 2


def _flags(raw: Raw, name: str) -> _Got:
    if raw.values.dtype.kind in "biu" and not raw.micros:
        return _Got(raw.values)

    def number(value: Any) -> int:
        if isinstance(value, str):
            return _FLAG_WORDS.get(value.strip().lower(), _NOT_A_FLAG)
        return int(value) if isinstance(value, np.bool_) or value in (0, 1) else _NOT_A_FLAG

    nothing = _all_gone(raw)
    if nothing is None and raw.values.dtype.kind not in "OUT":
        raise TypeError(f"{name}: found {raw.values.dtype}, expected booleans")
    got = nothing or _numbered(raw, name, number)
    got.bad = got.values == _NOT_A_FLAG
    return got


# ---- orders ----

#: What programs and people write for nothing: many goods of no order are not one order of that name.
_NOTHING = frozenset({"nan", "none", "null", "<na>", "nat", "n/a", "#n/a", "-"})
_MOST_ORDER = 10**40  #: past any decimal of a table; keeps texts of numbers short


def order_of(value: object) -> str | None:
    """The entry of an order among objects: a text without the spaces around it, of a whole number its digits; None: none.

    Raises ValueError for anything else: which order a row is of cannot be guessed.
    """
    if isinstance(value, str):
        text = value.strip(" \t")
        if text.lower() in _NOTHING:
            raise ValueError
        return text or None
    if _is_gone(value):
        return None
    if not _is_number(value):
        raise ValueError
    number: Any = int(value) if isinstance(value, np.integer) else value
    if _past_orders(number) or number != int(number):
        raise ValueError
    return str(int(number))


def order_fault(value: object) -> str:
    """What is wrong with a value that ``order_of`` refuses."""
    expected = "a text or a whole number"
    if isinstance(value, str):
        return f"found {_shown(value)}, which is what an empty cell is written as, expected {expected}, or nothing"
    if isinstance(value, (float, np.floating)) and np.isfinite(value) and _past_orders(value):
        expected += ", so large a one as an integer or a text: a float has lost digits"
    return f"found {_shown(value)}, expected {expected}"


def _past_orders(number: Any) -> bool:
    """True where its digits say nothing, of what is no number too."""
    floating = isinstance(number, (float, np.floating))
    return not abs(number) < (_exact(np.asarray(number).dtype) if floating else _MOST_ORDER)


def _exact(dtype: np.dtype[Any]) -> int:
    """Below it a float of the kind is no other whole number than the one that was meant."""
    return 1 << min(int(np.finfo(dtype).nmant) + 1, 53)


def _refuse_order(raw: Raw, name: str, row: int) -> NoReturn:
    raise QuantityError(f"{name}: row {row}: {order_fault(raw.at(row))}", pointer=f"/{row}/{name}")


def _orders(raw: Raw, name: str) -> _Got:
    """A number for each order, which is 0 for no row that has one."""
    array = raw.values
    gone: Array | None = None
    bad: Array | None = None
    if array.dtype.kind in "OUT":
        return _order_texts(raw)
    if raw.micros:
        array, rest = np.divmod(array, 10**6)
        bad = rest != 0
    elif array.dtype.kind == "f":  # what pandas makes of whole numbers with gaps
        gone = _nans(array)
        known = array if gone is None else np.where(gone, array.dtype.type(0), array)
        bad = ~(np.abs(known) < _exact(array.dtype)) | (known != np.floor(known))
        array = np.where(bad, array.dtype.type(0), known).astype(np.int64)
    elif array.dtype.kind in "iu":
        array = _numeric(array, name)
    else:
        raise TypeError(f"{name}: found {array.dtype}, expected texts or whole numbers")
    none = gone if raw.mask is None else raw.mask if gone is None else gone | raw.mask
    if bad is not None and none is not None:
        bad &= ~none
    zero = array == 0
    if (zero if none is None else zero & ~none).any():  # a number like any other here, none to the compiled part
        array = np.unique(array, return_inverse=True)[1].reshape(-1) + 1
    return _Got(array, 1, gone, bad)


def _order_texts(raw: Raw) -> _Got:
    numbers: dict[str | None, int] = {None: 0}
    out = np.zeros(raw.rows, np.int64)
    bad = np.zeros(raw.rows, bool)
    masked = None if raw.mask is None else raw.mask.tolist()
    for i, value in enumerate(raw.values.tolist()):
        if masked is not None and masked[i]:
            continue
        try:
            out[i] = numbers.setdefault(order_of(value), len(numbers))
        except ValueError:
            bad[i] = True
    return _Got(out, 1, None, bad)
