#!/usr/bin/env python3
"""One direction of dependency, and a silent library.

    check_layers.py ROOT

units -> parcel -> packing -> zone -> tariff -> rules -> pricing -> ranking -> plans -> batch -> compare -> economics -> documents: a header includes
only headers of its own layer or of one to the left. A front room (a folder's own headers) includes no back room
(internal/) unless TW_HEADER_ONLY is on, a body (-inl.h) only bodies of its own floor, and the C interface, the bindings
and the command name nothing of a back room. The core includes the standard library and Abseil, nothing else. Nothing in
include/ or lib/ but the command prints, aborts, exits, reads the environment or asks for the time. All of it stands in the
namespace of its version, and version.h names the version of CMakeLists.txt.
"""

import pathlib
import re
import sys

LAYERS = ["units", "parcel", "packing", "zone", "tariff", "rules", "pricing", "ranking", "plans", "batch", "compare", "economics"]
READERS = ["documents"]
ABOVE = {"internal": 0, "version.h": 0, "tarewise.h": len(LAYERS) - 1}  # the switch; the umbrella includes only

# What a library that is embedded in another program must not do, and the names that give it away.
FORBIDDEN = {
    "prints": r"\b(?:std::)?(?:cout|cerr|clog)\b|\b(?:std::)?(?:v?f?printf|puts|fputs|putchar|perror)\s*\(|#include <iostream>",
    "aborts or exits": r"\b(?:std::)?(?:abort|exit|_exit|quick_exit|terminate|raise)\s*\(|\bassert\s*\(|#include <cassert>",
    "reads the environment": r"\b(?:std::)?(?:secure_)?getenv\b|\benviron\b",
    "asks for the time": r"\b(?:system|steady|high_resolution|utc)_clock\b|\b(?:std::)?(?:time|clock|gettimeofday|localtime|gmtime)\s*\(|absl::Now\b|#include <ctime>",
    "uses chance": r"\brandom_device\b|\bs?rand\s*\(|#include <random>|absl::BitGen\b",
    "keeps state": r"^\s*static\s+(?!const\b|constexpr\b|inline\s+const|_?assert)[\w:<>,*& ]+\s+\w+\s*(?:=|;|\{)|\bthread_local\b",
    "uses floating point": r"\b(?:double|float)\b",
}
# The one place with floating point, where its answer is carried and read in; columns of doubles as other programs hold
# them, turned into whole units at once; and the parser's event for a number, which is read from its text.
FLOATING_ALLOWED = {"zone/gazetteer.h", "zone/zone_chart.h", "documents/gazetteer_reader.cc", "batch/columns.h",
                    "batch/internal/convert.h", "documents/json_tree.cc"}


def without_comments(text):
    """The text with comments and the contents of string literals blanked, lines kept."""
    def blank(match):
        found = match.group(0)
        if found[0] in "\"'":
            return found[0] + found[0]
        return "\n" * found.count("\n")
    text = re.sub(r'R"(\w*)\((?:.|\n)*?\)\1"', '""', text)
    return re.sub(r"//[^\n]*|/\*(?:.|\n)*?\*/|\"(?:\\.|[^\"\\\n])*\"|'(?:\\.|[^'\\\n])+'", blank, text)


def layer_of(path):
    """(name, rank) of a header, by its path under include/tarewise."""
    head = path.split("/")[0]
    if head in ABOVE:
        return head, ABOVE[head]
    if head in LAYERS:
        return head, LAYERS.index(head)
    if head in READERS:
        return head, len(LAYERS)
    return head, None


def check_includes(include):
    wrong, seen, edges = [], set(), 0
    for header in sorted(include.rglob("*.h")):
        path = header.relative_to(include).as_posix()
        name, rank = layer_of(path)
        seen.add(name)
        if rank is None:
            wrong.append(f"{path}: the layer {name} is not in the list")
            continue
        for number, line in enumerate(header.read_text(encoding="utf-8").splitlines(), 1):
            match = re.match(r'\s*#\s*include\s*([<"])([^>"]+)[>"]', line)
            if match is None:
                continue
            bracket, target = match.groups()
            if bracket == "<":
                if "/" in target or target.endswith(".h"):
                    wrong.append(f"{path}:{number}: <{target}>: a header of the standard library was expected")
                continue
            if target.startswith("absl/"):
                continue
            if not target.startswith("tarewise/"):
                wrong.append(f"{path}:{number}: \"{target}\": expected tarewise/ or absl/")
                continue
            edges += 1
            other, other_rank = layer_of(target[len("tarewise/"):])
            if not (include.parent / target).exists():
                wrong.append(f"{path}:{number}: {target} does not exist")
            elif other_rank is None or other_rank > rank or (name in READERS and other in READERS and name != other):
                wrong.append(f"{path}:{number}: {name} includes {other} ({target}), which stands to its right")
    for layer in ("units", "parcel", "packing", "zone", "tariff", "rules", "pricing", "ranking"):
        if layer not in seen:
            wrong.append(f"no header of layer {layer} was found under {include}")
    return wrong, edges


SWITCH = "tarewise/internal/switch.h"


def is_back(path):
    return "internal" in path.split("/")[:-1] or path.startswith("tarewise/rules/")


def check_rooms(root):
    """No front room needs a back room, and nobody outside include/ and lib/ names one."""
    wrong = []
    include = root / "include"
    for header in sorted((include / "tarewise").rglob("*.h")):
        path = header.relative_to(include).as_posix()
        body = path.endswith("-inl.h")
        switched = False
        for number, line in enumerate(header.read_text(encoding="utf-8").splitlines(), 1):
            if re.match(r"\s*#\s*(?:ifdef TW_HEADER_ONLY|endif|else)", line):
                switched = "TW_HEADER_ONLY" in line
            match = re.match(r'\s*#\s*include\s*"(tarewise/[^"]+)"', line)
            if match is None or match[1] == SWITCH:
                continue
            other = match[1]
            if not is_back(path) and is_back(other) and not switched:
                wrong.append(f"{path}:{number}: a front room includes the back room {other}")
            if switched and not other.endswith("-inl.h"):
                wrong.append(f"{path}:{number}: {other} under TW_HEADER_ONLY, expected a body (-inl.h)")
            if body and other.endswith("-inl.h") and other.split("/")[1] != path.split("/")[1]:
                wrong.append(f"{path}:{number}: the body {other} of another floor would be compiled twice")
            if is_back(path) and not body and other.endswith("-inl.h"):
                wrong.append(f"{path}:{number}: {other}: bodies are for front rooms and lib/ to include")
    outside = [path for folder in ("capi", "python/bind", "lib/command") for path in sorted((root / folder).iterdir())
               if path.suffix in (".h", ".cc")]
    for source in outside:
        text = without_comments(source.read_text(encoding="utf-8"))
        for match in re.finditer(r"\binternal::|/internal/", text):
            number = text.count("\n", 0, match.start()) + 1
            wrong.append(f"{source.relative_to(root).as_posix()}:{number}: reaches into a back room")
        for number, line in enumerate(source.read_text(encoding="utf-8").splitlines(), 1):
            if re.match(r'\s*#\s*include\s*["<].*/internal/', line):
                wrong.append(f"{source.relative_to(root).as_posix()}:{number}: includes a back room")
    return wrong, len(outside)


def check_silence(root):
    wrong = []
    sources = sorted((root / "include/tarewise").rglob("*.h"))
    sources += [path for path in sorted((root / "lib").rglob("*")) if path.suffix in (".h", ".cc") and "command" not in path.parts]
    for source in sources:
        short = source.relative_to(root).as_posix()
        text = without_comments(source.read_text(encoding="utf-8"))
        for what, pattern in FORBIDDEN.items():
            if what == "uses floating point" and any(short.endswith("/" + allowed) for allowed in FLOATING_ALLOWED):
                continue
            for match in re.finditer(pattern, text, re.MULTILINE):
                number = text.count("\n", 0, match.start()) + 1
                wrong.append(f"{short}:{number}: {what}: {match.group(0).strip()}")
    return wrong, len(sources)


def reached_from(include, first):
    reached, todo = set(), list(first)
    while todo:
        path = todo.pop()
        if path in reached:
            continue
        reached.add(path)
        todo += re.findall(r'#include "tarewise/([^"]+)"', (include / path).read_text(encoding="utf-8"))
    return reached


def check_umbrella(include):
    """Whoever includes tarewise.h gets every front room of the core, and no header stands where nobody reaches it."""
    every = [h.relative_to(include).as_posix() for h in sorted(include.rglob("*.h"))]
    # Bodies are named under the switch, so this is what both kinds of program can reach.
    reached = reached_from(include, ["tarewise.h"])
    wrong = [f"tarewise.h does not lead to {path}" for path in every
             if path not in reached and path.split("/")[0] not in READERS]
    readers = reached_from(include, [path for path in every if path.split("/")[0] in READERS])
    return wrong + [f"nobody includes {path}" for path in every if path not in reached | readers]


def check_version(root):
    """What is installed or linked in stands in the namespace of its version, and the version is the project's."""
    wrong = []
    for source in sorted(path for folder in ("include", "lib") for path in (root / folder).rglob("*.*")
                         if path.suffix in (".h", ".cc") and "command" not in path.parts):
        text, short = without_comments(source.read_text(encoding="utf-8")), source.relative_to(root).as_posix()
        for match in re.finditer(r"^[ \t]*(?:inline )?namespace tarewise\b(?!::inline TW_VERSIONED\b)", text, re.MULTILINE):
            line = text.count("\n", 0, match.start()) + 1
            wrong.append(f"{short}:{line}: found a namespace without its version, expected namespace tarewise::inline TW_VERSIONED")
        if source.suffix == ".h" and "TW_VERSIONED" in text and source.name != "version.h" \
                and '"tarewise/version.h"' not in source.read_text(encoding="utf-8"):
            wrong.append(f"{short}: names TW_VERSIONED without including tarewise/version.h")
    version = re.search(r"project\(tarewise VERSION (\d+)\.(\d+)\.(\d+)", (root / "CMakeLists.txt").read_text(encoding="utf-8"))
    text = (root / "include/tarewise/version.h").read_text(encoding="utf-8")
    major, minor, patch = version.groups()
    for name, value in {"TAREWISE_VERSION_MAJOR": major, "TAREWISE_VERSION_MINOR": minor, "TAREWISE_VERSION_PATCH": patch,
                        "TAREWISE_VERSION_STRING": f'"{major}.{minor}.{patch}"', "TW_VERSIONED": f"v{major}_{minor}"}.items():
        if f"#define {name} {value}\n" not in text:
            wrong.append(f"include/tarewise/version.h: expected {name} to be {value}, as CMakeLists.txt says")
    return wrong


def self_check():
    """The checks see what they are for."""
    samples = {
        "prints": "std::printf(\"x\");", "aborts or exits": "std::abort();", "reads the environment": "std::getenv(\"HOME\")",
        "asks for the time": "std::chrono::system_clock::now()", "uses chance": "std::random_device device;",
        "keeps state": "  static int count = 0;", "uses floating point": "double x = 0;",
    }
    wrong = [f"the pattern for `{what}` misses {text}" for what, text in samples.items()
             if not re.search(FORBIDDEN[what], without_comments(text), re.MULTILINE)]
    for text in ("std::snprintf(out, 1, \"%d\", 1);", "// std::abort();", "\"time(0)\"", "static constexpr int kMost = 1;",
                 "static const int kMost = 1;", "static absl::StatusOr<Date> Parse(std::string_view text) {",
                 "static Weight Of(int a, int b);"):
        wrong += [f"the pattern for `{what}` finds itself in {text}" for what, pattern in FORBIDDEN.items()
                  if re.search(pattern, without_comments(text), re.MULTILINE)]
    return wrong


def main(args):
    root = pathlib.Path(args[0])
    wrong = self_check()
    found, edges = check_includes(root / "include/tarewise")
    wrong += found
    found, outside = check_rooms(root)
    wrong += found
    if outside < 20:
        wrong.append(f"only {outside} sources outside of the library: not the tree that was expected")
    found, sources = check_silence(root)
    wrong += found + check_umbrella(root / "include/tarewise") + check_version(root)
    for line in wrong:
        print(line)
    print(f"{edges} includes between layers, {sources} sources, {len(wrong)} wrong")
    return 1 if wrong else 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
