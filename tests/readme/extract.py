#!/usr/bin/env python3
"""Writes the fenced blocks of a Markdown page that follow a `<!-- file: NAME -->` line to NAME below a folder.

    extract.py PAGE.md FOLDER

So that what a page shows is what the tests build and run.
"""
import pathlib
import re
import sys


def main() -> int:
    page, folder = pathlib.Path(sys.argv[1]), pathlib.Path(sys.argv[2])
    blocks = re.findall(r"<!-- file: (\S+) -->\n```\w*\n(.*?)```", page.read_text(encoding="utf-8"), re.S)
    if not blocks:
        print(f"{page}: found no block with a file name", file=sys.stderr)
        return 1
    for name, text in blocks:
        target = folder / name
        target.parent.mkdir(parents=True, exist_ok=True)
        if not target.exists() or target.read_text(encoding="utf-8") != text:
            target.write_text(text, encoding="utf-8")
    return 0


if __name__ == "__main__":
    sys.exit(main())
