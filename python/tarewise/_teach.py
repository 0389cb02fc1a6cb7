"""Calls that name what is wrong with them, and words and signatures for the compiled module.

pybind11 answers a wrong call with every overload and its types. Here the culprit comes first, what was found, and what to
write. A call that is right costs one call of Python more.
"""

from __future__ import annotations

import difflib
import functools
import inspect
import types
from collections.abc import Callable, Mapping
from typing import Any, Final, TypeVar

from tarewise import _core, _display, _docs, _export

_F = TypeVar("_F", bound=Callable[..., Any])

#: What to write for what is missing.
_HINTS: Final[Mapping[str, str]] = {
    "ratebook": "the tariffs, such as tables.ratebook of tables = tarewise.load(folder)",
    "catalogue": "a DataFrame, an Arrow table or a dict of arrays",
    "before": "a tarewise.Repricer of the rates as they were",
    "after": 'a tarewise.Repricer of the rates as they will be, such as before.replace(date="2026-12-01")',
    "repricer": "a tarewise.Repricer with sale=tarewise.SaleColumns(...)",
    "dates": 'days or months, such as ["2026-07", "2026-08"]',
    "economics": 'a tarewise.Economics, such as tarewise.Economics("USD", labour="1.20")',
    "goods": 'what is sent, such as tarewise.Item("1 lb 3 oz", "12 x 9 x 4 in")',
    "lane": 'from where to where, such as lane=tarewise.Lane("US 05401", "US 98101")',
    "date": 'the day of the hand-over, such as date="2026-08-03"',
    "date_before": 'the day for the first ratebook, such as "2026-07-31"',
    "date_after": 'the day for the second ratebook, such as "2026-08-03"',
    "request": "a tarewise.Request",
    "weight": 'text with a unit, such as "1 lb 3 oz"',
    "sides": 'three sides with a unit, such as "12 x 9 x 4 in"',
    "origin": 'where it is handed over, such as "US 05401"',
    "destination": 'where it is to arrive, such as "US 98101"',
    "country": 'two letters such as "US", or a whole place such as "US 05401"',
    "packaging": 'a tarewise.Packaging, or the sides of a room such as "12 x 9 x 6 in"',
    "offer": "an offer of this ranking, such as ranking.best",
    "currency": 'such as "USD"',
    "places": "places with their totals, such as [tarewise.PlaceTotal(ranking.best.total)]",
    "cost": 'what the good costs, such as cost="4.00"',
    "price": 'what it sells at, such as price="24.90"',
    "wanted": 'what is to be left, such as wanted="5.00" or "20 %"',
    "shares": 'places and how often, such as {"US 98101": 3, "US 10001": 1}',
}

#: What is no keyword where it is looked for, and where it is said.
_ELSEWHERE: Final[Mapping[str, str]] = {
    "residential": 'of the lane, such as tarewise.Lane("US 05401", "US 98101", residential=True)',
    **dict.fromkeys(
        ("quantity", "value", "contents", "shape", "bare", "rigid"),
        'of the good, such as tarewise.Item("1 lb 3 oz", "12 x 9 x 4 in", quantity=2), or in a catalogue\'s column',
    ),
}

#: What those classes come from that nobody makes by hand.
_MADE: Final[Mapping[str, str]] = {
    "Charge": "had from Offer.charges",
    "Comparison": "made by compare()",
    "Offer": "had from a Ranking, which rank() makes",
    "Plan": "had from Plans, which plan() makes",
    "PlannedParcel": "had from a Plan, which plan() makes",
    "Plans": "made by plan()",
    "Promise": "made by Promise.within(3), Promise.by(date) or Promise.paid_for(service)",
    "Ranking": "made by rank()",
    "Ratebook": "had from load(), Ratebook.load() or Ratebook.from_documents()",
    "Refusal": "had from Ranking.refusals",
}

#: What is Python's own of the compiled classes.
_ADDED: Final[Mapping[str, Mapping[str, Callable[..., Any]]]] = {
    "Comparison": {
        "_repr_html_": _display.comparison_html,
        "to_dict": _export.to_dict,
        "to_frame": _export.comparison_frame,
    },
    "Offer": {"_repr_html_": _display.offer_html, "to_dict": _export.offer_dict},
    "Plan": {"_repr_html_": _display.plan_html},
    "Plans": {
        "__str__": _display.plans_text,
        "_repr_html_": _display.plans_html,
        "to_dict": _export.to_dict,
        "to_frame": _export.plans_frame,
    },
    "Ranking": {
        "__str__": _display.text,
        "_repr_html_": _display.html,
        "to_dict": _export.to_dict,
        "to_frame": _export.ranking_frame,
    },
    "Ratebook": {"_repr_html_": _display.ratebook_html},
    "Request": {"_repr_html_": _display.request_html},
    "Shelf": {"_repr_html_": _display.shelf_html},
}

_PLAIN: Final[Mapping[str, type]] = {"bool": bool, "str": str, "bytes": bytes, "int": int, "None": types.NoneType}


def careful(function: _F) -> _F:
    """The function, whose wrong calls are told by name."""
    return _wrapped(function, function, function.__qualname__)  # type: ignore[return-value]


def careful_class(cls: type[Any]) -> None:
    """A class of Python's whose wrong calls are told by name."""
    cls.__init__ = _wrapped(cls.__init__, cls.__init__, cls.__name__)


def _wrapped(call: Callable[..., Any], like: Callable[..., Any], name: str) -> Callable[..., Any]:
    shown = name.removesuffix(".__init__")

    @functools.wraps(like)
    def calls(*given: Any, **named: Any) -> Any:
        if getattr(named.get("time"), "tzinfo", None) is not None:
            raise TypeError(f"time: found {named['time']!r}, expected one without a zone: it is that of the place of the hand-over")
        try:
            return call(*given, **named)
        except TypeError as error:
            # Python's own of the call are raised here and no deeper, pybind11's have these words.
            compiled = "incompatible function arguments" in str(error) or "incompatible constructor arguments" in str(error)
            here = error.__traceback__ is not None and error.__traceback__.tb_next is None
            mine = here if isinstance(call, types.FunctionType) else compiled
            told = _told(shown, like, given, named, compiled) if mine else None
            if told is None:
                raise
            raise TypeError(told) from None

    calls.__qualname__ = name
    calls._compiled = call  # type: ignore[attr-defined]  # what pybind11 says of it, for the tests
    return calls


def _told(shown: str, like: Callable[..., Any], given: tuple[Any, ...], named: Mapping[str, Any], compiled: bool) -> str | None:
    """What is wrong with a call, the culprit first; None where nothing of it is."""
    parameters = dict(inspect.signature(like).parameters)
    if next(iter(parameters), None) == "self":
        del parameters["self"]
        given = given[1:]
    by_place = [p for p in parameters.values() if p.kind in (p.POSITIONAL_ONLY, p.POSITIONAL_OR_KEYWORD)]
    by_name = {name: p for name, p in parameters.items() if p.kind in (p.KEYWORD_ONLY, p.POSITIONAL_OR_KEYWORD)}
    for name in named:
        if name in by_name:
            continue
        near = difflib.get_close_matches(name, by_name, n=1)
        if near and name not in _ELSEWHERE:
            return f"{shown}() has no keyword {name!r}; did you mean {near[0]!r}?"
        if name in parameters:
            return f"{shown}() takes {name!r} by its place, without the name"
        elsewhere = difflib.get_close_matches(name, _ELSEWHERE, n=1)
        if elsewhere:
            return f"{shown}() has no keyword {name!r}; {elsewhere[0]!r} is said {_ELSEWHERE[elsewhere[0]]}"
        return f"{shown}() has no keyword {name!r}; it has " + (", ".join(by_name) or "none")
    if len(given) > len(by_place):
        rest = sorted((p for p in parameters.values() if p.kind is p.KEYWORD_ONLY), key=lambda p: p.default is not p.empty)
        hint = f"; name the others, such as {rest[0].name}=..." if rest else ""
        places = ", ".join(p.name for p in by_place) or "none"
        return f"{shown}() takes {len(by_place)} arguments by place ({places}), found {len(given)}{hint}"
    filled = [p.name for p in by_place[: len(given)]]
    twice = [name for name in filled if name in named]
    if twice:
        return f"{shown}(): {twice[0]!r} is given twice, by its place and by its name"
    needed = [p.name for p in parameters.values() if p.default is p.empty and p.kind not in (p.VAR_POSITIONAL, p.VAR_KEYWORD)]
    missing = [name for name in needed if name not in filled and name not in named]
    if missing:
        hints = {**_HINTS, "date": 'a day, such as "2026-08-07"'} if shown.startswith("Promise") else _HINTS
        words = [f"{name!r} is missing" + (f": {hints[name]}" if name in hints else "") for name in missing]
        return f"{shown}(): " + "; ".join(words)
    if not compiled:
        return None
    for name, value in [*zip(filled, given), *named.items()]:
        expected = _expected(str(parameters[name].annotation), value)
        if expected is not None:
            found = value.__name__ if isinstance(value, type) else type(value).__name__
            return f"{shown}(): {name}: found {found}, expected {expected}"
    return f"{shown}(): found arguments of other kinds, expected {inspect.signature(like)}"


def _expected(annotation: str, value: object) -> str | None:
    """What was expected of a value that is nothing of it; None where it may be right."""
    if annotation.startswith("Literal["):
        return None if isinstance(value, str) else f"one of {annotation[8:-1]}"
    kinds = []
    for word in annotation.split(" | "):
        kind = _PLAIN.get(word) or getattr(_core, word, None)
        if not isinstance(kind, type):
            return None
        if isinstance(value, kind) and not (kind is int and isinstance(value, bool)):
            return None
        kinds.append("True or False" if kind is bool else word)
    return " or ".join(kinds)


def _not_made(cls: type[Any], how: str) -> Callable[..., None]:
    name = cls.__name__

    def __init__(self: object, *given: object, **named: object) -> None:
        raise TypeError(f"{name} is not made by hand: it is {how}")

    __init__.__signature__ = inspect.Signature(  # type: ignore[attr-defined]
        [inspect.Parameter("self", inspect.Parameter.POSITIONAL_ONLY)]
    )
    return __init__


def _shower(name: str, show: Callable[..., str]) -> Callable[..., str]:
    def shown(self: object) -> str:
        return show(self)

    shown.__name__ = shown.__qualname__ = name
    shown.__doc__ = show.__doc__
    return shown


def _teach_class(cls: type[Any], prototype: type[Any]) -> None:
    name = cls.__name__
    for member, added in _ADDED.get(name, {}).items():
        setattr(cls, member, _shower(member, added) if member.startswith("_") else added)
    cls.__doc__ = prototype.__doc__
    for word, doc in _docs.PROPERTIES[name].items():
        vars(cls)[word].__doc__ = doc
    for member, like in vars(prototype).items():
        if isinstance(like, staticmethod):
            call = _wrapped(getattr(cls, member), like.__func__, f"{name}.{member}")
            call.__module__ = "tarewise"
            setattr(cls, member, staticmethod(call))
        elif isinstance(like, types.FunctionType):
            call = _wrapped(getattr(cls, member), like, f"{name}.{member}")
            call.__module__ = "tarewise"
            setattr(cls, member, call)
    if name in _MADE:
        cls.__init__ = _not_made(cls, _MADE[name])


def _teach_compiled() -> None:
    for name, prototype in vars(_docs).items():
        if isinstance(prototype, types.FunctionType) and prototype.__module__ == _docs.__name__:
            call = _wrapped(getattr(_core, name), prototype, name)
            call.__module__ = "tarewise"
            setattr(_core, name, call)
        elif isinstance(prototype, type) and prototype.__module__ == _docs.__name__:
            _teach_class(getattr(_core, name), prototype)


def teach_fields(values: Mapping[str, object]) -> None:
    """The words of the fields of named tuples."""
    for name, fields in _docs.FIELDS.items():
        for field, doc in fields.items():
            getattr(values[name], field).__doc__ = doc


_teach_compiled()
