"""CSV files that are not UTF-8: read by their first bytes or by what is said, written again as they were, never guessed."""

from __future__ import annotations

import codecs
import pathlib

import pytest
import tarewise
from hypothesis import given
from hypothesis import strategies as st
from tarewise._encoding import read_text
from tarewise.__main__ import main
from tarewise.sheets import read_grid, reprice_sheet

ROOT = pathlib.Path(__file__).resolve().parents[2]
DEMO = ROOT / "tables" / "demo"
HEAD = "SKU,Title,Weight (oz),L,W,H (in),Qty"
TEXT = f"{HEAD}\r\nA1,Caf\u00e9 cr\u00e8me \u2013 old,72.8,14,11,3,1\r\nA2,Kettle \u20ac,54,10,9,8,2\r\n"
ADDED = ",Total (USD),Service,Packaging,Cautions,Reason"
MARKS = {"utf-8": codecs.BOM_UTF8, "utf-16-le": codecs.BOM_UTF16_LE, "utf-16-be": codecs.BOM_UTF16_BE,
         "utf-32-le": codecs.BOM_UTF32_LE, "utf-32-be": codecs.BOM_UTF32_BE}  # fmt: skip


@pytest.fixture(scope="module")
def repricer() -> tarewise.Repricer:
    tables = tarewise.load(DEMO)
    lane = tarewise.Lane("US 05401", "US 98101")
    return tarewise.Repricer(tables.ratebook, date="2026-08-03", lanes=lane, shelf=tables.shelf, currency="USD")


def check(written: str) -> None:
    """Every line as it was, and ours behind it."""
    lines, given = written.split("\r\n"), TEXT.split("\r\n")
    assert lines[0] == given[0] + ADDED and len(lines) == len(given)
    for line, was in zip(lines[1:-1], given[1:-1]):
        assert line.startswith(was + ",") and line.split(",")[7].replace(".", "").isdigit()


@pytest.mark.parametrize("codec", list(MARKS))
def test_the_first_bytes_say_it(codec: str, tmp_path: pathlib.Path, repricer: tarewise.Repricer) -> None:
    (tmp_path / "goods.csv").write_bytes(MARKS[codec] + TEXT.encode(codec))
    priced = reprice_sheet(tmp_path / "goods.csv", tmp_path / "out.csv", repricer)
    assert priced.priced == 2
    assert any("as the first bytes of the file say" in line for line in priced.told) == (codec != "utf-8")
    for name in ("out.csv", "out-summary.csv"):
        data = (tmp_path / name).read_bytes()
        assert data.startswith(MARKS[codec])
    check((tmp_path / "out.csv").read_bytes()[len(MARKS[codec]) :].decode(codec))


@pytest.mark.parametrize("codec", ["cp1252", "CP1252", "utf-16-le", "utf-16-be", "utf-8", "utf-8-sig", "cp858"])
def test_somebody_says_it(codec: str, tmp_path: pathlib.Path, repricer: tarewise.Repricer) -> None:
    text = TEXT.replace("\u2013", "-") if codec == "cp858" else TEXT
    (tmp_path / "goods.csv").write_bytes(text.encode(codec))
    priced = reprice_sheet(tmp_path / "goods.csv", tmp_path / "out.csv", repricer, encoding=codec)
    assert priced.priced == 2 and not any("characters" in line for line in priced.told)
    check((tmp_path / "out.csv").read_bytes().decode(codec).replace(" - old", " \u2013 old"))


def test_the_command_takes_it(tmp_path: pathlib.Path, capsys: pytest.CaptureFixture[str]) -> None:
    (tmp_path / "goods.csv").write_bytes(TEXT.encode("cp1252"))
    arguments = ["--tables", str(DEMO), "--date", "2026-08-03", "--from", "US 05401", "--to", "US 98101", "--currency", "USD"]
    given = ["reprice", str(tmp_path / "goods.csv"), "--out", str(tmp_path / "out.csv"), *arguments]
    assert main(given) == 2
    said = capsys.readouterr().err
    place = TEXT.encode("cp1252").index(b"\xe9") + 1
    assert f"goods.csv:2: found 0xE9 (byte {place} of the file, line 2), which is not UTF-8" in said
    assert "say its encoding: by encoding='cp1252' it would read 'A1,Caf\u00e9 cr\u00e8me" in said
    assert not (tmp_path / "out.csv").exists()
    assert main([*given, "--encoding", "cp1252"]) == 0
    check((tmp_path / "out.csv").read_bytes().decode("cp1252"))
    (tmp_path / "mix.csv").write_bytes("country,postal_code,share\nUS,981,3\nUS,\u00e9,1\n".encode("cp1252"))
    at = given.index("--to")
    assert main([*given[:at], "--mix", str(tmp_path / "mix.csv"), *given[at + 2 :], "--encoding", "cp1252"]) == 2
    assert "mix.csv:3: found 0xE9" in capsys.readouterr().err


@pytest.mark.parametrize(
    ("data", "encoding", "words"),
    [
        (TEXT.encode("utf-16-le"), None, "it looks like utf-16-le, say encoding='utf-16-le'"),
        (TEXT.replace("\u2013", "-").replace("\u20ac", "$").encode("utf-16-be"), None, "it looks like utf-16-be, say encoding='utf-16-be'"),
        (b"SKU,Weight (oz)\nA\x00,3\n", None, "found a zero byte, expected text in UTF-8"),
        (b"SKU\nA\x81\n", None, "line 2\\), which is not UTF-8.*cp1252 does not read it either; mac_roman would read"),
        (TEXT.encode("utf-16"), "cp1252", "'cp1252' for a file whose first bytes say UTF-16"),
        (TEXT.encode("utf-8-sig"), "latin-1", "first bytes say UTF-8"),
        (TEXT.encode(), "utf-16", "do not say in which order its bytes stand, expected 'utf-16-le' or 'utf-16-be'"),
        (TEXT.encode("cp1252"), "ascii", "which is not ascii, expected the encoding that the file is in"),
        (TEXT.encode(), "cp-1252x", "expected one that Python has"),
        (TEXT.encode(), "base64", "expected one that Python has"),
        (b"+AGE-,b\n", "utf-7", "does not write as it reads it"),
    ],
)  # fmt: skip
def test_what_cannot_be_read_says_what_would(data: bytes, encoding: str | None, words: str) -> None:
    with pytest.raises(tarewise.TarewiseError, match=words) as caught:
        read_text(data, "goods.csv", encoding)
    assert caught.value.file == "goods.csv"


@given(st.text(st.characters(codec="cp1252", exclude_characters="\0"), max_size=40), st.sampled_from(["cp1252", "utf-8"]))
def test_bytes_come_back_or_are_refused(text: str, wrote: str) -> None:
    data = text.encode(wrote)
    try:
        read, characters = read_text(data, "goods.csv")
    except tarewise.TarewiseError:
        assert wrote == "cp1252"
        return
    assert characters.mark + characters.encode(read, "goods.csv") == data
    assert data.decode("utf-8-sig") == read  # never another than UTF-8


def test_what_is_ours_and_the_encoding_has_not(tmp_path: pathlib.Path, repricer: tarewise.Repricer) -> None:
    """A long text is shortened with an ellipsis, which ISO 8859-1 has not."""
    (tmp_path / "goods.csv").write_bytes((HEAD + "\nA1,x," + "\u00e9" * 90 + ",14,11,3,1\n").encode("latin-1"))
    reprice_sheet(tmp_path / "goods.csv", tmp_path / "out.csv", repricer, encoding="latin-1")
    assert '\u00e9..."", expected a weight' in (tmp_path / "out.csv").read_bytes().decode("latin-1")


def test_sheets_and_grids(tmp_path: pathlib.Path, repricer: tarewise.Repricer) -> None:
    with pytest.raises(tarewise.TarewiseError, match="encoding: found 'cp1252' for .ods, expected it with .csv alone"):
        reprice_sheet(tmp_path / "goods.ods", tmp_path / "out.ods", repricer, encoding="cp1252")
    grid = "lb.;Zone 1;Zone 2\n1;\u20ac 5,10;\u20ac 5,60\n2;\u20ac 5,45;\u20ac 6,20\n"
    (tmp_path / "grid.txt").write_bytes(grid.encode("cp1252"))
    with pytest.raises(tarewise.TarewiseError, match=r"found 0x80 \(byte 21 of the file, line 2\)"):
        read_grid(tmp_path / "grid.txt")
    read = read_grid(tmp_path / "grid.txt", encoding="cp1252")
    assert read.rows == (("1", "5.10", "5.60"), ("2", "5.45", "6.20"))
    with pytest.raises(tarewise.TarewiseError, match="expected it with a text file alone"):
        read_grid(grid, encoding="cp1252")
