"""The file of a record: opened, brought up to date, and written to in transactions that terminals take turns at."""

from __future__ import annotations

import sqlite3
import uuid
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from time import monotonic, sleep
from types import TracebackType
from typing import Self

from sideplate_trainer.log_schema import MIGRATIONS, statements

BUSY_SECONDS = 5.0
"""How long to wait for another terminal to finish writing."""

AGAIN_SECONDS = 0.02
PRIMARY_CODE = 0xFF
"""The low byte of an error's code tells its kind, the rest the occasion."""


class LogRefused(Exception):
    """The log cannot be used; the message says why, and what to do."""


class LogFile:
    """One SQLite file. Use it as a context; every write is on disk when its transaction ends."""

    def __init__(self, path: Path) -> None:
        """Opens the file, making it where there is none and bringing an older one up to date. Raises LogRefused."""
        self.path = path
        try:
            path.parent.mkdir(parents=True, exist_ok=True)
        except OSError as problem:
            raise LogRefused(
                f"The folder {path.parent} for the record cannot be made: {problem.strerror}."
            ) from None
        self._connection = self._connect()
        try:
            self._prepare()
        except BaseException:
            self._connection.close()
            raise

    def __enter__(self) -> Self:
        return self

    def __exit__(
        self, kind: type[BaseException] | None, raised: BaseException | None, trace: TracebackType | None
    ) -> None:
        self.close()

    def close(self) -> None:
        """Closes the file."""
        self._connection.close()

    def _connect(self) -> sqlite3.Connection:
        try:
            return sqlite3.connect(self.path, timeout=BUSY_SECONDS, isolation_level=None)
        except sqlite3.Error as problem:
            raise LogRefused(f"The record {self.path} cannot be opened: {problem}.") from None

    def _prepare(self) -> None:
        with self.translated():
            self._log_ahead()
            self._connection.execute("PRAGMA synchronous = FULL")
            self._connection.execute("PRAGMA foreign_keys = ON")
            self._migrate()

    def _log_ahead(self) -> None:
        """Turns the write-ahead log on; where there can be none (no shared memory), the older journal stays.

        SQLite waits for another terminal everywhere but here: two that turn it on at once get an error straight away.
        """
        until = monotonic() + BUSY_SECONDS
        while True:
            try:
                self._connection.execute("PRAGMA journal_mode = WAL")
            except sqlite3.OperationalError as problem:
                if problem.sqlite_errorcode & PRIMARY_CODE != sqlite3.SQLITE_BUSY or monotonic() > until:
                    raise
                sleep(AGAIN_SECONDS)
            else:
                return

    def _migrate(self) -> None:
        newest = len(MIGRATIONS)
        version = self._version()
        if version == newest:
            return
        if 0 < version < newest:
            self._copy_of(version)
        with self.writing():
            # Asked again inside the transaction: another terminal may have migrated meanwhile.
            version = self._version()
            if version > newest:
                raise LogRefused(
                    f"The record {self.path} was written by a newer Sideplate; update this one to use it."
                )
            if version == 0 and self.one("SELECT count(*) FROM sqlite_schema"):
                raise LogRefused(
                    f"{self.path} is a database of something else; name another file for the record."
                )
            for step in MIGRATIONS[version:]:
                for statement in statements(step):
                    self._connection.execute(statement)
            self._connection.execute(f"PRAGMA user_version = {newest}")

    def _version(self) -> int:
        return int(str(self.one("PRAGMA user_version")))

    def _copy_of(self, version: int) -> None:
        """Keeps a copy of the record as it was before it is changed; the first copy stays."""
        copy = self.path.with_name(f"{self.path.name}.version-{version}")
        if copy.is_file():
            return
        # Under a name of its own first, so that a copy broken off is never taken for a whole one.
        begun = copy.with_name(f"{copy.name}.{uuid.uuid4().hex}")
        try:
            self._connection.execute("VACUUM INTO ?", (str(begun),))
            begun.replace(copy)
        except OSError as problem:
            begun.unlink(missing_ok=True)
            raise LogRefused(
                f"The record {self.path} cannot be copied before it is brought up to date: {problem.strerror}."
            ) from None

    def one(self, statement: str, values: tuple[object, ...] = ()) -> object:
        """The first value of the first row that a statement gives; None where it gives no row."""
        row = self._connection.execute(statement, values).fetchone()
        return None if row is None else row[0]

    @contextmanager
    def writing(self) -> Iterator[sqlite3.Connection]:
        """A transaction that takes the write lock at once, so that two terminals wait for each other and never fail."""
        self._connection.execute("BEGIN IMMEDIATE")
        try:
            yield self._connection
        except BaseException:
            self._connection.execute("ROLLBACK")
            raise
        self._connection.execute("COMMIT")

    @contextmanager
    def translated(self) -> Iterator[sqlite3.Connection]:
        """Where an error of the database becomes a refusal in words."""
        try:
            yield self._connection
        except sqlite3.Error as problem:
            raise LogRefused(f"The record {self.path} cannot be used: {problem}.") from problem
