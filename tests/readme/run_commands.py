#!/usr/bin/env python3
"""Runs the commands that a page shows, in their order and in one folder, and holds what they say to the page.

    run_commands.py PAGE.md FOLDER COMMAND

Of the page, the ```console blocks after a `<!-- run -->` line: lines after `$ ` (and what a backslash at their end goes on
with) are run by the shell, with `tarewise` as the command; what follows is what they say, standard error and standard
output in the order of a terminal. A line of `...` stands for any lines. FOLDER holds the files of the page; it is copied.
"""
import os
import pathlib
import re
import shutil
import subprocess
import sys
import tempfile
import time


def steps(page):
    for block in re.findall(r"<!-- run -->\n```console\n(.*?)```", page, re.S):
        command, shown = None, []
        for line in block.splitlines():
            if command is not None and command.endswith("\\"):
                command = command[:-1] + line.strip()
            elif line.startswith("$ "):
                if command is not None:
                    yield command, shown
                command, shown = line[2:], []
            else:
                shown.append(line)
        yield command, shown


def same(shown, said):
    pattern = "\n".join(r"(?:.*\n)*?.*" if line == "..." else re.escape(line) for line in shown)
    return re.fullmatch(pattern, "\n".join(said)) is not None


def main() -> int:
    page, folder, command = pathlib.Path(sys.argv[1]), pathlib.Path(sys.argv[2]), pathlib.Path(sys.argv[3]).resolve()
    found = list(steps(page.read_text(encoding="utf-8")))
    if not found:
        print(f"{page}: found no command to run")
        return 1
    wrong = 0
    with tempfile.TemporaryDirectory() as place:
        shutil.copytree(folder, pathlib.Path(place) / "files")
        programs = pathlib.Path(place) / "bin"
        programs.mkdir()
        (programs / "tarewise").symlink_to(command)
        surroundings = {**os.environ, "PATH": f"{programs}:{os.environ['PATH']}", "COLUMNS": "100"}
        for line, shown in found:
            begun = time.monotonic()
            done = subprocess.run(line, shell=True, cwd=pathlib.Path(place) / "files", env=surroundings, stdin=subprocess.DEVNULL,
                                  stdout=subprocess.PIPE, stderr=subprocess.STDOUT, text=True, check=False)
            said = done.stdout.splitlines()
            good = done.returncode == 0 and same(shown, said)
            wrong += not good
            print(f"{'as shown' if good else 'OTHERWISE'}, {time.monotonic() - begun:.2f} s: {line}")
            if not good:
                print(f"exit code {done.returncode}; it said:\n{done.stdout}")
    print(f"{len(found)} commands, {wrong} not as shown")
    return 1 if wrong else 0


if __name__ == "__main__":
    sys.exit(main())
