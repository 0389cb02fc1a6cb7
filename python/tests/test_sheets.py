"""Spreadsheets: what was in them stays, what we add is what ``rank`` says, and headers are matched or refused aloud."""

from __future__ import annotations

import csv
import errno
import io
import os
import pathlib
import re
import shutil
import stat
import subprocess
import threading
import zipfile
from decimal import Decimal
from fractions import Fraction

import pytest
import tarewise
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from tarewise.__main__ import main
from tarewise.sheets import HeaderError, match_headers, reprice_sheet

openpyxl = pytest.importorskip("openpyxl")
odf = pytest.importorskip("odf")
import openpyxl.chart  # noqa: E402
import openpyxl.comments  # noqa: E402
import openpyxl.drawing.image  # noqa: E402
import openpyxl.formatting.rule  # noqa: E402
import openpyxl.workbook.defined_name  # noqa: E402
import openpyxl.worksheet.datavalidation  # noqa: E402

ROOT = pathlib.Path(__file__).resolve().parents[2]
DEMO = ROOT / "tables" / "demo"
HEADERS = ["SKU", "Weight (oz)", "Length in", "Width [cm]", "H inches", "Qty", "Shelf mark"]
ROWS = [
    ["A-1", 11.4, 12, 22.86, 4, 1, "north"],
    ["A-2", "1 lb 3 oz", "12-3/8 in", 22.86, 4, 2, None],
    ["A-3", None, 12, 22.86, 4, 1, "south"],
    ["A-4", "heavy", 12, 22.86, 4, 1, "=1+1"],
]
ARGUMENTS = ["--tables", str(DEMO), "--date", "2026-08-03", "--from", "US 05401", "--to", "US 98101", "--currency", "USD"]


def repricer() -> tarewise.Repricer:
    tables = tarewise.load(DEMO)
    lane = tarewise.Lane("US 05401", "US 98101")
    return tarewise.Repricer(tables.ratebook, date="2026-08-03", lanes=lane, shelf=tables.shelf, currency="USD")


def best(weight: str, sides: str, quantity: int) -> tarewise.Offer:
    tables = tarewise.load(DEMO)
    item = tarewise.Item(weight, sides, quantity=quantity)
    return tarewise.rank(
        tables.ratebook,
        item,
        shelf=tables.shelf,
        lane=tarewise.Lane("US 05401", "US 98101"),
        date="2026-08-03",
        currency="USD",
    ).offers[0]


EXPECTED = [("11.4 oz", "12 in x 22.86 cm x 4 in", 1), ("1 lb 3 oz", "12.375 in x 22.86 cm x 4 in", 2)]


def check(rows: list[list[object]]) -> None:
    for row, question in zip(rows, EXPECTED):
        offer = best(*question)
        assert Decimal(str(row[0])) == offer.total
        assert row[1] == f"{offer.carrier}/{offer.service}"
        assert row[2] == offer.packaging
        assert not row[3] and not row[4]
    for row in rows[2:]:
        assert not row[0] and row[4], "a missing or unreadable weight is a reason, never a price"


def make_xlsx(path: pathlib.Path) -> None:
    book = openpyxl.Workbook()
    page = book.active
    page.title = "Goods"
    for row in [HEADERS, *ROWS]:
        page.append(row)
    page["A1"].font = openpyxl.styles.Font(bold=True, color="FF336699")
    page["B2"].number_format = "0.000"
    page.column_dimensions["A"].width = 33
    book.create_sheet("Other")["A1"] = "kept"
    book.save(path)


def test_xlsx_keeps_the_sheet_and_adds_to_it(tmp_path: pathlib.Path) -> None:
    make_xlsx(tmp_path / "goods.xlsx")
    priced = reprice_sheet(tmp_path / "goods.xlsx", tmp_path / "priced.xlsx", repricer())
    assert (priced.rows, priced.priced) == (4, 2)
    book = openpyxl.load_workbook(tmp_path / "priced.xlsx")
    assert book.sheetnames == ["Goods", "Other", "Shipping summary"]
    page = book["Goods"]
    assert [cell.value for cell in page[1]] == [*HEADERS, "Total (USD)", "Service", "Packaging", "Cautions", "Reason"]
    assert [[cell.value for cell in row[:7]] for row in page.iter_rows(min_row=2)] == ROWS  # the formula too
    assert page["A1"].font.bold and page["A1"].font.color.rgb == "FF336699"
    assert page["B2"].number_format == "0.000"
    assert page.column_dimensions["A"].width == 33
    assert book["Other"]["A1"].value == "kept"
    check([[cell.value for cell in row[7:]] for row in page.iter_rows(min_row=2)])
    summary = {row[0]: row[1] for row in book["Shipping summary"].iter_rows(values_only=True) if row[0]}
    assert summary["Rows"] == 4 and summary["Priced"] == 2


def test_csv_keeps_its_texts(tmp_path: pathlib.Path) -> None:
    texts = [["" if cell is None else str(cell) for cell in row] for row in [HEADERS, *ROWS]]
    with open(tmp_path / "goods.csv", "w", newline="", encoding="utf-8") as file:
        csv.writer(file).writerows(texts)
    assert main(["reprice", str(tmp_path / "goods.csv"), "--out", str(tmp_path / "priced.csv"), *ARGUMENTS]) == 0
    with open(tmp_path / "priced.csv", newline="", encoding="utf-8") as file:
        rows = list(csv.reader(file))
    assert [row[:7] for row in rows] == texts
    check([list(row[7:]) for row in rows[1:]])
    assert (tmp_path / "priced-summary.csv").read_text(encoding="utf-8").startswith("Summary,,\nRows,4,\nPriced,2,\n")


def test_ods_with_repeated_cells_and_rows(tmp_path: pathlib.Path) -> None:
    from odf import opendocument, table, teletype, text

    def cell(value: object) -> object:
        if value is None:
            return table.TableCell()
        number = isinstance(value, (int, float))
        made = table.TableCell(valuetype="float", value=value) if number else table.TableCell(valuetype="string")
        made.addElement(text.P(text=str(value)))
        return made

    document = opendocument.OpenDocumentSpreadsheet()
    page = table.Table(name="Goods")
    for values in [HEADERS, *ROWS]:
        row = table.TableRow()
        for value in values:
            row.addElement(cell(value))
        row.addElement(table.TableCell(numbercolumnsrepeated=1000))
        page.addElement(row)
    twice = table.TableRow(numberrowsrepeated=2)
    for value in ROWS[0]:
        twice.addElement(cell(value))
    page.addElement(twice)
    empty = table.TableRow(numberrowsrepeated=90000)
    empty.addElement(table.TableCell(numbercolumnsrepeated=1024))
    page.addElement(empty)
    document.spreadsheet.addElement(page)
    document.save(str(tmp_path / "goods.ods"))

    priced = reprice_sheet(tmp_path / "goods.ods", tmp_path / "priced.ods", repricer())
    assert (priced.rows, priced.priced) == (6, 4)
    again = opendocument.load(str(tmp_path / "priced.ods"))
    pages = again.spreadsheet.getElementsByType(table.Table)
    assert [p.getAttribute("name") for p in pages] == ["Goods", "Shipping summary"]
    rows = []
    for row in pages[0].getElementsByType(table.TableRow)[:7]:
        texts: list[str] = []
        for c in row.getElementsByType(table.TableCell):
            words = "".join(teletype.extractText(p) for p in c.getElementsByType(text.P))
            texts += [words] * int(c.getAttribute("numbercolumnsrepeated") or 1)
        rows.append(texts)
    assert rows[0][:12] == [*HEADERS, "Total (USD)", "Service", "Packaging", "Cautions", "Reason"]
    assert {len(row) for row in rows[:5]} == {1007}  # as many columns as there were
    assert rows[1][:2] == ["A-1", "11.4"]
    check([list(row[7:]) for row in rows[1:5]])
    assert rows[5][7:12] == rows[6][7:12] == rows[1][7:12]
    assert not any(text for row in rows for text in row[12:])


# ---- what is not ours ----

ADDED = ["Total (USD)", "Service", "Packaging", "Cautions", "Reason"]
BESIDE = "moved last spring"


def parts(path: pathlib.Path) -> dict[str, bytes]:
    with zipfile.ZipFile(path) as archive:
        assert archive.testzip() is None
        return {name: archive.read(name) for name in archive.namelist()}


def make_crowded_xlsx(path: pathlib.Path) -> None:
    """A sheet that stands full beside its table: a note, a picture, merged cells, formulas, hidden columns to the end."""
    from PIL import Image as Pixels

    book = openpyxl.Workbook()
    page = book.active
    page.title = "Goods"
    for row in [HEADERS, *ROWS]:
        page.append(row)
    page["J3"] = BESIDE  # two columns behind the last header
    page["I2"] = "=B2*2"
    page["L4"].comment = openpyxl.comments.Comment("weighed twice", "Quillmoor")
    page.merge_cells("K8:M9")
    page["K8"] = "all of this is one cell"
    page["C2"].comment = openpyxl.comments.Comment("with its lid", "Quillmoor")
    page["B2"].number_format = "0.000"
    page["A1"].font = openpyxl.styles.Font(bold=True, color="FF336699")
    page["G1"].fill = openpyxl.styles.PatternFill("solid", fgColor="FFEEDDCC")
    page.row_dimensions[2].height = 31
    page.column_dimensions["D"].hidden = True
    page.column_dimensions.group("P", "XFD", hidden=True)
    page.auto_filter.ref = "A1:G5"
    page.conditional_formatting.add("B2:B5", openpyxl.formatting.rule.CellIsRule(operator="greaterThan", formula=["12"]))
    checks = openpyxl.worksheet.datavalidation.DataValidation(type="whole", operator="greaterThan", formula1="0")
    checks.add("F2:F5")
    page.add_data_validation(checks)
    image = io.BytesIO()
    Pixels.new("RGB", (64, 32), "teal").save(image, "PNG")
    image.seek(0)
    page.add_image(openpyxl.drawing.image.Image(image), "N2")
    other = book.create_sheet("Other & more")
    other["A1"], other["B1"] = "kept", "=SUM(Goods!F2:F5)"
    other.add_chart(openpyxl.chart.BarChart(), "D4")
    book.defined_names["Marks"] = openpyxl.workbook.defined_name.DefinedName("Marks", attr_text="Goods!$G$2:$G$5")
    book.save(path)


def cells_of(path: pathlib.Path, sheet: str) -> dict[str, tuple[object, ...]]:
    """Of every cell its value and how it looks."""
    page = openpyxl.load_workbook(path)[sheet]
    return {
        cell.coordinate: (cell.value, cell.number_format, repr(cell.font), repr(cell.fill), cell.comment and cell.comment.text)
        for row in page.iter_rows()
        for cell in row
        if cell.value is not None or cell.has_style or cell.comment
    }


def test_xlsx_touches_no_cell_that_is_not_ours(tmp_path: pathlib.Path) -> None:
    source, out = tmp_path / "goods.xlsx", tmp_path / "priced.xlsx"
    make_crowded_xlsx(source)
    priced = reprice_sheet(source, out, repricer())
    assert (priced.rows, priced.priced) == (5, 2)  # the row of the merged cell is no good, and says so
    before, after = parts(source), parts(out)
    # Pictures, notes, charts, the other sheets: byte for byte.
    ours = {"xl/worksheets/sheet1.xml", "xl/styles.xml", "xl/workbook.xml", "xl/_rels/workbook.xml.rels", "[Content_Types].xml"}
    assert {name for name in before if before[name] != after.get(name)} == ours
    assert set(after) - set(before) == {"xl/worksheets/sheet3.xml"}
    assert any("media" in name for name in before) and any("comment" in name for name in before)
    # Every cell as it was; ours behind the picture, which is in the column N.
    was, now = cells_of(source, "Goods"), cells_of(out, "Goods")
    assert {place: cell for place, cell in now.items() if place in was} == was
    assert {place.rstrip("0123456789") for place in now if place not in was} == {"P", "Q", "R", "S", "T"}
    page = openpyxl.load_workbook(out)["Goods"]
    assert page["J3"].value == BESIDE and page["I2"].value == "=B2*2" and str(page.merged_cells) == "K8:M9"
    assert [page.cell(1, 16 + i).value for i in range(5)] == ADDED
    assert page["P1"].fill.fgColor.rgb == page["G1"].fill.fgColor.rgb == "FFEEDDCC"
    check([[page.cell(row, 16 + i).value for i in range(5)] for row in range(2, 6)])
    assert page["P2"].number_format == "0.00"
    # In the part itself: what is not a cell of ours is there word for word.
    sheet = after["xl/worksheets/sheet1.xml"].decode()
    for tag in ("mergeCells", "autoFilter", "conditionalFormatting", "dataValidations", "sheetViews", "drawing", "legacyDrawing"):
        (held,) = re.findall(rf"<{tag}[ >].*?(?:</{tag}>|(?<=/)>)", before["xl/worksheets/sheet1.xml"].decode(), re.S)
        assert held in sheet, tag
    # Hidden columns stay so, but for those that are ours.
    hidden = {letter: one.hidden for letter, one in page.column_dimensions.items()}
    assert hidden["D"] and hidden["U"] and not any(hidden.get(letter, False) for letter in "PQRST")
    (rest,) = (one for letter, one in page.column_dimensions.items() if letter == "U")
    assert (rest.min, rest.max) == (21, 16384)


def test_xlsx_again_takes_its_own_place(tmp_path: pathlib.Path) -> None:
    make_crowded_xlsx(tmp_path / "goods.xlsx")
    reprice_sheet(tmp_path / "goods.xlsx", tmp_path / "once.xlsx", repricer())
    priced = reprice_sheet(tmp_path / "once.xlsx", tmp_path / "twice.xlsx", repricer())
    assert "our columns were there, and are replaced" in priced.told
    once, twice = parts(tmp_path / "once.xlsx"), parts(tmp_path / "twice.xlsx")
    summary = "xl/worksheets/sheet3.xml"
    assert {name for name in once if once[name] != twice.get(name)} <= {summary, "xl/styles.xml"} and set(once) == set(twice)
    assert cells_of(tmp_path / "once.xlsx", "Goods") == cells_of(tmp_path / "twice.xlsx", "Goods")
    assert openpyxl.load_workbook(tmp_path / "twice.xlsx").sheetnames == ["Goods", "Other & more", "Shipping summary"]


def test_xlsx_of_other_writers(tmp_path: pathlib.Path) -> None:
    """With a prefix on every name, no places on cells, spans, empty rows, shared texts and a formula that was never worked out."""
    main = "http://schemas.openxmlformats.org/spreadsheetml/2006/main"
    make_xlsx(tmp_path / "plain.xlsx")
    held = parts(tmp_path / "plain.xlsx")
    rows = [
        "".join(f'<x:c t="inlineStr"><x:is><x:t>{h}</x:t></x:is></x:c>' for h in ("Weight oz", "L in", "W in", "H in", "Value")),
        "<x:c><x:v>11.4</x:v></x:c><x:c><x:v>9</x:v></x:c><x:c><x:v>6</x:v></x:c><x:c><x:v>3</x:v></x:c>",
        "<x:c><x:f>2*4</x:f></x:c><x:c><x:v>9</x:v></x:c><x:c><x:v>6</x:v></x:c><x:c><x:v>3</x:v></x:c>",
        "<x:c><x:v>8</x:v></x:c><x:c><x:v>9</x:v></x:c><x:c><x:v>6</x:v></x:c><x:c><x:v>3</x:v></x:c><x:c><x:f>A4*2</x:f></x:c>",
    ]
    body = "".join(f'<x:row spans="1:5">{row}</x:row>' for row in rows) + '<x:row r="9"/>'
    held["xl/worksheets/sheet1.xml"] = (
        f'<?xml version="1.0"?><x:worksheet xmlns:x="{main}"><x:dimension ref="A1:E9"/><x:sheetData>{body}</x:sheetData></x:worksheet>'
    ).encode("utf-16")
    with zipfile.ZipFile(tmp_path / "goods.xlsx", "w") as archive:
        for name, part in held.items():
            archive.writestr(name, part)
    priced = reprice_sheet(tmp_path / "goods.xlsx", tmp_path / "priced.xlsx", repricer())
    assert (priced.rows, priced.priced) == (3, 1)
    page = openpyxl.load_workbook(tmp_path / "priced.xlsx")["Goods"]
    assert [page.cell(1, 6 + i).value for i in range(5)] == ADDED
    assert Decimal(str(page["F2"].value)) == best("11.4 oz", "9 x 6 x 3 in", 1).total
    # What a formula comes to is not in the file: neither missing nor 0.
    assert page["J3"].value.startswith('bad_weight: Weight oz: found "=2*4"')
    assert page["J4"].value.startswith('bad_value: Value: found "=A4*2"')
    text = parts(tmp_path / "priced.xlsx")["xl/worksheets/sheet1.xml"].decode()
    assert "spans" not in text and 'ref="A1:J9"' in text and '<x:row r="9"/>' in text


def test_xlsx_without_room(tmp_path: pathlib.Path) -> None:
    make_xlsx(tmp_path / "goods.xlsx")
    book = openpyxl.load_workbook(tmp_path / "goods.xlsx")
    book["Goods"]["XFC9"] = "at the end"
    book.save(tmp_path / "full.xlsx")
    with pytest.raises(tarewise.TarewiseError, match="found 16383 columns in use, expected room for 5 more"):
        reprice_sheet(tmp_path / "full.xlsx", tmp_path / "priced.xlsx", repricer())
    assert not (tmp_path / "priced.xlsx").exists()


def test_ods_touches_no_cell_that_is_not_ours(tmp_path: pathlib.Path) -> None:
    from odf import draw, office, opendocument, style, table, text

    document = opendocument.OpenDocumentSpreadsheet()
    bold = style.Style(name="ce1", family="table-cell")
    bold.addElement(style.TextProperties(fontweight="bold"))
    document.automaticstyles.addElement(bold)
    page = table.Table(name="Goods")
    page.addElement(table.TableColumn(numbercolumnsrepeated=8))
    page.addElement(table.TableColumn(visibility="collapse", numbercolumnsrepeated=1016))

    def cell(value: object, **attributes: object) -> object:
        if value is None:
            return table.TableCell(**attributes)
        number = isinstance(value, (int, float))
        kind = {"valuetype": "float", "value": value} if number else {"valuetype": "string"}
        made = table.TableCell(**kind, **attributes)
        made.addElement(text.P(text=str(value)))
        return made

    rows = []
    for values in [HEADERS, *ROWS]:
        row = table.TableRow()
        for value in values:
            row.addElement(cell(value))
        rows.append(row)
        page.addElement(row)
    noted = office.Annotation()
    noted.addElement(text.P(text="weighed twice, 99 lb with the crate"))
    first = rows[2].childNodes[1]  # the note is no part of "1 lb 3 oz"
    first.insertBefore(noted, first.firstChild)
    rows[2].addElement(cell(None, numbercolumnsrepeated=2))
    rows[2].addElement(cell(BESIDE, stylename="ce1"))  # column J
    rows[3].addElement(cell(None, numbercolumnsrepeated=1017, stylename="ce1"))
    rows[4].addElement(cell(None))
    picture = table.TableCell()  # column I, over K and L too
    frame = draw.Frame(endcelladdress="Goods.L9", width="5cm", height="1cm")
    frame.addElement(draw.Image(href=document.addPictureFromString(b"no pixels", "image/png")))
    picture.addElement(frame)
    rows[4].addElement(picture)
    gap = table.TableRow(numberrowsrepeated=3)
    gap.addElement(table.TableCell(numbercolumnsrepeated=1024))
    page.addElement(gap)
    last = table.TableRow()
    for value in ROWS[0]:
        last.addElement(cell(value))
    page.addElement(last)
    document.spreadsheet.addElement(page)
    other = table.Table(name="Other")
    document.spreadsheet.addElement(other)
    document.save(str(tmp_path / "goods.ods"))

    priced = reprice_sheet(tmp_path / "goods.ods", tmp_path / "priced.ods", repricer())
    # The good behind three empty rows is one too.
    assert (priced.rows, priced.priced) == (5, 3)
    before, after = parts(tmp_path / "goods.ods"), parts(tmp_path / "priced.ods")
    assert list(before) == list(after) and {n for n in before if before[n] != after[n]} == {"content.xml"}
    with zipfile.ZipFile(tmp_path / "priced.ods") as archive:
        assert archive.infolist()[0].filename == "mimetype" and archive.infolist()[0].compress_type == zipfile.ZIP_STORED
    was = grid(tmp_path / "goods.ods", "Goods")
    now = grid(tmp_path / "priced.ods", "Goods")
    assert [row[:12] for row in now] == [row[:12] for row in was] and was[2][9][0] == BESIDE
    assert [row[17:] for row in now] == [row[17:] for row in was]
    assert [words for words, _ in now[0][12:17]] == ADDED
    check([[words for words, _ in row[12:17]] for row in now[1:5]])
    assert all(words == "" for row in now[5:8] for words, _ in row)
    assert now[8][12:17] == now[1][12:17]
    content = after["content.xml"].decode()
    assert content.count("99 lb with the crate") == 1 and content.count("<draw:frame") == 1
    assert content.index('table:name="Other"') < content.index('table:name="Shipping summary"') < content.index("</office:spreadsheet>")
    columns = re.findall(r"<table:table-column[^>]*>", content)
    shown = [("collapse" in one, int((re.findall(r'columns-repeated="(\d+)"', one) or ["1"])[0])) for one in columns[:4]]
    assert shown == [(False, 8), (True, 4), (False, 5), (True, 1007)]


def grid(path: pathlib.Path, sheet: str) -> list[list[tuple[str, str]]]:
    """Of every cell its words, notes too, and its style, each row to its last column."""
    from odf import opendocument, table, teletype

    (page,) = (p for p in opendocument.load(str(path)).spreadsheet.getElementsByType(table.Table) if p.getAttribute("name") == sheet)
    out: list[list[tuple[str, str]]] = []
    for row in page.getElementsByType(table.TableRow):
        cells: list[tuple[str, str]] = []
        for cell in row.childNodes:
            held = (teletype.extractText(cell), str(cell.getAttribute("stylename") or ""))
            cells += [held] * int(cell.getAttribute("numbercolumnsrepeated") or 1)
        cells += [("", "")] * (1024 - len(cells))
        out += [cells] * int(row.getAttribute("numberrowsrepeated") or 1)
    return out


def test_csv_lines_keep_their_bytes_and_what_stands_right_of_the_header(tmp_path: pathlib.Path) -> None:
    lines = [
        'SKU,"Weight (oz)",Length in,Width in,Height in',
        '"A-1",11.4,12,9,4',
        f'A-2,"1 lb 3 oz",12,9,4,,{BESIDE}',
        "",
        'A-3,11.4,12,9',
        '"A ""4""\r\nof two lines", 11.4 ,12,9,4,',
        'A-5,8 oz,12",9,4',
    ]
    source = b"\xef\xbb\xbf" + "\r\n".join(lines).encode()  # no line ending at the end
    (tmp_path / "goods.csv").write_bytes(source)
    priced = reprice_sheet(tmp_path / "goods.csv", tmp_path / "priced.csv", repricer())
    assert (priced.rows, priced.priced) == (5, 4)
    out = (tmp_path / "priced.csv").read_bytes()
    assert out.startswith(b"\xef\xbb\xbfSKU")
    found = re.split("\r\n(?!of two)", out.decode("utf-8-sig"))
    assert found.pop() == ""
    commas = [3, 3, 1, 0, 4, 2, 3]  # up to the eighth field, the first behind the widest row
    for line, text, more in zip(lines, found, commas, strict=True):
        assert text.startswith(line + "," * more)
        assert line or not text
    rows = list(csv.reader(io.StringIO(out.decode("utf-8-sig"), newline="")))
    assert [row[7:] for row in rows[:1]] == [ADDED] and {len(row) for row in rows} == {12, 0}
    assert rows[2][6] == BESIDE
    offer = best("11.4 oz", "12 x 9 x 4 in", 1)
    wanted = [str(offer.total), f"{offer.carrier}/{offer.service}", offer.packaging, "", ""]
    assert rows[1][7:] == rows[5][7:] == wanted
    assert rows[4][7:] == ["", "", "", "", "missing: Height in"]
    assert rows[6][7] == str(best("8 oz", "12 x 9 x 4 in", 1).total) and not rows[6][11]  # of 12"


@pytest.mark.parametrize(
    ("data", "words"),
    [
        (b"\xff\xfew\x00e\x00", "found no column for weight"),
        (b"weight oz,length in,width in,height in\n8,9,6,3\n8,\xe9,6,3\n", "found 0xE9 (byte 50 of the file, line 3), which is not UTF-8"),
        (b'weight oz,length in,width in,height in\n8,9,6,"3\n', "a quote that never ends"),
        (b"", "an empty file"),
    ],
)
def test_csv_that_cannot_be_read(data: bytes, words: str, tmp_path: pathlib.Path, capsys: pytest.CaptureFixture[str]) -> None:
    (tmp_path / "goods.csv").write_bytes(data)
    assert main(["reprice", str(tmp_path / "goods.csv"), "--out", str(tmp_path / "out.csv"), *ARGUMENTS]) == 2
    said = capsys.readouterr().err
    assert "goods.csv" in said and words.rpartition(": ")[2] in said
    assert sorted(path.name for path in tmp_path.iterdir()) == ["goods.csv"]


def test_cells_mean_what_they_mean_in_every_catalogue(tmp_path: pathlib.Path) -> None:
    """An empty cell of what may be left out is left out; a text that cannot be read is told by the sheet's own header."""
    head = "Weight oz,Length in,Width in,Height in,Qty,Declared value,Contents,Shape,This side up,Rigid"
    sides = "11.4,12,9,4"
    lines = [",,,,,", "1,0,,box,no,false", " , , , , , ", "x,,,,,", ",about 5,,,,", ",,glass,,,", ",,,round,,", ",,,,maybe,", ",,,,,soft", ",,,,x,"]
    (tmp_path / "goods.csv").write_text("\n".join([head, *(f"{sides},{line}" for line in lines)]), encoding="utf-8")
    reprice_sheet(tmp_path / "goods.csv", tmp_path / "priced.csv", repricer())
    with open(tmp_path / "priced.csv", newline="", encoding="utf-8") as file:
        rows = [row[10:] for row in csv.reader(file)][1:]
    assert rows[0][0] == str(best("11.4 oz", "12 x 9 x 4 in", 1).total) and rows[0] == rows[1] == rows[2]
    told = [
        'bad_quantity: Qty: found "x", expected a whole number',
        'bad_value: Declared value: found "about 5", expected an amount of money',
        'bad_contents: Contents: found "glass", expected words',
        'bad_shape: Shape: found "round", expected box, tube',
        'bad_flag: This side up: found "maybe", expected true or false',
        'bad_flag: Rigid: found "soft", expected true or false',
    ]
    for row, words in zip(rows[3:9], told, strict=True):
        assert row[:3] == ["", "", ""] and row[4].startswith(words), row
    assert rows[9][4] == ""


# ---- files ----


@pytest.fixture
def goods_csv(tmp_path: pathlib.Path) -> pathlib.Path:
    path = tmp_path / "goods.csv"
    path.write_text("weight oz,length in,width in,height in\n8,9,6,3\n", encoding="utf-8")
    return path


def names(folder: pathlib.Path) -> list[str]:
    return sorted(path.name for path in folder.iterdir())


def test_out_is_whole_or_not_there(goods_csv: pathlib.Path, tmp_path: pathlib.Path, monkeypatch: pytest.MonkeyPatch) -> None:
    out, summary = tmp_path / "priced.csv", tmp_path / "priced-summary.csv"
    out.write_text("what was there")
    for name in ("fsync", "replace"):
        with monkeypatch.context() as patch:

            def full(*args: object) -> None:
                raise OSError(errno.ENOSPC, "No space left on device")

            patch.setattr(os, name, full)
            with pytest.raises(OSError, match="No space"):
                reprice_sheet(goods_csv, out, repricer())
        assert out.read_text() == "what was there" and names(tmp_path) == ["goods.csv", "priced.csv"]
    with monkeypatch.context() as patch:

        def stop(*args: object) -> None:
            raise KeyboardInterrupt

        patch.setattr(os, "fsync", stop)
        with pytest.raises(KeyboardInterrupt):
            reprice_sheet(goods_csv, out, repricer())
    assert out.read_text() == "what was there" and names(tmp_path) == ["goods.csv", "priced.csv"]
    reprice_sheet(goods_csv, out, repricer())
    assert out.read_text().startswith("weight oz") and summary.exists()
    assert names(tmp_path) == ["goods.csv", "priced-summary.csv", "priced.csv"]


def test_links_and_rights_stay(goods_csv: pathlib.Path, tmp_path: pathlib.Path) -> None:
    folder = tmp_path / "kept"
    folder.mkdir()
    (folder / "real.csv").write_text("old")
    (folder / "real.csv").chmod(0o640)
    (tmp_path / "link.csv").symlink_to("kept/real.csv")
    (tmp_path / "chain.csv").symlink_to("link.csv")
    (tmp_path / "dangling.csv").symlink_to("kept/new.csv")
    mask = os.umask(0o027)
    try:
        for name, real in (("chain.csv", "real.csv"), ("dangling.csv", "new.csv")):
            reprice_sheet(goods_csv, tmp_path / name, repricer())
            assert (tmp_path / name).is_symlink() and (folder / real).read_text().startswith("weight oz")
    finally:
        os.umask(mask)
    assert (tmp_path / "link.csv").is_symlink()
    assert stat.S_IMODE((folder / "real.csv").stat().st_mode) == 0o640
    assert stat.S_IMODE((folder / "new.csv").stat().st_mode) == 0o640  # as the mask says
    assert names(folder) == ["new.csv", "real.csv"]
    (tmp_path / "circle.csv").symlink_to("circle.csv")
    with pytest.raises(OSError):
        reprice_sheet(goods_csv, tmp_path / "circle.csv", repricer())


def test_pipes_and_devices_are_written_to(goods_csv: pathlib.Path, tmp_path: pathlib.Path) -> None:
    pipe = tmp_path / "pipe.csv"
    os.mkfifo(pipe)
    read: list[bytes] = []
    reader = threading.Thread(target=lambda: read.append(pipe.read_bytes()))
    reader.start()
    reprice_sheet(goods_csv, pipe, repricer())
    reader.join(30)
    assert read and read[0].startswith(b"weight oz") and stat.S_ISFIFO(pipe.stat().st_mode)
    (tmp_path / "null.csv").symlink_to("/dev/null")
    reprice_sheet(goods_csv, tmp_path / "null.csv", repricer())
    assert (tmp_path / "null.csv").is_symlink() and stat.S_ISCHR(os.stat("/dev/null").st_mode)


def test_what_cannot_be_written_to(goods_csv: pathlib.Path, tmp_path: pathlib.Path) -> None:
    (tmp_path / "folder.csv").mkdir()
    (tmp_path / "priced-summary.csv").write_text(goods_csv.read_text())
    (tmp_path / "alias.csv").symlink_to("goods.csv")
    os.link(goods_csv, tmp_path / "hard.csv")
    for out, words in (
        (tmp_path / "folder.csv", "found a folder, expected a file"),
        (tmp_path / "nowhere" / "priced.csv", "found no folder"),
        ("-", "found '-' to write, expected a file"),
        (tmp_path / "alias.csv", "one file to read and to write"),
        (tmp_path / "hard.csv", "one file to read and to write"),
    ):
        with pytest.raises(tarewise.TarewiseError, match=words):
            reprice_sheet(goods_csv, out, repricer())
    # The summary of "priced.csv" would go over what is read.
    with pytest.raises(tarewise.TarewiseError, match="one file to read and to write"):
        reprice_sheet(tmp_path / "priced-summary.csv", tmp_path / "priced.csv", repricer())
    assert goods_csv.read_text().count("\n") == 2 and not (tmp_path / "priced.csv").exists()


@pytest.mark.parametrize("kind", ["xlsx", "ods"])
def test_files_that_are_no_workbook(kind: str, tmp_path: pathlib.Path, capsys: pytest.CaptureFixture[str]) -> None:
    for data in (b"", b"no archive", zipped("[Content_Types].xml"), zipped("content.xml")):
        (tmp_path / f"goods.{kind}").write_bytes(data)
        assert main(["reprice", str(tmp_path / f"goods.{kind}"), "--out", str(tmp_path / f"out.{kind}"), *ARGUMENTS]) == 2
        assert f"goods.{kind}: found no" in capsys.readouterr().err


def zipped(name: str) -> bytes:
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w") as archive:
        archive.writestr(name, "<a")
    return out.getvalue()


@pytest.mark.parametrize(
    ("headers", "words"),
    [
        (["SKU", "Weight (oz)", "Length in"], "no column for width, height"),
        (["Weight (oz)", "Wt lb", "L in", "W in", "H in"], "'Weight (oz)' and 'Wt lb', expected one column for weight"),
        (["Weight (in)", "L in", "W in", "H in"], "expected one unit of lb, oz, kg, g, mg beside weight"),
    ],
)
def test_headers_that_cannot_be_matched_list_what_was_seen(headers: list[str], words: str) -> None:
    with pytest.raises(HeaderError, match="the headers are") as error:
        match_headers(headers)
    assert words in str(error.value)
    for header in headers:
        assert repr(header) in str(error.value)


def test_headers_match_by_words_and_units() -> None:
    found = match_headers(["Item", "Item weight, grams", "len (mm)", "W", "Height", "This side up", "Price", "Value"])
    assert {field: (match.column, match.unit) for field, match in found.items()} == {
        "weight": (1, "g"),
        "length": (2, "mm"),
        "width": (3, None),
        "height": (4, None),
        "this_side_up": (5, None),
        "value": (7, None),
    }


@pytest.mark.parametrize("header", ["Value (USD)", "declared value", "Declared value USD", "USD value", "value_usd", "Item value"])
def test_values_may_say_their_currency(header: str) -> None:
    sides = ["weight oz", "L in", "W in", "H in"]
    assert match_headers([*sides, header], currency="USD")["value"].column == 4
    if "usd" in header.lower():
        with pytest.raises(HeaderError, match="expected values in USD, the currency of the totals"):
            match_headers([*sides, "Value (EUR)"], currency="USD")
    assert "value" not in match_headers([*sides, "Value of a lot"], currency="USD")


def test_a_number_without_a_unit_is_an_error(tmp_path: pathlib.Path, capsys: pytest.CaptureFixture[str]) -> None:
    (tmp_path / "goods.csv").write_text("weight,length in,width in,height in\n,9,6,3\n11.4,9,6,3\n", encoding="utf-8")
    assert main(["reprice", str(tmp_path / "goods.csv"), "--out", str(tmp_path / "out.csv"), *ARGUMENTS]) == 2
    said = capsys.readouterr()
    assert said.out == ""
    assert "goods.csv:3:1: found the number '11.4' under 'weight', expected a unit" in said.err
    assert not (tmp_path / "out.csv").exists()


def test_mistakes_of_files(tmp_path: pathlib.Path) -> None:
    make_xlsx(tmp_path / "goods.xlsx")
    with pytest.raises(tarewise.TarewiseError, match="ends in .xlsx"):
        reprice_sheet(tmp_path / "goods.xlsx", tmp_path / "priced.csv", repricer())
    with pytest.raises(tarewise.TarewiseError, match="expected another to write"):
        reprice_sheet(tmp_path / "goods.xlsx", tmp_path / "goods.xlsx", repricer())
    with pytest.raises(tarewise.TarewiseError, match="no sheet 'Gods', the file has Goods, Other"):
        reprice_sheet(tmp_path / "goods.xlsx", tmp_path / "priced.xlsx", repricer(), sheet="Gods")


# ---- sheets as they come ----


def read_csv(path: pathlib.Path, delimiter: str = ",") -> list[list[str]]:
    with open(path, newline="", encoding="utf-8-sig") as file:
        return list(csv.reader(file, delimiter=delimiter))


def book_of(rows: list[list[object]], path: pathlib.Path) -> openpyxl.Workbook:
    book = openpyxl.Workbook()
    book.active.title = "Goods"
    for row in rows:
        book.active.append(row)
    book.save(path)
    return book


@pytest.mark.parametrize(
    ("headers", "units"),
    [
        (["Weight in oz", "Length in inches", "Width in in", "Height (in)"], ("oz", "in", "in", "in")),
        (["Shipping weight (oz)", "L", "W", "D"], ("oz", None, None, None)),
        (["Package weight [kg]", "Depth cm", "Width cm", "Height cm"], ("kg", "cm", "cm", "cm")),
        (["Unit weight, grams", "Item length mm", "Product width mm", "h mm"], ("g", "mm", "mm", "mm")),
    ],
)
def test_headers_as_people_write_them(headers: list[str], units: tuple[str | None, ...]) -> None:
    found = match_headers(headers)
    assert [(found[f].column, found[f].unit) for f in ("weight", "length", "width", "height")] == list(enumerate(units))


@pytest.mark.parametrize(
    ("header", "unit", "axes"),
    [
        ("L x W x H", None, (0, 1, 2)), ("LxWxH (cm)", "cm", (0, 1, 2)), ("Dimensions (in)", "in", None), ("Size", None, None),
        ("Package dimensions in cm", "cm", None), ("Dimensions H x W x D (mm)", "mm", (2, 1, 0)), ("W\u00d7D\u00d7H in", "in", (1, 0, 2)),
        ("Length x Width x Height", None, (0, 1, 2)),
    ],
)  # fmt: skip
def test_one_column_of_three_sides(header: str, unit: str | None, axes: tuple[int, int, int] | None) -> None:
    found = match_headers(["Weight oz", header])
    assert (found["sides"].unit, found["sides"].axes) == (unit, axes)
    assert "sides" not in match_headers(["Weight oz", "L in", "W in", "H in", "Size"])
    with pytest.raises(HeaderError, match="no column for length, width, height"):
        match_headers(["Weight oz", "L x W"])
    with pytest.raises(HeaderError, match="'Weight oz' and 'Shipping weight', expected one column for weight: say which in columns"):
        match_headers(["Weight oz", "Shipping weight", header])


def test_cells_as_people_type_them(tmp_path: pathlib.Path) -> None:
    typed = [
        ("3 lbs", "12 1/2", '12"', "9 IN", ("3 lb", "12.5 x 12 x 9 in")),
        ("3 LB", "12-1/2", "12\u2033", "9 inches", ("3 lb", "12.5 x 12 x 9 in")),
        ("3 pounds", "12\u00bd", "12", "9.0", ("3 lb", "12.5 x 12 x 9 in")),
        ("11.4", "12", "9", "4", ("11.4 oz", "12 x 9 x 4 in")),
        ("1 lb, 3 oz", "1 ft 0.5 in", "30.48 cm", "9", ("1 lb 3 oz", "12.5 x 12 x 9 in")),
    ]
    rows = [[*cells] for *cells, _ in typed]
    header = ["Shipping weight (oz)", "L (in)", "W", "H"]
    lines = io.StringIO()
    csv.writer(lines).writerows([header, *rows])
    (tmp_path / "goods.csv").write_text(lines.getvalue(), encoding="utf-8")
    book_of([list(header), *[list(row) for row in rows]], tmp_path / "goods.xlsx")
    for kind in ("csv", "xlsx"):
        priced = reprice_sheet(tmp_path / f"goods.{kind}", tmp_path / f"priced.{kind}", repricer())
        assert priced.priced == len(typed)
        assert "numbers under 'W' and 'H' are in in, as the other sides" in priced.told
        assert priced.told[-1] in [row[0] for row in priced.summary]
    totals = [row[4] for row in read_csv(tmp_path / "priced.csv")[1:]]
    page = openpyxl.load_workbook(tmp_path / "priced.xlsx")["Goods"]
    for total, cell, (*_, question) in zip(totals, page["E"][1:], typed, strict=True):
        assert Decimal(total) == Decimal(str(cell.value)) == best(*question, 1).total


def test_bad_cells_say_column_text_and_what_was_expected(tmp_path: pathlib.Path) -> None:
    lines = [
        "Mass (kg);L x W x H (cm);Qty;Value",
        "3 stones;30x20x10;1;1",
        "1;30x20;1;1",
        "1;30x20x10;two;1",
        "1;30x20x10;1;1 EUR",
        "1.500;30x20x10;1;1",
        "n/a;30x20x10;1;1",
        "-1;30x20x10;1;1",
        "0;30x20x10;1;1",
        "1;30 in x 20 x 10;1;1",
        ";30x20x10;1;1",
        "1,5;30x20x10;1;1",
    ]
    (tmp_path / "goods.csv").write_text("\n".join(lines) + "\n", encoding="utf-8")
    priced = reprice_sheet(tmp_path / "goods.csv", tmp_path / "priced.csv", repricer())
    assert priced.priced == 1 and "fields are parted by semicolons" in priced.told
    assert "a comma stands before decimals under 'Mass (kg)'" in priced.told
    reasons = [row[-1] for row in read_csv(tmp_path / "priced.csv", ";")[1:]]
    for reason, wanted in zip(
        reasons,
        [
            'bad_weight: Mass (kg): found "3 stones", expected a weight such as "10.5 oz"',
            'bad_side: L x W x H (cm): found "30x20", expected three sides such as',
            'bad_quantity: Qty: found "two", expected a whole number',
            'bad_value: Value: found "1 EUR", expected an amount of money in USD',
            'bad_weight: Mass (kg): found "1.500", expected "1500" or "1,500", for it can be read as either',
            'bad_weight: Mass (kg): found "n/a", expected a weight',
            'bad_weight: Mass (kg): found "-1", expected a weight',
            'bad_weight: Mass (kg): found "0", expected a weight over 0',
            'bad_side: L x W x H (cm): found "30 in x 20 x 10", expected three sides such as "12 x 9 x 3 in", with one unit',
            "missing",
            "",
        ],
        strict=True,
    ):
        assert reason.startswith(wanted) and bool(reason) == bool(wanted), reason


@pytest.mark.parametrize(("delimiter", "name"), [(";", "semicolons"), ("\t", "tabs"), ("|", "bars")])
def test_other_delimiters_and_decimal_commas(delimiter: str, name: str, tmp_path: pathlib.Path) -> None:
    rows = [["Gut", "Weight (g)", "L cm", "W cm", "H cm", "Value"], ['"Z ""1""' + delimiter + ' x"', "350,5", "30,5", "22", "10", "1.234,50"],
            ["B", "350,5", "30,5", "22", "10", ""], ["", "", "", "", "", ""]]  # fmt: skip
    source = "\r\n".join(delimiter.join(row) for row in rows) + "\r\n"
    (tmp_path / "goods.csv").write_bytes(source.encode())
    priced = reprice_sheet(tmp_path / "goods.csv", tmp_path / "priced.csv", repricer())
    assert f"fields are parted by {name}" in priced.told and priced.priced == 2
    out = (tmp_path / "priced.csv").read_bytes().decode()
    for line, ours in zip(source.split("\r\n")[:3], out.split("\r\n"), strict=False):
        assert ours.startswith(line + delimiter)
    found = read_csv(tmp_path / "priced.csv", delimiter)
    assert found[2][6] == str(best("350.5 g", "30.5 x 22 x 10 cm", 1).total).replace(".", ",")  # as this file writes numbers
    again = reprice_sheet(tmp_path / "goods.csv", tmp_path / "priced.csv", repricer(), decimal=",", delimiter=delimiter)
    assert (tmp_path / "priced.csv").read_bytes().decode() == out and not [line for line in again.told if "parted" in line]
    with pytest.raises(tarewise.TarewiseError, match="delimiter: found 'ab', expected one character"):
        reprice_sheet(tmp_path / "goods.csv", tmp_path / "priced.csv", repricer(), delimiter="ab")


def test_a_comma_that_parts_a_number_is_noticed(tmp_path: pathlib.Path) -> None:
    (tmp_path / "goods.csv").write_text("SKU,weight kg,l cm,w cm,h cm\nA,1,5,12,9,3\nB,1.5,12,9,3\nC,1.5,12,9,3,a note\n", encoding="utf-8")
    reprice_sheet(tmp_path / "goods.csv", tmp_path / "priced.csv", repricer())
    rows = read_csv(tmp_path / "priced.csv")
    assert rows[1][-1].startswith("bad_row: found 6 cells, expected at most 5") and not rows[1][6]
    assert rows[2][6] == rows[3][6] == str(best("1.5 kg", "12 x 9 x 3 cm", 1).total)


TITLED: list[list[object]] = [
    ["Quillmoor Secondhand, goods of August"],
    [],
    ["SKU", "Weight", "Size (in)", None, None, "Qty"],
    [None, "(oz)", "L", "W", "H", None],
    ["\u00c4-1", 11.4, 12, 9, 4, 1],
    [],
    ["SKU", "Weight", "Size (in)", None, None, "Qty"],
    ["\u00d6-2", "1 lb 3 oz", 12, 9, 4, 2],
    ["TOTAL:", "=SUM(B5:B8)", None, None, None, 3],
    ["Grand total (2 goods)", 30.4, 12, 9, 4, 3],
]


@pytest.mark.parametrize("merge", [True, False])
def test_titles_merged_headers_sums_and_repeated_headers(merge: bool, tmp_path: pathlib.Path) -> None:
    book = book_of(TITLED, tmp_path / "goods.xlsx")
    if merge:
        for area in ("A1:F1", "A3:A4", "C3:E3", "F3:F4"):
            book.active.merge_cells(area)
        book.save(tmp_path / "goods.xlsx")
    for header_row in (None, (3, 4)):
        priced = reprice_sheet(tmp_path / "goods.xlsx", tmp_path / "priced.xlsx", repricer(), header_row=header_row)
        page = openpyxl.load_workbook(tmp_path / "priced.xlsx")["Goods"]
        ours = [[cell.value for cell in row[6:11]] for row in page.iter_rows()]
        assert ours[3] == ADDED
        assert [place for place, row in enumerate(ours) if any(row)] == [3, 4, 7, 9]
        assert Decimal(str(ours[4][0])) == best("11.4 oz", "12 x 9 x 4 in", 1).total
        assert Decimal(str(ours[7][0])) == best("1 lb 3 oz", "12 x 9 x 4 in", 2).total
        assert ours[9][4] == 'bad_row: found "Grand total (2 goods)" with a weight and sides, expected a good or a row of sums'
        assert priced.matched["length"] == "Size (in) / L"
        assert "rows of sums are left alone: row 9 (by their first word, as is common practice)" in priced.told
        said = [line for line in priced.told if line.startswith("headers in rows 3 and 4; what stands above is left alone: 'Quillmoor")]
        assert len(said) == (header_row is None)
    with pytest.raises(HeaderError, match="row 2 empty or not there"):
        reprice_sheet(tmp_path / "goods.xlsx", tmp_path / "priced.xlsx", repricer(), header_row=2)


def test_headers_that_are_repeated_and_two_tables(tmp_path: pathlib.Path) -> None:
    head = "SKU,weight oz,l in,w in,h in"
    (tmp_path / "goods.csv").write_text(f"{head}\nA,8,12,9,4\n{head}\nB,8,12,9,4\nSumme,16\n", encoding="utf-8")
    priced = reprice_sheet(tmp_path / "goods.csv", tmp_path / "priced.csv", repricer())
    assert (priced.rows, priced.priced) == (2, 2) and "headers that are repeated are left alone: row 3" in priced.told
    assert (tmp_path / "priced.csv").read_text().splitlines()[2] == head
    (tmp_path / "goods.csv").write_text(f"Stock list\nAugust,,,,\n{head}\nA,8,12,9,4\nNote: weighed twice,,,,\n", encoding="utf-8")
    priced = reprice_sheet(tmp_path / "goods.csv", tmp_path / "priced.csv", repricer())
    assert (priced.rows, priced.priced) == (2, 1) and "headers in row 3; what stands above is left alone: 'Stock list'" in priced.told
    (tmp_path / "goods.csv").write_text(f"{head}\nA,8,12,9,4\n\nNo,weight g,l cm,w cm,h cm\nB,8,12,9,4\n", encoding="utf-8")
    with pytest.raises(HeaderError, match="found headers in row 1 and in row 4, expected one table: say header_row"):
        reprice_sheet(tmp_path / "goods.csv", tmp_path / "priced.csv", repricer())


def test_what_is_said_goes_before_what_is_guessed(tmp_path: pathlib.Path, capsys: pytest.CaptureFixture[str]) -> None:
    lines = ["Art;Gewicht;Ma\u00dfe;Preis;Value", "A;350;30 x 20 x 10;1.250,00;7", "B;1.250;30 x 20 x 10;9;7"]
    source = tmp_path / "goods.csv"
    source.write_text("\n".join(lines) + "\n", encoding="utf-8")
    with pytest.raises(HeaderError, match="no column for length, width, height, .* by columns which they are; the headers are 'Art', 'Gewicht'"):
        reprice_sheet(source, tmp_path / "priced.csv", repricer())
    columns = {"weight": "gewicht", "sides": 3, "value": "Preis"}
    with pytest.raises(HeaderError, match="found the number '350' under 'Gewicht', expected a unit in the header or the cell, or to be told by units"):
        reprice_sheet(source, tmp_path / "priced.csv", repricer(), columns=columns)
    options = ["--column", "weight=gewicht", "--column", "sides=3", "--column", "value=Preis", "--units", "g cm", "--decimal", ",", "--delimiter", ";"]
    assert main(["reprice", str(source), "--out", str(tmp_path / "priced.csv"), *ARGUMENTS, *options]) == 0
    said = capsys.readouterr()
    assert "2 of 2 rows priced" in said.out and "value from 'Preis'" in said.out and "length x width x height" in said.out and said.err == ""
    rows = read_csv(tmp_path / "priced.csv", ";")
    assert rows[1][5] == str(best("350 g", "30 x 20 x 10 cm", 1).total).replace(".", ",")
    assert rows[2][5] == str(best("1250 g", "30 x 20 x 10 cm", 1).total).replace(".", ",")
    for wrong, words in (
        (["--column", "weight"], "expected a field and its header"),
        (["--column", "wait=Gewicht"], "found field 'wait', expected weight, length"),
        (["--column", "weight=Preis"], "once each"),
        (["--column", "quantity=Gewcht"], "found no column 'Gewcht' for quantity, expected one; the headers are 'Art'"),
        (["--header-row", "x"], "expected a row such as 3, or two such as 3-4"),
        (["--units", "oz oz"], "units: found 'oz oz', expected a unit of weight and one of length"),
        (["--units", "weight=cm"], "units: found 'cm' for 'weight'"),
    ):
        assert main(["reprice", str(source), "--out", str(tmp_path / "no.csv"), *ARGUMENTS, *options, *wrong]) == 2
        assert words in capsys.readouterr().err
    (tmp_path / "unit.csv").write_text("weight oz,l in,w in,h in\n8,9,6,3\n", encoding="utf-8")
    with pytest.raises(tarewise.TarewiseError, match="units: found 'g' for weight, whose header 'weight oz' says 'oz'"):
        reprice_sheet(tmp_path / "unit.csv", tmp_path / "priced.csv", repricer(), units={"weight": "g"})
    assert not (tmp_path / "no.csv").exists()


# ---- priced again ----


@pytest.mark.parametrize("kind", ["csv", "xlsx", "ods"])
def test_priced_again_replaces_ours_and_nothing_else(kind: str, tmp_path: pathlib.Path) -> None:
    """Ours in the middle, with a column of somebody's behind; other options, then the first ones again: the first file."""
    rows: list[list[object]] = [["SKU", "Weight (oz)", "L in", "W in", "H in", "Total paid (USD)"], ['A "1", x', 11.4, 12, 9, 4, 7.5],
                                ["B", "heavy", 12, 9, 4, 7.5], ["Total", 30, None, None, None, 15]]  # fmt: skip
    source, once, again, back = (tmp_path / f"{name}.{kind}" for name in ("goods", "once", "again", "back"))
    write(source, rows)
    assert reprice_sheet(source, once, repricer()).priced == 1
    behind(once, kind)
    tables = tarewise.load(DEMO)
    lanes = [tarewise.Lane("US 05401", place) for place in ("US 98101", "US 10001")]
    other = tarewise.Repricer(tables.ratebook, date="2026-08-03", lanes=lanes, shelf=tables.shelf, currency="USD")
    priced = reprice_sheet(once, again, other)
    assert "our columns were there, and are replaced" in priced.told
    found = plain(again, kind)
    # Five columns become eight: there is no room before the other's column, so they come behind, and the old place is empty.
    assert [row[:6] for row in found] == [row[:6] for row in plain(once, kind)]
    assert found[0][6:11] == [""] * 5 and found[0][11] == "Margin" and found[1][6:11] == [""] * 5
    assert found[0][12:] == ["Total US 98101 (USD)", "Total US 10001 (USD)", "Service US 98101", "Service US 10001", "Packaging US 98101",
                             "Packaging US 10001", "Cautions", "Reason"]  # fmt: skip
    assert found[1][12] == plain(once, kind)[1][6]
    reprice_sheet(once, back, repricer())
    if kind == "csv":
        assert back.read_bytes() == once.read_bytes()
    else:
        assert plain(back, kind) == plain(once, kind)
        before, after = parts(once), parts(back)
        assert set(before) == set(after)
        assert {n for n in before if before[n] != after[n]} <= {
            "xl/worksheets/sheet1.xml", "xl/worksheets/sheet2.xml", "xl/worksheets/sheet3.xml", "xl/styles.xml", "content.xml",
        }  # fmt: skip


def write(path: pathlib.Path, rows: list[list[object]]) -> None:
    if path.suffix == ".csv":
        with open(path, "w", newline="", encoding="utf-8") as file:
            csv.writer(file).writerows([["" if cell is None else cell for cell in row] for row in rows])
    elif path.suffix == ".xlsx":
        book_of(rows, path)
    else:
        from odf import opendocument, table, text

        document = opendocument.OpenDocumentSpreadsheet()
        page = table.Table(name="Goods")
        for values in rows:
            row = table.TableRow()
            for value in values:
                kind = {"valuetype": "float", "value": value} if isinstance(value, (int, float)) else {"valuetype": "string"}
                cell = table.TableCell(**({} if value is None else kind))
                if value is not None:
                    cell.addElement(text.P(text=str(value)))
                row.addElement(cell)
            page.addElement(row)
        document.spreadsheet.addElement(page)
        document.save(str(path))


def behind(path: pathlib.Path, kind: str) -> None:
    """A column behind ours, as somebody adds one."""
    if kind == "csv":
        lines = path.read_text(encoding="utf-8").splitlines()
        path.write_text("\n".join([lines[0] + ",Margin", lines[1] + ",1.25", lines[2] + ",", *lines[3:]]) + "\n", encoding="utf-8")
    elif kind == "xlsx":
        book = openpyxl.load_workbook(path)
        page = book["Goods"]
        page["L1"], page["L2"] = "Margin", "=F2-G2"
        book.save(path)
    else:
        held = parts(path)
        content = held["content.xml"].decode()
        cell = '<table:table-cell office:value-type="string"><text:p>Margin</text:p></table:table-cell></table:table-row>'
        held_before = content
        content = content.replace("</table:table-row>", cell, 1)
        assert content != held_before
        held["content.xml"] = content.encode()
        with zipfile.ZipFile(path, "w") as archive:
            for name, part in held.items():
                archive.writestr(name, part)


def plain(path: pathlib.Path, kind: str) -> list[list[str]]:
    if kind == "csv":
        return read_csv(path)
    if kind == "xlsx":
        page = openpyxl.load_workbook(path)["Goods"]
        return [["" if cell is None else str(cell) for cell in row] for row in page.iter_rows(values_only=True)]
    rows = [[words for words, _ in row] for row in grid(path, "Goods")]
    width = max(max((i + 1 for i, words in enumerate(row) if words), default=0) for row in rows)
    return [row[:width] for row in rows]


def test_formulas_in_our_columns_and_a_summary_with_notes_stay(tmp_path: pathlib.Path) -> None:
    make_xlsx(tmp_path / "goods.xlsx")
    book = openpyxl.load_workbook(tmp_path / "goods.xlsx")
    book["Goods"].append(["Total", "=SUM(B2:B5)"])
    book.save(tmp_path / "goods.xlsx")
    reprice_sheet(tmp_path / "goods.xlsx", tmp_path / "once.xlsx", repricer())
    book = openpyxl.load_workbook(tmp_path / "once.xlsx")
    page = book["Goods"]
    page["H6"], page["H3"] = "=SUM(H2:H5)", "=9.99+1"  # on the row of sums, and in the place of one of ours
    page["H2"].fill = openpyxl.styles.PatternFill("solid", fgColor="FFEEDDCC")
    page["B2"] = "1 lb 3 oz"
    book["Shipping summary"]["E5"] = "agreed with the carrier"
    book.save(tmp_path / "once.xlsx")
    priced = reprice_sheet(tmp_path / "once.xlsx", tmp_path / "twice.xlsx", repricer())
    book = openpyxl.load_workbook(tmp_path / "twice.xlsx")
    page = book["Goods"]
    assert page["H6"].value == "=SUM(H2:H5)" and page["H3"].value == "=9.99+1"
    assert page["H2"].fill.fgColor.rgb == "FFEEDDCC" and page["H2"].number_format == "0.00"
    assert Decimal(str(page["H2"].value)) == best("1 lb 3 oz", "12 in x 22.86 cm x 4 in", 1).total
    assert "formulas stand where ours would, and stay: H3" in priced.told
    assert "the sheet 'Shipping summary' holds more than the summary and is left alone; there is another one" in priced.told
    assert book["Shipping summary"]["E5"].value == "agreed with the carrier" and "Shipping summary 2" in book.sheetnames
    # Goods whose cells were emptied lose their old answer.
    for cell in page[4][:7]:
        cell.value = None
    page["K4"] = "missing"
    book.save(tmp_path / "twice.xlsx")
    reprice_sheet(tmp_path / "twice.xlsx", tmp_path / "thrice.xlsx", repricer())
    assert openpyxl.load_workbook(tmp_path / "thrice.xlsx")["Goods"]["L4"].value is None


def test_two_sheets_have_a_summary_each(tmp_path: pathlib.Path) -> None:
    make_xlsx(tmp_path / "goods.xlsx")
    book = openpyxl.load_workbook(tmp_path / "goods.xlsx")
    for row in [HEADERS, *ROWS[:1]]:
        book["Other"].append(row)
    book["Other"].delete_rows(1)
    book.save(tmp_path / "goods.xlsx")
    reprice_sheet(tmp_path / "goods.xlsx", tmp_path / "a.xlsx", repricer(), sheet="Goods")
    reprice_sheet(tmp_path / "a.xlsx", tmp_path / "b.xlsx", repricer(), sheet="Other")
    reprice_sheet(tmp_path / "b.xlsx", tmp_path / "c.xlsx", repricer(), sheet="Goods")
    book = openpyxl.load_workbook(tmp_path / "c.xlsx")
    assert book.sheetnames == ["Goods", "Other", "Shipping summary", "Shipping summary 2"]
    assert [book[name]["B4"].value for name in book.sheetnames[2:]] == ["Goods", "Other"]
    assert [book[name]["B2"].value for name in book.sheetnames[2:]] == [4, 1]


# ---- how it looks ----


def test_ours_look_as_the_cells_beside_them(tmp_path: pathlib.Path) -> None:
    book = book_of([["weight oz", "l in", "w in", "h in"], [8, 9, 6, 3], [8, 9, 6, 3]], tmp_path / "goods.xlsx")
    page = book.active
    page["D2"].fill = openpyxl.styles.PatternFill("solid", fgColor="FFEEDDCC")
    page["D2"].font = openpyxl.styles.Font(italic=True)
    page["D2"].number_format = "0.000"
    book.save(tmp_path / "goods.xlsx")
    reprice_sheet(tmp_path / "goods.xlsx", tmp_path / "priced.xlsx", repricer())
    page = openpyxl.load_workbook(tmp_path / "priced.xlsx")["Goods"]
    assert [page[place].number_format for place in ("D2", "E2", "F2", "E3", "F3")] == ["0.000", "0.00", "General", "0.00", "General"]
    for column in "EFGHI":
        assert page[f"{column}2"].fill.fgColor.rgb == "FFEEDDCC" and page[f"{column}2"].font.i and not page[f"{column}3"].font.i
    assert page.column_dimensions["E"].width >= 12


def test_ods_money_has_two_decimals_in_the_style_beside(tmp_path: pathlib.Path) -> None:
    from odf import opendocument, style, table, text

    document = opendocument.OpenDocumentSpreadsheet()
    italic = style.Style(name="ce1", family="table-cell")
    italic.addElement(style.TextProperties(fontstyle="italic"))
    document.automaticstyles.addElement(italic)
    page = table.Table(name="Goods")
    for values in (["weight oz", "l in", "w in", "h in"], [8, 9, 6, 3]):
        row = table.TableRow()
        for value in values:
            kind = {"valuetype": "float", "value": value} if isinstance(value, int) else {"valuetype": "string"}
            cell = table.TableCell(stylename="ce1", **kind)
            cell.addElement(text.P(text=str(value)))
            row.addElement(cell)
        page.addElement(row)
    document.spreadsheet.addElement(page)
    document.save(str(tmp_path / "goods.ods"))
    reprice_sheet(tmp_path / "goods.ods", tmp_path / "priced.ods", repricer())
    content = parts(tmp_path / "priced.ods")["content.xml"].decode()
    cells = grid(tmp_path / "priced.ods", "Goods")[1]
    money = cells[4][1]
    assert cells[5][1] == "ce1" and money not in ("", "ce1")
    (made,) = re.findall(rf'<style:style style:name="ce1".*?</style:style>'.replace("ce1", money) + f'|<style:style [^>]*name="{money}".*?</style:style>', content)
    assert "italic" in made
    (number,) = re.findall(r'data-style-name="(\w+)"', made)
    # The names of what a number looks like are declared on the way, where the file has not done so.
    assert re.search(f'<number:number-style style:name="{number}"[^>]*><number:number number:decimal-places="2"', content)


def test_progress_goes_on_to_the_end(tmp_path: pathlib.Path, capfd: pytest.CaptureFixture[str]) -> None:
    rows: list[list[object]] = [["weight oz", "l in", "w in", "h in"], *[[8 + i / 8, 9, 6, 3] for i in range(3000)]]
    for kind in ("csv", "xlsx", "ods"):
        write(tmp_path / f"goods.{kind}", rows)
        seen: list[tuple[int, int]] = []
        reprice_sheet(tmp_path / f"goods.{kind}", tmp_path / f"priced.{kind}", repricer(), progress=lambda done, of: seen.append((done, of)))
        assert seen == sorted(set(seen)) and len(seen) > 3 and seen[-1] == (100, 100)
    assert main(["reprice", str(tmp_path / "goods.ods"), "--out", str(tmp_path / "priced.ods"), *ARGUMENTS]) == 0
    assert capfd.readouterr().err == ""  # no bar where nobody looks


# ---- mistakes with files ----


def test_files_that_are_none(tmp_path: pathlib.Path, capsys: pytest.CaptureFixture[str]) -> None:
    for kind in ("csv", "xlsx", "ods"):
        (tmp_path / f"folder.{kind}").mkdir()
        (tmp_path / f"empty.{kind}").write_bytes(b"")
    (tmp_path / "old.xlsx").write_bytes(b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1" + bytes(512))
    (tmp_path / "blank.csv").write_text(" ,,\n,,\n")
    book_of([], tmp_path / "blank.xlsx")
    for name, words in (
        ("folder.csv", "found a folder, expected a file"), ("folder.xlsx", "found a folder"), ("folder.ods", "found a folder"),
        ("empty.csv", "an empty file"), ("empty.xlsx", "an empty file, expected an .xlsx file"), ("empty.ods", "no document"),
        ("old.xlsx", "one of an older kind (.xls) or with a password"), ("blank.csv", "an empty file"), ("blank.xlsx", "an empty sheet 'Goods'"),
        ("none.csv", "No such file"), ("goods.xls", "save it as .xlsx"), ("goods.txt", "name it .csv"),
    ):  # fmt: skip
        out = tmp_path / ("out" + pathlib.Path(name).suffix)
        assert main(["reprice", str(tmp_path / name), "--out", str(out), *ARGUMENTS]) == 2
        assert words in capsys.readouterr().err, name
        assert not out.exists()


def test_hidden_sheets_are_passed_over_and_told(tmp_path: pathlib.Path) -> None:
    make_xlsx(tmp_path / "goods.xlsx")
    book = openpyxl.load_workbook(tmp_path / "goods.xlsx")
    book.create_sheet("Lists", 0)["A1"] = "weight"
    book["Lists"].sheet_state = "hidden"
    book.active = 1
    book.save(tmp_path / "goods.xlsx")
    priced = reprice_sheet(tmp_path / "goods.xlsx", tmp_path / "priced.xlsx", repricer())
    assert priced.priced == 2 and "the sheet 'Goods', the first that is shown" in priced.told


# ---- another program's sheets ----


# The tests' own path has no program of the system's that is not asked for by its place.
OFFICE_PATH = os.pathsep.join([os.environ.get("PATH", ""), "/usr/bin", "/bin"])


@pytest.mark.skipif(shutil.which("soffice", path=OFFICE_PATH) is None, reason="LibreOffice is not installed")
@pytest.mark.parametrize("kind", ["xlsx", "ods"])
def test_libreoffice_writes_what_is_read_and_shows_what_is_written(kind: str, tmp_path: pathlib.Path) -> None:
    def convert(to: str, path: pathlib.Path) -> None:
        profile = f"-env:UserInstallation=file://{tmp_path}/profile"
        office = ["soffice", profile, "--headless", "--convert-to", to, "--outdir", str(path.parent), str(path)]
        subprocess.run(office, check=True, capture_output=True, timeout=180, env={**os.environ, "PATH": OFFICE_PATH})

    rows = [["SKU", "Weight (oz)", "L in", "W in", "H in", "Qty"], ["A", 11.4, 12, 9, 4, 1], ["B", "1 lb 3 oz", '12"', 9, 4, 2], ["C", "3 stones", 12, 9, 4, 1],
            ["Total", 30, "", "", "", 4]]  # fmt: skip
    with open(tmp_path / "goods.csv", "w", newline="", encoding="utf-8") as file:
        csv.writer(file).writerows(rows)
    convert(kind, tmp_path / "goods.csv")
    priced = reprice_sheet(tmp_path / f"goods.{kind}", tmp_path / f"priced.{kind}", repricer())
    assert (priced.rows, priced.priced) == (3, 2)
    reprice_sheet(tmp_path / "goods.csv", tmp_path / "direct.csv", repricer())
    convert("csv:Text - txt - csv (StarCalc):44,34,76,1,,0,false,true,true,false,false,-1", tmp_path / f"priced.{kind}")
    wanted = [row + [""] * (11 - len(row)) for row in read_csv(tmp_path / "direct.csv")]
    assert read_csv(tmp_path / "priced-goods.csv") == wanted
    assert wanted[1][6] == str(best("11.4 oz", "12 x 9 x 4 in", 1).total)
    # Saved by it and priced again: the same place.
    (tmp_path / "saved").mkdir()
    shutil.copy(tmp_path / f"priced.{kind}", tmp_path / "saved" / f"in.{kind}")
    convert("ods" if kind == "xlsx" else "xlsx", tmp_path / "saved" / f"in.{kind}")
    other = "ods" if kind == "xlsx" else "xlsx"
    again = reprice_sheet(tmp_path / "saved" / f"in.{other}", tmp_path / "saved" / f"out.{other}", repricer())
    assert "our columns were there, and are replaced" in again.told and again.priced == 2
    convert("csv:Text - txt - csv (StarCalc):44,34,76,1,,0,false,true,true,false,false,-1", tmp_path / "saved" / f"out.{other}")
    names = sorted(path.name for path in (tmp_path / "saved").glob("*.csv"))
    assert names == ["out-Shipping summary.csv", "out-goods.csv"]
    assert read_csv(tmp_path / "saved" / "out-goods.csv") == wanted


# ---- whatever is typed ----


class Recording(tarewise.Repricer):
    """Keeps what a sheet was read as."""

    seen: list[object] = []

    def __call__(self, catalogue: object, **more: object) -> object:  # type: ignore[override]
        Recording.seen = list(catalogue["weight"])  # type: ignore[index]
        return super().__call__(catalogue, **more)  # type: ignore[type-var,arg-type]


OUNCES = {"oz": Fraction(1), "lb": Fraction(16), "lbs": Fraction(16), "": Fraction(1)}


def meanings(text: str) -> set[Fraction]:
    """By hand, and for every mark: what a weight in ounces may mean."""
    out: set[Fraction] = set()
    for decimal, group in ((".", ","), (",", ".")):
        grouped = rf"[1-9][0-9]{{0,2}}(?:\{group}[0-9]{{3}})+"
        plain_number = rf"(?:{grouped}|[0-9]+)(?:\{decimal}[0-9]+)?|\{decimal}[0-9]+"
        found = re.fullmatch(rf"\s*(?:({plain_number})|([0-9]+)[ -]([0-9]+)/([0-9]+))\s*(oz|lbs?|)\s*", text)
        if found is None:
            continue
        if found[1] is not None:
            digits = found[1].replace(group, "").replace(decimal, ".")
            value = Fraction(Decimal(digits))
        elif int(found[4]):
            value = int(found[2]) + Fraction(int(found[3]), int(found[4]))
        else:
            continue
        out.add(value * OUNCES[found[5]])
    return out


@settings(max_examples=60, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(
    st.lists(
        st.one_of(
            st.from_regex(r"\A[0-9]{1,3}([.,][0-9]{1,4})?( ?(oz|lb|lbs))?\Z"),
            st.from_regex(r"\A[0-9]{1,2}[ -][1-7]/[1-8]( ?(oz|lb))?\Z"),
            st.text("0123456789.,/- lbsoz", max_size=8),
        ),
        min_size=1,
        max_size=25,
    ),
    st.sampled_from([None, ".", ","]),
    st.sampled_from([",", ";"]),
)
def test_no_text_becomes_another_number(tmp_path: pathlib.Path, texts: list[str], decimal: str | None, delimiter: str) -> None:
    """Each cell is one of the numbers that it can mean, all by one mark, or a reason with its column and text."""
    tables = tarewise.load(DEMO)
    recording = Recording(tables.ratebook, date="2026-08-03", lanes=tarewise.Lane("US 05401", "US 98101"), shelf=tables.shelf, currency="USD")
    with open(tmp_path / "goods.csv", "w", newline="", encoding="utf-8") as file:
        csv.writer(file, delimiter=delimiter).writerows([["SKU", "Weight (oz)", "L in", "W in", "H in"], *[["A", text, 9, 6, 3] for text in texts]])
    reprice_sheet(tmp_path / "goods.csv", tmp_path / "priced.csv", recording, decimal=decimal, delimiter=delimiter)
    rows = read_csv(tmp_path / "priced.csv", delimiter)[1:]
    for text, read, row in zip(texts, Recording.seen, rows, strict=True):
        reason = row[-1]
        if not text.strip():
            assert read is None and reason == "missing: Weight (oz)"
        elif read == "?":
            assert reason.startswith(f'bad_weight: Weight (oz): found "{" ".join(text.split())}", expected '), reason
        else:
            number, unit = str(read).rsplit(" ", 1)
            whole, _, rest = number.partition("-")
            value = (Fraction(whole) + Fraction(rest or 0)) * OUNCES[unit]
            if len(str(read).split()) == 2:  # a sum of units is not known by hand
                assert value in meanings(text) or re.fullmatch(r"\s*[0-9]+[.]\s*(oz|lbs?)?\s*|\s*[0-9]+/[0-9]+\s*(oz|lbs?)?\s*", text), (text, read)
            if decimal == ",":
                assert "." not in text or re.search(r"[0-9]\.[0-9]{3}", text)
