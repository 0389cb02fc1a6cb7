"""What ``help()`` says: words, fields, examples and signatures of every public name, and calls that are wrong on purpose."""

from __future__ import annotations

import ast
import contextlib
import dataclasses
import datetime
import doctest
import inspect
import io
import pathlib
import pydoc
import re
from collections.abc import Iterator
from typing import Any

import numpy as np
import pytest

import tarewise as tw
from tarewise import _core, _docs

STUB = pathlib.Path(tw.__file__).with_name("_core.pyi")
PROTOTYPES = pathlib.Path(_docs.__file__)


def callables(cls: type[Any]) -> Iterator[tuple[str, Any]]:
    """The public methods that a class has of itself."""
    for name, member in vars(cls).items():
        if not name.startswith("_") and (callable(member) or isinstance(member, (staticmethod, classmethod))):
            yield name, getattr(cls, name)


def documented() -> Iterator[tuple[str, Any]]:
    """(name, object) of whatever must have words of its own and an example."""
    yield "tarewise", tw
    for name in tw.__all__:
        what = getattr(tw, name)
        if name == "__version__":
            continue
        yield name, what
        # Exceptions have no methods but Python's.
        if inspect.isclass(what) and not issubclass(what, BaseException):
            for member, method in callables(what):
                if not (issubclass(what, tuple) or issubclass(what, dict)):
                    yield f"{name}.{member}", method


NAMES = dict(documented())


def words(what: Any) -> str:
    return what.__doc__ or ""


@pytest.mark.parametrize("name", NAMES)
def test_every_name_has_words_and_an_example(name: str) -> None:
    doc = words(NAMES[name])
    first = doc.strip().splitlines()[0]
    assert len(first) > 15 and not re.match(r"\w+\(.*\) -> ", first), first
    assert ">>>" in doc
    assert "pybind" not in doc and "Overloaded" not in doc


@pytest.mark.parametrize("name", NAMES)
def test_examples_are_true(name: str, root: pathlib.Path, monkeypatch: pytest.MonkeyPatch, examples: dict[str, Any]) -> None:
    monkeypatch.chdir(root)
    test = doctest.DocTestParser().get_doctest(words(NAMES[name]), dict(examples), name, name, 0)
    assert test.examples
    told: list[str] = []
    failed, _ = doctest.DocTestRunner(optionflags=doctest.ELLIPSIS).run(test, out=told.append)
    assert not failed, "".join(told)


@pytest.fixture(scope="module")
def examples(root: pathlib.Path, book: tw.Ratebook, shelf: tw.Shelf, lane: tw.Lane) -> dict[str, Any]:
    """What the example of ``help(tarewise)`` has made at its end."""
    item = tw.Item("1 lb 3 oz", "12 x 9 x 4 in", value="24.00")
    asked: dict[str, Any] = {"shelf": shelf, "lane": lane, "date": "2026-08-03", "currency": "USD"}
    made: dict[str, Any] = {
        "tw": tw,
        "np": np,
        "datetime": datetime,
        "tables": tw.load(root / "tables" / "demo"),
        "item": item,
        "lane": lane,
        "asked": asked,
        "ranking": tw.rank(book, item, **asked),
        "plans": tw.plan(book, item, parcels=2, **asked),
    }
    # The examples of what these give go on from theirs.
    for function in (tw.compare_catalogue, tw.losers):
        source = "".join(example.source for example in doctest.DocTestParser().get_examples(words(function)))
        with contextlib.redirect_stdout(io.StringIO()):
            exec(compile(source, f"help({function.__name__})", "exec"), made)
    return made


def test_every_property_and_field_has_words() -> None:
    for name in tw.__all__:
        cls = getattr(tw, name)
        if not inspect.isclass(cls):
            continue
        for member, what in vars(cls).items():
            if not member.startswith("_") and isinstance(what, property):
                assert what.__doc__ and re.match(r'[A-Z"]', what.__doc__), (name, member)
        for field in getattr(cls, "_fields", ()):
            doc = getattr(cls, field).__doc__
            assert doc and "Alias for field" not in doc, (name, field)
        if dataclasses.is_dataclass(cls):
            for one in dataclasses.fields(cls):
                assert re.search(rf"\b{one.name}\b", cls.__doc__ or ""), (name, one.name)
        if issubclass(cls, dict):
            for key in cls.__annotations__:
                assert re.search(rf"\b{key}\b", cls.__doc__ or ""), (name, key)


@pytest.mark.parametrize("name", [name for name in NAMES if callable(NAMES[name])])
def test_signatures_can_be_had(name: str) -> None:
    what = NAMES[name]
    if inspect.isclass(what) and issubclass(what, (BaseException, dict)):
        return
    signature = inspect.signature(what)
    assert not any(p.kind is p.VAR_KEYWORD or p.name.startswith("arg") for p in signature.parameters.values()), signature
    shown = pydoc.render_doc(what, renderer=pydoc.plaintext)
    assert "self: tarewise._core" not in shown and "instancemethod" not in shown


class _Written(ast.NodeTransformer):
    """Aliases of the stub written out."""

    def __init__(self, aliases: dict[str, ast.expr]) -> None:
        self.aliases = aliases

    def visit_Name(self, node: ast.Name) -> ast.expr:
        return self.visit(self.aliases[node.id]) if node.id in self.aliases else node


def signatures(path: pathlib.Path) -> dict[str, str]:
    """The arguments of every function and method, with kinds, defaults and written-out types."""
    tree = ast.parse(path.read_text(encoding="utf-8"))
    aliases = {
        node.target.id: node.value
        for node in tree.body
        if isinstance(node, ast.AnnAssign) and isinstance(node.target, ast.Name) and node.value and node.target.id.startswith("_")
    }
    out = {}
    for node in tree.body:
        inner = node.body if isinstance(node, ast.ClassDef) else [node]
        for function in inner:
            if not isinstance(function, ast.FunctionDef) or any(getattr(d, "id", "") == "property" for d in function.decorator_list):
                continue
            name = f"{node.name}.{function.name}" if isinstance(node, ast.ClassDef) else function.name
            written = _Written(aliases).visit(function)
            out[name] = f"({ast.unparse(written.args)}) -> {ast.unparse(written.returns)}"
    return out


def test_prototypes_have_the_signatures_of_the_stub() -> None:
    stub, prototypes = signatures(STUB), signatures(PROTOTYPES)
    assert len(prototypes) > 50
    for name, signature in prototypes.items():
        assert ast.dump(ast.parse(f"def f{signature}: ...")) == ast.dump(ast.parse(f"def f{stub[name]}: ...")), name
    public = {name for name in stub if name.split(".")[0] in tw.__all__ and "._" not in name.replace(".__init__", "")}
    assert public - {"Repricer", *(name for name in public if name.startswith("Repricer."))} <= set(prototypes)


def test_prototypes_have_the_arguments_of_the_compiled_module() -> None:
    """As pybind11 tells them of a wrong call: names, kinds and defaults."""
    compared = 0
    for name in signatures(PROTOTYPES):
        what: Any = _core
        for part in name.split("."):
            what = getattr(what, part)
        compiled = what._compiled
        if inspect.isfunction(compiled):
            continue  # Python's own: to_dict, to_frame
        with pytest.raises(TypeError) as caught:
            if name.endswith(".__init__"):
                cls = getattr(_core, name.split(".")[0])
                compiled(cls.__new__(cls), no_such_keyword=0)
            else:
                compiled(no_such_keyword=0)
        line = re.search(r"^    1\. (?:[\w.]*)(\(.*)", str(caught.value), re.M)
        assert line, (name, str(caught.value))
        given = ast.parse(f"def f{line[1].rpartition(' -> ')[0] or line[1]}: ...").body[0]
        assert isinstance(given, ast.FunctionDef)
        found = inspect.signature(what)
        # Of a constructor pybind11 does not name itself.
        wanted = [arg.arg for arg in given.args.posonlyargs + given.args.args + given.args.kwonlyargs]
        assert [word for word in found.parameters if word != "self"] == [word for word in wanted if word != "self"], name
        kinds = [p.name for p in found.parameters.values() if p.kind is p.KEYWORD_ONLY]
        assert kinds == [arg.arg for arg in given.args.kwonlyargs], name
        defaults = [*given.args.defaults, *(one for one in given.args.kw_defaults if one is not None)]
        assert [p.default for p in found.parameters.values() if p.default is not p.empty] == [
            ast.literal_eval(one) for one in defaults
        ], name
        compared += 1
    assert compared > 40


def test_replace_has_the_arguments_of_a_repricer() -> None:
    made, replaced = (inspect.signature(what).parameters for what in (tw.Repricer, tw.Repricer.replace))
    given = [(one.name, one.annotation) for one in made.values()]
    assert given == [(one.name, one.annotation) for one in list(replaced.values())[1:]]
    assert {str(one.default) for one in list(replaced.values())[1:]} == {"<as it is>"}


# ---- wrong calls ----

LANE = tw.Lane("US 05401", "US 98101")
ITEM = tw.Item("1 lb", "9 x 6 x 3 in")
DATE = "2026-08-03"


def repricer(book: tw.Ratebook) -> tw.Repricer:
    return tw.Repricer(book, lanes=LANE, date=DATE, currency="USD")


@pytest.mark.parametrize(
    ("call", "told"),
    [
        (lambda b: tw.rank(b, ITEM, lane=LANE, date=DATE, curency="USD"), "rank() has no keyword 'curency'; did you mean 'currency'?"),
        # A misspelt keyword comes before what it leaves out.
        (lambda b: tw.rank(b, ITEM, lane=LANE, dat=DATE), "rank() has no keyword 'dat'; did you mean 'date'?"),
        (lambda b: tw.rank(b, ITEM, lane=LANE), "rank(): 'date' is missing: the day of the hand-over, such as date=\"2026-08-03\""),
        (lambda b: tw.rank(b, ITEM, date=DATE), "rank(): 'lane' is missing: from where to where"),
        (lambda b: tw.rank(b, ITEM, LANE, date=DATE), "rank() takes 2 arguments by place (ratebook, goods), found 3; name the others"),
        (lambda b: tw.rank(b, ITEM, goods=ITEM, lane=LANE, date=DATE), "rank(): 'goods' is given twice"),
        (lambda b: tw.rank(b, ITEM, lane=LANE, date=DATE, thresholds="no"), "rank(): thresholds: found str, expected True or False"),
        (lambda b: tw.rank_request(b, ITEM), "rank_request(): request: found Item, expected Request"),
        (lambda b: tw.Request(ITEM, lane=LANE), "Request(): 'date' is missing: the day of the hand-over"),
        (lambda b: tw.Item("1 lb", side="9 x 6 x 3 in"), "Item() has no keyword 'side'; did you mean 'sides'?"),
        (lambda b: tw.Item("1 lb", "9 x 6 x 3 in", rigid="yes"), "Item(): rigid: found str, expected True or False"),
        (lambda b: tw.Weight(), "Weight(): 'value' is missing"),
        (lambda b: tw.Weight("1 lb").to(unit="oz"), "Weight.to() takes 'unit' by its place, without the name"),
        (lambda b: tw.Weight("1 lb").to(5), "Weight.to(): unit: found int, expected one of 'lb', 'oz'"),
        (lambda b: tw.Promise.by(), "Promise.by(): 'date' is missing: a day"),
        (lambda b: tw.Ranking(), "Ranking is not made by hand: it is made by rank()"),
        (lambda b: tw.Promise(3), "Promise is not made by hand: it is made by Promise.within(3)"),
        (lambda b: tw.compare(b, DATE, b), "compare(): 'date_after' is missing"),
        (lambda b: tw.plan(b, ITEM, lane=LANE), "plan(): 'date' is missing: the day of the hand-over"),
        (lambda b: tw.plan(b, ITEM, lane=LANE, date=DATE, parcel=2), "plan() has no keyword 'parcel'; did you mean 'parcels'?"),
        (lambda b: tw.reprice({}, b, lanes=LANE), "reprice(): 'date' is missing: the day of the hand-over"),
        (lambda b: tw.reprice({}, b, lane=LANE, date=DATE), "reprice() has no keyword 'lane'; did you mean 'lanes'?"),
        (lambda b: tw.Repricer(b, lanes=LANE), "Repricer(): 'date' is missing: the day of the hand-over"),
        (lambda b: tw.Mix("US 05401"), "Mix(): 'shares' is missing: places and how often"),
        (lambda b: tw.load(), "load(): 'source' is missing"),
        (lambda b: tw.Packaging("box", "carton", insides="9 x 6 x 3 in"), "Packaging() has no keyword 'insides'; did you mean 'inside'?"),
        (lambda b: tw.Economics("USD").profit([], price="2"), "Economics.profit(): 'cost' is missing"),
        (lambda b: tw.compare(b, DATE, b, DATE).to_frame(total="float"), "Comparison.to_frame() has no keyword 'total'; did you mean"),
        (lambda b: tw.compare_catalogue({}, before=b, aftr=b), "compare_catalogue() has no keyword 'aftr'; did you mean 'after'?"),
        (lambda b: tw.compare_catalogue({}, b), "compare_catalogue(): 'after' is missing: a tarewise.Repricer of the rates as they will"),
        (lambda b: tw.compare_catalogue({}, b, b), "before: found Ratebook, expected a Repricer"),
        (lambda b: tw.losers({}, b, date=DATE), "losers() has no keyword 'date'; did you mean 'dates'?"),
        (lambda b: tw.losers({}, b), "losers(): 'dates' is missing: days or months, such as"),
        (lambda b: tw.demo("all"), "demo() takes 0 arguments by place (none), found 1"),
        (lambda b: tw.demo(folder="all"), "demo() has no keyword 'folder'; it has none"),
        (lambda b: repricer(b).replace(dat=DATE), "Repricer.replace() has no keyword 'dat'; did you mean 'date'?"),
        (lambda b: repricer(b).replace(DATE), "Repricer.replace() takes 0 arguments by place (none), found 1; name the others, such as"),
        (lambda b: tw.SaleColumns(tw.Economics("USD"), prise="price"), "SaleColumns() has no keyword 'prise'; did you mean 'price'?"),
        (lambda b: tw.SaleColumns(price="price"), "SaleColumns(): 'economics' is missing: a tarewise.Economics"),
        (lambda b: tw.SaleColumns("USD", price="price", wanted=5), "economics: found 'USD', expected an Economics"),
    ],
)
def test_wrong_calls_name_the_culprit_first(book: tw.Ratebook, call: Any, told: str) -> None:
    with pytest.raises(TypeError) as caught:
        call(book)
    message = str(caught.value)
    assert told in message and "overload" not in message and "incompatible" not in message
    assert message.index(told) < 20


def test_errors_from_within_are_left_as_they_are(book: tw.Ratebook) -> None:
    with pytest.raises(TypeError, match="value: found float 24.5"):
        tw.Item("1 lb", "9 x 6 x 3 in", value=24.5)  # type: ignore[arg-type]
    with pytest.raises(TypeError, match="found both lanes and a mix"):
        tw.Repricer(book, date=DATE)
    with pytest.raises(TypeError, match="^ratebook: found Tables, expected a Ratebook, such as its ratebook$"):
        tw.rank(tw.Tables(book, None, ()), ITEM, lane=LANE, date=DATE)  # type: ignore[arg-type]
    with pytest.raises(TypeError, match="^packaging: found Packaging, expected several Packaging"):
        tw.Shelf(tw.Packaging("box", "carton", inside="9 x 6 x 3 in"))  # type: ignore[arg-type]
    with pytest.raises(TypeError, match="^fees: found Fee"):
        tw.Economics("USD", fees=tw.Fee("selling", "11.4"))  # type: ignore[arg-type]
    with pytest.raises(tw.QuantityError, match="date: found"):
        tw.rank(book, ITEM, lane=LANE, date="3 August")


def test_every_text_of_a_catalogue_is_read_with_the_decimal_mark_that_was_said(book: tw.Ratebook, shelf: tw.Shelf) -> None:
    """In sales and comparisons as in weights and sides: as the numbers themselves."""
    numbers = {"weight_kg": 0.54, "length_cm": 30.5, "width_cm": 23.0, "height_cm": 10.0, "price": 1032.5, "cost": 8.25, "monthly": 2.5}
    typed = {name: np.array([f"{number:,}".translate(str.maketrans(",.", ".,"))], object) for name, number in numbers.items()}
    assert typed["price"][0] == "1.032,5"
    sale = tw.SaleColumns(tw.Economics("USD"), price="price", cost="cost")
    plain = tw.Repricer(book, lanes=LANE, shelf=shelf, date="2026-07-11", currency="USD", sale=sale)
    said = plain.replace(decimal=",")
    exact = {name: np.array([number]) for name, number in numbers.items()}
    assert said(typed)["profit_micros"] == plain(exact)["profit_micros"] > 1_000_000_000
    later = {"date": "2026-07-12"}
    compared = [
        tw.compare_catalogue(table, one, one.replace(**later), monthly="monthly") for table, one in ((exact, plain), (typed, said))
    ]
    assert compared[0].to_dict() == compared[1].to_dict()
    assert compared[0].change.month_parcels == 2.5 and compared[0].change.month_before != compared[0].change.month_after
    assert compared[0].rows["after_profit_micros"] == compared[1].rows["after_profit_micros"]
    lost = [tw.losers(table, one, [DATE]).rows[f"profit_{DATE}_micros"] for table, one in ((exact, plain), (typed, said))]
    assert lost[0] == lost[1] > 1_000_000_000
    with pytest.raises(tw.QuantityError, match="^decimal: found different ones before and after, expected the same"):
        tw.compare_catalogue(exact, plain, said)
