"""Errors. All of them are ValueErrors that say where, what was found and what was expected."""

from __future__ import annotations

from typing import Any

from tarewise._values import Diagnostic

__all__ = ["QuantityError", "RepriceInterrupted", "RequestError", "TarewiseError", "TariffError"]


class TarewiseError(ValueError):
    """What every error of this package is.

    ``file``, ``line`` and ``column`` (from 1) and ``pointer`` (a JSON pointer) say where, as far as there is a document;
    ``pointer`` also names the argument. ``code`` is the finding's pinned number. ``diagnostics`` holds everything that was
    found, warnings too.

    >>> try:
    ...     tw.Item("1 lb", "9 x 6 in")
    ... except tw.TarewiseError as error:
    ...     print(type(error).__name__, error.pointer)
    QuantityError /sides
    """

    def __init__(
        self,
        message: str,
        *,
        code: int | None = None,
        file: str | None = None,
        line: int | None = None,
        column: int | None = None,
        pointer: str | None = None,
        diagnostics: tuple[Diagnostic, ...] = (),
    ) -> None:
        super().__init__(message)
        self.code = code
        self.file = file or None
        self.line = line or None
        self.column = column or None
        self.pointer = pointer
        self.diagnostics = diagnostics

    def __reduce__(self) -> tuple[Any, ...]:
        return (type(self), self.args, self.__dict__)


class QuantityError(TarewiseError):
    """A weight, a length, an amount, a date or a code that cannot be read.

    >>> tw.Weight("1 stone")
    Traceback (most recent call last):
        ...
    tarewise.errors.QuantityError: found "1 stone", expected a weight such as "10.5 oz", "1 lb 3 oz" or "2.5 kg"
    """


class TariffError(TarewiseError):
    """Tables that cannot be read: tariffs, terms, shelves, gazetteers. Nothing is half-loaded.

    >>> tw.load("tables/nowhere")
    Traceback (most recent call last):
        ...
    tarewise.errors.TariffError: tables/nowhere: error 501: found no such folder, expected a folder of tables
    """


class RequestError(TarewiseError):
    """A request that cannot be answered. That nothing can be offered is an answer, not an error.

    >>> tw.rank(tables.ratebook, item, lane=lane, date="2026-08-03")
    Traceback (most recent call last):
        ...
    tarewise.errors.RequestError: currency: found none in the request and several among the tariffs in force and the shelf (EUR, USD), expected the request to name one
    """


class RepriceInterrupted(KeyboardInterrupt):
    """Repricing was stopped with Ctrl-C. The catalogue is as it was, and what was done is not lost.

    ``result`` is the catalogue with the columns added: rows that were not reached have the reason ``not_done``. They are the last
    ones; of a catalogue with orders any, but no order is done in part. ``rows_done``: how many are priced.

    >>> tw.RepriceInterrupted(2, None).rows_done
    2
    """

    def __init__(self, rows_done: int, result: Any) -> None:
        super().__init__(f"stopped after {rows_done} rows")
        self.rows_done = rows_done
        self.result = result

    def __reduce__(self) -> tuple[Any, ...]:
        return (type(self), (self.rows_done, self.result))
