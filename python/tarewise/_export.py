"""Answers as plain Python values and as data frames."""

from __future__ import annotations

import json
from collections.abc import Callable, Iterable, Mapping, Sequence
from typing import TYPE_CHECKING, Any, Literal, Union, cast

from tarewise.errors import QuantityError

if TYPE_CHECKING:
    from tarewise._core import Comparison, Offer, Plans, Ranking

_Row = Mapping[str, Any]

_OFFER = (
    "carrier", "service", "title", "packaging", "issued_by", "zone", "days_least", "days_most", "arrives_earliest", "arrives_latest",
    "delivers", "tracked", "mode", "weight", "sides", "billable_weight", "billable_from", "tariff_total", "tariff_currency",
    "packaging_cost", "total", "currency", "handicap", "at_risk", "total_at_risk",
)  # fmt: skip
_CHARGE = ("carrier", "service", "packaging", "code", "title", "amount", "currency", "why", "row", "column", "billed_as")
_REASON = ("carrier", "service", "packaging", "code", "text")
_PLAN = ("plan", "parcels", "total", "currency", "handicap", "days_least", "days_most", "at_risk", "total_at_risk")
_CELL = ("carrier", "service", "charge", "row", "column", "before", "after")
_MONEY = frozenset({"tariff_total", "packaging_cost", "total", "handicap", "total_at_risk", "amount", "before", "after"})


def to_dict(answer: Union[Ranking, Plans, Comparison]) -> dict[str, Any]:
    read: dict[str, Any] = json.loads(answer.to_json(indent=-1))
    return read


def offer_dict(offer: Offer) -> dict[str, Any]:
    ranking, index = cast(tuple[Any, ...], offer.__reduce__()[1])
    read: dict[str, Any] = to_dict(ranking)["offers"][index]
    return read


def _frame(rows: Iterable[_Row], names: Sequence[str], totals: str) -> Any:
    if totals not in ("decimal", "float"):
        raise QuantityError(f"totals: found {totals!r}, expected 'decimal' or 'float'", pointer="/totals")
    try:
        import pandas
    except ImportError as error:
        raise ImportError('to_frame() needs pandas: pip install "tarewise[frames]"') from error
    given = list(rows)
    columns: dict[str, Any] = {}
    for name in names:
        values = [row[name] for row in given]
        if name in _MONEY:
            told = [None if value is None else float(value) for value in values] if totals == "float" else values
            columns[name] = pandas.Series(told, dtype="float64" if totals == "float" else object)
        else:
            columns[name] = pandas.Series(values, dtype=None if values else object)
    return pandas.DataFrame(columns, columns=list(names))


def _kind(kind: str, known: Mapping[str, Callable[[], Any]]) -> Any:
    if kind not in known:
        raise QuantityError(f"kind: found {kind!r}, expected {', '.join(map(repr, known))}", pointer="/kind")
    return known[kind]()


def _offer(offer: Offer, currency: str) -> _Row:
    days, arrives = offer.days, offer.arrives
    row = {name: getattr(offer, name) for name in _OFFER if hasattr(offer, name)}
    row.update(
        days_least=None if days is None else days.least,
        days_most=None if days is None else days.most,
        arrives_earliest=None if arrives is None else arrives.earliest,
        arrives_latest=None if arrives is None else arrives.latest,
        currency=currency,
    )
    for name in ("weight", "sides", "billable_weight"):
        row[name] = str(row[name])
    return row


def _charges(offer: Offer, currency: str) -> list[_Row]:
    way = {"carrier": offer.carrier, "service": offer.service, "packaging": offer.packaging}
    rows: list[_Row] = [
        {
            **way,
            **{name: getattr(charge, name) for name in ("code", "title", "amount", "why", "row", "column", "billed_as")},
            "currency": offer.tariff_currency,
        }
        for charge in offer.charges
    ]
    if offer.packaging_cost:
        title = offer.packaging_title or offer.packaging
        line: dict[str, Any] = {"code": "packaging", "title": title, "amount": offer.packaging_cost, "currency": currency}
        rows.append({**way, **line, "why": "", "row": None, "column": None, "billed_as": None})
    return rows


def ranking_frame(
    ranking: Ranking, kind: Literal["offers", "refusals", "charges"] = "offers", *, totals: Literal["decimal", "float"] = "decimal"
) -> Any:
    def offers() -> Any:
        return _frame((_offer(offer, ranking.currency) for offer in ranking), _OFFER, totals)

    def refusals() -> Any:
        rows = (
            {"carrier": one.carrier, "service": one.service, "packaging": one.packaging, "code": reason.code, "text": reason.text}
            for one in ranking.refusals
            for reason in one.reasons
        )
        return _frame(rows, _REASON, totals)

    def charges() -> Any:
        rows = ({"offer": i, **row} for i, offer in enumerate(ranking) for row in _charges(offer, ranking.currency))
        return _frame(rows, ("offer", *_CHARGE), totals)

    return _kind(kind, {"offers": offers, "refusals": refusals, "charges": charges})


def plans_frame(plans: Plans, kind: Literal["parcels", "plans", "charges"] = "parcels", *, totals: Literal["decimal", "float"] = "decimal") -> Any:
    def parcels() -> Any:
        rows = (
            {
                "plan": i,
                "parcel": k,
                "goods": [(some.item, some.units) for some in parcel.goods],
                "sealed": parcel.sealed,
                **_offer(parcel.offer, plans.currency),
            }
            for i, plan in enumerate(plans)
            for k, parcel in enumerate(plan)
        )
        return _frame(rows, ("plan", "parcel", "goods", "sealed", *_OFFER), totals)

    def whole() -> Any:
        rows: list[dict[str, Any]] = [
            {
                "plan": i,
                "parcels": len(plan),
                "total": plan.total,
                "currency": plans.currency,
                "handicap": plan.handicap,
                "days_least": None if plan.days is None else plan.days.least,
                "days_most": None if plan.days is None else plan.days.most,
                "at_risk": plan.at_risk,
                "total_at_risk": plan.total_at_risk,
            }
            for i, plan in enumerate(plans)
        ]
        return _frame(rows, _PLAN, totals)

    def charges() -> Any:
        rows = (
            {"plan": i, "parcel": k, **row}
            for i, plan in enumerate(plans)
            for k, parcel in enumerate(plan)
            for row in _charges(parcel.offer, plans.currency)
        )
        return _frame(rows, ("plan", "parcel", *_CHARGE), totals)

    return _kind(kind, {"parcels": parcels, "plans": whole, "charges": charges})


def comparison_frame(comparison: Comparison, *, totals: Literal["decimal", "float"] = "decimal") -> Any:
    return _frame((cell._asdict() for cell in comparison.cells), _CELL, totals)
