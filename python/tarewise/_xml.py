"""Spreadsheets as they lie in their archives: what is not ours keeps its very bytes."""

from __future__ import annotations

import io
import re
import zipfile
from collections.abc import Mapping, Sequence
from decimal import Decimal
from typing import Union
from xml.sax.saxutils import escape, quoteattr

Cell = Union[str, int, float, Decimal, bool, None]

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


def column_of(reference: str) -> int:
    """The last column of "B2" or "A1:C9"; 0 where there is none."""
    words = re.findall(r"\$?([A-Za-z]{1,3})\$?[0-9]+", reference)
    out = 0
    for letter in words[-1].upper() if words else "":
        out = out * 26 + ord(letter) - 64
    return out


def is_number(value: Cell) -> bool:
    return isinstance(value, (int, float, Decimal)) and not isinstance(value, bool)


def blank(row: Sequence[Cell]) -> bool:
    return all(cell is None or (isinstance(cell, str) and not cell.strip()) for cell in row)
