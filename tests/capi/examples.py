"""Compiles and runs every C example of capi/tarewise_c.h and capi/README.md, word for word.

    examples.py SOURCE_DIR LIBRARY COMPILER
"""
import os
import pathlib
import re
import subprocess
import sys
import tempfile

source, library, compiler = pathlib.Path(sys.argv[1]), pathlib.Path(sys.argv[2]), sys.argv[3]

header = (source / "capi/tarewise_c.h").read_text()
comment = header[: header.index("*/")]
code = [line[7:] for line in comment.splitlines() if line.startswith(" *     ")]
examples = {"tarewise_c.h": "\n".join(code) + "\n"}
for number, block in enumerate(re.findall(r"^```c\n(.*?)^```", (source / "capi/README.md").read_text(), flags=re.M | re.S)):
    examples[f"README.md {number + 1}"] = block
assert len(examples) >= 2, examples.keys()
assert len(code) <= 30, f"the header's example has {len(code)} lines, expected at most 30"

with tempfile.TemporaryDirectory() as folder:
    for name, text in examples.items():
        main = pathlib.Path(folder, "main.c")
        main.write_text(text)
        subprocess.run([compiler, "-std=c99", "-Wall", "-Wextra", "-pedantic", "-Werror", f"-I{source}/capi", str(main),
                        f"-L{library.parent}", "-ltarewise_c", "-o", f"{folder}/main"], check=True)
        out = subprocess.run([f"{folder}/main"], cwd=source, capture_output=True, text=True,
                             env={**os.environ, "LD_LIBRARY_PATH": str(library.parent)})
        print(f"{name}: {out.stdout.strip()}")
        # An offer with its total, or goods that fit; an error message is neither.
        good = re.search(r"\w+[ /]\w.*: \d+\.\d\d|^fits: \d+ units$", out.stdout, flags=re.M)
        assert out.returncode == 0 and good, (name, out)
