"""Orders in several parcels."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING, Any, Literal, Union

from tarewise import _teach
from tarewise._core import (
    Allowance,
    Item,
    Lane,
    Length,
    Parcel,
    Plans,
    Promise,
    Ratebook,
    Request,
    Shelf,
    Steps,
    Tolerance,
    Weight,
    plan_request,
)
from tarewise._values import Consignment, Parcels, Week

if TYPE_CHECKING:
    import datetime
    from decimal import Decimal


@_teach.careful
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
    promise: Union[Promise, None] = None,
    extras: Sequence[str] = (),
    cover: Union[Decimal, str, int, None] = None,
    accepts: Union[str, Sequence[str]] = "door",
    amounts: Union[Mapping[str, Union[Decimal, str, int]], None] = None,
    time: Union[datetime.time, str, None] = None,
    totals: Literal["with_tax", "without_tax"] = "with_tax",
    week: Union[Week, None] = None,
    consignment: Union[Consignment, None] = None,
    tolerance: Union[Tolerance, None] = None,
    steps: Union[Steps, None] = None,
    objective: Literal["cheapest", "cautious"] = "cheapest",
    currency: Union[str, None] = None,
    exchange: Union[Mapping[str, Union[Decimal, str, int]], None] = None,
    padding: Union[Length, str, None] = None,
    fill_weight: Union[Weight, str, None] = None,
    allowance: Union[Allowance, None] = None,
) -> Plans:
    """The cheapest ways to part an order into parcels.

    ``parcels``: at most so many, or a mapping such as ``{"most": 3, "all_by": "service", "apart": [[0, 1]]}`` with the keys of a
    request document (FORMAT.md B9); left out: one. ``sealed`` in the place of goods: parcels that are packed and closed. The
    other keywords are those of `rank`. ``thresholds``: headroom and savers of each parcel's offers. Errors: QuantityError,
    RequestError. That nothing can be sent is an answer: no plans, and what stands in the way.

    >>> two = tw.Item("9 lb", "12 x 9 x 4 in", quantity=2)
    >>> plans = tw.plan(tables.ratebook, two, parcels=2, shelf=tables.shelf, lane=lane, date="2026-08-03", currency="USD")
    >>> sum(goods.units for parcel in plans.best for goods in parcel.goods)
    2
    >>> plans.best.total <= plans.single
    True
    """
    asked = Request(
        goods,
        lane=lane,
        date=date,
        parcels=parcels,
        sealed=sealed,
        promise=promise,
        extras=extras,
        cover=cover,
        accepts=accepts,
        amounts=amounts,
        time=time,
        totals=totals,
        week=week,
        consignment=consignment,
        tolerance=tolerance,
        steps=steps,
        objective=objective,
        currency=currency,
        exchange=exchange,
        padding=padding,
        fill_weight=fill_weight,
        allowance=allowance,
    )
    return plan_request(ratebook, asked, shelf=shelf, thresholds=thresholds)
