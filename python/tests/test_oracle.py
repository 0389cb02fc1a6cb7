"""Rankings against the slow pricer of tests/oracle, which shares no code with the library: equal to the cent.

The number of cases is TAREWISE_CASES (left out: 2,000). The same worlds go through reprice, which must find the same winner.
"""

from __future__ import annotations

import json
import os
import pathlib
import random
import subprocess
import sys
from collections import Counter
from decimal import Decimal
from typing import Any

import compare
import pytest
from typed_requests import arguments

import tarewise as tw

CASES = int(os.environ.get("TAREWISE_CASES", "2000"))
EACH = 50
SEED = 404


def worlds(folder: pathlib.Path, root: pathlib.Path) -> list[pathlib.Path]:
    """Made on two processes: the slow pricer is slow."""
    program = root / "tests" / "oracle" / "random_world.py"
    arguments = ["--seed", str(SEED), "--cases", str(CASES), "--each", str(EACH), "--jobs", "2", "--out", str(folder)]
    subprocess.run([sys.executable, str(program), *arguments], check=True, stdout=subprocess.DEVNULL)
    return sorted(folder.glob("world-*"))


@pytest.fixture(scope="session")
def made(tmp_path_factory: pytest.TempPathFactory, root: pathlib.Path) -> list[pathlib.Path]:
    return worlds(tmp_path_factory.mktemp("worlds") / "all", root)


def answer(tables: tw.Tables, text: str, typed: bool) -> dict[str, Any]:
    try:
        if typed:
            document = json.loads(text, parse_float=Decimal)
            ranking = tw.rank(tables.ratebook, shelf=tables.shelf, **arguments(document))
        else:
            ranking = tw.rank_request(tables.ratebook, tw.Request.from_json(text), shelf=tables.shelf)
    except (tw.TarewiseError, TypeError) as error:  # TypeError: an argument that there is not
        return {"error": str(error)}
    found: dict[str, Any] = json.loads(ranking.to_json())
    # The typed offers say the same as the document.
    assert [str(offer.total) for offer in ranking] == [offer["total"] for offer in found["offers"]]
    return found


def test_rankings_are_the_slow_pricers(made: list[pathlib.Path]) -> None:
    kinds: Counter[str] = Counter()
    shown: list[str] = []
    count = 0
    for world in made:
        tables = tw.load(world)
        asked = (world / "requests.jsonl").read_text(encoding="utf-8").splitlines()
        wanted = (world / "expected.jsonl").read_text(encoding="utf-8").splitlines()
        for number, (text, line) in enumerate(zip(asked, wanted, strict=True)):
            expected = json.loads(line)
            found = compare.differences(expected, answer(tables, text, typed=number % 2 == 0), every_reason=False)
            count += 1
            kinds.update(kind for kind, _ in found)
            if found and len(shown) < 5:
                shown.append(f"{world.name}:{number + 1}: {text}\n" + "\n".join(words for _, words in found[:5]))
    assert count == CASES // EACH * EACH
    assert not kinds, f"{dict(kinds)}\n" + "\n".join(shown)


def test_reprice_finds_the_slow_pricers_winner(made: list[pathlib.Path]) -> None:
    """Each request for one kind of goods, as a catalogue of one row and one lane."""
    compared = Counter[str]()
    for world in made:
        tables = tw.load(world)
        asked = (world / "requests.jsonl").read_text(encoding="utf-8").splitlines()
        wanted = (world / "expected.jsonl").read_text(encoding="utf-8").splitlines()
        for text, line in zip(asked, wanted, strict=True):
            document, expected = json.loads(text, parse_float=Decimal), json.loads(line)
            if "error" in expected or len(document.get("goods", ())) != 1 or "allowance" in document:
                continue
            if document["goods"][0].keys() & {"may_stand", "top_free", "bears", "soft"}:
                continue  # a catalogue has no such columns
            if "consignment" in document:
                continue  # each row is one of its own
            kwargs = arguments(document)
            (item,) = kwargs.pop("goods")
            for key in ("objective", "tolerance", "steps"):
                kwargs.pop(key, None)
            lane = kwargs.pop("lane")
            row = {
                "weight": [str(item.weight)],
                "length": [str(item.sides[0])],
                "width": [str(item.sides[1])],
                "height": [str(item.sides[2])],
                "quantity": [item.quantity],
                "value": [item.value],
                "contents": [item.contents],
                "shape": [item.shape],
                "this_side_up": [item.this_side_up],
                "rigid": [item.rigid],
                "bare": [item.bare],
            }
            out = tw.reprice(columns_of(row), tables.ratebook, lanes=lane, shelf=tables.shelf, **kwargs)
            if not expected["offers"]:
                assert out["total_micros"][0] == -1 and out["service"][0] is None, (world.name, text)
                assert out["reason"][0] in ("offered_nowhere", "fits_nothing", "too_heavy_packed"), (world.name, text)
                compared["none"] += 1
                continue
            best = expected["offers"][0]
            found = (Decimal(int(out["total_micros"][0])) / 10**6, out["service"][0], out["packaging"][0], out["reason"][0])
            assert found == (Decimal(best["total"]), f"{best['carrier']}/{best['service']}", best["packaging"], None), (
                world.name,
                text,
            )
            compared["best"] += 1
    assert compared["best"] > CASES // 40 and compared["none"] > 0


def columns_of(row: dict[str, list[Any]]) -> dict[str, Any]:
    import numpy as np

    out = {}
    for name, values in row.items():
        array = np.empty(len(values), object)
        array[:] = values
        out[name] = array
    return out


def test_a_wrong_price_would_show(made: list[pathlib.Path]) -> None:
    """The comparison itself: a cent more on one offer is found."""
    rng = random.Random(1)
    lines = [json.loads(line) for world in made for line in (world / "expected.jsonl").read_text(encoding="utf-8").splitlines()]
    ranking = rng.choice([line for line in lines if line.get("offers")])
    changed = json.loads(json.dumps(ranking))
    changed["offers"][0]["total"] = str(Decimal(changed["offers"][0]["total"]) + Decimal("0.01"))
    assert compare.differences(ranking, changed, every_reason=False)
