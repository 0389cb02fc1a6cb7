"""The same repricing under Dask: partitions are priced where they are; a worker process reads the ratebook once."""

from __future__ import annotations

from typing import Any

import tarewise as tw


def reprice(frame: Any, repricer: tw.Repricer) -> Any:
    """A Dask DataFrame with the repricer's columns added. Make the repricer with `threads=1`: Dask has its own."""
    # What comes out of no rows tells Dask the columns and their types. A column of orders is refused here: partitions would
    # cut orders apart.
    [meta] = repricer.batches([frame._meta])
    return frame.map_partitions(repricer, meta=meta)
