"""Sheets as shops keep them: headers in other languages, merged orders, hidden rows, formulas, headers that may be meant."""

from __future__ import annotations

import pathlib
import shutil
import subprocess
from collections.abc import Callable
from decimal import Decimal
from typing import Any

import pytest
import tarewise
from tarewise.sheets import HeaderError, Priced, match_headers, reprice_rows, reprice_sheet

openpyxl = pytest.importorskip("openpyxl")

DEMO = pathlib.Path(__file__).resolve().parents[2] / "tables" / "demo"
HEAD = ["Order", "SKU", "Weight (oz)", "L (in)", "W (in)", "H (in)", "Qty"]


@pytest.fixture(scope="module")
def repricer() -> tarewise.Repricer:
    tables = tarewise.load(DEMO)
    lane = tarewise.Lane("US 05401", "US 98101")
    return tarewise.Repricer(tables.ratebook, date="2026-08-03", lanes=lane, shelf=tables.shelf, currency="USD")


def made(path: pathlib.Path, rows: list[list[Any]], then: Callable[[Any], None] = lambda page: None) -> pathlib.Path:
    book = openpyxl.Workbook()
    for row in rows:
        book.active.append(row)
    then(book.active)
    book.save(path)
    return path


def both(path: pathlib.Path, repricer: tarewise.Repricer) -> list[tuple[Priced, list[list[Any]]]]:
    """Priced as it is, and where LibreOffice is installed as an .ods file that it makes of it; of each the rows below the header."""
    files = [path]
    if shutil.which("soffice"):
        where = path.parent
        profile = f"-env:UserInstallation={(where / 'profile').as_uri()}"
        subprocess.run(["soffice", profile, "--headless", "--convert-to", "ods", "--outdir", str(where), str(path)], check=True, capture_output=True)
        files.append(path.with_suffix(".ods"))
    out = []
    for file in files:
        target = file.with_name("priced" + file.suffix)
        priced = reprice_sheet(file, target, repricer)
        if file.suffix == ".ods":
            from tarewise._ods import Document

            rows: list[list[Any]] = [list(row) for row in Document(target.read_bytes(), str(target), None).rows]
        else:
            rows = [list(row) for row in openpyxl.load_workbook(target).worksheets[0].iter_rows(values_only=True)]
        out.append((priced, rows[1:]))
    return out


@pytest.mark.parametrize(
    "headers",
    [
        ["Gewicht (kg)", "L\u00e4nge (cm)", "Breite (cm)", "H\u00f6he (cm)", "Menge"],
        ["Gewicht in kg", "Laenge in cm", "Breite in cm", "Hoehe in cm", "Anzahl"],
        ["Versandgewicht [Kilogramm]", "L\u00c4NGE cm", "BREITE cm", "TIEFE cm", "St\u00fcckzahl"],
        ["Poids (kg)", "Longueur (cm)", "Largeur (cm)", "Hauteur (cm)", "Quantit\u00e9"],
        ["Poids en kg", "longueur en cm", "largeur en cm", "profondeur en cm", "quantite"],
        ["Gewicht kg", "L cm", "B cm", "H cm", "Menge"],
        ["Peso (kg)", "Longitud (cm)", "Ancho (cm)", "Altura (cm)", "Cantidad"],
        ["Peso kg", "Largo cm", "Ancho cm", "Alto cm", "Cantidad"],
        ["L\u00e4n\u0308ge".replace("n\u0308", "n") + " cm", "Breite cm", "H\u00f6he cm", "Gewicht kg", "Menge"],
    ],
)  # fmt: skip
def test_headers_in_other_languages(headers: list[str]) -> None:
    found = match_headers(["SKU", *headers])
    assert set(found) == {"weight", "length", "width", "height", "quantity"}
    assert [found[field].unit for field in ("weight", "length", "width", "height")] == ["kg", "cm", "cm", "cm"]
    assert sorted(match.column for match in found.values()) == [1, 2, 3, 4, 5]


@pytest.mark.parametrize(
    ("header", "unit", "axes"),
    [("L x B x H (cm)", "cm", (0, 1, 2)), ("LxBxH", None, (0, 1, 2)), ("Abmessungen (mm)", "mm", None), ("Alto x ancho x largo cm", "cm", (2, 1, 0))],
)  # fmt: skip
def test_three_sides_in_other_languages(header: str, unit: str | None, axes: tuple[int, int, int] | None) -> None:
    found = match_headers(["Gewicht g", header])["sides"]
    assert (found.unit, found.axes) == (unit, axes)


@pytest.mark.parametrize("headers", [["Gewicht netto kg"], ["Poids net (kg)"], ["Masse (kg)"], ["Gewicht (Pfund)"], ["Taragewicht kg"], ["Gewichtsklasse"]])
def test_what_the_words_do_not_say_is_no_weight(headers: list[str]) -> None:
    with pytest.raises(HeaderError, match="no column for weight"):
        match_headers([*headers, "L cm", "W cm", "H cm"])


def test_b_is_a_width_where_there_is_no_other() -> None:
    assert "width" in match_headers(["Weight oz", "L in", "W in", "H in", "B"])
    assert match_headers(["Weight oz", "L in", "W in", "H in", "B"])["width"].column == 2
    for headers in (["Weight oz", "L in", "B", "B in", "H in"], ["Weight oz", "L in", "B"], ["Weight oz", "L in", "B side", "H in"], ["Weight oz", "L in", "B kg", "H in"]):
        with pytest.raises(HeaderError, match="no column for (width|height|width, height)"):
            match_headers(headers)


def test_what_was_read_by_them_is_told(repricer: tarewise.Repricer) -> None:
    rows: list[list[object]] = [["Art", "Gewicht (kg)", "L x B x H (cm)", "Menge"], ["A", "1,5", "30 x 20 x 10", 2]]
    _, answers, told = reprice_rows(rows, repricer)
    assert told[0] == "'Gewicht (kg)' is the weight, 'Menge' is the quantity, 'L x B x H (cm)' is the sides"
    assert "a comma stands before decimals under 'Gewicht (kg)'" in told
    english: list[list[object]] = [["SKU", "Weight (kg)", "L x W x H (cm)", "Qty"], ["A", "1.5", "30 x 20 x 10", 2]]
    assert answers == reprice_rows(english, repricer)[1]
    assert not any(" is the " in line for line in reprice_rows(english, repricer)[2])


def test_merged_orders(tmp_path: pathlib.Path, repricer: tarewise.Repricer) -> None:
    """The second row was a parcel of its own, untold."""
    goods = [[1001, "A", 10, 5, 5, 5, 6], [None, "B", 10, 5, 5, 5, 1], [None, "C", 9, 5, 5, 4, 1], [1002, "D", 10, 5, 5, 5, 1]]
    path = made(tmp_path / "goods.xlsx", [HEAD, *goods], lambda page: page.merge_cells("A2:A4"))
    wanted = made(tmp_path / "said.xlsx", [HEAD, *([1001 if i < 3 else 1002, *row[1:]] for i, row in enumerate(goods))])
    for (priced, rows), (_, said) in zip(both(path, repricer), both(wanted, repricer)):
        assert [row[7:] for row in rows] == [row[7:] for row in said] and [row[-1] for row in rows[1:3]] == ["in_order", "in_order"]
        assert priced.in_order == 2
        assert "merged cells under 'Order' are the entry of all their rows: rows 3, 4 as above" in priced.told


def test_hidden_rows_are_told(tmp_path: pathlib.Path, repricer: tarewise.Repricer) -> None:
    def hide(page: Any) -> None:
        page.row_dimensions[3].hidden = True

    path = made(tmp_path / "goods.xlsx", [HEAD[1:], ["A", 10, 5, 5, 5, 6], ["B", 10, 5, 5, 5, 1], ["C", 9, 5, 5, 4, 1]], hide)
    for priced, _ in both(path, repricer):
        assert priced.priced == 3 and "hidden rows are priced too: row 3" in priced.told


def test_formulas_without_a_value(tmp_path: pathlib.Path, repricer: tarewise.Repricer) -> None:
    """openpyxl writes an empty value beside a formula, which is none; a text that a formula makes may be empty."""
    path = made(tmp_path / "goods.xlsx", [HEAD[1:], ["A", "=4*16+8.8", 14, 11, 3, 1], ["B", 54, "=5+5", 9, 8, 1]])
    reprice_sheet(path, tmp_path / "out.xlsx", repricer)
    rows = list(openpyxl.load_workbook(tmp_path / "out.xlsx").worksheets[0].iter_rows(min_row=2, values_only=True))
    assert rows[0][-1] == 'bad_weight: Weight (oz): found "=4*16+8.8", expected its value, which the file does not keep: save it once in a spreadsheet program'
    assert rows[1][-1].startswith('bad_side: L (in): found "=5+5", expected its value')
    from tarewise._xlsx import Workbook

    data = path.read_bytes()
    assert Workbook(data, "goods.xlsx", None).rows[1][1] == "=4*16+8.8"


def test_headers_that_may_be_meant_are_told(repricer: tarewise.Repricer) -> None:
    rows: list[list[object]] = [["SKU", "Title", "Order date", "Net weight (oz)", *HEAD[2:6], "Units in pack", "Fragile", "Price"], ["A", "B", "2026-08-01", 4, 10, 5, 5, 5, 6, "x", 9]]
    _, _, told = reprice_rows(rows, repricer)
    assert told == ("left alone: 'Order date', 'Net weight (oz)', 'Units in pack', 'Fragile'",)


@pytest.mark.parametrize("header", ["Order ID", "Order No.", "Order number", "Order #", "ORDER"])
def test_orders_by_their_number(header: str, repricer: tarewise.Repricer) -> None:
    _, answers, _ = reprice_rows([[header, *HEAD[2:]], [1, 5, 5, 5, 5, 1], [1, 5, 5, 5, 5, 1]], repricer)
    assert answers[1] is not None and answers[1][-1] == "in_order"
    assert match_headers([*HEAD[2:6], "No. of pieces"])["quantity"].column == 4
    assert match_headers([*HEAD[2:6], "Pcs"])["quantity"].column == 4


def test_missing_says_where(repricer: tarewise.Repricer) -> None:
    _, answers, _ = reprice_rows([HEAD[1:], ["A", 10, 5, 5, None, 1], ["B", None, None, 5, 5, 1], ["C", 10, 5, 5, 5, None]], repricer)
    assert [None if row is None else row[-1] for row in answers] == ["missing: H (in)", "missing: Weight (oz), L (in)", None]
    _, answers, _ = reprice_rows([["oz", "L x W x H (in)"], [10, None]], repricer)
    assert answers[0] is not None and answers[0][-1] == "missing: L x W x H (in)" and answers[0][0] is None


def test_numbers_that_are_shown_with_a_unit(tmp_path: pathlib.Path, repricer: tarewise.Repricer) -> None:
    """Under "Weight (oz)" somebody reads "10.5 lb": it was taken for ounces."""
    formats = ['0.0 "lb"', '0.0\\ \\l\\b', '0.0" lbs.";[Red]-0.0" lbs."', '0.0_)"lb"']
    heads = ["SKU", "Weight (oz)", "L (in)", "W (in)", "H (in)", "Qty"]

    def dress(page: Any) -> None:
        for y, code in enumerate(formats, 2):
            page.cell(y, 2).number_format = code
        page.cell(6, 2).number_format = '0.0 "pcs"'
        page.cell(2, 6).number_format = '0 "x"'

    goods = [[f"A{i}", 10.5, 12, 9, 4, 1] for i in range(5)]
    path = made(tmp_path / "goods.xlsx", [heads, *goods], dress)
    totals = {text: reprice_rows([["Weight", "L in", "W in", "H in"], [text, 12, 9, 4]], repricer)[1][0] for text in ("10.5 lb", "10.5 oz")}
    for priced, rows in both(path, repricer):
        wanted = [totals["10.5 lb"]] * 4 + [totals["10.5 oz"]]
        assert [Decimal(str(row[6])) for row in rows] == [None if one is None else one[0] for one in wanted]
        assert "numbers under 'Weight (oz)' that are shown with a unit are in that: lb" in priced.told
    # A decimal comma that somebody says is one of texts; 1.234 kg stays that.
    path = made(tmp_path / "kg.xlsx", [["Weight", *heads[2:5]], [1.234, 12, 9, 4], ["1,5 kg", 12, 9, 4]], lambda page: setattr(page["A2"], "number_format", '0.000 "kg"'))
    priced = reprice_sheet(path, tmp_path / "out.xlsx", repricer, decimal=",")
    row = next(openpyxl.load_workbook(tmp_path / "out.xlsx").worksheets[0].iter_rows(min_row=2, values_only=True))
    kilos = reprice_rows([["Weight", "L in", "W in", "H in"], ["1.234 kg", 12, 9, 4]], repricer)[1][0]
    assert priced.priced == 2 and kilos is not None and Decimal(str(row[4])) == kilos[0]


def test_a_header_may_be_said_without_its_unit() -> None:
    found = match_headers(["SKU", "Masse (kg)", "L cm", "W cm", "H cm"], columns={"weight": "masse"})["weight"]
    assert (found.column, found.unit, found.header) == (1, "kg", "Masse (kg)")
    assert match_headers(["Masse (kg)", "Masse", "L cm", "W cm", "H cm"], columns={"weight": "Masse"})["weight"].column == 1
    with pytest.raises(HeaderError, match="found 2 columns 'Masse' for weight, expected one"):
        match_headers(["Masse (kg)", "Masse [g]", "L cm", "W cm", "H cm"], columns={"weight": "Masse"})
