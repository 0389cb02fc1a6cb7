"""One parcel: what it costs to send, and why. Run from the root of the repository: python python/examples/quickstart.py"""

from __future__ import annotations

import sys
from decimal import Decimal
from pathlib import Path

import tarewise as tw


def main(folder: Path) -> tw.Ranking:
    tables = tw.load(folder)
    camera = tw.Item(
        "1 lb 3 oz",
        "9 x 6 x 5 in",
        value=Decimal("64.00"),
        contents=("fragile", "lithium_in_equipment"),
    )
    ranking = tw.rank(
        tables.ratebook,
        camera,
        shelf=tables.shelf,
        lane=tw.Lane("US 05401", "US 98101", residential=True),
        date="2026-08-03",
        promise=tw.Promise.within(5),
        tolerance=tw.Tolerance(weight="0.1 oz", sides="0.25 in"),
        currency="USD",
    )
    print(ranking)
    best = ranking.best
    if best is not None:
        print()
        for charge in best.charges:
            print(f"{charge.amount:>8} {best.tariff_currency}  {charge.title}: {charge.why}")
        for saver in best.savers:
            print(f"Take {saver.take} off the {saver.of} and it is {saver.total}: {saver.saves} less.")
    return ranking


if __name__ == "__main__":
    main(Path(sys.argv[1] if len(sys.argv) > 1 else "tables/demo"))
