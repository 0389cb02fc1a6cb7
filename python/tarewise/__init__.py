"""The cheapest honest way to send what was sold, to the cent and with reasons.

The examples of every name (``help(tarewise.Item)``) go on from this one, some on the way of ``compare_catalogue`` and ``losers``.
Its tables are invented; ``print(ranking)`` shows it in a terminal, and in a notebook it shows itself.

>>> import tarewise as tw
>>> tables = tw.load("tables/demo")
>>> item = tw.Item("1 lb 3 oz", "12 x 9 x 4 in", value="24.00")
>>> lane = tw.Lane("US 05401", "US 98101", residential=True)
>>> asked = {"shelf": tables.shelf, "lane": lane, "date": "2026-08-03", "currency": "USD"}
>>> ranking = tw.rank(tables.ratebook, item, **asked)
>>> ranking.best
<Offer harbourline/parcel in carton-12: 11.99 USD, 4-6 days>
>>> plans = tw.plan(tables.ratebook, item, parcels=2, **asked)
>>> plans.best
<Plan of 1 parcel: 11.99 USD>
"""

from __future__ import annotations

import os
from collections.abc import Mapping
from typing import NamedTuple, Union

from tarewise import _teach
from tarewise._changes import (
    CatalogueChange,
    CatalogueComparison,
    Losers,
    LosingPeriod,
    LosingRows,
    PlaceChange,
    RowLoss,
    ServiceMove,
    Way,
    compare_catalogue,
    losers,
)
from tarewise._core import (
    Allowance,
    Charge,
    Comparison,
    Economics,
    Item,
    Lane,
    Length,
    Offer,
    Parcel,
    Place,
    Plan,
    PlannedParcel,
    Plans,
    Promise,
    Ranking,
    Ratebook,
    Refusal,
    Request,
    Shelf,
    Sides,
    Steps,
    Tolerance,
    Weight,
    __version__,
    arrange,
    caution,
    check_arrangement,
    compare,
    load_documents,
    load_folder,
    plan_request,
    rank,
    rank_request,
)
from tarewise._demo import Demo, demo
from tarewise._plans import plan
from tarewise._reprice import Mix, Repricer, reprice
from tarewise._sales import SaleColumns
from tarewise._values import (
    ArrangedUnit,
    Arrangement,
    Arrival,
    CarrierWeek,
    Consignment,
    Caution,
    CellChange,
    Days,
    Diagnostic,
    Fee,
    FeeTier,
    Growth,
    Handicap,
    Headroom,
    Issued,
    OnceCharge,
    Overdue,
    Packaging,
    Parcels,
    PlaceTotal,
    PlannedGoods,
    PlanObstacle,
    Profit,
    Reason,
    Returns,
    SaleLine,
    Saver,
    Service,
    Tariff,
    Tax,
    TotalRange,
    Week,
    WinnerChange,
)
from tarewise.errors import QuantityError, RepriceInterrupted, RequestError, TarewiseError, TariffError

__all__ = [
    "Allowance",
    "ArrangedUnit",
    "Arrangement",
    "Arrival",
    "CarrierWeek",
    "CatalogueChange",
    "CatalogueComparison",
    "Caution",
    "CellChange",
    "Charge",
    "Comparison",
    "Consignment",
    "Days",
    "Demo",
    "Diagnostic",
    "Economics",
    "Fee",
    "FeeTier",
    "Growth",
    "Handicap",
    "Headroom",
    "Issued",
    "Item",
    "Lane",
    "Length",
    "Losers",
    "LosingPeriod",
    "LosingRows",
    "Mix",
    "Offer",
    "OnceCharge",
    "Overdue",
    "Packaging",
    "Parcel",
    "Parcels",
    "Place",
    "PlaceChange",
    "PlaceTotal",
    "Plan",
    "PlanObstacle",
    "PlannedGoods",
    "PlannedParcel",
    "Plans",
    "Profit",
    "Promise",
    "QuantityError",
    "Ranking",
    "Ratebook",
    "Reason",
    "Refusal",
    "RepriceInterrupted",
    "Repricer",
    "Request",
    "RequestError",
    "Returns",
    "RowLoss",
    "SaleColumns",
    "SaleLine",
    "Saver",
    "Service",
    "ServiceMove",
    "Shelf",
    "Sides",
    "Steps",
    "Tables",
    "TarewiseError",
    "Tariff",
    "TariffError",
    "Tax",
    "Tolerance",
    "TotalRange",
    "Way",
    "Week",
    "Weight",
    "WinnerChange",
    "__version__",
    "arrange",
    "caution",
    "check_arrangement",
    "compare",
    "compare_catalogue",
    "demo",
    "load",
    "losers",
    "plan",
    "plan_request",
    "rank",
    "rank_request",
    "reprice",
]


class Tables(NamedTuple):
    """What a folder of tables holds, as `load` reads it.

    >>> ratebook, shelf, warnings = tw.load("tables/demo")
    """

    ratebook: Ratebook
    shelf: Shelf | None
    warnings: tuple[Diagnostic, ...]


@_teach.careful
def load(source: Union[str, os.PathLike[str], Mapping[str, Union[str, bytes]]]) -> Tables:
    """Reads a folder of tables whole, or documents by their names. Errors: TariffError; nothing is half-loaded.

    >>> tw.load("tables/demo").ratebook.carriers
    ('fenwick-dray', 'harbourline', 'larkspur', 'larkspur-eu')
    """
    return Tables(*(load_documents(source) if isinstance(source, Mapping) else load_folder(source)))


_teach.teach_fields(globals())
for _cls in (Fee, FeeTier, Issued, Packaging, Returns, SaleColumns):
    _teach.careful_class(_cls)
del _cls
