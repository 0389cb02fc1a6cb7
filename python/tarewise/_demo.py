"""The demonstration's tables, from inside the package."""

from __future__ import annotations

import csv
import functools
import pathlib
from typing import TYPE_CHECKING, Any

import numpy as np
import numpy.typing as npt

from tarewise import _teach
from tarewise._core import Place, Ratebook, Request, Shelf, load_folder

if TYPE_CHECKING:
    from tarewise._reprice import Mix

_TEXTS = frozenset({"sku", "title", "contents", "shape"})
_FLAGS = frozenset({"this_side_up", "rigid", "bare"})


class Demo:
    """Invented carriers, a shop's packaging, its goods and its orders: what ``demo`` gives. Each part is read when it is asked for.

    ``folder`` is where they lie, read only: ``demo`` (tariffs, terms, gazetteer, shelf), ``demo-orders`` and ``catalogue``.

    >>> demo = tw.demo()
    >>> demo.ratebook.carriers, demo.mix
    (('fenwick-dray', 'harbourline', 'larkspur', 'larkspur-eu'), <Mix of 223 places from US 05401>)
    >>> tw.rank_request(demo.ratebook, demo.orders["record"], shelf=demo.shelf).best
    <Offer harbourline/printed in record-13: 6.02 USD, 4-9 days>
    """

    def __init__(self, folder: pathlib.Path) -> None:
        self.folder = folder

    @functools.cached_property
    def _tables(self) -> tuple[Ratebook, Shelf | None, object]:
        return load_folder(self.folder / "demo")

    @property
    def ratebook(self) -> Ratebook:
        """The editions of three carriers' tariffs, from January 2026 to January 2027."""
        return self._tables[0]

    @property
    def shelf(self) -> Shelf:
        """The shop's packaging."""
        shelf = self._tables[1]
        assert shelf is not None
        return shelf

    @property
    def goods(self) -> dict[str, npt.NDArray[Any]]:
        """Some 3,000 goods as arrays by column, new ones each time; for pandas: ``pandas.DataFrame(tarewise.demo().goods)``.

        Ounces and inches stand in the names of columns; ``value`` is in USD, ``monthly_sales`` in parcels a month.
        """
        with open(self.folder / "catalogue" / "goods.csv", newline="", encoding="utf-8") as file:
            header, *rows = csv.reader(file)
        return {name: _column(name, [row[i] for row in rows]) for i, name in enumerate(header)}

    @functools.cached_property
    def mix(self) -> Mix:
        """Where the shop's parcels go, from Vermont, and how often."""
        from tarewise._reprice import Mix

        with open(self.folder / "catalogue" / "destinations.csv", newline="", encoding="utf-8") as file:
            places = [(Place(row["country"], row["postal_code"], area=True), row["share"]) for row in csv.DictReader(file)]
        return Mix("US 05401", places)

    @functools.cached_property
    def orders(self) -> dict[str, Request]:
        """Requests as they come to the packing table, by their names; for ``rank_request``."""
        paths = sorted((self.folder / "demo-orders").glob("*.json"))
        return {path.stem: Request.from_json(path.read_bytes(), path.name) for path in paths}

    def __repr__(self) -> str:
        return "<Demo: ratebook, shelf, goods, mix, orders>"


def _column(name: str, texts: list[str]) -> npt.NDArray[Any]:
    if name in _TEXTS:
        out = np.empty(len(texts), object)
        out[:] = texts
        return out
    if name in _FLAGS:
        return np.array([text == "true" for text in texts])
    if name == "quantity":
        return np.array([int(text) for text in texts], np.int64)
    return np.array([float(text) if text else np.nan for text in texts])


@_teach.careful
def demo() -> Demo:
    """The demonstration's tables, which are part of the package: nothing else need be there to try what this can do.

    >>> demo = tw.demo()
    >>> goods = {name: column[:2] for name, column in demo.goods.items()}  # of some 3,000
    >>> priced = tw.reprice(goods, demo.ratebook, shelf=demo.shelf, mix=demo.mix, date="2026-08-03", currency="USD")
    >>> priced["expected_total_micros"]
    array([14500000, 12420000])

    Carriers, prices, shop and goods are invented; the postal areas are real. Errors: FileNotFoundError where the package was
    installed without them.
    """
    package = pathlib.Path(__file__).resolve().parent
    # In a wheel beside the modules, in a source checkout in the tables.
    for folder in (package / "_tables", package.parents[1] / "tables"):
        if (folder / "demo" / "shelf.csv").is_file():
            return Demo(folder)
    raise FileNotFoundError(
        f"found no demonstration's tables in {package / '_tables'}, expected them as in the wheel: install tarewise again, "
        "or load a folder of tables of your own with tarewise.load"
    )
