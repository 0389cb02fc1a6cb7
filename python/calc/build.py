#!/usr/bin/env python3
"""Packs the extension of functions for a spreadsheet's cells: one file, ``tarewise.oxt``, with the package inside.

    python3 python/calc/build.py SITE... --out tarewise.oxt

A SITE is a wheel, or a folder that packages are installed or unpacked in. One must hold ``tarewise`` with its compiled module;
``numpy`` is packed where one holds it, and else the office's Python must have it. The same SITEs make the same bytes.
"""

from __future__ import annotations

import argparse
import pathlib
import re
import sys
import zipfile
from collections.abc import Iterator

HERE = pathlib.Path(__file__).resolve().parent
# What no cell asks for: tests and what compiles against numpy; what type checkers read; caches.
_LEFT_OUT = re.compile(
    r"(^|/)(__pycache__|tests|_pyinstaller|include|f2py|distutils)/|\.(pyi|pyc|pyx|pxd|h|a|lib|typed)$"
    r"|^numpy/(random/_examples|_core/lib|core/lib|doc|typing/mypy_plugin\.py)"
)
_PACKAGES = ("tarewise", "numpy")
_PLATFORMS = {"x86_64-linux-gnu": "linux_x86_64", "aarch64-linux-gnu": "linux_aarch64"}
_TIME = (1980, 1, 1, 0, 0, 0)


class BuildError(Exception):
    """What was found, and what was expected."""


def files_of(site: pathlib.Path) -> Iterator[tuple[str, bytes]]:
    """The files of our packages in a wheel or a folder, by their names there."""
    ours = re.compile(rf"({'|'.join(_PACKAGES)})(\.libs)?/|({'|'.join(_PACKAGES)})-[^/]*\.dist-info/(METADATA$|LICENSE|licenses/)")
    if site.is_dir():
        tops = (top for name in _PACKAGES for pattern in (name, f"{name}.libs", f"{name}-*.dist-info") for top in site.glob(pattern))
        for top in tops:
            for path in top.rglob("*"):
                name = path.relative_to(site).as_posix()
                if path.is_file() and ours.match(name) and not _LEFT_OUT.search(name):
                    yield name, path.read_bytes()
    elif zipfile.is_zipfile(site):
        with zipfile.ZipFile(site) as wheel:
            for name in wheel.namelist():
                if not name.endswith("/") and ours.match(name) and not _LEFT_OUT.search(name):
                    yield name, wheel.read(name)
    else:
        raise BuildError(f"{site}: found neither a folder nor a wheel, expected one that holds tarewise or numpy")


def gather(sites: list[pathlib.Path], *, numpy: bool) -> dict[str, bytes]:
    """Each package whole from the first site that has it."""
    out: dict[str, bytes] = {}
    taken: set[str] = set()
    for site in sites:
        held = dict(files_of(site))
        for package in _PACKAGES:
            if package in taken or f"{package}/__init__.py" not in held or (package == "numpy" and not numpy):
                continue
            taken.add(package)
            out.update({name: data for name, data in held.items() if re.match(rf"{package}(\.libs)?/|{package}-", name)})
    compiled = [name for name in out if re.match(r"tarewise/_core[^/]*\.(so|pyd)$", name)]
    if len(compiled) != 1:
        found = ", ".join(compiled) or "none"
        raise BuildError(f"found {found} in {', '.join(map(str, sites))}, expected one compiled module tarewise/_core*.so")
    return out


def platform_of(compiled: str) -> str:
    """What the office calls the machine that a compiled module is for."""
    for tag, platform in _PLATFORMS.items():
        if compiled.endswith(f"{tag}.so"):
            return platform
    raise BuildError(f"found {compiled}, expected a module of {' or '.join(_PLATFORMS)}")


def version_of(packed: dict[str, bytes]) -> str:
    """Of the wheel; of a package beside its sources, theirs."""
    for name, data in packed.items():
        if re.match(r"tarewise-[^/]*\.dist-info/METADATA$", name):
            found = re.search(r"^Version: (\S+)$", data.decode(), re.MULTILINE)
            if found:
                return found[1]
    project = (HERE.parent.parent / "pyproject.toml").read_text(encoding="utf-8")
    found = re.search(r'^version = "([^"]+)"$', project, re.MULTILINE)
    if found is None:
        raise BuildError("found no version in pyproject.toml, expected one")
    return found[1]


def build(sites: list[pathlib.Path], out: pathlib.Path, *, numpy: bool = True, level: int = 6) -> bool:
    """Writes the extension, packed as tightly as ``level`` (0 to 9) says. True where numpy is in it."""
    packed = gather(sites, numpy=numpy)
    compiled = next(name for name in packed if re.match(r"tarewise/_core[^/]*\.(so|pyd)$", name))
    contents = {f"pythonpath/{name}": data for name, data in packed.items()}
    source = HERE / "extension"
    for path in source.rglob("*"):
        name = path.relative_to(source).as_posix()
        if path.is_file() and "__pycache__" not in name and path.suffix != ".idl":
            contents[name] = path.read_bytes()
    words = {b"@VERSION@": version_of(packed).encode(), b"@PLATFORM@": platform_of(compiled).encode()}
    for mark, word in words.items():
        contents["description.xml"] = contents["description.xml"].replace(mark, word)
    contents["LICENSE"] = (HERE.parent.parent / "LICENSE").read_bytes()
    whole = out.with_name(out.name + ".part")
    with zipfile.ZipFile(whole, "w") as file:
        for name in sorted(contents):
            entry = zipfile.ZipInfo(name, _TIME)
            entry.external_attr = 0o644 << 16
            entry.create_system = 3  # the same on every machine
            file.writestr(entry, contents[name], zipfile.ZIP_DEFLATED, level)
    whole.replace(out)
    return "pythonpath/numpy/__init__.py" in contents


def main(argv: list[str] | None = None) -> int:
    parser = argparse.ArgumentParser(description="Packs tarewise's functions for a spreadsheet's cells.")
    parser.add_argument("site", type=pathlib.Path, nargs="+", help="a wheel, or a folder that packages are installed in")
    parser.add_argument("--out", type=pathlib.Path, required=True, help="the extension, such as tarewise.oxt")
    parser.add_argument("--without-numpy", action="store_true", help="the office's Python has it: Debian's python3-numpy")
    arguments = parser.parse_args(argv)
    try:
        with_numpy = build(arguments.site, arguments.out, numpy=not arguments.without_numpy)
    except (BuildError, OSError) as error:
        print(f"build.py: {error}", file=sys.stderr)
        return 2
    size = arguments.out.stat().st_size / 1e6
    numpy = "with numpy" if with_numpy else "without numpy: the office's Python must have it (Debian: python3-numpy)"
    print(f"{arguments.out}: {size:.1f} MB, {numpy}")
    return 0


if __name__ == "__main__":
    sys.exit(main())
