"""Catalogues in spreadsheets: .xlsx, .ods and .csv, priced in place.

What is in the file stays as it is, to the byte; ours come behind the widest row, and a second sheet holds the summary
(beside a CSV file: a second file). Headers are matched by their words and units: ``weight (oz)``, ``Length in``, ``W [cm]``.

And price grids as carriers print them, in a sheet, a text or a data frame: ``read_grid``.
"""

from __future__ import annotations

import collections
import csv
import dataclasses
import io
import pathlib
import re
from collections.abc import Iterator, Mapping, Sequence
from decimal import Decimal
from typing import Any, Union

import numpy as np

from tarewise import _core
from tarewise._columns import LENGTH_UNITS, WEIGHT_UNITS, order_fault, order_of
from tarewise._ods import shown
from tarewise._reprice import Repricer
from tarewise._values import GridNote
from tarewise._whole import check_target, write_whole
from tarewise._xml import Cell, blank, column_of
from tarewise.errors import TarewiseError

__all__ = ["Grid", "HeaderError", "Priced", "match_headers", "read_grid", "reprice_rows", "reprice_sheet"]

Path = Union[str, pathlib.Path]

_WORDS: Mapping[str, frozenset[str]] = {
    "weight": frozenset({"weight", "wt", "mass"}),
    "length": frozenset({"length", "len", "l"}),
    "width": frozenset({"width", "w", "breadth"}),
    "height": frozenset({"height", "h", "thickness", "depth"}),
    "quantity": frozenset({"quantity", "qty", "pieces"}),
    "value": frozenset({"value"}),
    "contents": frozenset({"contents", "traits"}),
    "shape": frozenset({"shape"}),
    "this_side_up": frozenset({"upright"}),
    "rigid": frozenset({"rigid", "stiff"}),
    "bare": frozenset({"bare"}),
    "order": frozenset({"order"}),
}
_UNIT_WORDS = {
    **{unit: unit for unit in (*WEIGHT_UNITS, *LENGTH_UNITS)},
    "ounce": "oz", "ounces": "oz", "pound": "lb", "pounds": "lb", "lbs": "lb", "kilogram": "kg", "kilograms": "kg",
    "gram": "g", "grams": "g", "inch": "in", "inches": "in", "centimetre": "cm", "centimetres": "cm", "millimetre": "mm",
    "millimetres": "mm", "foot": "ft", "feet": "ft",
}  # fmt: skip
_REQUIRED = ("weight", "length", "width", "height")
_NUMERIC = ("weight", "length", "width", "height", "quantity", "value")


class HeaderError(TarewiseError):
    """A header that cannot be matched; the message lists what was seen."""


@dataclasses.dataclass(frozen=True)
class Match:
    """Which column a field is in (from 0), and its unit where the header says one."""

    field: str
    column: int
    header: str
    unit: str | None


@dataclasses.dataclass(frozen=True)
class Priced:
    """What was done with a sheet."""

    rows: int
    priced: int
    added: tuple[str, ...]
    matched: Mapping[str, str]
    summary: tuple[tuple[Cell, ...], ...]
    in_order: int = 0  #: rows priced with the first one of their order, and counted there


def match_headers(headers: Sequence[Cell], *, file: str | None = None, currency: str | None = None) -> dict[str, Match]:
    """The columns of a catalogue by its headers. Columns that mean nothing to tarewise are left alone.

    A value may say its currency, which must then be ``currency``. Raises HeaderError where weight or a side has no column, where two columns claim one field, or where a header has a unit
    of the wrong kind; it says what was seen.
    """
    seen = [("" if header is None else str(header)).strip() for header in headers]
    out: dict[str, Match] = {}
    for column, header in enumerate(seen):
        words = re.findall(r"[a-z]+", header.lower())
        if not words:
            continue
        fields = [field for field, names in _WORDS.items() if names & set(words)]
        if "side" in words and "up" in words:
            fields = ["this_side_up"]
        # "Shipping weight limit" or "Price of length" are no measures: beside the field's word only units and small words.
        rest = [word for word in words if word not in _UNIT_WORDS and word not in {"of", "the", "item", "goods", "this"}]
        if fields == ["value"]:
            rest = [word for word in rest if word != "declared"]
            code = rest[0] if rest[1:] == ["value"] else rest[-1]
            told = re.fullmatch("[a-z]{3}", code) and header != header.upper() and code.upper() in header
            if len(rest) == 2 and (told if currency is None else code.upper() == currency):
                rest = ["value"]
            elif len(rest) == 2 and told:
                raise HeaderError(
                    f"found header {header!r}, expected values in {currency}, the currency of the totals; {_all(seen)}",
                    file=file, line=1, column=column + 1,
                )  # fmt: skip
        if len(fields) != 1 or len(rest) > (2 if fields == ["this_side_up"] else 1):
            continue
        field = fields[0]
        units = [_UNIT_WORDS[word] for word in words if word in _UNIT_WORDS and word not in _WORDS[field]]
        kinds = WEIGHT_UNITS if field == "weight" else LENGTH_UNITS if field in _REQUIRED else {}
        wrong = [unit for unit in units if kinds and unit not in kinds]
        if wrong or len(units) > 1:
            raise HeaderError(
                f"found header {header!r}, expected one unit of {', '.join(kinds) or 'none'} beside {field}; {_all(seen)}",
                file=file, line=1, column=column + 1,
            )  # fmt: skip
        if field in out:
            raise HeaderError(
                f"found headers {out[field].header!r} and {header!r}, expected one column for {field}; {_all(seen)}",
                file=file, line=1, column=column + 1,
            )  # fmt: skip
        out[field] = Match(field, column, header, units[0] if units and kinds else None)
    missing = [field for field in _REQUIRED if field not in out]
    if missing:
        raise HeaderError(
            f"found no column for {', '.join(missing)}, expected headers such as 'weight (oz)' and 'length in'; {_all(seen)}",
            file=file,
            line=1,
        )
    return out


def reprice_sheet(source: Path, out: Path, repricer: Repricer, *, sheet: str | None = None) -> Priced:
    """Prices the catalogue in ``source`` (.xlsx, .ods or .csv) and writes it, with our columns, to ``out`` (the same kind).

    Ours stand behind the widest row, whatever is in it; nothing else is changed. A number under a header without a unit is an
    error of the header; a text has its own unit ("1 lb 3 oz"). Rows that cannot be priced get a reason and never stop the
    rest, empty rows get nothing. Rows with the same entry under ``order`` are one parcel, whose answer stands on the first of them. ``sheet``: the sheet's name, where it is not the first. Needs openpyxl for .xlsx.

    ``out`` is there when it is whole, and before that what was there stays; it may be a link, a device or a pipe.
    """
    source, out = pathlib.Path(source), pathlib.Path(out)
    kind = source.suffix.lower()
    if str(out) == "-":
        raise TarewiseError("found '-' to write, expected a file: a summary is written with it", file="-")
    if out.suffix.lower() != kind:
        raise TarewiseError(f"found {out.name!r} to write, expected a name that ends in {kind}", file=str(out))
    summary = out.with_name(out.stem + "-summary.csv")
    for target in (out, summary) if kind == ".csv" else (out,):
        if _same(target, source):
            raise TarewiseError("found one file to read and to write, expected another to write", file=str(target))
    if kind not in (".csv", ".xlsx", ".ods"):
        raise TarewiseError(f"found {source.name!r}, expected a file that ends in .xlsx, .ods or .csv", file=str(source))
    check_target(str(out))
    if kind == ".csv":
        check_target(str(summary))
        data, priced = _csv(source, repricer)
        lines = io.StringIO()
        csv.writer(lines, lineterminator="\n").writerows([[shown(cell) for cell in row] for row in priced.summary])
        write_whole([(str(summary), lines.getvalue().encode()), (str(out), data)])
        return priced
    held = source.read_bytes()
    book: Any
    if kind == ".xlsx":
        from tarewise._xlsx import Workbook

        book = Workbook(held, str(source), sheet)
        numbers = range(1, len(book.rows) + 1)
    else:
        from tarewise._ods import Document

        book = Document(held, str(source), sheet)
        numbers = book.lines
    if not book.rows:
        raise HeaderError("found an empty sheet, expected a header", file=str(source))
    added, cells, priced = _price(book.rows, numbers, repricer, str(source))
    write_whole([(str(out), book.with_columns(added, cells, priced.summary))])
    return priced


def reprice_rows(
    rows: Sequence[Sequence[Cell]], repricer: Repricer, *, numbers: Sequence[int] | None = None
) -> tuple[tuple[str, ...], tuple[Union[tuple[Cell, ...], None], ...]]:
    """Prices rows of cells as ``reprice_sheet`` does those of a file: the headers of our columns, and of each row below the
    headers its cells, or None where the row is empty.

    A cell is a text, a number, a bool or None. ``numbers``: those of the rows, for errors (left out: from 1). Errors: HeaderError,
    and TarewiseError of an entry under ``order`` that is none.
    """
    if not rows:
        raise HeaderError("found no rows, expected a header")
    added, cells, _ = _price(rows, numbers or range(1, len(rows) + 1), repricer, "")
    return tuple(added), tuple(tuple(cells[place]) if place in cells else None for place in range(1, len(rows)))


# ---- printed grids ----


@dataclasses.dataclass(frozen=True)
class Grid:
    """A printed price grid, read: ``csv`` is the file that a table of a price list names, ``unit`` its ``unit``."""

    csv: str
    unit: str  #: "" where nothing says one
    columns: tuple[str, ...]
    notes: tuple[GridNote, ...]  #: what was done, then what is doubtful

    @property
    def doubts(self) -> tuple[GridNote, ...]:
        return tuple(note for note in self.notes if note.doubt)

    @property
    def rows(self) -> tuple[tuple[str, ...], ...]:
        """Of each row the bound and its prices; "" is one that is not offered."""
        return tuple(tuple(row) for row in list(csv.reader(io.StringIO(self.csv)))[1:])

    def save(self, path: Path) -> None:
        """Writes the file, whole or not at all."""
        check_target(str(path))
        write_whole([(str(path), self.csv.encode())])


def read_grid(
    source: Any,
    *,
    range: str | None = None,
    sheet: str | None = None,
    table: int | None = None,
    decimal: str | None = None,
    unit: str | None = None,
) -> Grid:
    """Reads a price grid as it is printed, as ``tarewise grid`` does: header, bounds, zones and prices.

    ``source``: the path of an .xlsx, .ods or text file; a text (with a line end in it); or a data frame. ``range``: the cells
    of a sheet, as "B3:J40". ``table``: which one, from 1, where there are several; ``decimal``: "point" or "comma", where the
    grid does not settle it; ``unit`` of bounds that have none. Lines of notes are rows of the sheet. Raises TariffError where the
    grid can be read in two ways or a row is too short or too long: nothing is guessed. Needs openpyxl for .xlsx.
    """
    if table is not None and table < 1:
        raise TarewiseError(f"found table {table}, expected a number from 1", pointer="table")
    name, text = _grid_text(source, range, sheet)
    return Grid(*_core.read_printed_grid(name, text, table or 0, decimal or "", unit or ""))


def _grid_text(source: Any, cells: str | None, sheet: str | None) -> tuple[str, Union[str, bytes]]:
    text: Union[str, bytes]
    if isinstance(source, str) and "\n" in source:
        name, text = "text", source
    elif isinstance(source, (str, pathlib.Path)):
        path = pathlib.Path(source)
        kind = path.suffix.lower()
        if kind in (".xlsx", ".ods"):
            return str(path), _lines(*_sheet_rows(path, kind, sheet), cells, str(path))
        name, text = str(path), path.read_bytes()
    elif hasattr(source, "columns"):
        rows = [list(source.columns), *_frame_rows(source)]
        return "data frame", _lines(rows, list(_count(rows)), cells, "data frame")
    else:
        raise TarewiseError(f"found {type(source).__name__}, expected a path, a text or a data frame", pointer="source")
    for word, given in (("range", cells), ("sheet", sheet)):
        if given is not None:
            raise TarewiseError(f"found {word} {given!r} beside a text, expected it with a sheet alone", pointer=word)
    return name, text


def _count(rows: Sequence[Any]) -> Iterator[int]:
    return (place for place, _ in enumerate(rows, 1))


def _sheet_rows(path: pathlib.Path, kind: str, sheet: str | None) -> tuple[list[Any], list[int]]:
    held = path.read_bytes()
    if kind == ".xlsx":
        from tarewise._xlsx import Workbook

        rows: list[Any] = Workbook(held, str(path), sheet).rows
        return rows, list(_count(rows))
    from tarewise._ods import Document

    document = Document(held, str(path), sheet)
    return list(document.rows), list(document.lines)


def _frame_rows(frame: Any) -> list[Any]:
    if hasattr(frame, "itertuples"):  # pandas
        return [list(row) for row in frame.itertuples(index=False, name=None)]
    if hasattr(frame, "iter_rows"):  # polars
        return [list(row) for row in frame.iter_rows()]
    if hasattr(frame, "to_pylist"):  # Arrow
        return [list(row.values()) for row in frame.to_pylist()]
    raise TarewiseError(f"found {type(frame).__name__}, expected a data frame of pandas, polars or Arrow", pointer="source")


def _lines(rows: Sequence[Sequence[Any]], numbers: Sequence[int], cells: str | None, file: str) -> str:
    """A row a line, its cells between tabs, on the line that is its number on the sheet."""
    top, left, bottom, right = _corners(cells, file)
    out: list[str] = []
    for number, row in zip(numbers, rows):
        if not top <= number <= bottom:
            continue
        out += [""] * (number - 1 - len(out))
        out.append("\t".join(_cell_text(cell) for cell in row[left - 1 : right]))
    return "\n".join(out) + "\n"


def _cell_text(cell: Any) -> str:
    if cell is None or str(cell) in ("nan", "NaN", "<NA>", "NaT"):  # a gap of a data frame
        return ""
    if isinstance(cell, float) and cell.is_integer():
        return str(int(cell))
    return re.sub(r"[\t\r\n]+", " ", str(cell))


def _corners(cells: str | None, file: str) -> tuple[int, int, int, int]:
    """(top, left, bottom, right) of "B3:J40", from 1."""
    if cells is None:
        return 1, 1, 1 << 24, 1 << 24
    found = re.fullmatch(r"\$?([A-Za-z]{1,3})\$?([1-9][0-9]{0,6}):\$?([A-Za-z]{1,3})\$?([1-9][0-9]{0,6})", cells.strip())
    if found is None:
        raise TarewiseError(f"found range {cells!r}, expected two corners such as 'B3:J40'", file=file, pointer="range")
    left, right = column_of(found[1] + "1"), column_of(found[3] + "1")
    top, bottom = int(found[2]), int(found[4])
    if left > right or top > bottom:
        raise TarewiseError(f"found range {cells!r}, expected its upper left corner first", file=file, pointer="range")
    return top, left, bottom, right


def _same(one: pathlib.Path, other: pathlib.Path) -> bool:
    try:
        return one.resolve() == other.resolve() or one.samefile(other)
    except (OSError, RuntimeError):
        return False


def _all(seen: Sequence[str]) -> str:
    return "the headers are " + (", ".join(repr(header) for header in seen if header) or "all empty")


# ---- pricing rows ----


def _price(
    table: Sequence[Sequence[Cell]], numbers: Sequence[int], repricer: Repricer, file: str
) -> tuple[list[str], dict[int, list[Cell]], Priced]:
    """Our headers, and our cells by the place of the row; rows that are empty have none."""
    matches = match_headers(table[0], file=file, currency=repricer.currency)
    places = [place for place, row in enumerate(table) if place > 0 and not blank(row)]
    rows = [table[place] for place in places]
    columns: dict[str, Any] = {}
    shown_as: dict[str, str] = {}
    for field, match in matches.items():
        cells = [row[match.column] if match.column < len(row) else None for row in rows]
        name = field
        if field in _REQUIRED:
            bare = next((i for i, cell in enumerate(cells) if match.unit is None and _number(cell) is not None), None)
            if bare is not None:
                raise HeaderError(
                    f"found the number {cells[bare]!r} under {match.header!r}, expected a unit in the header or the cell",
                    file=file, line=numbers[places[bare]], column=match.column + 1,
                )  # fmt: skip
            if match.unit is not None:
                name = f"{field}_{match.unit}"
        values = np.empty(len(rows), object)
        if field in _NUMERIC:
            values[:] = [cell if (number := _number(cell)) is None else number for cell in cells]
        elif field in ("contents", "shape"):
            values[:] = [None if cell is None else str(cell).strip() for cell in cells]
        elif field == "order":
            for i, cell in enumerate(cells):
                try:
                    values[i] = order_of(cell)
                except ValueError:
                    raise TarewiseError(
                        f"{order_fault(cell)} under {match.header!r}",
                        file=file, line=numbers[places[i]], column=match.column + 1,
                    ) from None  # fmt: skip
        else:
            values[:] = [_flag(cell) for cell in cells]
        columns[name] = values
        shown_as[name] = match.header
    priced = repricer(columns)
    added, answers = _added(priced, columns, repricer)
    for row in answers:
        reason = str(row[-1] or "")
        code, colon, rest = reason.partition(": ")
        name, found, what = rest.partition(": ")
        if colon and found and name in shown_as:  # told by the sheet's own word
            row[-1] = f"{code}: {shown_as[name]}: {what}"
    result = Priced(
        rows=len(rows),
        priced=sum(row[-1] is None for row in answers),
        added=tuple(added),
        matched={field: match.header for field, match in matches.items()},
        summary=tuple(_summary(added, answers, repricer)),
        in_order=_in_order(answers),
    )
    return added, dict(zip(places, answers)), result


def _added(
    priced: Mapping[str, Any], columns: Mapping[str, Any], repricer: Repricer
) -> tuple[list[str], list[list[Cell]]]:
    names = [name for name in priced if name not in columns]
    added: list[str] = []
    lists: list[list[Cell]] = []
    for name in names:
        values = priced[name]
        if name.endswith("_micros"):
            added.append(_title(name.removesuffix("_micros")) + f" ({repricer.currency})")
            lists.append([None if int(v) < 0 else Decimal(int(v)) / 1_000_000 for v in values])
        elif name in repricer._counts:
            added.append(_title(name))
            lists.append([int(v) or None for v in values])
        else:
            added.append(_title(name))
            lists.append([None if v is None or v == "" else str(v) for v in values])
    rows = [list(row) for row in zip(*lists)] if lists and len(lists[0]) else []
    return added, rows


def _title(name: str) -> str:
    words = name.replace("_", " ")
    return words[0].upper() + words[1:]


def _in_order(rows: Sequence[Sequence[Cell]]) -> int:
    return sum(row[-1] == "in_order" for row in rows)


def _summary(added: Sequence[str], rows: Sequence[Sequence[Cell]], repricer: Repricer) -> list[tuple[Cell, ...]]:
    out: list[tuple[Cell, ...]] = [("Summary", None, None)]
    out.append(("Rows", len(rows), None))
    out.append(("Priced", sum(row[-1] is None for row in rows), None))
    arguments = repricer._arguments
    if in_order := _in_order(rows):
        out.append(("In an order with a row above", in_order, None))
    out.append(("Handed over on", str(arguments["date"]), None))
    out.append(("Currency", repricer.currency, None))
    reasons = collections.Counter(str(row[-1]) for row in rows if row[-1] not in (None, "in_order"))
    if reasons:
        out.append((None, None, None))
        out.append(("Not priced", "rows", None))
        out += [(reason, count, None) for reason, count in reasons.most_common()]
    for i, name in enumerate(added[:-1]):
        values = [row[i] for row in rows if row[i] is not None]
        if not values:
            continue
        out.append((None, None, None))
        if isinstance(values[0], Decimal):
            amounts = [value for value in values if isinstance(value, Decimal)]
            total = sum(amounts, Decimal(0))
            mean = (total / len(amounts)).quantize(Decimal("0.01"))
            out.append((name, "sum", total))
            out.append((None, "mean", mean))
            out.append((None, "least", min(amounts)))
            out.append((None, "most", max(amounts)))
        else:
            out.append((name, "rows", None))
            out += [(str(value), count, None) for value, count in collections.Counter(values).most_common()]
    return out


def _number(cell: Cell) -> Union[int, float, Decimal, None]:
    if isinstance(cell, bool) or cell is None:
        return None
    if isinstance(cell, (int, float, Decimal)):
        return cell
    text = cell.strip()
    try:
        return Decimal(text) if re.fullmatch(r"[0-9]*\.?[0-9]+|[0-9]+\.", text) else None
    except ArithmeticError:
        return None


_TICKS: Mapping[str, str] = {"x": "yes", "y": "yes", "n": "no"}


def _flag(cell: Cell) -> Cell:
    """As the columns of a catalogue take it, and a tick as people put it."""
    if isinstance(cell, str):
        return _TICKS.get(cell.strip().lower(), cell)
    if cell is not None and not isinstance(cell, bool):
        return bool(cell) if cell in (0, 1) else str(cell)
    return cell


# ---- CSV ----


def _csv(source: pathlib.Path, repricer: Repricer) -> tuple[bytes, Priced]:
    """The lines as they are, with ours behind the widest."""
    data = source.read_bytes()
    mark = b"\xef\xbb\xbf" if data.startswith(b"\xef\xbb\xbf") else b""
    try:
        content = data[len(mark) :].decode("utf-8")
    except UnicodeDecodeError as error:
        line = data.count(b"\n", 0, len(mark) + error.start) + 1
        raise TarewiseError("found bytes that are not UTF-8, expected a CSV file in UTF-8", file=str(source), line=line) from None
    taken: list[str] = []
    raw: list[str] = []
    rows: list[list[str]] = []
    numbers: list[int] = []
    number = 1

    def lines() -> Iterator[str]:
        for line in io.StringIO(content, newline=""):
            taken.append(line)
            yield line

    try:
        for row in csv.reader(lines()):
            rows.append(row)
            numbers.append(number)
            raw.append("".join(taken))
            number += len(taken)
            taken.clear()
    except csv.Error as error:
        raise TarewiseError(f"found a line that cannot be read: {error}", file=str(source), line=number) from None
    if not rows or blank(rows[0]):
        raise HeaderError("found an empty file, expected a header", file=str(source))
    if len(list(csv.reader([*raw[-1].splitlines(keepends=True), "\n", "end\n"]))) < 2:
        raise TarewiseError("found a quote that never ends, expected its end", file=str(source), line=numbers[-1])
    added, cells, priced = _price(rows, numbers, repricer, str(source))
    width = max(map(len, rows))
    given: dict[int, Sequence[Cell]] = {0: added, **cells}
    ending = raw[0][len(raw[0].rstrip("\r\n")) :] or "\n"
    out: list[str] = []
    for place, (row, text) in enumerate(zip(rows, raw)):
        if place not in given:
            out.append(text)
            continue
        held = text.rstrip("\r\n")
        ours = io.StringIO()
        csv.writer(ours, lineterminator="").writerow([shown(cell) for cell in given[place]])
        # An empty field of its own alone is one, too.
        out.append(held + "," * (width - max(len(row), 1) + 1) + ours.getvalue() + (text[len(held) :] or ending))
    return mark + "".join(out).encode("utf-8"), priced
