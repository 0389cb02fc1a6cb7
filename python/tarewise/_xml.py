"""Spreadsheets as they lie in their archives: what is not ours keeps its very bytes."""

from __future__ import annotations

import functools
import io
import re
import zipfile
from collections.abc import Mapping, Sequence
from decimal import Context, Decimal, InvalidOperation
from typing import Union
from xml.sax.saxutils import escape, quoteattr

Cell = Union[str, int, float, Decimal, bool, None]


class WithUnit(str):
    """A number whose format shows a unit behind it, with that unit: "10.5 lb". Its decimal mark is a point, whatever others are."""

    @classmethod
    def of(cls, number: Union[int, Decimal], unit: str) -> WithUnit:
        return cls(f"{number if isinstance(number, int) else format(number, 'f')} {unit}")


_TAG = re.compile(rb"<[^\s/>]+(?:\s+[^\s=/>]+\s*=\s*(?:\"[^\"]*\"|'[^']*'))*\s*/?>")
_CONTROL = re.compile("[\x00-\x08\x0b\x0c\x0e-\x1f\ud800-\udfff\ufffe\uffff]")


def read_parts(data: bytes) -> dict[str, bytes]:
    with zipfile.ZipFile(io.BytesIO(data)) as archive:
        return {info.filename: archive.read(info) for info in archive.infolist()}


def write_parts(data: bytes, changed: Mapping[str, bytes]) -> bytes:
    """The archive again, in its order, with some parts changed and new ones behind."""
    out = io.BytesIO()
    with zipfile.ZipFile(io.BytesIO(data)) as archive, zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as new:
        seen: set[str] = set()
        for info in archive.infolist():
            if info.filename in seen:
                continue
            seen.add(info.filename)
            copy = zipfile.ZipInfo(info.filename, info.date_time)
            copy.external_attr = info.external_attr
            copy.compress_type = info.compress_type if info.compress_type == zipfile.ZIP_STORED else zipfile.ZIP_DEFLATED
            new.writestr(copy, changed.get(info.filename, archive.read(info)))
        for name, part in changed.items():
            if name not in seen:
                copy = zipfile.ZipInfo(name, (1980, 1, 1, 0, 0, 0))
                copy.compress_type = zipfile.ZIP_DEFLATED
                copy.external_attr = 0o600 << 16
                new.writestr(copy, part)
    return out.getvalue()


def as_utf8(part: bytes) -> bytes:
    """In UTF-8, or in another code that ASCII is a part of; what is put in is ASCII."""
    if part[:2] not in (b"\xff\xfe", b"\xfe\xff"):
        return part
    text = part.decode("utf-16")
    return re.sub(r"^\s*<\?xml.*?\?>", "", text, count=1).encode("utf-8")


class Edits:
    """Pieces of a part that are replaced."""

    def __init__(self, part: bytes) -> None:
        self._part = part
        self._edits: list[tuple[int, int, bytes]] = []

    def put(self, first: int, last: int, new: str) -> None:
        """A tag that was read with ``tag_at`` keeps its bytes; what else is new is ASCII."""
        self.raw(first, last, new.encode("utf-8", "surrogateescape"))

    def raw(self, first: int, last: int, new: bytes) -> None:
        self._edits.append((first, last, new))

    def apply(self) -> bytes:
        out: list[bytes] = []
        at = 0
        for first, last, new in sorted(self._edits, key=lambda edit: edit[:2]):
            out += [self._part[at:first], new]
            at = last
        return b"".join([*out, self._part[at:]])


def tag_at(part: bytes, index: int) -> str:
    """The whole start tag that begins there."""
    found = _TAG.match(part, index)
    assert found is not None
    return found.group().decode("utf-8", "surrogateescape")


def behind(part: bytes, first: int, index: int) -> int:
    """Behind an element that begins at ``first`` and whose end is told at ``index``: at its end tag, or behind it where it is empty."""
    if part[index - 2 : index] == b"/>" and first + len(tag_at(part, first).encode("utf-8", "surrogateescape")) == index:
        return index
    return part.index(b">", index) + 1


def closed(tag: str) -> bool:
    return tag.endswith("/>")


def prefix_of(tag: str) -> str:
    """"x:" of "<x:row ...>"."""
    name = re.match(r"</?([^\s/>]+)", tag)
    assert name is not None
    return name.group(1).rpartition(":")[0] + ":" if ":" in name.group(1) else ""


def set_attribute(tag: str, name: str, value: Union[str, int, None]) -> str:
    """The tag with an attribute put, or taken away; ``name`` as it stands, with its prefix."""
    without = re.sub(rf"\s{re.escape(name)}\s*=\s*(?:\"[^\"]*\"|'[^']*')", "", tag)
    if value is None:
        return without
    end = "/>" if closed(without) else ">"
    return without[: -len(end)].rstrip() + f" {name}={quoteattr(str(value))}" + end


def before_end(part: bytes, name: str, new: str) -> bytes:
    """Put in as the last child of the last element of that name; ``{p}`` in it is the element's prefix."""
    ends = list(re.finditer(rb"</(?:[\w.-]+:)?" + name.encode() + rb"\s*>", part))
    if ends:
        place = ends[-1]
        prefix = prefix_of(place.group().decode())
        return part[: place.start()] + new.replace("{p}", prefix).encode() + part[place.start() :]
    empty = re.search(rb"<(?:[\w.-]+:)?" + name.encode() + rb"(?=[\s/>])", part)
    assert empty is not None
    tag = tag_at(part, empty.start())
    prefix = prefix_of(tag)
    whole = tag[:-2].rstrip() + ">" + new.replace("{p}", prefix) + f"</{prefix}{name}>"
    end = empty.start() + len(tag.encode("utf-8", "surrogateescape"))
    return part[: empty.start()] + whole.encode("utf-8", "surrogateescape") + part[end:]


def text(value: object) -> str:
    """As it stands in XML, in ASCII: whatever the code of the part."""
    return escape(_CONTROL.sub(" ", str(value))).encode("ascii", "xmlcharrefreplace").decode()


def letters(column: int) -> str:
    """A column, from 1, as "A" to "XFD"."""
    out = ""
    while column > 0:
        column, rest = divmod(column - 1, 26)
        out = chr(65 + rest) + out
    return out


def _counted(word: str) -> int:
    out = 0
    for letter in word:
        out = out * 26 + ord(letter) - 64
    return out


# As a value: of a decorated function what is declared and what is there do not agree.
_letters_of = functools.lru_cache(maxsize=1 << 14)(_counted)


def column_of(reference: str) -> int:
    """The last column of "B2" or "A1:C9"; 0 where there is none."""
    word = reference.rstrip("0123456789")
    if word and len(word) <= 3 and len(word) < len(reference) and word.isascii() and word.isupper() and word.isalpha():
        return _letters_of(word)
    words = re.findall(r"\$?([A-Za-z]{1,3})\$?[0-9]+", reference)
    out = 0
    for letter in words[-1].upper() if words else "":
        out = out * 26 + ord(letter) - 64
    return out


def in_runs(place: int, runs: Sequence[tuple[int, int]]) -> bool:
    """``runs``: as [first, behind)."""
    return any(first <= place < behind for first, behind in runs)


def is_number(value: Cell) -> bool:
    return isinstance(value, (int, float, Decimal)) and not isinstance(value, bool)


def blank(row: Sequence[Cell]) -> bool:
    return all(cell is None or (isinstance(cell, str) and not cell.strip()) for cell in row)


_FIFTEEN = Context(prec=15)  # as many digits as a sheet keeps of a number: 11.399999999999999 was 11.4


def sheet_number(text: str) -> Cell:
    """A number as a file holds it, exact to the digits that were typed; a text where it is none."""
    if text.isdigit() and text.isascii() and len(text) < 16:
        return int(text)
    try:
        value = Decimal(text)
        if not value.is_finite() or abs(value.adjusted()) > 400:
            return text
        value = _FIFTEEN.create_decimal(value)
    except InvalidOperation:
        return text
    if value == value.to_integral_value() and abs(value) < 10**18:
        return int(value)
    return value.normalize()


def is_summary_title(name: str, title: str) -> bool:
    return re.fullmatch(re.escape(title) + "( [0-9]+)?", name) is not None


def is_summary(rows: Sequence[Sequence[Cell]], sheet: str, again: bool) -> bool:
    """A sheet that we wrote about ``sheet``; one that does not say about which is about one that has columns of ours."""
    labels = [row[0] if row else None for row in rows[:3]]
    if labels != ["Summary", "Rows", "Priced"]:
        return False
    about = next((row[1] for row in rows if len(row) > 1 and row[0] == "Sheet"), None)
    return again if about is None else about == sheet
