"""Spreadsheets: what was in them stays, what we add is what ``rank`` says, and headers are matched or refused aloud."""

from __future__ import annotations

import csv
import pathlib
from decimal import Decimal

import pytest
import tarewise
from tarewise.__main__ import main
from tarewise.sheets import HeaderError, match_headers, reprice_sheet

openpyxl = pytest.importorskip("openpyxl")
odf = pytest.importorskip("odf")

ROOT = pathlib.Path(__file__).resolve().parents[2]
DEMO = ROOT / "tables" / "demo"
HEADERS = ["SKU", "Weight (oz)", "Length in", "Width [cm]", "H inches", "Qty", "Shelf mark"]
ROWS = [
    ["A-1", 15.3, 12, 22.86, 4, 1, "north"],
    ["A-2", "1 lb 3 oz", "12-3/8 in", 22.86, 4, 2, None],
    ["A-3", None, 12, 22.86, 4, 1, "south"],
    ["A-4", "heavy", 12, 22.86, 4, 1, "=1+1"],
]
ARGUMENTS = ["--tables", str(DEMO), "--date", "2026-08-03", "--from", "US 43004", "--to", "US 90210", "--currency", "USD"]


def repricer() -> tarewise.Repricer:
    tables = tarewise.load(DEMO)
    lane = tarewise.Lane("US 43004", "US 90210")
    return tarewise.Repricer(tables.ratebook, date="2026-08-03", lanes=lane, shelf=tables.shelf, currency="USD")


def best(weight: str, sides: str, quantity: int) -> tarewise.Offer:
    tables = tarewise.load(DEMO)
    item = tarewise.Item(weight, sides, quantity=quantity)
    return tarewise.rank(
        tables.ratebook,
        item,
        shelf=tables.shelf,
        lane=tarewise.Lane("US 43004", "US 90210"),
        date="2026-08-03",
        currency="USD",
    ).offers[0]


EXPECTED = [("15.3 oz", "12 in x 22.86 cm x 4 in", 1), ("1 lb 3 oz", "12.375 in x 22.86 cm x 4 in", 2)]


def check(rows: list[list[object]]) -> None:
    for row, question in zip(rows, EXPECTED):
        offer = best(*question)
        assert Decimal(str(row[0])) == offer.total
        assert row[1] == f"{offer.carrier}/{offer.service}"
        assert row[2] == offer.packaging
        assert not row[3]
    for row in rows[2:]:
        assert not row[0] and row[3], "a missing or unreadable weight is a reason, never a price"


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
    assert [cell.value for cell in page[1]] == [*HEADERS, "Total (USD)", "Service", "Packaging", "Reason"]
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
    assert rows[0] == [*HEADERS, "Total (USD)", "Service", "Packaging", "Reason"]
    assert rows[1][:2] == ["A-1", "15.3"]
    check([list(row[7:]) for row in rows[1:5]])
    assert rows[5][7:] == rows[6][7:] == rows[1][7:]


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


def test_a_number_without_a_unit_is_an_error(tmp_path: pathlib.Path, capsys: pytest.CaptureFixture[str]) -> None:
    (tmp_path / "goods.csv").write_text("weight,length in,width in,height in\n1 lb,9,6,3\n15.3,9,6,3\n", encoding="utf-8")
    assert main(["reprice", str(tmp_path / "goods.csv"), "--out", str(tmp_path / "out.csv"), *ARGUMENTS]) == 2
    said = capsys.readouterr()
    assert said.out == ""
    assert "goods.csv:3:1: found the number '15.3' under 'weight', expected a unit" in said.err
    assert not (tmp_path / "out.csv").exists()


def test_mistakes_of_files(tmp_path: pathlib.Path) -> None:
    make_xlsx(tmp_path / "goods.xlsx")
    with pytest.raises(tarewise.TarewiseError, match="ends in .xlsx"):
        reprice_sheet(tmp_path / "goods.xlsx", tmp_path / "priced.csv", repricer())
    with pytest.raises(tarewise.TarewiseError, match="expected another to write"):
        reprice_sheet(tmp_path / "goods.xlsx", tmp_path / "goods.xlsx", repricer())
    with pytest.raises(tarewise.TarewiseError, match="no sheet 'Gods', the file has Goods, Other"):
        reprice_sheet(tmp_path / "goods.xlsx", tmp_path / "priced.xlsx", repricer(), sheet="Gods")
