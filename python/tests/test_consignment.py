"""A parcel of a consignment, on the tables of tests/cases/rules-consignment.case, whose prices are worked by hand there."""

from __future__ import annotations

import json
import pathlib
from decimal import Decimal
from typing import Any

import pytest

import tarewise as tw

LANE = tw.Lane("US 05401", "US 98101")
PARCEL = tw.Parcel("60 lb", "20 x 20 x 20 in")


@pytest.fixture(scope="module")
def tables(root: pathlib.Path) -> tw.Tables:
    return tw.load(root / "tests" / "cases" / "consignment")


def road(tables: tw.Tables, **terms: Any) -> tw.Offer:
    ranking = tw.rank(tables.ratebook, PARCEL, lane=LANE, date="2026-02-01", **terms)
    return next(offer for offer in ranking if offer.service == "road")


def test_what_is_due_once_is_due_with_the_first(tables: tw.Tables) -> None:
    first = road(tables, consignment={"others": 2, "others_weight": "140 lb", "first": True})
    assert first.total == Decimal("55.75")
    assert [(charge.code, charge.amount) for charge in first.charges] == [
        ("base", Decimal("44.00")), ("pickup", Decimal("6.00")), ("sheet", Decimal("1.50")), ("fuel", Decimal("5.00")),
        ("rebate", Decimal("-0.75")),
    ]  # fmt: skip
    other = road(tables, consignment={"others": 2, "others_weight": tw.Weight("140 lb"), "first": False})
    assert other.total == 0 and [charge.amount for charge in other.charges] == [0, 0, 0, 0]
    assert road(tables).total == road(tables, consignment={"others": 0}).total


def test_as_the_document(tables: tw.Tables) -> None:
    consignment = {"others": 1, "others_weight": "240.001 lb", "first": False}
    document = {
        "format": "tarewise-request-1", "parcel": {"weight": "60 lb", "sides": "20 x 20 x 20 in"},
        "from": {"country": "US", "postal_code": "05401"}, "to": {"country": "US", "postal_code": "98101"},
        "date": "2026-02-01", "consignment": consignment,
    }  # fmt: skip
    read = tw.Request.from_json(json.dumps(document))
    assert read.consignment == {"others": 1, "others_weight": tw.Weight("240.001 lb"), "first": False}
    typed = tw.Request(PARCEL, lane=LANE, date="2026-02-01", consignment=consignment)
    assert tw.rank_request(tables.ratebook, read).to_json() == tw.rank_request(tables.ratebook, typed).to_json()
    assert typed != tw.Request(PARCEL, lane=LANE, date="2026-02-01")
