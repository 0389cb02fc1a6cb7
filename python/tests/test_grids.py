"""Price grids as they are printed, from texts, sheets and data frames."""

from __future__ import annotations

import pathlib
import re
import zipfile

import pytest

from tarewise import TarewiseError, TariffError, sheets

TEXT = "Weight not over (lb)\tZones 1 & 2\tZone 3\n1\t$3.69\t$3.75\n2\t3.85\t-\n"
CSV = "bound,1 & 2,3\n1,3.69,3.75\n2,3.85,\n"


def test_text() -> None:
    grid = sheets.read_grid(TEXT)
    assert (grid.csv, grid.unit, grid.columns) == (CSV, "lb", ("1 & 2", "3"))
    assert grid.rows == (("1", "3.69", "3.75"), ("2", "3.85", ""))
    assert any(note.message == 'removed "$" from 2 cells, line 2' for note in grid.notes)
    assert grid.doubts == ()


def test_file_and_save(tmp_path: pathlib.Path) -> None:
    (tmp_path / "list.txt").write_text(TEXT, encoding="utf-8")
    sheets.read_grid(tmp_path / "list.txt").save(tmp_path / "grid.csv")
    assert (tmp_path / "grid.csv").read_text(encoding="utf-8") == CSV


def test_doubts_and_refusals() -> None:
    grid = sheets.read_grid("lb;1;2\n1;4.00;5.00\n2;4.50;5.50\n3;4.20;6.00\n")
    assert [(note.code, note.line) for note in grid.doubts] == [(652, 4)]
    with pytest.raises(TariffError) as refused:
        sheets.read_grid("lb;1;2\n1;4.00;5.00\n2;4.50\n3;4.70;6.00\n")
    assert (refused.value.code, refused.value.line) == (610, 3)
    with pytest.raises(TariffError, match="--decimal"):
        sheets.read_grid("kg;1\n1;1,234\n2;2,345\n")
    assert sheets.read_grid("kg;1\n1;1,234\n2;2,345\n", decimal="comma").rows[0] == ("1", "1.234")
    two = "Retail\nlb;1\n1;4.00\n2;5.00\n\nTrade\nlb;1\n1;3.00\n2;4.00\n"
    with pytest.raises(TariffError, match="found 2 tables"):
        sheets.read_grid(two)
    assert sheets.read_grid(two, table=2).rows[0] == ("1", "3.00")
    assert sheets.read_grid("Weight;Zone 1\n1;3.00\n", unit="kg").unit == "kg"
    for wrong in ({"table": 0}, {"range": "A1:B2"}, {"decimal": "dot"}):
        with pytest.raises(TarewiseError):
            sheets.read_grid(TEXT, **wrong)


def test_xlsx(tmp_path: pathlib.Path) -> None:
    openpyxl = pytest.importorskip("openpyxl")
    book = openpyxl.Workbook()
    page = book.active
    page.title = "Ground"
    page["B2"] = "Price list 2026"
    for column, name in enumerate(["Weight\nnot over (lb)", "Zone 1", "Zone 2"], 2):
        page.cell(4, column, name)
    for row, (bound, first, second) in enumerate([(1, 3.69, "$3.75"), (2, 3.85, "—"), (3, 4, 4.65)], 5):
        for column, value in enumerate([bound, first, second], 2):
            page.cell(row, column, value)
    page["B9"] = "* beside the point"
    book.save(tmp_path / "list.xlsx")
    grid = sheets.read_grid(tmp_path / "list.xlsx", sheet="Ground", range="B4:D7")
    assert grid.csv == "bound,1,2\n1,3.69,3.75\n2,3.85,\n3,4,4.65\n"
    assert [note.line for note in grid.notes if "header" in note.message] == [4]
    whole = sheets.read_grid(tmp_path / "list.xlsx")
    assert whole.csv == grid.csv
    with pytest.raises(TarewiseError, match="two corners"):
        sheets.read_grid(tmp_path / "list.xlsx", range="B4")


def test_ods(tmp_path: pathlib.Path) -> None:
    names = {"office": "urn:oasis:names:tc:opendocument:xmlns:office:1.0", "table": "urn:oasis:names:tc:opendocument:xmlns:table:1.0",
             "text": "urn:oasis:names:tc:opendocument:xmlns:text:1.0"}  # fmt: skip

    def cell(value: str) -> str:
        if re.fullmatch(r"[0-9.]+", value):
            return f'<table:table-cell office:value-type="float" office:value="{value}"><text:p>{value}</text:p></table:table-cell>'
        return f'<table:table-cell office:value-type="string"><text:p>{value}</text:p></table:table-cell>'

    lines = [["kg", "Zone 1", "Zone 2"], ["1", "4.10", "5.20"], ["2", "4.60", "N/A"]]
    page = "".join("<table:table-row>" + "".join(map(cell, line)) + "</table:table-row>" for line in lines)
    declared = " ".join(f'xmlns:{prefix}="{uri}"' for prefix, uri in names.items())
    content = f'<?xml version="1.0" encoding="UTF-8"?><office:document-content {declared}><office:body><office:spreadsheet>'
    content += f'<table:table table:name="List">{page}</table:table></office:spreadsheet></office:body></office:document-content>'
    with zipfile.ZipFile(tmp_path / "list.ods", "w") as archive:
        archive.writestr("mimetype", "application/vnd.oasis.opendocument.spreadsheet")
        archive.writestr("content.xml", content)
    grid = sheets.read_grid(tmp_path / "list.ods")
    assert [row[0] for row in grid.rows] == ["1", "2"]
    assert [float(cell) for cell in grid.rows[0][1:]] == [4.1, 5.2] and grid.rows[1][2] == ""
    assert grid.unit == "kg"


def test_frames() -> None:
    pandas = pytest.importorskip("pandas")
    frame = pandas.DataFrame({"Weight (kg)": [1, 2], "Zone 1": [4.1, 4.6], "Zone 2": [5.2, None]})
    assert sheets.read_grid(frame).csv == "bound,1,2\n1,4.1,5.2\n2,4.6,\n"
    with pytest.raises(TarewiseError, match="expected a path, a text or a data frame"):
        sheets.read_grid(7)
