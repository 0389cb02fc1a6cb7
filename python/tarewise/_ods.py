"""OpenDocument spreadsheets: the content gets cells behind the widest row and a sheet behind the others, the rest is copied."""

from __future__ import annotations

import re
import zipfile
from collections.abc import Callable, Mapping, Sequence
from decimal import Decimal
from xml.parsers import expat

from tarewise import _xml
from tarewise._cells import unit_shown
from tarewise._xml import Cell, Edits, WithUnit
from tarewise.errors import TarewiseError

_OFFICE = "urn:oasis:names:tc:opendocument:xmlns:office:1.0"
_TABLE = "urn:oasis:names:tc:opendocument:xmlns:table:1.0"
_TEXT = "urn:oasis:names:tc:opendocument:xmlns:text:1.0"
_STYLE = "urn:oasis:names:tc:opendocument:xmlns:style:1.0"
_NUMBER = "urn:oasis:names:tc:opendocument:xmlns:datastyle:1.0"
_CONTENT = "content.xml"
_TITLE = "Shipping summary"
_MOST_COLUMNS = 16_384
_COVERED = f"{_TABLE} covered-table-cell"
_CELLS = frozenset({f"{_TABLE} table-cell", _COVERED})
_FORMULA = f"{_TABLE} formula"
_HELD = frozenset({_FORMULA, *(f"{_OFFICE} {kind}value" for kind in ("", "string-", "boolean-", "date-", "time-"))})
_ASIDE = frozenset({f"{_OFFICE} annotation", f"{_TEXT} note", f"{_TEXT} ruby-text"})
_GROUPS = frozenset(
    f"{_TABLE} {name}"
    for name in ("table-columns", "table-header-columns", "table-column-group", "table-rows", "table-header-rows", "table-row-group")
)
_TABLE_TABLE, _TABLE_ROW, _COLUMN = f"{_TABLE} table", f"{_TABLE} table-row", f"{_TABLE} table-column"
_SPREADSHEET, _AUTOMATIC, _BODY = f"{_OFFICE} spreadsheet", f"{_OFFICE} automatic-styles", f"{_OFFICE} body"
_NAME, _STYLE_NAME, _DEFAULT_STYLE = f"{_TABLE} name", f"{_TABLE} style-name", f"{_TABLE} default-cell-style-name"
_ROWS_SPANNED = f"{_TABLE} number-rows-spanned"
_REPEATED, _ROWS_REPEATED = f"{_TABLE} number-columns-repeated", f"{_TABLE} number-rows-repeated"
_SPANNED, _VISIBILITY, _END_CELL = f"{_TABLE} number-columns-spanned", f"{_TABLE} visibility", f"{_TABLE} end-cell-address"
_TEXT_START, _P, _S, _C = f"{_TEXT} ", f"{_TEXT} p", f"{_TEXT} s", f"{_TEXT} c"
_TAB, _BREAK = f"{_TEXT} tab", f"{_TEXT} line-break"
_VALUE_TYPE, _VALUE = f"{_OFFICE} value-type", f"{_OFFICE} value"
_BOOLEAN, _STRING = f"{_OFFICE} boolean-value", f"{_OFFICE} string-value"


_BEHIND = re.compile(r"-?[0-9][0-9.,\s]*([^0-9]+)")


class _Piece:
    """A cell: where it is in the content, what it holds, and for how many columns it stands."""

    __slots__ = ("count", "first", "formula", "last", "style", "used", "value")

    def __init__(self, first: int, count: int, style: str | None, formula: bool, used: bool) -> None:
        self.first = first
        self.last = first
        self.count = count
        self.value: Cell = None
        self.style = style
        self.formula = formula
        self.used = used


class _Row:
    __slots__ = ("cells", "count", "first", "hidden", "last", "spans", "style")

    def __init__(self, first: int, count: int, style: str | None, hidden: bool) -> None:
        self.first = first
        self.last = first
        self.count = count  #: rows that it stands for
        self.style = style
        self.hidden = hidden
        self.cells: list[_Piece] = []
        self.spans: list[tuple[int, int, int]] = []  #: of cells over several rows the column, the columns and the rows

    def values(self) -> list[Cell]:
        out: list[Cell] = []
        for cell in self.cells:
            if cell.count == 1:
                out.append(cell.value)
            else:
                out += [cell.value] * (cell.count if cell.value is not None else min(cell.count, _MOST_COLUMNS))
        while out and out[-1] is None:
            out.pop()
        return out


class Document:
    """A document, and one of its sheets by rows. Empty rows in runs are told as one."""

    def __init__(self, data: bytes, file: str, sheet: str | None, tell: Callable[[int, int], None] | None = None) -> None:
        self._data = data
        self._file = file
        try:
            self._content = _xml.as_utf8(_xml.read_parts(data)[_CONTENT])
            if sheet is None:
                sheet = _first_seen(self._content)
            scan = _Scan(self._content, sheet, tell)
        except (zipfile.BadZipFile, KeyError, ValueError, expat.ExpatError, NotImplementedError, RuntimeError, OSError,
                EOFError) as error:  # fmt: skip
            raise TarewiseError(f"found no document that can be read ({error}), expected an .ods file", file=file) from None
        self.names = scan.names
        if not self.names:
            raise TarewiseError("found no sheet, expected one", file=file)
        if sheet is not None and sheet not in self.names:
            raise TarewiseError(f"found no sheet {sheet!r}, the file has {', '.join(self.names)}", file=file)
        self.sheet = self.names[0] if sheet is None else sheet
        self.seen = [name for name in self.names if name not in _hidden(self._content, scan)] or self.names
        self._scan = scan
        self.rows: list[list[Cell]] = []
        self.lines: list[int] = []  #: of each row its number on the sheet, from 1
        self._elements: list[_Row] = []
        self.hidden: set[int] = set()  #: places of rows that are not shown
        spans: list[tuple[int, int, int, int]] = []  # of rows by their numbers
        line = 1
        for row in scan.rows:
            values = row.values()
            spans += [(line, column, line + rows - 1, column + columns - 1) for column, columns, rows in row.spans]
            for n in range(1 if _xml.blank(values) else row.count):
                if row.hidden:
                    self.hidden.add(len(self.rows))
                self.rows.append(values)
                self.lines.append(line + n)
                self._elements.append(row)
            line += row.count
        while self.rows and _xml.blank(self.rows[-1]):
            self.rows.pop()
            self.lines.pop()
            self._elements.pop()
        place = {number: at for at, number in enumerate(self.lines)}
        #: Areas over several rows, by places: top, left, bottom, right.
        self.merged = [
            (place[top], left, max(place[n] for n in range(top, bottom + 1) if n in place), right)
            for top, left, bottom, right in spans
            if top in place
        ]

    def with_columns(
        self,
        added: Sequence[str],
        cells: Mapping[int, Sequence[Cell]],
        summary: Sequence[Sequence[Cell]],
        *,
        header: int = 0,
        old: Sequence[tuple[int, int]] = (),
        tell: Callable[[int, int], None] | None = None,
        told: list[str] | None = None,
    ) -> bytes:
        """As that of a workbook."""
        scan = self._scan
        width = max([scan.reach, *(_end(row) for row in scan.rows)])
        if old:
            without = max([scan.reach, *(_end(row, old) for row in scan.rows)])
            if old[0][1] - old[0][0] == len(added) or without <= old[0][0]:
                width = old[0][0]
        if width + len(added) > _MOST_COLUMNS:
            raise TarewiseError(
                f"found {width} columns in use, expected room for {len(added)} more: a sheet has {_MOST_COLUMNS:,}",
                file=self._file,
            )
        given = {header: list(added), **cells}
        edits = Edits(self._content)
        styles = _Styles(self._content, scan)
        heads = self.rows[header]
        beside = max((i for i, cell in enumerate(heads) if cell is not None and not _xml.in_runs(i, old)), default=0)
        kept: list[str] = []
        self._show(edits, width, width + len(added), styles.column(old))
        done = -1
        for place, row in enumerate(self._elements):
            if row.first == done or place not in given:
                continue
            done = row.first
            # Rows that are alike get answers that are alike, or that differ by their orders.
            new = [
                self._row(row, width, given[place + n], old, styles, beside, place == header, kept, self.lines[place] + n)
                for n in range(row.count)
            ]
            edits.raw(row.first, row.last, b"".join(new))
            if tell is not None and place % 1000 == 0:
                tell(place, len(self._elements))
        if kept and told is not None:
            told.append(f"formulas stand where ours would, and stay: {', '.join(kept[:5])}{' and more' if len(kept) > 5 else ''}")
        styles.put(edits)
        self._put_summary(edits, summary, styles, bool(old), told)
        return _xml.write_parts(self._data, {_CONTENT: edits.apply()})

    def _put_summary(
        self, edits: Edits, summary: Sequence[Sequence[Cell]], styles: _Styles, again: bool, told: list[str] | None
    ) -> None:
        scan = self._scan
        table = "".join(
            scan.named("table-row", "", "".join(scan.cell(value, styles.base(value)) for value in row)) for row in summary
        )

        def page(title: str) -> str:
            return scan.named("table", f' {scan.table}name="{title}"', scan.named("table-column", "", "") + table)

        for name in self.names:
            if name == self.sheet or not _xml.is_summary_title(name, _TITLE):
                continue
            held = _Scan(self._content, name)
            if not _xml.is_summary([row.values() for row in held.rows], self.sheet, again):
                continue
            if max(map(_end, held.rows), default=0) <= 3 and not held.reach and not held.more:
                edits.put(held.begin, held.behind, page(name))
                return
            if told is not None:
                told.append(f"the sheet {name!r} holds more than the summary and is left alone; there is another one")
        title = next(t for t in (_TITLE, *(f"{_TITLE} {n}" for n in range(2, 1000))) if t not in self.names)
        edits.put(scan.end, scan.end, page(title))

    def _show(self, edits: Edits, first: int, last: int, style: str | None) -> None:
        """Our columns are seen, and as wide as theirs are. A run of columns that goes on where ours are is parted."""
        scan = self._scan
        repeated, visibility = scan.table + "number-columns-repeated", scan.table + "visibility"
        at = 0
        end_of_all = None
        for begin, end, count, hidden in scan.columns:
            low, high = at, at + count
            at = high
            end_of_all = end
            if high <= first or low >= last or (style is None and not hidden):
                continue
            tag = _xml.tag_at(self._content, begin)
            rest = self._content[begin + len(tag.encode("utf-8", "surrogateescape")) : end].decode("utf-8", "surrogateescape")
            seen = _xml.set_attribute(tag, visibility, None)
            if style is not None:
                seen = _xml.set_attribute(seen, scan.table + "style-name", style)
            pieces = [(min(high, first) - low, tag), (min(high, last) - max(low, first), seen), (high - max(low, last), tag)]
            new = "".join(_xml.set_attribute(piece, repeated, n if n > 1 else None) + rest for n, piece in pieces if n > 0)
            edits.put(begin, end, new)
        if end_of_all is not None and style is not None and at < last and scan.plain_columns:
            more = ""
            if at < first:
                gap = f' {repeated}="{first - at}"' if first - at > 1 else ""
                more += scan.named("table-column", gap, "")
            count = last - max(at, first)
            many = f' {repeated}="{count}"' if count > 1 else ""
            more += scan.named("table-column", f' {scan.table}style-name="{style}"{many}', "")
            edits.put(end_of_all, end_of_all, more)

    def _row(
        self, row: _Row, width: int, values: Sequence[Cell], old: Sequence[tuple[int, int]], styles: _Styles, beside: int,
        is_header: bool, kept: list[str], line: int,
    ) -> bytes:  # fmt: skip
        """One row with ours at their place, instead of as many empty ones; what is empty behind them stays."""
        scan, content = self._scan, self._content
        tag = _xml.tag_at(content, row.first)
        one = _xml.set_attribute(tag, scan.table + "number-rows-repeated", None) if row.count > 1 else tag
        if _xml.closed(one):
            one = one[:-2].rstrip() + ">"
        after = width + len(values)
        runs = sorted([*((low, high) for low, high in old), (width, after)])
        out: list[tuple[int, str | bytes]] = []  # each with its column
        theirs: dict[int, str | None] = {}  # how our cells looked
        formulas: set[int] = set()
        before = runs[0][0]
        near: tuple[int, str | None] | None = None  # the cell that ours look like, and its column
        at = lead = 0  # before the first of ours all is copied at once
        for cell in row.cells:
            first = at
            at = last = at + cell.count
            if first <= beside:
                near = last - 1, cell.style
            if last <= before:
                lead = cell.last
                continue
            if cell.formula and old and any(low <= first < high for low, high in old):
                formulas.add(first)
                kept.append(f"{_xml.letters(first + 1)}{line}")
                out.append((first, content[cell.first : cell.last]))
                continue
            begin = first
            for low, high in runs:
                if begin < min(low, last):
                    out.append((begin, self._some(cell, min(low, last) - begin)))
                for column in range(max(low, begin), min(high, last)) if old else ():
                    if any(a <= column < b for a, b in old):
                        theirs[column] = cell.style
                begin = max(begin, min(high, last))
            if begin < last:
                out.append((begin, self._some(cell, last - begin)))
        if lead:
            out.append((-1, content[row.first + len(tag.encode("utf-8", "surrogateescape")) : lead]))
        neighbour = row.style
        if near is not None:
            neighbour = near[1] or row.style or styles.of_column(min(near[0], beside))
        for i, value in enumerate(values):
            column = width + i
            if column in formulas:
                continue
            style: str | None
            if column in theirs:
                style = theirs[column]
            else:
                style = neighbour if is_header else styles.of(neighbour, value)
            out.append((column, scan.cell(value, style)))
        for low, high in old:
            for column in range(low, high):
                if not width <= column < after and column not in formulas and column < at:
                    out.append((column, scan.cell(None, None)))
        if at < width:
            many = f' {scan.table}number-columns-repeated="{width - at}"' if width - at > 1 else ""
            out.append((at, scan.named("table-cell", many, "")))
        out.sort(key=lambda piece: piece[0])
        return b"".join(
            piece if isinstance(piece, bytes) else piece.encode("utf-8", "surrogateescape")
            for piece in (one, *(piece for _, piece in out), f"</{scan.table}table-row>")
        )

    def _some(self, cell: _Piece, count: int) -> bytes:
        """A cell again, for fewer columns."""
        held = self._content[cell.first : cell.last]
        if cell.count == count:
            return held
        tag = _xml.tag_at(held, 0)
        name = self._scan.table + "number-columns-repeated"
        new = _xml.set_attribute(tag, name, count if count > 1 else None)
        return new.encode("utf-8", "surrogateescape") + held[len(tag.encode("utf-8", "surrogateescape")) :]


def _end(row: _Row, without: Sequence[tuple[int, int]] = ()) -> int:
    out = at = 0
    for cell in row.cells:
        at += cell.count
        if cell.used and not (without and any(low <= at - 1 < high for low, high in without)):
            out = at
    return out


def _hidden_styles(content: bytes) -> set[str]:
    """Names of the styles of sheets that are not shown."""
    out: set[str] = set()
    style = rb"<[\w.-]+:style\b[^>]*?[\w.-]+:name=[\"']([^\"']*)[\"'][^>]*>\s*<[\w.-]+:table-properties\b([^>]*)"
    for found in re.finditer(style, content):
        if re.search(rb"[\w.-]+:display=[\"']false[\"']", found[2]):
            out.add(found[1].decode("utf-8", "replace"))
    return out


def _hidden(content: bytes, scan: _Scan) -> set[str]:
    styles = _hidden_styles(content)
    return {name for name, style in scan.table_styles.items() if style in styles}


def _first_seen(content: bytes) -> str | None:
    """The first sheet that is shown, where the first one is not."""
    if not _hidden_styles(content):
        return None
    scan = _Scan(content, None)
    hidden = _hidden(content, scan)
    return next((name for name in scan.names if name not in hidden), None)


def _named_here(scan: _Scan, uri: str, word: str) -> tuple[str, str]:
    """The prefix of a vocabulary, and how it is declared where the document does not do it."""
    prefix = scan.prefix(uri)
    return (prefix, "") if prefix else (f"{word}:", f' xmlns:{word}="{uri}"')


class _Styles:
    """The styles that our cells and columns have: a neighbour's, with two decimals for money."""

    def __init__(self, content: bytes, scan: _Scan) -> None:
        self._content = content
        self._scan = scan
        self._made: dict[str | None, str] = {}
        self._pieces: list[str] = []
        self._decimals = ""
        # A document without a style of its own may not have named what styles are made of.
        self._style, of_style = _named_here(scan, _STYLE, "style")
        self._number, of_number = _named_here(scan, _NUMBER, "number")
        self._names = of_style + of_number
        self._taken = set(re.findall(rb":name=[\"']([^\"']*)[\"']", content[: scan.body]))

    def of_column(self, column: int) -> str | None:
        at = 0
        for (_, _, count, _), style in zip(self._scan.columns, self._scan.column_styles):
            at += count
            if column < at:
                return style
        return None

    def of(self, neighbour: str | None, value: Cell) -> str | None:
        return self._money(neighbour) if isinstance(value, Decimal) else neighbour

    def base(self, value: Cell) -> str | None:
        return self._money(None) if isinstance(value, Decimal) else None

    def column(self, old: Sequence[tuple[int, int]]) -> str | None:
        """Of our columns; those that were there are as somebody left them."""
        if old:
            return None
        name = self._name("twc")
        properties = f'<{self._style}table-column-properties {self._style}column-width="3.6cm"/>'
        tag = f'<{self._style}style {self._style}name="{name}" {self._style}family="table-column"{self._names}>'
        self._pieces.append(f"{tag}{properties}</{self._style}style>")
        return name

    def _name(self, start: str) -> str:
        name = next(f"{start}{n}" for n in range(1, 1_000_000) if f"{start}{n}".encode() not in self._taken)
        self._taken.add(name.encode())
        return name

    def _money(self, neighbour: str | None) -> str | None:
        made = self._made.get(neighbour)
        if made is None:
            made = self._made[neighbour] = self._make(neighbour)
        return made

    def _make(self, neighbour: str | None) -> str:
        if not self._made:
            self._decimals = self._name("twn")
            n = self._number
            digits = f'<{n}number {n}decimal-places="2" {n}min-integer-digits="1"/>'
            self._pieces.append(f'<{n}number-style {self._style}name="{self._decimals}"{self._names}>{digits}</{n}number-style>')
        name = self._name("twm")
        s = self._style
        found = None
        if neighbour is not None:
            pattern = rf"<{re.escape(s)}style\b[^>]*?\s{re.escape(s)}name=[\"']{re.escape(neighbour)}[\"'][^>]*>".encode()
            for one in re.finditer(pattern, self._content[: self._scan.body]):
                if b'family="table-cell"' in one.group() or b"family='table-cell'" in one.group():
                    found = one
        if found is None:
            parent = f' {s}parent-style-name="{neighbour}"' if neighbour is not None else f' {s}parent-style-name="Default"'
            self._pieces.append(
                f'<{s}style {s}name="{name}" {s}family="table-cell"{parent} {s}data-style-name="{self._decimals}"{self._names}/>'
            )
            return name
        tag = _xml.tag_at(self._content, found.start())
        new = _xml.set_attribute(_xml.set_attribute(tag, s + "name", name), s + "data-style-name", self._decimals)
        if not _xml.closed(tag):
            end = self._content.index(f"</{s}style>".encode(), found.end())
            new += self._content[found.end() : end].decode("utf-8", "surrogateescape") + f"</{s}style>"
        self._pieces.append(new)
        return name

    def put(self, edits: Edits) -> None:
        if not self._pieces:
            return
        scan, made = self._scan, "".join(self._pieces)
        if scan.automatic:
            edits.put(scan.automatic, scan.automatic, made)
        else:
            office = scan.prefix(_OFFICE)
            first, last = scan.no_styles or (scan.body, scan.body)
            edits.put(first, last, f"<{office}automatic-styles>{made}</{office}automatic-styles>")


class _Scan:
    """The rows and cells of one sheet, and where they are in the content; gone through once."""

    def __init__(self, content: bytes, sheet: str | None, tell: Callable[[int, int], None] | None = None) -> None:
        self._content = content
        self.names: list[str] = []
        self.table_styles: dict[str, str] = {}
        self.rows: list[_Row] = []
        self.reach = 0  #: the last column that a picture or a shape lies over
        self.more = False  #: is there anything but rows on it?
        self.begin = self.behind = 0  #: of the sheet
        self.end = 0  #: behind the last sheet
        self.automatic = 0  #: the end tag of the automatic styles; 0: there is none
        self.no_styles: tuple[int, int] | None = None  #: the element where it is empty
        self.body = 0
        self.columns: list[tuple[int, int, int, bool]] = []  #: (begin, end, how many, hidden)
        self.column_styles: list[str | None] = []
        self.plain_columns = True  #: none of them in a group
        self._prefixes: dict[str, str] = {}
        self._made: dict[tuple[str | None, str | None], str] = {}
        self._read(sheet, tell)
        self.table = self.prefix(_TABLE)
        self._office, self._words = self.prefix(_OFFICE), self.prefix(_TEXT)

    def _read(self, sheet: str | None, tell: Callable[[int, int], None] | None) -> None:
        parser = expat.ParserCreate(namespace_separator=" ")
        parser.buffer_text = True
        content = self._content
        size = len(content)
        depth = 0
        tables = 0  # open, one in another
        active = False
        row: _Row | None = None
        cell: _Piece | None = None
        cell_depth = aside = 0
        attributes: dict[str, str] = {}
        lines: list[list[str]] = []
        line: list[str] | None = None  # of the paragraph that is open
        table = automatic = 0
        spreadsheet = False
        numbers: dict[str, Cell] = {}
        one: dict[str, str] = {}

        def start(name: str, given: dict[str, str]) -> None:
            nonlocal depth, tables, active, row, cell, cell_depth, aside, attributes, lines, line, table, spreadsheet, automatic
            depth += 1
            if not active:
                if name == _TABLE_TABLE:
                    tables += 1
                    if tables == 1 and spreadsheet:
                        title = given.get(_NAME, "")
                        active = title == sheet if sheet is not None else not self.names
                        self.names.append(title)
                        self.table_styles[title] = given.get(_STYLE_NAME, "")
                        table = parser.CurrentByteIndex
                        if active:
                            self.begin = table
                elif name == _SPREADSHEET:
                    spreadsheet = True
                elif name == _BODY:
                    self.body = parser.CurrentByteIndex
                elif name == _AUTOMATIC:
                    automatic = parser.CurrentByteIndex
                return
            if cell is None:
                if name in _CELLS and row is not None:
                    index = parser.CurrentByteIndex
                    formula = _FORMULA in given
                    style = given.get(_STYLE_NAME)
                    cell = _Piece(
                        index, int(given.get(_REPEATED, 1)), one.setdefault(style, style) if style else None, formula,
                        formula or name == _COVERED or not _HELD.isdisjoint(given) or int(given.get(_SPANNED, 1)) > 1,
                    )  # fmt: skip
                    if _ROWS_SPANNED in given and int(given[_ROWS_SPANNED]) > 1:
                        at = sum(one.count for one in row.cells)
                        row.spans.append((at, int(given.get(_SPANNED, 1)), int(given[_ROWS_SPANNED])))
                    row.cells.append(cell)
                    cell_depth = depth
                    attributes = given
                    lines = []
                    line = None
                elif name == _TABLE_ROW:
                    row = _Row(parser.CurrentByteIndex, int(given.get(_ROWS_REPEATED, 1)), given.get(_DEFAULT_STYLE),
                               given.get(_VISIBILITY, "visible") != "visible")  # fmt: skip
                elif name == _COLUMN:
                    index = parser.CurrentByteIndex
                    hidden = given.get(_VISIBILITY, "visible") != "visible"
                    self.columns.append((index, index, int(given.get(_REPEATED, 1)), hidden))
                    self.column_styles.append(given.get(_DEFAULT_STYLE))
                elif name == _TABLE_TABLE:
                    tables += 1
                else:
                    if name in _GROUPS:
                        self.plain_columns = False
                    self.more = self.more or name not in _GROUPS
                    if _END_CELL in given:
                        self.reach = max(self.reach, _xml.column_of(given[_END_CELL].rpartition(".")[2]))
                return
            cell.used = True
            if name == _TABLE_TABLE:
                tables += 1
            if _END_CELL in given:
                self.reach = max(self.reach, _xml.column_of(given[_END_CELL].rpartition(".")[2]))
            if name in _ASIDE:
                aside += 1
                self.more = True
            elif not name.startswith(_TEXT_START):
                self.more = True
            elif not aside:
                if name == _P:
                    if depth == cell_depth + 1:
                        line = []
                        lines.append(line)
                elif line is not None and name == _S:
                    line.append(" " * int(given.get(_C, 1)))
                elif line is not None and name == _TAB:
                    line.append("\t")
                elif line is not None and name == _BREAK:
                    line.append("\n")

        def text(data: str) -> None:
            if line is not None and not aside:
                line.append(data)

        def end(name: str) -> None:
            nonlocal depth, tables, active, row, cell, aside, line, spreadsheet
            depth -= 1
            if cell is not None:
                if depth >= cell_depth:
                    if name in _ASIDE:
                        aside -= 1
                    elif name == _TABLE_TABLE:
                        tables -= 1
                    elif line is not None and name == _P and depth == cell_depth:
                        line = None
                    return
                cell.last = self._behind(cell.first, parser.CurrentByteIndex)
                cell.value = _value(attributes, lines, numbers)
                cell = None
            elif not active:
                if name == _TABLE_TABLE:
                    tables -= 1
                    if tables == 0 and spreadsheet:
                        self.end = self._behind(table, parser.CurrentByteIndex)
                elif name == _AUTOMATIC:
                    if _xml.closed(_xml.tag_at(content, automatic)):
                        self.no_styles = automatic, self._behind(automatic, parser.CurrentByteIndex)
                    else:
                        self.automatic = parser.CurrentByteIndex
                elif name == _SPREADSHEET:
                    spreadsheet = False
            elif name == _TABLE_ROW:
                if row is not None:
                    row.last = self._behind(row.first, parser.CurrentByteIndex)
                    self.rows.append(row)
                    row = None
                    if tell is not None and len(self.rows) % 1000 == 0:
                        tell(parser.CurrentByteIndex, size)
            elif name == _COLUMN:
                begin, _, count, hidden = self.columns[-1]
                self.columns[-1] = (begin, self._behind(begin, parser.CurrentByteIndex), count, hidden)
            elif name == _TABLE_TABLE:
                tables -= 1
                if tables == 0:
                    active = False
                    self.end = self.behind = self._behind(table, parser.CurrentByteIndex)

        parser.StartNamespaceDeclHandler = lambda prefix, uri: self._prefixes.setdefault(uri, prefix or "")
        parser.StartElementHandler, parser.EndElementHandler, parser.CharacterDataHandler = start, end, text
        parser.Parse(content, True)

    def _behind(self, first: int, index: int) -> int:
        return _xml.behind(self._content, first, index)

    def prefix(self, uri: str) -> str:
        prefix = self._prefixes.get(uri, "")
        return prefix + ":" if prefix else ""

    def named(self, name: str, attributes: str, inside: str) -> str:
        tag = self.table + name
        return f"<{tag}{attributes}>{inside}</{tag}>" if inside else f"<{tag}{attributes}/>"

    def cell(self, value: Cell, style: str | None = None) -> str:
        """Texts come again and again; numbers do not."""
        if value is not None and not isinstance(value, str):
            return self._cell(value, style)
        made = self._made.get((value, style))
        if made is None:
            if len(self._made) > 10_000:
                self._made.clear()
            made = self._made[value, style] = self._cell(value, style)
        return made

    def _cell(self, value: Cell, style: str | None) -> str:
        look = "" if style is None else f' {self.table}style-name="{style}"'
        if value is None:
            return self.named("table-cell", look, "")
        office, text = self._office, self._words
        number = isinstance(value, (int, Decimal)) and not isinstance(value, bool)
        kind = f' {office}value-type="float" {office}value="{value}"' if number else f' {office}value-type="string"'
        if text:
            words = f"<{text}p>{_xml.text(shown(value))}</{text}p>"
        else:  # a document without one word
            words = f'<text:p xmlns:text="{_TEXT}">{_xml.text(shown(value))}</text:p>'
        return self.named("table-cell", look + kind, words)


def _value(attributes: Mapping[str, str], lines: Sequence[Sequence[str]], numbers: dict[str, Cell]) -> Cell:
    kind = attributes.get(_VALUE_TYPE)
    if kind in ("float", "currency", "percentage"):
        text = attributes.get(_VALUE, "")
        found = numbers.get(text)
        if found is None:
            found = numbers[text] = _xml.sheet_number(text)
        if found == "" or isinstance(found, str):
            return "\n".join("".join(line) for line in lines) or None
        if kind == "float" and len(lines) == 1 and isinstance(found, (int, Decimal)):
            behind = _BEHIND.fullmatch("".join(lines[0]))
            if behind is not None and (unit := unit_shown(behind[1])) is not None:  # what somebody sees there
                return WithUnit.of(found, unit)
        return found
    if kind == "boolean":
        return attributes.get(_BOOLEAN) == "true"
    words = "\n".join("".join(line) for line in lines)
    if not words and _FORMULA in attributes and kind is None:  # what it comes to was never kept
        return re.sub(r"^\w+:(?==)", "", attributes[_FORMULA])
    return words or attributes.get(_STRING) or None


def shown(cell: Cell) -> str:
    if cell is None:
        return ""
    if isinstance(cell, Decimal):
        return f"{cell:.2f}" if cell == cell.quantize(Decimal("0.01")) else f"{cell.normalize():f}"
    return str(cell)
