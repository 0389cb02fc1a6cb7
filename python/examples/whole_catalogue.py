"""A whole catalogue for a mix of destinations, and why one row costs what it does.

Run from the root of the repository: python python/examples/whole_catalogue.py
"""

from __future__ import annotations

import sys
from pathlib import Path

import pandas as pd

import tarewise as tw


def mix_of(path: Path) -> tw.Mix:
    places = pd.read_csv(path, dtype=str)
    areas = [tw.Place(country, code, area=True) for country, code in zip(places["country"], places["postal_code"])]
    return tw.Mix("US 05401", zip(areas, places["share"]))


def main(folder: Path) -> pd.DataFrame:
    tables = tw.load(folder / "demo")
    goods = pd.read_csv(folder / "catalogue" / "goods.csv")
    repricer = tw.Repricer(
        tables.ratebook,
        mix=mix_of(folder / "catalogue" / "destinations.csv"),
        shelf=tables.shelf,
        date="2026-08-03",
        currency="USD",
        exchange={"EUR": "1.0842"},
        quantiles=(0.9,),
    )
    priced = repricer(goods)
    print(priced[["sku", "expected_total", "total_p90", "worst_total", "worst_place", "reason"]].head(10).to_string(index=False))
    # Every offer, line and reason of the first row, to its first place.
    print(repricer.explain(goods, row=0, lane=0))
    return priced


if __name__ == "__main__":
    main(Path(sys.argv[1] if len(sys.argv) > 1 else "tables"))
