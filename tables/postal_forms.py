#!/usr/bin/env python3
"""Writes include/tarewise/zone/internal/postal_forms.h from postal-forms.csv: which postal codes the countries have.

    postal_forms.py            writes the header
    postal_forms.py --check    only says whether it is up to date, and tries every example of the list
    postal_forms.py --source FOLDER
                               writes postal-forms.csv again from the data folder of the package that tables/README.md names

A form in the list is a regular expression. The header holds them all in one automaton, spaces and hyphens left out, its states shared
between countries: to follow it is to know, at every character, whether a code can still become one. What cannot be put
that way stops the generator.
"""

import argparse
import csv
import json
import pathlib
import re
import sys

try:
    from re import _constants as ops
    from re import _parser as parser
except ImportError:  # Python 3.10 and older
    import sre_constants as ops
    import sre_parse as parser

HERE = pathlib.Path(__file__).resolve().parent
LIST = HERE / "postal-forms.csv"
HEADER = HERE.parent / "include" / "tarewise" / "zone" / "internal" / "postal_forms.h"

DIGITS = "0123456789"
ALPHABET = DIGITS + "ABCDEFGHIJKLMNOPQRSTUVWXYZ"
LEFT_OUT = " -"
MOST_CHARACTERS = 16  # of a code, as Place has it
NUMBERS = "no one two three four five six seven eight nine ten eleven twelve".split()


class Unsupported(Exception):
    pass


# ---- a form as an automaton with empty steps ----


class Steps:
    """States are numbers; `edges` of a state go on a set of characters, or on none at all (None)."""

    def __init__(self):
        self.edges = [[]]

    def state(self):
        self.edges.append([])
        return len(self.edges) - 1

    def characters(self, start, found):
        """On any of `found`, the ignored ones standing for nothing."""
        end = self.state()
        if any(c not in ALPHABET and c not in LEFT_OUT for c in found):
            raise Unsupported(f"a character other than capital letters, digits, spaces and hyphens: {''.join(sorted(found))}")
        kept = frozenset(c for c in found if c not in LEFT_OUT)
        if kept:
            self.edges[start].append((kept, end))
        if len(kept) != len(found):
            self.edges[start].append((None, end))
        return end

    def add(self, start, tree):
        for op, value in tree:
            if op is ops.LITERAL:
                start = self.characters(start, {chr(value)})
            elif op is ops.IN:
                start = self.characters(start, characters_of(value))
            elif op is ops.SUBPATTERN:
                start = self.add(start, value[-1])
            elif op is ops.BRANCH:
                end = self.state()
                for branch in value[1]:
                    self.edges[self.add(start, branch)].append((None, end))
                start = end
            elif op is ops.MAX_REPEAT:
                least, most, inner = value
                if most is ops.MAXREPEAT or most > MOST_CHARACTERS:
                    raise Unsupported("repetition without an end")
                for _ in range(least):
                    start = self.add(start, inner)
                end = self.state()
                for _ in range(most - least):
                    self.edges[start].append((None, end))
                    start = self.add(start, inner)
                self.edges[start].append((None, end))
                start = end
            elif op is ops.AT and value in (ops.AT_BEGINNING, ops.AT_END, ops.AT_BOUNDARY):
                pass  # a code is always matched as a whole
            else:
                raise Unsupported(str(op))
        return start


def characters_of(members):
    found = set()
    for op, value in members:
        if op is ops.LITERAL:
            found.add(chr(value))
        elif op is ops.RANGE:
            found.update(map(chr, range(value[0], value[1] + 1)))
        elif op is ops.CATEGORY and value is ops.CATEGORY_DIGIT:
            found.update(DIGITS)
        else:
            raise Unsupported(f"{op} in brackets")
    return found


# ---- all the forms in one automaton, as small as it can be ----


class Automaton:
    """`next[state]` maps characters to states, `whole[state]` says whether a code may end there."""

    def __init__(self):
        self.next = []
        self.whole = []
        self.known = {}  # (whole, edges) to a state: what goes on alike is one state

    def add(self, form):
        steps = Steps()
        end = steps.add(0, parser.parse(form))

        def closure(states):
            reached, todo = set(states), list(states)
            while todo:
                for characters, to in steps.edges[todo.pop()]:
                    if characters is None and to not in reached:
                        reached.add(to)
                        todo.append(to)
            return frozenset(reached)

        built = {}  # sets of steps to states

        def build(states, depth):
            if depth > MOST_CHARACTERS:
                raise Unsupported(f"more than {MOST_CHARACTERS} characters")
            if states in built:
                return built[states]
            edges = {}
            for c in ALPHABET:
                ahead = {to for state in states for characters, to in steps.edges[state] if characters and c in characters}
                if ahead:
                    edges[c] = build(closure(ahead), depth + 1)
            key = (end in states, tuple(edges.items()))
            if key not in self.known:
                self.known[key] = len(self.next)
                self.next.append(edges)
                self.whole.append(end in states)
            built[states] = self.known[key]
            return built[states]

        return build(closure({0}), 0)

    def accepts(self, state, text):
        for c in text:
            if c in LEFT_OUT:
                continue
            if c not in self.next[state]:
                return False
            state = self.next[state][c]
        return self.whole[state]

    def lengths(self, state):
        """How many digits a code has, where it is any digits; else None."""
        found, depth = [], 0
        while True:
            if self.whole[state]:
                found.append(depth)
            edges = self.next[state]
            if not edges:
                return found
            if "".join(edges) != DIGITS or len(set(edges.values())) != 1:
                return None
            state, depth = edges["0"], depth + 1

    def single(self, state):
        """Whether there is one code alone."""
        while len(self.next[state]) == 1 and not self.whole[state]:
            (state,) = self.next[state].values()
        return self.whole[state] and not self.next[state]


def words_of(automaton, start, form, examples):
    if automaton.single(start):
        return f'the code "{examples[0]}"'
    lengths = automaton.lengths(start)
    if lengths is None:
        quoted = " or ".join(f'"{example}"' for example in examples[:2])
        return f"a code such as {quoted}"
    if form.endswith(r"(?:[ \-](\d{4}))?"):
        return f"{NUMBERS[lengths[0]]} digits, perhaps a hyphen and four more"
    names = [NUMBERS[n] for n in lengths]
    return (", ".join(names[:-1]) + " or " if len(names) > 1 else "") + names[-1] + " digits"


# ---- the files ----


def read_list():
    with open(LIST, newline="", encoding="utf-8") as file:
        return [(row["country"], row["form"], [e for e in row["examples"].split(",") if e]) for row in csv.DictReader(file)]


def write_list(folder):
    rows = []
    for path in sorted(folder.glob("??.json")):
        country = path.stem.upper()
        if country == "ZZ":  # what stands for any other
            continue
        data = json.loads(path.read_text(encoding="utf-8"))
        data = data.get(country, data)
        rows.append([country, data.get("zip", ""), data.get("zipex", "")])
    with open(LIST, "w", newline="", encoding="utf-8") as file:
        csv.writer(file, lineterminator="\n").writerows([["country", "form", "examples"], *rows])


def edges_of(automaton, state):
    """The characters in runs that go to one state: (first, last, state)."""
    runs = []
    for c, to in automaton.next[state].items():
        if runs and runs[-1][2] == to and ord(runs[-1][1]) + 1 == ord(c):
            runs[-1][1] = c
        else:
            runs.append([c, c, to])
    return runs


def lines_of(items, width=118):
    line = " "
    for item in items:
        if len(line) + 1 + len(item) + 1 > width:
            yield line
            line = " "
        line += f" {item},"
    yield line


def header():
    automaton, words, countries, wrong = Automaton(), [], [], []
    for country, form, examples in read_list():
        if not form:
            countries.append(f'{{"{country}", kNoPostalForm, 0}}')
            continue
        try:
            start = automaton.add(form)
        except (Unsupported, re.error) as error:
            wrong.append(f"{country}: {form}: {error}")
            continue
        wrong += [f"{country}: the example {e} is none of {form}" for e in examples if not automaton.accepts(start, e)]
        if not examples:
            wrong.append(f"{country}: {form}: no example")
        said = words_of(automaton, start, form, examples)
        if said not in words:
            words.append(said)
        countries.append(f'{{"{country}", {start}, {words.index(said)}}}')
    if wrong:
        raise SystemExit("postal_forms.py: found forms that cannot be put into the table\n  " + "\n  ".join(wrong))
    edges, first = [], []
    for state in range(len(automaton.next)):
        first.append(str(len(edges)))
        edges += [f"{{'{a}', '{b}', {to}}}" for a, b, to in edges_of(automaton, state)]
    first.append(str(len(edges)))
    quoted = ['"' + w.replace('"', '\\"') + '"' for w in words]
    parts = [
        ("struct PostalEdge {\n  char first;\n  char last;\n  std::uint16_t next;\n};\n"
         "inline constexpr PostalEdge kPostalEdges[] = {", edges),
        ("// The edges of a state are those from its own first to the next state's.\n"
         "inline constexpr std::uint16_t kPostalFirstEdge[] = {", first),
        ("// Whether a code may end in a state.\ninline constexpr bool kPostalWhole[] = {",
         ["true" if whole else "false" for whole in automaton.whole]),
        ("inline constexpr std::string_view kPostalWords[] = {", quoted),
        ("struct PostalCountry {\n  char code[3];\n  std::uint16_t start;  ///< The state that its codes begin in, or kNoPostalForm.\n"
         "  std::uint16_t words;\n};\ninline constexpr std::uint16_t kNoPostalForm = 0xFFFF;\n"
         "inline constexpr PostalCountry kPostalCountries[] = {", countries),
    ]
    body = "\n".join(f"{head}\n" + "\n".join(lines_of(items)) + "\n};\n" for head, items in parts)
    return f"""// Made by tables/postal_forms.py from tables/postal-forms.csv, which names its source and licence in tables/README.md.
#ifndef TAREWISE_ZONE_INTERNAL_POSTAL_FORMS_H_
#define TAREWISE_ZONE_INTERNAL_POSTAL_FORMS_H_

#include <cstdint>
#include <string_view>

#include "tarewise/version.h"

namespace tarewise::inline TW_VERSIONED::internal {{

// The postal codes of all countries as one automaton, in upper case, without spaces and hyphens: {len(automaton.next)} states.
// clang-format off
{body}// clang-format on

}}  // namespace tarewise::inline TW_VERSIONED::internal

#endif  // TAREWISE_ZONE_INTERNAL_POSTAL_FORMS_H_
"""


def main():
    arguments = argparse.ArgumentParser(description="Writes the header of postal codes' forms.")
    arguments.add_argument("--check", action="store_true", help="only say whether the header is up to date")
    arguments.add_argument("--source", type=pathlib.Path, help="the folder of the data to write the list from")
    given = arguments.parse_args()
    if given.source:
        write_list(given.source)
    text = header()
    if not given.check:
        HEADER.write_text(text, encoding="utf-8")
    elif not HEADER.exists() or HEADER.read_text(encoding="utf-8") != text:
        print(f"{HEADER.name} is not as tables/postal_forms.py makes it; run it", file=sys.stderr)
        return 1
    return 0


if __name__ == "__main__":
    sys.exit(main())
