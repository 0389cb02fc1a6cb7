#!/usr/bin/env python3
"""Writes the worked examples of the front rooms' headers as one source, which must compile.

    header_examples.py INCLUDE OUT

An example is a block of `///     ` lines in a header that is no back room's, with a semicolon in it. Each becomes a
function of its own that is given what examples may take as theirs.
"""

import pathlib
import re
import sys

HEAD = """// The examples of the headers, as they stand there.
#include <atomic>
#include <cstdint>
#include <memory>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include "tarewise/documents/examples.h"
#include "tarewise/documents/load.h"
#include "tarewise/documents/plans_json.h"
#include "tarewise/documents/printed_grid.h"
#include "tarewise/documents/renew.h"
#include "tarewise/tarewise.h"

// An example names its values as it likes, those that it is given too.
#pragma GCC diagnostic ignored "-Wshadow"
#ifndef __clang__
#pragma GCC diagnostic ignored "-Wshadow=local"
#pragma GCC diagnostic ignored "-Wshadow=compatible-local"
#endif

namespace {

using namespace tarewise;

template <typename... Told>
void Tell(const Told&...) {}
template <typename... Told>
void Draw(const Told&...) {}
"""
GIVEN = """    [[maybe_unused]] std::shared_ptr<const Ratebook> book, [[maybe_unused]] std::shared_ptr<const Shelf> shelf,
    [[maybe_unused]] absl::StatusOr<std::shared_ptr<const Ratebook>> next, [[maybe_unused]] std::vector<Tariff> tariffs, [[maybe_unused]] const Tariff& tariff,
    [[maybe_unused]] const Gazetteer& gazetteer,
    [[maybe_unused]] Item item, [[maybe_unused]] Request request, [[maybe_unused]] Shipment shipment,
    [[maybe_unused]] const Ranking& ranking, [[maybe_unused]] const Dispatch& dispatch,
    [[maybe_unused]] ParcelFacts parcel, [[maybe_unused]] RepriceSetup setup, [[maybe_unused]] GoodsColumns goods,
    [[maybe_unused]] RepriceResults results"""


def blocks(text):
    """(line number, code) of each example."""
    found, code, start = [], [], 0
    for number, line in enumerate(text.splitlines() + [""], 1):
        match = re.match(r"\s*///     (.*)", line)
        if match:
            start = start if code else number
            code.append(match[1])
            continue
        if code and any(";" in one for one in code):
            found.append((start, code))
        code = []
    return found


def main(args):
    include, out = pathlib.Path(args[0]), pathlib.Path(args[1])
    parts, headers = [HEAD], set()
    for header in sorted((include / "tarewise").rglob("*.h")):
        short = header.relative_to(include).as_posix()
        if "internal" in header.parts:
            continue
        for line, code in blocks(header.read_text(encoding="utf-8")):
            headers.add(short)
            name = re.sub(r"\W", "_", short[len("tarewise/"):-len(".h")]) + f"_{line}"
            body = "\n".join("    " + one for one in code)
            parts.append(f"\n[[maybe_unused]] void {name}(\n{GIVEN}) {{\n  {{\n#line {line} \"{short}\"\n{body}\n  }}\n}}\n")
    if len(headers) < 12:
        sys.exit(f"only {len(headers)} headers have an example, expected 12 or more: {sorted(headers)}")
    text = "".join(parts) + "\n}  // namespace\n"
    if not out.exists() or out.read_text(encoding="utf-8") != text:
        out.write_text(text, encoding="utf-8")
    print(f"examples of {len(headers)} headers")


if __name__ == "__main__":
    main(sys.argv[1:])
