"""Workbooks of Excel: the sheet's part gets cells behind its own, one sheet comes behind the others, the rest is copied.

A sheet's part is gone through once, in time that grows with it, for its values and for where they are.
"""

from __future__ import annotations

import datetime
import posixpath
import re
import xml.etree.ElementTree as Tree
import zipfile
from collections.abc import Callable, Mapping, Sequence
from decimal import Decimal, InvalidOperation
from xml.parsers import expat

from tarewise import _xml
from tarewise._cells import unit_shown
from tarewise._xml import Cell, Edits, WithUnit
from tarewise.errors import TarewiseError

_MOST_COLUMNS = 16_384
_EMU = 609_600  # of a column as wide as they are at first
_MAIN = "http://schemas.openxmlformats.org/spreadsheetml/2006/main"
_SHEET_TYPE = "application/vnd.openxmlformats-officedocument.spreadsheetml.worksheet+xml"
_WORKSHEET = "http://schemas.openxmlformats.org/officeDocument/2006/relationships/worksheet"
_TITLE = "Shipping summary"
_GENERAL, _TWO_DECIMALS = 0, 2  # formats that every workbook has
_DATES = frozenset((*range(14, 23), *range(27, 37), *range(45, 48), *range(50, 59)))  # by ISO/IEC 29500-1, 18.8.30


class Workbook:
    """A workbook, and one of its sheets by rows, from the first."""

    def __init__(self, data: bytes, file: str, sheet: str | None, tell: Callable[[int, int], None] | None = None) -> None:
        self._data = data
        self._file = file
        try:
            self._parts = _xml.read_parts(data)
            self._book = self._workbook_part()
            self._hidden: set[str] = set()
            self._sheets = self._sheet_parts()
            self.names = list(self._sheets)
            if sheet is not None and sheet not in self.names:
                raise TarewiseError(f"found no sheet {sheet!r}, the file has {', '.join(self.names)}", file=file)
            if not self.names:
                raise TarewiseError("found no sheet, expected one", file=file)
            self._texts = self._shared_texts()
            self._styles = _Styles(self._of_book("/styles"))
            self.seen = [name for name in self.names if name not in self._hidden] or self.names
            self.sheet = self.seen[0] if sheet is None else sheet
            self._path = self._sheets[self.sheet]
            self._sheet = _xml.as_utf8(self._parts[self._path])
            self._scan = self._read(self._sheet, tell)
        except TarewiseError:
            raise
        except (zipfile.BadZipFile, KeyError, IndexError, ValueError, TypeError, StopIteration, Tree.ParseError, expat.ExpatError,
                NotImplementedError, RuntimeError, OSError, EOFError) as error:  # fmt: skip
            what = _not_a_workbook(data) or f"no workbook that can be read ({error})"
            raise TarewiseError(f"found {what}, expected an .xlsx file", file=file) from None
        self.rows: list[list[Cell]] = self._scan.values
        while self.rows and _xml.blank(self.rows[-1]):
            self.rows.pop()
        self.merged = self._scan.merged
        self.hidden = self._scan.hidden

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
        """The workbook with columns behind the widest row; ``cells`` by the place of the row, ``header`` that of the headers.

        ``old``: columns of ours, as [first, behind) from 0, which are replaced. ``told`` gets what was not done.
        """
        changed: dict[str, bytes] = {}
        scan = self._scan
        beside = max(self._beside(scan))
        first = max(scan.width, beside) + 1
        if old:
            scan.find(old)
            if old[0][1] - old[0][0] == len(added) or max(scan.without, beside) <= old[0][0]:
                first = old[0][0] + 1
        if first + len(added) - 1 > _MOST_COLUMNS:
            raise TarewiseError(
                f"found {first - 1} columns in use, expected room for {len(added)} more: a sheet has {_MOST_COLUMNS:,}",
                file=self._file,
            )
        changed[self._path] = scan.with_cells(
            first, {header: list(added), **cells}, header, self._styles, [max(12, len(title) + 2) for title in added], old, tell, told
        )
        self._add_sheet(summary, changed, bool(old), told)
        if self._styles.path is not None and self._styles.made:
            changed[self._styles.path] = self._styles.part_with_made()
        return _xml.write_parts(self._data, changed)

    # ---- values ----

    def _of_book(self, end: str) -> tuple[str, bytes] | None:
        for _, kind, path in self._relations(self._book):
            if kind.endswith(end) and path in self._parts:
                return path, _xml.as_utf8(self._parts[path])
        return None

    def _shared_texts(self) -> list[str]:
        held = self._of_book("/sharedStrings")
        out: list[str] = []
        if held is None:
            return out
        words: list[str] = []
        inside = aside = False

        def start(name: str, _: dict[str, str]) -> None:
            nonlocal inside, aside
            name = name.rpartition(":")[2]
            if name == "t":
                inside = not aside
            elif name == "rPh":  # how it is spoken
                aside = True

        def end(name: str) -> None:
            nonlocal inside, aside
            name = name.rpartition(":")[2]
            if name == "t":
                inside = False
            elif name == "rPh":
                aside = False
            elif name == "si":
                out.append("".join(words))
                words.clear()

        def text(data: str) -> None:
            if inside:
                words.append(data)

        parser = expat.ParserCreate()
        parser.buffer_text = True
        parser.StartElementHandler, parser.EndElementHandler, parser.CharacterDataHandler = start, end, text
        parser.Parse(held[1], True)
        return out

    def _read(self, part: bytes, tell: Callable[[int, int], None] | None = None) -> _Scan:
        base = datetime.datetime(1899, 12, 30)
        if re.search(rb"date1904\s*=\s*[\"'](?:1|true)[\"']", self._parts[self._book]):
            base = datetime.datetime(1904, 1, 1)
        return _Scan(part, self._texts, self._styles.dates, self._styles.units, base, tell)

    # ---- parts ----

    def _relations(self, part: str) -> list[tuple[str, str, str]]:
        """(id, type, part) of what a part leads to."""
        folder, name = posixpath.split(part)
        held = self._parts.get(posixpath.join(folder, "_rels", name + ".rels"))
        if held is None:
            return []
        out = []
        for relation in Tree.fromstring(held):
            if relation.get("TargetMode") == "External":
                continue
            target = relation.get("Target", "")
            path = target[1:] if target.startswith("/") else posixpath.normpath(posixpath.join(folder, target))
            out.append((relation.get("Id", ""), relation.get("Type", ""), path))
        return out

    def _workbook_part(self) -> str:
        return next(path for _, kind, path in self._relations("") if kind.endswith("/officeDocument"))

    def _sheet_parts(self) -> dict[str, str]:
        by_id = {ident: path for ident, kind, path in self._relations(self._book) if kind.endswith("/worksheet")}
        out: dict[str, str] = {}
        for element in Tree.fromstring(self._parts[self._book]).iter():
            if isinstance(element.tag, str) and element.tag.rpartition("}")[2] == "sheet":
                ident = next(value for name, value in element.attrib.items() if name.endswith("}id"))
                if by_id.get(ident) in self._parts:  # a sheet that is one chart has no cells
                    name = element.get("name", "")
                    out[name] = by_id[ident]
                    if element.get("state", "visible") != "visible":
                        self._hidden.add(name)
        return out

    def _beside(self, scan: _Scan) -> list[int]:
        """The last columns of what stands on the sheet without being a cell of it: notes, pictures, tables."""
        out: list[int] = [0]
        for _, kind, path in self._relations(self._path):
            word = kind.rpartition("/")[2]
            if path not in self._parts or word not in ("comments", "threadedComment", "table", "drawing"):
                continue
            for element in Tree.fromstring(self._parts[path]).iter():
                name = element.tag.rpartition("}")[2] if isinstance(element.tag, str) else ""
                if word == "drawing":
                    out.append(_anchor(element, name))
                elif name in ("comment", "threadedComment", "table"):
                    out.append(_xml.column_of(element.get("ref", "")))
        return out

    def _add_sheet(
        self, summary: Sequence[Sequence[Cell]], changed: dict[str, bytes], again: bool, told: list[str] | None
    ) -> None:
        money = self._styles.made_of(None, _TWO_DECIMALS)
        rows = ""
        for i, row in enumerate(summary, 1):
            cells = "".join(_cell(f"{_xml.letters(j)}{i}", cell, "", money, None) for j, cell in enumerate(row, 1))
            rows += f'<row r="{i}">{cells}</row>'
        widths = '<cols><col min="1" max="1" width="34" customWidth="1"/><col min="2" max="2" width="14" customWidth="1"/></cols>'
        sheet = '<?xml version="1.0" encoding="UTF-8"?>\n'
        sheet += f'<worksheet xmlns="{_MAIN}">{widths}<sheetData>{rows}</sheetData></worksheet>'
        old = self._old_summary(again)
        if old is not None:
            if self._is_plain(self._sheets[old]):
                changed[self._sheets[old]] = sheet.encode()
                return
            if told is not None:
                told.append(f"the sheet {old!r} holds more than the summary and is left alone; there is another one")
        taken = {name.lower() for name in self._sheets}
        titles = (_TITLE, *(f"{_TITLE} {n}" for n in range(2, 1000)))
        title = next(title for title in titles if title.lower() not in taken)
        folder = posixpath.dirname(self._path)
        parts = {name.lower() for name in self._parts}
        path = next(p for p in (f"{folder}/sheet{n}.xml" for n in range(1, 100_000)) if p.lower() not in parts)
        changed[path] = sheet.encode()
        book = _xml.as_utf8(self._parts[self._book])
        used = {ident for ident, _, _ in self._relations(self._book)}
        ident = next(i for i in (f"rId{n}" for n in range(1, 100_000)) if i not in used)
        numbers = [int(n) for n in re.findall(rb"""\ssheetId\s*=\s*["']([0-9]+)["']""", book)]
        # As the other sheets say "id", with their own prefix.
        relation = re.search(rb"""\s([\w.-]+:id)\s*=\s*["']""", book)
        assert relation is not None
        word = relation.group(1).decode()
        line = f'<{{p}}sheet name="{title}" sheetId="{max(numbers, default=0) + 1}" {word}="{ident}"/>'
        changed[self._book] = _xml.before_end(book, "sheets", line)
        of_book = posixpath.join(posixpath.dirname(self._book), "_rels", posixpath.basename(self._book) + ".rels")
        line = f'<{{p}}Relationship Id="{ident}" Type="{_WORKSHEET}" Target="/{path}"/>'
        changed[of_book] = _xml.before_end(_xml.as_utf8(self._parts[of_book]), "Relationships", line)
        types = "[Content_Types].xml"
        line = f'<{{p}}Override PartName="/{path}" ContentType="{_SHEET_TYPE}"/>'
        changed[types] = _xml.before_end(_xml.as_utf8(self._parts[types]), "Types", line)

    def _old_summary(self, again: bool) -> str | None:
        """The sheet that an earlier run wrote about this one; ``again``: this one has columns of that run."""
        for name in self.names:
            if name != self.sheet and _xml.is_summary_title(name, _TITLE):
                rows = self._read(_xml.as_utf8(self._parts[self._sheets[name]])).values
                if _xml.is_summary(rows, self.sheet, again):
                    return name
        return None

    def _is_plain(self, path: str) -> bool:
        """Nothing on it but what we wrote: three columns, no formula, no picture, no note."""
        scan = self._read(_xml.as_utf8(self._parts[path]))
        return scan.width <= 3 and not scan.formulas and not self._relations(path)


def _not_a_workbook(data: bytes) -> str | None:
    if not data:
        return "no workbook that can be read, an empty file"
    if data.startswith(b"\xd0\xcf\x11\xe0"):
        return "no workbook that can be read, but one of an older kind (.xls) or with a password"
    return None


def _anchor(element: Tree.Element, name: str) -> int:
    def number(at: str, word: str) -> int:
        found = next((e for e in element.iter() if e.tag.endswith("}" + at)), None)
        if found is None:
            return 0
        return int(found.get(word) or next((e.text for e in found if e.tag.endswith("}" + word)), None) or 0)

    if name == "twoCellAnchor":
        return number("to", "col") + 1
    if name == "oneCellAnchor":
        return number("from", "col") + 1 + -(-number("ext", "cx") // _EMU)
    if name == "absoluteAnchor":
        return -(-(number("pos", "x") + number("ext", "cx")) // _EMU)
    return 0


def _cell(at: str, value: Cell, prefix: str, money: str | None, style: str | None) -> str:
    shown = "" if style is None else f' s="{style}"'
    if value is None:
        return "" if style is None else f'<{prefix}c r="{at}"{shown}/>'
    if money is not None and isinstance(value, Decimal):
        shown = f' s="{money}"'
    return f'<{prefix}c r="{at}"{shown}{_content(value, prefix)}'


def _content(value: Cell, prefix: str) -> str:
    """What of a cell hangs on its value alone."""
    if isinstance(value, bool) or not _xml.is_number(value):
        words = f'<{prefix}is><{prefix}t xml:space="preserve">{_xml.text(value)}</{prefix}t></{prefix}is>'
        return f' t="inlineStr">{words}</{prefix}c>'
    number = value if isinstance(value, int) else f"{value:f}"
    return f"><{prefix}v>{number}</{prefix}v></{prefix}c>"


class _Styles:
    """The formats of cells, and those that are made beside them: as a neighbour's, but for the numbers."""

    def __init__(self, held: tuple[str, bytes] | None) -> None:
        self.path: str | None = None
        self._part = b""
        self._formats: list[tuple[str, str]] = []  # the tag, and what is in it
        self.made: list[str] = []
        self.dates: list[bool] = []  #: of each format, is a number a date by it?
        self.units: dict[str, str] = {}  #: of formats by their places, the unit that is shown behind a number
        self._known: dict[tuple[str | None, int], str | None] = {}
        if held is None or re.search(rb"<(?:[\w.-]+:)?cellXfs(?=[\s>])", held[1]) is None:
            return
        self.path, self._part = held
        inside = False
        depth = begin = 0
        codes: dict[str, str] = {}

        def start(name: str, attributes: dict[str, str]) -> None:
            nonlocal inside, depth, begin
            name = name.rpartition(":")[2]
            if inside:
                depth += 1
                if depth == 1:
                    begin = parser.CurrentByteIndex
                    number = attributes.get("numFmtId", "0")
                    self.dates.append(int(number) in _DATES or _is_date(codes.get(number, "")))
                    if (unit := _unit_of(codes.get(number, ""))) is not None:
                        self.units[str(len(self.dates) - 1)] = unit
            elif name == "cellXfs":
                inside = True
            elif name == "numFmt":
                codes[attributes["numFmtId"]] = attributes.get("formatCode", "")

        def end(name: str) -> None:
            nonlocal inside, depth
            if inside and depth == 0:
                inside = False
            elif inside:
                if depth == 1:
                    tag = _xml.tag_at(self._part, begin)
                    after = begin + len(tag.encode("utf-8", "surrogateescape"))
                    last = after if _xml.closed(tag) else parser.CurrentByteIndex
                    within = self._part[after:last].decode("utf-8", "surrogateescape")
                    self._formats.append((tag, within))
                depth -= 1

        parser = expat.ParserCreate()
        parser.StartElementHandler, parser.EndElementHandler = start, end
        parser.Parse(self._part, True)

    def made_of(self, neighbour: str | None, number: int) -> str | None:
        """The place of the neighbour's format with other numbers, or without it that of the first one."""
        key = (neighbour, number)
        if key not in self._known:
            self._known[key] = self._make(neighbour, number)
        return self._known[key]

    def _make(self, neighbour: str | None, number: int) -> str | None:
        place = int(neighbour or 0)
        if not self._formats:
            return None
        if neighbour is None and number == _GENERAL:
            return None
        tag, within = self._formats[place if place < len(self._formats) else 0]
        held = re.search(r"\bnumFmtId\s*=\s*[\"']([0-9]+)", tag)
        if "quotePrefix" not in tag and held is not None and int(held[1]) == number:
            return str(place)
        tag = _xml.set_attribute(_xml.set_attribute(tag, "quotePrefix", None), "numFmtId", number)
        tag = _xml.set_attribute(tag, "applyNumberFormat", 1)
        prefix = _xml.prefix_of(tag)
        self.made.append(tag if _xml.closed(tag) else f"{tag}{within}</{prefix}xf>")
        return str(len(self._formats) + len(self.made) - 1)

    def part_with_made(self) -> bytes:
        found = re.search(rb"<(?:[\w.-]+:)?cellXfs(?=[\s>])", self._part)
        assert found is not None
        tag = _xml.tag_at(self._part, found.start())
        new = _xml.set_attribute(tag, "count", len(self._formats) + len(self.made)).encode("utf-8", "surrogateescape")
        end = found.start() + len(tag.encode("utf-8", "surrogateescape"))
        part = self._part[: found.start()] + new + self._part[end:]
        ends = re.compile(rb"</(?:[\w.-]+:)?cellXfs\s*>").search(part, found.start())
        assert ends is not None
        made = "".join(self.made).encode("utf-8", "surrogateescape")
        return part[: ends.start()] + made + part[ends.start() :]


def _is_date(code: str) -> bool:
    plain = re.sub(r'"[^"]*"|\\.|_.|\*.|\[(?!h+\]|m+\]|s+\])[^\]]*\]', "", code.partition(";")[0], flags=re.IGNORECASE)
    return re.search("[dmyhs]", plain, re.IGNORECASE) is not None and "general" not in plain.lower()


def _unit_of(code: str) -> str | None:
    """The unit of a format such as `0.0 "lb"` or `0.0\\ \\k\\g`: what somebody sees there."""
    first = re.match(r'(?:"[^"]*"|\\.|[^;"\\])*', code)
    if first is None:
        return None
    plain = re.sub(r"_.|\*.|\[[^\]]*\]", "", first.group())
    behind = re.search(r"[0#?]((?:\s|\"[^\"]*\"|\\.)+)$", plain)
    return None if behind is None else unit_shown(re.sub(r"\\(.)", r"\1", behind[1].replace('"', "")))


class _Scan:
    """The values of a sheet by rows, where its rows are in its part, and how far it reaches."""

    def __init__(
        self, part: bytes, texts: Sequence[str], dates: Sequence[bool], units: Mapping[str, str], base: datetime.datetime,
        tell: Callable[[int, int], None] | None = None,
    ) -> None:  # fmt: skip
        self._part = part
        self._base = base
        self.width = 0
        self.without = 0  #: the last column that is not ours
        self.formulas = 0
        self.values: list[list[Cell]] = []
        self.merged: list[tuple[int, int, int, int]] = []  #: areas by places: top, left, bottom, right
        self.hidden: set[int] = set()  #: places of rows that are not shown
        self._places: list[int] = []
        self._starts: list[int] = []  # of tags
        self._ends: list[int] = []  # of end tags
        self._styles: list[list[str | None]] = []  # of each row those of its cells to the last; a gap has that on its left
        self._columns: list[tuple[int, dict[str, str]]] = []
        self._dimension: int | None = None
        self._all_columns: tuple[int, int] | None = None
        self._data = 0
        self._cells: dict[int, list[tuple[int, int, int, str | None, bool]]] = {}
        self._read(texts, dates, units, tell)

    def _read(
        self, texts: Sequence[str], dates: Sequence[bool], units: Mapping[str, str], tell: Callable[[int, int], None] | None
    ) -> None:
        parser = expat.ParserCreate()
        parser.buffer_text = True
        part, values, starts, ends = self._part, self.values, self._starts, self._ends
        numbers: dict[str, Cell] = {}  # many cells hold the same
        row: list[Cell] = []
        words: list[str] = []
        column = place = 0
        take = aside = held = False
        formula: str | None = None
        kind = style = ""
        row_style: str | None = None
        styles: list[str | None] = []
        one: dict[str, str] = {}
        date_styles = {str(place) for place, is_date in enumerate(dates) if is_date}
        column_of = _xml.column_of
        size = len(part)

        def finish() -> None:
            nonlocal formula
            text = "".join(words)
            words.clear()
            value: Cell
            if formula is not None and (not held or (not text and kind not in ("s", "str", "inlineStr"))):
                value = "=" + formula  # what it comes to was never kept
            elif kind == "s":
                value = texts[int(text)] if text else None
            elif kind in ("inlineStr", "str", "e", "d"):
                value = text or None
            elif not text:
                value = None
            elif kind == "b":
                value = text.strip() in ("1", "true")
            else:
                found = numbers.get(text)
                if found is None:
                    found = numbers[text] = _xml.sheet_number(text)
                value = found
                if style in date_styles:
                    value = self._date(value)
                elif style in units and isinstance(value, (int, Decimal)):
                    value = WithUnit.of(value, units[style])
            formula = None
            if value is not None and value != "":
                while len(row) < column - 1:
                    row.append(None)
                row.append(value)

        def start(name: str, attributes: dict[str, str]) -> None:
            nonlocal column, take, aside, held, kind, style, formula, row, place, row_style, styles
            if ":" in name:
                name = name.rpartition(":")[2]
            if name == "c":
                at = attributes.get("r")
                column = column_of(at) if at is not None else column + 1
                kind = attributes.get("t", "n")
                style = attributes.get("s", "")
                while len(styles) < column - 1:
                    styles.append(styles[-1] if styles else row_style)
                styles.append(one.setdefault(style, style) if style else None)
                held = False
                formula = None
                words.clear()
            elif name == "v":
                take = held = True
            elif name == "t":
                take = not aside
            elif name == "f":
                formula = ""
                take = True
                self.formulas += 1
            elif name == "is":
                held = True
            elif name == "rPh":
                aside = True
            elif name == "row":
                number = attributes.get("r")
                place = int(number) - 1 if number is not None else place
                column = 0
                row = []
                row_style = attributes.get("s") if attributes.get("customFormat") in ("1", "true") else None
                styles = []
                if attributes.get("hidden") in ("1", "true"):
                    self.hidden.add(place)
                self._places.append(place)
                starts.append(parser.CurrentByteIndex)
            elif name == "mergeCell":
                reference = attributes.get("ref", "")
                self.width = max(self.width, column_of(reference))
                corners = re.fullmatch(r"\$?[A-Za-z]{1,3}\$?([0-9]+):\$?[A-Za-z]{1,3}\$?([0-9]+)", reference)
                if corners is not None:
                    left = column_of(reference.partition(":")[0])
                    self.merged.append((int(corners[1]) - 1, left - 1, int(corners[2]) - 1, column_of(reference) - 1))
            elif name == "hyperlink":
                self.width = max(self.width, column_of(attributes.get("ref", "")))
            elif name == "col":
                self._columns.append((parser.CurrentByteIndex, attributes))
            elif name == "cols":
                self._all_columns = (parser.CurrentByteIndex, -1)
            elif name == "dimension":
                self._dimension = parser.CurrentByteIndex
            elif name == "sheetData":
                self._data = parser.CurrentByteIndex

        def end(name: str) -> None:
            nonlocal take, aside, formula, place
            if ":" in name:
                name = name.rpartition(":")[2]
            if name == "c":
                if column > self.width:
                    self.width = column
                finish()
            elif name in ("v", "t"):
                take = False
            elif name == "f":
                take = False
                formula = "".join(words)
                words.clear()
            elif name == "rPh":
                aside = False
            elif name == "row":
                index = parser.CurrentByteIndex
                ends.append(index)
                if row:
                    while len(values) < place:
                        values.append([])
                        self._styles.append([])
                    if len(values) == place:
                        values.append(row)
                        self._styles.append(styles)
                    else:
                        values[place] = row
                        self._styles[place] = styles
                if tell is not None and len(ends) % 1000 == 0:
                    tell(index, size)
                place += 1
            elif name == "cols":
                assert self._all_columns is not None
                self._all_columns = (self._all_columns[0], parser.CurrentByteIndex)

        def text(data: str) -> None:
            if take:
                words.append(data)

        parser.StartElementHandler, parser.EndElementHandler, parser.CharacterDataHandler = start, end, text
        parser.Parse(part, True)

    def _date(self, value: Cell) -> Cell:
        """As a text: what is a date is no quantity."""
        if not isinstance(value, (int, Decimal)):
            return value
        try:
            when = self._base + datetime.timedelta(milliseconds=round(value * 86_400_000))
        except (OverflowError, InvalidOperation):
            return f"{value} as a date"
        return str(when.time() if 0 <= value < 1 else when)

    def find(self, old: Sequence[tuple[int, int]]) -> None:
        """Where the cells of some columns are, and of what is behind them the first."""
        parser = expat.ParserCreate()
        least = min(first for first, _ in old)
        self.without = 0
        column = place = begin = 0
        cells: list[tuple[int, int, int, str | None, bool]] = []
        style: str | None = None
        formula = False

        def start(name: str, attributes: dict[str, str]) -> None:
            nonlocal column, place, begin, style, formula, cells
            name = name.rpartition(":")[2]
            if name == "c":
                column = _xml.column_of(attributes["r"]) if "r" in attributes else column + 1
                begin = parser.CurrentByteIndex
                style = attributes.get("s")
                formula = False
                if not any(first < column <= behind for first, behind in old):
                    self.without = max(self.without, column)
            elif name == "f":
                formula = True
            elif name == "row":
                place = int(attributes.get("r", place + 1))
                column = 0
                cells = self._cells.setdefault(place - 1, [])
            elif name in ("mergeCell", "hyperlink"):
                self.without = max(self.without, _xml.column_of(attributes.get("ref", "")))

        def end(name: str) -> None:
            if name.rpartition(":")[2] == "c" and column > least:
                cells.append((column - 1, begin, _xml.behind(self._part, begin, parser.CurrentByteIndex), style, formula))

        parser.StartElementHandler, parser.EndElementHandler = start, end
        parser.Parse(self._part, True)

    def _neighbour(self, row: int, column: int) -> str | None:
        """The format of the cell in a column, or of the nearest to its left."""
        if row >= len(self._styles):
            return None
        styles = self._styles[row]
        return styles[min(column, len(styles) - 1)] if styles else None

    def with_cells(
        self, first: int, cells: Mapping[int, Sequence[Cell]], header: int, styles: _Styles, widths: Sequence[int],
        old: Sequence[tuple[int, int]], tell: Callable[[int, int], None] | None, told: list[str] | None,
    ) -> bytes:  # fmt: skip
        part, edits = self._part, Edits(self._part)
        columns = [_xml.letters(first + i) for i in range(len(widths))]
        kept: list[str] = []
        contents: dict[str, str] = {}
        contents_prefix = ""
        made = styles.made_of
        heads = self.values[header]
        beside = max((i for i, cell in enumerate(heads) if cell is not None and not _xml.in_runs(i, old)), default=0)
        for done, (row, start, end) in enumerate(zip(self._places, self._starts, self._ends)):
            values = cells.get(row)
            ours = self._cells.get(row, ()) if old else ()
            if values is None:
                continue
            tag = _xml.tag_at(part, start)
            prefix = _xml.prefix_of(tag) if ":" in tag else ""
            if prefix != contents_prefix or len(contents) > 10_000:
                contents.clear()
                contents_prefix = prefix
            length = len(tag.encode("utf-8", "surrogateescape"))
            neighbour = self._neighbour(row, beside)
            held: dict[int, str | None] = {}
            formulas: set[int] = set()
            place = end
            for column, begin, behind, style, formula in ours:
                if not any(low <= column < high for low, high in old):
                    if column >= first - 1:
                        place = min(place, begin)
                    continue
                if formula:  # somebody's own, where ours was
                    formulas.add(column)
                    kept.append(f"{_xml.letters(column + 1)}{row + 1}")
                    continue
                held[column] = style
                edits.raw(begin, behind, b"")
            pieces: list[tuple[int, str]] = []
            number = str(row + 1)
            for i, value in enumerate(values):
                column = first - 1 + i
                if column in formulas:
                    continue
                style = held[column] if column in held else neighbour
                if row != header and column not in held:
                    style = made(neighbour, _TWO_DECIMALS if isinstance(value, Decimal) else _GENERAL)
                if isinstance(value, str):  # texts come again and again
                    rest = contents.get(value)
                    if rest is None:
                        rest = contents[value] = _content(value, prefix)
                    look = "" if style is None else f' s="{style}"'
                    pieces.append((column, f'<{prefix}c r="{columns[i]}{number}"{look}{rest}'))
                else:
                    pieces.append((column, _cell(columns[i] + number, value, prefix, None, style)))
            text = "".join(piece for _, piece in pieces)
            # How far the row reaches is only a hint, and no longer true.
            new = _xml.set_attribute(tag, "spans", None) if " spans" in tag else tag
            if _xml.closed(tag):
                edits.put(start, start + length, new[:-2].rstrip() + ">" + text + f"</{prefix}row>")
                continue
            if new is not tag:
                edits.put(start, start + length, new)
            if not formulas:
                if text:
                    edits.put(place, place, text)
            else:  # each at its place among those that stay
                stay = [(column, begin) for column, begin, _, _, _ in ours if column in formulas or column >= first - 1 + len(widths)]
                for column, piece in pieces:
                    at = next((begin for other, begin in stay if other > column), end)
                    edits.put(at, at, piece)
            if tell is not None and done % 1000 == 0:
                tell(done, len(self._places))
        if kept and told is not None:
            told.append(f"formulas stand where ours would, and stay: {', '.join(kept[:5])}{' and more' if len(kept) > 5 else ''}")
        last = first + len(widths) - 1
        if self._dimension is not None:
            tag = _xml.tag_at(part, self._dimension)
            found = re.search(r"\sref\s*=\s*[\"']([^\"']*)", tag)
            corner = re.match(r"\$?([A-Z]+)\$?([0-9]+)(?::\$?([A-Z]+)\$?([0-9]+))?$", found.group(1) if found else "")
            if corner is not None:
                top, bottom = int(corner.group(2)), int(corner.group(4) or corner.group(2))
                end_column = max(last, _xml.column_of((corner.group(3) or corner.group(1)) + "1"))
                reference = f"{corner.group(1)}{top}:{_xml.letters(end_column)}{bottom}"
                new = _xml.set_attribute(tag, "ref", reference)
                if new != tag:
                    edits.put(self._dimension, self._dimension + len(tag.encode("utf-8", "surrogateescape")), new)
        if not (old and first == old[0][0] + 1 and len(widths) <= old[0][1] - old[0][0]):
            self._put_widths(edits, first, widths)  # else they are as somebody left them
        return edits.apply()

    def _put_widths(self, edits: Edits, first: int, widths: Sequence[int]) -> None:
        """Our columns' widths. A run of columns that goes on behind ours, such as hidden ones to the end, is parted."""
        last = first + len(widths) - 1
        prefix = _xml.prefix_of(_xml.tag_at(self._part, self._data))
        ours = "".join(
            f'<{prefix}col min="{column}" max="{column}" width="{width}" customWidth="1"/>'
            for column, width in enumerate(widths, first)
        )
        if self._all_columns is None:
            edits.put(self._data, self._data, f"<{prefix}cols>{ours}</{prefix}cols>")
            return
        placed = False
        for index, attributes in self._columns:
            low, high = int(attributes["min"]), int(attributes["max"])
            if high < first:
                continue
            tag = _xml.tag_at(self._part, index)
            new = ""
            if low < first:
                new += _xml.set_attribute(tag, "max", first - 1)
            if not placed:
                new += ours
                placed = True
            if high > last:
                new += _xml.set_attribute(tag, "min", max(low, last + 1))
            end = index + len(tag.encode("utf-8", "surrogateescape"))
            if not _xml.closed(tag):
                new, end = re.sub(r"(?<!/)>", "/>", new), self._part.index(b">", end) + 1
            edits.put(index, end, new)
        if not placed:
            edits.put(self._all_columns[1], self._all_columns[1], ours)
