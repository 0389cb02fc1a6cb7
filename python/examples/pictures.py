"""Draws the pictures of the README from the demonstration: an order packed, and where the price rises.

    python pictures.py [FOLDER]

Needs matplotlib, and tables/demo in the current folder. Carriers, prices and goods are invented.
"""

from __future__ import annotations

import pathlib
import sys

import matplotlib

matplotlib.use("Agg")

import matplotlib.pyplot as plt  # noqa: E402

import tarewise as tw  # noqa: E402
import tarewise.pictures as pictures  # noqa: E402


def draw(folder: pathlib.Path) -> list[pathlib.Path]:
    """Writes ``packed-order.png`` and ``price-steps.png`` into ``folder``."""
    tables = tw.load("tables/demo")
    ranking = tw.rank(
        tables.ratebook,
        [
            tw.Item("20 oz", "10 x 8 x 2 in", quantity=3, title="board game"),
            tw.Item("9 oz", "5 x 5 x 5 in", title="tin"),
        ],
        shelf=tables.shelf,
        lane=tw.Lane("US 05401", "US 60614", residential=True),
        date="2026-08-03",
        currency="USD",
    )
    packed = pictures.arrangement(ranking)
    lane = tw.Lane("US 05401", "US 98101")
    steps, axes = plt.subplots(figsize=(7.2, 4.2), layout="constrained")
    pictures.staircase(tables.ratebook, "12 x 9 x 4 in", lane, "2026-08-03", up_to="5 lb", currency="USD", ax=axes)
    targets = [folder / "packed-order.png", folder / "price-steps.png"]
    for figure, target in zip((packed, steps), targets, strict=True):
        figure.savefig(target, dpi=80, metadata={"Software": None})
    return targets


if __name__ == "__main__":
    for target in draw(pathlib.Path(sys.argv[1] if len(sys.argv) > 1 else pathlib.Path(__file__).parent)):
        print(target)
