#!/usr/bin/env python3
"""Compiles a file with its TW_FAIL_ macros and checks that the compiler refuses each marked line, and why.

    compile_fail.py FILE [--only MACRO] -- COMPILER [flags]

All macros at once, as the lines do not depend on each other: every marked line must have an error of its own whose text
matches what the line names after `// error:`, and no other line may have one. An error in a template belongs to the line
that asked for it. The build compiles the same file without them.
"""

import pathlib
import re
import subprocess
import sys


def read_cases(path):
    """{line number: (macro, pattern)} of a file; raises ValueError where a case is not written as it should be."""
    cases, macro, macros = {}, None, set()
    for number, line in enumerate(path.read_text(encoding="utf-8").splitlines(), 1):
        if line.startswith("#if"):
            macro = line.removeprefix("#ifdef ")
            if not macro.startswith("TW_FAIL_") or macro in macros:
                raise ValueError(f"{path}:{number}: expected a new TW_FAIL_ macro, found {macro}")
        elif line.startswith("#endif"):
            if macro not in macros:
                raise ValueError(f"{path}:{number}: {macro} has no line with `// error:`")
            macro = None
        elif macro is not None:
            if macro in macros or " // error: " not in line:
                raise ValueError(f"{path}:{number}: expected one line with `// error:` in {macro}")
            cases[number] = (macro, line.split(" // error: ")[1])
            macros.add(macro)
        elif "// error: " in line:
            raise ValueError(f"{path}:{number}: a marked line outside of a TW_FAIL_ macro")
    return cases


def errors_of(text, path, cases):
    """[(file, line, error)] of what a compiler says, errors in templates at the line of `path` that asked for them."""
    def here(match):
        return match is not None and pathlib.Path(match[1]).resolve() == path and int(match[2]) in cases
    lines, found, asked = text.splitlines(), [], None
    for at, line in enumerate(lines):
        if "In instantiation of" in line or ": In " in line:
            asked = None
        if here(match := re.match(r"([^\n]*?):(\d+):\d+:\s+required from here", line)):  # gcc, before the error
            asked = match
        match = re.match(r"([^\n]*?):(\d+):\d+: (?:fatal )?error: (.*)", line)
        if match is None:
            continue
        where = match
        if not here(match):
            where = asked or where
            for note in lines[at + 1:]:  # clang, after it
                if ": error: " in note:
                    break
                if here(requested := re.match(r"([^\n]*?):(\d+):\d+: note: in instantiation of .* requested here", note)):
                    where = requested
        found.append((where[1], where[2], match[3]))
    return found


def main(args):
    path, *args = args
    path = pathlib.Path(path).resolve()
    cases = read_cases(path)
    if args[0] == "--only":
        cases = {line: case for line, case in cases.items() if case[0] == args[1]}
        args = args[2:]
    if not cases or args[0] != "--":
        print(__doc__, file=sys.stderr)
        return 2
    limit = "-ferror-limit=0" if "clang" in args[1] else "-fmax-errors=0"
    done = subprocess.run([*args[1:], *(f"-D{macro}" for macro, _ in cases.values()), "-fsyntax-only", limit, str(path)],
                          capture_output=True, text=True, check=False,
                          env={"LC_ALL": "C", "PATH": "/usr/local/bin:/usr/bin:/bin"})
    errors, wrong = {}, []
    for file, line, text in errors_of(done.stderr, path, cases):
        if pathlib.Path(file).resolve() != path or int(line) not in cases:
            wrong.append(f"{file}:{line}: an error where none was expected: {text}")
        else:
            errors.setdefault(int(line), []).append(text)
    for line, (macro, pattern) in cases.items():
        if line not in errors:
            wrong.append(f"{path}:{line}: {macro} compiles, and must not")
        elif not any(re.search(pattern, text) for text in errors[line]):
            wrong.append(f"{path}:{line}: {macro}: expected an error that matches\n  {pattern}\ngot\n  " + "\n  ".join(errors[line]))
    if done.returncode == 0 or (not errors and not wrong):
        wrong.append(f"the compiler ended with {done.returncode}:\n{done.stderr}")
    print("\n".join(wrong) if wrong else f"{len(cases)} lines refused, each for its reason")
    return 1 if wrong else 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
