"""The functions of cells in an office without windows: every cell against what the Python package answers.

The office runs in a profile of its own, with the extension that ``build.py`` makes of the package under test. What needs no
office is tested without one. ``TAREWISE_CALC_PICTURE=FILE`` keeps the picture of the demonstration sheet.
"""

from __future__ import annotations

import contextlib
import datetime
import json
import os
import pathlib
import random
import shutil
import signal
import subprocess
import sys
import tempfile
import time
import zipfile
from collections.abc import Iterator
from decimal import Decimal
from typing import Any

import numpy
import pytest
import tarewise

HERE = pathlib.Path(__file__).resolve().parent
ROOT = HERE.parent.parent
DEMO = ROOT / "tables" / "demo"
PLACES = "/usr/bin:/bin"
OFFICE_PYTHON = "/usr/bin/python3"
NULL_DATE = datetime.date(1899, 12, 30)
DATE, FROM, TO = "2026-08-03", "US 05401", "US 98101"

sys.path[:0] = [str(HERE), str(HERE / "extension" / "pythonpath")]
import build  # noqa: E402
import tarewise_cells  # noqa: E402

SITES = list(dict.fromkeys(pathlib.Path(str(package.__file__)).parent.parent for package in (tarewise, numpy)))


def serial(date: str) -> float:
    """The number that a sheet keeps a date as."""
    return float((datetime.date.fromisoformat(date) - NULL_DATE).days)


# ---- an office ----


def why_no_office() -> str | None:
    missing = [tool for tool in ("soffice", "unopkg") if shutil.which(tool, path=PLACES) is None]
    if missing:
        return f"found no {' and no '.join(missing)} in {PLACES}, expected Debian's libreoffice-calc"
    asked = subprocess.run(
        [OFFICE_PYTHON, "-c", "import sys, sysconfig, uno; print(sysconfig.get_config_var('SOABI'))"],
        capture_output=True, text=True, env={"PATH": PLACES},
    )  # fmt: skip
    if asked.returncode != 0:
        return f"{OFFICE_PYTHON} has no uno, expected Debian's python3-uno: {asked.stderr.strip()[-200:]}"
    compiled = pathlib.Path(str(tarewise._core.__file__)).name
    if asked.stdout.strip() not in compiled:
        return (
            f"the office's Python loads {asked.stdout.strip()}, tarewise under test is {compiled}: "
            f"expected a wheel built with PYTHON={OFFICE_PYTHON}"
        )
    return None


class Office:
    """An office with the extension, in a profile of its own; as nobody where root asks, whom its installer refuses."""

    def __init__(self, *, numpy: bool = True) -> None:
        self.home = pathlib.Path(tempfile.mkdtemp(prefix="tarewise-calc-", dir="/tmp"))
        self._driver: subprocess.Popen[str] | None = None
        try:
            build.build(SITES, self.home / "tarewise.oxt", numpy=numpy, level=0)
            shutil.copyfile(HERE / "office.py", self.home / "office.py")
            shutil.copytree(DEMO, self.home / "tables")
            self._user: dict[str, Any] = {}
            if os.getuid() == 0:
                self._user = {"user": 65534, "group": 65534, "extra_groups": []}
                for path in (self.home, *self.home.rglob("*")):
                    os.chown(path, 65534, 65534)
            self._env = {"PATH": PLACES, "HOME": str(self.home), "LC_ALL": "C.UTF-8", "SAL_USE_VCLPLUGIN": "svp"}
            profile = self.home / "profile"
            self._run(["unopkg", "add", f"-env:UserInstallation=file://{profile}", str(self.home / "tarewise.oxt")])
            self._driver = subprocess.Popen(
                [OFFICE_PYTHON, str(self.home / "office.py"), str(profile), self.home.name],
                stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True, cwd=self.home, env=self._env, start_new_session=True,
                **self._user,
            )  # fmt: skip
            self._read()
        except BaseException:
            self.close()
            raise

    def _run(self, command: list[str]) -> None:
        done = subprocess.run(command, capture_output=True, text=True, cwd=self.home, env=self._env, timeout=120, **self._user)
        assert done.returncode == 0, done.stdout + done.stderr

    def _read(self) -> Any:
        assert self._driver is not None and self._driver.stdout is not None
        answer = json.loads(self._driver.stdout.readline() or '{"failed": "the office is gone"}')
        assert "failed" not in answer, answer["failed"]
        return answer["answer"]

    def ask(self, do: str, *given: Any, **also: Any) -> Any:
        assert self._driver is not None and self._driver.stdin is not None
        self._driver.stdin.write(json.dumps({"do": do, "with": given, "also": also}) + "\n")
        self._driver.stdin.flush()
        return self._read()

    def cell(self, formula: str, at: str = "Z1") -> Any:
        self.ask("put", {at: formula})
        return self.ask("get", at)[0][0]

    def to_png(self, sheet: pathlib.Path, out: pathlib.Path, dpi: int) -> None:
        self._run(["pdftoppm", "-png", "-r", str(dpi), "-singlefile", str(sheet), str(out.with_suffix(""))])

    def close(self) -> None:
        if self._driver is not None:
            try:
                self.ask("quit")
                self._driver.wait(30)
            except (AssertionError, OSError, subprocess.TimeoutExpired):
                pass
            finally:
                try:
                    os.killpg(self._driver.pid, signal.SIGKILL)
                except ProcessLookupError:
                    pass
                with contextlib.suppress(OSError), self._driver:  # its pipes
                    pass
        shutil.rmtree(self.home, ignore_errors=True)


NO_OFFICE = why_no_office()
needs_office = pytest.mark.skipif(NO_OFFICE is not None, reason=str(NO_OFFICE))


@pytest.fixture(scope="module")
def office() -> Iterator[Office]:
    one = Office()
    try:
        yield one
    finally:
        one.close()


@pytest.fixture(scope="module")
def tables() -> tarewise.Tables:
    return tarewise.load(DEMO)


def ranked(tables: tarewise.Tables, goods: Any, *, residential: bool | None = None, to: str = TO, **terms: Any) -> tarewise.Ranking:
    given = {"date": DATE, "currency": "USD", **terms}
    return tarewise.rank(tables.ratebook, goods, shelf=tables.shelf, lane=tarewise.Lane(FROM, to, residential=residential), **given)


def call(function: str, *arguments: str) -> str:
    return f"=TW.{function}({';'.join(arguments)})"


def quoted(*texts: str) -> list[str]:
    return ['"' + text.replace('"', '""') + '"' for text in texts]


# ---- without an office ----


def test_one_sentence_in_every_cell_of_a_parcel() -> None:
    cells = tarewise_cells.Cells()
    answer = cells.answer(NULL_DATE, None, "19 oz", "12 x 9 x 4 in", FROM, TO, "2019-01-02", str(DEMO), "USD")
    assert isinstance(answer, tarewise_cells.Answer)
    assert "in force on 2019-01-02" in answer.reason
    assert answer.total == answer.service == answer.packaging
    assert cells.answer(NULL_DATE, None).startswith("weight: found nothing, expected")  # type: ignore[union-attr]


@pytest.mark.parametrize("name", sorted(tarewise_cells._OPTIONS))
def test_each_option_is_told_when_it_is_misspelt_empty_or_twice(name: str) -> None:
    cells = tarewise_cells.Cells()

    def told(options: Any) -> Any:
        return cells.answer(NULL_DATE, None, "19 oz", "12 x 9 x 4 in", FROM, TO, DATE, str(DEMO), "USD", options)

    misspelt = name + "q"
    assert told(misspelt) == f'options: found "{misspelt}", which is none; was it {name}?'
    flag = tarewise_cells._OPTIONS[name] is tarewise_cells._flag
    if not flag:
        assert told(name).startswith(f"options: found {name} with nothing behind it")
        assert "found" in told(f"{name}=") and name in told(f"{name}=")
    right = {"quantity": "2", "within_days": "3", "by": DATE, "time": "15:30", "exchange": "EUR=1.1", "units": "oz", "parcels": "2"}
    twice = f"{name}={right.get(name, 'yes')}"
    assert told(f"{twice};{twice}") == f"options: found {name} twice, expected it once"


def test_a_range_of_options_is_a_text_of_them() -> None:
    pairs = tuple({"residential": True, "value": 24.1, "quantity": 2.0, "time": 0.75, "contents": "media", "": ""}.items())
    text = "residential; value=24.1; quantity=2; time=18:00; contents=media"
    assert tarewise_cells._options(pairs, NULL_DATE) == tarewise_cells._options(text, NULL_DATE)
    assert tarewise_cells._options(tuple((part,) for part in text.split(";")), NULL_DATE) == tarewise_cells._options(text, NULL_DATE)


def test_catalogue_cells_are_what_reprice_and_rank_answer(tables: tarewise.Tables) -> None:
    cells = tarewise_cells.Cells()
    rows = goods(300, 19)

    def priced(table: list[list[Any]], options: str) -> Any:
        return cells.catalogue(NULL_DATE, None, table, 1, FROM, TO, serial(DATE), str(DEMO), "USD", options)

    for numbers, words in zip((priced([HEADERS, *rows], "residential"), priced([HEADERS, *rows], "residential; as_text")), (float, str)):
        for found, (micros, service, packaging, _) in zip(numbers[1:], repriced(tables, rows), strict=True):
            total = Decimal(int(micros)) / 1_000_000
            assert found[0] == ("not priced" if micros < 0 else float(total) if words is float else f"{total.quantize(Decimal('0.01'))}")
            assert found[1:3] == (service or "", packaging or "")
    # Rows of sums and headers that come again have no answer; that and what was guessed is told in the header of reasons.
    bare = [name.replace("Width (in)", "Width") for name in HEADERS]
    kettle = ["Kettle", 19.0, 12.0, 9.0, 4.0, 24.0, ""]
    plain = priced([HEADERS, kettle], "")
    assert plain[0][3] == "Reason" and isinstance(plain[1][0], float)
    mixed = priced([bare, kettle, ["Total", 19.0, "", "", "", 24.0, ""], bare, kettle, ["Total", *kettle[1:]]], "")
    assert mixed[1] == mixed[4] == plain[1]
    assert mixed[2] == mixed[3] == ("",) * 5
    assert mixed[5][::3] == ("not priced", 'found "Total" with a weight and sides, expected a good or a row of sums')
    assert mixed[0][3] == (
        "Reason (rows of sums are left alone: row 3 (by their first word, as is common practice); headers that are repeated are left "
        "alone: row 4; numbers under 'Width' are in in, as the other sides)"
    )
    # Without headers in the range, and with an empty row for them.
    names = "columns=" + ", ".join(HEADERS)
    assert priced([kettle, [""] * 7, kettle], names) == (plain[1], ("",) * 5, plain[1])
    empty = priced([[""] * 7, HEADERS, kettle], "")
    assert {row[3] for row in empty} == {"goods: row 1: found an empty row, expected headers"}
    # Rows of one order are one parcel; what they are is told on the first.
    headers = ["Weight (oz)", "L (in)", "W (in)", "H (in)", "Order"]
    told = priced([headers, [19.0, 12.0, 9.0, 4.0, 7.0], [40.0, 8.0, 6.0, 5.0, ""], [11.0, 7.0, 5.0, 3.0, "7"]], "")
    together = ranked(tables, [tarewise.Item("19 oz", "12 x 9 x 4 in"), tarewise.Item("11 oz", "7 x 5 x 3 in")])[0]
    assert told[1][:4] == (float(together.total), f"{together.carrier}/{together.service}", together.packaging, "")
    assert told[2][0] == float(ranked(tables, tarewise.Item("40 oz", "8 x 6 x 5 in"))[0].total)
    assert told[3][:4] == ("", "", "", "priced with the first row of its order")
    broken = priced([headers, [19.0, 12.0, 9.0, 4.0, 7.0], [0.0, 8.0, 6.0, 5.0, 7.0]], "")
    assert [row[0] for row in broken[1:]] == ["not priced"] * 2
    assert {row[3] for row in broken[1:]} > {"another row of its order cannot be priced, so the order is not"}


ORDER_HEADERS = ["Title", "Weight (oz)", "L (in)", "W (in)", "H (in)", "Qty", "Contents"]
ORDER = [["Board game", 20.0, 10.0, 8.0, 2.0, 3.0, ""], ["Tin", "9 oz", 5.0, 5.0, 5.0, "", ""], ["Atlas", "1 lb 6 oz", 9.2, 6.4, 1.5, 2.0, "media"]]
ITEMS_OF_ORDER = [
    tarewise.Item("20 oz", "10 x 8 x 2 in", quantity=3), tarewise.Item("9 oz", "5 x 5 x 5 in"),
    tarewise.Item("1 lb 6 oz", "9.2 x 6.4 x 1.5 in", quantity=2, contents=["media"]),
]  # fmt: skip


def as_range(rows: list[list[Any]]) -> tuple[tuple[Any, ...], ...]:
    return tuple(map(tuple, rows))


def test_a_range_of_goods_is_one_parcel(tables: tarewise.Tables) -> None:
    cells = tarewise_cells.Cells()

    def asked(rows: list[list[Any]], options: str = "", sides: Any = None) -> Any:
        return cells.answer(NULL_DATE, None, as_range(rows), sides, FROM, TO, DATE, str(DEMO), "USD", options)

    whole = [ORDER_HEADERS, *ORDER]
    for options, terms in (("", {}), ("residential; within_days=3", {"residential": True, "promise": tarewise.Promise.within(3)})):
        best = ranked(tables, ITEMS_OF_ORDER, **terms)[0]
        found = asked(whole, options)
        assert (found.total, found.service, found.packaging) == (float(best.total), f"{best.carrier}/{best.service}", best.packaging)
        assert found.reason.startswith(f"{best.total} USD") and all(str(charge.amount) in found.reason for charge in best.charges)
    assert asked(whole, "as_text").total == str(ranked(tables, ITEMS_OF_ORDER)[0].total)
    # Sums, empty rows, a column of one order, headers in an option, numbers with the option's units, and pounds beside ounces.
    same = asked(whole)
    assert asked([ORDER_HEADERS, *ORDER, [""] * 7, ["Total", 64.0, "", "", "", 6.0, ""]]).total == same.total
    assert asked([[*ORDER_HEADERS, "Order"], *([*row, 7.0] for row in ORDER)]) == same
    assert asked(ORDER, "columns=" + ", ".join(ORDER_HEADERS), 0.0) == same
    bare = [["Weight", "L", "W", "H", "Qty"], [20.0, 10.0, 8.0, 2.0, 3.0], [9.0, 5.0, 5.0, 5.0, 1.0]]
    assert asked(bare, "units=oz in").total == float(ranked(tables, ITEMS_OF_ORDER[:2])[0].total)
    pounds = [["lb", "oz", "L (in)", "W (in)", "H (in)", "Qty"], [1.0, 4.0, 10.0, 8.0, 2.0, 3.0], ["", 9.0, 5.0, 5.0, 5.0, 1.0]]
    assert asked(pounds).total == asked(bare, "units=oz in").total
    assert asked(pounds).reason.endswith(" (the weight is what stands under 'lb' and 'oz', added together)")


def test_an_order_in_several_parcels(tables: tarewise.Tables) -> None:
    cells = tarewise_cells.Cells()

    def asked(weight: Any, sides: Any, options: str) -> Any:
        return cells.answer(NULL_DATE, None, weight, sides, FROM, TO, DATE, str(DEMO), "USD", options)

    rows = [ORDER_HEADERS, ["Dumbbell", "20 lb", 12.0, 9.0, 4.0, 3.0, ""], ["Puzzle", "1 lb", 5.0, 5.0, 5.0, "", ""]]
    goods = [tarewise.Item("20 lb", "12 x 9 x 4 in", quantity=3), tarewise.Item("1 lb", "5 x 5 x 5 in")]
    lane = tarewise.Lane(FROM, TO)
    plans = tarewise.plan(tables.ratebook, goods, parcels=3, shelf=tables.shelf, lane=lane, date=DATE, currency="USD")
    assert plans.best is not None and len(plans.best.parcels) > 1 and plans.single is not None
    found = asked(as_range(rows), None, "parcels=3")
    assert found.total == float(plans.best.total) < asked(as_range(rows), None, "parcels=1").total == float(plans.single)
    assert asked(as_range(rows), None, "").total == float(plans.single)
    offers = [parcel.offer for parcel in plans.best]
    for offer in offers:
        assert f"{offer.carrier}/{offer.service}" in found.service and offer.packaging in found.packaging
        assert f"{offer.total} by " in found.reason
    assert found.reason.startswith(f"{plans.best.total} USD in {len(offers)} parcels: ") and f"In one parcel: {plans.single} USD" in found.reason
    for parcel in plans.best:
        assert "(" + ", ".join(f"{one.units} of row {one.item + 2}" for one in parcel.goods) + ")" in found.reason
    # Of one good in several pieces, too.
    alone = asked("20 lb", "12 x 9 x 4 in", "quantity=3; parcels=3; as_text")
    thrice = tarewise.plan(tables.ratebook, goods[0], parcels=3, shelf=tables.shelf, lane=lane, date=DATE, currency="USD").best
    assert thrice is not None and alone.total == str(thrice.total) and alone.service == "3 x harbourline/brick"
    heavy = asked("200 lb", "12 x 9 x 4 in", "quantity=3; parcels=3")
    assert heavy.total == heavy.service and heavy.reason.startswith("Nothing can be offered: ")
    assert asked("2 lb", "12 x 9 x 4 in", "sealed; parcels=2").startswith("options: found parcels beside sealed")
    assert asked("2 lb", "12 x 9 x 4 in", "parcels=0").startswith("parcels")
    table = cells.catalogue(NULL_DATE, None, rows, 1, FROM, TO, DATE, str(DEMO), "USD", "parcels=2")
    assert str(table[0][0]).startswith("options: found parcels for a whole catalogue")


@pytest.mark.parametrize(
    ("rows", "options", "sides", "sentence"),
    [
        ([ORDER_HEADERS, ORDER[0], ["Tin", "heavy", 5.0, 5.0, 5.0, "", ""]], "", None, 'weight: row 3 of the range: Weight (oz): found "heavy", expected'),
        ([ORDER_HEADERS, ORDER[0], ["Tin", "", 5.0, 5.0, 5.0, "", ""]], "", None, "weight: row 3 of the range: found nothing under Weight (oz)"),
        ([ORDER_HEADERS, ORDER[0], ["Tin", 9.0, 5.0, 5.0, 5.0, 1.5, ""]], "", None, 'weight: row 3 of the range: Qty: found "1.5", expected a whole number'),
        ([ORDER_HEADERS, ["Tin", 9.0, 5.0, 5.0, 5.0, "", "medai"]], "", None, 'weight: row 2 of the range: Contents: found "medai"'),
        ([ORDER_HEADERS], "", None, "weight: row 1 of the range: found no goods below the headers"),
        ([["Tin", 9.0, 5.0]], "", None, "weight: row 1 of the range: found no column for weight"),
        ([ORDER_HEADERS, *ORDER], "quantity=2", None, "options: found quantity for a range of goods, expected a column"),
        ([ORDER_HEADERS, *ORDER], "sealed", None, "options: found sealed for a range of goods, expected a column"),
        ([ORDER_HEADERS, *ORDER], "", "12 x 9 x 4 in", "weight: found 28 cells, and sides beside them, expected one weight"),
        ([["Order", *ORDER_HEADERS[1:]], *ORDER], "", None, 'weight: found "Board game" and "Tin" under \'Order\', expected the goods of one order'),
    ],
)  # fmt: skip
def test_a_range_of_goods_that_cannot_be_read(rows: list[list[Any]], options: str, sides: Any, sentence: str) -> None:
    cells = tarewise_cells.Cells()
    found = cells.answer(NULL_DATE, None, as_range(rows), sides, FROM, TO, DATE, str(DEMO), "USD", options)
    assert isinstance(found, str) and found.startswith(sentence), found


def test_the_extension_is_the_same_bytes_from_folders_and_wheels(tmp_path: pathlib.Path) -> None:
    site, wheel = tmp_path / "site", tmp_path / "tarewise.whl"
    (site / "tarewise").mkdir(parents=True)
    (site / "tarewise" / "tests").mkdir()
    for name in ("__init__.py", "_core.cpython-311-x86_64-linux-gnu.so", "_core.pyi", "tests/test.py"):
        (site / "tarewise" / name).write_text(name)
    (site / "unheard_of").mkdir()
    (site / "unheard_of" / "__init__.py").write_text("")
    with zipfile.ZipFile(wheel, "w") as file:
        for path in sorted(site.rglob("*"), reverse=True):
            if path.is_file():
                file.write(path, path.relative_to(site).as_posix())
    assert build.main([str(site), "--out", str(tmp_path / "a.oxt")]) == 0
    os.utime(site / "tarewise" / "__init__.py", (1, 1))
    assert build.main([str(wheel), "--out", str(tmp_path / "b.oxt")]) == 0
    assert (tmp_path / "a.oxt").read_bytes() == (tmp_path / "b.oxt").read_bytes()
    with zipfile.ZipFile(tmp_path / "a.oxt") as made:
        names = made.namelist()
        assert b'<platform value="linux_x86_64"/>' in made.read("description.xml")
    assert {"META-INF/manifest.xml", "functions.rdb", "CalcAddIns.xcu", "tarewise_calc.py", "pythonpath/tarewise_cells.py"} < set(names)
    packed = ["pythonpath/tarewise/__init__.py", "pythonpath/tarewise/_core.cpython-311-x86_64-linux-gnu.so"]
    assert [name for name in names if name.startswith("pythonpath/") and "cells" not in name] == packed


def test_what_cannot_be_packed_is_told(tmp_path: pathlib.Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert build.main([str(tmp_path), "--out", str(tmp_path / "a.oxt")]) == 2
    assert "expected one compiled module" in capsys.readouterr().err
    (tmp_path / "tarewise").mkdir()
    (tmp_path / "tarewise" / "__init__.py").write_text("")
    (tmp_path / "tarewise" / "_core.cp311-win_amd64.pyd").write_text("")
    assert build.main([str(tmp_path), "--out", str(tmp_path / "a.oxt")]) == 2
    assert "win_amd64.pyd, expected a module of x86_64-linux-gnu" in capsys.readouterr().err
    assert not (tmp_path / "a.oxt").exists()


def test_the_compiled_interface_is_that_of_its_source(tmp_path: pathlib.Path) -> None:
    writer = pathlib.Path("/usr/lib/libreoffice/sdk/bin/unoidl-write")
    if not writer.exists():
        pytest.skip(f"found no {writer}, expected Debian's libreoffice-dev")
    types = ["/usr/lib/libreoffice/program/types.rdb", "/usr/lib/libreoffice/program/types/offapi.rdb"]
    source = HERE / "extension" / "functions.idl"
    subprocess.run([str(writer), *types, str(source), str(tmp_path / "made.rdb")], check=True, env={"PATH": PLACES})
    assert (tmp_path / "made.rdb").read_bytes() == (HERE / "extension" / "functions.rdb").read_bytes()


# ---- one parcel ----

ITEMS: list[tuple[str, dict[str, Any], dict[str, Any]]] = [
    ("", {}, {}),
    ("residential; value=24.00", {"value": "24.00"}, {"residential": True}),
    ("contents=media", {"contents": ["media"]}, {}),
    ("quantity = 3; this_side_up", {"quantity": 3, "this_side_up": True}, {}),
    ("within_days=2", {}, {"promise": tarewise.Promise.within(2)}),
    ("extras=signature; residential=yes", {}, {"extras": ["signature"], "residential": True}),
    ("exchange=EUR=1.0842", {}, {"exchange": {"EUR": "1.0842"}}),
    ("padding=1 in; fill_weight=3 oz; rigid", {"rigid": True}, {"padding": "1 in", "fill_weight": "3 oz"}),
    ("accepts=door point; without_tax", {}, {"accepts": ["door", "point"], "totals": "without_tax"}),
]


@needs_office
@pytest.mark.parametrize("options,of_item,terms", ITEMS)
def test_one_parcel(office: Office, tables: tarewise.Tables, options: str, of_item: Any, terms: Any) -> None:
    office.ask("new")
    goods = [("1 lb 3 oz", "12 x 9 x 4 in"), ("2.5 kg", "30 x 20 x 10 cm"), ("0.4 oz", "6 x 4 x 0.2 in"), ("61 lb", "18 x 14 x 12 in")]
    for row, (weight, sides) in enumerate(goods, 1):
        arguments = [f"A{row}", f"B{row}", *quoted(FROM, TO), "C1", *quoted(str(office.home / "tables"), "USD", options)]
        names = ("TOTAL", "SERVICE", "PACKAGING", "REASON")
        formulas = {f"{column}{row}": call(name, *arguments) for column, name in zip("DEFG", names)}
        office.ask("put", {f"A{row}": weight, f"B{row}": sides, "C1": serial(DATE), **formulas})
    found = office.ask("get", "D1:G4")
    priced = 0
    for (weight, sides), (total, service, packaging, reason) in zip(goods, found):
        best = ranked(tables, tarewise.Item(weight, sides, **of_item), **terms).best
        if best is None:
            assert total == service == packaging == "Nothing can be offered; TW.REASON of the same tells why."
            assert reason.startswith("Nothing can be offered: ")
            continue
        priced += 1
        assert isinstance(total, float) and Decimal(repr(total)) == best.total
        assert (service, packaging) == (f"{best.carrier}/{best.service}", best.packaging)
        assert reason.startswith(f"{best.total} USD")
        for charge in best.charges:
            assert f"{charge.amount}" in reason and charge.title in reason
    assert priced > 0


@needs_office
def test_sealed_numbers_cells_and_texts(office: Office, tables: tarewise.Tables) -> None:
    office.ask("new")
    office.ask("put", {"A1": 19.2, "B1": 12, "C1": 9, "D1": 4.1, "B2": "12 in", "B3": "9 in", "B4": "4.1 in", "F1": "units", "G1": "oz in"})
    office.ask("put", {"F2": "sealed", "G2": "=TRUE()", "F3": "value", "G3": 24.1, "F4": "by", "G4": "", "F5": "time", "G5": 15.5 / 24})
    rest = [*quoted(FROM, TO, DATE, str(office.home / "tables"), "USD")]
    sealed = ranked(tables, tarewise.Parcel("19.2 oz", "12 x 9 x 4.1 in", value="24.1"), time="15:30")[0]
    loose = ranked(tables, tarewise.Item("19.2 oz", "12 x 9 x 4.1 in"))[0]
    assert office.cell(call("TOTAL", "A1", "B1:D1", *rest, "F1:G5")) == float(sealed.total)
    assert office.cell(call("PACKAGING", "A1", "B1:D1", *rest, "F1:G5")) == "own"
    assert office.cell(call("TOTAL", "A1", "B1:D1", *rest, '"units=oz in"')) == float(loose.total)
    assert office.cell(call("TOTAL", '"19.2 oz"', "B2:B4", *rest)) == float(loose.total)
    # A total as a text is the exact decimal, with every digit that the money has.
    assert office.cell(call("TOTAL", "A1", "B1:D1", *rest, '"units=oz in; as_text"')) == str(loose.total)


@needs_office
def test_a_range_of_goods_in_cells(office: Office, tables: tarewise.Tables) -> None:
    office.ask("new")
    for y, row in enumerate([ORDER_HEADERS, *ORDER], 1):
        office.ask("put", {f"{column}{y}": value for column, value in zip("ABCDEFG", row) if value != ""})
    rest = [*quoted(FROM, TO, DATE, str(office.home / "tables"), "USD")]
    best = ranked(tables, ITEMS_OF_ORDER, residential=True)[0]
    wanted = {"TOTAL": float(best.total), "SERVICE": f"{best.carrier}/{best.service}", "PACKAGING": best.packaging}
    for sides in ("", "Y99"):  # left out, and an empty cell
        for name, value in wanted.items():
            assert office.cell(call(name, "A1:G4", sides, *rest, '"residential"')) == value
    assert office.cell(call("REASON", "A1:G4", "", *rest, '"residential"')).startswith(f"{best.total} USD by ")
    plan = tarewise.plan(
        tables.ratebook, ITEMS_OF_ORDER, parcels=2, shelf=tables.shelf, lane=tarewise.Lane(FROM, TO), date=DATE, currency="USD"
    ).best  # fmt: skip
    assert plan is not None and office.cell(call("TOTAL", "A1:G4", "", *rest, '"parcels=2"')) == float(plan.total)
    # Worked out again when a good of it changes.
    office.ask("put", {"Z2": call("TOTAL", "A1:G4", "", *rest)})
    office.ask("put", {"F2": 1})
    fewer = [tarewise.Item("20 oz", "10 x 8 x 2 in"), *ITEMS_OF_ORDER[1:]]
    assert office.ask("get", "Z2")[0][0] == float(ranked(tables, fewer)[0].total) != float(ranked(tables, ITEMS_OF_ORDER)[0].total)
    office.ask("put", {"B3": "heavy"})
    assert office.ask("get", "Z2")[0][0].startswith('weight: row 3 of the range: Weight (oz): found "heavy", expected')


WRONG: list[tuple[dict[str, str], str]] = [
    ({"weight": '"1 lbb"'}, 'weight: found "1 lbb", expected'),
    ({"weight": "19"}, "weight: found the number 19, expected a weight with its unit"),
    ({"weight": "Y99"}, "weight: found an empty cell or 0, expected"),
    ({"sides": '"12 x 9 in"'}, 'sides: found "12 x 9 in", expected three lengths'),
    ({"sides": "Y1:Y2"}, "sides: found 2 cells, expected three sides"),
    ({"from": '"US 5401"'}, 'from: found "5401", expected five digits'),
    ({"to": "98101"}, "to: found the number 98101, expected a country and a postal code"),
    ({"to": '"Seattle"'}, 'to: found "Seattle", expected a country'),
    ({"date": ""}, "date: found nothing, expected a date"),
    ({"date": "Y99"}, "date: found an empty cell or 0, expected a date"),
    ({"date": "46237.5"}, "date: found 2026-08-03 with a time of the day, expected a date alone"),
    ({"date": "20260803"}, "date: found the number 20260803, expected a date"),
    ({"date": '"3 Aug 2026"'}, 'date: found "3 Aug 2026", expected a date'),
    ({"tables": '"/nowhere/at/all"'}, "tables: /nowhere/at/all: error 501: found no such folder"),
    ({"tables": ""}, "tables: found nothing, expected a folder"),
    ({"tables": '"tables"'}, 'tables: found "tables" in a document that is not saved in a folder'),
    ({"currency": '"usd"'}, 'currency: found "usd", expected a currency code'),
    ({"currency": ""}, "currency: found none in the request and several among the tariffs"),
    ({"options": '"residental"'}, 'options: found "residental", which is none; was it residential?'),
    ({"options": '"value=cheap"'}, 'value: found "cheap", expected an amount of money'),
    ({"options": '"residential = maybe, value=3"'}, 'residential: found "maybe, value=3", expected yes or no'),
    ({"options": '"contents=medai"'}, 'contents: found "medai", expected a contents trait'),
    ({"options": '"sealed;quantity=2"'}, "options: found quantity beside sealed, expected"),
]


@needs_office
def test_errors_are_sentences(office: Office) -> None:
    office.ask("new")
    right = {"weight": '"19 oz"', "sides": '"12 x 9 x 4 in"', "from": quoted(FROM)[0], "to": quoted(TO)[0], "date": quoted(DATE)[0],
             "tables": quoted(str(office.home / "tables"))[0], "currency": '"USD"', "options": '""'}  # fmt: skip
    assert isinstance(office.cell(call("TOTAL", *right.values())), float)
    for wrong, sentence in WRONG:
        for name in ("TOTAL", "SERVICE", "PACKAGING", "REASON"):
            found = office.cell(call(name, *{**right, **wrong}.values()))
            assert isinstance(found, str) and found.startswith(sentence), (wrong, found)
    # No number comes of it, either.
    assert office.cell("=1+" + call("TOTAL", *{**right, "date": ""}.values())[1:])["shown"] == "#VALUE!"


@needs_office
def test_recalculation_and_the_day_a_document_counts_from(office: Office, tables: tarewise.Tables) -> None:
    office.ask("new")
    office.ask("put", {"A1": "1 lb", "B1": "=A1", "C1": serial(DATE)})
    formula = call("TOTAL", "B1", '"12 x 9 x 4 in"', *quoted(FROM, TO), "C1", *quoted(str(office.home / "tables"), "USD"))
    assert office.cell(formula, "D1") == float(ranked(tables, tarewise.Item("1 lb", "12 x 9 x 4 in"))[0].total)
    office.ask("put", {"A1": "9 lb"})
    nine = ranked(tables, tarewise.Item("9 lb", "12 x 9 x 4 in"))[0]
    assert office.ask("get", "D1") == [[float(nine.total)]]
    winter = ranked(tables, tarewise.Item("9 lb", "12 x 9 x 4 in"), date="2027-02-01")[0]
    assert winter.total != nine.total
    office.ask("put", {"C1": serial("2027-02-01")})
    assert office.ask("get", "D1") == [[float(winter.total)]]
    office.ask("null_date", 1904, 1, 1)
    office.ask("put", {"C1": float((datetime.date.fromisoformat(DATE) - datetime.date(1904, 1, 1)).days)})
    assert office.ask("get", "D1") == [[float(nine.total)]]


@needs_office
def test_saved_and_loaded(office: Office, tables: tarewise.Tables) -> None:
    office.ask("new")
    office.ask("put", {"A1": "19 oz"})
    one = call("TOTAL", "A1", '"12 x 9 x 4 in"', *quoted(FROM, TO, DATE, "tables", "USD"))  # beside the document
    assert office.cell(one, "B1").startswith('tables: found "tables" in a document that is not saved in a folder')
    office.ask("fill", "A3:D5", [["Weight (oz)", "Length in", "Width in", "Height in"], [19, 12, 9, 4], [40, 8, 6, 5]])
    office.ask("array", "F3:J5", call("CATALOGUE", "A3:D5", *quoted(FROM, TO, DATE, "tables", "USD")))
    path = str(office.home / "goods.ods")
    office.ask("save", path)
    office.ask("recalculate")
    held = office.ask("get", "A1:J5")
    assert held[0][1] == float(ranked(tables, tarewise.Item("19 oz", "12 x 9 x 4 in"))[0].total)
    assert held[3][5] == held[0][1]
    office.ask("save", path)
    office.ask("load", path)
    assert office.ask("get", "A1:J5") == held  # as it was kept
    office.ask("recalculate")
    assert office.ask("get", "A1:J5") == held  # and as it is made again
    office.ask("put", {"A1": "9 lb", "A4": 900})
    again = office.ask("get", "A1:J5")
    assert again[0][1] == float(ranked(tables, tarewise.Item("9 lb", "12 x 9 x 4 in"))[0].total)
    assert again[3][5] == float(ranked(tables, tarewise.Item("900 oz", "12 x 9 x 4 in"))[0].total)
    # In the other common form of a workbook, too, under the name that tells whose function it is.
    office.ask("store", str(office.home / "goods.xlsx"), filter="Calc MS Excel 2007 XML")
    office.ask("load", str(office.home / "goods.xlsx"))
    office.ask("recalculate")
    assert office.ask("get", "A1:J5") == again
    assert "TAREWISE.CALC.FUNCTIONS.TOTAL(" in office.ask("formula", "B1")


@needs_office
def test_tables_that_change_are_read_again(office: Office) -> None:
    office.ask("new")
    folder = office.home / "changing"
    shutil.copytree(DEMO, folder)
    formula = call("TOTAL", *quoted("19 oz", "12 x 9 x 4 in", FROM, TO, DATE, str(folder), "USD"))
    before = office.cell(formula, "A1")

    def recalculate() -> None:
        time.sleep(1.5 * tarewise_cells._LOOKS_EVERY)
        office.ask("recalculate")

    shelf = (folder / "shelf.csv").read_text()
    dearer = shelf.replace(",0.69,", ",0.74,")  # the carton that it goes in
    assert dearer != shelf
    (folder / "shelf.csv").write_text(dearer)
    assert office.ask("get", "A1") == [[before]]  # nothing was asked again
    recalculate()
    assert office.ask("get", "A1") == [[round(before + 0.05, 2)]]
    (folder / "shelf.csv").write_text("code,titl\n")
    recalculate()
    assert "shelf.csv:1:1: error 222" in office.ask("get", "A1")[0][0]  # and not the price of before
    (folder / "shelf.csv").write_text(shelf)
    recalculate()
    assert office.ask("get", "A1") == [[before]]


@needs_office
def test_function_wizard(office: Office) -> None:
    told = office.ask("functions")
    assert sorted(told) == ["TW.CATALOGUE", "TW.PACKAGING", "TW.REASON", "TW.SERVICE", "TW.TOTAL"]
    names = ["weight", "sides", "from", "to", "date", "tables", "currency", "options"]
    for name, (words, arguments) in told.items():
        assert len(words) > 40
        expected = ["goods", *names[2:]] if name == "TW.CATALOGUE" else names
        assert [argument[0] for argument in arguments] == expected
        assert all(len(argument[1]) > 20 for argument in arguments)


# ---- a catalogue ----

HEADERS = ["Title", "Weight (oz)", "Length (in)", "Width (in)", "Height (in)", "Value", "Contents"]


def goods(rows: int, seed: int = 664) -> list[list[Any]]:
    """Invented goods."""
    pick = random.Random(seed)
    kinds = ["", "", "media", "fragile", "lithium_alone"]
    return [
        [f"Good {i}", pick.randint(10, 4000) / 10, *sorted((pick.randint(5, 240) / 10 for _ in range(3)), reverse=True),
         pick.choice(["", pick.randint(1, 9000) / 100]), pick.choice(kinds)]
        for i in range(rows)
    ]  # fmt: skip


def repriced(tables: tarewise.Tables, rows: list[list[Any]], **terms: Any) -> list[tuple[Any, ...]]:
    """By the package, of the numbers themselves."""
    columns: dict[str, Any] = {
        name: numpy.array([row[i] for row in rows], float)
        for i, name in enumerate(("weight_oz", "length_in", "width_in", "height_in"), 1)
    }
    columns["value"] = numpy.array([row[5] or 0 for row in rows], float)
    columns["contents"] = numpy.array([row[6] for row in rows], object)
    lane = tarewise.Lane(FROM, TO, residential=True)
    out = tarewise.reprice(columns, tables.ratebook, shelf=tables.shelf, lanes=lane, date=DATE, currency="USD", **terms)
    return list(zip(out["total_micros"], out["service"], out["packaging"], out["reason"]))


@needs_office
def test_catalogue_of_two_thousand_rows(office: Office, tables: tarewise.Tables, record_property: Any) -> None:
    office.ask("new")
    rows = goods(2000)
    office.ask("fill", "A1:G2001", [HEADERS, *rows])
    arguments = [*quoted(FROM, TO, DATE, str(office.home / "tables"), "USD", "residential")]
    seconds = office.ask("array", "I1:M2001", call("CATALOGUE", "A1:G2001", *arguments))
    record_property("seconds", seconds)
    print(f"2,000 rows in one call: {seconds:.2f} s")
    found = office.ask("get", "I1:M2001")
    assert found[0] == ["Total (USD)", "Service", "Packaging", "Reason", "Cautions"]
    priced = 0
    for cells, (micros, service, packaging, reason) in zip(found[1:], repriced(tables, rows), strict=True):
        if micros >= 0:
            priced += 1
            assert Decimal(repr(cells[0])) * 1_000_000 == int(micros)
            assert cells[1:4] == [service, packaging, ""]
        else:
            assert cells[0] == "not priced" and cells[1:3] == ["", ""] and cells[3] and reason
    assert 1000 < priced < 2000
    assert seconds < 20  # tenths of a second where nothing else runs
    # One row by the functions of one parcel: the same.
    place = next(i for i, row in enumerate(rows) if row[6] == "" and isinstance(found[i + 1][0], float))
    at = place + 2
    alone = call("TOTAL", f"B{at}", f"C{at}:E{at}", *arguments[:-1], f'"units=oz in; residential; value=" & F{at}')
    if rows[place][5] == "":
        alone = call("TOTAL", f"B{at}", f"C{at}:E{at}", *arguments[:-1], '"units=oz in; residential"')
    assert office.cell(alone) == found[place + 1][0]


@needs_office
def test_catalogue_with_mistakes(office: Office, tables: tarewise.Tables) -> None:
    office.ask("new")
    good = ["Kettle", 19, 12, 9, 4, 24, ""]
    rows = [HEADERS, good, [""] * 7, ["No weight", "", 12, 9, 4, "", ""], ["No side", 19, 12, 0, 4, "", ""],
            ["Cheap", 19, 12, 9, 4, "cheap", ""], ["Typed", "1 lb 3 oz", 12, 9, 4, 24, "media"], ["Odd", 19, 12, 9, 4, 24, "medai"],
            ["Heavy", 9000, 12, 9, 4, 24, ""], good]  # fmt: skip
    office.ask("fill", "A1:G10", rows)
    office.ask("put", {"B10": "=NA()", "E2": "=2+2"})
    arguments = [*quoted(FROM, TO, DATE, str(office.home / "tables"), "USD", "residential")]
    office.ask("array", "I1:M10", call("CATALOGUE", "A1:G10", *arguments))
    found = office.ask("get", "I1:M10")
    best = found[1][0]
    assert isinstance(best, float) and found[1][3] == ""
    assert found[2] == [""] * 5
    sentences = [row[3] for row in found[3:]]
    assert sentences[0] == "found nothing under Weight (oz), expected a weight and three sides"
    assert sentences[1].startswith("Width (in): found")
    assert sentences[2].startswith('Value: found "cheap", expected an amount of money')
    assert sentences[3] == "" and isinstance(found[6][0], float)
    assert sentences[4].startswith('Contents: found "medai", expected words of')
    assert sentences[5].startswith("nothing can be offered")
    assert sentences[6] == 'Weight (oz): found "#N/A", expected a weight such as "10.5 oz", "1 lb 3 oz" or "2.5 kg"'
    assert [row[0] for row in found[3:6]] == ["not priced"] * 3
    # A cell that changes, under a formula or not, is priced again.
    office.ask("put", {"B10": "=9+10", "B4": 19, "H1": 2, "E2": "=H1*2"})
    again = office.ask("get", "I1:M10")
    assert again[9][0] == again[3][0] == again[1][0] == best
    office.ask("put", {"H1": 9})
    deeper = office.ask("get", "I2")[0][0]
    assert deeper == float(ranked(tables, tarewise.Item("19 oz", "12 x 9 x 18 in", value="24"), residential=True)[0].total) != best
    office.ask("put", {"H1": 2})
    # Without headers: the options name the columns.
    named = '"residential; columns=Title, Weight (oz), Length (in), Width (in), Height (in), Value, Contents"'
    office.ask("array", "O2:S10", call("CATALOGUE", "A2:G10", *arguments[:-1], named))
    assert office.ask("get", "O2:S10") == again[1:]
    # What is wrong with the whole is said in every row.
    for wrong, sentence in (
        (call("CATALOGUE", "A1:G10", *arguments[:2], "", *arguments[3:]), "date: found nothing, expected a date"),
        (call("CATALOGUE", "A1:G10", *arguments[:3], '"/nowhere"', *arguments[4:]), "tables: /nowhere: error 501"),
        (call("CATALOGUE", "A2:G10", *arguments), "goods: row 2: found no column for weight"),
        (call("CATALOGUE", "A1:G10", *arguments[:-1], '"value=3"'), "options: found value for a whole catalogue"),
    ):
        office.ask("array", "U1:Y9", wrong)
        told = office.ask("get", "U1:Y9")
        assert told[0][0].startswith(sentence)
        assert all(row[3].startswith(sentence) for row in told)
        assert all(row[0] == "not priced" for row in told[1:])


# ---- the demonstration sheet, and its picture ----

SOLD = [
    ("Copper kettle", "2 lb 14 oz", "9 x 9 x 8 in", "US 98101", "residential; value=48.00"),
    ("Poems, two volumes", "1 lb 9 oz", "9 x 6 x 2.5 in", "US 10001", "contents=media"),
    ("Folded wall map", "3.2 oz", "9 x 6 x 0.2 in", "US 60601", "contents=documents; shape=flat"),
    ("Brass lamp", "4.6 kg", "38 x 24 x 22 cm", "US 73301", "residential; within_days=4"),
    ("Chess set", "2 lb 6 oz", "14 x 7 x 3 in", "US 98101", "residential"),
    ("Tin robot", "11 oz", "8 x 5 x 4 in", "US 9810", "residential"),
]
LOT = [
    ("Teacups, six", 41, 10, 8, 5, 30),
    ("Field glasses", 28.5, 9, 7, 4, 55),
    ("Globe", 74, 13, 13, 14, 60),
    ("Wool blanket", 58, 15, 12, 5, 25),
    ("Jigsaw", "1 lb 10 oz", 11, 8, 2.5, 12),
    ("Doorstop", 90, 8, 5, "", 9),
    ("Anvil", 2500, 16, 7, 9, 140),
]


def dress(office: Office) -> None:
    """The sheet: one parcel a row above, a catalogue in one call below."""
    ink, quiet, band, line, entry, wrong = 0x1F2933, 0x5F6B76, 0xE8EEF2, 0xC3CCD4, 0xFFF8E1, 0x9C2F1D
    ask = office.ask
    ask("new")
    ask("save", str(office.home / "sold.ods"))  # the folder of tables lies beside it
    ask("columns", [3700, 2400, 3100, 2300, 2300, 1700, 1900, 2700, 4300, 2600, 9800, 2900])
    ask("format", "A1:L40", CharFontName="DejaVu Sans", CharHeight=9.0, CharColor=ink, VertJustify=2)
    ask("put", {"A1": "Quillmoor Secondhand", "A2": "What it costs to send what was sold. Yellow is typed in; the rest the cells work out.",
                "A4": "From", "B4": FROM, "C4": "Handed over", "D4": serial(DATE), "E4": "Tables", "F4": "tables",
                "G4": "Currency", "H4": "USD"})  # fmt: skip
    ask("format", "A1", CharHeight=16.0, CharWeight=150.0)
    ask("format", "A2", CharColor=quiet)
    for cell in ("A4", "C4", "E4", "G4"):
        ask("format", cell, CharColor=quiet, HoriJustify="RIGHT")
    for cell in ("B4", "D4", "F4", "H4"):
        ask("format", cell, CellBackColor=entry, HoriJustify="LEFT")
    ask("format", "D4", number="YYYY-MM-DD")
    head = ["Sold", "Weight", "Sides", "To", "Options", "", "", "Total", "Service", "Packaging", "Reason"]
    ask("fill", "A6:K6", [head])
    for row, (title, weight, sides, to, options) in enumerate(SOLD, 7):
        arguments = f"B{row};C{row};$B$4;D{row};$D$4;$F$4;$H$4;E{row}"
        ask("put", {f"A{row}": title, f"B{row}": weight, f"C{row}": sides, f"D{row}": to, f"E{row}": options,
                    **{f"{column}{row}": call(name, arguments) for column, name in
                       zip("HIJK", ("TOTAL", "SERVICE", "PACKAGING", "REASON"))}})  # fmt: skip
        ask("format", f"E{row}:G{row}", merge=True)
    last = 6 + len(SOLD)
    ask("format", "E6:G6", merge=True)
    ask("format", f"A7:G{last}", CellBackColor=entry)
    first = last + 3
    end = first + len(LOT)
    ask("fill", f"A{first}:F{first}", [["Lot", "Weight (oz)", "Length (in)", "Width (in)", "Height (in)", "Value"]])
    ask("fill", f"A{first + 1}:F{end}", LOT)
    ask("array", f"H{first}:L{end}", call("CATALOGUE", f"A{first}:F{end}", "$B$4", "$D$7", "$D$4", "$F$4", "$H$4", '"residential"'))
    ask("format", f"A{first + 1}:F{end}", CellBackColor=entry)
    for top, bottom in ((6, last), (first, end)):
        ask("format", f"A{top}:L{top}", CharWeight=150.0, CellBackColor=band)
        ask("format", f"H{top}", HoriJustify="RIGHT")
        ask("format", f"H{top + 1}:H{bottom}", number="0.00", IsTextWrapped=True, HoriJustify="RIGHT", CharWeight=150.0)
        ask("format", f"I{top}:L{bottom}", IsTextWrapped=True, HoriJustify="LEFT", ParaIndent=200)
        ask("format", f"K{top + 1}:L{bottom}", CharHeight=8.0)
        for row in range(top, bottom + 1):
            ask("format", f"A{row}:L{row}", under=line)
    ask("format", f"B{first}:F{end}", HoriJustify="RIGHT")
    ask("format", f"H{last}:K{last}", CharHeight=8.0, CharWeight=100.0, HoriJustify="LEFT", ParaIndent=0, CharColor=wrong)
    ask("format", f"H{end - 1}:K{end}", CharColor=wrong)
    ask("format", f"F{first + 1}:F{end}", number="0.00")
    notes = [f"H7    =TW.TOTAL(B7; C7; $B$4; D7; $D$4; $F$4; $H$4; E7)      and so TW.SERVICE in I, TW.PACKAGING in J, TW.REASON in K",
             f"H{first}:L{end}    {{=TW.CATALOGUE(A{first}:F{end}; $B$4; $D$7; $D$4; $F$4; $H$4; \"residential\")}}      one call, entered with Ctrl+Shift+Enter"]
    for row, note in enumerate(notes, end + 2):
        ask("put", {f"A{row}": note})
        ask("format", f"A{row}", CharFontName="DejaVu Sans Mono", CharHeight=8.0, CharColor=quiet)


@needs_office
def test_demonstration_sheet_and_its_picture(office: Office, tables: tarewise.Tables) -> None:
    dress(office)
    found = office.ask("get", f"H7:K{6 + len(SOLD)}")
    kettle = ranked(tables, tarewise.Item("2 lb 14 oz", "9 x 9 x 8 in", value="48"), residential=True)[0]
    poems = ranked(tables, tarewise.Item("1 lb 9 oz", "9 x 6 x 2.5 in", contents=["media"]), to="US 10001")[0]
    assert [row[0] for row in found[:2]] == [float(kettle.total), float(poems.total)]
    assert found[-1][0].startswith('to: found "9810", expected five digits')
    width, height = 40_900, 20_400
    office.ask("page", width, height)
    sheet, picture = office.home / "sheet.pdf", office.home / "sheet.png"
    office.ask("store", str(sheet), filter="calc_pdf_Export")
    assert sheet.read_bytes().startswith(b"%PDF")
    if shutil.which("pdftoppm", path=PLACES) is None:
        pytest.skip("found no pdftoppm, expected Debian's poppler-utils; the sheet itself is as it should be")
    office.to_png(sheet, picture, 96)
    image = picture.read_bytes()
    columns, rows = (int.from_bytes(image[at : at + 4], "big") for at in (16, 20))
    assert (columns, rows) == pytest.approx((width / 2540 * 96, height / 2540 * 96), abs=2)
    assert 20_000 < len(image)  # something is on it
    if wanted := os.environ.get("TAREWISE_CALC_PICTURE"):
        from PIL import Image

        with Image.open(picture) as full:
            full.convert("P", palette=Image.Palette.ADAPTIVE, colors=48).save(wanted, optimize=True)


# ---- an office without numpy ----


@needs_office
def test_without_numpy() -> None:
    has = subprocess.run([OFFICE_PYTHON, "-c", "import numpy"], capture_output=True, env={"PATH": PLACES}).returncode == 0
    office = Office(numpy=False)
    try:
        office.ask("new")
        found = office.cell(call("TOTAL", *quoted("19 oz", "12 x 9 x 4 in", FROM, TO, DATE, str(office.home / "tables"), "USD")))
        if has:
            assert found == float(ranked(tarewise.load(DEMO), tarewise.Item("19 oz", "12 x 9 x 4 in"))[0].total)
        else:
            assert found.startswith("tarewise: found no numpy in the Python 3.")
            assert "python3-numpy" in found
            office.ask("array", "A1:E3", call("CATALOGUE", "G1:K3", *quoted(FROM, TO, DATE, "x", "USD")))
            assert office.ask("get", "A1")[0][0] == found
    finally:
        office.close()
