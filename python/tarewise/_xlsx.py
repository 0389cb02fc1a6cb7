"""Workbooks of Excel: the sheet's part gets cells behind its own, one sheet comes behind the others, the rest is copied.

Values are read with openpyxl. It does not write: it would lose what it does not know (pictures without another library,
shapes, what formulas came to, texts of several fonts, extensions).
"""

from __future__ import annotations

import io
import posixpath
import re
import warnings
import xml.etree.ElementTree as Tree
import zipfile
from collections.abc import Mapping, Sequence
from typing import Any
from xml.parsers import expat

from tarewise import _xml
from tarewise._xml import Cell, Edits
from tarewise.errors import TarewiseError

_MOST_COLUMNS = 16_384
_EMU = 609_600  # of a column as wide as they are at first
_MAIN = "http://schemas.openxmlformats.org/spreadsheetml/2006/main"
_SHEET_TYPE = "application/vnd.openxmlformats-officedocument.spreadsheetml.worksheet+xml"
_WORKSHEET = "http://schemas.openxmlformats.org/officeDocument/2006/relationships/worksheet"


class Workbook:
    """A workbook, and one of its sheets by rows: the first is the header."""

    def __init__(self, data: bytes, file: str, sheet: str | None) -> None:
        import openpyxl  # type: ignore[import-untyped,unused-ignore]

        self._data = data
        self._file = file
        try:
            self._parts = _xml.read_parts(data)
            with warnings.catch_warnings():  # of what it would not write again
                warnings.simplefilter("ignore")
                formulas = openpyxl.load_workbook(io.BytesIO(data))
                values = openpyxl.load_workbook(io.BytesIO(data), data_only=True)
            self._book = self._workbook_part()
            self._sheets = self._sheet_parts()
        except (zipfile.BadZipFile, KeyError, ValueError, TypeError, Tree.ParseError) as error:
            raise TarewiseError(f"found no workbook that can be read ({error}), expected an .xlsx file", file=file) from None
        self.names = [page.title for page in values.worksheets]
        if sheet is not None and sheet not in self.names:
            raise TarewiseError(f"found no sheet {sheet!r}, the file has {', '.join(self.names)}", file=file)
        if not self.names:
            raise TarewiseError("found no sheet, expected one", file=file)
        name = self.names[0] if sheet is None else sheet
        self._path = self._sheets[name]
        self._sheet = _xml.as_utf8(self._parts[self._path])
        self.rows: list[list[Cell]] = []
        for shown, held in zip(values[name].iter_rows(), formulas[name].iter_rows()):
            self.rows.append([_value(cell, formula) for cell, formula in zip(shown, held)])
        while self.rows and _xml.blank(self.rows[-1]):
            self.rows.pop()

    def with_columns(self, added: Sequence[str], cells: Mapping[int, Sequence[Cell]], summary: Sequence[Sequence[Cell]]) -> bytes:
        """The workbook with columns behind the widest row; ``cells`` by the place of the row."""
        changed: dict[str, bytes] = {}
        money = self._money_style(changed)
        scan = _Scan(self._sheet)
        first = max([scan.width, *self._beside(scan)]) + 1
        if first + len(added) - 1 > _MOST_COLUMNS:
            raise TarewiseError(
                f"found {first - 1} columns in use, expected room for {len(added)} more: a sheet has {_MOST_COLUMNS:,}",
                file=self._file,
            )
        last_header = max((i + 1 for i, cell in enumerate(self.rows[0]) if cell is not None), default=0)
        changed[self._path] = scan.with_cells(
            first, {0: list(added), **{row: list(values) for row, values in cells.items()}}, money,
            scan.header_styles.get(last_header), [max(12, len(header) + 2) for header in added],
        )  # fmt: skip
        self._add_sheet(summary, money, changed)
        return _xml.write_parts(self._data, changed)

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
        by_id = {ident: path for ident, _, path in self._relations(self._book)}
        out: dict[str, str] = {}
        for element in Tree.fromstring(self._parts[self._book]).iter():
            if element.tag.rpartition("}")[2] == "sheet":
                ident = next(value for name, value in element.attrib.items() if name.endswith("}id"))
                out[element.get("name", "")] = by_id[ident]
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

    def _money_style(self, changed: dict[str, bytes]) -> int | None:
        """The place of a format with two decimals, put behind the others."""
        for _, kind, path in self._relations(self._book):
            if kind.endswith("/styles") and path in self._parts:
                part = _xml.as_utf8(self._parts[path])
                found = re.search(rb"<(?:[\w.-]+:)?cellXfs(?=[\s>])", part)
                if found is None:
                    return None
                tree = Tree.fromstring(part)
                formats = next(e for e in tree.iter() if isinstance(e.tag, str) and e.tag.endswith("}cellXfs"))
                count = len(formats)
                tag = _xml.tag_at(part, found.start())
                new = _xml.set_attribute(tag, "count", count + 1)
                part = part.replace(tag.encode("utf-8", "surrogateescape"), new.encode("utf-8", "surrogateescape"), 1)
                xf = '<{p}xf numFmtId="2" fontId="0" fillId="0" borderId="0" xfId="0" applyNumberFormat="1"/>'
                changed[path] = _xml.before_end(part, "cellXfs", xf)
                return count
        return None

    def _add_sheet(self, summary: Sequence[Sequence[Cell]], money: int | None, changed: dict[str, bytes]) -> None:
        taken = {name.lower() for name in self._sheets}
        titles = ("Shipping summary", *(f"Shipping summary {n}" for n in range(2, 1000)))
        title = next(title for title in titles if title.lower() not in taken)
        folder = posixpath.dirname(self._path)
        parts = {name.lower() for name in self._parts}
        path = next(p for p in (f"{folder}/sheet{n}.xml" for n in range(1, 100_000)) if p.lower() not in parts)
        rows = ""
        for i, row in enumerate(summary, 1):
            cells = "".join(_cell(f"{_xml.letters(j)}{i}", cell, "", money, None) for j, cell in enumerate(row, 1))
            rows += f'<row r="{i}">{cells}</row>'
        widths = '<cols><col min="1" max="1" width="34" customWidth="1"/><col min="2" max="2" width="14" customWidth="1"/></cols>'
        sheet = '<?xml version="1.0" encoding="UTF-8"?>\n'
        sheet += f'<worksheet xmlns="{_MAIN}">{widths}<sheetData>{rows}</sheetData></worksheet>'
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


def _value(shown: Any, held: Any) -> Cell:
    value: Cell = shown.value
    if value is None and held.data_type == "f":  # what it comes to was never kept
        return str(getattr(held.value, "text", held.value))
    return value if value is None or isinstance(value, (str, bool)) or _xml.is_number(value) else str(value)


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


def _cell(at: str, value: Cell, prefix: str, money: int | None, style: str | None) -> str:
    if value is None:
        return ""
    shown = "" if style is None else f' s="{style}"'
    if isinstance(value, bool) or not _xml.is_number(value):
        words = f'<{prefix}is><{prefix}t xml:space="preserve">{_xml.text(value)}</{prefix}t></{prefix}is>'
        return f'<{prefix}c r="{at}"{shown} t="inlineStr">{words}</{prefix}c>'
    if money is not None and not isinstance(value, int):
        shown = f' s="{money}"'
    number = value if isinstance(value, int) else f"{value:f}"
    return f'<{prefix}c r="{at}"{shown}><{prefix}v>{number}</{prefix}v></{prefix}c>'


class _Scan:
    """Where the rows of a sheet are in its part, and how far it reaches."""

    def __init__(self, part: bytes) -> None:
        self._part = part
        self.width = 0
        self.header_styles: dict[int, str | None] = {}
        self._rows: list[tuple[int, int, int]] = []  # place of the row, of its tag, of its end tag
        self._columns: list[tuple[int, dict[str, str]]] = []
        self._dimension: int | None = None
        self._all_columns: tuple[int, int] | None = None
        self._data = 0
        self._row = self._column = 0
        parser = expat.ParserCreate()
        parser.StartElementHandler = self._start
        parser.EndElementHandler = self._end
        self._parser = parser
        parser.Parse(part, True)
        del self._parser

    def _start(self, qualified: str, attributes: dict[str, str]) -> None:
        name = qualified.rpartition(":")[2]
        index = self._parser.CurrentByteIndex
        if name == "row":
            self._row = int(attributes.get("r", self._row + 1))
            self._column = 0
            self._rows.append((self._row - 1, index, -1))
        elif name == "c":
            self._column = _xml.column_of(attributes["r"]) if "r" in attributes else self._column + 1
            self.width = max(self.width, self._column)
            if self._row == 1:
                self.header_styles[self._column] = attributes.get("s")
        elif name in ("mergeCell", "hyperlink"):
            self.width = max(self.width, _xml.column_of(attributes.get("ref", "")))
        elif name == "col":
            self._columns.append((index, attributes))
        elif name == "cols":
            self._all_columns = (index, -1)
        elif name == "dimension":
            self._dimension = index
        elif name == "sheetData":
            self._data = index

    def _end(self, qualified: str) -> None:
        name = qualified.rpartition(":")[2]
        if name == "row":
            self._rows[-1] = (*self._rows[-1][:2], self._parser.CurrentByteIndex)
        elif name == "cols":
            assert self._all_columns is not None
            self._all_columns = (self._all_columns[0], self._parser.CurrentByteIndex)

    def with_cells(
        self, first: int, cells: Mapping[int, Sequence[Cell]], money: int | None, style: str | None, widths: Sequence[int]
    ) -> bytes:
        part, edits = self._part, Edits(self._part)
        for row, start, end in self._rows:
            values = cells.get(row)
            if values is None:
                continue
            tag = _xml.tag_at(part, start)
            prefix = _xml.prefix_of(tag)
            of_row = style if row == 0 else None
            ours = "".join(
                _cell(f"{_xml.letters(first + i)}{row + 1}", value, prefix, money, of_row) for i, value in enumerate(values)
            )
            length = len(tag.encode("utf-8", "surrogateescape"))
            # How far the row reaches is only a hint, and no longer true.
            if _xml.closed(tag):
                edits.put(start, start + length, _xml.set_attribute(tag[:-2] + ">", "spans", None) + ours + f"</{prefix}row>")
            else:
                edits.put(start, start + length, _xml.set_attribute(tag, "spans", None))
                edits.put(end, end, ours)
        last = first + len(widths) - 1
        if self._dimension is not None:
            tag = _xml.tag_at(part, self._dimension)
            found = re.search(r"\sref\s*=\s*[\"']([^\"']*)", tag)
            corner = re.match(r"\$?([A-Z]+)\$?([0-9]+)(?::\$?([A-Z]+)\$?([0-9]+))?$", found.group(1) if found else "")
            if corner is not None:
                top, bottom = int(corner.group(2)), int(corner.group(4) or corner.group(2))
                end_column = max(last, _xml.column_of((corner.group(3) or corner.group(1)) + "1"))
                reference = f"{corner.group(1)}{top}:{_xml.letters(end_column)}{bottom}"
                edits.put(self._dimension, self._dimension + len(tag), _xml.set_attribute(tag, "ref", reference))
        self._put_widths(edits, first, widths)
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
