"""What a seller's data frame may mean is said or refused, never passed over; and wrong calls say where the right thing goes."""

from __future__ import annotations

import datetime
from typing import Any

import numpy as np
import pytest
import tarewise as tw
import tarewise.sheets

pd = pytest.importorskip("pandas")

DEMO = tw.demo()
LANE = tw.Lane("US 05401", "US 98101")
OPTIONS: dict[str, Any] = {"date": "2026-08-03", "lanes": LANE, "shelf": DEMO.shelf, "currency": "USD"}
GOODS: dict[str, Any] = {"weight_oz": [19.0, 11.4, 5.0], "length_in": [12, 11, 5], "width_in": [9, 8, 4], "height_in": [4, 3, 1]}


@pytest.mark.parametrize(
    ("name", "field", "cells"),
    [
        ("Quantity", "quantity", [2, 1, 1]), ("qty", "quantity", [2, 1, 1]), ("Pcs.", "quantity", [2, 1, 1]), ("ORDER", "order", ["A", "A", None]),
        ("Value ", "value", [24, 5, 1]), ("Contents", "contents", ["media", None, None]), ("This side up", "this_side_up", [True, False, False]),
    ],
)  # fmt: skip
def test_a_column_that_may_be_meant_is_said(name: str, field: str, cells: list[Any]) -> None:
    """It was passed over: two of a good at the price of one, an order's goods apart."""
    frame = pd.DataFrame({**GOODS, name: cells})
    with pytest.raises(tw.QuantityError, match=f"found column '{name}', expected '{field}': say columns=") as caught:
        tw.reprice(frame, DEMO.ratebook, **OPTIONS)
    assert caught.value.pointer == "/columns"
    meant = tw.reprice(frame, DEMO.ratebook, columns={field: name}, **OPTIONS)
    assert meant["total"].equals(tw.reprice(frame.rename(columns={name: field}), DEMO.ratebook, **OPTIONS)["total"])
    other = tw.reprice(frame, DEMO.ratebook, columns={field: None}, **OPTIONS)
    assert other["total"].equals(tw.reprice(pd.DataFrame(GOODS), DEMO.ratebook, **OPTIONS)["total"])


def test_a_name_that_is_right_goes_before_one_that_may_be() -> None:
    frame = pd.DataFrame({**GOODS, "quantity": [2, 1, 1], "Quantity": [9, 9, 9]})
    assert tw.reprice(frame, DEMO.ratebook, **OPTIONS)["total"].equals(tw.reprice(frame.iloc[:, :-1], DEMO.ratebook, **OPTIONS)["total"])
    left = tw.Repricer(DEMO.ratebook, columns={"order": None}, **OPTIONS)  # then it is none for batches, too
    assert len(list(left.batches([{**GOODS, "order": ["A", "A", "B"]}]))) == 1
    with pytest.raises(tw.QuantityError, match="columns: found no column None for weight"):
        tw.reprice(GOODS, DEMO.ratebook, columns={"weight": None}, **OPTIONS)


@pytest.mark.parametrize("nothing", ["nan", "None", "<NA>", "NaT", "NULL", " n/a ", "-"])
def test_orders_that_are_an_empty_cell_as_text(nothing: str) -> None:
    """``frame["order"].astype(str)`` made one large order of all goods that have none."""
    frame = pd.DataFrame({**GOODS, "order": ["A", nothing, nothing]})
    with pytest.raises(tw.QuantityError, match=r'order: row 1: found ".*", which is what an empty cell is written as'):
        tw.reprice(frame, DEMO.ratebook, **OPTIONS)
    with pytest.raises(tw.TarewiseError, match="which is what an empty cell is written as"):
        tw.sheets.reprice_rows([["Order", "oz", "L in", "W in", "H in"], [nothing, 5, 5, 4, 1]], tw.Repricer(DEMO.ratebook, **OPTIONS))


def test_a_time_with_a_zone() -> None:
    """The zone was left out without a word; dates with one are refused."""
    noon = datetime.time(12, tzinfo=datetime.timezone.utc)
    item = tw.Item("1 lb", "12 x 9 x 4 in")
    calls: list[Any] = [
        lambda: tw.rank(DEMO.ratebook, item, lane=LANE, date="2026-08-03", currency="USD", time=noon),
        lambda: tw.plan(DEMO.ratebook, item, lane=LANE, date="2026-08-03", currency="USD", time=noon),
        lambda: tw.Request(item, lane=LANE, date="2026-08-03", time=noon),
        lambda: tw.reprice(GOODS, DEMO.ratebook, time=noon, **OPTIONS),
        lambda: tw.Repricer(DEMO.ratebook, **OPTIONS).replace(time=noon),
    ]
    for call in calls:
        with pytest.raises(TypeError, match="expected one without a zone"):
            call()
    assert tw.rank(DEMO.ratebook, item, lane=LANE, date="2026-08-03", currency="USD", time=datetime.time(12)).best


def test_words_that_say_what_to_do() -> None:
    repricer = tw.Repricer(DEMO.ratebook, **OPTIONS)
    with pytest.raises(tw.QuantityError, match="lane: found 'west', expected a number from 0, or 'US_98101'"):
        repricer.explain(GOODS, 0, "west")
    with pytest.raises(tw.RequestError, match="row 1: missing"):
        repricer.explain({**GOODS, "weight_oz": [1.0, np.nan, 2.0]}, 1)
    with pytest.raises(TypeError, match=r"outputs: found one text, expected several such as \['total'\]"):
        tw.reprice(GOODS, DEMO.ratebook, outputs="total", **OPTIONS)  # type: ignore[arg-type]
    twins = pd.concat([pd.DataFrame(GOODS), pd.DataFrame(GOODS)[["width_in"]]], axis=1)
    with pytest.raises(ValueError, match="two columns of one name, 'width_in'"):
        repricer(twins)
    with pytest.raises(TypeError, match=r"'residential' is said of the lane, such as tarewise.Lane\("):
        tw.rank(DEMO.ratebook, tw.Item("1 lb", "9 x 9 x 9 in"), lane=LANE, date="2026-08-03", resdential=True)  # type: ignore[call-arg]
    with pytest.raises(TypeError, match="'quantity' is said of the good"):
        tw.reprice(GOODS, DEMO.ratebook, quantity=2, **OPTIONS)  # type: ignore[call-arg]
    with pytest.raises(TypeError, match="value: found datetime64.*, expected amounts of money"):
        repricer(pd.DataFrame({**GOODS, "value": pd.to_datetime(["2026-01-01"] * 3)}))
    of_dask = type("DataFrame", (), {"__module__": "dask.dataframe"})()
    with pytest.raises(TypeError, match="found a DataFrame of dask, expected one of pandas or Polars: give its partitions"):
        repricer(of_dask)


def test_a_mix_of_what_pandas_counts() -> None:
    sold = pd.Series(["US 98101", "US 98101", "US 10001"]).value_counts()
    assert tw.Mix("US 05401", sold) == tw.Mix("US 05401", {"US 98101": 2, "US 10001": 1})


def test_help_of_sheets_shows_what_is_for_others() -> None:
    """A function called ``_fields`` made pydoc take the module for a named tuple, and show all of its inside."""
    import pydoc

    shown = pydoc.plain(pydoc.render_doc(tw.sheets))
    assert "reprice_sheet(" in shown and "_Reader" not in shown and "_gather(" not in shown
