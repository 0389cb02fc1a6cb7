"""What the tests of the command share: the program that is tested, and where things are."""

import argparse
import os
import pathlib
import subprocess
import sys
import unittest

HERE = pathlib.Path(__file__).resolve().parent
ROOT = HERE.parents[1]
DEMO = "tables/demo"
GOODS = "tables/catalogue/goods.csv"
COMMAND = None


def surroundings(**more):
    """The environment with nothing of the caller's terminal in it."""
    return {key: value for key, value in os.environ.items() if key not in ("COLUMNS", "NO_COLOR", "TERM")} | more


def run(arguments, stdin=b"", **environment):
    """The finished process of one run, from the project's root."""
    return subprocess.run([COMMAND, *arguments], cwd=ROOT, env=surroundings(**environment), capture_output=True, check=False,
                          input=stdin.encode() if isinstance(stdin, str) else stdin)


def in_bulk(test):
    """Marks a test that does many times over what other tests do too: --quick leaves it out."""
    test.in_bulk = True
    return test


class Quick(unittest.TestLoader):
    """All tests but those in bulk."""

    def getTestCaseNames(self, testCaseClass):
        return [name for name in super().getTestCaseNames(testCaseClass) if not hasattr(getattr(testCaseClass, name), "in_bulk")]


def main(description, **flags):
    """Tests the program of --command by the tests of the file that is run. `flags`: those of its own, each with its help
    and what to do where it is given."""
    global COMMAND
    parser = argparse.ArgumentParser(description=description, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--command", required=True, help="the program to test")
    parser.add_argument("--quick", action="store_true", help="leave out the tests in bulk, as where a sanitizer slows the program")
    for name, (words, _) in flags.items():
        parser.add_argument(f"--{name}", action="store_true", help=words)
    options, rest = parser.parse_known_args()
    COMMAND = str(pathlib.Path(options.command).resolve())
    for name, (_, act) in flags.items():
        if getattr(options, name):
            act()
    unittest.main(argv=[sys.argv[0], *rest], testLoader=Quick() if options.quick else unittest.defaultTestLoader)
