"""The extension exports its entry point alone, and links neither SQLite nor a call that prints, ends the program or looks around."""
import re
import subprocess
import sys

FORBIDDEN = re.compile(r"^(abort|exit|_exit|_Exit|printf|puts|putchar|fprintf|fputs|fwrite|write|getenv|secure_getenv|time|clock_gettime|"
                       r"gettimeofday|setlocale|system|fork|rand|srand|sqlite3_.*|_ZSt4cout|_ZSt4cerr)$")


def names(*options):
    out = subprocess.run(["nm", "-D", *options, sys.argv[1]], check=True, capture_output=True, text=True).stdout
    return [line.split()[-1].split("@")[0] for line in out.splitlines()]


assert names("--defined-only") == ["sqlite3_tarewisesqlite_init"], names("--defined-only")
imports = names("--undefined-only")
assert len(imports) > 20, "nm gave no imports"
assert not list(filter(FORBIDDEN.match, imports)), list(filter(FORBIDDEN.match, imports))
