"""Which row of a sheet holds its headers, which column each field is in, and which rows and columns are no goods."""

from __future__ import annotations

import dataclasses
import re
import unicodedata
from collections.abc import Mapping, Sequence
from typing import Union

from tarewise._cells import LENGTH_WORDS, WEIGHT_WORDS, axes_of
from tarewise._columns import LENGTH_UNITS, WEIGHT_UNITS
from tarewise._xml import Cell, blank, is_number
from tarewise.errors import TarewiseError

#: Of a field the text of its header, or the number of its column from 1; None: there is none.
ColumnNames = Mapping[str, Union[str, int, None]]

_WORDS: Mapping[str, frozenset[str]] = {
    "weight": frozenset({"weight", "wt", "mass"}),
    "length": frozenset({"length", "len", "l"}),
    "width": frozenset({"width", "w", "breadth"}),
    "height": frozenset({"height", "h", "thickness", "depth", "d"}),
    "quantity": frozenset({"quantity", "qty", "pieces", "pcs"}),
    "value": frozenset({"value"}),
    "contents": frozenset({"contents", "traits"}),
    "shape": frozenset({"shape"}),
    "this_side_up": frozenset({"upright"}),
    "rigid": frozenset({"rigid", "stiff"}),
    "bare": frozenset({"bare"}),
    "order": frozenset({"order"}),
}
#: German, French and Spanish words, without their accents. The unit beside them must be one that is known all the same.
_FOREIGN: Mapping[str, frozenset[str]] = {
    "weight": frozenset({"gewicht", "poids", "peso", "versandgewicht", "paketgewicht", "artikelgewicht"}),
    "length": frozenset({"lange", "laenge", "longueur", "longitud", "largo"}),
    "width": frozenset({"breite", "largeur", "ancho", "anchura"}),
    "height": frozenset({"hohe", "hoehe", "hauteur", "alto", "altura", "tiefe", "profondeur", "profundidad"}),
    "quantity": frozenset({"menge", "anzahl", "stuckzahl", "stueckzahl", "quantite", "cantidad"}),
}
_WORDS = {field: words | _FOREIGN.get(field, frozenset()) for field, words in _WORDS.items()}
_DEPTHS = frozenset({"depth", "d", "tiefe", "profondeur", "profundidad"})
_SIDES = ("length", "width", "height")
REQUIRED = ("weight", *_SIDES)
FIELDS = (*REQUIRED, "sides", *(field for field in _WORDS if field not in REQUIRED))
_UNIT_WORDS = {word: unit for words in (WEIGHT_WORDS, LENGTH_WORDS) for unit, known in words.items() for word in known}
_UNIT_WORDS |= {
    "kilogramm": "kg", "kilogramo": "kg", "kilogramos": "kg", "gramm": "g", "gramo": "g", "gramos": "g",
    "zentimeter": "cm", "centimetro": "cm", "centimetros": "cm", "milimetro": "mm", "milimetros": "mm",
}  # fmt: skip
_SMALL = frozenset({"of", "the", "item", "goods", "this", "en", "de", "du", "del", "la", "le", "der", "des"})
#: Beside "order" and "pieces" they say no more: "Order ID", "No. of pieces".
_SMALL_OF_OTHERS: Mapping[str, frozenset[str]] = {
    "order": frozenset({"id", "no", "nr", "number"}),
    "quantity": frozenset({"no", "number"}),
}
# "Shipping weight (oz)", "Package dimensions"; but a "shipping value" is something else.
_SMALL_OF_MEASURES = frozenset({"shipping", "ship", "package", "pkg", "parcel", "product", "each", "per"})
_SIZES = frozenset(
    {"dimensions", "dimension", "dims", "dim", "size", "sizes", "measurements", "measures", "abmessungen", "dimensiones", "medidas"}
)
_AXES = {word: word[0] for word in ("l", "length", "w", "width", "h", "height", "d", "depth")}
_AXES |= {word: field[0] for field in ("length", "width", "height") for word in _FOREIGN[field] - _DEPTHS}
_AXES |= {"b": "w", **dict.fromkeys(_DEPTHS, "d")}
#: A unit, the smaller one that may stand beside it in a column of its own, and how many of that are one.
PARTS: Mapping[str, tuple[str, int]] = {"lb": ("oz", 16), "kg": ("g", 1000), "ft": ("in", 12), "m": ("cm", 100)}
_ALONE = ("lb", "oz", "kg")  # as a header they mean a weight
_MOST_TITLES = 30  #: rows that may stand above the headers


class HeaderError(TarewiseError):
    """A header that cannot be matched; the message lists what was seen."""


@dataclasses.dataclass(frozen=True)
class Match:
    """Which column a field is in (from 0), and its unit where the header says one."""

    field: str
    column: int
    header: str
    unit: str | None
    axes: tuple[int, int, int] | None = None  #: of one column with three sides: where length, width and height are
    also: Match | None = None  #: a column with the rest of it in a smaller unit, as ounces beside pounds


def kinds_of(field: str) -> Mapping[str, int]:
    return WEIGHT_UNITS if field == "weight" else LENGTH_UNITS if field in _SIDES or field == "sides" else {}


def _words(header: str) -> list[str]:
    return re.findall(r"[a-z]+", _bare(header).lower())


def _bare(text: str) -> str:
    """Without accents, so that a letter that has one does not part a word."""
    if text.isascii():
        return text
    parts = unicodedata.normalize("NFKD", text.replace("\u00df", "ss").replace("\u00d7", " x "))
    return "".join(sign for sign in parts if not unicodedata.combining(sign))


def is_foreign(match: Match) -> bool:
    """True where the header is read by a word of another language."""
    words = set(_words(match.header))
    if match.field == "sides":
        return bool(words & ({"b", "abmessungen", "dimensiones", "medidas"} | frozenset().union(*_FOREIGN.values())))
    return bool(words & _FOREIGN.get(match.field, frozenset())) or (match.field == "width" and "b" in words)


#: What may mean a field, or that the price would be another; of headers that match nothing it is said.
_TELLING = frozenset({
    "units", "count", "pack", "fragile", "liquid", "perishable", "lithium", "flammable", "aerosol", "residential", "orders",
    "bestellung", "bestellnummer", "auftrag", "auftragsnummer", "commande", "pedido", "stuck", "stueck",
})  # fmt: skip


def left_alone(texts: Sequence[str], matches: Mapping[str, Match], ours: Sequence[tuple[int, int]]) -> list[str]:
    """Headers that match nothing and have a word of a field, or one that may be meant for one."""
    taken = {one.column for match in matches.values() for one in (match, match.also) if one is not None}
    known = _TELLING | frozenset().union(*_WORDS.values(), _SIZES)
    out = []
    for column, text in enumerate(texts):
        if column in taken or any(low <= column < high for low, high in ours):
            continue
        words = _words(text)
        if any((len(word) > 1 and word in known) for word in words) or (len(words) == 1 and _unit_alone(words) is not None and len(words[0]) > 1):
            out.append(text)
    return out


def _units(words: Sequence[str]) -> list[str]:
    """The units among words; the "in" of "weight in oz" is none."""
    out = []
    for place, word in enumerate(words):
        after = words[place + 1] if place + 1 < len(words) else ""
        if word in _UNIT_WORDS and not (word == "in" and after in _UNIT_WORDS):
            out.append(_UNIT_WORDS[word])
    return out


def unit_in(header: str, field: str) -> str | None:
    """The one unit of the field's kind that a header says."""
    found = {unit for unit in _units(_words(header)) if unit in kinds_of(field)}
    return found.pop() if len(found) == 1 else None


def _unit_alone(words: Sequence[str]) -> str | None:
    """The unit of a header that is nothing else, such as "Oz."."""
    return _UNIT_WORDS.get(words[0]) if len(words) == 1 else None


def _together(big: Match, small: Match) -> Match | None:
    """Two columns as one: pounds, and directly behind them ounces."""
    if small.column != big.column + 1 or PARTS.get(big.unit or "", ("",))[0] != small.unit or big.also is not None:
        return None
    return dataclasses.replace(big, header=f"{big.header} + {small.header}", also=small)


def _or_two(one: Match, other: Match) -> str:
    if not one.unit or not other.unit or one.unit == other.unit:
        return ""
    return f", or two beside each other in {'lb and oz' if other.field == 'weight' else 'ft and in'}"


def _axes(words: Sequence[str]) -> tuple[bool, tuple[int, int, int] | None]:
    """Whether it is a header of three sides in one column, and their order where it says one."""
    rest: list[str] = []
    for word in words:
        joined = re.fullmatch("([lbwhd])x([lbwhd])x([lbwhd])", word)
        rest += joined.groups() if joined else [word]
    rest = [word for word in rest if word not in _SMALL | _SMALL_OF_MEASURES and word not in ("x", "by")]
    rest = [word for word in rest if word not in _UNIT_WORDS]
    sizes = [word for word in rest if word in _SIZES]
    letters = [_AXES[word] for word in rest if word in _AXES]
    if len(sizes) + len(letters) != len(rest) or len(sizes) > 1:
        return False, None
    order = axes_of(letters)
    return (order is not None or (bool(sizes) and not letters)), order


_UNIT_BEHIND = re.compile(r"\s*(\([^()]*\)|\[[^][]*\])\s*$")


class _Reader:
    """The columns of one row of headers; what is wrong with them is kept, for another row may be the one."""

    def __init__(
        self, headers: Sequence[Cell], *, file: str | None, currency: str | None, columns: ColumnNames, line: int
    ) -> None:
        self.seen = [("" if header is None else str(header)).strip() for header in headers]
        self.matches: dict[str, Match] = {}
        self.error: HeaderError | None = None
        self._file = file
        self._line = line
        depth: Match | None = None
        size: Match | None = None
        taken = self._said(columns)
        alone: list[Match] = []
        for column, header in enumerate(self.seen):
            words = _words(header)
            if not words or column in taken:
                continue
            unit = _unit_alone(words)
            if unit in kinds_of("weight") and (len(words[0]) > 1 or words[0] in header):  # "G" may be anything
                alone.append(Match("weight", column, header, unit))
                continue
            found = self._match(column, header, words, currency)
            if found is None or found.field in columns or (found.field in _SIDES and "sides" in columns):
                continue
            if found.field == "sides":
                if size is not None:
                    self._two(size, found)
                size = size or found
            elif found.field == "height" and _DEPTHS & set(words):
                if depth is not None:
                    self._two(depth, found)
                depth = depth or found
            elif found.field in self.matches:
                both = _together(self.matches[found.field], found)
                if both is None:
                    self._two(self.matches[found.field], found)
                else:
                    self.matches[found.field] = both
            else:
                self.matches[found.field] = found
        if depth is not None:  # the side that the others are not
            free = [side for side in ("height", "length", "width") if side not in self.matches and side not in columns]
            if free:
                self.matches[free[0]] = dataclasses.replace(depth, field=free[0])
            else:
                self._two(self.matches.get("height", depth), depth)
        if size is not None and not any(side in self.matches for side in _SIDES):
            self.matches["sides"] = size

        if "weight" not in columns:
            self._weigh(alone)
        if "width" not in self.matches and not {"width", "sides"} & set(columns) and {"length", "height"} <= set(self.matches):
            self._broad(taken)

    def _broad(self, taken: set[int]) -> None:
        """"B" is the width in German, between a length and a height that have no other."""
        here = [c for c, header in enumerate(self.seen) if c not in taken and [w for w in _words(header) if w not in _UNIT_WORDS] == ["b"]]
        header = self.seen[here[0]] if len(here) == 1 else ""
        if header and set(_units(_words(header))) <= set(kinds_of("width")):
            self.matches["width"] = Match("width", here[0], header, unit_in(header, "width"))

    def _weigh(self, alone: Sequence[Match]) -> None:
        """Headers that are a unit of weight and nothing else: the rest of a weight, or the weight where no header says it."""
        match = self.matches.get("weight")
        if match is None:
            both = _together(*alone) if len(alone) == 2 else None
            if both is not None or (len(alone) == 1 and alone[0].unit in _ALONE):
                self.matches["weight"] = both or alone[0]
            return
        for one in alone:
            both = _together(match, one) or _together(one, match)
            if both is not None:
                self.matches["weight"] = match = both
            elif one.unit != "g":
                self._two(match, one)

    def missing(self) -> list[str]:
        return [f for f in REQUIRED if f not in self.matches and not (f in _SIDES and "sides" in self.matches)]

    def check(self) -> HeaderError | None:
        if self.error is not None:
            return self.error
        missing = self.missing()
        if not missing:
            return None
        return HeaderError(
            f"found no column for {', '.join(missing)}, expected headers such as 'weight (oz)' and 'length in', "
            f"or to be told by columns which they are; {_all(self.seen)}",
            file=self._file, line=self._line,
        )  # fmt: skip

    def _fail(self, message: str, column: int) -> None:
        if self.error is None:
            self.error = HeaderError(f"{message}; {_all(self.seen)}", file=self._file, line=self._line, column=column + 1)

    def _two(self, one: Match, other: Match) -> None:
        self._fail(
            f"found headers {one.header!r} and {other.header!r}, expected one column for {other.field}{_or_two(one, other)}: "
            "say which in columns",
            other.column,
        )

    def _said(self, columns: ColumnNames) -> set[int]:
        out: set[int] = set()
        for field, name in columns.items():
            if field not in FIELDS:
                raise TarewiseError(f"columns: found field {field!r}, expected {', '.join(FIELDS)}", pointer="/columns")
            if name is None or name == "":
                continue
            if isinstance(name, int) and not isinstance(name, bool):
                places = [name - 1] if 1 <= name <= len(self.seen) else []
            else:
                word = str(name).strip()
                places = [i for i, header in enumerate(self.seen) if header == word]
                places = places or [i for i, header in enumerate(self.seen) if header.lower() == word.lower()]
                places = places or [i for i, header in enumerate(self.seen) if _UNIT_BEHIND.sub("", header).lower() == word.lower()]
            if len(places) != 1:
                found = "no column" if not places else f"{len(places)} columns"
                if self.error is None:
                    self.error = HeaderError(
                        f"columns: found {found} {name!r} for {field}, expected one; {_all(self.seen)}", file=self._file,
                        line=self._line, pointer="/columns",
                    )  # fmt: skip
                continue
            header = self.seen[places[0]]
            axes = _axes(_words(header))[1] if field == "sides" else None
            self.matches[field] = Match(field, places[0], header, unit_in(header, field), axes)
            out.add(places[0])
        return out

    def _match(self, column: int, header: str, words: list[str], currency: str | None) -> Match | None:
        is_size, axes = _axes(words)
        fields = ["sides"] if is_size else [field for field, names in _WORDS.items() if names & set(words)]
        if "side" in words and "up" in words:
            fields = ["this_side_up"]
        # "Shipping weight limit" or "Price of length" are no measures: beside the field's word only units and small words.
        rest = [word for word in words if word not in _UNIT_WORDS and word not in _SMALL]
        if fields and fields[0] in REQUIRED:
            rest = [word for word in rest if word not in _SMALL_OF_MEASURES]
            if rest[:1] == ["unit"]:
                rest = rest[1:]
        elif fields and fields[0] in _SMALL_OF_OTHERS:
            rest = [word for word in rest if word not in _SMALL_OF_OTHERS[fields[0]]]
        if fields == ["value"]:
            rest = [word for word in rest if word != "declared"]
            code = rest[0] if rest[1:] == ["value"] else rest[-1]
            told = re.fullmatch("[a-z]{3}", code) and header != header.upper() and code.upper() in header
            if len(rest) == 2 and (told if currency is None else code.upper() == currency):
                rest = ["value"]
            elif len(rest) == 2 and told:
                self._fail(f"found header {header!r}, expected values in {currency}, the currency of the totals", column)
                return None
        if len(fields) != 1 or (not is_size and len(rest) > (2 if fields == ["this_side_up"] else 1)):
            return None
        field = fields[0]
        own = _WORDS.get(field, frozenset())
        units = _units([word for word in words if word not in own])
        kinds = kinds_of(field)
        wrong = [unit for unit in units if kinds and unit not in kinds]
        if wrong or len(units) > 1:
            self._fail(f"found header {header!r}, expected one unit of {', '.join(kinds) or 'none'} beside {field}", column)
            return None
        return Match(field, column, header, units[0] if units and kinds else None, axes)


def _all(seen: Sequence[str]) -> str:
    return "the headers are " + (", ".join(repr(header) for header in seen if header) or "all empty")


def match_headers(
    headers: Sequence[Cell],
    *,
    file: str | None = None,
    currency: str | None = None,
    columns: ColumnNames | None = None,
    line: int = 1,
) -> dict[str, Match]:
    """The columns of a catalogue by its headers. Columns that mean nothing to tarewise are left alone.

    A value may say its currency, which must then be ``currency``. "Dimensions (in)" or "L x W x H" is one column of three ``sides``
    where no side has its own; "lb" and "oz" beside each other are two of one weight, of which the smaller is in ``also``. ``columns``
    says which header a field has, where it has another. Raises HeaderError where weight or a side has no column, where two columns
    claim one field, or where a header has a unit of the wrong kind; it says what was seen.
    """
    reader = _Reader(headers, file=file, currency=currency, columns=columns or {}, line=line)
    error = reader.check()
    if error is not None:
        raise error
    return reader.matches


# ---- the row of headers ----


@dataclasses.dataclass
class Header:
    """Where the headers are (the places of their rows), what they match, and what was guessed."""

    first: int
    last: int
    matches: dict[str, Match]
    told: list[str]
    texts: list[str]  #: of the last row
    upper: list[str]  #: of the first row

    def is_again(self, row: Sequence[Cell]) -> bool:
        """The headers again, such as on every page of a print."""
        return same_texts(row, self.texts) or same_texts(row, self.upper)


def find_header(
    rows: Sequence[Sequence[Cell]],
    numbers: Sequence[int],
    *,
    file: str,
    currency: str | None,
    columns: ColumnNames,
    header_row: Union[int, tuple[int, int], None],
    merged: Sequence[tuple[int, int, int, int]] = (),
) -> Header:
    """``numbers``: of each row its number on the sheet, which ``header_row`` is too; ``merged``: areas of it, by places from 0."""

    def read(place: int, pair: bool) -> tuple[_Reader, list[str], bool]:
        upper = [_text(cell) for cell in rows[place]]
        if not pair:
            return _Reader(upper, file=file, currency=currency, columns=columns, line=numbers[place]), upper, True
        lower = [_text(cell) for cell in rows[place + 1]]
        return _pair(upper, lower, place, merged, file, currency, columns, numbers[place + 1])

    def made(place: int, pair: bool, told: list[str]) -> Header:
        reader, names, _ = read(place, pair)
        error = reader.check()
        if error is not None:
            raise error
        last = place + pair
        matches = {f: _renamed(m, names) for f, m in reader.matches.items()} if pair else reader.matches
        upper, lower = ([_text(cell) for cell in rows[at]] for at in (place, last))
        return Header(place, last, matches, told, lower, upper)

    if header_row is not None:
        wanted = header_row if isinstance(header_row, tuple) else (header_row, header_row)
        if len(wanted) != 2 or wanted[1] - wanted[0] not in (0, 1) or any(isinstance(n, bool) or n < 1 for n in wanted):
            raise TarewiseError(f"header_row: found {header_row!r}, expected a row from 1, or two that follow each other", file=file)
        at: dict[int, int] = {}
        for place, number in enumerate(numbers):
            at.setdefault(number, place)  # headers that are on no sheet have the number of the row below
        if any(n not in at or blank(rows[at[n]]) for n in wanted):
            raise HeaderError(f"header_row: found row {wanted[0]} empty or not there, expected headers", file=file, line=wanted[0])
        return made(at[wanted[0]], wanted[1] > wanted[0], [])

    filled = [place for place in range(len(rows)) if not blank(rows[place])][: _MOST_TITLES + 1]
    best: tuple[tuple[int, int], HeaderError] | None = None
    for place in filled:
        single, _, _ = read(place, False)
        error = single.check()
        double = None
        if place + 1 < len(rows) and numbers[place + 1] == numbers[place] + 1 and _only_words(rows[place + 1]):
            double, _, gives = read(place, True)
            if double.check() is not None or not gives or len(double.matches) < (0 if error else len(single.matches)):
                double = None
        if error is not None and double is None:
            score = 4 - len(single.missing()), sum(map(bool, single.seen))
            if best is None or score > best[0]:
                best = score, error
            continue
        header = made(place, double is not None, [])
        above = [f for f in filled if f < place]
        if above or double is not None:
            said = f"row {numbers[place]}" if double is None else f"rows {numbers[place]} and {numbers[place + 1]}"
            left = f"; what stands above is left alone: {_shortly(rows[above[0]])}" if above else ""
            header.told.append(f"headers in {said}{left}")
        for other in filled:
            if other > header.last and _matches_too(read(other, False)[0]) and not header.is_again(rows[other]):
                raise HeaderError(
                    f"found headers in row {numbers[header.last]} and in row {numbers[other]}, expected one table: "
                    "say header_row, and price each on a sheet of its own",
                    file=file, line=numbers[other],
                )  # fmt: skip
        return header
    assert best is not None
    raise best[1]


def _renamed(match: Match, names: Sequence[str]) -> Match:
    if match.also is None:
        return dataclasses.replace(match, header=names[match.column])
    also = dataclasses.replace(match.also, header=names[match.also.column])
    return dataclasses.replace(match, header=f"{names[match.column]} + {also.header}", also=also)


def _matches_too(reader: _Reader) -> bool:
    return reader.check() is None


def _text(cell: Cell) -> str:
    return "" if cell is None else str(cell).strip()


def _shortly(row: Sequence[Cell]) -> str:
    text = " ".join(next(_text(cell) for cell in row if _text(cell)).split())
    return repr(text if len(text) <= 40 else text[:39] + "\u2026")


def _only_words(row: Sequence[Cell]) -> bool:
    texts = [_text(cell) for cell in row]
    return sum(map(bool, texts)) > 1 and not any(is_number(cell) or re.search("[0-9]", text) for cell, text in zip(row, texts))


def same_texts(row: Sequence[Cell], header: Sequence[str]) -> bool:
    """What is empty behind does not count."""
    for cell, text in zip(row, header):
        if text:
            if _text(cell) != text:
                return False
            break
    texts = [_text(cell) for cell in row]
    while texts and not texts[-1]:
        texts.pop()
    wanted = list(header)
    while wanted and not wanted[-1]:
        wanted.pop()
    return bool(texts) and texts == wanted


def _measured(header: str) -> bool:
    """True of the header of a weight or a side alone."""
    fields = [field for field, known in _WORDS.items() if known & set(_words(header))]
    return len(fields) == 1 and fields[0] in REQUIRED and not _units(_words(header))


def _pair(
    upper: list[str], lower: list[str], place: int, merged: Sequence[tuple[int, int, int, int]], file: str,
    currency: str | None, columns: ColumnNames, line: int,
) -> tuple[_Reader, list[str], bool]:  # fmt: skip
    """Two rows as one: a header above several others lends them its unit; a header with nothing below is its own."""
    width = max(len(upper), len(lower))
    upper = upper + [""] * (width - len(upper))
    lower = lower + [""] * (width - len(lower))
    reach = {left: right for top, left, bottom, right in merged if top == place == bottom or top == place and right > left}
    group, end = "", -1
    texts: list[str] = []
    names: list[str] = []
    lent: set[int] = set()  # columns that have something of the upper row
    for column in range(width):
        if upper[column]:
            group, end = upper[column], reach.get(column, width if not reach else column)
        above = group if column <= end else ""
        below = lower[column]
        if not below:
            texts.append(upper[column])
            names.append(upper[column])
            if upper[column]:
                lent.add(column)
            continue
        text = below
        fields = [field for field, known in _WORDS.items() if known & set(_words(below))]
        if above and len(fields) == 1 and fields[0] in REQUIRED and not _units(_words(below)):
            unit = unit_in(above, fields[0])
            if unit is not None:
                text = f"{below} ({unit})"
                lent.add(column)
        elif not fields and above and _measured(above) and _unit_alone(_words(below)) is not None:
            text = f"{above} {below}"
            lent.add(column)
        elif not fields and upper[column]:  # such as a unit alone
            text = f"{upper[column]} {below}"
            lent.add(column)
        texts.append(text)
        names.append(f"{above} / {below}" if above and text != below else below)
    reader = _Reader(texts, file=file, currency=currency, columns=columns, line=line)
    return reader, names, any(match.column in lent for match in reader.matches.values())


# ---- rows and columns that are no goods ----

# Common practice in spreadsheets, not a rule of anybody's.
_TOTAL_WORDS = frozenset(
    "total totals grand_total subtotal subtotals sub_total sum sums overall summe gesamt gesamtsumme zwischensumme somme suma".split()
)

_TOTAL_STARTS = tuple(word.partition("_")[0] for word in _TOTAL_WORDS)


def is_total(row: Sequence[Cell]) -> str | None:
    """What a row of sums calls itself: its first text is such a word, with nothing behind it but a colon, or a count.

    >>> is_total([None, "TOTAL:", 35]), is_total(["Grand total (12 goods)"]), is_total(["Total recall, DVD"])
    ('TOTAL:', 'Grand total (12 goods)', None)
    """
    first = next((text for text in map(_text, row) if text), "")
    if not first.lower().startswith(_TOTAL_STARTS):
        return None
    bare = re.sub(r"\s*(\(.*\)|[:=].{0,20}|[0-9]+)\s*$", "", first).strip().lower()
    return first if re.sub(r"[\s-]+", "_", bare) in _TOTAL_WORDS else None


_KINDS = ("Total", "Parcels", "Service", "Packaging", "Second total")
_TITLE = re.compile(rf"({'|'.join(_KINDS)})(?: ([A-Z]{{2}}(?: .+?)?))?(?: \([A-Z]{{3}}\))?")
_MIX_TITLE = re.compile(r"(?:Expected total|Worst total|Total p[0-9.]+) \([A-Z]{3}\)|Worst place")
_MONEY = re.compile(r"\([A-Z]{3}\)$")


def own_columns(header: Sequence[str], known: Sequence[str] = ()) -> list[tuple[int, int]]:
    """Runs of columns that reprice_sheet wrote, as [first, behind): titles of its own that are all different, to "Cautions" and
    "Reason". Those of several places have the same kinds for each; ``known`` are titles that it would write now.

    >>> own_columns(["SKU", "Total paid (USD)", "Total (USD)", "Service", "Packaging", "Cautions", "Reason", "Margin"])
    [(2, 7)]
    """
    out: list[tuple[int, int]] = []
    for end in range(len(header) - 1, 1, -1):
        if (header[end - 1], header[end]) != ("Cautions", "Reason"):
            continue
        first = end - 1
        while first > 0 and _could_be_ours(header[first - 1], known) and header[first - 1] not in header[first : end + 1]:
            first -= 1
        while first < end - 1 and not _is_set(header[first : end - 1], known):
            first += 1
        if first < end - 1:
            out.append((first, end + 1))
    return out[::-1]


def _could_be_ours(title: str, known: Sequence[str]) -> bool:
    return title in known or bool(_TITLE.fullmatch(title) or _MIX_TITLE.fullmatch(title))


def _is_set(titles: Sequence[str], known: Sequence[str]) -> bool:
    if list(titles) == list(known[:-2]):
        return True
    if not _MONEY.search(titles[0]) and not _MIX_TITLE.fullmatch(titles[0]):
        return False
    kinds: dict[str, list[str]] = {}
    for title in titles:
        found = None if _MIX_TITLE.fullmatch(title) else _TITLE.fullmatch(title)
        if found is not None:
            kinds.setdefault(found[2] or "", []).append(found[1])
    return len({tuple(held) for held in kinds.values()}) <= 1 and not ("" in kinds and len(kinds) > 1)
