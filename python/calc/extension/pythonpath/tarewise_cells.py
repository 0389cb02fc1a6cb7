"""What the functions of a spreadsheet's cells answer: cells in; numbers, texts and sentences out. It knows no spreadsheet."""

from __future__ import annotations

import collections
import dataclasses
import difflib
import os
import re
import time
import urllib.parse
import urllib.request
from collections.abc import Callable, Hashable, Iterable, Mapping, Sequence
from datetime import date as Date
from datetime import timedelta
from decimal import ROUND_HALF_EVEN, Decimal
from typing import Any, TypeVar, Union

import tarewise
from tarewise import sheets
from tarewise._columns import LENGTH_UNITS, WEIGHT_UNITS
from tarewise._display import service_title
from tarewise.errors import TarewiseError, TariffError

#: A cell or several: a text, a number (0 where a cell is empty), rows of these, or None where an argument is left out.
Given = Any

_Made = TypeVar("_Made")
_KEPT_FOLDERS = 8
_KEPT_REPRICERS = 16
_KEPT_ANSWERS = 20_000
_SHOWN_REFUSALS = 6
_LOOKS_EVERY = 0.25  # seconds: a sheet of thousands of cells looks at a folder's files a few times

_DATE = 'a date such as 2026-08-03, as a date of the sheet or as a text "2026-08-03"'
_WEIGHT = 'a weight with its unit such as "1 lb 3 oz"'
_SIDES = 'three sides with their unit such as "12 x 9 x 4 in", in one cell or in three'
_PLACE = 'a country and a postal code such as "US 05401"'
_TABLES = "a folder of tables"


class Fault(ValueError):
    """A sentence for a cell: what was found, and what was expected."""


@dataclasses.dataclass(frozen=True)
class Answer:
    """What the cells of one parcel show. The total is a number, or a text where it was asked for or there is none."""

    total: Union[float, str]
    service: str
    packaging: str
    reason: str


class _Kept:
    """The last so many things that were made, by what they were made of."""

    def __init__(self, most: int) -> None:
        self._most = most
        self._things: collections.OrderedDict[Hashable, Any] = collections.OrderedDict()

    def get(self, key: Hashable, make: Callable[[], _Made]) -> _Made:
        if key not in self._things:
            self._things[key] = make()
            while len(self._things) > self._most:
                self._things.popitem(last=False)
        self._things.move_to_end(key)
        made: _Made = self._things[key]
        return made


@dataclasses.dataclass(frozen=True)
class _Question:
    """What the functions have in common, read."""

    folder: str
    origin: str
    destination: str
    date: str
    currency: str | None
    options: tuple[tuple[str, Any], ...]

    def option(self, name: str, otherwise: Any = None) -> Any:
        return dict(self.options).get(name, otherwise)

    def terms(self) -> dict[str, Any]:
        """The keywords that ``rank`` and ``Repricer`` share."""
        out: dict[str, Any] = {"date": self.date, "currency": self.currency}
        for name, value in self.options:
            if name in _TERMS:
                out[name] = value
            elif name == "within_days":
                out["promise"] = tarewise.Promise.within(value)
            elif name == "by":
                out["promise"] = tarewise.Promise.by(value)
            elif name == "cash_on_delivery":
                out["amounts"] = {"cash_on_delivery": value}
            elif name == "without_tax" and value:
                out["totals"] = "without_tax"
            elif name == "exchange":
                out["exchange"] = dict(value)
        return out

    def lane(self) -> tarewise.Lane:
        return tarewise.Lane(self.origin, self.destination, residential=self.option("residential"))


class Cells:
    """Answers cells, and keeps what they share: tables, which are read again when a file of their folder changes, and answers."""

    def __init__(self) -> None:
        self._tables = _Kept(_KEPT_FOLDERS)
        self._repricers = _Kept(_KEPT_REPRICERS)
        self._answers = _Kept(_KEPT_ANSWERS)
        self._looked: dict[str, tuple[float, Hashable]] = {}

    def answer(
        self, null_date: Date, beside: str | None,
        weight: Given = None, sides: Given = None, origin: Given = None, destination: Given = None, date: Given = None,
        tables: Given = None, currency: Given = None, options: Given = None,
    ) -> Union[Answer, str]:  # fmt: skip
        """Of one parcel, or a sentence that says what is wrong. ``null_date``: the day that numbers of dates count from;
        ``beside``: the folder that the names of folders are relative to."""
        try:
            chosen = _options(options, null_date)
            units = _units(chosen.pop("units", None))
            several = _goods(weight, sides)
            if several is None:
                weight_text = _weight(weight, units)
                side_texts = _sides(sides, units)
            question = _question(null_date, beside, origin, destination, date, tables, currency, chosen)
            if "columns" in chosen and several is None:
                raise Fault("options: found columns, expected it of a range of goods alone")
            stamp = self._stamp(question.folder)
            if several is not None:
                return self._answers.get((question, stamp, several, units), lambda: self._together(question, stamp, several, units))
            key = (question, stamp, weight_text, side_texts)
            return self._answers.get(key, lambda: self._ranked(question, stamp, weight_text, side_texts))
        except (Fault, TarewiseError, TypeError, OSError) as error:
            return _told(error)

    def catalogue(
        self, null_date: Date, beside: str | None, rows: Sequence[Sequence[Union[str, float]]], first: int,
        origin: Given = None, destination: Given = None, date: Given = None, tables: Given = None, currency: Given = None,
        options: Given = None,
    ) -> tuple[tuple[Union[str, float], ...], ...]:  # fmt: skip
        """Of every row of a range whose first row has the number ``first``: total, service, packaging, reason and cautions.

        The first row answers the headers, and tells what was guessed; there is none where the option ``columns`` names them.
        """
        try:
            chosen = _options(options, null_date)
            units = _units(chosen.pop("units", None))
            headers = chosen.pop("columns", None)
            found = [name for name in chosen if name in _GOODS]
            if found:
                raise Fault(
                    f"options: found {_listed(found, 'and')} for a whole catalogue, expected a column of the range for each good"
                )
            if "parcels" in chosen:
                raise Fault("options: found parcels for a whole catalogue, expected it of one order, such as TW.TOTAL of its goods")
            if not rows:
                raise Fault("goods: found nothing, expected a range of cells with its headers")
            question = _question(null_date, beside, origin, destination, date, tables, currency, chosen)
            stamp = self._stamp(question.folder)
            repricer = self._repricers.get((question, stamp), lambda: self._repricer(question, stamp))
            table: list[list[Any]] = [[None if cell == "" else cell for cell in row] for row in rows]
            numbers = list(range(first, first + len(table)))
            if headers is not None:
                table.insert(0, [name.strip() for name in headers.split(",")])
                numbers.insert(0, first)
            table[0] = _with_units(table[0], units, repricer.currency)
            try:
                added, answers, guessed = sheets.reprice_rows(table, repricer, numbers=numbers)
            except TarewiseError as error:
                line = first if error.line == 1 else error.line  # of headers it is 1 wherever they stand
                where = f"row {line}: " if line is not None and headers is None else ""
                raise Fault(f"goods: {where}{error}") from None
            out = _in_our_order(added, answers, guessed, repricer._core.decimals if question.option("as_text") else None)
            return out if headers is None else out[1:]
        except (Fault, TarewiseError, TypeError, OSError) as error:
            # Every row says it, so that no cell is empty without a word.
            why = _told(error)
            return tuple((why if i == 0 else _NOT_PRICED, "", "", why, "") for i in range(max(1, len(rows))))

    # ---- inside ----

    def _stamp(self, folder: str) -> Hashable:
        now = time.monotonic()
        looked = self._looked.get(folder)
        if looked is None or now - looked[0] > _LOOKS_EVERY:
            looked = self._looked[folder] = (now, _stamp(folder))
        return looked[1]

    def _load(self, folder: str, stamp: Hashable) -> tarewise.Tables:
        def load() -> Union[tarewise.Tables, str]:
            try:
                return tarewise.load(folder)
            except TariffError as error:
                return f"tables: {error}"

        loaded = self._tables.get((folder, stamp), load)
        if isinstance(loaded, str):
            raise Fault(loaded)
        return loaded

    def _repricer(self, question: _Question, stamp: Hashable) -> tarewise.Repricer:
        loaded = self._load(question.folder, stamp)
        return tarewise.Repricer(loaded.ratebook, shelf=loaded.shelf, lanes=question.lane(), **question.terms())

    def _together(
        self, question: _Question, stamp: Hashable, rows: tuple[tuple[Any, ...], ...], units: tuple[str | None, str | None]
    ) -> Answer:
        """Several goods in one parcel: the rows of a range, below its headers."""
        given = dict(question.options)
        headers = given.pop("columns", None)
        found = [name for name in given if name in _GOODS]
        if found:
            raise Fault(f"options: found {_listed(found, 'and')} for a range of goods, expected a column of the range for each good")
        question = dataclasses.replace(question, options=tuple(sorted(given.items())))
        repricer = self._repricers.get((question, stamp), lambda: self._repricer(question, stamp))
        table = [[None if cell == "" else cell for cell in row] for row in rows]
        numbers = list(range(1, len(table) + 1))
        if headers is not None:
            table.insert(0, [name.strip() for name in headers.split(",")])
            numbers.insert(0, 1)
        table[0] = _with_units(table[0], units, repricer.currency, "weight")
        try:
            goods, lines, guessed = sheets.goods_of_rows(table, repricer, numbers=numbers)
        except TarewiseError as error:
            where = f"row {error.line} of the range: " if error.line is not None else ""
            raise Fault(f"weight: {where}{_sentence(str(error))}") from None
        if (parcels := given.get("parcels")) is not None:
            answer = self._planned(question, stamp, goods, [f"row {line}" for line in lines], parcels, given.get("as_text"))
        else:
            ranking = tarewise.rank(
                repricer.ratebook, goods, shelf=repricer.shelf, lane=question.lane(), thresholds=False, **question.terms()
            )  # fmt: skip
            answer = _answered(ranking, given.get("as_text"))
        return dataclasses.replace(answer, reason=f"{answer.reason} ({'; '.join(guessed)})") if guessed else answer

    def _planned(
        self, question: _Question, stamp: Hashable, goods: Sequence[tarewise.Item], names: Sequence[str], parcels: int, as_text: object
    ) -> Answer:
        """The cheapest way in at most so many parcels. ``names``: of each of the goods what the reason calls it."""
        loaded = self._load(question.folder, stamp)
        plans = tarewise.plan(
            loaded.ratebook, goods, parcels=parcels, shelf=loaded.shelf, lane=question.lane(), **question.terms()
        )  # fmt: skip
        best = plans.best
        if best is None:
            short = "Nothing can be offered; TW.REASON of the same tells why."
            why = "; ".join(dict.fromkeys(_refused(one.ranking) if one.ranking is not None else one.text for one in plans.obstacles))
            return Answer(short, short, short, why or "Nothing can be offered.")
        offers = [parcel.offer for parcel in best]
        told = []
        for parcel in best:
            held = ", ".join(f"{one.units} of {names[one.item]}" for one in parcel.goods)
            told.append(f"{parcel.offer.total} by {service_title(parcel.offer)} in {parcel.offer.packaging_title or parcel.offer.packaging} ({held})")
        count = "1 parcel" if len(offers) == 1 else f"{len(offers)} parcels"
        said = [f"{best.total} {plans.currency} in {count}: " + "; ".join(told)]
        if len(offers) > 1:
            said.append(f"In one parcel: {plans.single} {plans.currency}" if plans.single is not None else "One parcel alone does not take it")
        if not plans.proved:
            said.append("Not every way was looked at")
        said += [one.text.rstrip(".") for one in plans.cautions]
        services = _counted(f"{offer.carrier}/{offer.service}" for offer in offers)
        packagings = _counted(offer.packaging for offer in offers)
        return Answer(str(best.total) if as_text else float(best.total), services, packagings, ". ".join(said) + ".")

    def _ranked(self, question: _Question, stamp: Hashable, weight: str, sides: Union[str, tuple[str, ...]]) -> Answer:
        given = dict(question.options)
        of_goods = {name: given[name] for name in _GOODS if name in given and name != "sealed"}
        goods: Union[tarewise.Item, tarewise.Parcel]
        if given.get("sealed"):
            loose = [name for name in of_goods if name in _LOOSE]
            if loose:
                raise Fault(f"options: found {_listed(loose, 'and')} beside sealed, expected it of goods that are not packed yet")
            goods = tarewise.Parcel(weight, sides, **of_goods)  # type: ignore[arg-type]
        else:
            goods = tarewise.Item(weight, sides, **of_goods)  # type: ignore[arg-type]
        if (parcels := given.get("parcels")) is not None:
            if isinstance(goods, tarewise.Parcel):
                raise Fault("options: found parcels beside sealed, expected it of goods that are not packed yet")
            return self._planned(question, stamp, [goods], ["it"], parcels, given.get("as_text"))
        lane, terms = question.lane(), question.terms()
        loaded = self._load(question.folder, stamp)
        ranking = tarewise.rank(loaded.ratebook, goods, shelf=loaded.shelf, lane=lane, thresholds=False, **terms)
        return _answered(ranking, given.get("as_text"))


def _answered(ranking: tarewise.Ranking, as_text: object) -> Answer:
    best = ranking.best
    if best is None:
        short = "Nothing can be offered; TW.REASON of the same tells why."
        return Answer(short, short, short, _refused(ranking))
    total = str(best.total) if as_text else float(best.total)
    return Answer(total, f"{best.carrier}/{best.service}", best.packaging, _because(ranking))


def _counted(names: Iterable[str]) -> str:
    """Of several parcels the names in their order, "2 x carton-12 + game-12"."""
    counts = collections.Counter(names)
    return " + ".join(name if count == 1 else f"{count} x {name}" for name, count in counts.items())


# ---- what cells say ----


def _one(value: Given) -> Given:
    """A range of one cell is its cell."""
    return value[0][0] if isinstance(value, tuple) and len(value) == 1 and len(value[0]) == 1 else value


def _number(value: float) -> str:
    """As a person would write it, to the millionth."""
    exact = Decimal(value)
    if not exact.is_finite() or abs(exact) >= 10**15:
        return str(value)
    text = f"{exact.quantize(Decimal('0.000001'), ROUND_HALF_EVEN):f}"
    return text.rstrip("0").rstrip(".")


def _shown(value: Given) -> str:
    """What was found in one cell or several."""
    if value is None or value == "":
        return "nothing"
    if isinstance(value, tuple):
        return f"{sum(map(len, value))} cells"
    if isinstance(value, str):
        return f'"{value}"'
    return "an empty cell or 0" if value == 0 else f"the number {_number(value)}"


def _is_left_out(value: Given) -> bool:
    return value is None or value == 0 or isinstance(value, str) and not value.strip()


def _text(name: str, value: Given, expected: str) -> str:
    value = _one(value)
    if not isinstance(value, str) or not value.strip():
        raise Fault(f"{name}: found {_shown(value)}, expected {expected}")
    return value.strip()


def _date(name: str, value: Given, null_date: Date) -> str:
    value = _one(value)
    if isinstance(value, str) and value.strip():
        return value.strip()
    if isinstance(value, (int, float)) and value:
        try:
            day = null_date + timedelta(days=int(value))
        except OverflowError:
            day = None
        if day is None or value < 0 or day.year > 9999:
            raise Fault(f"{name}: found {_shown(value)}, expected {_DATE}")
        if value != int(value):
            raise Fault(f"{name}: found {day} with a time of the day, expected a date alone; INT() of the cell is one")
        return day.isoformat()
    raise Fault(f"{name}: found {_shown(value)}, expected {_DATE}")


def _goods(weight: Given, sides: Given) -> Union[tuple[tuple[Any, ...], ...], None]:
    """The rows of a range of several goods, which stands where a weight does; its sides are in it."""
    weight = _one(weight)
    if not isinstance(weight, tuple):
        return None
    if not _is_left_out(_one(sides)):
        raise Fault(
            f"weight: found {_shown(weight)}, and sides beside them, expected one weight; or a range of goods with headers, which has "
            "their sides, and sides left out"
        )
    return tuple(map(tuple, weight))


def _weight(value: Given, units: tuple[str | None, str | None]) -> str:
    value = _one(value)
    if isinstance(value, (int, float)) and value and units[0] is not None:
        return f"{_number(value)} {units[0]}"
    hint = ', or the option "units=oz in" for numbers' if isinstance(value, float) and value else ""
    return _text("weight", value, _WEIGHT + hint)


def _sides(value: Given, units: tuple[str | None, str | None]) -> Union[str, tuple[str, ...]]:
    value = _one(value)
    if not isinstance(value, tuple):
        return _text("sides", value, _SIDES)
    cells = [cell for row in value for cell in row]
    if len(cells) != 3 or len(value) not in (1, 3):
        raise Fault(f"sides: found {len(cells)} cells, expected {_SIDES}")
    out = []
    for place, cell in enumerate(cells, 1):
        if isinstance(cell, (int, float)) and cell and units[1] is not None:
            out.append(f"{_number(cell)} {units[1]}")
        elif isinstance(cell, str) and cell.strip():
            out.append(cell.strip())
        else:
            hint = ', or the option "units=oz in" for numbers' if isinstance(cell, float) and cell else ""
            raise Fault(f'sides: found {_shown(cell)} in cell {place} of 3, expected a length such as "12 in"{hint}')
    return tuple(out)


def _units(text: str | None) -> tuple[str | None, str | None]:
    """Of weights and of lengths, as far as they are named."""
    words = (text or "").replace(",", " ").split()
    weights = [word for word in words if word in WEIGHT_UNITS]
    lengths = [word for word in words if word in LENGTH_UNITS]
    if len(weights) > 1 or len(lengths) > 1 or len(weights) + len(lengths) != len(words):
        raise Fault(
            f'units: found "{text}", expected one of {_listed(WEIGHT_UNITS)} and one of {_listed(LENGTH_UNITS)}, such as "oz in"'
        )
    return weights[0] if weights else None, lengths[0] if lengths else None


def _folder(tables: Given, beside: str | None) -> str:
    text = _text("tables", tables, _TABLES)
    if text.startswith("file:"):
        text = urllib.request.url2pathname(urllib.parse.urlsplit(text).path)
    text = os.path.expanduser(text)
    if os.path.isabs(text):
        return text
    if beside is None:
        raise Fault(
            f'tables: found "{text}" in a document that is not saved in a folder, expected the whole path of a folder, or a document beside it'
        )
    return os.path.join(beside, text)


def _question(
    null_date: Date, beside: str | None, origin: Given, destination: Given, date: Given, tables: Given, currency: Given,
    chosen: Mapping[str, Any],
) -> _Question:  # fmt: skip
    return _Question(
        origin=_text("from", origin, _PLACE),
        destination=_text("to", destination, _PLACE),
        date=_date("date", date, null_date),
        folder=_folder(tables, beside),
        currency=None if _is_left_out(_one(currency)) else _text("currency", currency, 'a currency such as "USD"'),
        options=tuple(sorted(chosen.items())),
    )


def _stamp(folder: str) -> Hashable:
    """Changes when a file of the folder does."""
    try:
        with os.scandir(folder) as entries:
            files = []
            for entry in entries:
                if entry.name.endswith((".json", ".csv")):
                    try:
                        held = entry.stat()
                    except OSError:  # a link that leads nowhere: the reader says so
                        files.append((entry.name, 0, 0, 0))
                    else:
                        files.append((entry.name, held.st_size, held.st_mtime_ns, held.st_ino))
            return tuple(sorted(files))
    except OSError as error:
        return error.errno


# ---- options ----


def _flag(name: str, value: Given, null_date: Date) -> bool:
    word = _number(value) if isinstance(value, (int, float)) else value.strip().lower()
    if word in ("yes", "y", "true", "1", ""):
        return True
    if word in ("no", "n", "false", "0"):
        return False
    raise Fault(f"{name}: found {_shown(value)}, expected yes or no")


def _filled(name: str, value: Given, null_date: Date) -> str:
    text = _number(value) if isinstance(value, (int, float)) else value.strip()
    if not text:
        raise Fault(f'options: found {name} with nothing behind it, expected "{name}=" and what it is')
    return text


def _whole(name: str, value: Given, null_date: Date) -> int:
    text = _filled(name, value, null_date)
    if not re.fullmatch(r"[0-9]{1,9}", text):
        raise Fault(f"{name}: found {_shown(value)}, expected a whole number")
    return int(text)


def _words(name: str, value: Given, null_date: Date) -> tuple[str, ...]:
    return tuple(re.split(r"[\s,|]+", _filled(name, value, null_date)))


def _day(name: str, value: Given, null_date: Date) -> str:
    return _date(name, value, null_date)


def _time(name: str, value: Given, null_date: Date) -> str:
    if not isinstance(value, (int, float)):
        return _filled(name, value, null_date)
    minutes = round(value * 1440)
    if not 0 <= value < 1 or abs(minutes - value * 1440) > 1e-6:
        raise Fault(f'{name}: found {_shown(value)}, expected a time of whole minutes such as "15:30"')
    return f"{minutes // 60:02}:{minutes % 60:02}"


def _rates(name: str, value: Given, null_date: Date) -> tuple[tuple[str, str], ...]:
    out = []
    for pair in re.split(r"\s*[,|]\s*", _filled(name, value, null_date)):
        code, equals, rate = pair.partition("=")
        if not equals:
            raise Fault(f'{name}: found "{pair}", expected a currency and its rate such as "EUR=1.0842"')
        out.append((code.strip(), rate.strip()))
    return tuple(out)


_OPTIONS: Mapping[str, Callable[[str, Given, Date], Any]] = {
    # Of the good.
    "quantity": _whole, "value": _filled, "contents": _words, "shape": _filled, "this_side_up": _flag, "rigid": _flag,
    "bare": _flag, "sealed": _flag,
    # Of the way.
    "residential": _flag, "within_days": _whole, "by": _day, "extras": _words, "cover": _filled, "accepts": _words,
    "cash_on_delivery": _filled, "time": _time, "without_tax": _flag, "exchange": _rates, "padding": _filled,
    "fill_weight": _filled, "parcels": _whole,
    # Of the cells.
    "units": _filled, "as_text": _flag, "columns": _filled,
}  # fmt: skip
_GOODS = ("quantity", "value", "contents", "shape", "this_side_up", "rigid", "bare", "sealed")
_LOOSE = ("quantity", "this_side_up", "bare")  # of goods that are not packed yet
_TERMS = ("extras", "cover", "accepts", "time", "padding", "fill_weight")


def _options(given: Given, null_date: Date) -> dict[str, Any]:
    """From a text "residential; value=24.00", cells of such texts, or two columns of names and what they are."""
    given = _one(given)
    pairs: list[tuple[str, Given]] = []
    if isinstance(given, tuple) and len(given[0]) == 2:
        for name, value in given:
            if isinstance(name, str) and not name.strip() or name == 0:
                if not _is_left_out(value):
                    raise Fault(f"options: found {_shown(value)} with no name before it, expected one of {_listed(_OPTIONS)}")
            elif value != "":  # an empty cell: left out
                pairs.append((name if isinstance(name, str) else _number(name), value))
    else:
        if isinstance(given, tuple) and len(given[0]) > 2:
            raise Fault(f"options: found {len(given[0])} columns, expected two, of names and of what they are")
        texts = [cell for row in given for cell in row] if isinstance(given, tuple) else [given]
        for text in texts:
            if _is_left_out(text):
                continue
            if not isinstance(text, str):
                raise Fault(f'options: found {_shown(text)}, expected a text such as "residential; value=24.00"')
            for part in re.split(r"[;\n]", text):
                if part.strip():
                    name, equals, value = part.partition("=")
                    if not equals and name.strip() in _OPTIONS and _OPTIONS[name.strip()] is not _flag:
                        raise Fault(f'options: found {name.strip()} with nothing behind it, expected "{name.strip()}=" and what it is')
                    pairs.append((name, value.strip()))
    out: dict[str, Any] = {}
    for raw, value in pairs:
        name = raw.strip().lower().replace(" ", "_")
        if name not in _OPTIONS:
            near = difflib.get_close_matches(name, _OPTIONS, 1)
            hint = f"was it {near[0]}?" if near else f"expected one of {_listed(_OPTIONS)}"
            raise Fault(f'options: found "{raw.strip()}", ' + (f"which is none; {hint}" if near else hint))
        if name in out:
            raise Fault(f"options: found {name} twice, expected it once")
        out[name] = _OPTIONS[name](name, value, null_date)
    if "by" in out and "within_days" in out:
        raise Fault("options: found by and within_days, expected one of them")
    return out


def _listed(names: Any, word: str = "or") -> str:
    names = list(names)
    return names[0] if len(names) == 1 else ", ".join(names[:-1]) + f" {word} {names[-1]}"


# ---- sentences ----

_ARGUMENT_OF = {"origin": "from", "destination": "to", "lane": "to"}


def _told(error: Exception) -> str:
    """The library's own sentence, which names an argument by the word that the cell's function has for it."""
    text = str(error)
    name, colon, rest = text.partition(": ")
    return f"{_ARGUMENT_OF[name]}: {rest}" if colon and name in _ARGUMENT_OF else text


def _because(ranking: tarewise.Ranking) -> str:
    best = ranking[0]
    net = " without tax" if ranking.totals == "without_tax" else ""
    within = f" in {best.packaging_title or best.packaging}" if best.packaging not in ("own", "estimate") else ""
    foreign = f" {best.tariff_currency}" if best.tariff_currency != ranking.currency else ""
    lines = [f"{charge.amount}{foreign} {charge.title}" + (f" ({charge.why})" if charge.why else "") for charge in best.charges]
    if best.packaging_cost:
        lines.append(f"{best.packaging_cost} packaging")
    said = [f"{best.total} {ranking.currency}{net} by {service_title(best)}{within}: " + ", ".join(lines)]
    if best.tax is not None:
        said.append(f"{best.tax.title} {best.tax.percent} %: {best.tax.amount} {best.tariff_currency}")
    if ranking.estimate:
        said.append("An estimate: there is no packaging in the tables")
    if best.at_risk:
        said.append("At risk: " + ("it may be refused" if best.total_at_risk is None else str(best.total_at_risk)))
    if best.handicap:
        said.append(f"{best.handicap} by the seller's own rules counts in the order, and in no total")
    said += [f"{one.series} lacks a value since {one.since}; the last one was charged" for one in best.overdue]
    other = next((offer for offer in ranking if (offer.carrier, offer.service) != (best.carrier, best.service)), None)
    if other is not None:
        said.append(f"Next service: {other.total} by {service_title(other)}")
    said += [one.text.rstrip(".") for one in ranking.cautions if one.code in best.cautions]
    return ". ".join(said) + "."


def _refused(ranking: tarewise.Ranking) -> str:
    """Not offered, with the kinds of reasons, each with how many ways it refuses and its commonest words."""
    kinds: dict[str, collections.Counter[str]] = {}
    for refusal in ranking.refusals:
        for reason in refusal.reasons:
            kinds.setdefault(reason.code, collections.Counter())[reason.text] += 1
    ordered = sorted(kinds.items(), key=lambda kind: -sum(kind[1].values()))
    parts = []
    for _, texts in ordered[:_SHOWN_REFUSALS]:
        (text, count), *others = texts.most_common()
        more = sum(texts.values()) - count
        parts.append(f"{text} ({count} way{'s' * (count != 1)}" + (f", and {more} of its kind)" if others else ")"))
    rest = f"; and {len(ordered) - _SHOWN_REFUSALS} more kinds" if len(ordered) > _SHOWN_REFUSALS else ""
    return "Nothing can be offered: " + ("; ".join(parts) + rest if parts else "the tables have no service") + "."


# ---- catalogues ----

_NOT_PRICED = "not priced"
_REASON_WORDS = {
    "missing": "found no weight or no side, expected all four",
    "bad_weight": "found a weight of 0 or less, or over 100000 kg, expected one between",
    "bad_side": "found a side of 0 or less, or over 50 m, expected one between",
    "fits_nothing": "it fits no packaging",
    "too_heavy_packed": "packed it is heavier than 100000 kg",
    "offered_nowhere": "nothing can be offered; TW.REASON of its weight and sides tells why",
    "not_everywhere": "nothing can be offered; TW.REASON of its weight and sides tells why",
    "in_order": "priced with the first row of its order",
    "order_not_priced": "another row of its order cannot be priced, so the order is not",
    "not_done": "it was not reached",
}


def _with_units(headers: Sequence[Any], units: tuple[str | None, str | None], currency: str, name: str = "goods") -> list[Any]:
    """The headers, with the units that the options give behind those that have none."""
    out = list(headers)
    if units == (None, None):
        return out
    try:
        matches = sheets.match_headers(headers, currency=currency)
    except TarewiseError as error:
        raise Fault(f"{name}: {error}") from None
    for field, match in matches.items():
        unit = {"weight": units[0], "length": units[1], "width": units[1], "height": units[1]}.get(field)
        if unit is not None and match.unit is None:
            out[match.column] = f"{match.header} ({unit})"
    return out


def _sentence(reason: str) -> str:
    code, _, rest = reason.partition(": ")
    if code == "missing" and rest:
        return f"found nothing under {rest}, expected a weight and three sides"
    return rest or _REASON_WORDS.get(code, code)


def _in_our_order(
    added: Sequence[str], answers: Sequence[Sequence[Any] | None], guessed: Sequence[str], decimals: int | None
) -> tuple[tuple[Union[str, float], ...], ...]:
    """Total, service, packaging, reason, cautions; of a row that is empty nothing. The header of reasons tells what was guessed.
    ``decimals``: totals are texts with so many, or more where there are."""
    total, service, packaging, cautions, reason = (added.index(name) for name in _added_names(added))
    reasons = added[reason] + (f" ({'; '.join(guessed)})" if guessed else "")
    out: list[tuple[Union[str, float], ...]] = [(added[total], added[service], added[packaging], reasons, added[cautions])]
    for row in answers:
        if row is None:
            out.append(("", "", "", "", ""))
            continue
        amount = row[total]
        shown: Union[str, float]
        if amount is not None:
            shown = float(amount) if decimals is None else f"{amount:.{max(decimals, -amount.as_tuple().exponent)}f}"
        else:
            shown = "" if row[reason] == "in_order" else _NOT_PRICED
        texts = [str(row[i] or "") for i in (service, packaging)]
        out.append((shown, *texts, _sentence(row[reason] or ""), ", ".join(str(row[cautions] or "").split()).replace("_", " ")))
    return tuple(out)


def _added_names(added: Sequence[str]) -> tuple[str, ...]:
    money = next(name for name in added if name.startswith("Total ("))
    return money, "Service", "Packaging", "Cautions", "Reason"
