"""Whole catalogues: every row for every lane, in the kind of table that came in."""

from __future__ import annotations

import collections
import contextlib
import re
import threading
import time
import uuid
import warnings
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from datetime import date as Date
from datetime import time as Time
from decimal import Decimal
from fractions import Fraction
from typing import Any, Literal, TypeVar, Union

import numpy as np
import numpy.typing as npt

from tarewise import _core, _frames, _sales, _teach
from tarewise._columns import TOLD_REASONS, Columns, has_orders, pieces_of, read_columns
from tarewise._core import Allowance, Lane, Length, Place, Promise, Ranking, Ratebook, Shelf, Weight, rank_request
from tarewise._frames import Code, Count, Money, Plain, Result, Text
from tarewise._sales import SaleColumns
from tarewise._values import Week
from tarewise.errors import QuantityError, RepriceInterrupted, RequestError

Catalogue = TypeVar("Catalogue")

Share = Union[int, str, Decimal, Fraction, float]
Progress = Union[bool, Callable[[int, int], object], None]
Output = Literal["total", "parcels", "service", "packaging", "second_total", "expected_total", "worst_total", "worst_place"]

_LANE_OUTPUTS = ("total", "parcels", "service", "packaging", "second_total")
_MIX_OUTPUTS = ("expected_total", "worst_total", "worst_place")
_CORE_NAMES = {"expected_total": "expected", "worst_total": "worst", "worst_place": "worst_lane"}
_MOST_SHARES = 10**12

#: Of an argument that is not changed; it stands for any value, so its class is none that checkers of types know.
_AS_IT_IS: Any = type("AsItIs", (), {"__repr__": lambda _: "<as it is>"})()


class Mix:
    """Where goods go and how often: a destination mix.

    ``shares`` maps places to how often, in any unit (counts, parts of a whole, percentages): only their proportions count.
    A place written as text may be an area here, the beginning of a code such as ``"US 100"``.

    Errors: QuantityError of a share below 0, or none above it, and of a place.

    >>> tw.Mix("US 05401", {"US 98101": 3, "US 10001": "1.5"})
    <Mix of 2 places from US 05401>
    """

    __slots__ = ("origin", "places", "shares")

    origin: Place
    places: tuple[Place, ...]
    shares: tuple[int, ...]

    @_teach.careful
    def __init__(
        self,
        origin: Union[Place, str],
        shares: Union[Mapping[Union[Place, str], Share], Iterable[tuple[Union[Place, str], Share]]],
    ) -> None:
        if hasattr(shares, "items"):  # of a mapping, and of a pandas Series such as value_counts gives
            pairs = list(shares.items())
        else:
            pairs = list(shares)
        if not pairs:
            raise QuantityError("shares: found none, expected a place and its share", pointer="/shares")
        exact = [_share(share) for _, share in pairs]
        if any(share < 0 for share in exact) or sum(exact) == 0:
            raise QuantityError("shares: found a share below 0, or none above it, expected some", pointer="/shares")
        scale = np.lcm.reduce([1, *(share.denominator for share in exact)], dtype=object)
        whole = [int(share * scale) for share in exact]
        common = int(np.gcd.reduce(whole, dtype=object))
        whole = [share // common for share in whole]
        if sum(whole) > _MOST_SHARES:
            raise QuantityError("shares: found some that are too fine, expected at most twelve digits", pointer="/shares")
        object.__setattr__(self, "origin", Place(origin) if isinstance(origin, str) else origin)
        object.__setattr__(self, "places", tuple(Place(p, area=True) if isinstance(p, str) else p for p, _ in pairs))
        object.__setattr__(self, "shares", tuple(whole))

    def __setattr__(self, name: str, value: object) -> None:
        raise AttributeError(f"a Mix never changes; make another for another {name}")

    def lanes(self) -> tuple[Lane, ...]:
        """From the origin to each place.

        >>> tw.Mix("US 05401", {"US 98101": 3}).lanes()
        (Lane('US 05401', 'US 98101'),)
        """
        return tuple(Lane(self.origin, place) for place in self.places)

    def __len__(self) -> int:
        return len(self.places)

    def __iter__(self) -> Iterator[tuple[Place, int]]:
        return iter(zip(self.places, self.shares))

    def __eq__(self, other: object) -> bool:
        if not isinstance(other, Mix):
            return NotImplemented
        return (self.origin, self.places, self.shares) == (other.origin, other.places, other.shares)

    def __hash__(self) -> int:
        return hash((self.origin, self.places, self.shares))

    def __reduce__(self) -> tuple[Any, ...]:
        return (Mix, (self.origin, tuple(zip(self.places, self.shares))))

    def __repr__(self) -> str:
        return f"<Mix of {len(self)} places from {self.origin}>"


def _share(value: Share) -> Fraction:
    if isinstance(value, bool):
        raise TypeError("shares: found bool, expected a number")
    try:
        return Fraction(repr(float(value))) if isinstance(value, float) else Fraction(value)
    except (ValueError, OverflowError) as error:
        raise QuantityError(f"shares: found {value!r}, expected a number", pointer="/shares") from error


class Repricer:
    """Prices catalogues, with the very totals, services and packagings that ``rank`` puts first.

    What rows share is worked out once and kept, so keep the repricer for many catalogues. It may be called from any thread,
    and is pickled with its ratebook: a worker process that gets it many times makes it once. The keywords are those of
    ``reprice``, and so are the errors.

    ``services``, ``packagings``, ``lanes``, ``cautions`` and ``reasons`` are what the numbers of ``plain`` stand for; ``currency`` is that
    of totals; ``ratebook``, ``shelf`` and ``mix`` are those that were given.

    >>> catalogue = {"weight_oz": np.array([19, 11.4]), "length_in": np.array([12, 11.0]), "width_in": np.array([9, 8.0])}
    >>> catalogue["height_in"] = np.array([4, 3.0])
    >>> repricer = tw.Repricer(tables.ratebook, lanes=lane, shelf=tables.shelf, date="2026-08-03", currency="USD")
    >>> repricer(catalogue)["total_micros"]
    array([11990000, 10890000])
    """

    @_teach.careful
    def __init__(
        self,
        ratebook: Ratebook,
        *,
        date: Union[Date, str],
        lanes: Union[Lane, Sequence[Lane], Mapping[str, Lane], None] = None,
        mix: Mix | None = None,
        shelf: Shelf | None = None,
        promise: Promise | None = None,
        extras: Sequence[str] = (),
        cover: Union[Decimal, str, int, None] = None,
        accepts: Union[str, Sequence[str]] = "door",
        amounts: Mapping[str, Union[Decimal, str, int]] | None = None,
        time: Union[Time, str, None] = None,
        totals: Literal["with_tax", "without_tax"] = "with_tax",
        week: Week | None = None,
        currency: str | None = None,
        exchange: Mapping[str, Union[Decimal, str, int]] | None = None,
        padding: Union[Length, str, None] = None,
        fill_weight: Union[Weight, str, None] = None,
        allowance: Allowance | None = None,
        most_parcels: int = 1,
        columns: Mapping[str, str | None] | None = None,
        units: Union[str, Mapping[str, str], None] = None,
        decimal: Literal[".", ","] | None = None,
        outputs: Sequence[Output] | None = None,
        quantiles: Sequence[Union[Decimal, float, str]] = (),
        prefix: str = "",
        plain: bool = False,
        money: Literal["decimal", "float"] = "decimal",
        threads: int = 0,
        sale: SaleColumns | None = None,
    ) -> None:
        self._arguments = {name: value for name, value in locals().items() if name not in ("self", "__class__")}
        self._token = uuid.uuid4().hex
        self.ratebook = ratebook
        self.shelf = shelf
        self.mix = mix
        self._columns = dict(columns or {})
        self._units = units
        if decimal not in (None, ".", ","):
            raise QuantityError(f"decimal: found {decimal!r}, expected '.' or ','", pointer="/decimal")
        self._decimal = decimal
        self._prefix = prefix
        self._plain = plain
        if money not in ("decimal", "float"):
            raise QuantityError(f"money: found {money!r}, expected 'decimal' or 'float'", pointer="/money")
        if money == "float" and plain:
            raise QuantityError("money: found 'float' beside plain, whose amounts are millionths, expected one of them", pointer="/money")
        self._money = money
        self._threads = threads
        if sale is not None and not isinstance(sale, SaleColumns):
            raise TypeError(f"sale: found {type(sale).__name__}, expected SaleColumns")
        self.sale = sale
        self._sale_terms = None if sale is None else sale._terms()
        self._sale_answers = () if sale is None else (*sale._answers(), "sale_reason")
        if (lanes is None) == (mix is None):
            raise TypeError("found both lanes and a mix, or neither, expected one of them")
        self._lane_names, self.lanes = _name_lanes(lanes) if mix is None else _name_mix(mix)
        self._outputs = _check_outputs(outputs, quantiles, mix is not None, most_parcels)
        self._levels = [_level(quantile) for quantile in quantiles]
        self._core = _core.Repricer(
            ratebook=ratebook,
            shelf=shelf,
            lanes=self.lanes,
            shares=() if mix is None else mix.shares,
            date=date,
            promise=promise,
            extras=extras,
            cover=cover,
            accepts=accepts,
            amounts=amounts,
            time=time,
            totals=totals,
            week=week,
            currency=currency,
            exchange=exchange,
            padding=padding,
            fill_weight=fill_weight,
            allowance=allowance,
            most_parcels=most_parcels,
        )
        #: The services as "carrier/service", and the packagings' codes.
        self.services: tuple[str, ...] = tuple(f"{carrier}/{service}" for carrier, service, _ in self._core.services)
        self.packagings: tuple[str, ...] = tuple(code for code, _, _ in self._core.packagings)
        #: The codes of cautions: in plain ``cautions`` the first stands for 1, the second for 2, the third for 4, added together.
        self.cautions: tuple[str, ...] = _core.CAUTIONS
        #: What the numbers of a plain ``reason`` mean; 0 is a row that is priced.
        self.reasons: tuple[str, ...] = (*_core.ROW_REASONS, "not_done", "bad_flag")
        #: What the numbers of a plain ``sale_reason`` mean; 0: nothing is missing.
        self.sale_reasons: tuple[str, ...] = _core.SALE_REASONS
        self.currency: str = self._core.currency
        if sale is not None and sale.economics.currency != self.currency:
            raise QuantityError(
                f"sale: found economics in {sale.economics.currency}, expected {self.currency}, the currency of the totals",
                pointer="/sale/economics",
            )
        added = self._told(self._results(self._allocate(0)))
        # The names that are added, and whether it is money.
        self._added = [(result.name, isinstance(result, Money)) for result in added]
        self._counts = {result.name for result in added if isinstance(result, Count)}

    def __call__(self, catalogue: Catalogue, *, progress: Progress = None) -> Catalogue:
        """The catalogue with columns added, of the same kind; see ``reprice``."""
        table = _frames.table_of(catalogue)
        taken = [
            name
            for name, money in self._added
            if (name + table.money_suffix if money else name) in table.names
        ]
        if taken:
            raise QuantityError(
                f"found columns {', '.join(taken)} already, expected none of these names: give a prefix", pointer="/prefix"
            )
        self._refuse_orders(table)
        results = self._allocate(table.rows)
        found = _Found(table.rows)
        sales = None
        if self.sale is not None:
            sales = _sales.SaleReader(self.sale, table.rows, texts=not self._plain, decimal=self._decimal)
        done = 0
        interrupted = False
        with _Progress(progress, table.rows) as tell:
            for first, piece in pieces_of(table, self._columns):
                columns = read_columns(piece, self._columns, self._units, self._decimal)
                if sales is not None:
                    columns.arrays.update(sales.read(piece))
                count, interrupted = self._run(columns, results, first, tell)
                found.look(columns, results["reason"], first, texts=not self._plain)
                if sales is not None:
                    sales.look(results["sale_reason"], first, piece.rows)
                done += count
                if interrupted:
                    break
        out: Catalogue = table.with_columns(self._told(self._results(results, found, sales)))
        if interrupted:
            raise RepriceInterrupted(done, out)
        return out

    def batches(self, catalogues: Iterable[Catalogue], *, progress: Progress = None) -> Iterator[Catalogue]:
        """Prices tables one after another, such as the batches of a file: memory stays that of one of them.

        Tables with a column ``order`` are refused with a QuantityError: an order could have rows in several of them.

        >>> catalogue = {"weight_oz": np.array([19, 11.4]), "length_in": np.array([12, 11.0]), "width_in": np.array([9, 8.0])}
        >>> catalogue["height_in"] = np.array([4, 3.0])
        >>> repricer = tw.Repricer(tables.ratebook, lanes=lane, shelf=tables.shelf, date="2026-08-03", currency="USD")
        >>> sum(len(batch["reason"]) for batch in repricer.batches([catalogue, catalogue]))
        4
        """
        for catalogue in catalogues:
            if has_orders(_frames.table_of(catalogue), self._columns):
                raise QuantityError(
                    "found a column of orders, expected none: an order may have rows in several of the tables, so price them as one",
                    pointer="/catalogues",
                )
            yield self(catalogue, progress=progress)

    def request(self, catalogue: object, row: int, lane: Union[int, str] = 0) -> _core.Request:
        """The request of one row and lane, for ``rank_request``; for a row of an order, that of the whole order.

        ``row``: from 0, from the end below 0; ``lane``: its place or name. Errors: IndexError of another row, RequestError of a row
        that cannot be priced.

        >>> catalogue = {"weight_oz": np.array([19, 11.4]), "length_in": np.array([12, 11.0]), "width_in": np.array([9, 8.0])}
        >>> catalogue["height_in"] = np.array([4, 3.0])
        >>> repricer = tw.Repricer(tables.ratebook, lanes=lane, shelf=tables.shelf, date="2026-08-03", currency="USD")
        >>> repricer.request(catalogue, 1).goods[0].weight
        Weight('11.4 oz')
        """
        table = _frames.table_of(catalogue)
        if not -table.rows <= row < table.rows:
            raise IndexError(f"row {row}: found {table.rows} rows")
        row = row % table.rows
        if isinstance(lane, str) and lane not in self._lane_names:
            raise QuantityError(f"lane: found {lane!r}, expected a number from 0, or {_some(self._lane_names)}", pointer="/lane")
        index = self._lane_names.index(lane) if isinstance(lane, str) else lane
        for first, piece in pieces_of(table, self._columns):
            if first <= row < first + piece.rows:
                columns = read_columns(piece, self._columns, self._units, self._decimal)
                try:
                    return self._core.request(
                        columns=columns.arrays,
                        rows=columns.rows,
                        classes=columns.classes,
                        row=row - first,
                        lane=index,
                        metric_weight=columns.metric_weight,
                        metric_sides=columns.metric_sides,
                    )
                except RequestError as error:
                    # "row 3: bad_weight": of the order it may be another than was asked for.
                    told = re.fullmatch(r"row ([0-9]+): (\w+)", str(error))
                    if told is None:
                        raise
                    at, reason = int(told[1]), told[2]
                    if reason == "bad_shape" and columns.flaws is not None and columns.flaws[at]:
                        reason = "bad_flag"
                    if columns.is_missing(at):
                        reason = "missing"
                    why = columns.why(reason, at) or reason
                    raise RequestError(f"row {first + at}: {why}", pointer=error.pointer) from None
        raise AssertionError("a row lies in a piece")

    def explain(self, catalogue: object, row: int, lane: Union[int, str] = 0) -> Ranking:
        """Every offer, line and reason of one row: the ranking whose first offer the row's columns tell.

        Of an order it is that in one parcel, also where it may go in several (``most_parcels``). Errors: as of ``request``.

        >>> catalogue = {"weight_oz": np.array([19, 11.4]), "length_in": np.array([12, 11.0]), "width_in": np.array([9, 8.0])}
        >>> catalogue["height_in"] = np.array([4, 3.0])
        >>> repricer = tw.Repricer(tables.ratebook, lanes=lane, shelf=tables.shelf, date="2026-08-03", currency="USD")
        >>> repricer.explain(catalogue, 0).best.total
        Decimal('11.99')
        """
        return rank_request(self.ratebook, self.request(catalogue, row, lane), shelf=self.shelf)

    @_teach.careful
    def replace(
        self,
        *,
        ratebook: Ratebook = _AS_IT_IS,
        date: Union[Date, str] = _AS_IT_IS,
        lanes: Union[Lane, Sequence[Lane], Mapping[str, Lane], None] = _AS_IT_IS,
        mix: Mix | None = _AS_IT_IS,
        shelf: Shelf | None = _AS_IT_IS,
        promise: Promise | None = _AS_IT_IS,
        extras: Sequence[str] = _AS_IT_IS,
        cover: Union[Decimal, str, int, None] = _AS_IT_IS,
        accepts: Union[str, Sequence[str]] = _AS_IT_IS,
        amounts: Mapping[str, Union[Decimal, str, int]] | None = _AS_IT_IS,
        time: Union[Time, str, None] = _AS_IT_IS,
        totals: Literal["with_tax", "without_tax"] = _AS_IT_IS,
        week: Week | None = _AS_IT_IS,
        currency: str | None = _AS_IT_IS,
        exchange: Mapping[str, Union[Decimal, str, int]] | None = _AS_IT_IS,
        padding: Union[Length, str, None] = _AS_IT_IS,
        fill_weight: Union[Weight, str, None] = _AS_IT_IS,
        allowance: Allowance | None = _AS_IT_IS,
        most_parcels: int = _AS_IT_IS,
        columns: Mapping[str, str | None] | None = _AS_IT_IS,
        units: Union[str, Mapping[str, str], None] = _AS_IT_IS,
        decimal: Literal[".", ","] | None = _AS_IT_IS,
        outputs: Sequence[Output] | None = _AS_IT_IS,
        quantiles: Sequence[Union[Decimal, float, str]] = _AS_IT_IS,
        prefix: str = _AS_IT_IS,
        plain: bool = _AS_IT_IS,
        money: Literal["decimal", "float"] = _AS_IT_IS,
        threads: int = _AS_IT_IS,
        sale: SaleColumns | None = _AS_IT_IS,
    ) -> Repricer:
        """Another repricer, with other values of some of its arguments: the same goods on another date.

        What is not named stays as it is; None takes away what may be left out, as from lanes to a mix (``lanes=None, mix=mix``).
        This one does not change. Errors: as of ``Repricer``.

        >>> repricer = tw.Repricer(tables.ratebook, lanes=lane, shelf=tables.shelf, date="2026-08-03", currency="USD")
        >>> later = repricer.replace(date="2026-12-01")
        >>> catalogue = {"weight_oz": np.array([19]), "length_in": np.array([12]), "width_in": np.array([9]), "height_in": np.array([4])}
        >>> repricer(catalogue)["total_micros"].tolist(), later(catalogue)["total_micros"].tolist()
        ([11990000], [12540000])
        """
        changes = {name: value for name, value in locals().items() if name != "self" and value is not _AS_IT_IS}
        return Repricer(**{**self._arguments, **changes})

    def __reduce__(self) -> tuple[Any, ...]:
        return (_restore, (1, self._token, self._arguments))

    def __dask_tokenize__(self) -> tuple[str, str]:
        return ("tarewise.Repricer", self._token)

    def __repr__(self) -> str:
        where = f"{len(self.lanes)} lanes" if self.mix is None else repr(self.mix)
        return f"<Repricer for {where}, {len(self.services)} services, {len(self.packagings)} packagings>"

    # ---- inside ----

    def _allocate(self, rows: int) -> dict[str, npt.NDArray[Any]]:
        lanes = len(self.lanes)
        make: dict[str, Callable[[], npt.NDArray[Any]]] = {
            "total": lambda: np.empty((rows, lanes), np.int64),
            "parcels": lambda: np.empty((rows, lanes), np.int16),
            "service": lambda: np.empty((rows, lanes), np.int16),
            "packaging": lambda: np.empty((rows, lanes), np.int16),
            "second_total": lambda: np.empty((rows, lanes), np.int64),
            "worst": lambda: np.empty(rows, np.int64),
            "worst_lane": lambda: np.empty(rows, np.int32),
            "expected": lambda: np.empty(rows, np.int64),
            "quantile": lambda: np.empty((rows, len(self._levels)), np.int64),
        }
        wanted = [_CORE_NAMES.get(name, name) for name in self._outputs]
        if self._levels:
            wanted.append("quantile")
        results = {name: make[name]() for name in wanted}
        results["cautions"] = np.zeros(rows, np.uint32)
        results["reason"] = np.full(rows, _core.NOT_DONE, np.uint8)
        results.update(_sales.allocate(rows, self._sale_answers))
        return results

    def _refuse_orders(self, table: _frames.Table) -> None:
        if self.sale is not None and has_orders(table, self._columns):
            raise QuantityError(
                "found a column of orders beside sale, expected none: price and cost are those of a row that is sold by itself",
                pointer="/sale",
            )

    def _run(
        self, columns: Columns, results: Mapping[str, npt.NDArray[Any]], first: int, tell: Callable[[int], None] | None
    ) -> tuple[int, bool]:
        outputs = {name: array[first : first + columns.rows] for name, array in results.items()}
        return self._core.run(
            columns=columns.arrays,
            rows=columns.rows,
            classes=columns.classes,
            outputs=outputs,
            levels=[level for level, _ in self._levels],
            threads=self._threads,
            progress=tell,
            sale=self._sale_terms,
        )

    def _results(
        self, results: dict[str, npt.NDArray[Any]], found: _Found | None = None, sales: _sales.SaleReader | None = None
    ) -> list[Result]:
        scale = self._core.scale
        out: list[Money | Code | Count] = []
        reason = results["reason"]
        bad = bool(reason.any())
        not_done = reason == _core.NOT_DONE if bad else reason
        if bad and not_done.any():  # left alone by the run: there is nothing in them
            for name, array in results.items():
                if name not in ("reason", "cautions", *self._sale_answers):
                    array[not_done] = 0 if name == "parcels" else -1
        names: dict[str, Sequence[str]] = {"service": self.services, "packaging": self.packagings}
        several = len(self.lanes) > 1
        for name in self._outputs:
            if name in _LANE_OUTPUTS:
                for i, lane in enumerate(self._lane_names):
                    column = results[name][:, i]
                    label = self._prefix + (f"{name}_{lane}" if several else name)
                    if name in names:
                        out.append(Code(label, column, names[name]))
                    else:
                        out.append(Count(label, column) if name == "parcels" else Money(label, column, scale))
            elif name == "worst_place":
                out.append(Code(self._prefix + name, results["worst_lane"], [str(lane.destination) for lane in self.lanes]))
            else:
                array = results[_CORE_NAMES[name]]
                out.append(Money(self._prefix + name, array, scale))
        for i, (_, name) in enumerate(self._levels):
            out.append(Money(self._prefix + name, results["quantile"][:, i], scale))
        if self._plain:
            if bad:
                reason[not_done] = len(_core.ROW_REASONS)
            cautions = Plain(self._prefix + "cautions", results["cautions"])
            told_plain = [*(result.plain() for result in out), cautions, Plain(self._prefix + "reason", reason)]
            return told_plain + self._sale_results(results, sales)
        codes = _REASON_CODES.take(reason) if bad else np.broadcast_to(_REASON_CODES[0], reason.shape)
        told: list[str] = list(_REASONS)
        if found is not None and found.texts:
            codes = np.where(found.codes < 0, codes, found.codes + np.int32(len(told)))
            told += found.texts
            codes = codes.astype(np.int16 if len(told) < 2**15 else np.int32)
        care = _cautions(self._prefix + "cautions", results["cautions"])
        return [*out, care, Code(self._prefix + "reason", codes, told, open=True), *self._sale_results(results, sales)]

    def _told(self, results: list[Result]) -> list[Result]:
        return _frames.in_floats(results) if self._money == "float" else results

    def _sale_results(self, results: dict[str, npt.NDArray[Any]], sales: _sales.SaleReader | None) -> list[Result]:
        if self.sale is None:
            return []
        return _sales.results(self.sale, results, self._prefix, self._core.decimals, sales, plain=self._plain)


def _cautions(name: str, bits: npt.NDArray[Any]) -> Text:
    """The codes of each row with spaces between them."""
    if not bits.any():
        return Text(name, np.full(bits.shape, -1, np.int16), ())
    sets = np.flatnonzero(np.bincount(bits))
    sets = sets[sets > 0]
    codes = np.full(1 << len(_core.CAUTIONS), -1, np.int16)
    codes[sets] = np.arange(sets.size)
    names = [" ".join(code for i, code in enumerate(_core.CAUTIONS) if one >> i & 1) for one in sets.tolist()]
    return Text(name, codes.take(bits), names)


# Priced rows have no reason.
_REASONS = (*_core.ROW_REASONS[1:], "not_done", "bad_flag")
_BAD_FLAG = len(_core.ROW_REASONS) + 1
_BAD_SHAPE = _core.ROW_REASONS.index("bad_shape")

_REASON_CODES = np.full(256, len(_REASONS) - 2, np.int16)
_REASON_CODES[: len(_core.ROW_REASONS)] = np.arange(len(_core.ROW_REASONS)) - 1
_REASON_CODES[_BAD_FLAG] = len(_REASONS) - 1

# Reasons of rows that may be told with what was found there.
_TOLD = np.zeros(256, bool)
_TOLD[[_core.ROW_REASONS.index(reason) for reason in TOLD_REASONS if reason in _core.ROW_REASONS]] = True
_TOLD[_BAD_FLAG] = True


class _Found:
    """What was found in the rows that could not be read."""

    codes: npt.NDArray[np.int32]  #: which of the texts each row has; below 0: none. Not there without texts.

    def __init__(self, rows: int) -> None:
        self._rows = rows
        self._places: dict[str, int] = {}
        self.texts: list[str] = []

    def look(self, columns: Columns, reasons: npt.NDArray[np.uint8], first: int, *, texts: bool) -> None:
        if not columns.told:
            return
        reason = reasons[first : first + columns.rows]
        if columns.flaws is not None:
            reason[columns.flaws & (reason == _BAD_SHAPE)] = _BAD_FLAG
        if not texts:
            return
        for row in np.flatnonzero(_TOLD[reason]).tolist():
            code = int(reason[row])
            why = columns.why("bad_flag" if code == _BAD_FLAG else _core.ROW_REASONS[code], row)
            if why is None:
                continue
            if not self.texts:
                self.codes = np.full(self._rows, -1, np.int32)
            place = self._places.setdefault(why, len(self.texts))
            if place == len(self.texts):
                self.texts.append(why)
            self.codes[first + row] = place


@_teach.careful
def reprice(
    catalogue: Catalogue,
    ratebook: Ratebook,
    *,
    date: Union[Date, str],
    lanes: Union[Lane, Sequence[Lane], Mapping[str, Lane], None] = None,
    mix: Mix | None = None,
    shelf: Shelf | None = None,
    promise: Promise | None = None,
    extras: Sequence[str] = (),
    cover: Union[Decimal, str, int, None] = None,
    accepts: Union[str, Sequence[str]] = "door",
    amounts: Mapping[str, Union[Decimal, str, int]] | None = None,
    time: Union[Time, str, None] = None,
    totals: Literal["with_tax", "without_tax"] = "with_tax",
    week: Week | None = None,
    currency: str | None = None,
    exchange: Mapping[str, Union[Decimal, str, int]] | None = None,
    padding: Union[Length, str, None] = None,
    fill_weight: Union[Weight, str, None] = None,
    allowance: Allowance | None = None,
    most_parcels: int = 1,
    columns: Mapping[str, str | None] | None = None,
    units: Union[str, Mapping[str, str], None] = None,
    decimal: Literal[".", ","] | None = None,
    outputs: Sequence[Output] | None = None,
    quantiles: Sequence[Union[Decimal, float, str]] = (),
    prefix: str = "",
    plain: bool = False,
    money: Literal["decimal", "float"] = "decimal",
    threads: int = 0,
    sale: SaleColumns | None = None,
    progress: Progress = None,
) -> Catalogue:
    """The best offer for every row of a catalogue, as columns added to it.

    ``catalogue`` is a pandas or Polars DataFrame, a pyarrow Table or RecordBatch, or a dict of NumPy arrays; the same kind
    comes back. Its fields are ``weight``, ``length``, ``width`` and ``height`` (the upright side last) and, where there are
    such columns, ``quantity``, ``value``, ``contents``, ``shape``, ``this_side_up``, ``rigid``, ``bare`` and ``order``. ``columns`` says
    which column a field is in, where it has another name, or None where there is none; a column that may be meant (``Quantity``,
    ``qty``) is an error until it is said. Units are part of a name (``weight_oz``, ``length_in``), or are
    given once (``units="oz in"``) or for each field or column (``units={"weight": "kg", "sides": "cm"}``); texts such as "1 lb
    3 oz" have their own, as people type them: "3 lbs", "12 1/2", ``12"``. ``decimal`` ("." or ",") says what stands before decimals
    of texts, and that the other may stand between groups of three digits; left out, a text with a comma that could be either
    is not read. Numbers are whole numbers or float64, taken to the nearest millionth of the unit.

    Rows with the same entry in ``order``, next to each other or not, are one parcel with the goods of all of them. The entry is a
    text, compared letter by letter without the spaces around it, or a whole number, which is the same as its digits (0 is one like
    any other); an empty cell is no order, and the row a parcel by itself. Results and cautions stand on the order's first row; every
    other row has the reason ``in_order``, or ``order_not_priced`` with the whole order where a row of it cannot be priced. An entry
    that is neither raises QuantityError with its row. Such a catalogue is priced as one piece: what stands in several tables, as the
    partitions of a cluster do, must be divided between orders.

    With ``lanes``: the columns ``total``, ``service`` and ``packaging``, for several lanes each with the lane's name. With
    ``mix``: ``expected_total``, ``worst_total`` and ``worst_place``, and the ``quantiles`` as ``total_p90``. ``outputs`` chooses.
    ``cautions`` holds the codes of what to take care of with a row's goods and best offers ("lithium_alone lift_with_help";
    None: nothing); ``caution(code)`` tells the words, and the carrier's rules and local law decide.
    ``reason`` says what is wrong with a row (None: nothing); a bad row never stops the rest, and a missing weight or side is a
    reason, never a 0. Empty quantities, values, contents, shapes and flags are left out: 1, 0, none, box, no. A text that cannot
    be read is told with its column: ``bad_value: value: found "cheap", expected ...``; what stands before the first colon is
    one of ``Repricer.reasons``.

    Totals are exact: decimals in frames and tables, millionths of the currency (``total_micros``, -1: none) in arrays.
    ``plain``: numbers in every kind of table, for programs that go on with them: millionths, and in the place of names their
    places in ``Repricer.services``, ``packagings``, ``lanes`` (-1: none) and ``reasons`` (0: priced), and of ``cautions`` 1, 2, 4 and so on
    by their places in ``Repricer.cautions``, added together; arrays are then views of what the
    compiled code wrote, and nothing is copied. ``money="float"``: amounts as float64 in every kind of table, each the nearest to its
    decimal, for libraries that have no decimals (a plot, a mean, a model); NaN, or a null where tables have them: none. Then arrays
    have ``total`` and the like, without ``_micros``. What is compared or summed to the cent stays with decimals.

    ``sale`` (``SaleColumns``) says in which columns a row's price and cost are, and adds ``profit``, ``most_to_pay`` and
    ``least_price``, exactly as ``Economics`` tells them of the row's totals; ``sale_reason`` says what is wrong (``bad_price: price: found
    "cheap", expected ...``; ``not_priced``: the row has no total; ``not_at_no_cost``, ``not_at_any_price``: nothing keeps what is wanted).
    A profit may be below 0; where there is none, arrays and ``plain`` have the least 64-bit number. Not with orders.

    ``most_parcels`` (1 to 100): rows with the same entry under ``order`` may go in so many parcels, and each order is then priced
    as its best plan, which takes far longer than a row. ``parcels`` stands beside the total, for each lane, and says how many
    there are (1 for a row of no order; where there is no total nothing, or 0 in arrays and ``plain``); the total is that of all
    of them, service and packaging are those of the first, and there is no ``second_total``. Not with ``cash_on_delivery``.

    ``accepts`` (``"door"``, ``"point"``, ``"locker"``, or several), ``amounts`` (``{"cash_on_delivery": "64.00"}``), ``time``
    ("15:30", of the hand-over), ``totals`` ("with_tax" or "without_tax"), ``week`` and a ``promise`` by a date are those of
    ``rank``. Totals are without the handicaps of the seller's own rules; which offer is the best goes by both together.

    Ctrl-C raises RepriceInterrupted, which holds the rows that are done. ``progress``: True or False for a bar (left out: on
    long work in a terminal or a notebook, where tqdm is installed), or a function of (rows done, rows).

    >>> catalogue = {"weight_oz": np.array([19, 11.4]), "length_in": np.array([12, 11.0]), "width_in": np.array([9, 8.0])}
    >>> catalogue["height_in"] = np.array([4, 3.0])
    >>> priced = tw.reprice(catalogue, tables.ratebook, lanes=lane, shelf=tables.shelf, date="2026-08-03", currency="USD")
    >>> priced["service"].tolist(), priced["total_micros"].tolist()
    (['harbourline/parcel', 'fenwick-dray/feather'], [11990000, 10890000])
    """
    repricer = Repricer(
        ratebook,
        date=date,
        lanes=lanes,
        mix=mix,
        shelf=shelf,
        promise=promise,
        extras=extras,
        cover=cover,
        accepts=accepts,
        amounts=amounts,
        time=time,
        totals=totals,
        week=week,
        currency=currency,
        exchange=exchange,
        padding=padding,
        fill_weight=fill_weight,
        allowance=allowance,
        most_parcels=most_parcels,
        columns=columns,
        units=units,
        decimal=decimal,
        outputs=outputs,
        quantiles=quantiles,
        prefix=prefix,
        plain=plain,
        money=money,
        threads=threads,
        sale=sale,
    )
    return repricer(catalogue, progress=progress)


def _name_lanes(lanes: Union[Lane, Sequence[Lane], Mapping[str, Lane], None]) -> tuple[list[str], tuple[Lane, ...]]:
    if isinstance(lanes, Lane):
        return [_place_name(lanes.destination)], (lanes,)
    if isinstance(lanes, Mapping):
        return list(lanes), tuple(lanes.values())
    given = tuple(lanes or ())
    if not given:
        raise QuantityError("lanes: found none, expected one or more", pointer="/lanes")
    for lane in given:
        if not isinstance(lane, Lane):
            raise TypeError(f"lanes: found {type(lane).__name__}, expected a Lane")
    names = [_place_name(lane.destination) for lane in given]
    return _unique(names), given


def _name_mix(mix: Mix) -> tuple[list[str], tuple[Lane, ...]]:
    if not isinstance(mix, Mix):
        raise TypeError(f"mix: found {type(mix).__name__}, expected a Mix")
    return _unique([_place_name(place) for place in mix.places]), mix.lanes()


def _place_name(place: Place) -> str:
    return str(place).replace(" ", "_") + ("_home" if place.residential else "")


def _some(names: Sequence[str]) -> str:
    return ", ".join(map(repr, names[:5])) + (" and so on" if len(names) > 5 else "")


def _unique(names: list[str]) -> list[str]:
    if len(set(names)) == len(names):
        return names
    return [f"{name}_{i}" for i, name in enumerate(names, 1)]


def _check_outputs(
    outputs: Sequence[str] | None, quantiles: Sequence[object], mixed: bool, most_parcels: object
) -> tuple[str, ...]:
    if quantiles and not mixed:
        raise TypeError("quantiles: found lanes without shares, expected a mix")
    if outputs is None:
        told = ("total", "parcels", "service", "packaging") if most_parcels != 1 else ("total", "service", "packaging")
        return _MIX_OUTPUTS if mixed else told
    known = _LANE_OUTPUTS + _MIX_OUTPUTS
    if isinstance(outputs, str):
        raise TypeError(f"outputs: found one text, expected several such as [{outputs!r}]")
    for name in outputs:
        if name not in known:
            raise QuantityError(f"outputs: found {name!r}, expected {', '.join(known)}", pointer="/outputs")
        if name == "expected_total" and not mixed:
            raise QuantityError("outputs: found expected_total for lanes without shares, expected a mix", pointer="/outputs")
    return tuple(dict.fromkeys(outputs))


def _level(quantile: Union[Decimal, float, str]) -> tuple[int, str]:
    exact = Fraction(repr(quantile) if isinstance(quantile, float) else quantile)
    millionths = exact * 1_000_000
    if not 0 <= exact <= 1 or millionths.denominator != 1:
        raise QuantityError(
            f"quantiles: found {quantile!r}, expected 0 to 1 with at most six decimals", pointer="/quantiles"
        )
    percent = exact * 100
    return int(millionths), f"total_p{percent if percent.denominator == 1 else float(percent)}"


_SOON_DONE = 1.0  # seconds: shorter work has no bar


class _Progress:
    """Tells how far a run is; its function takes the rows done since it was called last."""

    def __init__(self, wanted: Progress, rows: int, unit: str = " rows") -> None:
        self._wanted = wanted
        self._rows = rows
        self._unit = unit
        self._done = 0
        self._bar: Any = None
        self._start = time.monotonic()

    def __enter__(self) -> Callable[[int], None] | None:
        if self._wanted is False:
            return None
        if callable(self._wanted):
            return self._call
        if self._wanted is True:
            self._make_bar()
        return self._step

    def _make_bar(self) -> None:
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")
            from tqdm.auto import tqdm

            # `disable=None`: not where nobody looks at a terminal.
            self._bar = tqdm(
                total=self._rows, initial=self._done, unit=self._unit, unit_scale=True, disable=None if self._wanted is None else False
            )

    def _call(self, rows: int) -> None:
        self._done += rows
        assert callable(self._wanted)
        self._wanted(self._done, self._rows)

    def _step(self, rows: int) -> None:
        self._done += rows
        if self._bar is not None:
            self._bar.update(rows)
        elif time.monotonic() - self._start > _SOON_DONE:
            # Nobody need have tqdm; asked for again in a second.
            self._start = time.monotonic()
            with contextlib.suppress(ImportError):
                self._make_bar()

    def __exit__(self, *error: object) -> None:
        if self._bar is not None:
            self._bar.close()
        elif callable(self._wanted) and error[0] is None and self._done < self._rows:
            self._call(self._rows - self._done)


# Repricers that came out of a pickle, by the one they were made from: a worker makes each once, however often it is sent.
_restored: collections.OrderedDict[str, Repricer] = collections.OrderedDict()
_restored_lock = threading.Lock()
_MOST_RESTORED = 8


def _restore(pickled: int, token: str, arguments: Mapping[str, Any]) -> Repricer:
    if pickled != 1:
        raise ValueError(f"found a pickle of form {pickled}, expected 1: it was made by a later tarewise")
    with _restored_lock:
        repricer = _restored.get(token)
        if repricer is None:
            repricer = Repricer(**arguments)
            repricer._token = token
            _restored[token] = repricer
        _restored.move_to_end(token)
        while len(_restored) > _MOST_RESTORED:
            _restored.popitem(last=False)
        return repricer
