"""Cells as people type them: each spelling, and that no text ever becomes another number than was typed."""

from __future__ import annotations

import doctest
import re
from decimal import Decimal
from fractions import Fraction
from typing import Any

import numpy as np
import pandas as pd
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

import tarewise as tw
from tarewise import _cells, _headers
from tarewise._cells import LENGTH_WORDS, WEIGHT_WORDS, CellError, Marks, amount, length, mark_of, number, sides, weight

COMMA = Marks(",")
# Exact by the international yard and pound agreement of 1959, here in nanograms and nanometres.
NANO = {
    "lb": 453_592_370_000, "oz": 28_349_523_125, "kg": 10**12, "g": 10**9, "mg": 10**6,
    "in": 25_400_000, "ft": 304_800_000, "yd": 914_400_000, "m": 10**9, "cm": 10**7, "mm": 10**6,
}  # fmt: skip


def test_doctests() -> None:
    for module in (_cells, _headers):
        assert doctest.testmod(module).failed == 0
    assert doctest.testmod(_cells).attempted > 5


@pytest.mark.parametrize(("words", "read", "kind"), [(WEIGHT_WORDS, weight, tw.Weight), (LENGTH_WORDS, length, tw.Length)])
def test_every_spelling_of_a_unit(words: Any, read: Any, kind: Any) -> None:
    for unit, known in words.items():
        for word in known:
            for typed in (f"3 {word}", f"3{word}", f"3 {word.upper()}", f"3 {word}.", f"3\u00a0{word}", f"  3   {word} "):
                assert read(typed) == f"3 {unit}", typed
                assert kind(read(typed)) == kind(f"3 {unit}")
    for typed in ("3 Mg", "3 Mm", "3 stone", "3 fl oz", "3 ton", "3 #", "3 oz x", "3 o z", "3 weights"):
        with pytest.raises(CellError, match="expected a"):
            read(typed)


@pytest.mark.parametrize(
    ("typed", "wanted"),
    [
        ("12 1/2", "12-1/2 in"), ("12-1/2", "12-1/2 in"), ("12\u20131/2", "12-1/2 in"), ("12\u00bd", "12-1/2 in"),
        ("12 \u00bd", "12-1/2 in"), ("\u00bd", "1/2 in"), ("1/2", "1/2 in"), ("12 1\u20442", "12-1/2 in"), ("12 3/8in", "12-3/8 in"),
        ('12"', "12 in"), ("12\u2033", "12 in"), ("12\u201d", "12 in"), ("12''", "12 in"), ('12 1/2"', "12-1/2 in"),
        ("5' 6\"", "5 ft 6 in"), ("5\u2032 6\u2033", "5 ft 6 in"), ("1 ft 2 in", "1 ft 2 in"), ("1 foot, 2 inches", "1 ft 2 in"),
        ("1 ft and 2 in", "1 ft 2 in"), ("30 cm", "30 cm"), (".5", "0.5 in"), ("12.", "12 in"),
    ],
)  # fmt: skip
def test_lengths(typed: str, wanted: str) -> None:
    assert length(typed, "in") == wanted
    assert tw.Length(length(typed, "in")) == tw.Length(wanted)


@pytest.mark.parametrize(
    "typed",
    ["12'", "5' 6", "12 9/2", "12 1/0", "1.5/2", "12 in 3", "12 3 in", "-12", "+12", "12e3", "~12", "12 x 9", "", "abc", "1/2/3",
     "12.5.1", "\u0661\u0662", "12 in,", "about 12 in", "12\u00bd\u00bd", "1-2-3", "12--1/2", "12 1/2 1/2"],
)  # fmt: skip
def test_what_is_no_length_says_what_is(typed: str) -> None:
    with pytest.raises(CellError, match="expected"):
        length(typed, "in")


def test_decimal_marks() -> None:
    assert number("1.5") == "1.5" and number("1,234.5") == "1234.5" and number("1.234,5") == "1234.5"
    assert number("1,234,567") == "1234567" and number("1.5", Marks(".", said=True)) == "1.5"
    assert number("1,5", COMMA) == number("1,5", Marks(",", said=True)) == "1.5"
    assert number("1.234", Marks(",", said=True)) == number("1,234", Marks(".", said=True)) == "1234"
    for typed, marks in (("1,234", Marks()), ("1.234", COMMA), ("1,234", Marks(".")), ("1.234", Marks(None, wary=True))):
        with pytest.raises(CellError, match="for it can be read as either: say which"):
            number(typed, marks)
    for typed, marks in (("1,5", Marks()), ("1.5", COMMA), ("1,5", Marks(".")), ("1.234,5", Marks(".")), ("1,2,3", Marks()), ("1,23,456", Marks())):
        with pytest.raises(CellError):
            number(typed, marks)
    assert [mark_of(text) for text in ("0,5", "0.500", "1,500", "2,5 x 3 x 4", "1.5 x 2,5 x 3", "x")] == [",", ".", None, ",", None, None]


@pytest.mark.parametrize(
    "typed",
    ["12 x 9 x 3", "12x9x3", "12X9X3", "12 \u00d7 9 \u00d7 3", "12*9*3", "12 by 9 by 3", '12" x 9" x 3"', "12 x 9 x 3 in", "12x9x3in",
     "12 in x 9 in x 3 in", "12L x 9W x 3H", "L12 x W9 x H3", "H 3 x W 9 x L 12", "12 l x 9 w x 3 d", "12L x 9W x 3H in", '12"L x 9"W x 3"H',
     "12 x 9 x 3 inches"],
)  # fmt: skip
def test_three_sides_in_one_text(typed: str) -> None:
    assert sides(typed, "in") == ("12 in", "9 in", "3 in")


def test_sides_that_can_be_read_in_two_ways_are_not() -> None:
    assert sides("30 x 20 x 10", "cm") == sides("30 x 20 x 10 cm", "in") == ("30 cm", "20 cm", "10 cm")
    assert sides("10 x 20 x 30", "cm", order=(2, 1, 0)) == ("30 cm", "20 cm", "10 cm")
    for typed in ("12 in x 9 x 3", "12 x 9", "12 x 9 x 3 x 2", "12 x  x 3", "12 L x 9 L x 3 H", "12 x 9W x 3", "12 x 9 x 1 ft 2 in", "M", "12,9,3", "x x x"):
        with pytest.raises(CellError, match="expected"):
            sides(typed, "in")
    with pytest.raises(CellError, match="with a unit"):
        sides("12 x 9 x 3")


def test_amounts() -> None:
    for typed in ("24.50", "$24.50", "24.50 $", "USD 24.50", "24.50 usd"):
        assert amount(typed, "USD") == "24.50"
    assert amount("24,50 \u20ac", "EUR", COMMA) == "24.50"
    for typed in ("24.50 EUR", "\u20ac24.50", "$24.50 USD", "-5", "free", "5 each"):
        with pytest.raises(CellError, match="an amount of money in USD"):
            amount(typed, "USD")


# ---- whatever is typed ----

ALPHABET = "0123456789 .,/-'\"x*" + "\u00bd\u00be\u2033\u00a0\u2044" + "lbsozkgincmftLWH"


def digits(text: str) -> str:
    for sign, fraction in _cells._VULGAR.items():
        text = text.replace(sign, fraction)
    return re.sub("[^0-9]", "", text)


@settings(max_examples=1500, deadline=None)
@given(
    st.text(ALPHABET, min_size=1, max_size=14),
    st.sampled_from([None, "in", "cm"]),
    st.sampled_from([Marks(), COMMA, Marks(","), Marks(".", said=True), Marks(",", said=True), Marks(None, wary=True)]),
)
def test_no_digit_is_lost_or_made_up(typed: str, unit: str | None, marks: Marks) -> None:
    """What is accepted has the very digits that were typed, in their order, but for a 0 before a mark."""
    for read in (length, weight):
        given_unit = unit if read is length else {"in": "oz", "cm": "g"}.get(unit or "")
        try:
            out = read(typed, given_unit, marks)
        except CellError as error:
            assert error.expected
            continue
        lead = re.sub(r"(?<![0-9])0(?=\.)", "", out)
        assert digits(lead) == digits(re.sub(r"(?<![0-9])0(?=[.,])", "", typed)), (typed, out)
        assert re.fullmatch(r"([0-9]+(\.[0-9]+|(-[0-9]+)?/[0-9]+)?|[0-9]*\.[0-9]+) [a-z]+( .*)?", out)


@st.composite
def spelled(draw: st.DrawFn) -> tuple[str, Marks, Fraction | None]:
    """A weight as somebody types it, and in ounces what it is; None where nobody could know."""
    whole = draw(st.integers(0, 12345))
    rest = draw(st.text("0123456789", max_size=4))
    comma = draw(st.booleans())
    group = draw(st.booleans())
    marks = draw(st.sampled_from([Marks(), COMMA, Marks(".", said=True), Marks(",", said=True)]))
    front = f"{whole:,}" if group else str(whole)
    text = front + ("." + rest if rest else "")
    if comma:
        text = text.replace(",", "!").replace(".", ",").replace("!", ".")
    value: Fraction | None = Fraction(Decimal(f"{whole}.{rest or 0}"))
    return text, marks, value


@settings(max_examples=1000, deadline=None)
@given(spelled(), st.sampled_from(["lb", "oz", "kg", "g"]))
def test_typed_numbers_are_exact_or_refused(typed: tuple[str, Marks, Fraction | None], unit: str) -> None:
    """Against fractions: an accepted text is the number meant, or one that the marks which were said make of it."""
    text, marks, value = typed
    assert value is not None
    try:
        got = weight(f"{text} {unit}", None, marks)
    except CellError:
        return
    found = Fraction(Decimal(got.split()[0]))
    if marks.decimal is None and found != value:  # a lone point is a decimal point where nothing says otherwise
        assert re.fullmatch(r"[0-9]+\.[0-9]+", text) and found == Fraction(Decimal(text))
    elif found != value:  # the column or somebody says another mark than was meant here
        other = {",": text.replace(".", "").replace(",", "."), ".": text.replace(",", "")}[marks.decimal or "."]
        assert found == Fraction(Decimal(other))
    exact = found * NANO[unit]
    assert tw.Weight(got) == tw.Weight(f"{Decimal(int(exact + Fraction(1, 2))) / 10**9:f} g")


# ---- texts in data frames ----


@pytest.fixture(scope="module")
def options(book: tw.Ratebook, shelf: tw.Shelf) -> dict[str, Any]:
    return {
        "ratebook": book, "shelf": shelf, "date": "2026-08-03", "currency": "USD", "lanes": tw.Lane("US 05401", "US 98101"),
    }  # fmt: skip


def test_frames_take_texts_as_people_type_them(options: dict[str, Any]) -> None:
    plain = pd.DataFrame({"weight": ["3 lb", "11.4 oz", "1.5 kg"], "length": ["12-1/2 in"] * 3, "width": ["9 in"] * 3, "height": ["3 in"] * 3})
    typed = pd.DataFrame(
        {"weight": ["3 lbs", "11.4 OZ", "1.5 Kilos"], "length": ['12 1/2"', "12\u00bd in", "12.5 inches"], "width": ["9\u2033", "9in", "9 IN"],
         "height": ["3", "3 in.", '3"']},
    )  # fmt: skip
    wanted = tw.reprice(plain, **options)
    found = tw.reprice(typed, units={"height": "in"}, **options)
    assert found["total"].tolist() == wanted["total"].tolist() and found["reason"].isna().all()
    arrays = {name: np.array(typed[name], object) for name in typed}
    assert tw.reprice(arrays, units={"height": "in"}, **options)["total_micros"].tolist() == [int(t * 10**6) for t in wanted["total"]]


def test_frames_take_decimal_commas_where_somebody_says_so(options: dict[str, Any]) -> None:
    typed = pd.DataFrame({"weight": ["1,5 kg", "1.500 g", "2.5 kg"], "length_cm": ["30,5"] * 3, "width_cm": ["20"] * 3, "height_cm": [10] * 3, "value": ["1.234,50"] * 3})
    plain = pd.DataFrame({"weight": ["1.5 kg", "1500 g"], "length_cm": [30.5] * 2, "width_cm": [20] * 2, "height_cm": [10] * 2, "value": ["1234.50"] * 2})
    found = tw.reprice(typed, decimal=",", **options)
    assert found["total"].tolist()[:2] == tw.reprice(plain, **options)["total"].tolist()
    assert found["reason"][2].startswith('bad_weight: weight: found "2.5 kg", expected')
    told = tw.reprice(typed, **options)["reason"]
    assert told[0].startswith('bad_weight: weight: found "1,5 kg", expected')
    assert tw.reprice(plain.assign(value="1234.5"), decimal=".", **options)["total"].notna().all()
    with pytest.raises(tw.QuantityError, match="decimal: found ';', expected '.' or ','"):
        tw.reprice(typed, decimal=";", **options)  # type: ignore[arg-type]
