"""What a change of rates does to a catalogue: every row before and after, and the sum of it."""

from __future__ import annotations

import calendar
import dataclasses
import re
from collections.abc import Mapping, Sequence
from datetime import date as Date
from decimal import Decimal
from html import escape
from typing import Any, Generic, NamedTuple

import numpy as np

from tarewise import _core, _frames, _sales, _teach
from tarewise._columns import Array, Columns, _listed, _money, _read, _shown, has_orders, marks_of, pieces_of, read_columns
from tarewise._frames import Code, Money, Piece, Plain, Result, Signed, Text
from tarewise._reprice import Catalogue, Progress, Repricer, _Found, _Progress
from tarewise.errors import QuantityError

_KINDS = ("total", "service", "packaging", "offered")
_MOST_VOLUME = 1_000_000_000 * 1_000_000
_CELLS = 1 << 21  #: of a block: rows x lanes
#: Whether a row keeps what is wanted, before and after.
_LOSES = ("newly", "still", "no longer")


class Way(NamedTuple):
    """The best offer of a row to one place.

    >>> compared.change.losers[0].way_after  # goes on from help(tarewise.compare_catalogue)
    Way(total=Decimal('17.93'), service='harbourline/brick', packaging='flat-15')
    """

    total: Decimal
    service: str
    packaging: str


class RowLoss(NamedTuple):
    """A row that a change makes dearer, with what it is a month and where it rises most. Amounts are in the currency of the totals.

    >>> loss = compared.change.losers[0]  # goes on from help(tarewise.compare_catalogue)
    >>> loss.name, loss.before, loss.after, loss.month, loss.most_to
    ('BG-0002', Decimal('13.69'), Decimal('16.66'), Decimal('6.08'), 'US 98101')
    """

    row: int
    name: str
    before: Decimal
    after: Decimal
    month: Decimal
    most_to: str
    way_before: Way
    way_after: Way


class PlaceChange(NamedTuple):
    """What a change does to one place.

    >>> for place in compared.change.by_place:  # goes on from help(tarewise.compare_catalogue)
    ...     print(place.place, place.dearer, "of", place.rows, "dearer:", place.month_before, "->", place.month_after)
    US 98101 2 of 3 dearer: 58.96 -> 65.71
    US 10001 2 of 3 dearer: 13.25 -> 14.86
    """

    place: str
    share: int
    rows: int  #: with a total there before and after
    dearer: int
    cheaper: int
    service_changed: int
    lost: int
    gained: int
    month_before: Decimal
    month_after: Decimal


class ServiceMove(NamedTuple):
    """From which service to which the best offers went, counted in cells, a row at a place; the same service twice: they stayed.

    >>> [(move.before, move.after, move.cells) for move in compared.change.moved]  # goes on from help(tarewise.compare_catalogue)
    [('fenwick-dray/road', 'harbourline/brick', 2), ('fenwick-dray/road', 'harbourline/parcel', 2)]
    """

    before: str | None
    after: str | None
    cells: int
    month_before: Decimal
    month_after: Decimal


class LosingRows(NamedTuple):
    """Rows whose sale does not keep what is wanted (where nothing is: loses money), by their numbers, from 0 and rising.

    >>> compared.change.losing  # goes on from help(tarewise.compare_catalogue)
    LosingRows(before=(), after=(1,), newly=(1,), no_longer=())
    """

    before: tuple[int, ...]
    after: tuple[int, ...]
    newly: tuple[int, ...]
    no_longer: tuple[int, ...]


@dataclasses.dataclass(frozen=True)
class CatalogueChange:
    """What a change does to a catalogue, from ``CatalogueComparison.change``. Rows are counted over places with a share; amounts are
    in ``currency``, sums rounded once.

    - ``places``, ``rows``: how many there are; ``comparable``: rows that have a total at every such place before and after.
    - ``changed``: rows of which anything changes somewhere: the total (``total_changed``), the service of the best offer
      (``service_changed``), its packaging (``packaging_changed``), or whether there is one (``offered_changed``).
    - ``dearer``, ``cheaper``: comparable rows whose exact mean rises or falls; ``lost``, ``gained``: rows that can no longer, or only
      now, be sent everywhere.
    - ``month_parcels``, ``month_before``, ``month_after``: parcels a month of the comparable rows, and what these cost.
    - ``losers``: the rows that rise most a month, as many as ``most_losers`` at most, the worst first.
    - ``by_service``: from which service to which, the most cells first; ``by_place``: in the order of the lanes.
    - ``losing``: whose sale does not keep what is wanted; None: no sale was asked about.
    - ``summary``: the same in words, the lines that the command prints.

    >>> change = compared.change  # goes on from help(tarewise.compare_catalogue)
    >>> change.dearer, change.month_parcels, change.month_before, change.month_after
    (2, Decimal('4.8'), Decimal('72.21'), Decimal('80.57'))
    >>> print(change.summary.splitlines()[1])
    A month: 72.21 -> 80.57 USD (+8.36, +11.6 %) for 4.8 parcels
    """

    currency: str
    places: int
    rows: int
    comparable: int
    changed: int
    total_changed: int
    service_changed: int
    packaging_changed: int
    offered_changed: int
    dearer: int
    cheaper: int
    lost: int
    gained: int
    month_parcels: Decimal
    month_before: Decimal
    month_after: Decimal
    losers: tuple[RowLoss, ...]
    by_service: tuple[ServiceMove, ...]
    by_place: tuple[PlaceChange, ...]
    losing: LosingRows | None  #: where the sale was asked about
    summary: str  #: in words, the lines of the command

    @property
    def moved(self) -> tuple[ServiceMove, ...]:
        """The moves from one service to another."""
        return tuple(move for move in self.by_service if move.before != move.after)

    def to_dict(self) -> dict[str, Any]:
        """Numbers, texts, lists and dicts alone, amounts as texts: for JSON. What the command's document has under ``catalogue``, and
        ``by_service``, ``by_place`` and ``losing`` beside it.

        >>> compared.change.to_dict()["month"]  # goes on from help(tarewise.compare_catalogue)
        {'parcels': '4.8', 'before': '72.21', 'after': '80.57'}
        """
        return {
            "currency": self.currency,
            "places": self.places,
            "rows": self.rows,
            "comparable": self.comparable,
            "changed": {
                "rows": self.changed,
                "total": self.total_changed,
                "service": self.service_changed,
                "packaging": self.packaging_changed,
                "offered": self.offered_changed,
            },
            "dearer": self.dearer,
            "cheaper": self.cheaper,
            "lost": self.lost,
            "gained": self.gained,
            "month": {"parcels": str(self.month_parcels), "before": str(self.month_before), "after": str(self.month_after)},
            "lose_most": [_plain(loss) for loss in self.losers],
            "by_service": [_plain(move) for move in self.by_service],
            "by_place": [_plain(place) for place in self.by_place],
            "losing": None if self.losing is None else _plain(self.losing),
        }

    def __str__(self) -> str:
        return self.summary

    def __repr__(self) -> str:
        rows = "1 row" if self.rows == 1 else f"{self.rows} rows"
        places = "1 place" if self.places == 1 else f"{self.places} places"
        text = f"<CatalogueChange of {rows} to {places}: {self.changed} change, {self.dearer} dearer, {self.cheaper} cheaper; "
        text += f"a month {self.month_before} -> {self.month_after} {self.currency}"
        if self.losing is not None:
            text += f"; {len(self.losing.newly)} newly lose"
        return text + ">"

    def _repr_html_(self) -> str:
        lines = "".join(f"<div>{escape(line)}</div>" for line in self.summary.splitlines())
        moves = sorted(self.moved, key=lambda move: -move.cells)[:_SHOWN]
        rows = "".join(
            f"<tr><td>{escape(move.before or 'nothing')}</td><td>{escape(move.after or 'nothing')}</td>"
            f'<td style="text-align:right">{move.cells}</td></tr>'
            for move in moves
        )
        head = '<tr><th style="text-align:left">from</th><th style="text-align:left">to</th><th>rows x places</th></tr>'
        table = f"<table>{head}{rows}</table>" if moves else ""
        losing = ""
        if self.losing is not None:
            losing = f"<div>{_losing_words(self.losing)}</div>"
        return f'<div class="tarewise-change">{lines}{losing}{table}</div>'


_SHOWN = 8


def _losing_words(losing: LosingRows) -> str:
    return (
        f"Not kept what is wanted: {len(losing.before)} before, {len(losing.after)} after, "
        f"{len(losing.newly)} newly, {len(losing.no_longer)} no longer"
    )


def _plain(value: Any) -> Any:
    if isinstance(value, tuple) and hasattr(value, "_asdict"):
        return {name: _plain(part) for name, part in value._asdict().items()}
    if isinstance(value, (list, tuple)):
        return [_plain(part) for part in value]
    return str(value) if isinstance(value, Decimal) else value


@dataclasses.dataclass(frozen=True, eq=False)
class CatalogueComparison(Generic[Catalogue]):
    """What `compare_catalogue` gives. ``rows``: the catalogue with columns added, of the same kind; ``change``: the sums over them, a
    `CatalogueChange`. Printed it is the summary.

    >>> compared.rows["change"].tolist()  # goes on from help(tarewise.compare_catalogue)
    ['total service packaging', 'total service', None]
    >>> compared.rows["month_rise_micros"]
    array([2270000, 6080000,       0])
    """

    rows: Catalogue
    change: CatalogueChange

    def __repr__(self) -> str:
        return repr(self.change).replace("<CatalogueChange of", "<CatalogueComparison of", 1)

    def __str__(self) -> str:
        return self.change.summary

    def _repr_html_(self) -> str:
        return self.change._repr_html_()

    def to_dict(self) -> dict[str, Any]:
        """The sums without the rows, as ``CatalogueChange.to_dict``.

        >>> compared.to_dict() == compared.change.to_dict()  # goes on from help(tarewise.compare_catalogue)
        True
        """
        return self.change.to_dict()


@_teach.careful
def compare_catalogue(
    catalogue: Catalogue,
    before: Repricer,
    after: Repricer,
    *,
    monthly: str | None = None,
    name: str | None = None,
    most_losers: int = 10,
    progress: Progress = None,
) -> CatalogueComparison[Catalogue]:
    """What a change of rates does to a catalogue: ``before`` and ``after`` are repricers of the same lanes or mix and currency with
    other ratebooks, dates or shelves, such as ``before.replace(date="2026-12-01")``.

    ``monthly`` names a column of parcels a month (0 to 1,000 million, fractions too; left out, or an empty cell: one), ``name`` one by
    which rows are called in the summary, and ``most_losers`` says how many rows ``change.losers`` lists (0 to 1,000,000). The
    columns that are added: ``before_total`` and ``after_total`` (of several places the share-weighted means, none where a place with
    a share has none), ``month_rise`` (below 0: it falls; none where one side has no total), ``change`` ("total service": which of
    total, service, packaging and offered change at some place with a share), of lanes without a mix each one's ``before_service`` and
    ``after_service``, and ``cautions`` and ``reason`` of the side after. Where the repricers have ``sale`` with price and cost, also
    ``before_profit``, ``after_profit``, ``loses`` ("newly", "still" or "no longer"; None: it keeps what is wanted, or it is not known)
    and ``sale_reason`` of the side after; without ``wanted`` a sale that keeps 0 loses nothing.

    The same numbers as of ``tarewise compare --catalogue``. In the memory of one block beside the columns. Errors: as of a
    repricer; QuantityError where the two differ in lanes, shares, currency, columns or sale, for a column of orders, and for a
    volume that is no number from 0 to 1,000 million, naming the row. Ctrl-C ends it without a result. Time: that of two repricings.

    >>> demo = tw.demo()
    >>> goods = {name: column[:3] for name, column in demo.goods.items()}
    >>> goods["cost"] = np.array([22.0, 13.0, 28.0])
    >>> mix = tw.Mix("US 05401", {"US 98101": 3, "US 10001": 1})
    >>> sale = tw.SaleColumns(tw.Economics("USD", fees=[tw.Fee("selling", "11.4")], labour="1.20"), price="value", cost="cost")
    >>> before = tw.Repricer(demo.ratebook, date="2026-12-31", mix=mix, shelf=demo.shelf, currency="USD", sale=sale)
    >>> after = before.replace(date="2027-01-04")
    >>> compared = tw.compare_catalogue(goods, before, after, monthly="monthly_sales", name="sku")
    >>> compared
    <CatalogueComparison of 3 rows to 2 places: 2 change, 2 dearer, 0 cheaper; a month 72.21 -> 80.57 USD; 1 newly lose>
    >>> compared.rows["loses"].tolist()
    [None, 'newly', None]
    """
    _check(before, after)
    table = _frames.table_of(catalogue)
    if has_orders(table, before._columns):
        raise QuantityError("found a column of orders, expected none: rates are compared row by row", pointer="/catalogue")
    for field, column in (("monthly", monthly), ("name", name)):
        if column is not None and column not in table.names:
            raise QuantityError(
                f"{field}: found no column {column!r}, the catalogue has {_listed(table.names)}", pointer=f"/{field}"
            )
    run = _Run(before, after, table.rows, most_losers)
    run.refuse_taken(table)
    with _Progress(progress, table.rows) as tell:
        for first, piece in pieces_of(table, before._columns):
            run.piece(piece, first, monthly, tell)
    names = _names(table, name)
    rows: Catalogue = table.with_columns(run.results())
    return CatalogueComparison(rows, run.change(names))


def _check(before: Repricer, after: Repricer) -> None:
    for side, repricer in (("before", before), ("after", after)):
        if not isinstance(repricer, Repricer):
            raise TypeError(f"{side}: found {type(repricer).__name__}, expected a Repricer")
        if repricer._arguments.get("most_parcels", 1) != 1:
            raise QuantityError(f"{side}: found most_parcels over 1, expected 1: rates are compared row by row", pointer=f"/{side}")
        if repricer.sale is not None and (repricer.sale.price is None or repricer.sale.cost is None):
            raise QuantityError(f"{side}: found a sale without price or cost, expected both: a profit needs them", pointer=f"/{side}")
    shares = [None if one.mix is None else one.mix.shares for one in (before, after)]
    same = {
        "lanes": (before.lanes, after.lanes),
        "shares": tuple(shares),
        "currency": (before.currency, after.currency),
        "columns": (before._columns, after._columns),
        "units": (before._units, after._units),
        "decimal": (before._decimal, after._decimal),
        "prefix": (before._prefix, after._prefix),
        "plain": (before._plain, after._plain),
        "money": (before._money, after._money),
        "sale": (before.sale, after.sale),
    }
    for word, (one, other) in same.items():
        if one != other:
            told = f"found {one} before and {other} after" if isinstance(one, str) and word == "currency" else "found different ones before and after"
            raise QuantityError(f"{word}: {told}, expected the same", pointer=f"/after/{word}")


def _volumes(piece: Piece, name: str | None, first: int, decimal: str | None) -> Array:
    if name is None:
        return np.full(piece.rows, 1_000_000, np.int64)
    raw = piece.column(name)
    got = _read(raw, name, lambda values: _money(values, name, marks_of(decimal)))
    volumes = _core.read_micros((got.values, got.unit), piece.rows)
    if got.gone is not None:
        volumes[got.gone] = 1_000_000
    bad = (volumes < 0) | (volumes > _MOST_VOLUME)
    if bad.any():
        row = int(np.argmax(bad))
        raise QuantityError(
            f"{name}: row {first + row}: found {_shown(raw.at(row))}, expected a number from 0 to 1000 million parcels a month",
            pointer=f"/{first + row}/{name}",
        )
    return volumes


def _names(table: _frames.Table, name: str | None) -> _frames.Raw | None:
    return None if name is None else table.column(name)


class _Run:
    def __init__(self, before: Repricer, after: Repricer, rows: int, most_losers: int) -> None:
        self._sides = (before, after)
        self._rows = rows
        self._changes = _core.CatalogueChanges(before=before._core, after=after._core, most_losers=most_losers)
        self._found = _Found(rows)
        self._columns: dict[str, Array] = {
            "before": np.full(rows, -1, np.int64),
            "after": np.full(rows, -1, np.int64),
            "month": np.zeros(rows, np.int64),
            "change": np.zeros(rows, np.uint8),
        }
        self._reason = np.zeros(rows, np.uint8)
        self._cautions = np.zeros(rows, np.uint32)
        self._services: tuple[Array, Array] | None = None
        if before.mix is None:
            lanes = len(before.lanes)
            self._services = (np.full((rows, lanes), -1, np.int16), np.full((rows, lanes), -1, np.int16))
        self._sold: tuple[dict[str, Array], ...] = ()
        self._reader: _sales.SaleReader | None = None
        if after.sale is not None:
            names = ("profit", "keeps", "sale_reason")
            self._sold = (_sales.allocate(rows, names), _sales.allocate(rows, names))
            self._reader = _sales.SaleReader(after.sale, rows, texts=not after._plain, decimal=after._decimal)

    def refuse_taken(self, table: _frames.Table) -> None:
        names = [result.name for result in self.results()]
        taken = [name for name in names if name in table.names or name + table.money_suffix in table.names]
        if taken:
            raise QuantityError(
                f"found columns {', '.join(taken)} already, expected none of these names: give a prefix", pointer="/prefix"
            )

    def piece(self, piece: Piece, first: int, monthly: str | None, tell: Any) -> None:
        before, after = self._sides
        columns = read_columns(piece, before._columns, before._units, before._decimal)
        volumes = _volumes(piece, monthly, first, before._decimal)
        if self._reader is not None:
            columns.arrays.update(self._reader.read(piece))
        rows = max(256, _CELLS // len(before.lanes))
        for at in range(0, piece.rows, rows):
            count = min(rows, piece.rows - at)
            self._block(columns, first, at, count, volumes[at : at + count])
            if tell is not None:
                tell(count)
        self._found.look(columns, self._reason, first, texts=not after._plain)
        if self._reader is not None:
            self._reader.look(self._sold[1]["sale_reason"], first, piece.rows)

    def _block(self, columns: Columns, first: int, at: int, count: int, volumes: Array) -> None:
        here = slice(first + at, first + at + count)
        arrays = {name: (array[at : at + count], unit) for name, (array, unit) in columns.arrays.items()}
        offers = []
        for side, repricer in enumerate(self._sides):
            lanes = len(repricer.lanes)
            offer: dict[str, Array] = {
                "total": np.empty((count, lanes), np.int64),
                "service": np.empty((count, lanes), np.int16),
                "packaging": np.empty((count, lanes), np.int16),
            }
            outputs = {**offer, "reason": np.full(count, _core.NOT_DONE, np.uint8)}
            if side == 1:
                outputs["cautions"] = self._cautions[here]
            if self._sold:
                outputs.update({name: array[here] for name, array in self._sold[side].items()})
            _run(repricer, arrays, count, columns.classes, outputs, None)
            if side == 1:
                self._reason[here] = outputs["reason"]
            if self._services is not None:
                self._services[side][here] = offer["service"]
            offers.append(offer)
        out = {name: array[here] for name, array in self._columns.items()}
        self._changes.add(before=offers[0], after=offers[1], volumes=np.ascontiguousarray(volumes), outputs=out)

    def results(self) -> list[Result]:
        before, after = self._sides
        prefix, plain = after._prefix, after._plain
        scale = max(before._core.scale, after._core.scale)
        columns = self._columns
        both = (columns["before"] >= 0) & (columns["after"] >= 0)
        month = np.where(both, columns["month"], _core.NO_PROFIT)
        out: list[Any] = [
            Money(prefix + "before_total", columns["before"], scale),
            Money(prefix + "after_total", columns["after"], scale),
            Signed(prefix + "month_rise", month, scale),
        ]
        kinds = columns["change"]
        if plain:
            out.append(Plain(prefix + "change", kinds))
        else:
            words = [" ".join(kind for i, kind in enumerate(_KINDS) if bits >> i & 1) for bits in range(1, 1 << len(_KINDS))]
            out.append(Text(prefix + "change", kinds.astype(np.int16) - np.int16(1), words))
        if self._services is not None:
            several = len(before.lanes) > 1
            for i, lane in enumerate(before._lane_names):
                for side, word in enumerate(("before", "after")):
                    label = f"{prefix}{word}_service" + (f"_{lane}" if several else "")
                    out.append(Code(label, self._services[side][:, i], self._sides[side].services))
        if self._sold:
            out += self._sale_results(prefix, plain)
        told = after._results({"reason": self._reason, "cautions": self._cautions, **self._nothing()}, self._found)
        named = {f"{prefix}cautions", f"{prefix}reason"}
        care = [result for result in told if result.name in named]
        return after._told([*(result.plain() if plain and not isinstance(result, Plain) else result for result in out), *care])

    def _nothing(self) -> dict[str, Array]:
        """Columns of the repricer that are not in the answer."""
        return {name: array for name, array in self._sides[1]._allocate(0).items() if name not in ("reason", "cautions")}

    def _sale_results(self, prefix: str, plain: bool) -> list[Result]:
        sale = self._sides[1].sale
        assert sale is not None and self._reader is not None
        decimals = self._sides[1]._core.decimals
        worst = sale.of == "worst"
        profits = [sold["profit"] for sold in self._sold]
        scale = max(_sales.scale_of(profit, decimals) for profit in profits) if worst else decimals
        out: list[Result] = [
            Signed(f"{prefix}{word}_profit", profit, scale) for word, profit in zip(("before", "after"), profits)
        ]
        out.append(Text(prefix + "loses", self._loses(), _LOSES))
        reasons = self._sold[1]["sale_reason"]
        out.append(Plain(prefix + "sale_reason", reasons) if plain else self._reader.reasons(prefix + "sale_reason", reasons))
        return out

    def _loses(self) -> Array:
        before, after = (sold["keeps"] for sold in self._sold)
        out = np.full(self._rows, -1, np.int16)
        out[(after == 0) & (before != 0)] = 0
        out[(after == 0) & (before == 0)] = 1
        out[(after == 1) & (before == 0)] = 2
        return out

    def change(self, names: _frames.Raw | None) -> CatalogueChange:
        before, after = self._sides
        counts, losers, places, services = self._changes.result()

        def called(row: int) -> str:
            value = None if names is None else names.at(row)
            return f"row {row + 1}" if value is None or value != value or not str(value) else str(value)

        shares = before.mix.shares if before.mix is not None else (1,) * len(before.lanes)
        where = [str(lane.destination) for lane in before.lanes]
        moves: dict[tuple[str | None, str | None], list[Any]] = {}
        for one, other, cells, month_before, month_after in services:
            pair = (None if one < 0 else before.services[one], None if other < 0 else after.services[other])
            moves[pair] = [cells, month_before, month_after]
        told = {row: called(row) for row, *_ in losers}
        return CatalogueChange(
            **counts,
            places=len(before.lanes),
            losers=tuple(
                RowLoss(row, told[row], old, new, month, where[lane], Way(*way), Way(*other))
                for row, old, new, month, lane, way, other in losers
            ),
            by_service=tuple(
                ServiceMove(*pair, *numbers) for pair, numbers in sorted(moves.items(), key=lambda move: (-move[1][0], str(move[0])))
            ),
            by_place=tuple(PlaceChange(where[i], shares[i], *place) for i, place in enumerate(places)),
            losing=self._losing(),
            summary=self._changes.summary({row: " ".join(text.split()) for row, text in told.items()} if names is not None else {}),
        )

    def _losing(self) -> LosingRows | None:
        if not self._sold:
            return None
        before, after = (sold["keeps"] for sold in self._sold)

        def rows(mask: Array) -> tuple[int, ...]:
            return tuple(np.flatnonzero(mask).tolist())

        loses = self._loses()
        return LosingRows(rows(before == 0), rows(after == 0), rows(loses == 0), rows(loses == 2))


# ---- by month ----


class LosingPeriod(NamedTuple):
    """Which rows lose in a month or on a date: those whose sale does not keep what is wanted on at least one of its ``dates``. Rows
    are numbers from 0, rising.

    >>> lost.periods[1]  # goes on from help(tarewise.losers)
    LosingPeriod(name='2027-01', dates=('2027-01-01', '2027-01-03', '2027-01-18'), known=3, rows=(1,), newly=(1,), no_longer=())
    """

    name: str
    dates: tuple[str, ...]  #: on which rates are others than on the day before, and the first
    known: int  #: rows of which it is known on each of the dates
    rows: tuple[int, ...]
    newly: tuple[int, ...]  #: of these, those that did not in the period before
    no_longer: tuple[int, ...]  #: those of the period before that do not in this one


@dataclasses.dataclass(frozen=True, eq=False)
class Losers(Generic[Catalogue]):
    """What `losers` gives. ``rows``: the catalogue with each period's least profit and ``loses_in``; ``periods``: which rows lose in each, in
    the order asked; ``currency``: of the profits. Printed it is a table with a line for each period.

    >>> lost.rows["loses_in"].tolist()  # goes on from help(tarewise.losers)
    [None, '2027-01', None]
    >>> lost.rows["profit_2027-01_micros"]
    array([10400000, -2500000, 22520000])
    """

    rows: Catalogue
    periods: tuple[LosingPeriod, ...]
    currency: str

    def of(self, period: str) -> Catalogue:
        """The rows that lose in a period, with the columns of ``rows``. Errors: KeyError for a period that was not asked for.

        >>> lost.of("2027-01")["sku"].tolist()  # goes on from help(tarewise.losers)
        ['BG-0002']
        """
        for one in self.periods:
            if one.name == period:
                taken: Catalogue = _frames.take(self.rows, np.array(one.rows, np.int64))
                return taken
        raise KeyError(f"found {period!r}, expected one of {', '.join(one.name for one in self.periods)}")

    def to_dict(self) -> dict[str, Any]:
        """The periods without the rows, in numbers, texts, lists and dicts alone: for JSON.

        >>> lost.to_dict()["periods"][1]["newly"]  # goes on from help(tarewise.losers)
        [1]
        """
        return {"currency": self.currency, "periods": [_plain(one) for one in self.periods]}

    def __str__(self) -> str:
        lines = [["", "days", "known", "lose", "newly", "no longer"]]
        lines += [
            [one.name, *map(str, (len(one.dates), one.known, len(one.rows), len(one.newly), len(one.no_longer)))]
            for one in self.periods
        ]
        widths = [max(len(line[i]) for line in lines) for i in range(len(lines[0]))]
        return "\n".join(
            "  ".join(cell.ljust(width) if i == 0 else cell.rjust(width) for i, (cell, width) in enumerate(zip(line, widths))).rstrip()
            for line in lines
        )

    def __repr__(self) -> str:
        return f"<Losers: {', '.join(f'{one.name}: {len(one.rows)}' for one in self.periods)}>"

    def _repr_html_(self) -> str:
        head = "".join(f"<th>{word}</th>" for word in ("", "days", "known", "lose", "newly", "no longer"))
        body = "".join(
            f"<tr><td>{escape(one.name)}</td>"
            + "".join(f"<td>{n}</td>" for n in (len(one.dates), one.known, len(one.rows), len(one.newly), len(one.no_longer)))
            + "</tr>"
            for one in self.periods
        )
        return f'<table class="tarewise-losers"><tr>{head}</tr>{body}</table>'


@_teach.careful
def losers(
    catalogue: Catalogue, repricer: Repricer, dates: Sequence[Date | str], *, progress: Progress = None
) -> Losers[Catalogue]:
    """Which listings lose money, month by month, as the carriers' editions follow each other.

    ``repricer`` has ``sale`` with price and cost; a row loses where its sale does not keep ``wanted`` (left out: less than 0 is left),
    exactly, before anything is rounded for show. ``dates`` are days ("2026-07-12") or months ("2026-07"). A month is asked on its first
    day and on each later one on which rates are others than on the day before, as ``compare`` tells them: a new edition, next
    week's fuel. Which day of the week it is counts for the promises of the repricer; where they hang on it, ask for the days.

    The columns that are added: for each period ``profit_2026-07``, the least of its days (none where one of them has none), and
    ``loses_in``, the periods in which the row loses with spaces between ("2026-07 2026-08"; None: in none). Time: that of a
    repricing for each day asked. Errors: as of the repricer; QuantityError for what is no date, a period twice, and no sale.

    >>> lost = tw.losers(goods, before, ["2026-12", "2027-01"])  # goes on from help(tarewise.compare_catalogue)
    >>> print(lost)
             days  known  lose  newly  no longer
    2026-12     2      3     0      0          0
    2027-01     3      3     1      1          0
    """
    if not isinstance(repricer, Repricer):
        raise TypeError(f"repricer: found {type(repricer).__name__}, expected a Repricer")
    sale = repricer.sale
    if sale is None or sale.price is None or sale.cost is None:
        raise QuantityError("repricer: found no sale with price and cost, expected one: a profit needs them", pointer="/repricer")
    if isinstance(dates, (str, Date)):
        raise TypeError(f"dates: found {dates!r}, expected a list of days or months")
    periods: dict[str, list[Date]] = {}
    for text in dates:
        name, days = _days_of(text, repricer)
        if name in periods:
            raise QuantityError(f"dates: found {name} twice, expected each period once", pointer="/dates")
        periods[name] = days
    if not periods:
        raise QuantityError("dates: found none, expected days or months", pointer="/dates")
    table = _frames.table_of(catalogue)
    names = [f"{repricer._prefix}profit_{name}" for name in periods] + [repricer._prefix + "loses_in"]
    taken = [name for name in names if name in table.names or name + table.money_suffix in table.names]
    if taken:
        raise QuantityError(f"found columns {', '.join(taken)} already, expected none of these names: give a prefix", pointer="/prefix")
    asked = {day: None for days in periods.values() for day in days}
    profits: dict[Date, Array] = {}
    keeps: dict[Date, Array] = {}
    with _Progress(progress, table.rows * len(asked)) as tell:
        for day in asked:
            profits[day], keeps[day] = _sold_on(table, repricer.replace(date=day, outputs=(), quantiles=()), tell)
    return _losers(table, repricer, periods, profits, keeps)


def _losers(
    table: _frames.Table,
    repricer: Repricer,
    periods: Mapping[str, Sequence[Date]],
    profits: Mapping[Date, Array],
    keeps: Mapping[Date, Array],
) -> Losers[Any]:
    sale = repricer.sale
    assert sale is not None
    decimals = repricer._core.decimals
    added: list[Any] = []
    told: list[LosingPeriod] = []
    earlier: Array | None = None
    sets = np.zeros(table.rows, np.int64)
    for i, (name, days) in enumerate(periods.items()):
        # The mark of no profit is the least number there is.
        least = np.minimum.reduce([profits[day] for day in days])
        scale = decimals if sale.of == "average" else _sales.scale_of(least, decimals)
        added.append(Signed(f"{repricer._prefix}profit_{name}", least, scale))
        loses = np.logical_or.reduce([keeps[day] == 0 for day in days])
        known = np.logical_and.reduce([keeps[day] >= 0 for day in days])
        sets |= loses.astype(np.int64) << i
        before = loses & False if earlier is None else earlier
        told.append(
            LosingPeriod(
                name,
                tuple(day.isoformat() for day in days),
                int(known.sum()),
                tuple(np.flatnonzero(loses).tolist()),
                () if earlier is None else tuple(np.flatnonzero(loses & ~before).tolist()),
                tuple(np.flatnonzero(before & ~loses).tolist()),
            )
        )
        earlier = loses
    if repricer._plain:
        added = [one.plain() for one in added]
        added.append(Plain(repricer._prefix + "loses_in", sets))
    else:
        found, codes = np.unique(sets, return_inverse=True)
        words = [" ".join(name for i, name in enumerate(periods) if bits >> i & 1) for bits in found.tolist()]
        codes = codes.reshape(-1).astype(np.int32)
        if len(found) and found[0] == 0:  # loses in none
            codes, words = codes - np.int32(1), words[1:]
        added.append(Text(repricer._prefix + "loses_in", codes, words))
    return Losers(table.with_columns(repricer._told(added)), tuple(told), repricer.currency)


def _run(repricer: Repricer, arrays: Any, rows: int, classes: Any, outputs: dict[str, Array], tell: Any) -> None:
    """Prices some rows whole: half a comparison is none, so what stops it is raised."""
    _, interrupted = repricer._core.run(
        columns=arrays,
        rows=rows,
        classes=classes,
        outputs=outputs,
        levels=[],
        threads=repricer._threads,
        progress=tell,
        sale=repricer._sale_terms,
    )
    if interrupted:
        raise KeyboardInterrupt


def _sold_on(table: _frames.Table, repricer: Repricer, tell: Any) -> tuple[Array, Array]:
    assert repricer.sale is not None
    sold = _sales.allocate(table.rows, ("profit", "keeps", "sale_reason"))
    reader = _sales.SaleReader(repricer.sale, table.rows, texts=False, decimal=repricer._decimal)
    if has_orders(table, repricer._columns):
        repricer._refuse_orders(table)
    for first, piece in pieces_of(table, repricer._columns):
        columns = read_columns(piece, repricer._columns, repricer._units, repricer._decimal)
        columns.arrays.update(reader.read(piece))
        outputs = {name: array[first : first + piece.rows] for name, array in sold.items()}
        outputs["reason"] = np.full(piece.rows, _core.NOT_DONE, np.uint8)
        _run(repricer, columns.arrays, piece.rows, columns.classes, outputs, tell)
    return sold["profit"], sold["keeps"]


_MONTH = re.compile(r"([0-9]{4})-(0[1-9]|1[0-2])")


def _days_of(text: Date | str, repricer: Repricer) -> tuple[str, list[Date]]:
    if isinstance(text, Date):
        day = Date(text.year, text.month, text.day)
        return day.isoformat(), [day]
    if not isinstance(text, str):
        raise TypeError(f"dates: found {text!r}, expected a day or a month as text, or a datetime.date")
    if (month := _MONTH.fullmatch(text)) is None:
        try:
            if len(text) != len("2026-07-12"):
                raise ValueError
            return text, [Date.fromisoformat(text)]
        except ValueError:
            raise QuantityError(
                f'dates: found {_shown(text)}, expected a day such as "2026-07-12" or a month such as "2026-07"', pointer="/dates"
            ) from None
    year, number = int(month[1]), int(month[2])
    days = [Date(year, number, day) for day in range(1, calendar.monthrange(year, number)[1] + 1)]
    out = [days[0]]
    for day in days[1:]:
        if _core.compare(repricer.ratebook, out[-1], repricer.ratebook, day):
            out.append(day)
    return text, out
