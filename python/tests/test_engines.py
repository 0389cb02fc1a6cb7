"""The examples, and the same results on more than one process under Dask and Spark."""

from __future__ import annotations

import importlib.util
import os
import pathlib
import shutil
import sys
from typing import Any

import pandas as pd
import pytest

import tarewise as tw


def example(root: pathlib.Path, name: str) -> Any:
    spec = importlib.util.spec_from_file_location(name, root / "python" / "examples" / f"{name}.py")
    assert spec is not None and spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    # By name in worker processes too.
    sys.modules[name] = module
    spec.loader.exec_module(module)
    return module


@pytest.fixture(scope="module")
def catalogue(root: pathlib.Path) -> pd.DataFrame:
    frame = pd.read_csv(root / "tables" / "catalogue" / "goods.csv").head(1200)
    return frame.drop(columns=["contents", "shape"])


@pytest.fixture(scope="module")
def repricer(book: tw.Ratebook, shelf: tw.Shelf) -> tw.Repricer:
    mix = tw.Mix("US 05401", {"US 05602": 3, "US 98101": 1, "US 10001": 2})
    return tw.Repricer(book, mix=mix, shelf=shelf, date="2026-08-03", currency="USD", quantiles=[0.5], threads=1)


ADDED = ["expected_total", "worst_total", "worst_place", "total_p50", "cautions", "reason"]


def rows_of(frame: pd.DataFrame) -> list[tuple[Any, ...]]:
    by_sku = frame.sort_values("sku")[["sku", *ADDED]]
    return [tuple(None if pd.isna(value) else value for value in row) for row in by_sku.itertuples(index=False, name=None)]


def test_the_examples_run(root: pathlib.Path, capsys: pytest.CaptureFixture[str]) -> None:
    ranking = example(root, "quickstart").main(root / "tables" / "demo")
    assert ranking and str(ranking[0].total) in capsys.readouterr().out
    priced = example(root, "whole_catalogue").main(root / "tables")
    assert len(priced) > 3000 and "expected_total" in capsys.readouterr().out


@pytest.mark.parametrize("scheduler", ["threads", "processes"])
@pytest.mark.filterwarnings("ignore")
def test_dask(root: pathlib.Path, catalogue: pd.DataFrame, repricer: tw.Repricer, scheduler: str) -> None:
    dd = pytest.importorskip("dask.dataframe")
    frame = dd.from_pandas(catalogue, npartitions=5)
    out = example(root, "with_dask").reprice(frame, repricer).compute(scheduler=scheduler, num_workers=2)
    assert rows_of(out) == rows_of(repricer(catalogue))
    assert out.index.equals(catalogue.index)


@pytest.mark.filterwarnings("ignore")
def test_dask_refuses_orders(root: pathlib.Path, catalogue: pd.DataFrame, repricer: tw.Repricer) -> None:
    """A partition may hold a part of one."""
    dd = pytest.importorskip("dask.dataframe")
    frame = dd.from_pandas(catalogue.assign(order=7), npartitions=5)
    with pytest.raises(tw.QuantityError, match="found a column of orders, expected none"):
        example(root, "with_dask").reprice(frame, repricer)


@pytest.mark.filterwarnings("ignore")
def test_spark(root: pathlib.Path, catalogue: pd.DataFrame, repricer: tw.Repricer, tmp_path: pathlib.Path) -> None:
    sql = pytest.importorskip("pyspark.sql")
    if shutil.which("java") is None and "JAVA_HOME" not in os.environ:
        pytest.skip("Spark needs Java")
    os.environ["PYSPARK_PYTHON"] = os.environ["PYSPARK_DRIVER_PYTHON"] = sys.executable
    os.environ.setdefault("SPARK_LOCAL_IP", "127.0.0.1")
    path = tmp_path / "goods.parquet"
    catalogue.to_parquet(path)
    spark = (
        sql.SparkSession.builder.master("local[2]")
        .config("spark.ui.enabled", "false")
        .config("spark.driver.host", "127.0.0.1")
        .config("spark.driver.memory", "1g")
        .config("spark.sql.execution.arrow.maxRecordsPerBatch", "300")
        .config("spark.sql.warehouse.dir", str(tmp_path))
        .getOrCreate()
    )
    try:
        frame = spark.read.parquet(str(path)).repartition(4)
        out = example(root, "with_pyspark").reprice(frame, repricer)
        assert out.columns == [*catalogue.columns, *ADDED]
        collected = pd.DataFrame([row.asDict() for row in out.collect()])
    finally:
        spark.stop()
    assert rows_of(collected) == rows_of(repricer(catalogue))
