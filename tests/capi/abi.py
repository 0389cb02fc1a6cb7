"""Holds the C interface to what was released.

    abi.py HEADER LIBRARY SYMBOLS LAYOUT [--write] [--cc COMPILER]

Compares the functions that the shared library exports with SYMBOLS, and the prototypes, structures (size, and the place, size
and type of every field), callbacks and constants of the header, as a compiler lays them out, with LAYOUT. With --write the two files are
written anew. Exits 0 where they are the same, 1 with a list of differences where not: "breaks" for what went or moved,
"new" for what was added.
"""
import argparse
import pathlib
import re
import subprocess
import sys
import tempfile


def without_comments(text):
    return re.sub(r"/\*.*?\*/", " ", text, flags=re.S)


def squeezed(text):
    """One spelling, however the header is formatted: "const char *x"."""
    return re.sub(r"\s*(\*+)\s*", r" \1", re.sub(r"\s+", " ", text)).strip()


def read_header(path):
    text = without_comments(path.read_text())
    joined = text.replace("\\\n", " ")
    constant = r"^(?:#define (?!\w+\()(?=TW_)(?!TW_(?:API|\w+_INIT|VALUES_END|GRAM|KILOGRAM)\b)(\w+) +\S|TW_(?:VALUE|FLAG)\((\w+), )"
    constants = [plain or listed for plain, listed in re.findall(constant, joined, flags=re.M)]
    constants += ["TW_GRAM", "TW_KILOGRAM"]
    structs = {}
    for name, body in re.findall(r"typedef struct (tw_\w+) \{(.*?)\} \1;", text, flags=re.S):
        structs[name] = []
        for declaration in filter(None, map(squeezed, body.split(";"))):
            field = re.search(r"(\w+)(\[\d+\])?$", declaration)
            structs[name].append((field.group(1), declaration))
    functions = [squeezed(f) for f in re.findall(r"^TW_API (.*?);", text, flags=re.M | re.S)]
    callbacks = [squeezed(f) for f in re.findall(r"^typedef (\w+ \(\*tw_\w+\)\(.*?\));", text, flags=re.M | re.S)]
    return constants, structs, functions, callbacks


def layout(header, compiler):
    constants, structs, functions, callbacks = read_header(header)
    lines = ["#include <stdio.h>", f'#include "{header}"', "int main(void) {"]
    for name in constants:
        lines.append(f'  printf("constant {name} %lld\\n", (long long)({name}));')
    for name, fields in structs.items():
        lines.append(f'  printf("struct {name} size %zu\\n", sizeof({name}));')
        for field, declaration in fields:
            lines.append(f'  printf("  at %zu size %zu: {declaration}\\n", offsetof({name}, {field}), '
                         f"sizeof((({name} *)0)->{field}));")
    lines.append("  return 0;\n}")
    with tempfile.TemporaryDirectory() as folder:
        source = pathlib.Path(folder, "layout.c")
        source.write_text("\n".join(lines))
        subprocess.run([compiler, "-std=c99", "-o", f"{folder}/layout", str(source)], check=True)
        dump = subprocess.run([f"{folder}/layout"], check=True, capture_output=True, text=True).stdout
    for callback in callbacks:
        dump += f"callback {callback}\n"
    for function in sorted(functions, key=lambda f: re.search(r"(tw_\w+)\(", f).group(1)):
        dump += f"function {function}\n"
    return dump


def symbols(library):
    out = subprocess.run(["nm", "-D", "--defined-only", str(library)], check=True, capture_output=True, text=True).stdout
    names = [line.split()[2] for line in out.splitlines() if line.split()[1] != "A"]
    return "".join(sorted(f"{name.split('@')[0]}\n" for name in names))


def declared(header):
    return {re.search(r"(tw_\w+)\(", f).group(1) for f in read_header(header)[2]}


def qualified(text):
    """Lines that stand by themselves: a field with its structure's name."""
    of = ""
    for line in text.splitlines():
        if line.startswith("struct "):
            of = line.split()[1]
            yield f"struct {of}"
            yield line
        elif line.startswith("  "):
            yield f"{of}:{line}"
        else:
            yield line


def compare(kind, kept, found):
    before, after = set(qualified(kept)), set(qualified(found))
    for line in sorted(before - after):
        # A structure may grow at its end: its fields tell whether anything moved.
        grown = re.match(r"struct (\w+) size (\d+)", line)
        now = re.search(rf"^struct {grown.group(1)} size (\d+)$", found, flags=re.M) if grown else None
        if now and int(now.group(1)) > int(grown.group(2)):
            continue
        yield f"breaks {kind}: no more: {line}"
    for line in sorted(after - before):
        yield f"new    {kind}: {line}"


def main():
    parser = argparse.ArgumentParser()
    for name in ("header", "library", "symbols", "layout"):
        parser.add_argument(name, type=pathlib.Path)
    parser.add_argument("--write", action="store_true")
    parser.add_argument("--cc", default="cc")
    arguments = parser.parse_args()
    found = {arguments.symbols: symbols(arguments.library), arguments.layout: layout(arguments.header.resolve(), arguments.cc)}
    problems = []
    exported = set(found[arguments.symbols].split())
    for name in sorted(exported - declared(arguments.header)):
        problems.append(f"breaks symbols: exported and not in the header: {name}")
    for name in sorted(declared(arguments.header) - exported):
        problems.append(f"breaks symbols: in the header and not exported: {name}")
    if arguments.write:
        for path, text in found.items():
            path.write_text(text)
    else:
        for path, text in found.items():
            problems += compare(path.name, path.read_text(), text)
    for problem in problems:
        print(problem)
    if problems and not arguments.write:
        print("\nWhat breaks needs a new TW_ABI_VERSION, what is new a new minor version; see capi/README.md. Then:\n  "
              + " ".join([sys.executable, *sys.argv, "--write"]))
    return 1 if problems else 0


sys.exit(main())
