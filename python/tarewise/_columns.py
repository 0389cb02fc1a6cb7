"""A catalogue's columns as the compiled part takes them: arrays as they are where they are right, and units."""

from __future__ import annotations

import dataclasses
from collections.abc import Callable, Iterable, Mapping, Sequence
from decimal import Decimal
from typing import Any, Union

import numpy as np
import numpy.typing as npt

from tarewise import _core
from tarewise._frames import Piece, Raw
from tarewise.errors import QuantityError

WEIGHT_UNITS = {"lb": 453_592_370_000, "oz": 28_349_523_125, "kg": 10**12, "g": 10**9, "mg": 10**6}
LENGTH_UNITS = {"in": 25_400_000, "ft": 304_800_000, "yd": 914_400_000, "m": 10**9, "cm": 10**7, "mm": 10**6}
_METRIC = frozenset({"kg", "g", "mg", "m", "cm", "mm"})
_SIDES = ("length", "width", "height")
_REQUIRED = ("weight", *_SIDES)
_FLAGS = ("this_side_up", "rigid", "bare")
FIELDS = (*_REQUIRED, "quantity", "value", "contents", "shape", *_FLAGS)

Array = npt.NDArray[Any]


@dataclasses.dataclass
class Columns:
    """What ``_core.Repricer.run`` takes."""

    rows: int
    arrays: dict[str, tuple[Array, int]]
    classes: list[tuple[str, ...]] | None
    metric_weight: bool
    metric_sides: bool


def read_columns(piece: Piece, columns: Mapping[str, str], units: Union[str, Mapping[str, str], None]) -> Columns:
    found = _find(piece.names, columns, units)
    out = Columns(piece.rows, {}, None, False, False)
    missing: list[Array] = []
    for field, (name, unit) in found.items():
        raw = piece.column(name)
        if field == "weight":
            out.arrays[field] = _quantity(raw, name, unit, WEIGHT_UNITS, _core.parse_weights, missing)
            out.metric_weight = unit in _METRIC
        elif field in _SIDES:
            out.arrays[field] = _quantity(raw, name, unit, LENGTH_UNITS, _core.parse_lengths, missing)
            out.metric_sides = unit in _METRIC
        elif field == "value":
            out.arrays[field] = _money(raw, name, missing)
        elif field == "quantity":
            out.arrays[field] = (_wholes(raw, name, missing), 1)
        elif field == "contents":
            array, out.classes = _contents(raw, name)
            out.arrays[field] = (array, 1)
        elif field == "shape":
            out.arrays[field] = (_shapes(raw, name), 1)
        else:
            out.arrays[field] = (_flags(raw, name), 1)
    if missing:
        out.arrays["missing"] = (np.logical_or.reduce(missing) if len(missing) > 1 else missing[0], 1)
    return out


# ---- which column is which ----


def _find(
    names: Sequence[str], columns: Mapping[str, str], units: Union[str, Mapping[str, str], None]
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
            name = columns[field]
            if name not in names:
                raise QuantityError(
                    f"columns: found no column {name!r} for {field}, the catalogue has {_listed(names)}", pointer="/columns"
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


def _numeric(array: Array, name: str) -> Array:
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
        raise TypeError(f"{name}: found {array.dtype}, expected numbers or texts with a unit")
    return array


def _note_missing(raw: Raw, missing: list[Array]) -> None:
    if raw.mask is not None:
        missing.append(raw.mask)


def _quantity(
    raw: Raw,
    name: str,
    unit: str | None,
    known: Mapping[str, int],
    parse: Callable[[Sequence[Any]], Array],
    missing: list[Array],
) -> tuple[Array, int]:
    if raw.values.dtype.kind in "OUT":
        texts = [
            value if isinstance(value, str) or unit is None or not _is_number(value) else f"{_plain(value)} {unit}"
            for value in raw.values.tolist()
        ]
        parsed = parse(texts)
        _note_missing(raw, missing)
        gone = parsed == -1
        if gone.any():
            missing.append(gone)
        return parsed, 1
    if unit is None:
        raise QuantityError(
            f"{name}: found numbers without a unit, expected one of {', '.join(known)}: say which in units", pointer="/units"
        )
    _note_missing(raw, missing)
    return _numeric(raw.values, name), known[unit]


def _is_number(value: object) -> bool:
    return isinstance(value, (int, float, Decimal)) and not isinstance(value, bool) and value == value


def _plain(value: Union[int, float, Decimal]) -> str:
    return f"{Decimal(repr(value)) if isinstance(value, float) else value:f}" if not isinstance(value, int) else str(value)


def _money(raw: Raw, name: str, missing: list[Array]) -> tuple[Array, int]:
    _note_missing(raw, missing)
    if raw.micros:
        return raw.values, 1
    if raw.values.dtype.kind in "OUT":
        parsed = _core.parse_amounts(raw.values.tolist())
        gone = parsed == -1
        if gone.any():
            missing.append(gone)
        return parsed, 1
    return _numeric(raw.values, name), 1_000_000


def _wholes(raw: Raw, name: str, missing: list[Array]) -> Array:
    _note_missing(raw, missing)
    array = raw.values
    if array.dtype.kind == "O":
        gone = np.array([value is None or value != value for value in array.tolist()], bool)
        if gone.any():
            missing.append(gone)
        array = np.array([0 if gone[i] else value for i, value in enumerate(array.tolist())])
    if array.dtype.kind == "f":  # what pandas makes of whole numbers with gaps
        gone = np.isnan(array)
        if gone.any():
            missing.append(gone)
        whole = np.where(gone, 1, array)
        bad = (whole != np.floor(whole)) | (np.abs(whole) > 2**31)
        return np.where(bad, -1, whole).astype(np.int64)
    if array.dtype.kind not in "iu":
        raise TypeError(f"{name}: found {array.dtype}, expected whole numbers")
    return _numeric(array, name)


def _codes(raw: Raw, name: str) -> tuple[Array, list[Any]]:
    """Which of the distinct values each row has, and those; -1: none."""
    if raw.categories is not None:
        codes = raw.values
        if raw.mask is not None:
            codes = np.where(raw.mask, -1, codes)
        return codes, list(raw.categories)
    if raw.values.dtype.kind not in "OUT":
        raise TypeError(f"{name}: found {raw.values.dtype}, expected texts")
    seen: dict[Any, int] = {}
    values: list[Any] = []
    codes = np.empty(raw.rows, np.int64)
    for i, value in enumerate(raw.values.tolist()):
        if value is None or value is raw.nothing or (isinstance(value, float) and value != value):
            codes[i] = -1
            continue
        key = value if isinstance(value, str) else tuple(value) if isinstance(value, (list, tuple, np.ndarray)) else value
        at = seen.get(key)
        if at is None:
            at = seen[key] = len(values)
            values.append(key)
        codes[i] = at
    return codes, values


def _contents(raw: Raw, name: str) -> tuple[Array, list[tuple[str, ...]] | None]:
    if raw.values.dtype.kind in "iu" and raw.categories is None:
        return raw.values, None  # bits, in the order of TRAITS
    codes, values = _codes(raw, name)
    # Class 0: nothing special. Words that are none get a class past the last, which is a reason.
    classes: list[tuple[str, ...]] = [()]
    numbers = np.zeros(len(values) + 1, np.int64)
    for i, value in enumerate(values):
        words = tuple(value.replace(",", " ").split()) if isinstance(value, str) else tuple(map(str, value))
        try:
            _core.check_contents(words)
        except QuantityError:
            numbers[i] = -1
            continue
        numbers[i] = len(classes)
        classes.append(words)
    numbers[numbers == -1] = len(classes)
    return numbers[codes], classes  # -1 takes the last number, which is 0


def _shapes(raw: Raw, name: str) -> Array:
    if raw.values.dtype.kind in "iu" and raw.categories is None:
        return raw.values
    codes, values = _codes(raw, name)
    numbers = np.zeros(len(values) + 1, np.int64)
    for i, value in enumerate(values):
        numbers[i] = 0 if value == "" else _core.SHAPES.index(value) if value in _core.SHAPES else 255
    return numbers[codes]


def _flags(raw: Raw, name: str) -> Array:
    array = raw.values
    if raw.mask is not None:
        return np.where(raw.mask, 0, array).astype(np.uint8)
    if array.dtype.kind in "biu":
        return array
    if array.dtype.kind == "O":
        out = np.zeros(raw.rows, np.uint8)
        for i, value in enumerate(array.tolist()):
            if value is None or value is raw.nothing or (isinstance(value, float) and value != value):
                continue
            if not isinstance(value, (bool, np.bool_, int)):
                raise TypeError(f"{name}: found {value!r}, expected True or False")
            out[i] = bool(value)
        return out
    raise TypeError(f"{name}: found {array.dtype}, expected booleans")
