"""Places: codes that have not their country's form are refused at every door, with what they may have been."""

from __future__ import annotations

import copy
import csv
import pathlib
import pickle
from typing import Any, Callable

import pytest

import tarewise as tw

FORM = "expected five digits, perhaps a hyphen and four more"
WRONG = [
    ("US", "2134", "postal_code", f'found "2134", {FORM}; was it "02134"?'),
    ("US", "9810I", "postal_code", f'found "9810I", {FORM}; was it "98101"?'),
    ("US", "981010", "postal_code", f'found "981010", {FORM}'),
    ("XX", "", "country", 'found "XX", expected an ISO 3166-1 code such as "US"'),
    ("UK", "", "country", 'found "UK", expected an ISO 3166-1 code such as "US"; was it "GB"?'),
]


def refused(make: Callable[[], Any]) -> tuple[str | None, str]:
    with pytest.raises(tw.QuantityError) as caught:
        make()
    return caught.value.pointer, str(caught.value)


@pytest.mark.parametrize(("country", "code", "field", "words"), WRONG)
def test_a_code_that_is_none_is_told(country: str, code: str, field: str, words: str) -> None:
    text = f"{country} {code}".rstrip()
    assert refused(lambda: tw.Place(country, code)) == (f"/{field}", f"{field}: {words}")
    assert refused(lambda: tw.Place(text)) == (None, words)
    assert refused(lambda: tw.Lane(text, "US 05401")) == ("/origin", f"origin: {words}")
    assert refused(lambda: tw.Lane("US 05401", text)) == ("/destination", f"destination: {words}")
    for mix in (lambda: tw.Mix("US 05401", {"US 10001": 1, text: 2}), lambda: tw.Mix(text, {"US 10001": 1})):
        assert words.split(";")[0] in refused(mix)[1]


@pytest.mark.parametrize(("country", "code", "field", "words"), WRONG)
def test_a_repricer_and_rank_take_no_such_lane(
    country: str, code: str, field: str, words: str, root: pathlib.Path
) -> None:
    tables = tw.load(root / "tables" / "demo")
    text = f"{country} {code}".rstrip()
    goods = {"weight_oz": [12.0], "length_in": [9.0], "width_in": [6.0], "height_in": [3.0]}
    options: dict[str, Any] = {"ratebook": tables.ratebook, "date": "2026-08-03", "currency": "USD"}
    assert words in refused(lambda: tw.reprice(goods, lanes=[tw.Lane("US 05401", text)], **options))[1]
    assert words in refused(
        lambda: tw.rank(tables.ratebook, tw.Parcel("1 lb", "4 x 4 x 4 in"), lane=tw.Lane("US 05401", text), date="2026-08-03")
    )[1]


def test_areas_are_for_mixes() -> None:
    area = tw.Place("US", "981", area=True)
    assert area == tw.Place("US 981", area=True) and repr(area) == "Place('US 981', area=True)"
    assert eval(repr(area), {"Place": tw.Place}) == area
    assert pickle.loads(pickle.dumps(area)) == copy.deepcopy(area) == area
    assert tw.Mix("US 05401", {"US 981": 1, "US 10001": 2}).places == (area, tw.Place("US 10001"))
    lane = tw.Lane("US 05401", area, residential=True)
    assert lane.destination == tw.Place("US", "981", residential=True, area=True)
    assert pickle.loads(pickle.dumps(lane)) == lane
    # A place that is whole is the same place, whatever was said of it.
    assert tw.Place("US 10001", area=True) == tw.Place("US 10001") and repr(tw.Place("US 10001")) == "Place('US 10001')"
    assert refused(lambda: tw.Place("US", "981"))[1].startswith('postal_code: found "981", expected five digits')
    assert refused(lambda: tw.Lane("US 05401", "US 981"))[0] == "/destination"
    wrong = f'postal_code: found "2134", {FORM}, or a shorter beginning of such a code; was it "02134"?'
    assert refused(lambda: tw.Place("US", "2134", area=True)) == ("/postal_code", wrong)


def test_a_sheet_may_mend_a_code_and_tell() -> None:
    assert tw.Place.mend("US", "2134") == ("02134", 'found "2134", read as "02134"')
    assert tw.Place.mend("US", "9810I") == ("98101", 'found "9810I", read as "98101"')
    assert tw.Place.mend("US", "02134-1234") == ("021341234", "")
    assert refused(lambda: tw.Place.mend("US", "981010")) == ("/postal_code", f'postal_code: found "981010", {FORM}')
    assert "ISO 3166-1" in refused(lambda: tw.Place.mend("XX", "2134"))[1]


def test_every_example_of_the_list_is_a_place(root: pathlib.Path) -> None:
    with open(root / "tables" / "postal-forms.csv", newline="", encoding="utf-8") as file:
        rows = list(csv.DictReader(file))
    assert len(rows) == 252
    for row in rows:
        assert tw.Place(row["country"]).postal_code == ""
        for code in filter(None, row["examples"].split(",")):
            assert tw.Place(row["country"], code).postal_code == code.replace(" ", "").replace("-", "")
            assert tw.Place(f"{row['country']} {code}") == tw.Place(row["country"], code)
