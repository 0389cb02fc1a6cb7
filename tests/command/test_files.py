#!/usr/bin/env python3
"""What the command reads as files: what cannot be read is named with the reason.

    test_files.py --command PATH [NAMES OF TESTS ...]
"""

import argparse
import os
import pathlib
import shutil
import socket
import stat
import subprocess
import sys
import tempfile
import threading
import time
import unittest

HERE = pathlib.Path(__file__).resolve().parent
ROOT = HERE.parents[1]
DEMO = "tables/demo"
GOODS = "tables/catalogue/goods.csv"
COMMAND = None
LANE = ["--from", "US 43004", "--to", "US 90210", "--currency", "USD"]
REPRICE = ["reprice", "--tables", DEMO, *LANE, "--date", "2026-08-03"]
COMPARE = ["compare", "--tables", DEMO, *LANE, "--dates", "2026-07-01", "2026-08-03"]
HEADER = b"sku,weight_oz,sides_in\n"
ROWS = HEADER + b"a,5,6 x 4 x 1\nb,72,14 x 11 x 3\n"


def run(arguments, stdin=b"", **more):
    return subprocess.run([COMMAND, *map(str, arguments)], cwd=ROOT, capture_output="stdout" not in more, check=False, input=stdin,
                          timeout=60, **more)


class Folder(unittest.TestCase):
    def setUp(self):
        made = tempfile.TemporaryDirectory()
        self.addCleanup(made.cleanup)
        self.folder = pathlib.Path(made.name)

    def names(self):
        return sorted(path.name for path in self.folder.iterdir())


class Read(Folder):
    """Folders of tables and single files: each that cannot be read is named with the reason, and nothing waits."""

    TARIFF = """{"format": "tarewise-tariff-1", "carrier": {"code": "harbourline", "name": "Harbourline Post"}, "title": "List",
 "currency": "USD", "in_force": {"from": "2026-07-12"}, "zones": {"main": [{"kind": "one", "zone": "1"}]},
 "services": [{"code": "ground", "title": "Ground", "zones": "main", "prices": [PRICE]}]}
"""
    PRICE = '{"amount": 5}'
    GRID = '{"table": {"by": "weight", "unit": "lb", "csv": "ground.csv"}}'
    SHELF = "code,title,kind,inside,tare,cost,currency\nbag,Bag,mailer,9 x 12 in,1 oz,0.30,USD\n"
    POINTS = "country,prefix,latitude,longitude\nUS,430,40,-82\n"
    MIX = "country,postal_code,share\nUS,90210,1\n"
    REQUEST = """{"format": "tarewise-request-1", "parcel": {"weight": "1 lb", "sides": "7 x 5 x 3 in"}, "from": {"country": "US",
 "postal_code": "43004"}, "to": {"country": "US", "postal_code": "90210"}, "date": "2026-08-03", "currency": "USD"}
"""

    def setUp(self):
        super().setUp()
        self.tables = self.folder / "tables"
        self.tables.mkdir()
        self.write("a.json", self.TARIFF.replace("PRICE", self.PRICE))

    def write(self, name, text):
        path = self.tables / name
        path.write_bytes(text if isinstance(text, bytes) else text.encode())
        return path

    def spoil(self, path):
        """One after another, what is no file in the place of a file, with the words that name it."""
        os.mkfifo(path)
        yield "found a pipe"
        path.unlink()
        path.mkdir()
        yield "found a folder, expected a file"
        path.rmdir()
        path.symlink_to("/dev/null")
        yield "found a device, expected a file"
        path.unlink()
        path.symlink_to("/dev/zero")
        yield "found a device, expected a file"
        path.unlink()
        path.symlink_to(path.name)
        yield "found a link in a circle, expected a file"
        path.unlink()
        path.symlink_to("not-there")
        yield "found a link to a file that is not there, expected one that is there"
        path.unlink()
        with socket.socket(socket.AF_UNIX) as server:
            server.bind(str(path))
            yield "found a socket, expected a file"
        path.unlink()

    def said(self, arguments, code=2, stdin=b"", **more):
        done = run(arguments, stdin, **more)
        self.assertEqual(done.returncode, code, done.stderr.decode())
        self.assertEqual(done.stdout, b"")
        return done.stderr.decode()

    def test_what_is_no_file_in_a_folder(self):
        for name in ("x.json", "gazetteer-x.csv", "shelf-x.csv"):
            path = self.tables / name
            for words in self.spoil(path):
                for arguments in (["check", self.tables], ["rank", "--tables", self.tables, "--weight", "1 lb", "--sides", "7 x 5 x 3 in", *LANE,
                                                           "--date", "2026-08-03"]):
                    said = self.said(arguments)
                    self.assertIn(f"{path}: error 50", said)
                    self.assertIn(words, said)
                    if arguments[0] == "check":
                        self.assertIn("1 document checked, 1 error, 0 warnings", said)
        self.assertIn("1 document checked", run(["check", self.tables]).stdout.decode())

    def test_what_is_no_grid(self):
        self.write("a.json", self.TARIFF.replace("PRICE", self.GRID))
        other = self.write("b.json", self.TARIFF.replace("PRICE", self.PRICE))
        path = self.tables / "ground.csv"
        for words in self.spoil(path):
            for arguments in (["check", self.tables], ["check", self.tables / "a.json"], ["compare", self.tables / "a.json", other]):
                said = self.said(arguments)
                self.assertIn('found "ground.csv", expected a file that can be read, beside the document', said)
                if "not there" not in words:  # where there is none the document's finding says it all
                    self.assertIn(f"{path}: error 502: {words}", said)

    def test_what_is_no_document_catalogue_request_or_mix(self):
        path = self.folder / "x"
        for words in self.spoil(path):
            self.assertIn("0 documents checked, 1 error", self.said(["check", path]))
            for arguments in (["check", path], ["compare", path, path], ["rank", "--tables", DEMO, path],
                              [*REPRICE, path], [*COMPARE, "--catalogue", path], ["reprice", "--tables", DEMO, "--from", "US 43004",
                               "--date", "2026-08-03", "--currency", "USD", "--mix", path, GOODS]):
                if arguments[0] == "compare" and words.startswith("found a folder") and "--catalogue" not in arguments:
                    continue  # two folders are compared
                said = self.said(arguments)
                self.assertIn(str(path) + ":", said)
                if not (arguments[0] == "check" and "folder" in words):  # a folder is checked whole
                    self.assertIn(words, said)

    def test_what_is_no_folder(self):
        (self.folder / "circle").symlink_to("circle")
        os.mkfifo(self.folder / "pipe")
        for name, words in (("tables/a.json", "found a file, expected a folder of tables"),
                            ("pipe", "found a pipe, expected a folder of tables"),
                            ("circle", "found a link in a circle, expected a folder of tables"),
                            ("nowhere", "found no such folder, expected a folder of tables"),
                            ("tables/a.json/x", "found no such folder, expected a folder of tables")):
            said = self.said(["rank", "--tables", self.folder / name, "--weight", "1 lb", "--sides", "7 x 5 x 3 in", *LANE, "--date",
                              "2026-08-03"])
            self.assertIn(f"{self.folder / name}: error 50", said)
            self.assertIn(words, said)

    @unittest.skipUnless(os.geteuid() == 0, "takes another user's rights")
    def test_what_may_not_be_read(self):
        program = shutil.copy(COMMAND, self.folder / "tarewise")
        self.folder.chmod(0o755)
        closed = self.write("closed.json", self.TARIFF)
        closed.chmod(0)
        def check(path):
            done = subprocess.run([program, "check", path], capture_output=True, check=False, cwd="/", user=65534, group=65534,
                                  extra_groups=[])
            return done.stderr.decode()
        self.assertIn(f"{closed}: error 502: found a file that cannot be read (Permission denied), expected one that can", check(self.tables))
        self.assertIn("1 document checked, 1 error", check(self.tables))
        self.tables.chmod(0o300)
        self.assertIn("found a folder that cannot be read (Permission denied), expected one that can", check(self.tables))

    def test_pipes_that_are_written_to(self):
        def through_a_pipe(arguments, text, pieces=2):
            reader, writer = os.pipe()
            def feed():
                with os.fdopen(writer, "wb", buffering=0) as stream:
                    for piece in range(pieces):
                        time.sleep(0.1)
                        stream.write(text[len(text) * piece // pieces:len(text) * (piece + 1) // pieces])
            threading.Thread(target=feed, daemon=True).start()
            try:
                return run([*arguments, f"/dev/fd/{reader}"], pass_fds=[reader])
            finally:
                os.close(reader)
        done = through_a_pipe(["rank", "--json", "--tables", DEMO], self.REQUEST.encode())
        self.assertEqual(done.returncode, 0, done.stderr)
        done = through_a_pipe(["check"], self.TARIFF.replace("PRICE", self.PRICE).encode())
        self.assertIn(b"1 document checked, 0 errors", done.stdout)
        done = through_a_pipe(REPRICE, ROWS)
        self.assertEqual((done.returncode, done.stdout), (0, run([*REPRICE, "-"], ROWS).stdout), done.stderr)

    def test_a_file_that_changes_while_it_is_read(self):
        goods = self.folder / "goods.csv"
        rows = ROWS + b"c,5,6 x 4 x 1\n" * 40_000
        goods.write_bytes(rows)
        pipe = self.folder / "pipe"
        os.mkfifo(pipe)
        process = subprocess.Popen([COMMAND, *REPRICE, "--out", pipe, goods], cwd=ROOT, stderr=subprocess.PIPE)
        with open(pipe, "rb") as stream:
            stream.read(1)  # it has begun, and waits for this reader
            with open(goods, "ab") as more:
                more.write(b"d,5,6 x 4 x 1\n")
            while stream.read(1 << 16):
                pass
        said = process.communicate()[1]
        self.assertEqual(process.returncode, 2, said)
        self.assertIn(b"goods.csv: found a file that changed while it was read, expected one that stays as it is", said)

    def encoded(self, text):
        yield text.encode("utf-8-sig"), None
        for encoding in ("utf-16", "utf-16-le", "utf-16-be"):
            yield text.encode(encoding), "found UTF-16, expected UTF-8"
        yield text.encode("utf-32"), "found UTF-32, expected UTF-8"

    def test_encodings(self):
        request = self.folder / "request.json"
        for name, text in (("a.json", self.TARIFF.replace("PRICE", self.GRID)), ("ground.csv", "lb,1\n5,4.20\n"),
                           ("shelf.csv", self.SHELF), ("gazetteer.csv", self.POINTS)):
            self.write("a.json", self.TARIFF.replace("PRICE", self.GRID))
            self.write("ground.csv", "lb,1\n5,4.20\n")
            for data, words in self.encoded(text):
                path = self.write(name, data)
                if words is None:
                    done = run(["check", self.tables])
                    self.assertEqual(done.returncode, 0, done.stderr)
                    continue
                self.assertIn(f"{path}:1:1: error 101: {words}", self.said(["check", self.tables]))
            self.write(name, text)
        for data, words in self.encoded(self.REQUEST):
            request.write_bytes(data)
            for arguments, stdin, name in ((["rank", "--json", "--tables", DEMO, request], b"", request),
                                           (["rank", "--json", "--tables", DEMO], data, "standard input")):
                done = run(arguments, stdin)
                self.assertEqual(done.returncode, 0 if words is None else 2, done.stderr)
                if words is not None:
                    self.assertIn(f"{name}:1:1: error 101: {words}", done.stderr.decode())
        mixed = ["reprice", "--tables", DEMO, "--from", "US 43004", "--date", "2026-08-03", "--currency", "USD", "--mix"]
        file = self.folder / "x.csv"
        for arguments, text in ((REPRICE, ROWS.decode()), ([*COMPARE, "--catalogue"], ROWS.decode()), ([GOODS, *mixed], self.MIX)):
            arguments = [*arguments[1:], *arguments[:1]] if arguments[0] == GOODS else arguments
            last = arguments[-1:] if arguments[-1] == GOODS else []
            for data, words in self.encoded(text):
                file.write_bytes(data)
                done = run([*arguments[:len(arguments) - len(last)], file, *last])
                self.assertEqual(done.returncode, 0 if words is None else 2, done.stderr)
                if words is not None:
                    self.assertIn(f"{file}:1:1: {words}", done.stderr.decode())
        # A mark takes no column.
        path = self.write("a.json", b"\xef\xbb\xbf[]")
        self.assertIn(f"{path}:1:1: error 203: found a list", self.said(["check", path]))

    def test_other_separators(self):
        mixed = ["reprice", "--tables", DEMO, "--from", "US 43004", "--date", "2026-08-03", "--currency", "USD", GOODS, "--mix"]
        file = self.folder / "x.csv"
        self.write("a.json", self.TARIFF.replace("PRICE", self.GRID))
        for mark, word in ((";", "semicolon"), ("\t", "tab")):
            words = f"found a {word} between the columns, expected a comma"
            self.write("ground.csv", "lb,1\n5,4.20\n")
            for name, text in (("ground.csv", "lb,1\n5,4.20\n"), ("shelf.csv", self.SHELF), ("gazetteer.csv", self.POINTS)):
                path = self.write(name, text.replace(",", mark))
                column = text.index(",") + 1
                self.assertIn(f"{path}:1:{column}: error 222: {words}", self.said(["check", self.tables]))
                self.write(name, text)
            for arguments, text in ((REPRICE, ROWS.decode()), ([*COMPARE, "--catalogue"], ROWS.decode()), (mixed, self.MIX)):
                for quote in ("", '"'):
                    header, rest = text.split("\n", 1)
                    header = mark.join(quote + name + quote for name in header.split(","))
                    file.write_text(header + "\n" + rest.replace(",", mark))
                    self.assertIn(f"{file}:1:{header.index(mark) + 1}: {words}", self.said([*arguments, file]))


def main():
    global COMMAND
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--command", required=True, help="the program to test")
    options, rest = parser.parse_known_args()
    COMMAND = str(pathlib.Path(options.command).resolve())
    unittest.main(argv=[sys.argv[0], *rest])


if __name__ == "__main__":
    main()
