"""The type stubs against the compiled module: the same names, the same arguments. mypy's stubtest looks at the rest."""

from __future__ import annotations

import ast
import inspect
import pathlib
import re
from typing import Any

import tarewise
from tarewise import _core

STUB = pathlib.Path(tarewise.__file__).with_name("_core.pyi")
# What every class has, or Python makes of what a class has.
COMMON = frozenset({"__init__", "__getstate__", "__setstate__", "__eq__", "__repr__", "__str__", "__reduce__", "__hash__"})


def stub() -> ast.Module:
    return ast.parse(STUB.read_text(encoding="utf-8"))


def arguments_of(function: ast.FunctionDef) -> list[str]:
    """Names, with a star before those that only go by name; what a caller never names is left out."""
    given = function.args
    plain = [arg.arg for arg in given.args if arg.arg != "self"]
    return plain + [f"*{arg.arg}" for arg in given.kwonlyargs]


def runtime_arguments(what: Any) -> list[str]:
    """As ``inspect.signature`` tells them, in the same form."""
    parameters = [p for p in inspect.signature(what).parameters.values() if p.name != "self"]
    plain = [p.name for p in parameters if p.kind is p.POSITIONAL_OR_KEYWORD]
    return plain + [f"*{p.name}" for p in parameters if p.kind is p.KEYWORD_ONLY]


def members(body: list[ast.stmt]) -> dict[str, ast.stmt]:
    out: dict[str, ast.stmt] = {}
    for node in body:
        if isinstance(node, (ast.FunctionDef, ast.ClassDef)):
            out[node.name] = node
        elif isinstance(node, ast.AnnAssign) and isinstance(node.target, ast.Name) and not node.target.id.startswith("_N"):
            out[node.target.id] = node
    return {name: node for name, node in out.items() if not re.match(r"_[A-Z]", name)}


def public(names: list[str]) -> set[str]:
    return {name for name in names if not name.startswith("_")}


def test_the_stub_names_what_there_is() -> None:
    stubbed = members(stub().body)
    assert public(list(stubbed)) == public(dir(_core))
    assert "__version__" in stubbed


def test_classes_have_the_same_members() -> None:
    for name, node in members(stub().body).items():
        if not isinstance(node, ast.ClassDef):
            continue
        cls = getattr(_core, name)
        stubbed = members(node.body)
        assert public(list(stubbed)) == public(dir(cls)), name
        own = {member for member in vars(cls) if member.startswith("__") and callable(getattr(cls, member))}
        own |= {member for member in stubbed if member.startswith("__")}
        for member in own - COMMON:
            if member in ("__new__", "__class__") or member.startswith("__pybind11"):
                continue
            assert hasattr(cls, member) and member in stubbed, (name, member)
        for member, inner in stubbed.items():
            is_property = any(getattr(d, "id", "") == "property" for d in getattr(inner, "decorator_list", []))
            assert isinstance(inspect.getattr_static(cls, member), property) == is_property, (name, member)


def test_functions_take_the_same_arguments() -> None:
    compared = 0
    for name, node in members(stub().body).items():
        if isinstance(node, ast.FunctionDef):
            # What only the package itself calls has no words and no signature.
            if name in tarewise.__all__:
                assert arguments_of(node) == runtime_arguments(getattr(_core, name)), name
                compared += 1
        elif isinstance(node, ast.ClassDef) and name in tarewise.__all__ and name != "Repricer":
            for inner in node.body:
                if not isinstance(inner, ast.FunctionDef) or inner.name.startswith("_") and inner.name != "__init__":
                    continue
                what = getattr(getattr(_core, name), inner.name)
                if not isinstance(what, property):
                    assert arguments_of(inner) == runtime_arguments(what), (name, inner.name)
                    compared += 1
    assert compared > 50


def test_everything_public_is_there() -> None:
    assert sorted(tarewise.__all__) == list(tarewise.__all__)
    for name in tarewise.__all__:
        what = getattr(tarewise, name)
        if inspect.isclass(what) and what.__module__ == "tarewise":
            assert pathlib.Path(tarewise.__file__).with_name("py.typed").exists()
    assert tarewise.__version__ == _core.__version__
