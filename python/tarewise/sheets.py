"""Catalogues in spreadsheets: .xlsx, .ods and .csv, priced in place.

The sheet keeps its columns, their formats and their order; ours come after the last, and a second sheet holds the summary
(beside a CSV file: a second file). Headers are matched by their words and units: ``weight (oz)``, ``Length in``, ``W [cm]``.
"""

from __future__ import annotations

import collections
import csv
import dataclasses
import pathlib
import re
from collections.abc import Mapping, Sequence
from decimal import Decimal
from typing import Any, Union

import numpy as np

from tarewise._columns import LENGTH_UNITS, WEIGHT_UNITS
from tarewise._core import Length, Weight
from tarewise._reprice import Repricer
from tarewise.errors import TarewiseError

__all__ = ["HeaderError", "Priced", "match_headers", "reprice_sheet"]

Cell = Union[str, int, float, Decimal, bool, None]
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


def match_headers(headers: Sequence[Cell], *, file: str | None = None) -> dict[str, Match]:
    """The columns of a catalogue by its headers. Columns that mean nothing to tarewise are left alone.

    Raises HeaderError where weight or a side has no column, where two columns claim one field, or where a header has a unit
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

    A number under a header without a unit is an error of the header; a text has its own unit ("1 lb 3 oz"). Rows that cannot
    be priced get a reason and never stop the rest. ``sheet``: the sheet's name, where it is not the first.
    Needs openpyxl for .xlsx and odfpy for .ods.
    """
    source, out = pathlib.Path(source), pathlib.Path(out)
    kind = source.suffix.lower()
    if out.suffix.lower() != kind:
        raise TarewiseError(f"found {out.name!r} to write, expected a name that ends in {kind}", file=str(out))
    if out.resolve() == source.resolve():
        raise TarewiseError("found one file to read and to write, expected another to write", file=str(out))
    if kind == ".csv":
        return _csv(source, out, repricer)
    if kind == ".xlsx":
        return _xlsx(source, out, repricer, sheet)
    if kind == ".ods":
        return _ods(source, out, repricer, sheet)
    raise TarewiseError(f"found {source.name!r}, expected a file that ends in .xlsx, .ods or .csv", file=str(source))


def _all(seen: Sequence[str]) -> str:
    return "the headers are " + (", ".join(repr(header) for header in seen if header) or "all empty")


# ---- pricing rows ----


def _price(
    rows: Sequence[Sequence[Cell]], headers: Sequence[Cell], repricer: Repricer, file: str
) -> tuple[list[str], list[list[Cell]], Priced]:
    matches = match_headers(headers, file=file)
    columns: dict[str, Any] = {}
    for field, match in matches.items():
        cells = [row[match.column] if match.column < len(row) else None for row in rows]
        if field in ("weight", "length", "width", "height"):
            unit = match.unit or ("oz" if field == "weight" else "in")
            bare = next((i for i, cell in enumerate(cells) if match.unit is None and _number(cell) is not None), None)
            if bare is not None:
                raise HeaderError(
                    f"found the number {cells[bare]!r} under {match.header!r}, expected a unit in the header or the cell",
                    file=file, line=bare + 2, column=match.column + 1,
                )  # fmt: skip
            columns[f"{field}_{unit}"] = np.array([_quantity(cell, field, unit) for cell in cells], dtype=np.float64)
        elif field in _NUMERIC:
            columns[field] = np.array([_or_nan(_number(cell)) for cell in cells], dtype=np.float64)
        elif field in ("contents", "shape"):
            columns[field] = np.array(["" if cell is None else str(cell).strip() for cell in cells], dtype=object)
        else:
            columns[field] = np.array([_flag(cell) for cell in cells], dtype=bool)
    priced = repricer(columns)
    added, cells_out = _added(priced, columns, repricer)
    reasons = [row[-1] for row in cells_out]
    result = Priced(
        rows=len(rows),
        priced=sum(reason is None for reason in reasons),
        added=tuple(added),
        matched={field: match.header for field, match in matches.items()},
        summary=tuple(_summary(added, cells_out, repricer)),
    )
    return added, cells_out, result


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
        else:
            added.append(_title(name))
            lists.append([None if v is None or v == "" else str(v) for v in values])
    rows = [list(row) for row in zip(*lists)] if lists and len(lists[0]) else []
    return added, rows


def _title(name: str) -> str:
    words = name.replace("_", " ")
    return words[0].upper() + words[1:]


def _summary(added: Sequence[str], rows: Sequence[Sequence[Cell]], repricer: Repricer) -> list[tuple[Cell, ...]]:
    out: list[tuple[Cell, ...]] = [("Summary", None, None)]
    out.append(("Rows", len(rows), None))
    out.append(("Priced", sum(row[-1] is None for row in rows), None))
    arguments = repricer._arguments
    out.append(("Handed over on", str(arguments["date"]), None))
    out.append(("Currency", repricer.currency, None))
    reasons = collections.Counter(str(row[-1]) for row in rows if row[-1] is not None)
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


def _or_nan(value: Union[int, float, Decimal, None]) -> float:
    return float("nan") if value is None else float(value)


def _quantity(cell: Cell, field: str, unit: str) -> float:
    number = _number(cell)
    if number is not None or cell is None or isinstance(cell, bool):
        return _or_nan(number)
    try:
        if field == "weight":
            return float(Weight(str(cell)).to(unit))  # type: ignore[arg-type]
        return float(Length(str(cell)).to(unit))  # type: ignore[arg-type]
    except TarewiseError:
        return float("nan")


def _flag(cell: Cell) -> bool:
    return str(cell).strip().lower() in ("true", "yes", "1", "1.0", "x", "y") if cell is not None else False


# ---- kinds of files ----


def _csv(source: pathlib.Path, out: pathlib.Path, repricer: Repricer) -> Priced:
    with open(source, newline="", encoding="utf-8-sig") as file:
        rows = list(csv.reader(file))
    if not rows:
        raise HeaderError("found an empty file, expected a header", file=str(source))
    added, cells, priced = _price(rows[1:], rows[0], repricer, str(source))
    width = len(rows[0])
    with open(out, "w", newline="", encoding="utf-8") as file:
        writer = csv.writer(file, lineterminator="\n")
        writer.writerow([*rows[0], *added])
        for row, extra in zip(rows[1:], cells):
            writer.writerow([*row, *[""] * (width - len(row)), *[_shown(cell) for cell in extra]])
    with open(out.with_name(out.stem + "-summary.csv"), "w", newline="", encoding="utf-8") as file:
        csv.writer(file, lineterminator="\n").writerows([[_shown(cell) for cell in row] for row in priced.summary])
    return priced


def _shown(cell: Cell) -> str:
    if cell is None:
        return ""
    if isinstance(cell, Decimal):
        return f"{cell:.2f}" if cell == cell.quantize(Decimal("0.01")) else f"{cell.normalize():f}"
    return str(cell)


def _xlsx(source: pathlib.Path, out: pathlib.Path, repricer: Repricer, sheet: str | None) -> Priced:
    import copy

    import openpyxl  # type: ignore[import-untyped,unused-ignore]
    from openpyxl.styles import Font  # type: ignore[import-untyped,unused-ignore]

    # Once as it is, to be written again; once with the values that its formulas had.
    book = openpyxl.load_workbook(source)
    values = openpyxl.load_workbook(source, data_only=True)
    if sheet is not None and sheet not in book.sheetnames:
        raise TarewiseError(f"found no sheet {sheet!r}, the file has {', '.join(book.sheetnames)}", file=str(source))
    name = sheet or book.sheetnames[0]
    page, shown = book[name], values[name]
    rows = [list(row) for row in shown.iter_rows(values_only=True)]
    while rows and all(cell is None for cell in rows[-1]):
        rows.pop()
    if not rows:
        raise HeaderError("found an empty sheet, expected a header", file=str(source))
    added, cells, priced = _price(rows[1:], rows[0], repricer, str(source))
    width = max(i + 1 for i, cell in enumerate(rows[0]) if cell is not None)
    model = page.cell(row=1, column=width)
    for i, header in enumerate(added):
        cell = page.cell(row=1, column=width + 1 + i, value=header)
        cell.font, cell.fill, cell.alignment = copy.copy(model.font), copy.copy(model.fill), copy.copy(model.alignment)
        page.column_dimensions[cell.column_letter].width = max(12, len(header) + 2)
        for j, row in enumerate(cells):
            value = page.cell(row=2 + j, column=width + 1 + i, value=row[i])
            if isinstance(row[i], Decimal):
                value.number_format = "0.00"
    taken = set(book.sheetnames)
    title = next(t for t in ("Shipping summary", *(f"Shipping summary {n}" for n in range(2, 1000))) if t not in taken)
    second = book.create_sheet(title)
    for line in priced.summary:
        second.append(list(line))
    for row in second.iter_rows():
        for cell in row:
            if isinstance(cell.value, Decimal):
                cell.number_format = "0.00"
    second["A1"].font = Font(bold=True)
    second.column_dimensions["A"].width = 34
    second.column_dimensions["B"].width = 14
    book.save(out)
    return priced


def _ods(source: pathlib.Path, out: pathlib.Path, repricer: Repricer, sheet: str | None) -> Priced:
    from odf import opendocument, table, teletype, text  # type: ignore[import-untyped,unused-ignore]

    document = opendocument.load(str(source))
    pages = document.spreadsheet.getElementsByType(table.Table)
    names = [page.getAttribute("name") for page in pages]
    if sheet is not None and sheet not in names:
        raise TarewiseError(f"found no sheet {sheet!r}, the file has {', '.join(names)}", file=str(source))
    page = pages[names.index(sheet) if sheet is not None else 0]

    def repeated(element: Any, attribute: str) -> int:
        return int(element.getAttribute(attribute) or 1)

    def read(cell: Any) -> Cell:
        kind = cell.getAttribute("valuetype")
        if kind in ("float", "currency", "percentage"):
            return Decimal(cell.getAttribute("value"))
        if kind == "boolean":
            return str(cell.getAttribute("booleanvalue")) == "true"
        words = "\n".join(teletype.extractText(p) for p in cell.getElementsByType(text.P))
        return words or None

    def cells_of(row: Any) -> list[Any]:
        return [node for node in row.childNodes if node.qname[1] in ("table-cell", "covered-table-cell")]

    elements: list[Any] = []
    rows: list[list[Cell]] = []
    for element in page.getElementsByType(table.TableRow):
        row: list[Cell] = []
        for cell in cells_of(element):
            value = read(cell)
            count = repeated(cell, "numbercolumnsrepeated")
            row += [value] * (count if value is not None else min(count, 64))
        while row and row[-1] is None:
            row.pop()
        count = repeated(element, "numberrowsrepeated")
        if not row and count > 1:
            break  # the empty rest of the sheet
        if count > 1:  # alike rows become rows of their own, to be priced and marked each
            element.removeAttribute("numberrowsrepeated")
        for n in range(count):
            if n > 0:
                element = _copy(element, page, element)
            elements.append(element)
            rows.append(row)
    while rows and not rows[-1]:
        rows.pop()
        elements.pop()
    if not rows:
        raise HeaderError("found an empty sheet, expected a header", file=str(source))
    added, cells, priced = _price(rows[1:], rows[0], repricer, str(source))
    width = len(rows[0])
    extras: list[Sequence[Cell]] = [added, *cells]
    for element, extra in zip(elements, extras):
        have = 0
        for cell in cells_of(element):  # the row up to the header's width, its empty rest taken away
            count = repeated(cell, "numbercolumnsrepeated")
            if have + count > width:
                if have >= width:
                    element.removeChild(cell)
                    continue
                count = width - have
                cell.setAttribute("numbercolumnsrepeated", count)
            have += count
        if have < width:
            element.addElement(table.TableCell(numbercolumnsrepeated=width - have))
        for value in extra:
            element.addElement(_ods_cell(value))
    second = table.Table(name=next(t for t in ("Shipping summary", "Shipping summary 2", "tarewise") if t not in names))
    for summary_row in priced.summary:
        line = table.TableRow()
        for value in summary_row:
            line.addElement(_ods_cell(value))
        second.addElement(line)
    document.spreadsheet.addElement(second)
    document.save(str(out))
    return priced


def _ods_cell(value: Cell) -> Any:
    from odf import table, text

    if value is None:
        return table.TableCell()
    if isinstance(value, (int, Decimal)) and not isinstance(value, bool):
        cell = table.TableCell(valuetype="float", value=str(value))
    else:
        cell = table.TableCell(valuetype="string")
    cell.addElement(text.P(text=_shown(value)))
    return cell


def _copy(element: Any, page: Any, after: Any) -> Any:
    """A deep copy of a row, put after it."""
    from odf.element import Element, Text

    def deep(node: Any) -> Any:
        if not isinstance(node, Element):
            return Text(str(node))
        twin = Element(qname=node.qname, qattributes=dict(node.attributes), check_grammar=False)
        for child in node.childNodes:
            twin.appendChild(deep(child))
        return twin

    twin = deep(element)
    page.insertBefore(twin, after.nextSibling)
    return twin
