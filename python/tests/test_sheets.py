"""Spreadsheets: what was in them stays, what we add is what ``rank`` says, and headers are matched or refused aloud."""

from __future__ import annotations

import csv
import errno
import io
import os
import pathlib
import re
import stat
import threading
import zipfile
from decimal import Decimal

import pytest
import tarewise
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
    assert rows[4][7:] == ["", "", "", "", "missing"]
    assert rows[6][7] == str(best("8 oz", "12 x 9 x 4 in", 1).total) and not rows[6][11]  # of 12"


@pytest.mark.parametrize(
    ("data", "words"),
    [
        (b"\xff\xfew\x00e\x00", "not UTF-8"),
        (b"weight oz,length in,width in,height in\n8,9,6,3\n8,\xe9,6,3\n", "goods.csv: found bytes that are not UTF-8"),
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
