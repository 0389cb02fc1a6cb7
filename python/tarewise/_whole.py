"""Files that are whole or not there."""

from __future__ import annotations

import contextlib
import os
import secrets
import stat
from collections.abc import Iterator, Sequence

from tarewise.errors import TarewiseError


def check_target(path: str) -> None:
    """Refuses what cannot be written to before any work is done. Errors: TarewiseError, OSError."""
    try:
        status = os.stat(path)
    except FileNotFoundError:
        real = os.path.realpath(path)
        folder = os.path.dirname(real)
        if not os.path.isdir(folder):
            raise TarewiseError(f"found no folder {folder!r} to write into, expected one", file=path) from None
        if not os.path.basename(path):
            raise TarewiseError("found a folder, expected a file to write", file=path) from None
        return
    if stat.S_ISDIR(status.st_mode):
        raise TarewiseError("found a folder, expected a file to write", file=path)
    if stat.S_ISBLK(status.st_mode):
        raise TarewiseError("found a disk, expected a file to write", file=path)
    if not os.access(path, os.W_OK):
        raise TarewiseError("found a file that may not be written, expected one that may", file=path)


def write_whole(files: Sequence[tuple[str, bytes]]) -> None:
    """Writes files beside their targets and renames them when all are whole; the last one is there only after the others.

    Links stay, and so do the rights of a file that was there. Devices and pipes are written to as they are.
    """
    with contextlib.ExitStack() as undo:
        renames: list[tuple[str, str]] = []
        streams: list[tuple[str, bytes]] = []
        for path, data in files:
            check_target(path)
            status = os.stat(path) if os.path.exists(path) else None
            if status is not None and not stat.S_ISREG(status.st_mode):
                streams.append((path, data))
                continue
            real = os.path.realpath(path)
            renames.append((undo.enter_context(_temporary(real, status, data)), real))
        for path, data in streams:
            with open(path, "wb") as stream:
                stream.write(data)
        for temporary, real in renames:
            os.replace(temporary, real)


@contextlib.contextmanager
def _temporary(real: str, status: os.stat_result | None, data: bytes) -> Iterator[str]:
    """A file of its own beside the real target, with the data on the disk; gone afterwards unless it was renamed."""
    path = os.path.join(os.path.dirname(real), f".tarewise-{secrets.token_hex(8)}")
    flags = os.O_WRONLY | os.O_CREAT | os.O_EXCL | getattr(os, "O_BINARY", 0)
    handle = os.open(path, flags, 0o666 if status is None else 0o600)
    try:
        with open(handle, "wb") as file:
            if status is not None and hasattr(os, "fchmod"):
                with contextlib.suppress(OSError):  # another's file, where one may not give it away
                    if (status.st_uid, status.st_gid) != (os.fstat(file.fileno()).st_uid, os.fstat(file.fileno()).st_gid):
                        os.fchown(file.fileno(), status.st_uid, status.st_gid)
                os.fchmod(file.fileno(), stat.S_IMODE(status.st_mode))
            file.write(data)
            file.flush()
            os.fsync(file.fileno())
        yield path
    finally:
        with contextlib.suppress(FileNotFoundError):
            os.unlink(path)
