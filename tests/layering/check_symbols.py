#!/usr/bin/env python3
"""What a built library asks of the system: nothing that prints, aborts, exits, reads the environment or tells the time.

    check_symbols.py NM ARCHIVE [--asserts]

ARCHIVE is the static library. `--asserts`: assertions of a debug build are let pass.
"""

import re
import subprocess
import sys

FORBIDDEN = {
    "prints": r"_?_?v?f?printf(?:_chk)?|f?puts|putchar|perror|_ZSt4cout|_ZSt4cerr|_ZSt4clog",
    "aborts or exits": r"abort|_?exit|quick_exit|raise|_ZSt9terminatev|__assert_fail",
    "reads the environment": r"(?:secure_)?getenv|environ",
    "asks for the time": r"time|clock|clock_gettime|gettimeofday|localtime(?:_r)?|gmtime(?:_r)?|_ZNSt6chrono3_V2\w+clock3nowEv",
    "uses chance": r"s?rand|random|_ZNSt13random_device\w+",
    "starts programs": r"system|popen|exec[lv]\w*|fork",
}
# Compilers put calls to terminate into every function that must not throw.
COMPILERS_OWN = {"_ZSt9terminatev"}


def main(args):
    nm, archive, *rest = args
    done = subprocess.run([nm, "-u", archive], capture_output=True, text=True, check=True)
    wrong, member, symbols = [], archive, 0
    for line in done.stdout.splitlines():
        if line.endswith(":"):
            member = line[:-1]
            continue
        match = re.match(r"\s*[Uw] (\S+)", line)
        if match is None:
            continue
        symbols += 1
        name = match[1].split("@")[0]
        if name in COMPILERS_OWN or (name == "__assert_fail" and "--asserts" in rest):
            continue
        wrong += [f"{member}: {what}: {name}" for what, pattern in FORBIDDEN.items() if re.fullmatch(pattern, name)]
    if symbols < 100:
        wrong.append(f"only {symbols} undefined symbols in {archive}: not the library that was expected")
    for line in wrong:
        print(line)
    print(f"{symbols} undefined symbols, {len(wrong)} forbidden")
    return 1 if wrong else 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
