"""The functions of cells, as the office calls them. What they answer is made by ``tarewise_cells``, in ``pythonpath``."""

import datetime
import importlib.util
import os
import sys

import uno
import unohelper

NAME = "tarewise.calc.Functions"
_MOST_EMPTY_ROWS = 65_536
# As cells show them; while one cell is worked out, the texts of others are not told.
_ERRORS = {503: "#NUM!", 519: "#VALUE!", 524: "#REF!", 525: "#NAME?", 532: "#DIV/0!", 32767: "#N/A"}


def _why_not(error):
    """What is missing, of an import that failed: the cells say it."""
    here = ".".join(map(str, sys.version_info[:2]))
    if importlib.util.find_spec("numpy") is None:  # the office's own import keeps no name of what was missing
        return (
            f"tarewise: found no numpy in the Python {here} of this office, expected it there: install python3-numpy, or an "
            "extension that was built with numpy in it, and start the office again"
        )
    folder = os.path.join(os.path.dirname(os.path.abspath(__file__)), "pythonpath", "tarewise")
    try:
        held = sorted(name for name in os.listdir(folder) if name.startswith("_core"))
    except OSError:
        held = []
    return (
        f"tarewise: found {', '.join(held) or 'no compiled module'} in the extension, expected one that loads in the Python "
        f"{here} of this office ({error}): build the extension from a wheel of this Python and start the office again"
    )


def _date_of(document):
    """The day that the document counts from."""
    null = document.getPropertyValue("NullDate")
    return datetime.date(null.Year, null.Month, null.Day)


def _folder_of(document):
    """The folder of the document's file; None before it is saved."""
    url = document.URL or getattr(document, "Location", "")  # while it is loaded it has the second alone
    return os.path.dirname(uno.fileUrlToSystemPath(url)) if url.startswith("file:") else None


def _rows_of(cells):
    """The rows of a range as they are shown to a catalogue; a cell with an error is the error's own text.

    A range such as A:F ends with the last row of the sheet that anything is in.
    """
    area = cells.getRangeAddress()
    height, width = area.EndRow - area.StartRow + 1, area.EndColumn - area.StartColumn + 1
    used = cells.getSpreadsheet().createCursor()
    used.gotoEndOfUsedArea(False)
    held = max(1, min(height, used.getRangeAddress().EndRow - area.StartRow + 1))
    rows = [list(row) for row in cells.getCellRangeByPosition(0, 0, width - 1, held - 1).getDataArray()]
    if height <= _MOST_EMPTY_ROWS:
        rows += [[""] * width for _ in range(height - held)]
    for y, row in enumerate(rows):
        for x, value in enumerate(row):
            if not isinstance(value, (str, float)):
                code = cells.getCellByPosition(x, y).getError()
                row[x] = _ERRORS.get(code, f"Err:{code}")
    return rows


class Functions(unohelper.Base, uno.getClass("tarewise.calc.XFunctions")):
    """One for an office; it holds what cells share, so nothing is kept when it goes."""

    def __init__(self, context):
        self._cells = None
        self._fault = None

    def total(self, document, *given):
        answer = self._answer(document, given)
        return answer if isinstance(answer, str) else answer.total

    def serviceOf(self, document, *given):
        answer = self._answer(document, given)
        return answer if isinstance(answer, str) else answer.service

    def packaging(self, document, *given):
        answer = self._answer(document, given)
        return answer if isinstance(answer, str) else answer.packaging

    def reason(self, document, *given):
        answer = self._answer(document, given)
        return answer if isinstance(answer, str) else answer.reason

    def catalogue(self, document, goods, *given):
        if not self._ready():
            return ((self._fault,),)
        try:
            rows, first = [], 1
            if goods is not None:
                rows, first = _rows_of(goods), goods.getRangeAddress().StartRow + 1
            return self._cells.catalogue(_date_of(document), _folder_of(document), rows, first, *given)
        except Exception as error:  # a sentence, and no bare error: what nobody thought of is told, too
            return ((f"tarewise: an error of its own: {type(error).__name__}: {error}",),)

    def _answer(self, document, given):
        if not self._ready():
            return self._fault
        try:
            return self._cells.answer(_date_of(document), _folder_of(document), *given)
        except Exception as error:
            return f"tarewise: an error of its own: {type(error).__name__}: {error}"

    def _ready(self):
        # When a cell asks first, and not when the office registers this file: an office without numpy takes it, too.
        if self._cells is None and self._fault is None:
            try:
                import tarewise_cells

                self._cells = tarewise_cells.Cells()
            except ImportError as error:
                self._fault = _why_not(error)
        return self._cells is not None


g_ImplementationHelper = unohelper.ImplementationHelper()
g_ImplementationHelper.addImplementation(Functions, NAME, ("com.sun.star.sheet.AddIn",))
