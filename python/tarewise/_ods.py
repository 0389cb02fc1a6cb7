"""OpenDocument spreadsheets: the content gets cells behind the widest row and a sheet behind the others, the rest is copied."""

from __future__ import annotations

import dataclasses
import re
import zipfile
from collections.abc import Mapping, Sequence
from decimal import Decimal
from xml.parsers import expat

from tarewise import _xml
from tarewise._xml import Cell, Edits
from tarewise.errors import TarewiseError

_OFFICE = "urn:oasis:names:tc:opendocument:xmlns:office:1.0"
_TABLE = "urn:oasis:names:tc:opendocument:xmlns:table:1.0"
_TEXT = "urn:oasis:names:tc:opendocument:xmlns:text:1.0"
_CONTENT = "content.xml"
_MOST_COLUMNS = 16_384
_CELLS = (f"{_TABLE} table-cell", f"{_TABLE} covered-table-cell")
_HELD = {f"{_TABLE} formula", *(f"{_OFFICE} {kind}value" for kind in ("", "string-", "boolean-", "date-", "time-"))}
_ASIDE = (f"{_OFFICE} annotation", f"{_TEXT} note", f"{_TEXT} ruby-text")


@dataclasses.dataclass
class _Piece:
    """A cell: where it is in the content, what it holds, and for how many columns it stands."""

    first: int
    last: int
    count: int
    value: Cell
    used: bool


@dataclasses.dataclass
class _Row:
    first: int
    last: int
    count: int  #: rows that it stands for
    cells: list[_Piece]

    def values(self) -> list[Cell]:
        out: list[Cell] = []
        for cell in self.cells:
            out += [cell.value] * (cell.count if cell.value is not None else min(cell.count, _MOST_COLUMNS))
        while out and out[-1] is None:
            out.pop()
        return out


class Document:
    """A document, and one of its sheets by rows: the first is the header. Empty rows in runs are told as one."""

    def __init__(self, data: bytes, file: str, sheet: str | None) -> None:
        self._data = data
        self._file = file
        try:
            self._content = _xml.as_utf8(_xml.read_parts(data)[_CONTENT])
            scan = _Scan(self._content, sheet)
        except (zipfile.BadZipFile, KeyError, ValueError, expat.ExpatError) as error:
            raise TarewiseError(f"found no document that can be read ({error}), expected an .ods file", file=file) from None
        self.names = scan.names
        if not self.names:
            raise TarewiseError("found no sheet, expected one", file=file)
        if sheet is not None and sheet not in self.names:
            raise TarewiseError(f"found no sheet {sheet!r}, the file has {', '.join(self.names)}", file=file)
        self._scan = scan
        self.rows: list[list[Cell]] = []
        self.lines: list[int] = []  #: of each row its number on the sheet, from 1
        self._elements: list[_Row] = []
        line = 1
        for row in scan.rows:
            values = row.values()
            for n in range(1 if _xml.blank(values) else row.count):
                self.rows.append(values)
                self.lines.append(line + n)
                self._elements.append(row)
            line += row.count
        while self.rows and _xml.blank(self.rows[-1]):
            self.rows.pop()
            self.lines.pop()
            self._elements.pop()

    def with_columns(self, added: Sequence[str], cells: Mapping[int, Sequence[Cell]], summary: Sequence[Sequence[Cell]]) -> bytes:
        scan = self._scan
        width = max([scan.reach, *(_end(row) for row in scan.rows)])
        if width + len(added) > _MOST_COLUMNS:
            raise TarewiseError(
                f"found {width} columns in use, expected room for {len(added)} more: a sheet has {_MOST_COLUMNS:,}",
                file=self._file,
            )
        given = {0: list(added), **cells}
        edits = Edits(self._content)
        self._show(edits, width, width + len(added))
        done: set[int] = set()
        for place, row in enumerate(self._elements):
            if row.first in done or place not in given:
                continue
            done.add(row.first)
            alike = [given[place + n] for n in range(row.count)]
            edits.raw(row.first, row.last, b"".join(self._row(row, width, values) for values in alike))
        table = "".join(
            scan.named("table-row", "", "".join(scan.cell(value) for value in row)) for row in summary
        )
        title = next(t for t in ("Shipping summary", *(f"Shipping summary {n}" for n in range(2, 1000))) if t not in self.names)
        page = scan.named("table", f' {scan.table}name="{title}"', scan.named("table-column", "", "") + table)
        edits.put(scan.end, scan.end, page)
        return _xml.write_parts(self._data, {_CONTENT: edits.apply()})

    def _show(self, edits: Edits, first: int, last: int) -> None:
        """A run of hidden columns that goes on where ours are is parted."""
        scan = self._scan
        repeated, visibility = scan.table + "number-columns-repeated", scan.table + "visibility"
        at = 0
        for begin, end, count, hidden in scan.columns:
            low, high = at, at + count
            at = high
            if not hidden or high <= first or low >= last:
                continue
            tag = _xml.tag_at(self._content, begin)
            rest = self._content[begin + len(tag.encode("utf-8", "surrogateescape")) : end].decode("utf-8", "surrogateescape")
            seen = _xml.set_attribute(tag, visibility, None)
            pieces = [(min(high, first) - low, tag), (min(high, last) - max(low, first), seen), (high - max(low, last), tag)]
            new = "".join(_xml.set_attribute(piece, repeated, n if n > 1 else None) + rest for n, piece in pieces if n > 0)
            edits.put(begin, end, new)

    def _row(self, row: _Row, width: int, values: Sequence[Cell]) -> bytes:
        """One row with ours at their place, instead of as many empty ones; what is empty behind them stays."""
        scan, content = self._scan, self._content
        tag = _xml.tag_at(content, row.first)
        one = _xml.set_attribute(tag, scan.table + "number-rows-repeated", None)
        if _xml.closed(one):
            one = one[:-2].rstrip() + ">"
        out: list[str | bytes] = [one]
        ours = "".join(scan.cell(value) for value in values)
        after = width + len(values)
        at = 0
        placed = False
        for cell in row.cells:
            first, last = at, at + cell.count
            at = last
            if last <= width:
                out.append(content[cell.first : cell.last])
                continue
            if first < width:
                out.append(self._some(cell, width - first))
            if not placed:
                out.append(ours)
                placed = True
            if last > after:
                out.append(self._some(cell, last - max(first, after)))
        if not placed:
            if at < width:
                repeated = f' {scan.table}number-columns-repeated="{width - at}"'
                out.append(scan.named("table-cell", repeated, ""))
            out.append(ours)
        out.append(f"</{scan.table}table-row>")
        return b"".join(
            piece if isinstance(piece, bytes) else piece.encode("utf-8", "surrogateescape") for piece in out
        )

    def _some(self, cell: _Piece, count: int) -> bytes:
        """An empty cell again, for fewer columns."""
        held = self._content[cell.first : cell.last]
        tag = _xml.tag_at(held, 0)
        name = self._scan.table + "number-columns-repeated"
        new = _xml.set_attribute(tag, name, count if count > 1 else None)
        return new.encode("utf-8", "surrogateescape") + held[len(tag.encode("utf-8", "surrogateescape")) :]


def _end(row: _Row) -> int:
    out = at = 0
    for cell in row.cells:
        at += cell.count
        if cell.used:
            out = at
    return out


class _Scan:
    """The rows and cells of one sheet, and where they are in the content."""

    def __init__(self, content: bytes, sheet: str | None) -> None:
        self._content = content
        self._sheet = sheet
        self.names: list[str] = []
        self.rows: list[_Row] = []
        self.reach = 0  #: the last column that a picture or a shape lies over
        self.end = 0  #: behind the last sheet
        self.columns: list[tuple[int, int, int, bool]] = []  #: (begin, end, how many, hidden)
        self._table = 0
        self._prefixes: dict[str, str] = {}
        self._stack: list[str] = []
        self._active = False
        self._row: _Row | None = None
        self._cell: _Piece | None = None
        self._depth = 0  #: of the cell on the stack
        self._aside = 0
        self._attributes: dict[str, str] = {}
        self._words: list[list[str]] = []
        parser = expat.ParserCreate(namespace_separator=" ")
        parser.StartNamespaceDeclHandler = lambda prefix, uri: self._prefixes.setdefault(uri, prefix or "")
        parser.StartElementHandler = self._start
        parser.EndElementHandler = self._finish
        parser.CharacterDataHandler = self._text
        self._parser = parser
        parser.Parse(content, True)
        del self._parser
        self.table = self._prefix(_TABLE)

    def _prefix(self, uri: str) -> str:
        prefix = self._prefixes.get(uri, "")
        return prefix + ":" if prefix else ""

    def named(self, name: str, attributes: str, inside: str) -> str:
        tag = self.table + name
        return f"<{tag}{attributes}>{inside}</{tag}>" if inside else f"<{tag}{attributes}/>"

    def cell(self, value: Cell) -> str:
        if value is None:
            return self.named("table-cell", "", "")
        office, text = self._prefix(_OFFICE), self._prefix(_TEXT)
        number = isinstance(value, (int, Decimal)) and not isinstance(value, bool)
        kind = f' {office}value-type="float" {office}value="{value}"' if number else f' {office}value-type="string"'
        if text:
            words = f"<{text}p>{_xml.text(shown(value))}</{text}p>"
        else:  # a document without one word
            words = f'<text:p xmlns:text="{_TEXT}">{_xml.text(shown(value))}</text:p>'
        return self.named("table-cell", kind, words)

    def _start(self, name: str, attributes: dict[str, str]) -> None:
        index = self._parser.CurrentByteIndex
        self._stack.append(name)
        if name == f"{_TABLE} table" and self._stack.count(name) == 1 and self._stack[-2] == f"{_OFFICE} spreadsheet":
            title = attributes.get(f"{_TABLE} name", "")
            self._active = title == self._sheet if self._sheet is not None else not self.names
            self.names.append(title)
            self._table = index
            return
        if not self._active:
            return
        address = attributes.get(f"{_TABLE} end-cell-address")
        if address is not None:
            self.reach = max(self.reach, _xml.column_of(address.rpartition(".")[2]))
        if self._cell is not None:
            self._cell.used = True
            if name in _ASIDE:
                self._aside += 1
            elif not self._aside and name.startswith(_TEXT + " "):
                self._mark(name, attributes)
        elif name == f"{_TABLE} table-column":
            count = int(attributes.get(f"{_TABLE} number-columns-repeated", 1))
            hidden = attributes.get(f"{_TABLE} visibility", "visible") != "visible"
            self.columns.append((index, index, count, hidden))
        elif name == f"{_TABLE} table-row":
            self._row = _Row(index, index, int(attributes.get(f"{_TABLE} number-rows-repeated", 1)), [])
        elif name in _CELLS and self._row is not None:
            count = int(attributes.get(f"{_TABLE} number-columns-repeated", 1))
            spans = int(attributes.get(f"{_TABLE} number-columns-spanned", 1)) > 1
            held = any(key in _HELD for key in attributes)
            used = spans or held or name == _CELLS[1]
            self._cell = _Piece(index, index, count, None, used)
            self._row.cells.append(self._cell)
            self._depth = len(self._stack)
            self._attributes = attributes
            self._words = []

    def _mark(self, name: str, attributes: dict[str, str]) -> None:
        if name == f"{_TEXT} p" and len(self._stack) == self._depth + 1:
            self._words.append([])
        elif self._words and name == f"{_TEXT} s":
            self._words[-1].append(" " * int(attributes.get(f"{_TEXT} c", 1)))
        elif self._words and name == f"{_TEXT} tab":
            self._words[-1].append("\t")
        elif self._words and name == f"{_TEXT} line-break":
            self._words[-1].append("\n")

    def _text(self, words: str) -> None:
        if self._cell is not None and not self._aside and self._words and f"{_TEXT} p" in self._stack[self._depth :]:
            self._words[-1].append(words)

    def _finish(self, name: str) -> None:
        index = self._parser.CurrentByteIndex
        depth = len(self._stack)
        self._stack.pop()
        if self._cell is not None:
            if depth > self._depth:
                if name in _ASIDE:
                    self._aside -= 1
                return
            self._cell.last = self._behind(self._cell.first, index)
            self._cell.value = self._value()
            self._cell = None
        elif name == f"{_TABLE} table-column" and self._active:
            begin, _, count, hidden = self.columns[-1]
            self.columns[-1] = (begin, self._behind(begin, index), count, hidden)
        elif name == f"{_TABLE} table-row" and self._active and self._row is not None:
            self._row.last = self._behind(self._row.first, index)
            self.rows.append(self._row)
            self._row = None
        elif name == f"{_TABLE} table" and self._stack[-1] == f"{_OFFICE} spreadsheet":
            self._active = False
            self.end = self._behind(self._table, index)

    def _behind(self, first: int, index: int) -> int:
        """Behind an element that begins at ``first`` and whose end is told at ``index``."""
        tag = _xml.tag_at(self._content, first)
        if _xml.closed(tag):
            return first + len(tag.encode("utf-8", "surrogateescape"))
        return self._content.index(b">", index) + 1

    def _value(self) -> Cell:
        attributes = self._attributes
        kind = attributes.get(f"{_OFFICE} value-type")
        words = "\n".join("".join(line) for line in self._words)
        if kind in ("float", "currency", "percentage"):
            try:
                number = float(attributes.get(f"{_OFFICE} value", ""))
            except ValueError:
                return words or None
            return int(number) if number.is_integer() and abs(number) < 2**53 else number
        if kind == "boolean":
            return attributes.get(f"{_OFFICE} boolean-value") == "true"
        if not words and f"{_TABLE} formula" in attributes and kind is None:  # what it comes to was never kept
            return re.sub(r"^\w+:(?==)", "", attributes[f"{_TABLE} formula"])
        return words or attributes.get(f"{_OFFICE} string-value") or None


def shown(cell: Cell) -> str:
    if cell is None:
        return ""
    if isinstance(cell, Decimal):
        return f"{cell:.2f}" if cell == cell.quantize(Decimal("0.01")) else f"{cell.normalize():f}"
    return str(cell)
