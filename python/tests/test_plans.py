"""Orders in several parcels: what Python tells of them, and the slow planner's answers (tests/oracle/plans.py)."""

from __future__ import annotations

import copy
import json
import os
import pathlib
import pickle
import subprocess
import sys
from decimal import Decimal
from typing import Any

import plans as slow
import pytest

import tarewise as tw

CASES = int(os.environ.get("TAREWISE_CASES", "2000")) // 20
LANE = tw.Lane("US 05401", "US 98101")
GOODS = (tw.Item("9 lb", "12 x 9 x 4 in", quantity=2, value="30.00"), tw.Item("11 oz", "7 x 5 x 3 in", contents="fragile", value="80.00"))


@pytest.fixture(scope="module")
def tables(root: pathlib.Path) -> tw.Tables:
    return tw.load(root / "tables" / "demo")


def planned(tables: tw.Tables, goods: Any = GOODS, **more: Any) -> tw.Plans:
    return tw.plan(tables.ratebook, goods, shelf=tables.shelf, lane=LANE, date="2026-08-03", currency="USD", **more)


def test_typed_values_say_what_the_document_says(tables: tw.Tables) -> None:
    plans = planned(tables, parcels={"most": 3, "plans": 7, "together": [[1]]}, cover="100.00")
    document = json.loads(plans.to_json())
    assert document["format"] == "tarewise-plans-1"
    assert len(plans) == len(document["plans"]) > 1
    assert plans.proved and str(plans.at_least) == document["at_least"]
    assert str(plans.single) == document["single"]
    for plan, told in zip(plans, document["plans"], strict=True):
        assert str(plan.total) == told["total"]
        assert [list(map(tuple, parcel.goods)) for parcel in plan] == [
            [(goods["item"], goods["units"]) for goods in parcel["goods"]] for parcel in told["parcels"]]
        for parcel, one in zip(plan.parcels, told["parcels"], strict=True):
            assert parcel.sealed is None
            assert (parcel.offer.carrier, parcel.offer.service, parcel.offer.packaging, str(parcel.offer.total)) == (
                one["offer"]["carrier"], one["offer"]["service"], one["offer"]["packaging"], one["offer"]["total"])
            assert parcel.offer in parcel.ranking
        assert plan.total == sum(parcel.offer.total for parcel in plan)
        assert sum(goods.units for parcel in plan for goods in parcel.goods) == 3
    assert plans.best == plans[0] and plans[:2] == plans.plans[:2]


def test_a_number_of_parcels_will_do(tables: tw.Tables) -> None:
    assert planned(tables, parcels=2) == planned(tables, parcels={"most": 2})
    assert len(planned(tables).best or ()) == 1


def test_sealed_parcels(tables: tw.Tables) -> None:
    sealed = [tw.Parcel("9 lb", "14 x 9 x 5 in"), tw.Parcel("31.3 oz", "8 x 6 x 4 in")]
    plans = planned(tables, None, sealed=sealed, parcels={"all_by": "service"})
    assert [parcel.sealed for parcel in plans[0]] == [0, 1]
    assert len({(parcel.offer.carrier, parcel.offer.service) for parcel in plans[0]}) == 1
    assert plans.single is None
    assert plans.request.sealed == tuple(sealed)


def test_what_nothing_takes(tables: tw.Tables) -> None:
    plans = planned(tables, [*GOODS, tw.Item("200 lb", "90 x 40 x 30 in")], parcels=3)
    assert not plans and plans.best is None
    obstacle = plans.obstacles[0]
    assert obstacle.code == "nothing_takes"
    assert obstacle.goods == ((2, 1),)
    assert obstacle.ranking is not None and not obstacle.ranking and obstacle.ranking.refusals


def test_pickles_and_copies(tables: tw.Tables) -> None:
    plans = planned(tables, parcels={"most": 2, "apart": [[0, 1]]}, cover="100.00")
    again = pickle.loads(pickle.dumps(plans))
    assert again == plans and hash(again) == hash(plans)
    assert pickle.loads(pickle.dumps(plans[0].parcels[0])) == plans[0].parcels[0]
    ranking = plans[0].parcels[0].ranking
    assert pickle.loads(pickle.dumps(ranking)).to_json() == ranking.to_json()
    assert copy.deepcopy(plans) is plans
    request = plans.request
    assert request.parcels == {"most": 2, "all_by": "any", "together": [], "apart": [[0, 1]], "plans": 3}
    assert pickle.loads(pickle.dumps(request)) == request
    assert request != planned(tables, parcels=2, cover="100.00").request
    assert repr(plans[0]).startswith("<Plan of 2 parcels: ")
    assert repr(plans).startswith("<Plans: ")
    assert "of item 0 by" in repr(plans[0].parcels[0])


@pytest.mark.parametrize("parcels", [0, 101, {}, {"most": 0}, {"most": 2, "least": 1}, {"most": 2, "all_by": "day"}, {"most": 2, "plans": 0},
                                     {"most": 2, "together": [[]]}, {"most": 2, "together": [[2]]}, {"most": 2, "apart": [[0]]},
                                     {"most": 2, "apart": [[0, 0]]}, {"most": 2, "together": [[0, 1]], "apart": [[0, 1]]}])
def test_wrong_parcels(tables: tw.Tables, parcels: Any) -> None:
    with pytest.raises(tw.TarewiseError, match="parcels"):
        planned(tables, parcels=parcels)


@pytest.mark.parametrize("parcels", ["2", 1.5, {"most": 2, "together": 1}, {"most": 2, "together": [1]}, {"most": "2"}])
def test_parcels_of_another_kind(tables: tw.Tables, parcels: Any) -> None:
    with pytest.raises(TypeError, match="parcels"):
        planned(tables, parcels=parcels)


def test_sealed_and_more(tables: tw.Tables) -> None:
    parcel = tw.Parcel("9 lb", "14 x 9 x 5 in")
    for more in ({"sealed": []}, {"sealed": [parcel], "parcels": 2}, {"sealed": [parcel], "parcels": {"plans": 2}}):
        with pytest.raises(tw.TarewiseError):
            planned(tables, None, **more)
    with pytest.raises(tw.TarewiseError):
        planned(tables, GOODS, sealed=[parcel])
    with pytest.raises(TypeError):
        planned(tables, None, sealed=[GOODS[0]])
    with pytest.raises(tw.TarewiseError, match="cash"):
        planned(tables, parcels=2, amounts={"cash_on_delivery": "5"})


def test_plans_are_the_slow_planners(tmp_path: pathlib.Path, root: pathlib.Path) -> None:
    program = root / "tests" / "oracle" / "random_orders.py"
    arguments = ["--seed", "405", "--cases", str(CASES), "--each", "10", "--out", str(tmp_path)]
    subprocess.run([sys.executable, str(program), *arguments], check=True, stdout=subprocess.DEVNULL)
    slow.packing.MOST_STEPS = slow.FEW_STEPS
    count = 0
    for world in sorted(tmp_path.glob("world-*")):
        tables, slow_tables = tw.load(world), slow.oracle.Tables.load(world)

        def ranked(request: dict[str, Any], tables: tw.Tables = tables) -> dict[str, Any]:
            text = json.dumps(request, default=lambda value: str(Decimal(value.numerator) / Decimal(value.denominator)))
            try:
                ranking = tw.rank_request(tables.ratebook, tw.Request.from_json(text), shelf=tables.shelf)
            except tw.TarewiseError as error:
                return {"error": str(error)}
            found: dict[str, Any] = json.loads(ranking.to_json())
            return found

        for text in (world / "orders.jsonl").read_text(encoding="utf-8").splitlines():
            try:
                plans = tw.plan_request(tables.ratebook, tw.Request.from_json(text), shelf=tables.shelf)
                told = json.loads(plans.to_json())
                assert [str(plan.total) for plan in plans] == [plan["total"] for plan in told["plans"]]
            except tw.TarewiseError as error:
                told = {"error": str(error)}
            wrong = slow.compared(slow_tables, text, told, ranked)
            if wrong is not None:
                count += 1
                assert wrong == [], text
    assert count > CASES * 0.8
