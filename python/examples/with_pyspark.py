"""The same repricing under Spark, by Arrow batches; a worker process reads the ratebook once."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

import pyarrow as pa

import tarewise as tw


def reprice(frame: Any, repricer: tw.Repricer) -> Any:
    """A Spark DataFrame with the repricer's columns added. Make the repricer with `threads=1`: Spark has its own."""
    from pyspark.sql.pandas.types import from_arrow_schema, to_arrow_schema

    # Inside, so that workers need not find this file.
    def plain(batch: pa.RecordBatch) -> pa.RecordBatch:
        """Spark has no dictionaries: the names as texts."""
        arrays = [
            array.cast(array.type.value_type) if pa.types.is_dictionary(array.type) else array for array in batch.columns
        ]
        return pa.RecordBatch.from_arrays(arrays, names=batch.schema.names)

    def batches(of_worker: Iterator[pa.RecordBatch]) -> Iterator[pa.RecordBatch]:
        yield from map(plain, repricer.batches(of_worker, progress=False))

    nothing = pa.RecordBatch.from_pylist([], schema=to_arrow_schema(frame.schema))
    # A column of orders is refused here: batches would cut orders apart.
    [priced] = repricer.batches([nothing])
    return frame.mapInArrow(batches, from_arrow_schema(plain(priced).schema))
