"""``python -m tarewise reprice goods.xlsx --out priced.xlsx ...``: a spreadsheet priced where it lies."""

from __future__ import annotations

import argparse
import csv
import io
import pathlib
import re
import sys
from collections.abc import Sequence

from tarewise import Lane, Mix, Place, Promise, Repricer, __version__, load
from tarewise._encoding import read_text
from tarewise.errors import TarewiseError


def _parser() -> argparse.ArgumentParser:
    parser = argparse.ArgumentParser(prog="python -m tarewise", description="Prices a catalogue in a spreadsheet.")
    parser.add_argument("--version", action="version", version=f"tarewise {__version__}")
    commands = parser.add_subparsers(dest="command", required=True)
    reprice = commands.add_parser("reprice", help="price every row of a .xlsx, .ods or .csv catalogue")
    reprice.add_argument("source", type=pathlib.Path, help="the catalogue; its columns are matched by their headers")
    reprice.add_argument("--out", type=pathlib.Path, required=True, help="the priced copy, of the same kind")
    reprice.add_argument("--tables", type=pathlib.Path, required=True, help="folder of tariffs and shelf")
    reprice.add_argument("--date", required=True, help="hand-over, such as 2026-08-03")
    reprice.add_argument("--from", dest="origin", required=True, help='such as "US 05401"')
    where = reprice.add_mutually_exclusive_group(required=True)
    where.add_argument("--to", action="append", help='such as "US 98101"; may be given several times')
    where.add_argument("--mix", type=pathlib.Path, help="CSV of country,postal_code,share: a destination mix")
    reprice.add_argument("--residential", action="store_true", help="the destinations are homes")
    reprice.add_argument("--currency", help="such as USD")
    reprice.add_argument("--exchange", action="append", default=[], help="such as EUR=1.0842; may be given several times")
    promise = reprice.add_mutually_exclusive_group()
    promise.add_argument("--within", type=int, help="a promise in business days")
    promise.add_argument("--by", help="a promise by a date, such as 2026-08-07")
    reprice.add_argument("--accepts", default="door", help='where it may end, such as "door,point" (left out: door)')
    reprice.add_argument("--without-tax", action="store_true", help="totals without tax: of a seller who gets it back")
    reprice.add_argument("--parcels", type=int, default=1, help="rows of one order may go in so many parcels (left out: 1)")
    reprice.add_argument("--sheet", help="the sheet's name, where it is not the first that is shown")
    reprice.add_argument("--column", action="append", default=[], metavar="FIELD=HEADER",
                         help='which column a field is in, such as "weight=Gewicht" or "sides=4" (the fourth); "value=": none')
    reprice.add_argument("--header-row", help='the row of headers, such as 3, or two rows, such as 3-4')
    reprice.add_argument("--units", help='of numbers whose header has none, such as "oz in" or "weight=kg sides=cm"')
    reprice.add_argument("--decimal", choices=[".", ","], help="what stands before decimals of texts")
    reprice.add_argument("--delimiter", help='between the fields of a CSV file, such as ";"; "tab" is one too')
    reprice.add_argument("--encoding", help='of a CSV file, such as "cp1252" or "utf-16" (left out: what its first bytes say, else UTF-8)')
    return parser


def _promise(arguments: argparse.Namespace) -> Promise | None:
    if arguments.by is not None:
        return Promise.by(arguments.by)
    return None if arguments.within is None else Promise.within(arguments.within)


def _columns(given: Sequence[str]) -> dict[str, str | int | None] | None:
    out: dict[str, str | int | None] = {}
    for one in given:
        field, equals, header = one.partition("=")
        if not equals or field.strip() in out:
            raise TarewiseError(f"--column: found {one!r}, expected a field and its header, once each, such as weight=Gewicht")
        header = header.strip()
        out[field.strip()] = int(header) if header.isascii() and header.isdigit() else header or None
    return out or None


def _header_row(given: str | None) -> int | tuple[int, int] | None:
    if given is None:
        return None
    found = re.fullmatch(r"\s*([0-9]{1,7})(?:\s*[-,]\s*([0-9]{1,7}))?\s*", given)
    if found is None:
        raise TarewiseError(f"--header-row: found {given!r}, expected a row such as 3, or two such as 3-4")
    return int(found[1]) if found[2] is None else (int(found[1]), int(found[2]))


def _units(given: str | None) -> str | dict[str, str] | None:
    if given is None or "=" not in given:
        return given
    pairs = [one.partition("=") for one in given.replace(",", " ").split()]
    return {key: unit for key, _, unit in pairs}


def _mix(path: pathlib.Path, origin: str, residential: bool) -> Mix:
    text, _ = read_text(path.read_bytes(), str(path))
    rows = list(csv.DictReader(io.StringIO(text, newline="")))
    wanted = ("country", "postal_code", "share")
    if not rows or any(name not in rows[0] for name in wanted):
        found = ", ".join(rows[0]) if rows else "nothing"
        raise TarewiseError(f"found columns {found}, expected {', '.join(wanted)}", file=str(path), line=1)
    places = [Place(row["country"], row["postal_code"], residential=residential, area=True) for row in rows]
    return Mix(origin, zip(places, (row["share"] for row in rows)))


def main(argv: Sequence[str] | None = None) -> int:
    arguments = _parser().parse_args(argv)
    try:
        from tarewise.sheets import reprice_sheet

        tables = load(arguments.tables)
        lanes = None
        mix = None
        if arguments.mix is not None:
            mix = _mix(arguments.mix, arguments.origin, arguments.residential)
        else:
            lanes = [Lane(arguments.origin, to, residential=arguments.residential) for to in arguments.to]
        exchange = {}
        for rate in arguments.exchange:
            code, equals, number = rate.partition("=")
            if not equals:
                raise TarewiseError(f"--exchange: found {rate!r}, expected a currency and a rate such as EUR=1.0842")
            exchange[code] = number
        repricer = Repricer(
            tables.ratebook,
            date=arguments.date,
            lanes=lanes,
            mix=mix,
            shelf=tables.shelf,
            promise=_promise(arguments),
            accepts=arguments.accepts,
            totals="without_tax" if arguments.without_tax else "with_tax",
            currency=arguments.currency,
            exchange=exchange or None,
            most_parcels=arguments.parcels,
        )
        priced = reprice_sheet(
            arguments.source,
            arguments.out,
            repricer,
            sheet=arguments.sheet,
            columns=_columns(arguments.column),
            header_row=_header_row(arguments.header_row),
            units=_units(arguments.units),
            decimal=arguments.decimal,
            delimiter="\t" if arguments.delimiter in ("tab", "\\t") else arguments.delimiter,
            encoding=arguments.encoding,
            progress=None if sys.stderr.isatty() else False,
        )
    except (TarewiseError, OSError) as error:
        print(f"python -m tarewise: {_where(error)}{error}", file=sys.stderr)
        return 2
    matched = ", ".join(f"{field} from {header!r}" for field, header in priced.matched.items())
    with_others = f" ({priced.in_order} more in their orders)" if priced.in_order else ""
    print(f"{priced.priced} of {priced.rows} rows priced{with_others} into {arguments.out}; {matched}")
    for line in priced.told:
        print(f"  {line}")
    return 0 if priced.priced else 1


def _where(error: BaseException) -> str:
    if not isinstance(error, TarewiseError) or not error.file or str(error).startswith(str(error.file)):
        return ""
    return ":".join(str(part) for part in (error.file, error.line, error.column) if part) + ": "


if __name__ == "__main__":
    sys.exit(main())
