#!/usr/bin/env python3
"""What the command writes and reads as files: whole or not there, and nothing that was there lost.

    test_files.py --command PATH [NAMES OF TESTS ...]
"""

import fcntl
import os
import pathlib
import resource
import shutil
import signal
import socket
import stat
import subprocess
import tempfile
import threading
import time
import unittest

import tested
from tested import DEMO, GOODS, ROOT

LANE = ["--from", "US 05401", "--to", "US 98101", "--currency", "USD"]
REPRICE = ["reprice", "--tables", DEMO, *LANE, "--date", "2026-08-03"]
COMPARE = ["compare", "--tables", DEMO, *LANE, "--dates", "2026-07-01", "2026-08-03"]
HEADER = b"sku,weight_oz,sides_in\n"
ROWS = HEADER + b"a,5,6 x 4 x 1\nb,72,14 x 11 x 3\n"


def run(arguments, stdin=b"", **more):
    return subprocess.run([tested.COMMAND, *map(str, arguments)], cwd=ROOT, capture_output="stdout" not in more, check=False, input=stdin,
                          timeout=60, **more)


class Folder(unittest.TestCase):
    def setUp(self):
        made = tempfile.TemporaryDirectory()
        self.addCleanup(made.cleanup)
        self.folder = pathlib.Path(made.name)

    def names(self):
        return sorted(path.name for path in self.folder.iterdir())


class Written(Folder):
    """--out of reprice and compare."""

    def setUp(self):
        super().setUp()
        self.whole = {"reprice": run([*REPRICE, "-"], ROWS).stdout}
        done = run([*COMPARE, "--catalogue", "-", "--out", self.folder / "whole.csv"], ROWS)
        self.assertEqual(done.returncode, 0, done.stderr)
        self.whole["compare"] = (self.folder / "whole.csv").read_bytes()
        self.summary = done.stdout
        (self.folder / "whole.csv").unlink()
        self.assertTrue(all(text.count(b"\n") == 3 for text in self.whole.values()))

    def each(self):
        for name, arguments in (("reprice", [*REPRICE, "-"]), ("compare", [*COMPARE, "--catalogue", "-"])):
            yield arguments, self.whole[name]

    def test_a_link_stays_and_its_file_is_written(self):
        for number, (arguments, whole) in enumerate(self.each()):
            inner = self.folder / f"inner{number}"
            inner.mkdir()
            (self.folder / f"link{number}").symlink_to(f"inner{number}/second")
            (inner / "second").symlink_to("real.csv")
            for _ in ("made", "replaced"):  # the link's file is not there at first
                done = run([*arguments, "--out", self.folder / f"link{number}"], ROWS)
                self.assertEqual(done.returncode, 0, done.stderr)
                self.assertTrue((self.folder / f"link{number}").is_symlink())
                self.assertTrue((inner / "second").is_symlink())
                self.assertEqual((inner / "real.csv").read_bytes(), whole)
                self.assertEqual(sorted(os.listdir(inner)), ["real.csv", "second"])

    def test_rights_and_owner_are_kept_and_new_files_take_the_usual(self):
        out = self.folder / "out.csv"
        for arguments, whole in self.each():
            out.write_bytes(b"old")
            out.chmod(0o600)
            if os.geteuid() == 0:
                os.chown(out, 12345, 23456)
            self.assertEqual(run([*arguments, "--out", out], ROWS, umask=0o022).returncode, 0)
            self.assertEqual(out.read_bytes(), whole)
            self.assertEqual(stat.S_IMODE(out.stat().st_mode), 0o600)
            if os.geteuid() == 0:
                self.assertEqual((out.stat().st_uid, out.stat().st_gid), (12345, 23456))
            out.unlink()
            self.assertEqual(run([*arguments, "--out", out], ROWS, umask=0o027).returncode, 0)
            self.assertEqual(stat.S_IMODE(out.stat().st_mode), 0o640)

    def test_files_beside_it_are_not_touched(self):
        for arguments, _ in self.each():
            for name in ("out.csv.part", ".out.csv.part", "out.csv.tmp", "out.csv~"):
                (self.folder / name).write_bytes(b"somebody's")
            before = self.names()
            done = run([*arguments, "--out", self.folder / "out.csv"], ROWS)
            self.assertEqual(done.returncode, 0, done.stderr)
            self.assertEqual(self.names(), sorted([*before, "out.csv"]))
            for name in before:
                self.assertEqual((self.folder / name).read_bytes(), b"somebody's")
            (self.folder / "out.csv").unlink()

    def test_a_dash_and_the_names_of_standard_output(self):
        reprice, compare = [*REPRICE, "-"], [*COMPARE, "--catalogue", "-"]
        (self.folder / "link").symlink_to("/dev/stdout")
        for name in ("-", "/dev/stdout", "/dev/fd/1", "/proc/self/fd/1", self.folder / "link"):
            with self.subTest(str(name)):
                done = run([*reprice, "--out", name], ROWS)
                self.assertEqual((done.returncode, done.stdout, done.stderr), (0, self.whole["reprice"], b""))
                # The rows are the answer there, so that the words go where they are in nobody's way.
                done = run([*compare, "--out", name], ROWS)
                self.assertEqual((done.returncode, done.stdout, done.stderr), (0, self.whole["compare"], self.summary))
                done = run([*compare, "--json", "--out", name], ROWS)
                self.assertEqual((done.returncode, done.stdout), (2, b""))
                self.assertIn(b"--out: found ", done.stderr)
        self.assertTrue((self.folder / "link").is_symlink())
        self.assertEqual(self.names(), ["link"])
        self.assertFalse((ROOT / "-").exists())
        # What stands in the file already is kept, as by any program that writes to standard output.
        log = self.folder / "log"
        log.write_bytes(b"before\n")
        with open(log, "ab") as stream:
            self.assertEqual(run([*reprice, "--out", "/dev/stdout"], ROWS, stdout=stream).returncode, 0)
            stream.write(b"after\n")
        self.assertEqual(log.read_bytes(), b"before\n" + self.whole["reprice"] + b"after\n")
        with open(self.folder / "three", "wb") as stream:
            done = run([*reprice, "--out", f"/dev/fd/{stream.fileno()}"], ROWS, pass_fds=[stream.fileno()])
            self.assertEqual((done.returncode, done.stdout), (0, b""))
            stream.write(b"after\n")
        self.assertEqual((self.folder / "three").read_bytes(), self.whole["reprice"] + b"after\n")

    @unittest.skipUnless(os.path.exists("/dev/full"), "no /dev/full here")
    def test_devices_are_written_to_and_never_replaced(self):
        before = [os.lstat(path) for path in ("/dev/null", "/dev/full")]
        for arguments, _ in self.each():
            done = run([*arguments, "--out", "/dev/null"], ROWS)
            self.assertEqual(done.returncode, 0, done.stderr)
            done = run([*arguments, "--out", "/dev/full"], ROWS)
            self.assertEqual((done.returncode, done.stdout), (2, b""))
            self.assertIn(b"/dev/full: cannot be written: No space left on device", done.stderr)
        for was, path in zip(before, ("/dev/null", "/dev/full")):
            now = os.lstat(path)
            self.assertEqual((was.st_ino, was.st_mode, was.st_rdev), (now.st_ino, now.st_mode, now.st_rdev))

    def test_pipes_and_sockets_are_written_to(self):
        for arguments, whole in self.each():
            pipe = self.folder / "pipe"
            os.mkfifo(pipe)
            got = []
            reader = threading.Thread(target=lambda: got.append(pipe.read_bytes()), daemon=True)
            reader.start()
            done = run([*arguments, "--out", pipe], ROWS)
            reader.join(10)
            self.assertEqual((done.returncode, got), (0, [whole]), done.stderr)
            self.assertTrue(stat.S_ISFIFO(pipe.lstat().st_mode))
            pipe.unlink()
            with socket.socket(socket.AF_UNIX) as server:
                server.bind(str(self.folder / "socket"))
                server.listen()
                def accept():
                    with server.accept()[0] as connection, connection.makefile("rb") as file:
                        got.append(file.read())
                reader = threading.Thread(target=accept, daemon=True)
                reader.start()
                done = run([*arguments, "--out", self.folder / "socket"], ROWS)
                reader.join(10)
            self.assertEqual((done.returncode, got), (0, [whole, whole]), done.stderr)
            (self.folder / "socket").unlink()
            self.assertEqual(self.names(), [])

    def test_a_reader_that_goes_is_no_error(self):
        pipe = self.folder / "pipe"
        os.mkfifo(pipe)
        process = subprocess.Popen([tested.COMMAND, *REPRICE, "--out", pipe, "-"], cwd=ROOT, stdin=subprocess.PIPE, stderr=subprocess.PIPE)
        process.stdin.write(ROWS)
        process.stdin.flush()
        os.close(os.open(pipe, os.O_RDONLY))
        _, said = process.communicate(b"c,5,6 x 4 x 1\n" * 100_000)
        self.assertEqual((process.returncode, said), (0, b""))

    @tested.in_bulk
    def test_what_cannot_be_written_is_refused_before_anything_is(self):
        (self.folder / "folder").mkdir()
        (self.folder / "closed.csv").write_bytes(b"kept")
        (self.folder / "closed.csv").chmod(0o444)
        (self.folder / "circle").symlink_to("circle")
        (self.folder / "to-folder").symlink_to("folder")
        before = self.names()
        cases = [
            ("folder", b"found a folder, expected a file"),
            ("to-folder", b"found a folder, expected a file"),
            ("new/", b"found a folder's name, expected a file's"),
            ("closed.csv", b"found a file that may not be written (mode 0444), expected one that may"),
            ("circle", b"Too many levels of symbolic links"),
            ("nowhere/out.csv", b"No such file or directory"),
            ("closed.csv/out.csv", b"Not a directory"),
        ]
        for arguments, _ in self.each():
            for name, words in cases:
                done = run([*arguments, "--out", f"{self.folder}/{name}"], ROWS)
                self.assertEqual((done.returncode, done.stdout), (2, b""), name)
                self.assertIn(words, done.stderr)
                self.assertIn(name.encode(), done.stderr)
            done = run([*arguments, "--out", ""], ROWS)
            self.assertEqual((done.returncode, done.stdout), (2, b""))
            self.assertIn(b'--out: found "", expected a file\'s name', done.stderr)
        self.assertEqual((self.folder / "closed.csv").read_bytes(), b"kept")
        self.assertEqual(self.names(), before)

    def test_a_disk_that_fills_up_leaves_what_was_there(self):
        out = self.folder / "out.csv"
        def little():
            resource.setrlimit(resource.RLIMIT_FSIZE, (65536, 65536))
        for arguments, _ in self.each():
            for there in (False, True):
                if there:
                    out.write_bytes(b"kept")
                done = run([*arguments, "--out", out], ROWS + b"c,5,6 x 4 x 1\n" * 20_000, preexec_fn=little)
                self.assertEqual((done.returncode, done.stdout), (2, b""), done.stderr)
                self.assertIn(b"out.csv: cannot be written: File too large", done.stderr)
                self.assertEqual(self.names(), ["out.csv"] if there else [])
            self.assertEqual(out.read_bytes(), b"kept")
            out.unlink()

    @tested.in_bulk
    def test_signals_leave_nothing_behind(self):
        for arguments, _ in self.each():
            for number in (signal.SIGINT, signal.SIGTERM, signal.SIGHUP):
                process = self.begun(arguments)
                process.send_signal(number)
                process.stdin.close()
                self.assertEqual(process.wait(30), -number)
                self.assertEqual(self.names(), [])
        # Where a signal was to be ignored (nohup), it is.
        process = self.begun([*REPRICE, "-"], preexec_fn=lambda: signal.signal(signal.SIGHUP, signal.SIG_IGN))
        process.send_signal(signal.SIGHUP)
        process.communicate(b"")
        self.assertEqual((process.returncode, self.names()), (0, ["out.csv"]))

    def begun(self, arguments, **more):
        """A run that has begun to write, and waits for more rows."""
        process = subprocess.Popen([tested.COMMAND, *arguments, "--out", str(self.folder / "out.csv")], cwd=ROOT, stdin=subprocess.PIPE,
                                   stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL, **more)
        process.stdin.write(ROWS + b"c,5,6 x 4 x 1\n" * 20_000)
        process.stdin.flush()
        end = time.monotonic() + 60
        while not any(path.stat().st_size for path in self.folder.iterdir()):
            self.assertLess(time.monotonic(), end)
            time.sleep(0.01)
        return process

    @tested.in_bulk
    def test_of_two_runs_at_once_each_is_whole(self):
        out = self.folder / "out.csv"
        first = self.begun([*REPRICE, "-"])
        done = run([*REPRICE, "--out", out, "-"], ROWS)
        self.assertEqual(done.returncode, 0, done.stderr)
        self.assertEqual(out.read_bytes(), self.whole["reprice"])
        first.communicate(b"")
        self.assertEqual(first.returncode, 0)
        self.assertEqual(out.read_bytes().count(b"\n"), 20_003)
        self.assertEqual(self.names(), ["out.csv"])

    def test_over_the_catalogue_itself(self):
        for name, where in (("reprice", []), ("compare", ["--catalogue"])):
            with self.subTest(name):
                goods = self.folder / "goods.csv"
                goods.write_bytes(ROWS)
                arguments = {"reprice": REPRICE, "compare": COMPARE}[name]
                done = run([*arguments, *where, goods, "--out", goods])
                self.assertEqual(done.returncode, 0, done.stderr)
                self.assertEqual(goods.read_bytes(), self.whole[name])
        goods.write_bytes(ROWS)
        with open(goods, "ab") as stream:
            done = run([*REPRICE, goods], stdout=stream, stderr=subprocess.PIPE)
        self.assertEqual(done.returncode, 2)
        self.assertIn(b"expected another file than the catalogue", done.stderr)
        self.assertEqual(goods.read_bytes(), ROWS)

    def test_pipes_that_do_not_wait(self):
        """Standard streams that another program has made non-blocking."""
        goods = (ROOT / GOODS).read_bytes()
        whole = run([*REPRICE, "-"], goods).stdout
        out_reader, out_writer = os.pipe()
        in_reader, in_writer = os.pipe()
        for end in (out_writer, in_reader):
            fcntl.fcntl(end, fcntl.F_SETFL, fcntl.fcntl(end, fcntl.F_GETFL) | os.O_NONBLOCK)
        process = subprocess.Popen([tested.COMMAND, *REPRICE, "-"], cwd=ROOT, stdin=in_reader, stdout=out_writer, stderr=subprocess.PIPE)
        os.close(out_writer)
        os.close(in_reader)
        def feed():
            time.sleep(0.2)
            with os.fdopen(in_writer, "wb") as stream:
                stream.write(goods)
        threading.Thread(target=feed, daemon=True).start()
        time.sleep(0.6)
        with os.fdopen(out_reader, "rb") as stream:
            got = stream.read()
        self.assertEqual(process.wait(30), 0, process.stderr.read())
        process.stderr.close()
        self.assertTrue(got == whole)


class Read(Folder):
    """Folders of tables and single files: each that cannot be read is named with the reason, and nothing waits."""

    TARIFF = """{"format": "tarewise-tariff-1", "carrier": {"code": "harbourline", "name": "Harbourline Post"}, "title": "List",
 "currency": "USD", "in_force": {"from": "2026-07-12"}, "zones": {"main": [{"kind": "one", "zone": "1"}]},
 "services": [{"code": "ground", "title": "Ground", "zones": "main", "mode": "surface", "prices": [PRICE]}]}
"""
    PRICE = '{"amount": 5}'
    GRID = '{"table": {"by": "weight", "unit": "lb", "csv": "ground.csv"}}'
    SHELF = "code,title,kind,inside,tare,cost,currency\nbag,Bag,mailer,9 x 12 in,1 oz,0.30,USD\n"
    POINTS = "country,prefix,latitude,longitude\nUS,054,44,-73\n"
    MIX = "country,postal_code,share\nUS,98101,1\n"
    REQUEST = """{"format": "tarewise-request-1", "parcel": {"weight": "1 lb", "sides": "7 x 5 x 3 in"}, "from": {"country": "US",
 "postal_code": "05401"}, "to": {"country": "US", "postal_code": "98101"}, "date": "2026-08-03", "currency": "USD"}
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

    @tested.in_bulk
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

    def test_values_on_a_date(self):
        # Of one column one price goes by a value that is overdue, and another has none.
        prices = ('{"amount": {"series": "fuel"}}, {"amount": {"series": "fuel", "at_least": [[100, 1]]}}, '
                  '{"amount": {"series": "fuel", "over": [[1, 2]]}}')
        series = '"series": {"fuel": {"columns": ["road"], "rows": [["2026-07-06", 11]], "good_for": "7 days"}}, "zones"'
        self.write("a.json", self.TARIFF.replace("PRICE", prices).replace('"zones"', series, 1))
        done = run(["check", self.tables, "--date", "2026-08-03"])
        said = done.stderr.decode().splitlines()
        self.assertEqual([line.split(": ", 1)[1] for line in said if "38" in line],
                         ['warning 385: found the column "road" without a value since 2026-07-13, expected one for 2026-08-03 (at /series/fuel)',
                          'warning 386: found no value in the column "road" on 2026-08-03, expected one (at /series/fuel)'], said)

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

    @tested.in_bulk
    def test_what_is_no_document_catalogue_request_or_mix(self):
        path = self.folder / "x"
        for words in self.spoil(path):
            self.assertIn("0 documents checked, 1 error", self.said(["check", path]))
            for arguments in (["check", path], ["compare", path, path], ["rank", "--tables", DEMO, path],
                              [*REPRICE, path], [*COMPARE, "--catalogue", path], ["reprice", "--tables", DEMO, "--from", "US 05401",
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
        program = shutil.copy(tested.COMMAND, self.folder / "tarewise")
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
        process = subprocess.Popen([tested.COMMAND, *REPRICE, "--out", pipe, goods], cwd=ROOT, stderr=subprocess.PIPE)
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
        mixed = ["reprice", "--tables", DEMO, "--from", "US 05401", "--date", "2026-08-03", "--currency", "USD", "--mix"]
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
        mixed = ["reprice", "--tables", DEMO, "--from", "US 05401", "--date", "2026-08-03", "--currency", "USD", GOODS, "--mix"]
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


if __name__ == "__main__":
    tested.main(__doc__)
