"""Cautions of rankings and of whole catalogues; the demonstration's tables are invented, see tables/README.md."""

from __future__ import annotations

import json
import pathlib
from typing import Any

import numpy as np
import pandas as pd
import polars as pl
import pyarrow as pa
import pytest

import tarewise as tw

LANE = tw.Lane("US 05401", "US 98101")
CONTENTS = ["lithium_alone", "", "flammable_liquid liquid", "media", "sharp", "aerosol", "lithium_alone"]
POUNDS = [1.25, 1.25, 0.6, 71.0, 50.6, 1.0, -1.0]


@pytest.fixture(scope="module")
def unsaid(root: pathlib.Path) -> tw.Tables:
    """The demonstration whose parcel and road services do not say how they go."""
    documents: dict[str, str] = {}
    for path in sorted((root / "tables" / "demo").iterdir()):
        text = path.read_text(encoding="utf-8")
        if path.suffix == ".json":
            document = json.loads(text)
            for service in document.get("services", []):
                if service["code"] in ("parcel", "road"):
                    service.pop("mode", None)
            text = json.dumps(document)
        documents[path.name] = text
    return tw.load(documents)


@pytest.fixture(scope="module")
def options(unsaid: tw.Tables) -> dict[str, Any]:
    return {"ratebook": unsaid.ratebook, "shelf": unsaid.shelf, "date": "2026-08-03", "currency": "USD"}


def goods() -> dict[str, Any]:
    sides = {side: np.full(len(POUNDS), inches) for side, inches in (("length_in", 7.0), ("width_in", 5.0), ("height_in", 3.0))}
    return {"weight_lb": np.array(POUNDS), **sides, "contents": np.array(CONTENTS, dtype=object)}


def test_a_service_without_a_mode_is_warned_of(unsaid: tw.Tables) -> None:
    found = [diagnostic for diagnostic in unsaid.warnings if diagnostic.code == 358]
    assert found and all(one.severity == "warning" and 'no "mode" in the service ' in one.message for one in found)


@pytest.mark.parametrize("trait", ["lithium_alone", "flammable_liquid", "aerosol"])
def test_offers_say_where_to_confirm(options: dict[str, Any], trait: str) -> None:
    ranking = tw.rank(goods=tw.Item("20 oz", "7 x 5 x 3 in", contents=trait), lane=LANE, **options)
    assert {offer.mode for offer in ranking} == {"surface", "any"}
    for offer in ranking:
        assert offer.cautions == (("confirm_surface",) if offer.mode == "any" else ())
    assert [caution.code for caution in ranking.cautions] == [trait, "confirm_surface", "carrier_decides"]
    assert all(caution.text and caution.source for caution in ranking.cautions)
    assert ranking.cautions[1] == tw.caution("confirm_surface")
    assert "confirm with the carrier that it goes by surface" in tw.caution("confirm_surface").text
    document = json.loads(ranking.to_json())
    assert [one["code"] for one in document["cautions"]] == [caution.code for caution in ranking.cautions]
    assert [tuple(offer.get("cautions", ())) for offer in document["offers"]] == [offer.cautions for offer in ranking]
    if "confirm_surface" in ranking[0].cautions:
        assert "   confirm with the carrier that it goes by surface" in str(ranking).splitlines()


def test_a_code_that_is_none() -> None:
    with pytest.raises(KeyError, match="careful"):
        tw.caution("careful")


def by_rank(options: dict[str, Any], row: int) -> str | None:
    """The codes of a row's goods and of its best offer, as ``rank`` tells them."""
    if POUNDS[row] <= 0:
        return None
    ranking = tw.rank(goods=tw.Item(f"{POUNDS[row]} lb", "7 x 5 x 3 in", contents=CONTENTS[row]), lane=LANE, **options)
    own = ranking[0].cautions if ranking else ()
    by_offer = {"confirm_surface", "lift_with_help", "mark_heavy"}
    heavy = {code for code, bound in (("lift_with_help", 50.706), ("mark_heavy", 70)) if POUNDS[row] > bound}
    codes = [one.code for one in ranking.cautions if one.code in own or one.code in heavy or one.code not in by_offer]
    return " ".join(code for code in codes if code != "carrier_decides") or None


def test_rows_tell_what_rank_tells(options: dict[str, Any]) -> None:
    told = tw.reprice(goods(), lanes=LANE, **options)
    assert list(told)[-2:] == ["cautions", "reason"]
    expected = [by_rank(options, row) for row in range(len(POUNDS))]
    assert list(told["cautions"]) == expected
    assert expected[0] is not None and expected[0].startswith("lithium_alone")
    assert expected[1] is None and expected[3] == "lift_with_help mark_heavy" and expected[4] == "sharp lift_with_help"
    repricer = tw.Repricer(lanes=LANE, plain=True, **options)
    numbers = repricer(goods())["cautions"]
    assert numbers.dtype == np.uint32
    words = [" ".join(code for i, code in enumerate(repricer.cautions) if n >> i & 1) or None for n in numbers.tolist()]
    assert words == expected


@pytest.mark.parametrize("kind", ["pandas", "polars", "arrow"])
def test_the_column_has_one_type_whatever_is_in_it(options: dict[str, Any], kind: str) -> None:
    make: Any = {"pandas": pd.DataFrame, "polars": pl.DataFrame, "arrow": pa.table}[kind]
    repricer = tw.Repricer(lanes=LANE, **options)
    whole = repricer(make(goods()))
    without = repricer(make({name: values[1:2] for name, values in goods().items()}))
    column, empty = whole["cautions"], without["cautions"]
    assert (column.type if kind == "arrow" else column.dtype) == (empty.type if kind == "arrow" else empty.dtype)
    values = column.to_pylist() if kind == "arrow" else column.to_list() if kind == "polars" else column.tolist()
    assert values == [by_rank(options, row) for row in range(len(POUNDS))]
    assert list(empty.to_pylist() if kind == "arrow" else empty) == [None]


def test_a_column_of_that_name_is_not_overwritten(options: dict[str, Any]) -> None:
    with pytest.raises(tw.QuantityError, match="found columns cautions already"):
        tw.reprice({**goods(), "cautions": np.array(["x"] * len(POUNDS), dtype=object)}, lanes=LANE, **options)
