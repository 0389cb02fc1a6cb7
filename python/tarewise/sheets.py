"""Catalogues in spreadsheets: .xlsx, .ods and .csv, priced in place.

What is in the file stays as it is, to the byte; ours come behind the widest row, and a second sheet holds the summary
(beside a CSV file: a second file). Headers are matched by their words and units: ``weight (oz)``, ``Length in``, ``W [cm]``;
cells are read as people type them.

And price grids as carriers print them, in a sheet, a text or a data frame: ``read_grid``.
"""

from __future__ import annotations

import collections
import csv
import dataclasses
import io
import pathlib
import re
from collections.abc import Callable, Collection, Iterator, Mapping, Sequence
from decimal import ROUND_HALF_UP, Decimal
from fractions import Fraction
from typing import Any, Union

import numpy as np
import numpy.typing as npt

from tarewise import _core
from tarewise._cells import CellError, Marks, amount, length, mark_of, number, sides, weight
from tarewise._columns import (
    _EXPECTED,
    _MOST_NANOGRAMS,
    _MOST_NANOMETRES,
    _SIDES,
    LENGTH_UNITS,
    WEIGHT_UNITS,
    _shown,
    order_fault,
    order_of,
)
from tarewise._core import Item
from tarewise._encoding import read_text
from tarewise._frames import Money
from tarewise._headers import (
    PARTS,
    REQUIRED,
    ColumnNames,
    HeaderError,
    Match,
    Header,
    find_header,
    is_foreign,
    is_total,
    kinds_of,
    left_alone,
    match_headers,
    own_columns,
    same_texts,
)
from tarewise._ods import shown
from tarewise._reprice import Progress, Repricer, _Progress
from tarewise._values import GridNote
from tarewise._whole import check_target, write_whole
from tarewise._xml import Cell, WithUnit, blank, column_of, in_runs, is_summary_title
from tarewise.errors import RequestError, TarewiseError

__all__ = ["Grid", "HeaderError", "Match", "Priced", "goods_of_rows", "match_headers", "read_grid", "reprice_rows", "reprice_sheet"]

Path = Union[str, pathlib.Path]

_NUMERIC = ("weight", "length", "width", "height", "sides", "quantity", "value")


@dataclasses.dataclass(frozen=True)
class Priced:
    """What was done with a sheet."""

    rows: int
    priced: int
    added: tuple[str, ...]
    matched: Mapping[str, str]
    summary: tuple[tuple[Cell, ...], ...]
    in_order: int = 0  #: rows priced with the first one of their order, and counted there
    told: tuple[str, ...] = ()  #: what was guessed, and what was left alone


def reprice_sheet(
    source: Path,
    out: Path,
    repricer: Repricer,
    *,
    sheet: str | None = None,
    columns: ColumnNames | None = None,
    header_row: Union[int, tuple[int, int], None] = None,
    units: Union[str, Mapping[str, str], None] = None,
    decimal: str | None = None,
    delimiter: str | None = None,
    encoding: str | None = None,
    progress: Progress = None,
) -> Priced:
    """Prices the catalogue in ``source`` (.xlsx, .ods or .csv) and writes it, with our columns, to ``out`` (the same kind).

    Ours stand behind the widest row, whatever is in it, and look as the cells beside them; nothing else is changed. Where the file
    was priced before, they take the place of those of that time, and the summary that of the old one; a formula that stands there
    stays. Cells are read as people type them ("3 lbs", "12 1/2", ``12"``, "1,5 kg"); a cell that cannot be read is a reason with
    its column and text. Rows that cannot be priced get a reason and never stop the rest; empty rows, rows of sums (the first text
    is "Total" or the like) and headers that are repeated get nothing. Rows with the same entry under ``order`` are one parcel,
    whose answer stands on the first of them.

    What the file does not settle is guessed where there is one way to read it, and told in ``Priced.told`` and in the summary; else
    it is an error, or a row's reason, that says what to say:

    - ``sheet``: its name, where it is not the first that is shown.
    - ``header_row``: the number of the row of headers, or two that follow each other (left out: the first whose headers match).
    - ``columns``: of fields their header or the number of their column, as ``{"weight": "Gewicht", "sides": 4, "value": None}``;
      ``sides`` is one column with all three, None is a field that there is not.
    - ``units`` of numbers whose header has none: ``"oz in"``, or ``{"weight": "kg", "sides": "cm"}``.
    - ``decimal``: "." or ",", what stands before decimals of texts; then the other may stand between groups of three digits. Left
      out: what a column's texts leave no doubt about.
    - ``delimiter`` of a CSV file: one character (left out: of , ; tab and | the one by which headers match).
    - ``encoding`` of a CSV file's characters, such as ``"cp1252"`` (left out: what its first bytes say, else UTF-8 to the letter; a
      byte that is not UTF-8 is an error with its line that says what would read it). What is written has the same.
    - ``progress``: as in ``reprice``, in hundredths of the work.

    ``out`` is there when it is whole, and before that what was there stays; it may be a link, a device or a pipe. Takes time and
    memory in proportion to the sheet.
    """
    source, out = pathlib.Path(source), pathlib.Path(out)
    kind = source.suffix.lower()
    if str(out) == "-":
        raise TarewiseError("found '-' to write, expected a file: a summary is written with it", file="-")
    if kind not in (".csv", ".xlsx", ".ods"):
        what = "a folder" if source.is_dir() else repr(source.name)
        hint = "; save it as .xlsx" if kind in (".xls", ".xlsm", ".xlsb", ".numbers") else ""
        hint = "; name it .csv" if kind in (".tsv", ".txt", ".tab") else hint
        raise TarewiseError(f"found {what}, expected a file that ends in .xlsx, .ods or .csv{hint}", file=str(source))
    if out.suffix.lower() != kind:
        raise TarewiseError(f"found {out.name!r} to write, expected a name that ends in {kind}", file=str(out))
    if decimal not in (None, ".", ","):
        raise TarewiseError(f"decimal: found {decimal!r}, expected '.' or ','", pointer="/decimal")
    if delimiter is not None and (len(delimiter) != 1 or delimiter in '"\r\n' or delimiter.isalnum()):
        raise TarewiseError(f"delimiter: found {delimiter!r}, expected one character such as ';'", pointer="/delimiter")
    if delimiter is not None and kind != ".csv":
        raise TarewiseError(f"delimiter: found {delimiter!r} for {kind}, expected it with .csv alone", pointer="/delimiter")
    if encoding is not None and kind != ".csv":
        raise TarewiseError(f"encoding: found {encoding!r} for {kind}, expected it with .csv alone", pointer="/encoding")
    if sheet is not None and kind == ".csv":
        raise TarewiseError(f"sheet: found {sheet!r} for .csv, which has no sheets", pointer="/sheet")
    options = _Options(dict(repricer._columns if columns is None else columns), header_row,
                       repricer._units if units is None else units, decimal or repricer._decimal, file=str(source))  # fmt: skip
    summary = out.with_name(out.stem + "-summary.csv")
    for target in (out, summary) if kind == ".csv" else (out,):
        if _same(target, source):
            raise TarewiseError("found one file to read and to write, expected another to write", file=str(target))
    if source.is_dir():
        raise TarewiseError(f"found a folder, expected a file that ends in {kind}", file=str(source))
    check_target(str(out))
    with _Progress(progress, _WHOLE, "%") as tell:
        steps = _Steps(tell)
        if kind == ".csv":
            check_target(str(summary))
            data, priced, lines = _csv(source, repricer, options, delimiter, encoding, steps)
            write_whole([(str(summary), lines), (str(out), data)])
            return priced
        held = source.read_bytes()
        book: Any
        if kind == ".xlsx":
            from tarewise._xlsx import Workbook

            book = Workbook(held, str(source), sheet, steps.part(0, 45))
            numbers = range(1, len(book.rows) + 1)
        else:
            from tarewise._ods import Document

            book = Document(held, str(source), sheet, steps.part(0, 45))
            numbers = book.lines
        if _all_blank(book.rows):
            raise HeaderError(f"found an empty sheet {book.sheet!r}, expected a header", file=str(source))
        told: list[str] = []
        others = [name for name in book.seen if not is_summary_title(name, "Shipping summary")]
        if sheet is None and (len(others) > 1 or book.sheet != book.names[0]):
            told.append(f"the sheet {book.sheet!r}, the first that is shown")
        result = _price(book.rows, numbers, repricer, options, told, merged=book.merged, hidden=book.hidden, steps=steps)
        steps.reached(60)
        about: list[tuple[Cell, ...]] = [("Sheet", book.sheet, None)]
        late: list[str] = []
        done = book.with_columns(
            result.added, result.cells, result.summary(about), header=result.header, old=result.old, tell=steps.part(60, 95), told=late
        )
        write_whole([(str(out), done)])
        return result.priced(about, late)


_WHOLE = 100


class _Steps:
    """How far the work is, in hundredths."""

    def __init__(self, tell: Callable[[int], None] | None) -> None:
        self._tell = tell
        self._done = 0

    def reached(self, percent: int) -> None:
        if self._tell is not None and percent > self._done:
            self._tell(percent - self._done)
            self._done = percent

    def part(self, first: int, last: int) -> Callable[[int, int], None] | None:
        if self._tell is None:
            return None
        return lambda done, of: self.reached(first + (last - first) * done // max(of, 1))


@dataclasses.dataclass
class _Options:
    columns: dict[str, Union[str, int, None]]
    header_row: Union[int, tuple[int, int], None]
    units: Union[str, Mapping[str, str], None]
    decimal: str | None
    file: str


def reprice_rows(
    rows: Sequence[Sequence[Cell]], repricer: Repricer, *, numbers: Sequence[int] | None = None
) -> tuple[tuple[str, ...], tuple[Union[tuple[Cell, ...], None], ...], tuple[str, ...]]:
    """Prices rows of cells as ``reprice_sheet`` does those of a file: the headers of our columns, of each row below the headers
    its cells, or None where the row is empty, one of sums or the headers again, and as in ``Priced.told`` what was guessed.

    A cell is a text, a number, a bool or None. ``numbers``: those of the rows, for errors (left out: from 1). Errors: HeaderError,
    and TarewiseError of an entry under ``order`` that is none.
    """
    if not rows:
        raise HeaderError("found no rows, expected a header")
    lines = numbers or range(1, len(rows) + 1)
    if blank(rows[0]):
        raise HeaderError("found an empty row, expected headers", line=lines[0])
    told: list[str] = []
    result = _price(rows, lines, repricer, _Options(dict(repricer._columns), lines[0], repricer._units, repricer._decimal, ""), told)
    answers = tuple(tuple(result.cells[place]) if place in result.cells else None for place in range(1, len(rows)))
    return tuple(result.added), answers, tuple(told)


def goods_of_rows(
    rows: Sequence[Sequence[Cell]], repricer: Repricer, *, numbers: Sequence[int] | None = None
) -> tuple[tuple[Item, ...], tuple[int, ...], tuple[str, ...]]:
    """The goods of rows of cells, as ``rank`` and ``plan`` take those of one order; of each the number of its row; and what was
    guessed. Headers, cells and ``numbers`` are those of ``reprice_rows``; the entries under ``order``, where it is there, are one.

    Errors: HeaderError, and TarewiseError with its line of a row that cannot be read: the order without it would be another.
    """
    if not rows:
        raise HeaderError("found no rows, expected a header")
    lines = numbers or range(1, len(rows) + 1)
    if blank(rows[0]):
        raise HeaderError("found an empty row, expected headers", line=lines[0])
    told: list[str] = []
    options = _Options(dict(repricer._columns), lines[0], repricer._units, repricer._decimal, "")
    gathered = _gather(rows, lines, repricer, options, told)
    columns = gathered.columns
    if not gathered.places:
        raise TarewiseError("found no goods below the headers, expected one row for each", line=lines[0])
    entries = list(dict.fromkeys(columns.pop("order", _array([]))))
    if len(entries) > 1:
        shown = " and ".join("nothing" if entry is None else _shown(entry) for entry in entries[:2])
        raise TarewiseError(f"found {shown} under {gathered.header.matches['order'].header!r}, expected the goods of one order")
    goods: list[Item] = []
    for i, place in enumerate(gathered.places):
        try:
            goods += gathered.plain.request({name: column[i : i + 1] for name, column in columns.items()}, 0).goods
        except RequestError as error:
            why = re.sub(r"^row 0: ", "", str(error))
            raise TarewiseError(gathered.why(i, why), line=lines[place]) from None
    return tuple(goods), tuple(lines[place] for place in gathered.places), tuple(told)


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
    encoding: str | None = None,
) -> Grid:
    """Reads a price grid as it is printed, as ``tarewise grid`` does: header, bounds, zones and prices.

    ``source``: the path of an .xlsx, .ods or text file; a text (with a line end in it); or a data frame. ``range``: the cells
    of a sheet, as "B3:J40". ``table``: which one, from 1, where there are several; ``decimal``: "point" or "comma", where the
    grid does not settle it; ``unit`` of bounds that have none; ``encoding`` of a text file, as of ``reprice_sheet``. Lines of
    notes are rows of the sheet. Raises TariffError where the grid can be read in two ways or a row is too short or too long:
    nothing is guessed.
    """
    if table is not None and table < 1:
        raise TarewiseError(f"found table {table}, expected a number from 1", pointer="table")
    name, text = _grid_text(source, range, sheet, encoding)
    return Grid(*_core.read_printed_grid(name, text, table or 0, decimal or "", unit or ""))


def _grid_text(source: Any, cells: str | None, sheet: str | None, encoding: str | None) -> tuple[str, str]:
    if isinstance(source, str) and "\n" in source:
        name, text = "text", source
    elif isinstance(source, (str, pathlib.Path)):
        path = pathlib.Path(source)
        kind = path.suffix.lower()
        if kind in (".xlsx", ".ods"):
            if encoding is not None:
                raise TarewiseError(f"found encoding {encoding!r} beside a sheet, expected it with a text file alone", pointer="encoding")
            return str(path), _lines(*_sheet_rows(path, kind, sheet), cells, str(path))
        name = str(path)
        text, _ = read_text(path.read_bytes(), name, encoding)
        encoding = None
    elif hasattr(source, "columns"):
        rows = [list(source.columns), *_frame_rows(source)]
        if encoding is not None:
            raise TarewiseError(f"found encoding {encoding!r} beside a data frame, expected it with a text file alone", pointer="encoding")
        return "data frame", _lines(rows, list(_count(rows)), cells, "data frame")
    else:
        raise TarewiseError(f"found {type(source).__name__}, expected a path, a text or a data frame", pointer="source")
    for word, given, where in (("range", cells, "sheet"), ("sheet", sheet, "sheet"), ("encoding", encoding, "text file")):
        if given is not None:
            raise TarewiseError(f"found {word} {given!r} beside a text, expected it with a {where} alone", pointer=word)
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


def _all_blank(rows: Sequence[Sequence[Cell]]) -> bool:
    return all(blank(row) for row in rows)


# ---- pricing rows ----


@dataclasses.dataclass
class _Result:
    """Our headers and cells by the place of the row, and what was done."""

    added: list[str]
    cells: dict[int, list[Cell]]
    header: int
    old: list[tuple[int, int]]
    decimal: str
    answers: list[list[Cell]]
    matched: dict[str, str]
    told: list[str]
    repricer: Repricer

    def summary(self, about: Sequence[tuple[Cell, ...]] = (), late: Sequence[str] = ()) -> list[tuple[Cell, ...]]:
        return _summary(self.added, self.answers, self.repricer, about, [*self.told, *late])

    def priced(self, about: Sequence[tuple[Cell, ...]] = (), late: Sequence[str] = ()) -> Priced:
        return Priced(
            rows=len(self.answers),
            priced=sum(row[-1] is None for row in self.answers),
            added=tuple(self.added),
            matched=self.matched,
            summary=tuple(self.summary(about, late)),
            in_order=_in_order(self.answers),
            told=(*self.told, *late),
        )


def _price(
    table: Sequence[Sequence[Cell]],
    numbers: Sequence[int],
    repricer: Repricer,
    options: _Options,
    told: list[str],
    *,
    merged: Sequence[tuple[int, int, int, int]] = (),
    hidden: Collection[int] = (),
    steps: _Steps | None = None,
    wary: bool = False,
    narrow: bool = False,
) -> _Result:
    """``wary``: there is reason to think of decimal commas; ``narrow``: a comma in a number would part a row of this file."""
    gathered = _gather(table, numbers, repricer, options, told, merged=merged, hidden=hidden, wary=wary, narrow=narrow)
    header, plain, columns = gathered.header, gathered.plain, gathered.columns
    if steps is not None:
        steps.reached(50)
    added, answers = _added(plain(columns, progress=False), columns, plain)
    for i, row in enumerate(answers):
        if row[-1] is not None:
            row[-1] = gathered.why(i, str(row[-1]))
    cells_of = {**gathered.cells, **dict(zip(gathered.places, answers))}
    return _Result(
        added, cells_of, header.last, gathered.old, gathered.reader.decimal, answers,
        {field: match.header for field, match in header.matches.items()}, told, repricer,
    )  # fmt: skip


@dataclasses.dataclass
class _Gathered:
    """The goods of a table, read: their columns, and what is known of their rows."""

    header: Header
    plain: Repricer  #: takes the columns as they are
    old: list[tuple[int, int]]
    cells: dict[int, list[Cell]]  #: of rows that are no goods and had ours
    places: list[int]
    faults: dict[int, str]  #: of whole rows
    reader: _Reader
    columns: dict[str, npt.NDArray[Any]]

    def why(self, row: int, reason: str) -> str:
        """A reason in the sheet's own words."""
        header, reader = self.header, self.reader
        code, colon, rest = reason.partition(": ")
        field, found, what = rest.partition(": ")
        if reason == "missing":
            empty = [match.header for name, match in header.matches.items() if name in _MEASURED and reader.is_empty(name, row)]
            return f"missing: {', '.join(empty)}" if empty else reason
        if row in self.faults and code == "bad_weight":
            return self.faults[row]
        if colon and found and field in self.columns:
            match = header.matches.get(field) or header.matches["sides"]
            return f"{code}: {reader.under.get((field, row), match.header)}: {reader.faults.get((field, row)) or what}"
        return reason


_MEASURED = (*REQUIRED, "sides")


def _gather(
    table: Sequence[Sequence[Cell]],
    numbers: Sequence[int],
    repricer: Repricer,
    options: _Options,
    told: list[str],
    *,
    merged: Sequence[tuple[int, int, int, int]] = (),
    hidden: Collection[int] = (),
    wary: bool = False,
    narrow: bool = False,
) -> _Gathered:
    """``wary``: there is reason to think of decimal commas; ``narrow``: a comma in a number would part a row of this file."""
    header = find_header(
        table, numbers, file=options.file, currency=repricer.currency, columns=options.columns, header_row=options.header_row,
        merged=merged,
    )  # fmt: skip
    told += header.told
    # What it is given has its units and points already, and what comes back is shown.
    plain = object.__new__(type(repricer))  # a copy would be made anew
    plain.__dict__.update(repricer.__dict__)
    plain._columns, plain._units, plain._decimal, plain._plain, plain._money = {}, None, None, False, "decimal"
    results = plain._results(plain._allocate(0))
    plain._added = [(one.name, isinstance(one, Money)) for one in results]
    titles = [_title(name) + (f" ({repricer.currency})" if money else "") for name, money in plain._added]
    old = own_columns(header.texts, titles)
    if old:
        told.append("our columns were there, and are replaced")
    places: list[int] = []
    cells_of: dict[int, list[Cell]] = {}
    faults: dict[int, str] = {}  # of whole rows
    sums: list[int] = []
    again: list[int] = []
    heads = len(header.texts)
    without = [[("" if any(low <= i < high for low, high in old) else text) for i, text in enumerate(texts)]
               for texts in (header.texts, header.upper)]  # fmt: skip
    columns_of = [header.matches[field].column for field in REQUIRED if field in header.matches]
    for place in range(header.last + 1, len(table)):
        row = table[place]
        if old and len(row) > old[0][0]:
            row = [None if any(low <= i < high for low, high in old) else cell for i, cell in enumerate(row)]
            if blank(row) and not blank(table[place]):
                cells_of[place] = [None] * len(titles)
                continue
        if blank(row):
            continue
        if any(same_texts(row, texts) for texts in without):
            again.append(numbers[place])
            continue
        total = is_total(row)
        if total is not None:
            if not all(column < len(row) and not blank([row[column]]) for column in columns_of) or "sides" in header.matches:
                sums.append(numbers[place])
                continue
            faults[len(places)] = f"bad_row: found {_shown(total)} with a weight and sides, expected a good or a row of sums"
        elif narrow and any(re.fullmatch(r"\s*[0-9]+\s*\S{0,3}\s*", str(cell or "")) for cell in row[heads:]):
            faults[len(places)] = (
                f"bad_row: found {len(row)} cells, expected at most {heads} as there are headers: a comma in a number needs quotes"
            )
        places.append(place)
    if sums:
        told.append(f"rows of sums are left alone: {_some_rows(sums)} (by their first word, as is common practice)")
    if again:
        told.append(f"headers that are repeated are left alone: {_some_rows(again)}")
    unseen = [numbers[place] for place in places if place in hidden]
    if unseen:
        told.append(f"hidden rows are priced too: {_some_rows(unseen)}")
    if left := left_alone(header.texts, header.matches, old):
        told.append(f"left alone: {', '.join(map(repr, left[:8]))}{' and more' if len(left) > 8 else ''}")
    lines = [numbers[place] for place in places]
    goods = [table[place] for place in places]
    if "order" in header.matches:
        _spread(goods, places, header.matches["order"], merged, lines, told)
    reader = _Reader(goods, lines, header.matches, repricer.currency, options, wary)
    columns = reader.columns(told)
    if faults:
        for i in faults:
            columns["weight"][i] = _UNREADABLE
    return _Gathered(header, plain, old, cells_of, places, faults, reader, columns)


def _spread(
    goods: list[Sequence[Cell]], places: Sequence[int], match: Match, merged: Sequence[tuple[int, int, int, int]],
    lines: Sequence[int], told: list[str],
) -> None:  # fmt: skip
    """One cell over several rows is the entry of each of them."""
    at = match.column
    index = {place: i for i, place in enumerate(places)}
    spread: list[int] = []
    for top, left, bottom, right in merged:
        if not left <= at <= right or bottom == top or top not in index or left >= len(goods[index[top]]):
            continue
        entry = goods[index[top]][left]
        for place in range(top + 1, bottom + 1):
            i = index.get(place)
            if i is not None and entry is not None:
                row = list(goods[i])
                row += [None] * (at + 1 - len(row))
                row[at] = entry
                goods[i] = row
                spread.append(lines[i])
    if spread:
        told.append(f"merged cells under {match.header!r} are the entry of all their rows: {_some_rows(spread)} as above")


def _some_rows(numbers: Sequence[int]) -> str:
    shown = ", ".join(map(str, numbers[:5]))
    return f"{'row' if len(numbers) == 1 else 'rows'} {shown}{' and more' if len(numbers) > 5 else ''}"


_UNREADABLE = "?"  # to the compiled part: its reason is then told in our words
_MILLIONTH = Decimal("0.000001")


class _Reader:
    """The columns of a catalogue out of cells: quantities as texts with their unit, and what could not be read."""

    def __init__(
        self, rows: Sequence[Sequence[Cell]], lines: Sequence[int], matches: Mapping[str, Match], currency: str, options: _Options,
        wary: bool,
    ) -> None:  # fmt: skip
        self._rows = rows
        self._lines = lines
        self._matches = matches
        self._currency = currency
        self._options = options
        self.faults: dict[tuple[str, int], str] = {}
        self.under: dict[tuple[str, int], str] = {}  #: of faults in one of two columns its header
        self.decimal = options.decimal or "."
        self._marks = self._find_marks(wary)

    def columns(self, told: list[str]) -> dict[str, npt.NDArray[Any]]:
        units = self._units(told)
        out: dict[str, npt.NDArray[Any]] = {}
        for field, match in self._matches.items():
            cells = self._cells(match)
            if match.also is not None:
                values = self._parts(field, match, match.also, told)
            elif field in ("weight", *_SIDES):
                values = self._measures(field, match, cells, units.get(field))
            elif field == "sides":
                order = match.axes or (0, 1, 2)
                for side, values in zip(_SIDES, self._three(match, cells, units.get(field), order)):
                    out[side] = _array(values)
                if match.axes is None:
                    told.append(f"the sides under {match.header!r} are length x width x height, the upright one last")
                continue
            elif field == "quantity":
                values = [self._whole(i, cell) for i, cell in enumerate(cells)]
            elif field == "value":
                values = self._amounts(match, cells, told)
            elif field in ("contents", "shape"):
                values = [None if cell is None else str(cell).strip() for cell in cells]
            elif field == "order":
                values = self._orders(match, cells)
            else:
                values = [_flag(cell) for cell in cells]
            out[field] = _array(values)
        for field, match in self._matches.items():
            seen = {cell.rpartition(" ")[2] for cell in self._cells(match) if isinstance(cell, WithUnit)}
            if seen and kinds_of(field):
                told.append(f"numbers under {match.header!r} that are shown with a unit are in that: {', '.join(sorted(seen))}")
        foreign = [f"{match.header!r} is the {field}" for field, match in self._matches.items() if is_foreign(match)]
        if foreign:
            told.append(", ".join(foreign))
        for field in self._matches:
            marks = self._marks.get(field)
            if marks is not None and marks.decimal == "," and not marks.said:
                told.append(f"a comma stands before decimals under {self._matches[field].header!r}")
        return out

    def is_empty(self, field: str, row: int) -> bool:
        match = self._matches[field]
        columns = [match.column] if match.also is None else [match.column, match.also.column]
        held = self._rows[row]
        return all(column >= len(held) or blank([held[column]]) for column in columns)

    def _cells(self, match: Match) -> list[Cell]:
        at = match.column
        return [row[at] if at < len(row) else None for row in self._rows]

    def _find_marks(self, wary: bool) -> dict[str, Marks]:
        """Of each column what stands before decimals: as was said, or as its texts say without a doubt."""
        fields = [field for field in self._matches if field in _NUMERIC]
        if self._options.decimal is not None:
            return dict.fromkeys(fields, Marks(self._options.decimal, said=True))
        found: dict[str, set[str]] = {}
        for field in fields:
            seen = found[field] = set()
            match = self._matches[field]
            for cell in {*self._cells(match), *(self._cells(match.also) if match.also is not None else ())}:
                if isinstance(cell, str) and ("," in cell or "." in cell) and not isinstance(cell, WithUnit):
                    mark = mark_of(cell)
                    if mark is not None:
                        seen.add(mark)
        everywhere = set().union(*found.values())
        if everywhere == {","}:
            self.decimal = ","
        out: dict[str, Marks] = {}
        for field, seen in found.items():
            if len(seen) == 1:
                (mark,) = seen
                out[field] = Marks(mark)
            else:
                out[field] = Marks(None, wary=wary or "," in everywhere)
        return out

    def _units(self, told: list[str]) -> dict[str, str]:
        """Of each measure its unit where one is said; a side takes that of the others."""
        given = self._given_units()
        out: dict[str, str] = {}
        for field, match in self._matches.items():
            kinds = kinds_of(field)
            if not kinds:
                continue
            said = given.get(field)
            if said is not None and match.unit is not None and said != match.unit and field not in self._options.columns:
                raise TarewiseError(
                    f"units: found {said!r} for {field}, whose header {match.header!r} says {match.unit!r}", pointer="/units"
                )
            unit = said or match.unit
            if unit is not None:
                out[field] = unit
        known = {out[side] for side in _SIDES if side in out and self._matches[side].also is None}
        bare = [side for side in _SIDES if side in self._matches and side not in out]
        if len(known) == 1 and bare:
            (unit,) = known
            for side in bare:
                out[side] = unit
            names = " and ".join(repr(self._matches[side].header) for side in bare)
            told.append(f"numbers under {names} are in {unit}, as the other sides")
        return out

    def _given_units(self) -> dict[str, str]:
        units = self._options.units
        if units is None:
            return {}
        pairs = list(units.items()) if isinstance(units, Mapping) else [("", word) for word in units.replace(",", " ").split()]
        headers = {match.header: field for field, match in self._matches.items()}
        out: dict[str, str] = {}
        for key, word in pairs:
            fields = [key] if key in ("weight", *_SIDES) else ["sides", *_SIDES] if key == "sides" else []
            if not key:
                fields = ["weight"] if word in WEIGHT_UNITS else ["sides", *_SIDES] if word in LENGTH_UNITS else []
            elif not fields and key in headers:
                fields = [headers[key]]
            if not fields or any(word not in kinds_of(field) for field in fields) or (not key and fields[0] in out):
                shown = repr(units) if not key else f"{word!r} for {key!r}"
                raise TarewiseError(
                    f'units: found {shown}, expected a unit of weight and one of length such as "oz in", or of weight, sides or a '
                    "header its unit",
                    pointer="/units",
                )
            for field in fields:
                if field != "sides" or key != "sides" or "sides" in self._matches:
                    out[field] = word
        return out

    def _fault(self, field: str, row: int, cell: Cell, expected: str) -> str:
        if isinstance(cell, str) and cell.startswith("="):
            expected = "its value, which the file does not keep: save it once in a spreadsheet program"
        self.faults[field, row] = f"found {_shown(cell)}, expected {expected}"
        return _UNREADABLE

    def _check(self, field: str, cells: Sequence[Cell], values: list[Any]) -> list[Any]:
        """What the library would refuse is told by what was typed."""
        parse, most = (_core.parse_weights, _MOST_NANOGRAMS) if field == "weight" else (_core.parse_lengths, _MOST_NANOMETRES)
        for i in np.flatnonzero((read := parse(values)) < 1).tolist() + np.flatnonzero(read > most).tolist():
            if values[i] is not None and (field, i) not in self.faults:
                values[i] = self._fault(field, i, cells[i], _EXPECTED[field])
        return values

    def _measures(self, field: str, match: Match, cells: Sequence[Cell], unit: str | None) -> list[Any]:
        read = weight if field == "weight" else length
        marks = self._marks[field]
        known: dict[Cell, Union[str, CellError]] = {}
        values: list[Any] = []
        bare: int | None = None
        worded = False
        for i, cell in enumerate(cells):
            if cell is None or (isinstance(cell, str) and not cell.strip()):
                values.append(None)
                continue
            key = cell if not isinstance(cell, bool) else str(cell)
            got = known.get(key)
            if got is None:
                got = known[key] = _measure(cell, unit, marks, read)
            if isinstance(got, CellError):
                if unit is None and bare is None and _number(cell) is not None:
                    bare = i
                values.append(self._fault(field, i, cell, got.expected))
            else:
                worded = worded or isinstance(cell, str)
                values.append(got)
        if bare is not None and not worded:  # not a cell, but the whole column
            raise HeaderError(
                f"found the number {_plainly(cells[bare])!r} under {match.header!r}, expected a unit in the header or the cell, "
                "or to be told by units",
                file=self._options.file, line=self._lines[bare], column=match.column + 1,
            )  # fmt: skip
        return self._check(field, cells, values)

    def _parts(self, field: str, match: Match, also: Match, told: list[str]) -> list[Any]:
        """A measure in two columns, added exactly: whole pounds and less than a pound of ounces, or one of them."""
        assert match.unit is not None and also.unit is not None
        read = weight if field == "weight" else length
        marks = self._marks[field]
        heads = (match.header[: -len(also.header) - 3], also.header)
        units = (match.unit, also.unit)
        of_one = PARTS[match.unit][1]
        values: list[Any] = []
        shown: list[str] = []
        known: dict[tuple[Cell, Cell], tuple[str, str | None]] = {}  # of two cells that many rows have; without faults
        for i, cells in enumerate(zip(self._cells(match), self._cells(also))):
            if (got_both := known.get(cells)) is not None and not any(isinstance(cell, bool) for cell in cells):
                shown.append(got_both[0])
                values.append(got_both[1])
                continue
            typed = [cell.strip() if isinstance(cell, str) else f"{_plainly(cell)} {unit}" for cell, unit in zip(cells, units)]
            shown.append(" and ".join(text for text, cell in zip(typed, cells) if cell is not None))
            texts: list[str | None] = []
            for cell, unit, head in zip(cells, units, heads):
                got = None if cell is None or (isinstance(cell, str) and not cell.strip()) else _measure(cell, unit, marks, read)
                if isinstance(got, CellError):
                    self.under[field, i] = head
                    got = self._fault(field, i, cell, got.expected)
                elif got is not None and (Fraction(self._digits(got)) if got.count(" ") == 1 else 1) < 0:
                    self.under[field, i] = head
                    got = self._fault(field, i, cell, _EXPECTED[field])
                texts.append(got)
            if _UNREADABLE in texts:
                values.append(_UNREADABLE)
                continue
            big, small = texts
            if big is None or small is None:
                values.append(big or small)
                known[cells] = shown[i], values[i]
                continue
            if [text.count(" ") == 1 and text.endswith(f" {unit}") for text, unit in zip((big, small), units)] != [True, True]:
                values.append(self._fault(field, i, shown[i], f"one in {units[0]} and one in {units[1]}"))
                continue
            much, rest = (Fraction(self._digits(text)) for text in (big, small))
            if much and rest and (much.denominator != 1 or rest >= of_one):
                if abs(rest - much * of_one) * 50 <= rest:
                    raise HeaderError(
                        f"found {typed[0]} under {heads[0]!r} and {typed[1]} under {heads[1]!r}, which is the same {field} twice, expected "
                        "one column: say which in columns",
                        file=self._options.file, line=self._lines[i], column=also.column + 1,
                    )  # fmt: skip
                values.append(self._fault(field, i, shown[i], f"whole {units[0]} and less than {of_one} {units[1]}"))
                continue
            values.append(f"{big} {small}" if much else small)
            known[cells] = shown[i], values[i]
        told.append(f"the {field} is what stands under {heads[0]!r} and {heads[1]!r}, added together")
        return self._check(field, shown, values)

    @staticmethod
    def _digits(text: str) -> str:
        """The number of "3-1/2 oz" as Fraction reads it."""
        number, _, _ = text.partition(" ")
        whole, dash, part = number.partition("-")
        return number if not dash or not whole else str(int(whole) + Fraction(part))

    def _three(self, match: Match, cells: Sequence[Cell], unit: str | None, order: tuple[int, int, int]) -> list[list[Any]]:
        marks = self._marks["sides"]
        out: list[list[Any]] = [[], [], []]
        for i, cell in enumerate(cells):
            if cell is None or (isinstance(cell, str) and not cell.strip()):
                got: Sequence[Any] = (None, None, None)
            else:
                try:
                    got = sides(str(cell), unit, marks, order)
                except CellError as error:
                    got = (self._fault("length", i, cell, error.expected), _UNREADABLE, _UNREADABLE)
            for values, value in zip(out, got):
                values.append(value)
        return [self._check(side, cells, values) for side, values in zip(_SIDES, out)]

    def _whole(self, row: int, cell: Cell) -> Any:
        if isinstance(cell, str) and cell.strip():
            try:
                value = Decimal(number(cell.strip(), self._marks["quantity"]))
            except CellError as error:
                if re.fullmatch(r"\s*[0-9]+[.,][0-9]+\s*", cell):
                    return self._fault("quantity", row, cell, error.expected)
                return cell
            return int(value) if value == value.to_integral_value() and value < 10**9 else cell
        return str(cell) if isinstance(cell, bool) else cell

    def _amounts(self, match: Match, cells: Sequence[Cell], told: list[str]) -> list[Any]:
        marks = self._marks["value"]
        values: list[Any] = []
        signs: set[str] = set()
        for i, cell in enumerate(cells):
            if isinstance(cell, bool) or cell is None or (isinstance(cell, str) and not cell.strip()):
                values.append(str(cell) if isinstance(cell, bool) else None)
            elif isinstance(cell, str):
                try:
                    values.append(amount(cell, self._currency, marks))
                    signs.update(sign for sign in "$\u20ac\u00a3\u00a5" if sign in cell)
                except CellError as error:
                    values.append(self._fault("value", i, cell, error.expected))
            else:
                values.append(_exact(cell))
        for sign in sorted(signs):
            told.append(f"{sign!r} under {match.header!r} is {self._currency}, the currency of the totals")
        return values

    def _orders(self, match: Match, cells: Sequence[Cell]) -> list[Any]:
        values: list[Any] = []
        for i, cell in enumerate(cells):
            try:
                values.append(order_of(cell))
            except ValueError:
                raise TarewiseError(
                    f"{order_fault(cell)} under {match.header!r}",
                    file=self._options.file, line=self._lines[i], column=match.column + 1,
                ) from None  # fmt: skip
        return values


def _array(values: Sequence[Any]) -> npt.NDArray[Any]:
    out = np.empty(len(values), object)
    out[:] = values
    return out


def _exact(cell: Union[int, float, Decimal]) -> Union[int, Decimal]:
    """As ``reprice`` takes numbers: to the nearest millionth."""
    if isinstance(cell, int):
        return cell
    value = Decimal(repr(cell)) if isinstance(cell, float) else cell
    if value.as_tuple().exponent < -6:  # type: ignore[operator]  # finite
        value = value.quantize(_MILLIONTH, ROUND_HALF_UP)
    return value


def _measure(cell: Cell, unit: str | None, marks: Marks, read: Callable[..., str]) -> Union[str, CellError]:
    if isinstance(cell, WithUnit):
        return str(cell)
    try:
        if isinstance(cell, (int, float, Decimal)) and not isinstance(cell, bool):
            if unit is None:
                return CellError("a unit with it, as in the rest of the column")
            return f"{_exact(cell):f} {unit}"
        return read(str(cell), unit, marks)
    except CellError as error:
        return error
    except ArithmeticError:
        return CellError("a number of fewer digits")


def _plainly(cell: Cell) -> str:
    return f"{cell:f}" if isinstance(cell, Decimal) else str(cell)


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


def _summary(
    added: Sequence[str], rows: Sequence[Sequence[Cell]], repricer: Repricer, about: Sequence[tuple[Cell, ...]], told: Sequence[str]
) -> list[tuple[Cell, ...]]:
    out: list[tuple[Cell, ...]] = [("Summary", None, None)]
    out.append(("Rows", len(rows), None))
    out.append(("Priced", sum(row[-1] is None for row in rows), None))
    out += about
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
    if told:
        out.append((None, None, None))
        out.append(("Guessed, or left alone", None, None))
        out += [(text, None, None) for text in told]
    return out


def _number(cell: Cell) -> Cell:
    """The cell where it is a number without a unit."""
    if isinstance(cell, bool) or cell is None or not isinstance(cell, str):
        return None if isinstance(cell, bool) else cell
    return cell if re.fullmatch(r"\s*[0-9][0-9.,]*\s*|\s*[.,][0-9]+\s*", cell) else None


_TICKS: Mapping[str, str] = {"x": "yes", "y": "yes", "n": "no"}


def _flag(cell: Cell) -> Cell:
    """As the columns of a catalogue take it, and a tick as people put it."""
    if isinstance(cell, str):
        return _TICKS.get(cell.strip().lower(), cell)
    if cell is not None and not isinstance(cell, bool):
        return bool(cell) if cell in (0, 1) else str(cell)
    return cell


# ---- CSV ----

_DELIMITERS = (",", ";", "\t", "|")
_NAMES = {",": "commas", ";": "semicolons", "\t": "tabs", "|": "bars"}


@dataclasses.dataclass
class _Lines:
    """A CSV file by rows, with the very text of each."""

    rows: list[list[str]]
    numbers: list[int]
    raw: list[str]


def _lines_of(content: str, delimiter: str, file: str, most: int | None = None) -> _Lines:
    taken: list[str] = []
    out = _Lines([], [], [])
    number = 1

    def lines() -> Iterator[str]:
        for line in io.StringIO(content, newline=""):
            taken.append(line)
            yield line

    try:
        for row in csv.reader(lines(), delimiter=delimiter):
            out.rows.append(row)
            out.numbers.append(number)
            out.raw.append("".join(taken))
            number += len(taken)
            taken.clear()
            if len(out.rows) == most:
                break
    except csv.Error as error:
        raise TarewiseError(f"found a line that cannot be read: {error}", file=file, line=number) from None
    return out


def _find_delimiter(content: str, repricer: Repricer, options: _Options) -> tuple[str, bool]:
    """The delimiter by which the headers match; where none does, the one that the first line has most of."""
    found = []
    for delimiter in _DELIMITERS:
        try:
            held = _lines_of(content, delimiter, options.file, 40)
            if _all_blank(held.rows):
                continue
            find_header(
                held.rows, held.numbers, file=options.file, currency=repricer.currency, columns=options.columns,
                header_row=options.header_row,
            )  # fmt: skip
            found.append(delimiter)
        except TarewiseError:
            continue
    if len(found) == 1:
        return found[0], found[0] != ","
    if found:
        names = " and by ".join(_NAMES[one] for one in found)
        raise HeaderError(f"found headers that match by {names}, expected one: say delimiter", file=options.file, line=1)
    first = next((line for line in content.splitlines() if line.strip()), "")
    return max(_DELIMITERS, key=first.count), False


def _csv(
    source: pathlib.Path, repricer: Repricer, options: _Options, delimiter: str | None, encoding: str | None, steps: _Steps
) -> tuple[bytes, Priced, bytes]:
    """The lines as they are, with ours behind the widest or in the place of ours; and those of the summary."""
    file = str(source)
    content, characters = read_text(source.read_bytes(), file, encoding)
    told: list[str] = [] if characters.told is None else [characters.told]
    if delimiter is None:
        delimiter, guessed = _find_delimiter(content, repricer, options)
        if guessed:
            told.append(f"fields are parted by {_NAMES[delimiter]}")
    held = _lines_of(content, delimiter, file)
    steps.reached(20)
    rows, raw = held.rows, held.raw
    if not rows or _all_blank(rows):
        raise HeaderError("found an empty file, expected a header", file=file)
    if len(list(csv.reader([*raw[-1].splitlines(keepends=True), "\n", "end\n"], delimiter=delimiter))) < 2:
        raise TarewiseError("found a quote that never ends, expected its end", file=file, line=held.numbers[-1])
    result = _price(
        rows, held.numbers, repricer, options, told, steps=steps, wary=delimiter == ";",
        narrow=delimiter == "," and options.decimal != ".",
    )  # fmt: skip
    steps.reached(70)
    width = max(map(len, rows))
    old = result.old
    place_of_ours = width
    if old:
        low, high = old[0]
        theirs = (i + 1 for row in rows for i, cell in enumerate(row) if cell.strip() and not in_runs(i, old))
        without = max(theirs, default=0)
        if high - low == len(result.added) or without <= low:
            place_of_ours = low
    given: dict[int, Sequence[Cell]] = {result.header: result.added, **result.cells}
    ending = raw[0][len(raw[0].rstrip("\r\n")) :] or "\n"
    out: list[str] = []
    for place, (row, text) in enumerate(zip(rows, raw)):
        if place not in given:
            out.append(text)
            continue
        body = text.rstrip("\r\n")
        ours = _texts_of(given[place], delimiter, result.decimal)
        after = text[len(body) :] or ending
        if not old:
            # An empty field of its own alone is one, too.
            out.append(body + delimiter * (width - max(len(row), 1) + 1) + delimiter.join(ours) + after)
            continue
        pieces = _split(body, delimiter)
        pieces = [("" if any(a <= i < b for a, b in old) else piece) for i, piece in enumerate(pieces)]
        pieces += [""] * (place_of_ours + len(ours) - len(pieces))
        pieces[place_of_ours : place_of_ours + len(ours)] = ours
        out.append(delimiter.join(pieces) + after)
    lines = [delimiter.join(_texts_of(row, delimiter, result.decimal)) + "\n" for row in result.summary()]
    steps.reached(95)
    data, summary = (characters.mark + characters.encode("".join(text), file) for text in (out, lines))
    return data, result.priced(), summary


def _texts_of(cells: Sequence[Cell], delimiter: str, decimal: str) -> list[str]:
    """Fields as they stand in the file, with its decimal mark."""
    out = []
    for cell in cells:
        text = shown(cell)
        if decimal == "," and isinstance(cell, Decimal):
            text = text.replace(".", ",")
        if any(sign in text for sign in (delimiter, '"', "\r", "\n")):
            text = '"' + text.replace('"', '""') + '"'
        out.append(text)
    return out


def _split(line: str, delimiter: str) -> list[str]:
    """The fields of a row as they stand, with their quotes."""
    out: list[str] = []
    begin = at = 0
    while True:
        if line[at : at + 1] == '"':  # to its end; a quote in it stands twice
            at += 1
            while True:
                at = line.index('"', at) + 1
                if line[at : at + 1] != '"':
                    break
                at += 1
        end = line.find(delimiter, at)
        if end < 0:
            out.append(line[begin:])
            return out
        out.append(line[begin:end])
        begin = at = end + 1
