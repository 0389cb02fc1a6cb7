"""The demonstration's tables from inside the package."""

from __future__ import annotations

import csv
import pathlib

import pytest

import tarewise as tw
from tarewise import _demo


def test_everything_is_there_and_is_that_of_the_tables(root: pathlib.Path, book: tw.Ratebook, shelf: tw.Shelf) -> None:
    demo = tw.demo()
    assert demo.ratebook == book and demo.shelf == shelf
    with open(root / "tables" / "catalogue" / "goods.csv", newline="") as file:
        rows = list(csv.DictReader(file))
    goods = demo.goods
    assert list(goods) == list(rows[0]) and len(goods["sku"]) == len(rows) > 3000
    for at in (0, 17, len(rows) - 1):
        for name, text in rows[at].items():
            found = goods[name][at]
            if name in ("sku", "title", "contents", "shape"):
                assert found == text
            elif name in ("this_side_up", "rigid", "bare"):
                assert bool(found) is (text == "true")
            else:
                assert float(found) == float(text)
    names = {path.stem for path in (root / "tables" / "demo-orders").glob("*.json")}
    assert set(demo.orders) == names and len(names) > 20
    assert demo.orders["record"] == tw.Request.from_json((root / "tables" / "demo-orders" / "record.json").read_bytes())
    with open(root / "tables" / "catalogue" / "destinations.csv", newline="") as file:
        assert len(demo.mix) == len(list(csv.DictReader(file)))


def test_it_prices_as_it_is() -> None:
    demo = tw.demo()
    assert tw.rank_request(demo.ratebook, demo.orders["record"], shelf=demo.shelf).best is not None
    priced = tw.reprice(demo.goods, demo.ratebook, shelf=demo.shelf, mix=demo.mix, date="2026-08-03", currency="USD")
    assert (priced["expected_total_micros"] > 0).mean() > 0.9


def test_goods_are_the_callers_own() -> None:
    demo = tw.demo()
    demo.goods["weight_oz"][:] = 0
    assert (demo.goods["weight_oz"] > 0).all()


def test_without_the_tables_it_says_so(tmp_path: pathlib.Path, monkeypatch: pytest.MonkeyPatch) -> None:
    nowhere = tmp_path / "a" / "b" / "tarewise" / "_demo.py"
    nowhere.parent.mkdir(parents=True)
    monkeypatch.setattr(_demo, "__file__", str(nowhere))
    with pytest.raises(FileNotFoundError, match=r"found no demonstration's tables in .*_tables, expected them as in the wheel"):
        tw.demo()
    # As a wheel has them: beside the modules.
    installed = nowhere.with_name("_tables") / "demo"
    installed.mkdir(parents=True)
    (installed / "shelf.csv").write_text("")
    assert tw.demo().folder == installed.parent
