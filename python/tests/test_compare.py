"""What differs between two ratebooks."""

from __future__ import annotations

import json
import pickle

import tarewise as tw


def test_a_new_list_cell_by_cell(book: tw.Ratebook) -> None:
    comparison = tw.compare(book, "2026-07-01", book, "2026-08-03")
    assert comparison and "harbourline" in comparison.carriers
    document = json.loads(comparison.to_json())
    assert document["format"] == "tarewise-comparison-1"
    assert comparison.summary == str(comparison) and "dearer" in comparison.summary
    cells = [cell for cell in comparison.cells if cell.carrier == "harbourline" and cell.service == "swift" and cell.row]
    assert cells and all(cell.before != cell.after for cell in cells)
    # The cells are those of the two documents.
    grids = {}
    for date, month in (("before", "01"), ("after", "07")):
        text = book.documents[next(name for name in book.documents if name.endswith(f"harbourline-2026-{month}-swift.csv"))]
        header, *rows = [line.split(",") for line in text.decode().splitlines() if not line.startswith("#")]
        grids[date] = {(row[0], column): value for row in rows for column, value in zip(header[1:], row[1:])}
    found = {(cell.row.removesuffix(" lb"), cell.column): (str(cell.before), str(cell.after)) for cell in cells}
    wanted = {key: (grids["before"].get(key), value) for key, value in grids["after"].items() if grids["before"].get(key) != value}
    assert len(found) > 100 and found == wanted


def test_comparisons_are_values(book: tw.Ratebook) -> None:
    comparison = tw.compare(book, "2026-07-01", book, "2026-08-03")
    back = pickle.loads(pickle.dumps(comparison))
    assert back == comparison and hash(back) == hash(comparison) and "carriers differ" in repr(back)
    same = tw.compare(book, "2026-08-03", book, "2026-08-03")
    assert not same and same.summary == "no difference\n" and not same.cells and same != comparison
