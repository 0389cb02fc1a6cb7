#!/usr/bin/env python3
"""Runs a notebook from top to bottom in its own folder; a cell that fails, or shows an error, fails it. Nothing is written.

python run_notebook.py NOTEBOOK...
"""

from __future__ import annotations

import pathlib
import sys
import time

import nbclient
import nbformat


def main(paths: list[str]) -> int:
    for path in map(pathlib.Path, paths):
        start = time.monotonic()
        notebook = nbformat.read(path, as_version=4)
        client = nbclient.NotebookClient(
            notebook, timeout=300, kernel_name="python3", resources={"metadata": {"path": str(path.resolve().parent)}}
        )
        client.execute()
        cells = sum(cell.cell_type == "code" for cell in notebook.cells)
        print(f"{path.name}: {cells} cells, {time.monotonic() - start:.1f} s", flush=True)
    return 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
