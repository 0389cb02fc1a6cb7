#!/usr/bin/env python3
"""Runs notebooks from top to bottom and compares what comes out with what is stored in them: texts, tables and pages letter by letter, of
pictures that there is one. A cell that fails, an output that differs, is not stored or warns fails it.

python run_notebook.py [--write] NOTEBOOK...     --write stores what comes out, and compares nothing

All of them share one kernel, whose names are cleared in between: what they import is read once.
"""

from __future__ import annotations

import argparse
import difflib
import pathlib
import re
import sys
import time
from typing import Any

import nbclient
import nbformat
from jupyter_client.manager import KernelManager

# What pictures hold differs with the version of what draws them.
_PICTURES = frozenset({"image/png", "image/svg+xml"})
_MACHINE = re.compile(r"(?:^|[\s\"'(=])(/(?:home|root|tmp|work|usr|var)/\S*)|0x[0-9a-f]{6,}")


def texts(output: Any) -> dict[str, str]:
    """What an output says, by its kind."""
    if output["output_type"] == "stream":
        return {output["name"]: "".join(output["text"])}
    data = output.get("data", {})
    out = {kind: "".join(value) if isinstance(value, list) else str(value) for kind, value in data.items()}
    if _PICTURES & out.keys():  # whose text names a class
        return {kind: "a picture" for kind in out if kind in _PICTURES}
    return out


def said(cell: Any) -> list[dict[str, str]]:
    """A cell's outputs; lines that came one after another on one stream are one output."""
    out: list[dict[str, str]] = []
    for output in map(texts, cell.get("outputs", ())):
        if out and output.keys() == out[-1].keys() and output.keys() <= {"stdout", "stderr"}:
            name = next(iter(output))
            out[-1][name] += output[name]
        else:
            out.append(output)
    return out


def faults(stored: Any, fresh: Any) -> list[str]:
    out = []
    for number, (before, after) in enumerate(zip(stored.cells, fresh.cells), 1):
        if after.cell_type != "code":
            continue
        was, now = said(before), said(after)
        for output in now:
            if "stderr" in output:
                out.append(f"cell {number}: a warning: {output['stderr'].strip()}")
            for kind, text in output.items():
                if kind not in _PICTURES and (found := _MACHINE.search(text)):
                    out.append(f"cell {number}: {kind} names something of this machine: {found[0].strip()}")
        if was == now:
            continue
        lines = [[line for output in side for kind in output for line in (kind, *output[kind].splitlines())] for side in (was, now)]
        shown = list(difflib.unified_diff(*lines, "stored", "now", lineterm="", n=1))[:24]
        out.append("\n    ".join([f"cell {number}: what is stored is not what comes out", *shown]))
    return out


def run(path: pathlib.Path, kernel: KernelManager, write: bool) -> list[str]:
    start = time.monotonic()
    stored = nbformat.read(path, as_version=4)
    fresh = nbformat.read(path, as_version=4)
    client = nbclient.NotebookClient(fresh, km=kernel, timeout=300, record_timing=False)
    client.execute()
    found = faults(fresh if write else stored, fresh)
    cells = sum(cell.cell_type == "code" for cell in fresh.cells)
    if write and not found:
        fresh.metadata = stored.metadata
        nbformat.write(fresh, path)
    print(f"{path.name}: {cells} cells, {time.monotonic() - start:.1f} s", flush=True)
    for fault in found:
        print(f"  {fault}", flush=True)
    return found


def main(arguments: list[str]) -> int:
    parser = argparse.ArgumentParser(description="Runs notebooks and compares what comes out with what is stored.")
    parser.add_argument("--write", action="store_true", help="store what comes out")
    parser.add_argument("notebooks", nargs="+", type=pathlib.Path)
    given = parser.parse_args(arguments)
    kernel = KernelManager(kernel_name="python3")
    kernel.start_kernel(cwd=str(given.notebooks[0].resolve().parent))
    bad = 0
    try:
        for path in given.notebooks:
            bad += len(run(path, kernel, given.write)) > 0
            client = kernel.blocking_client()
            client.start_channels()
            client.wait_for_ready(timeout=60)
            client.execute_interactive("%reset -f", silent=True, timeout=60)
            client.stop_channels()
    finally:
        kernel.shutdown_kernel(now=True)
    return 1 if bad else 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
