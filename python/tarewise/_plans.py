"""Orders in several parcels."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING, Any, Union

from tarewise._core import Item, Lane, Parcel, Plans, Ratebook, Request, Shelf, plan_request
from tarewise._values import Parcels

if TYPE_CHECKING:
    import datetime


def plan(
    ratebook: Ratebook,
    goods: Union[Item, Sequence[Item], None] = None,
    *,
    parcels: Union[int, Parcels, Mapping[str, Any], None] = None,
    sealed: Union[Sequence[Parcel], None] = None,
    shelf: Union[Shelf, None] = None,
    lane: Lane,
    date: Union[datetime.date, str],
    thresholds: bool = False,
    **request: Any,
) -> Plans:
    """The cheapest ways to part an order into parcels.

    ``parcels``: at most so many, or a mapping such as ``{"most": 3, "all_by": "service", "apart": [[0, 1]]}`` with the keys of a
    request document (FORMAT.md B9); left out: one. ``sealed`` in the place of goods: parcels that are packed and closed. The
    other keywords are those of `rank`. ``thresholds``: headroom and savers of each parcel's offers. Errors: QuantityError,
    RequestError. That nothing can be sent is an answer: no plans, and what stands in the way.

    >>> import tarewise
    >>> tables = tarewise.load("tables/demo")
    >>> plans = tarewise.plan(
    ...     tables.ratebook,
    ...     tarewise.Item("9 lb", "12 x 9 x 4 in", quantity=2),
    ...     parcels=2,
    ...     shelf=tables.shelf,
    ...     lane=tarewise.Lane("US 05401", "US 98101"),
    ...     date="2026-08-03",
    ...     currency="USD",
    ... )
    >>> sum(goods.units for parcel in plans.best for goods in parcel.goods)
    2
    >>> plans.best.total <= plans.single
    True
    """
    asked = Request(goods, lane=lane, date=date, parcels=parcels, sealed=sealed, **request)
    return plan_request(ratebook, asked, shelf=shelf, thresholds=thresholds)
