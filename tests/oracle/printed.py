"""Files beside a document, for the slow pricer: zone charts and areas as they are printed (A3.1, A3.2), and grids (A4.5).

Each function gives what the document would say in place of the file: areas as texts of A3, rows as lists of texts.
"""

import csv
import re


def lines_of(path):
    """Every line as its cells without spaces around them; a byte order mark is passed over."""
    with open(path, newline="", encoding="utf-8-sig") as file:
        return [[cell.strip() for cell in line] for line in csv.reader(file)]


# ---------------------------------------------------------------------------------------------------------------------
# A3.1, A3.2: codes and zones

def folded(name):
    """A3.1: names are compared without case (of the letters A to Z), and each run of spaces is one."""
    return re.sub("[A-Z]", lambda letter: letter.group().lower(), re.sub(r"\s+", " ", name).strip())


def named_lines(path, names):
    """A3.1: (header, lines below it) of the first line that holds every name; empty lines are passed over."""
    lines = [line for line in lines_of(path) if any(line)]
    for number, line in enumerate(lines):
        header = [folded(cell) for cell in line]
        if all(folded(name) in header for name in names):
            twice = [name for name in names if header.count(folded(name)) > 1]
            if twice:
                raise ValueError(f"{path.name}: the column {twice[0]!r} stands twice")
            odd = [below for below in lines[number + 1:] if len(below) != len(line)]
            if odd:
                raise ValueError(f"{path.name}: {odd[0]} has not the header's {len(line)} cells")
            return header, lines[number + 1:]
    raise ValueError(f"{path.name}: no line has the columns {names}")


def hyphens(text):
    """A3.1: en and em dashes and several hyphens are one hyphen, without spaces around it."""
    return re.sub(r"\s*[-–—]+\s*", "-", text)


def is_dashes(text):
    return hyphens(text) == "-"


def areas_in(cells, country):
    """A3.1: the areas of a cell of codes, or of the cells of a first and a last code."""
    if not all(cells):
        raise ValueError("an empty cell in the place of a code")
    codes = [hyphens("-".join(cells))] if len(cells) > 1 else [hyphens(code.strip()) for code in re.split("[,;]", cells[0])]
    if not all(codes):
        raise ValueError(f"{cells[0]!r} lacks a code")
    if country and any(":" in code for code in codes):
        raise ValueError(f"{cells[0]!r} names its country, which is said already")
    return [f"{country}:{code}" if country else code for code in codes]


def names_of(value):
    """One name, or a list of them; left out: none."""
    return [] if value is None else [value] if isinstance(value, str) else value


def places_of(header, names):
    return [header.index(folded(name)) for name in names]


def zones_of_file(folder, chart, country):
    """A3.1: {zone: [areas]} of a chart's file."""
    codes = names_of(chart.get("codes"))
    header, lines = named_lines(folder / chart["csv"], codes + names_of(chart.get("column")))
    at = places_of(header, codes) or [0]
    if "column" in chart:
        zone_at, = places_of(header, [chart["column"]])
    else:
        while header and not header[-1]:
            header.pop()
        rest = [place for place in range(len(header)) if place not in at]
        if len(rest) != 1:
            raise ValueError(f"{chart['csv']}: which of the columns {header} holds the zones?")
        zone_at, = rest
    zones = {}
    for line in lines:
        zone = line[zone_at]
        if not zone or is_dashes(zone):
            continue
        if re.search(r"[*†‡()\[\]{}]", zone):
            raise ValueError(f"{chart['csv']}: the zone {zone!r} has a mark")
        zones.setdefault(zone, []).extend(areas_in([line[place] for place in at], country))
    return zones


def areas_of_file(folder, entry):
    """A3.2: the areas of a list from a file."""
    column, where = names_of(entry.get("column")), entry.get("where", {})
    if len(where) > 64 or len({folded(name) for name in where}) < len(where):
        raise ValueError(f"{entry['csv']}: `where` has too many columns, or one twice")
    header, lines = named_lines(folder / entry["csv"], column + list(where))
    at = places_of(header, column) or [0]
    if where:
        wanted = [(place, names_of(texts)) for place, texts in zip(places_of(header, where), where.values())]
        lines = [line for line in lines if all(line[place] in [text.strip() for text in texts] for place, texts in wanted)]
        if not lines:
            raise ValueError(f"{entry['csv']}: no line is as `where` says")
    areas = []
    for line in lines:
        cells = [line[place] for place in at]
        if not all(is_dashes(cell) for cell in cells):
            areas += areas_in(cells, entry.get("country"))
    return areas


# ---------------------------------------------------------------------------------------------------------------------
# A4.5: grids

def grid_of_file(path, bounds, zones, is_bound):
    """A4.5: (columns, rows, least amounts or None); `bounds` is how many stand before the cells of a row, `zones` those of
    the document, `is_bound` says of a text whether it is a bound of the one measure."""
    lines = [line for line in lines_of(path) if line]
    if bounds == 1 and "zone" in folded(lines[0][0]):
        check_way_round(path, lines, lambda text: all(zone in zones or zone == "*" for zone in zones_of_column(text, zones)), is_bound)
    if bounds == 1 and lines[0][0] == "zone":
        lines = turned(path, lines)
    least = None
    if lines[-1][0] == "least":
        least = [cell or None for cell in lines.pop()[1:]]
    rows = [line[:bounds] + [cell or None for cell in line[bounds:]] for line in lines[1:]]
    return lines[0][bounds:], rows, least


def check_way_round(path, lines, is_zone, is_bound):
    """A4.5: which way round a grid stands is plain where its first word is about zones."""
    across = lines[0][1:]
    down = [line[0] for line in lines[1:]]
    if lines[0][0] == "zone":
        down = down[:-1] if down[-1:] == ["least"] else down
        wrong = all(map(is_bound, down)) and all(map(is_zone, across))
    else:
        across = across[:-1] if across[-1:] == ["least"] else across
        wrong = all(map(is_zone, down)) and all(map(is_bound, across))
    if wrong and down and across:
        raise ValueError(f"{path.name}: {lines[0][0]!r} above a grid that reads the other way round")


def turned(path, lines):
    """A4.5: rows and columns have changed places."""
    if any(len(line) != len(lines[0]) for line in lines):
        raise ValueError(f"{path.name}: lines of different lengths")
    turned_lines = [list(line) for line in zip(*lines)]
    turned_lines[0][0] = "bound"
    return turned_lines


def zones_of_column(column, zones):
    """A4.5: a column may be for several zones, where no zone has that very name."""
    if column in zones or column == "*" or not re.search("[&,]", column):
        return [column]
    return [zone.strip() for zone in re.split("[&,]", column)]


def by_zone(columns, zones):
    """A4.5: {zone: number of its column}."""
    found = {}
    for number, column in enumerate(columns):
        for zone in zones_of_column(column, zones):
            if zone in found:
                raise ValueError(f"the zone {zone!r} has two columns")
            found[zone] = number
    return found
