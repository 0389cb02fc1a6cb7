"""Drives an office without windows for test_calc.py. Runs in the office's own Python: a line of JSON in, a line of JSON out."""

import json
import os
import subprocess
import sys
import time

import uno
from com.sun.star.beans import PropertyValue
from com.sun.star.connection import NoConnectException
from com.sun.star.lang import DisposedException
from com.sun.star.sheet import FormulaResult
from com.sun.star.table import BorderLine2


def named(**values):
    out = []
    for name, value in values.items():
        one = PropertyValue()
        one.Name, one.Value = name, value
        out.append(one)
    return tuple(out)


class Office:
    def __init__(self, profile, pipe):
        self.process = subprocess.Popen(
            ["soffice", f"-env:UserInstallation=file://{profile}", "--headless", "--norestore", "--nologo",
             f"--accept=pipe,name={pipe};urp;"],
            stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL, stdin=subprocess.DEVNULL,
        )  # fmt: skip
        here = uno.getComponentContext()
        resolver = here.ServiceManager.createInstanceWithContext("com.sun.star.bridge.UnoUrlResolver", here)
        until = time.monotonic() + 60
        while True:
            try:
                self.context = resolver.resolve(f"uno:pipe,name={pipe};urp;StarOffice.ComponentContext")
                break
            except NoConnectException:
                if time.monotonic() > until or self.process.poll() not in (None, 0):
                    raise
                time.sleep(0.05)
        self.desktop = self.service("com.sun.star.frame.Desktop")
        self.document = None

    def service(self, name):
        return self.context.ServiceManager.createInstanceWithContext(name, self.context)

    def open(self, url="private:factory/scalc"):
        if self.document is not None:
            self.document.close(True)
        self.document = self.desktop.loadComponentFromURL(url, "_blank", 0, named(Hidden=True))

    @property
    def sheet(self):
        return self.document.Sheets[0]

    # ---- what test_calc.py asks for ----

    def new(self):
        self.open()

    def put(self, cells):
        for at, content in cells.items():
            cell = self.sheet[at]
            if isinstance(content, str) and content.startswith("="):
                cell.Formula = content
            elif isinstance(content, str):
                cell.String = content
            else:
                cell.Value = content

    def fill(self, cells, rows):
        self.sheet[cells].setDataArray(tuple(map(tuple, rows)))

    def array(self, cells, formula):
        """In what time: cells are worked out when they are looked at."""
        started = time.monotonic()
        self.sheet[cells].setArrayFormula(formula)
        self.sheet[cells].getDataArray()
        return time.monotonic() - started

    def get(self, cells):
        block = self.sheet[cells]
        rows = [list(row) for row in block.getDataArray()]
        corner = block.RangeAddress
        for held in block.queryFormulaCells(FormulaResult.ERROR).RangeAddresses:
            for y in range(held.StartRow, held.EndRow + 1):
                for x in range(held.StartColumn, held.EndColumn + 1):
                    cell = self.sheet.getCellByPosition(x, y)
                    rows[y - corner.StartRow][x - corner.StartColumn] = {"error": cell.getError(), "shown": cell.String}
        return rows

    def shown(self, cell):
        return self.sheet[cell].String

    def formula(self, cell):
        return self.sheet[cell].Formula

    def recalculate(self):
        self.document.calculateAll()

    def store(self, path, filter=None):
        self.document.storeToURL(uno.systemPathToFileUrl(path), named(**({"FilterName": filter} if filter else {})))

    def save(self, path):
        """As a person does: the document has a place from then on."""
        self.document.storeAsURL(uno.systemPathToFileUrl(path), ())

    def load(self, path):
        self.open(uno.systemPathToFileUrl(path))

    def functions(self):
        """What the function wizard tells of ours."""
        told = {}
        listed = self.service("com.sun.star.sheet.FunctionDescriptions")
        for i in range(listed.Count):
            one = {part.Name: part.Value for part in listed.getByIndex(i)}
            if "TW." in one["Name"] or "TAREWISE" in one["Name"].upper():
                arguments = [[part.Name, part.Description, part.IsOptional] for part in one["Arguments"]]
                told[one["Name"]] = [one["Description"], arguments]
        return told

    def null_date(self, year, month, day):
        date = uno.createUnoStruct("com.sun.star.util.Date")
        date.Year, date.Month, date.Day = year, month, day
        self.document.NullDate = date

    def format(self, cells, **looks):
        block = self.sheet[cells]
        code = looks.pop("number", None)
        if code is not None:
            formats, locale = self.document.NumberFormats, uno.createUnoStruct("com.sun.star.lang.Locale")
            locale.Language, locale.Country = "en", "US"
            key = formats.queryKey(code, locale, False)
            block.NumberFormat = formats.addNew(code, locale) if key < 0 else key
        if looks.pop("merge", False):
            block.merge(True)
        under = looks.pop("under", None)
        if under is not None:
            line = BorderLine2()
            line.Color, line.OuterLineWidth, line.LineWidth = under, 18, 18
            block.BottomBorder = line
        for name, value in looks.items():
            if name in ("HoriJustify", "VertJustify"):
                value = uno.Enum("com.sun.star.table.CellHoriJustify", value) if name == "HoriJustify" else value
            block.setPropertyValue(name, value)

    def columns(self, widths):
        for i, width in enumerate(widths):
            self.sheet.Columns.getByIndex(i).Width = width

    def heights(self, rows):
        for number, height in rows.items():
            self.sheet.Rows.getByIndex(int(number) - 1).Height = height

    def page(self, width, height):
        style = self.document.StyleFamilies.getByName("PageStyles").getByName(self.sheet.PageStyle)
        for name in ("HeaderIsOn", "FooterIsOn"):
            style.setPropertyValue(name, False)
        style.IsLandscape, style.Width, style.Height = width > height, width, height
        for side in ("LeftMargin", "RightMargin", "TopMargin", "BottomMargin"):
            style.setPropertyValue(side, 500)
        style.ScaleToPagesX, style.ScaleToPagesY = 1, 1

    def quit(self):
        if self.document is not None:
            self.document.close(True)
        try:
            self.desktop.terminate()
        except DisposedException:
            pass  # it was quicker than its answer
        self.process.wait(30)


def main():
    office = Office(sys.argv[1], sys.argv[2])
    print(json.dumps({"answer": os.getpid()}), flush=True)
    for line in sys.stdin:
        asked = json.loads(line)
        try:
            answer = {"answer": getattr(office, asked["do"])(*asked["with"], **asked["also"])}
        except Exception as error:
            answer = {"failed": f"{type(error).__name__}: {error}"}
        print(json.dumps(answer), flush=True)
        if asked["do"] == "quit":
            break


main()
