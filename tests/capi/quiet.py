"""The library never prints, ends the program, or looks at the clock or the environment: it does not even link such calls.

std::terminate is let through: it stands in the destructor of every std::thread, for one that was not joined.
"""
import re
import subprocess
import sys

FORBIDDEN = re.compile(
    r"^(abort|exit|_exit|_Exit|quick_exit|raise|kill|printf|puts|putchar|fprintf|fputs|fwrite|vfprintf|perror|"
    r"write|getenv|secure_getenv|setenv|time|clock|clock_gettime|gettimeofday|localtime|setlocale|system|popen|fork|"
    r"rand|srand|_ZSt4cout|_ZSt4cerr|_ZSt4clog|.*system_clock.*now.*)$")

out = subprocess.run(["nm", "-D", "--undefined-only", sys.argv[1]], check=True, capture_output=True, text=True).stdout
names = [line.split()[-1].split("@")[0] for line in out.splitlines()]
assert len(names) > 20, "nm gave no imports"
bad = sorted(filter(FORBIDDEN.match, names))
print("\n".join(f"links {name}" for name in bad) or f"{len(names)} imports, none of them forbidden")
sys.exit(1 if bad else 0)
