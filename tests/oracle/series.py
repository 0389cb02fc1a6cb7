"""Values that change by date (A4.9), for the slow pricer. Dates are ISO texts, values fractions of what is written."""

import dataclasses
import datetime
import re
from fractions import Fraction

import printed

MOST = 1000 * 10 ** 6


@dataclasses.dataclass
class Value:
    """A cell."""
    number: Fraction
    has_percent: bool  # `%` stands behind it

    def decimals_at_most(self, places):
        return (self.number * 10 ** places).denominator == 1


def read_value(cell):
    """A4.9: at most 6 decimals, at most 1,000 million; None where the cell is empty."""
    if cell is None or cell == "":
        return None
    found = re.fullmatch(r"(\d+(?:\.\d+)?)\s*(%?)", cell if isinstance(cell, str) else printed_number(cell))
    if not found:
        raise ValueError(f"{cell!r} is no value of a series")
    value = Value(Fraction(found.group(1)), bool(found.group(2)))
    if value.number > MOST or not value.decimals_at_most(6):
        raise ValueError(f"{cell!r} is more than 1,000 million or has more than 6 decimals")
    return value


def printed_number(cell):
    """A number of JSON as plain decimals."""
    if isinstance(cell, bool) or not isinstance(cell, (int, Fraction)) or cell < 0:
        raise ValueError(f"{cell!r} is no value of a series")
    scaled = Fraction(cell) * 10 ** 9
    if scaled.denominator != 1:
        raise ValueError(f"{cell!r} has too many decimals")
    whole, rest = divmod(int(scaled), 10 ** 9)
    return f"{whole}.{rest:09d}"


def read_day(text):
    if not isinstance(text, str) or not re.fullmatch(r"\d{4}-\d\d-\d\d", text):
        raise ValueError(f"{text!r} is not a date")
    datetime.date.fromisoformat(text)
    return text


@dataclasses.dataclass
class Series:
    code: str
    columns: list
    rows: list  # (from, until or None, values)
    good_for: int  # days, or None

    def column(self, name):
        """The number of a column; it may be left out where there is one."""
        if name is None and len(self.columns) == 1:
            return 0
        if name not in self.columns:
            raise ValueError(f"the series {self.code!r} has the columns {self.columns}, not {name!r}")
        return self.columns.index(name)

    def row_on(self, day):
        """A4.9: the row that holds on a date, or None."""
        begun = [row for row in self.rows if row[0] <= day]
        return begun[-1] if begun and (begun[-1][1] is None or day <= begun[-1][1]) else None

    def since(self, day):
        """A4.9: the first date that lacks a value, where the row that holds on this one is overdue; else None."""
        row = self.row_on(day)
        if row is None or self.good_for is None:
            return None
        first = datetime.date.fromisoformat(row[0]).toordinal() + self.good_for
        if datetime.date.fromisoformat(day).toordinal() < first:
            return None
        return datetime.date.fromordinal(first).isoformat()


def read_series(code, entry, folder):
    """A4.9: rows in the document or in a file."""
    unknown = set(entry) - {"csv", "good_for", "columns", "rows"}
    if unknown or ("csv" in entry) == ("rows" in entry):
        raise ValueError(f"the series {code!r}: {unknown or 'either a file or rows'}")
    if "csv" in entry:
        header, *lines = [line for line in printed.lines_of(folder / entry["csv"]) if any(line)]
        if header[0] != "from":
            raise ValueError(f"{entry['csv']}: the header does not begin with `from`")
        columns, rows = header[1:], lines
    else:
        columns, rows = list(entry["columns"]), entry["rows"]
    has_until = columns[:1] == ["until"]
    values = columns[has_until:]
    if not values or not all(values) or len(set(values) - {"from", "until"}) != len(values):
        raise ValueError(f"the series {code!r} has the columns {columns}")
    read = []
    for row in rows:
        if len(row) != 1 + len(columns):
            raise ValueError(f"the series {code!r}: {row} has not one cell for each column")
        until = read_day(row[1]) if has_until and row[1] else None
        read.append((read_day(row[0]), until, [read_value(cell) for cell in row[1 + has_until:]]))
        if until is not None and until < read[-1][0]:
            raise ValueError(f"the series {code!r}: {row} ends before it begins")
    if not read:
        raise ValueError(f"the series {code!r} has no row")
    for (begin, until, _), (following, _, _) in zip(read, read[1:]):
        if following <= (until or begin):
            raise ValueError(f"the series {code!r}: {following} is not after the row before it")
    good_for = None
    if "good_for" in entry:
        good_for = int(re.fullmatch(r"(\d+) days?", entry["good_for"]).group(1))
        if not 1 <= good_for <= 3660:
            raise ValueError(f"the series {code!r}: {entry['good_for']!r} is not from 1 to 3,660 days")
    return Series(code, values, read, good_for)


@dataclasses.dataclass
class Dated:
    """A4.9: an amount or a percent that is looked up by the hand-over date."""
    series: Series
    column: int
    bound: str  # "at_least" or "over" of a published index; None: the cell itself
    steps: list  # (index, value), rising

    def on(self, day):
        """The number on a date, or None."""
        row = self.series.row_on(day)
        value = None if row is None else row[2][self.column]
        if value is None or self.bound is None:
            return None if value is None else value.number
        reached = [step for index, step in self.steps
                   if (index.number <= value.number if self.bound == "at_least" else index.number < value.number)]
        return reached[-1].number if reached else None


def read_dated(value, series, folder, is_percent):
    """A4.9: {"series", "column", "at_least" or "over"} in the place of an amount or a percent."""
    bounds = [key for key in ("at_least", "over") if key in value]
    unknown = set(value) - {"series", "column", "at_least", "over"}
    if unknown or len(bounds) > 1 or value["series"] not in series:
        raise ValueError(f"{value} names no series, or has {sorted(unknown) or bounds}")
    of = series[value["series"]]
    column = of.column(value.get("column"))
    steps = []
    if bounds:
        steps = [(read_value(index), read_value(step)) for index, step in index_rows(value[bounds[0]], folder)]
        if not steps or any(None in pair for pair in steps) or any(a.number >= b.number for (a, _), (b, _) in zip(steps, steps[1:])):
            raise ValueError(f"{value}: the values of an index rise, and each has its cell")
    cells = [step for _, step in steps] if bounds else [row[2][column] for row in of.rows]
    for cell in cells:
        if cell is not None and (cell.has_percent and not is_percent or is_percent and not cell.decimals_at_most(4)):
            raise ValueError(f"{of.code}: {cell} is no {'percent' if is_percent else 'amount'}")
    return Dated(of, column, bounds[0] if bounds else None, steps)


def index_rows(rows, folder):
    """A4.9: in place, or two columns from a file with a header."""
    if isinstance(rows, list):
        return rows
    if set(rows) != {"csv"}:
        raise ValueError(f"{rows} is neither rows nor a file")
    return [line for line in printed.lines_of(folder / rows["csv"]) if any(line)][1:]
