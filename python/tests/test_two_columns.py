"""A weight in pounds and ounces, or a side in feet and inches, in two columns of a sheet."""

from __future__ import annotations

import pathlib
import random
from decimal import Decimal

import pytest
import tarewise
from tarewise.sheets import HeaderError, match_headers, reprice_rows

openpyxl = pytest.importorskip("openpyxl")

DEMO = pathlib.Path(__file__).resolve().parents[2] / "tables" / "demo"
SIDES = ["L (in)", "W (in)", "H (in)"]


@pytest.fixture(scope="module")
def repricer() -> tarewise.Repricer:
    tables = tarewise.load(DEMO)
    lane = tarewise.Lane("US 05401", "US 98101")
    return tarewise.Repricer(tables.ratebook, date="2026-08-03", lanes=lane, shelf=tables.shelf, currency="USD")


def totals(repricer: tarewise.Repricer, weights: list[str], sides: str = "12 in x 9 in x 4 in") -> list[object]:
    length, width, height = sides.split(" x ")
    priced = repricer({"weight": weights, "length": [length] * len(weights), "width": [width] * len(weights), "height": [height] * len(weights)})
    return [None if micros < 0 else Decimal(int(micros)).scaleb(-6) for micros in priced["total_micros"]]


@pytest.mark.parametrize(
    "heads",
    [
        ("lb", "oz"), ("Pounds", "Ounces"), ("Lbs.", "Oz."), ("Weight lb", "Weight oz"), ("Weight (lbs)", "Ounces"), ("lb", "Wt [oz]"),
        ("Shipping weight (lb)", "Oz"),
    ],
)  # fmt: skip
def test_headers(heads: tuple[str, str]) -> None:
    match = match_headers([*SIDES, *heads, "Notes"])["weight"]
    assert match.also is not None and (match.unit, match.also.unit) == ("lb", "oz")
    assert (match.column, match.also.column, match.header) == (3, 4, f"{heads[0]} + {heads[1]}")
    for apart in ([heads[0], *SIDES, heads[1]], [*heads[::-1], *SIDES]):
        with pytest.raises(HeaderError, match="no column for weight|expected one column for weight, or two beside each other in lb and oz"):
            match_headers(apart)


def test_other_units_and_what_is_no_pair() -> None:
    assert match_headers(["kg", "g", *SIDES])["weight"].also is not None
    side = match_headers(["oz", "Length ft", "Length in", "Width in", "Height in"])["length"]
    assert side.unit == "ft" and side.also is not None and side.also.unit == "in"
    alone = match_headers(["kg", *SIDES])["weight"]  # one way to read it
    assert (alone.unit, alone.also) == ("kg", None)
    assert match_headers(["Weight (kg)", "G", *SIDES])["weight"].also is None
    assert match_headers(["lb", "oz", *SIDES], columns={"weight": "oz"})["weight"].also is None
    for heads in (["g", *SIDES], ["lb", "oz", "kg", *SIDES], ["lb", "g", *SIDES]):
        with pytest.raises(HeaderError, match="no column for weight"):
            match_headers(heads)
    for heads in (["Weight kg", "Weight oz", *SIDES], ["Weight lb", "Weight oz", "Weight (oz)", *SIDES], ["Weight lb", "oz", "Ounces", *SIDES],
                  ["lb", "oz", "Weight (kg)", *SIDES], ["Weight (lbs)", *SIDES, "Ounces"]):
        with pytest.raises(HeaderError, match="expected one column for weight"):
            match_headers(heads)


def test_added_exactly(repricer: tarewise.Repricer) -> None:
    """Against the same weights in ounces, worked out in decimals."""
    of = random.Random(20260803)
    parts = [(of.randint(0, 60), Decimal(of.randint(0, 159_999)) / 10_000) for _ in range(300)]
    # At the steps of the tariffs, where an ounce's ten-thousandth is another price.
    parts += [(pound, ounces) for pound in range(1, 20) for ounces in (Decimal("0"), Decimal("0.0001"), Decimal("15.9999"))]
    rows: list[list[object]] = [["lb", "oz", *SIDES], *([pound or None, ounces, 12, 9, 4] for pound, ounces in parts)]
    added, answers, told = reprice_rows(rows, repricer)
    assert told == ("the weight is what stands under 'lb' and 'oz', added together",)
    wanted = totals(repricer, [f"{16 * pound + ounces} oz" for pound, ounces in parts])
    assert [None if row is None else row[0] for row in answers] == wanted
    assert len(set(wanted)) > 20


def test_feet_and_inches(repricer: tarewise.Repricer) -> None:
    rows: list[list[object]] = [["lb", "Length ft", "Length in", "Width in", "Height in"], [3, 1, Decimal("2.5"), 9, 4], [3, None, "6 1/2", 5, 4]]
    _, answers, told = reprice_rows(rows, repricer)
    assert told == ("the length is what stands under 'Length ft' and 'Length in', added together",)
    assert [row[0] for row in answers if row] == totals(repricer, ["3 lb"], "14.5 in x 9 in x 4 in") + totals(repricer, ["3 lb"], "6.5 in x 5 in x 4 in")
    with pytest.raises(HeaderError, match="found the number '9' under 'Width'"):  # which of the two units it is, nothing says
        reprice_rows([["lb", "Length ft", "Length in", "Width", "Height"], [3, 1, 2, 9, 4]], repricer)


@pytest.mark.parametrize(
    ("lb", "oz", "reason"),
    [
        ("x", 3, 'bad_weight: lb: found "x", expected a weight such as'),
        (2, "three", 'bad_weight: oz: found "three", expected a weight such as'),
        (-1, 3, 'bad_weight: lb: found "-1", expected a weight'),
        (2, -3, 'bad_weight: oz: found "-3", expected a weight over 0'),
        (2.5, 3, 'bad_weight: lb + oz: found "2.5 lb and 3 oz", expected whole lb and less than 16 oz'),
        (2, 16, 'bad_weight: lb + oz: found "2 lb and 16 oz", expected whole lb and less than 16 oz'),
        ("2 lb 3 oz", 3, 'bad_weight: lb + oz: found "2 lb 3 oz and 3 oz", expected one in lb and one in oz'),
        ("2 kg", 3, 'bad_weight: lb + oz: found "2 kg and 3 oz", expected one in lb and one in oz'),
        (0, 0, 'bad_weight: lb + oz: found "0 lb and 0 oz", expected a weight over 0'),
        (None, None, "missing"),
        (2.5, None, None), (None, 40, None), (0, 40, None), ("2 lb 3 oz", None, None), (2.5, 0, None), ("1", "3 1/2", None),
    ],
)  # fmt: skip
def test_a_bad_cell_is_a_reason(lb: object, oz: object, reason: str | None, repricer: tarewise.Repricer) -> None:
    cells = [Decimal(str(cell)) if isinstance(cell, float) else cell for cell in (lb, oz)]
    _, answers, _ = reprice_rows([["lb", "oz", *SIDES], [*cells, 12, 9, 4], [1, 2, 12, 9, 4]], repricer)
    first, other = answers
    assert other is not None and other[0] is not None and other[-1] is None
    assert first is not None and (first[0] is None) == (reason is not None)
    assert str(first[-1]).startswith(str(reason))


def test_the_same_weight_twice(repricer: tarewise.Repricer) -> None:
    rows: list[list[object]] = [["lb", "oz", *SIDES], [None, 12, 12, 9, 4], [Decimal("4.55"), Decimal("72.8"), 12, 9, 4]]
    with pytest.raises(HeaderError, match="4.55 lb under 'lb' and 72.8 oz under 'oz', which is the same weight twice") as caught:
        reprice_rows(rows, repricer)
    assert caught.value.line == 3


def test_two_rows_of_headers(tmp_path: pathlib.Path, repricer: tarewise.Repricer) -> None:
    book = openpyxl.Workbook()
    page = book.active
    for row in (["SKU", "Weight", None, "Dimensions (in)"], [None, "lb", "oz", "L", "W", "H"], ["A", 4, 8.8, 14, 11, 3], ["B", None, "x", 5, 5, 5]):
        page.append(row)
    page.merge_cells("B1:C1")
    page.merge_cells("D1:F1")
    book.save(tmp_path / "goods.xlsx")
    from tarewise.sheets import reprice_sheet

    priced = reprice_sheet(tmp_path / "goods.xlsx", tmp_path / "out.xlsx", repricer)
    assert priced.matched["weight"] == "Weight / lb + Weight / oz"
    assert "the weight is what stands under 'Weight / lb' and 'Weight / oz', added together" in priced.told
    rows = list(openpyxl.load_workbook(tmp_path / "out.xlsx").worksheets[0].iter_rows(min_row=3, values_only=True))
    assert [Decimal(str(rows[0][6]))] == totals(repricer, ["72.8 oz"], "14 in x 11 in x 3 in")
    assert str(rows[1][-1]).startswith('bad_weight: Weight / oz: found "x"')
