"""What the tests share. The tables are the invented ones of tables/demo; the world is Quillmoor Secondhand's."""

from __future__ import annotations

import pathlib
import sys

import pytest

import tarewise

ROOT = pathlib.Path(__file__).resolve().parents[2]
sys.path.insert(0, str(ROOT / "tests" / "oracle"))


@pytest.fixture(scope="session")
def root() -> pathlib.Path:
    return ROOT


@pytest.fixture(scope="session")
def tables() -> tarewise.Tables:
    return tarewise.load(ROOT / "tables" / "demo")


@pytest.fixture(scope="session")
def book(tables: tarewise.Tables) -> tarewise.Ratebook:
    return tables.ratebook


@pytest.fixture(scope="session")
def shelf(tables: tarewise.Tables) -> tarewise.Shelf:
    assert tables.shelf is not None
    return tables.shelf


@pytest.fixture(scope="session")
def lane() -> tarewise.Lane:
    return tarewise.Lane("US 05401", "US 98101", residential=True)
