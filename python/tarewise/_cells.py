"""What people type into cells, as texts that the library's own readers take: units by their words, marks, fractions, commas.

Nothing is worked out here but which digits and which unit were meant; the library reads the number. What can be read in two
ways, or not at all, is a CellError that says what was expected.

>>> weight("3 lbs 4 Ounces"), weight("12", "oz"), weight("1,5 kg", marks=Marks(","))
('3 lb 4 oz', '12 oz', '1.5 kg')
>>> length('12 1/2"'), length("12½", "in"), length("5' 6″")
('12-1/2 in', '12-1/2 in', '5 ft 6 in')
>>> sides("12 1/2 x 9 x 3", "in")
('12-1/2 in', '9 in', '3 in')
"""

from __future__ import annotations

import dataclasses
import re
from collections.abc import Mapping
from typing import Union

__all__ = ["CellError", "LENGTH_WORDS", "Marks", "WEIGHT_WORDS", "amount", "length", "mark_of", "number", "sides", "unit_shown", "weight"]

#: The spellings of units, in capitals too ("LBS", "Kg"), and with a point behind ("oz."). But "Mg" and "Mm" are other units.
WEIGHT_WORDS: Mapping[str, tuple[str, ...]] = {
    "lb": ("lb", "lbs", "pound", "pounds"),
    "oz": ("oz", "ozs", "ounce", "ounces"),
    "kg": ("kg", "kgs", "kilo", "kilos", "kilogram", "kilograms", "kilogramme", "kilogrammes"),
    "g": ("g", "gm", "gms", "gram", "grams", "gramme", "grammes"),
    "mg": ("mg", "milligram", "milligrams"),
}
LENGTH_WORDS: Mapping[str, tuple[str, ...]] = {
    "in": ("in", "ins", "inch", "inches"),
    "ft": ("ft", "foot", "feet"),
    "yd": ("yd", "yds", "yard", "yards"),
    "m": ("m", "metre", "metres", "meter", "meters"),
    "cm": ("cm", "cms", "centimetre", "centimetres", "centimeter", "centimeters"),
    "mm": ("mm", "mms", "millimetre", "millimetres", "millimeter", "millimeters"),
}
_ALL_WORDS = {word: unit for words in (WEIGHT_WORDS, LENGTH_WORDS) for unit, known in words.items() for word in known}
_OTHER_UNITS = frozenset({"Mg", "Mm"})  # a tonne and a thousand kilometres, where capitals mean something
_INCH = ('"', "\u2033", "\u201d", "\u201c", "''", "\u2032\u2032", "\u2019\u2019", "\u00b4\u00b4")
_FOOT = ("'", "\u2032", "\u2019", "\u00b4")
_VULGAR = {
    "\u00bc": "1/4", "\u00bd": "1/2", "\u00be": "3/4", "\u2153": "1/3", "\u2154": "2/3", "\u215b": "1/8", "\u215c": "3/8",
    "\u215d": "5/8", "\u215e": "7/8",
}  # fmt: skip
_SPACES = re.compile("[\\s\u00a0\u2007\u2009\u202f]+")
_NUMBER = re.compile(r"(?P<whole>[0-9]+)(?:-| )(?P<num>[0-9]+)/(?P<den>[0-9]+)(?![0-9.,/])|[0-9]+/[0-9]+(?![0-9.,/])|[.,]?[0-9][0-9.,]*")
_JOIN = re.compile(r" ?(?:,|&|and\b)? ?")
_WORD = re.compile(r"[A-Za-z]+\.?")
#: Of which currencies a mark is; which of them it is, the totals say.
_MONEY_MARKS: Mapping[str, frozenset[str]] = {
    "$": frozenset({"USD", "CAD", "AUD", "NZD", "SGD", "HKD", "MXN"}),
    "\u20ac": frozenset({"EUR"}),
    "\u00a3": frozenset({"GBP"}),
    "\u00a5": frozenset({"JPY", "CNY"}),
}


def unit_shown(words: str) -> Union[str, None]:
    """The unit that a number is shown with, by the words that its format puts behind it.

    >>> unit_shown(" lbs."), unit_shown("kg"), unit_shown(" pcs"), unit_shown("")
    ('lb', 'kg', None, None)
    """
    word = words.strip().rstrip(".")
    return None if word in _OTHER_UNITS else _ALL_WORDS.get(word.lower())


class CellError(ValueError):
    """What cannot be read; ``expected`` says what can."""

    def __init__(self, expected: str) -> None:
        super().__init__(f"expected {expected}")
        self.expected = expected


@dataclasses.dataclass(frozen=True)
class Marks:
    """What stands before decimals: "." or ",", or None where nothing says it.

    ``said``: somebody said so, and then the other mark may stand between groups of three digits. ``wary``: there is reason to
    think of a comma, so that "1.500" can be read in two ways.
    """

    decimal: Union[str, None] = None
    said: bool = False
    wary: bool = False


_POINT = Marks()


def _tidy(text: str) -> str:
    for sign, fraction in _VULGAR.items():
        if sign in text:
            text = re.sub(r"(?<=[0-9]) ?" + sign, " " + fraction, text).replace(sign, fraction)
    text = text.replace("\u2044", "/")
    text = re.sub("(?<=[0-9])[\u2010\u2011\u2012\u2013](?=[0-9]+/)", "-", text)
    return _SPACES.sub(" ", text).strip()


def number(text: str, marks: Marks = _POINT) -> str:
    """Digits with at most one point. Raises CellError.

    >>> number("1,234.50"), number("12"), number("1.234,5"), number("1.234", Marks(",", said=True))
    ('1234.50', '12', '1234.5', '1234')
    """
    if text.isascii() and text.isdigit():
        return text
    point, comma = text.count("."), text.count(",")
    if point and comma:
        for mark, other in ((".", ","), (",", ".")):
            if re.fullmatch(rf"[1-9][0-9]{{0,2}}(?:[{other}][0-9]{{3}})+[{mark}][0-9]+", text) and marks.decimal in (None, mark):
                return text.replace(other, "").replace(mark, ".")
        raise CellError('digits with one decimal mark such as "1234.5"')
    mark = "." if point else ","
    if point + comma > 1:
        if re.fullmatch(rf"[1-9][0-9]{{0,2}}(?:[{mark}][0-9]{{3}})+", text) and marks.decimal != mark:
            return text.replace(mark, "")
        raise CellError('digits with one decimal mark such as "1234.5"')
    if point and text[-1] == "." and text[:-1].isdigit() and marks.decimal != ",":
        return text[:-1]
    if not re.fullmatch(r"[0-9]*[.,][0-9]+", text):
        raise CellError('a number such as "10.5"')
    groups = re.fullmatch(r"[1-9][0-9]{0,2}[.,][0-9]{3}", text) is not None
    plain = text.replace(",", ".") if text[0] not in ".," else "0" + text.replace(",", ".")
    digits = text.replace(mark, "")
    if marks.decimal == mark and not (groups and marks.wary):
        return plain
    if marks.decimal is None and mark == "." and not (groups and marks.wary):
        return plain
    if groups and marks.said:
        return digits
    if groups:
        either = plain.replace(".", ",") if marks.decimal == "," or marks.wary else plain
        raise CellError(f'"{digits}" or "{either}", for it can be read as either: say which mark stands before decimals')
    if marks.decimal is None:
        raise CellError(f'"{plain}", or to be told that a comma stands before decimals')
    raise CellError(f'a decimal {"comma" if marks.decimal == "," else "point"} as in the rest of the column')


def mark_of(text: str) -> Union[str, None]:
    """Which mark stands before decimals, where the text leaves no doubt.

    >>> mark_of("1,5 kg"), mark_of("0.250"), mark_of("1,250"), mark_of("1.234,5 g"), mark_of("12")
    (',', '.', None, ',', None)
    """
    found = set()
    for match in re.finditer(r"[0-9.,]*[0-9]", text):
        token = match.group()
        last = max(token.rfind("."), token.rfind(","))
        if last < 0:
            continue
        mark = token[last]
        if ("." in token and "," in token) or (token.count(mark) == 1 and not re.fullmatch(r"[1-9][0-9]{0,2}.[0-9]{3}", token)):
            found.add(mark)
    return found.pop() if len(found) == 1 else None


def weight(text: str, unit: Union[str, None] = None, marks: Marks = _POINT) -> str:
    """A weight as ``Weight`` reads it; ``unit`` is that of a bare number. Raises CellError."""
    return _quantity(text, unit, marks, _WEIGHTS, 'a weight such as "10.5 oz", "1 lb 3 oz" or "2.5 kg"')


def length(text: str, unit: Union[str, None] = None, marks: Marks = _POINT) -> str:
    """A length as ``Length`` reads it; ``unit`` is that of a bare number. Raises CellError."""
    return _quantity(text, unit, marks, _LENGTHS, _LENGTH_EXPECTED)


_WEIGHTS = {word: unit for unit, words in WEIGHT_WORDS.items() for word in words}
_LENGTHS = {word: unit for unit, words in LENGTH_WORDS.items() for word in words}
_LENGTH_EXPECTED = 'a length such as "12.5 in", "12 1/2 in" or "30 cm"'
_SIDES_EXPECTED = 'three sides such as "12 x 9 x 3 in"'


def _quantity(text: str, unit: Union[str, None], marks: Marks, known: Mapping[str, str], expected: str) -> str:
    rest = _tidy(text)
    parts: list[tuple[str, Union[str, None]]] = []
    foot = False
    while rest:
        found = _NUMBER.match(rest)
        if found is None:
            raise CellError(expected)
        value = _number(found, marks, expected)
        rest = rest[found.end() :].lstrip(" ")
        mark: Union[str, None] = None
        if known is _LENGTHS and rest.startswith(_INCH):
            mark = "in"
            rest = rest[len(next(sign for sign in _INCH if rest.startswith(sign))) :]
        elif known is _LENGTHS and rest.startswith(_FOOT):
            mark, foot = "ft", True
            rest = rest[1:]
        else:
            word = _WORD.match(rest)
            if word is not None:
                name = word.group().rstrip(".")
                mark = None if name in _OTHER_UNITS else known.get(name.lower())
                if mark is None:
                    raise CellError(expected)
                rest = rest[word.end() :]
        parts.append((value, mark))
        join = _JOIN.match(rest)
        assert join is not None
        if join.end() == len(rest) and rest.strip():
            raise CellError(expected)
        rest = rest[join.end() :]
    if len(parts) == 1 and parts[0][1] is None:
        if unit is None:
            raise CellError(expected + ", with a unit")
        return f"{parts[0][0]} {unit}"
    if not parts or any(mark is None for _, mark in parts):
        raise CellError(expected)
    if foot and [mark for _, mark in parts] != ["ft", "in"]:  # many mean inches by it
        raise CellError('"12 in" or "12 ft", for one mark can be read as either')
    return " ".join(f"{value} {mark}" for value, mark in parts)


def _number(found: re.Match[str], marks: Marks, expected: str) -> str:
    if found["whole"] is not None:
        if not 0 < int(found["num"]) < int(found["den"]):
            raise CellError(expected)
        return f"{found['whole']}-{found['num']}/{found['den']}"
    token = found.group()
    return token if "/" in token else number(token, marks)


_AXES = {"l": "l", "length": "l", "len": "l", "w": "w", "width": "w", "h": "h", "height": "h", "d": "d", "depth": "d"}
_AXIS = "(?:length|len|l|width|w|height|h|depth|d)"
_BY = re.compile(r" ?(?:[x\u00d7*]| by ) ?", re.IGNORECASE)


def axes_of(letters: list[str]) -> Union[tuple[int, int, int], None]:
    """Where length, width and height are among three axes, or None where they are not these. A depth is what the others are not.

    >>> axes_of(["l", "w", "h"]), axes_of(["w", "d", "h"]), axes_of(["l", "w", "d"]), axes_of(["l", "l", "h"])
    ((0, 1, 2), (1, 0, 2), (0, 1, 2), None)
    """
    named = [letter for letter in letters if letter != "d"]
    left = [axis for axis in "lwh" if axis not in named]
    if len(letters) != 3 or len(set(named)) != len(named) or len(left) != letters.count("d") or len(left) > 1:
        return None
    whole = [left[0] if letter == "d" else letter for letter in letters]
    return whole.index("l"), whole.index("w"), whole.index("h")


def sides(
    text: str, unit: Union[str, None] = None, marks: Marks = _POINT, order: tuple[int, int, int] = (0, 1, 2)
) -> tuple[str, str, str]:
    """Length, width and height out of one text; a unit behind the last is that of all. Raises CellError.

    ``order`` says where they are among the three; letters in the text go before it: "12H x 9W x 3L".

    >>> sides("3H x 9W x 12L cm"), sides('12" x 9" × 3"'), sides("30*20*10", "cm")
    (('12 cm', '9 cm', '3 cm'), ('12 in', '9 in', '3 in'), ('30 cm', '20 cm', '10 cm'))
    """
    pieces = _BY.split(_tidy(text))
    if len(pieces) != 3 or not all(pieces):
        raise CellError(_SIDES_EXPECTED)
    letters: list[str] = []
    plain: list[str] = []
    of_all = ""
    for place, piece in enumerate(pieces):
        front = re.match(rf"({_AXIS}) ?[:=]? ?(?=[0-9.,])", piece, re.IGNORECASE)
        back = re.search(rf"(?<=[0-9\"\u2033 a-z]) ?\b({_AXIS})$|(?<=[0-9])({_AXIS})$", piece, re.IGNORECASE)
        if place == 2 and front is None and back is None:  # "12L x 9W x 3H cm"
            late = re.fullmatch(rf"(.*[0-9]) ?({_AXIS}) ([a-z]+\.?)", piece, re.IGNORECASE)
            if late is not None and late.group(3).rstrip(".").lower() in _LENGTHS:
                letters.append(late.group(2).lower())
                plain.append(late.group(1))
                of_all = late.group(3)
                continue
        if front is not None and back is not None:
            raise CellError(_SIDES_EXPECTED)
        if front is not None:
            letters.append(front.group(1).lower())
            piece = piece[front.end() :]
        elif back is not None:
            letters.append((back.group(1) or back.group(2)).lower())
            piece = piece[: back.start()].rstrip()
        plain.append(piece)
    if letters:
        found = axes_of([_AXES[letter] for letter in letters])
        if found is None:
            raise CellError(_SIDES_EXPECTED)
        order = found
    if of_all:
        plain = [f"{piece} {of_all}" for piece in plain]
    bare = [_is_bare(piece) for piece in plain]
    if bare == [True, True, False]:
        last = length(plain[2], None, marks)
        if last.count(" ") != 1:
            raise CellError(_SIDES_EXPECTED)
        unit = last.rpartition(" ")[2]
    elif any(bare) and not all(bare):  # "12 in x 9 x 3"
        raise CellError(_SIDES_EXPECTED + ", with one unit behind the last or one behind each")
    elif all(bare) and unit is None:
        raise CellError(_SIDES_EXPECTED + ", with a unit")
    read = [length(piece, unit, marks) for piece in plain]
    return read[order[0]], read[order[1]], read[order[2]]


def _is_bare(piece: str) -> bool:
    return re.search(r"[^0-9.,/ -]", piece) is None


def amount(text: str, currency: str, marks: Marks = _POINT) -> str:
    """An amount of money; it may say the currency, by its code or its mark. Raises CellError.

    >>> amount("$1,234.50", "USD"), amount("24,50 EUR", "EUR", Marks(",")), amount("6.45", "GBP")
    ('1234.50', '24.50', '6.45')
    """
    rest = _tidy(text)
    expected = f'an amount of money in {currency} such as "6.45"'
    signs = "".join(_MONEY_MARKS)
    found = re.fullmatch(rf"([A-Za-z]{{3}}|[{signs}])? ?([0-9.,]+) ?([A-Za-z]{{3}}|[{signs}])?", rest)
    if found is None or (found[1] and found[3]):
        raise CellError(expected)
    told = found[1] or found[3]
    if told and told.upper() != currency and currency not in _MONEY_MARKS.get(told, ()):
        raise CellError(expected)
    return number(found[2], marks)
