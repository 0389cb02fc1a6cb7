"""Amounts as floats, where somebody asks for them: the nearest to each decimal, in every kind of table."""

from __future__ import annotations

import math
from decimal import Decimal
from typing import Any

import numpy as np
import pytest
import tarewise as tw

pd = pytest.importorskip("pandas")
pl = pytest.importorskip("polars")
pa = pytest.importorskip("pyarrow")

DEMO = tw.demo()
GOODS: dict[str, Any] = {name: column[:60] for name, column in DEMO.goods.items()}
GOODS["weight_oz"] = np.where(np.arange(60) % 7 == 3, np.nan, GOODS["weight_oz"])
GOODS["cost"] = np.round(GOODS["value"] / 3, 2)
SALE = tw.SaleColumns(tw.Economics("USD", fees=[tw.Fee("selling", "11.4")], labour="1.20"), price="value", cost="cost", wanted="1")
OPTIONS: dict[str, Any] = {"date": "2026-08-03", "mix": DEMO.mix, "shelf": DEMO.shelf, "currency": "USD", "quantiles": ["0.9"], "sale": SALE}
NAMES = ["expected_total", "worst_total", "total_p90", "profit", "most_to_pay", "least_price"]


def wanted(rows: Any, name: str) -> list[float | None]:
    """Of the decimals, by Python."""
    least = -(2**63) if name in ("profit", "month_rise") or name.endswith("_profit") else -1
    return [None if micros == least else float(Decimal(int(micros)) / 1_000_000) for micros in rows[name + "_micros"]]


KINDS: dict[str, Any] = {
    "arrays": (dict, lambda table, name: [None if math.isnan(v) else v for v in table[name].tolist()]),
    "pandas": (pd.DataFrame, lambda table, name: [None if math.isnan(v) else v for v in table[name].tolist()]),
    "polars": (pl.DataFrame, lambda table, name: table[name].to_list()),
    "arrow": (pa.table, lambda table, name: table[name].to_pylist()),
    "batch": (pa.RecordBatch.from_pydict, lambda table, name: table.column(name).to_pylist()),
}


@pytest.mark.parametrize("kind", list(KINDS))
def test_floats_are_those_of_the_decimals(kind: str) -> None:
    make, read = KINDS[kind]
    exact = tw.reprice(GOODS, DEMO.ratebook, **OPTIONS)
    told = tw.reprice(make(GOODS), DEMO.ratebook, money="float", **OPTIONS)
    for name in NAMES:
        numbers = read(told, name)
        assert numbers == wanted(exact, name) and None in numbers and any(n is not None and n > 0 for n in numbers)
        assert kind not in ("arrays", "pandas") or str(told[name].dtype) == "float64"
    assert not [name for name in getattr(told, "columns", told) if str(name).endswith("_micros")]
    assert any(n is not None and n < 0 for n in read(told, "profit"))


def test_what_pandas_does_with_floats_and_not_with_decimals() -> None:
    lane = tw.Lane("US 05401", "US 98101")
    options: dict[str, Any] = {"date": "2026-08-03", "lanes": lane, "shelf": DEMO.shelf, "currency": "USD"}
    told = tw.reprice(pd.DataFrame(GOODS), DEMO.ratebook, money="float", **options)["total"].describe()
    exact = tw.reprice(pd.DataFrame(GOODS), DEMO.ratebook, **options)["total"].dropna()
    assert told["count"] == len(exact) and told["max"] == float(max(exact))


def test_comparisons_and_losers_too() -> None:
    before = tw.Repricer(DEMO.ratebook, money="float", **OPTIONS)
    after = before.replace(date="2026-12-01")
    rows = tw.compare_catalogue(GOODS, before, after).rows
    exact = tw.compare_catalogue(GOODS, before.replace(money="decimal"), after.replace(money="decimal")).rows
    for name in ("before_total", "after_total", "month_rise", "before_profit", "after_profit"):
        assert [None if math.isnan(v) else v for v in rows[name].tolist()] == wanted(exact, name)
    lost = tw.losers(pd.DataFrame(GOODS), before, ["2026-12"]).rows["profit_2026-12"]
    assert str(lost.dtype) == "float64"
    with pytest.raises(tw.QuantityError, match="money: found different ones before and after"):
        tw.compare_catalogue(GOODS, before, after.replace(money="decimal"))


def test_it_is_said_or_refused() -> None:
    with pytest.raises(tw.QuantityError, match="money: found 'floats', expected 'decimal' or 'float'"):
        tw.Repricer(DEMO.ratebook, money="floats", **OPTIONS)  # type: ignore[arg-type]
    with pytest.raises(tw.QuantityError, match="beside plain"):
        tw.Repricer(DEMO.ratebook, money="float", plain=True, **OPTIONS)
    with pytest.raises(tw.QuantityError, match="found columns .*expected_total.* already"):
        tw.reprice({**GOODS, "expected_total": GOODS["value"]}, DEMO.ratebook, money="float", **OPTIONS)
