"""The characters of a text file: by what it says itself, by what somebody says, else UTF-8 to the letter. Nothing is guessed."""

from __future__ import annotations

import codecs
import dataclasses
import re
from typing import Union

from tarewise.errors import TarewiseError

__all__ = ["Characters", "read_text"]

# UTF-32 before UTF-16: its little-endian mark begins as that one's does.
_MARKS = (
    (codecs.BOM_UTF8, "utf-8"),
    (codecs.BOM_UTF32_LE, "utf-32-le"),
    (codecs.BOM_UTF32_BE, "utf-32-be"),
    (codecs.BOM_UTF16_LE, "utf-16-le"),
    (codecs.BOM_UTF16_BE, "utf-16-be"),
)
_NEED_A_MARK = {"utf-16": ("utf-16-le", "utf-16-be"), "utf-32": ("utf-32-le", "utf-32-be")}
_SHOWN = {"utf-8": "UTF-8", "utf-16-le": "UTF-16", "utf-16-be": "UTF-16", "utf-32-le": "UTF-32", "utf-32-be": "UTF-32"}
_AROUND = 24  #: characters beside a byte that are shown


@dataclasses.dataclass(frozen=True)
class Characters:
    """How a file's characters stand in it."""

    codec: str
    mark: bytes  #: its first bytes, where they say so
    told: Union[str, None]

    def encode(self, text: str, file: str) -> bytes:
        """The text as it stands in the file, without the mark. What was shortened with an ellipsis gets three points, where it must."""
        try:
            return text.encode(self.codec)
        except UnicodeEncodeError:
            pass
        try:
            return text.replace("\u2026", "...").encode(self.codec)
        except UnicodeEncodeError as error:
            sign = error.object[error.start]
            raise TarewiseError(
                f"found {sign!r} to write, which {self.codec} has not, expected an encoding that has it, such as UTF-8", file=file
            ) from None


def read_text(data: bytes, file: str, encoding: Union[str, None] = None) -> tuple[str, Characters]:
    """The text of a file without its mark. ``encoding`` None: that of its mark, else UTF-8.

    Errors: TarewiseError of a byte that the encoding has not, with its line, its place and what would read it; of an encoding that
    is none, that the mark says otherwise of, or in which the text would not be written as it was read.
    """
    mark, marked = next(((mark, name) for mark, name in _MARKS if data.startswith(mark)), (b"", None))
    if encoding is None:
        codec = marked or "utf-8"
        told = None if codec == "utf-8" else f"the characters are in {_SHOWN[codec]}, as the first bytes of the file say"
    else:
        codec, told = _named(encoding, marked, file), None
        if codec.startswith("utf-8") and marked == "utf-8":
            codec = "utf-8"
        elif codec != marked:
            mark = b""
    body = data[len(mark) :]
    try:
        text = body.decode(codec)
    except UnicodeDecodeError as error:
        raise _fault(data, body, len(mark) + error.start, codec, encoding is not None, file) from None
    if "\x00" in text:
        at = text.index("\x00")
        wide = _wide(body) if codec == "utf-8" else None
        hint = f": it looks like {wide}, say encoding={wide!r}" if wide is not None else ""
        raise TarewiseError(
            f"found a zero byte, expected text in {_shown(codec)}{hint}", file=file, line=text.count("\n", 0, at) + 1
        )
    if codec != "utf-8" and text.encode(codec) != body:
        raise TarewiseError(
            f"encoding: found a file that {codec} does not write as it reads it, expected one in UTF-8: save it so", file=file
        )
    return text, Characters(codec, mark, told)


def _named(encoding: str, marked: Union[str, None], file: str) -> str:
    try:
        found = codecs.lookup(encoding)
        "".encode(encoding)  # not one from bytes to bytes
    except (LookupError, TypeError, AttributeError, ValueError):
        raise TarewiseError(
            f"encoding: found {encoding!r}, expected one that Python has, such as 'utf-8', 'cp1252', 'utf-16' or 'mac_roman'",
            file=file, pointer="/encoding",
        ) from None  # fmt: skip
    name = found.name
    if name == "utf-8-sig":
        name = "utf-8"
    needs = _NEED_A_MARK.get(name)
    if needs is not None:
        if marked not in needs:
            raise TarewiseError(
                f"encoding: found {encoding!r} for a file whose first bytes do not say in which order its bytes stand, expected "
                f"{' or '.join(map(repr, needs))}",
                file=file, pointer="/encoding",
            )  # fmt: skip
        return marked
    if marked is not None and name != marked:
        raise TarewiseError(
            f"encoding: found {encoding!r} for a file whose first bytes say {_SHOWN[marked]}, expected none, or that", file=file,
            pointer="/encoding",
        )  # fmt: skip
    return name


def _shown(codec: str) -> str:
    return _SHOWN.get(codec, codec)


def _wide(body: bytes) -> Union[str, None]:
    """UTF-16 without a mark, by the zero byte that each letter, digit and comma has on one side."""
    sample = body[:4096]
    if len(sample) < 4:
        return None
    even, odd = sample[::2].count(0), sample[1::2].count(0)
    half = len(sample) // 2
    if odd > half * 3 // 4 and even == 0:
        return "utf-16-le"
    return "utf-16-be" if even > half * 3 // 4 and odd == 0 else None


def _fault(data: bytes, body: bytes, at: int, codec: str, said: bool, file: str) -> TarewiseError:
    one_byte = not codec.startswith(("utf-16", "utf-32"))
    before = data[:at] if one_byte else b""
    line = len(re.findall(b"\r\n|\r|\n", before)) + 1 if one_byte else None
    place = f"byte {at + 1} of the file" + (f", line {line}" if line is not None else "")
    found = f"found 0x{data[at]:02X} ({place}), which is not {_shown(codec)}" if at < len(data) else f"found no end ({place})"
    wide = _wide(body)
    if said:
        hint = "expected the encoding that the file is in"
    elif wide is not None:
        hint = f"expected text in UTF-8: it looks like {wide}, say encoding={wide!r}"
    else:
        hint = 'expected text in UTF-8: save it as "CSV UTF-8", or say its encoding'
        start = max(before.rfind(b"\n"), before.rfind(b"\r"), at - _AROUND - 1) + 1
        stop = min((i for i in (data.find(b"\n", at), data.find(b"\r", at)) if i >= 0), default=len(data))
        piece = data[start : min(stop, at + _AROUND)]
        try:
            data.decode("cp1252")
            hint += f": by encoding='cp1252' it would read {piece.decode('cp1252')!r} there"
        except UnicodeDecodeError:
            hint += f": cp1252 does not read it either; mac_roman would read {piece.decode('mac_roman')!r} there"
    return TarewiseError(f"{found}, {hint}", file=file, line=line)
