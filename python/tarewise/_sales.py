"""What selling the rows of a catalogue leaves: their money columns as the compiled part takes them, and what it answers."""

from __future__ import annotations

import dataclasses
from collections.abc import Sequence
from decimal import Decimal
from typing import Literal, Union

import numpy as np

from tarewise import _core
from tarewise._columns import Array, _listed, _money, _read, _shown, marks_of
from tarewise._core import Economics
from tarewise._frames import Code, Money, Piece, Plain, Raw, Result, Signed
from tarewise.errors import QuantityError


@dataclasses.dataclass(frozen=True)
class SaleColumns:
    """What is asked about the sale of every row of a catalogue, and in which columns its money is.

    ``price``, ``cost`` and ``charged`` are names of columns: what the row is listed at, what was paid for it, and what every
    buyer is charged for sending it (left out: nothing, free shipping). All are of what one row sells together, whatever its
    quantity, in the currency of ``economics``, which must be that of the totals. ``wanted`` is what a sale is to keep: an amount
    ("5.00") or a part of the price ("20 %"). ``of`` says of which sale, as in ``Economics``: of the "average" over places and
    returns, or of the "worst", one that is kept in the place that leaves least.

    ``reprice`` and ``Repricer`` take it as ``sale`` and add ``profit`` (where price and cost are known), ``most_to_pay`` (price and
    wanted), ``least_price`` (cost and wanted; at most ``up_to``) and ``sale_reason``. Each is what the method of ``Economics`` of that
    name says of the row's totals, places by their shares; lanes without shares count alike.

    Errors: TypeError where there is neither price nor cost, or one of them alone without ``wanted``; QuantityError and RequestError
    as of ``Economics.most_to_pay``. Of a row whose money cannot be read, and of one with no answer, ``sale_reason`` says why.

    >>> shop = tw.Economics("USD", fees=[tw.Fee("selling", "11.4")], labour="1.20")
    >>> sale = tw.SaleColumns(shop, price="price", cost="paid", wanted="5.00", of="worst")
    >>> catalogue = {"weight_oz": np.array([19]), "length_in": np.array([12]), "width_in": np.array([9]), "height_in": np.array([4])}
    >>> catalogue.update(price=np.array([32.00]), paid=np.array([8.00]))
    >>> sold = tw.reprice(catalogue, tables.ratebook, lanes=lane, shelf=tables.shelf, date="2026-08-03", currency="USD", sale=sale)
    >>> [(name, sold[name + "_micros"].tolist()) for name in ("total", "profit", "most_to_pay", "least_price")]
    [('total', [11990000]), ('profit', [7160000]), ('most_to_pay', [10160000]), ('least_price', [29560000])]
    """

    economics: Economics
    _: dataclasses.KW_ONLY
    price: str | None = None
    cost: str | None = None
    charged: str | None = None
    wanted: Union[Decimal, str, int, None] = None
    of: Literal["average", "worst"] = "average"
    up_to: Union[Decimal, str, int] = 1_000_000

    def __post_init__(self) -> None:
        for field in ("price", "cost", "charged"):
            name = getattr(self, field)
            if name is not None and not isinstance(name, str):
                raise TypeError(f"{field}: found {name!r}, expected the name of a column")
        if self.price is None and self.cost is None:
            raise TypeError("found neither price nor cost, expected the name of a column of one of them or both")
        if self.wanted is None and (self.price is None or self.cost is None):
            raise TypeError("found no wanted, expected it beside price or cost alone: what a sale is to keep")
        self._terms()

    def _terms(self) -> _core.SaleTerms:
        return _core.SaleTerms(economics=self.economics, wanted=self.wanted, of=self.of, up_to=self.up_to)

    def _answers(self) -> tuple[str, ...]:
        """The columns that are added, but for the reason."""
        out = []
        if self.price is not None and self.cost is not None:
            out.append("profit")
        if self.wanted is not None:
            out += ["most_to_pay"] if self.price is not None else []
            out += ["least_price"] if self.cost is not None else []
        return tuple(out)


#: Each answer of nothing, and the two that are in no table.
NOTHING = {"profit": _core.NO_PROFIT, "most_to_pay": -1, "least_price": -1, "keeps": -1, "sale_reason": 1}
_TYPES = {"keeps": np.int8, "sale_reason": np.uint8}
_FIELDS = ("price", "cost", "charged")
_REASONS = _core.SALE_REASONS[1:]
_BAD = {f"bad_{field}": field for field in _FIELDS}


def allocate(rows: int, names: Sequence[str]) -> dict[str, Array]:
    return {name: np.full(rows, NOTHING[name], _TYPES.get(name, np.int64)) for name in names}


class SaleReader:
    """The money columns of pieces, and what was found in those cells that are no money."""

    def __init__(self, sale: SaleColumns, rows: int, *, texts: bool, decimal: str | None) -> None:
        self._names: dict[str, str] = {field: name for field in _FIELDS if (name := getattr(sale, field)) is not None}
        self._raws: dict[str, Raw] = {}
        self._texts = texts
        self._marks = marks_of(decimal)
        self._rows = rows
        self._places: dict[str, int] = {}
        self._codes: Array | None = None

    def read(self, piece: Piece) -> dict[str, tuple[Array, int]]:
        out: dict[str, tuple[Array, int]] = {}
        for field, name in self._names.items():
            if name not in piece.names:
                raise QuantityError(
                    f"sale: found no column {name!r} for {field}, the catalogue has {_listed(piece.names)}", pointer=f"/sale/{field}"
                )
            raw = piece.column(name)
            got = _read(raw, name, lambda values, name=name: _money(values, name, self._marks))  # type: ignore[misc]
            self._raws[field] = raw
            out[field] = (got.values, got.unit)
            if got.gone is not None:
                out[f"no_{field}"] = (got.gone, 1)
        return out

    def look(self, reasons: Array, first: int, rows: int) -> None:
        """Keeps the words of cells that are no money; ``reasons`` are those of the whole table."""
        if not self._texts:
            return
        part = reasons[first : first + rows]
        for code, word in enumerate(_core.SALE_REASONS):
            field = _BAD.get(word)
            if field is None or field not in self._raws:
                continue
            for row in np.flatnonzero(part == code).tolist():
                name = self._names[field]
                value = _shown(self._raws[field].at(row))
                why = f'{word}: {name}: found {value}, expected an amount of money such as "6.45", at most 1000 million'
                place = self._places.setdefault(why, len(self._places))
                if self._codes is None:
                    self._codes = np.full(self._rows, -1, np.int32)
                self._codes[first + row] = place

    def reasons(self, name: str, reasons: Array) -> Code:
        codes = reasons.astype(np.int32) - 1
        told = list(_REASONS)
        if self._codes is not None:
            codes = np.where(self._codes < 0, codes, self._codes + len(told)).astype(np.int32)
            told += self._places
        return Code(name, codes.astype(np.int16) if len(told) < 2**15 else codes, told, open=True)


def results(
    sale: SaleColumns, arrays: dict[str, Array], prefix: str, decimals: int, reader: SaleReader | None, *, plain: bool
) -> list[Result]:
    """The columns of the answers that are there."""
    out: list[Result] = []
    for name in sale._answers():
        if name == "profit":
            scale = decimals if sale.of == "average" else scale_of(arrays[name], decimals)
            out.append(Signed(prefix + name, arrays[name], scale))
        else:
            out.append(Money(prefix + name, arrays[name], decimals))
    if plain:
        out = [result.plain() for result in out if isinstance(result, Money)]
        return [*out, Plain(prefix + "sale_reason", arrays["sale_reason"])]
    reader = reader or SaleReader(sale, len(arrays["sale_reason"]), texts=False, decimal=None)
    return [*out, reader.reasons(prefix + "sale_reason", arrays["sale_reason"])]


def scale_of(micros: Array, decimals: int) -> int:
    """The currency's decimals, or six where an amount is finer: of a cell or a total that is."""
    step = 10 ** (6 - decimals)
    return decimals if step == 1 or not ((micros % step != 0) & (micros != _core.NO_PROFIT)).any() else 6
