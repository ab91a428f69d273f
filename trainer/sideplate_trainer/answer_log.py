"""The log of answers: append-only, in SQLite. All that is known of a learner is derived from it.

An answer is on disk before its ruling is shown, so a process killed at any moment loses at most the question on the
screen. Several terminals may write to one log. Only this module touches the database.
"""

from __future__ import annotations

import json
import sqlite3
import uuid
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from datetime import UTC, date, datetime
from pathlib import Path
from types import TracebackType

from sideplate_trainer.answers import Answer, Grade, LoggedAnswer
from sideplate_trainer.log_schema import MIGRATIONS, statements

BUSY_SECONDS = 5.0
"""How long to wait for another terminal to finish writing."""


class LogRefused(Exception):
    """The log cannot be used; the message says why, and what to do."""


@dataclass(frozen=True, slots=True)
class OpenRound:
    """A round that was begun and not ended: what it was asked for, what it planned, and what was answered in it."""

    id: str
    planned: tuple[tuple[str, str, int], ...]
    wanted: int
    answered: tuple[LoggedAnswer, ...]


class AnswerLog:
    """One log file. Use it as a context; every write is committed when its method returns."""

    def __init__(self, path: Path, tool_version: str) -> None:
        """Opens the log, making it where there is none and bringing an older one up to date. Raises LogRefused."""
        self.path = path
        self.tool_version = tool_version
        try:
            path.parent.mkdir(parents=True, exist_ok=True)
        except OSError as problem:
            raise LogRefused(
                f"The folder {path.parent} for the record cannot be made: {problem.strerror}."
            ) from None
        self._connection = self._connect()
        try:
            self._prepare()
            self.learner = self._only_learner()
        except BaseException:
            self._connection.close()
            raise

    def __enter__(self) -> AnswerLog:
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
        with self._translated():
            # Where there can be no write-ahead log (a file system without shared memory), the older journal stays.
            self._connection.execute("PRAGMA journal_mode = WAL")
            self._connection.execute("PRAGMA synchronous = FULL")
            self._connection.execute("PRAGMA foreign_keys = ON")
            self._migrate()

    def _migrate(self) -> None:
        newest = len(MIGRATIONS)
        if self._one("PRAGMA user_version") == newest:
            return
        with self._writing():
            # Asked again inside the transaction: another terminal may have migrated meanwhile.
            version = int(str(self._one("PRAGMA user_version")))
            if version > newest:
                raise LogRefused(
                    f"The record {self.path} was written by a newer Sideplate; update this one to use it."
                )
            if version == 0 and self._one("SELECT count(*) FROM sqlite_schema"):
                raise LogRefused(
                    f"{self.path} is a database of something else; name another file for the record."
                )
            for step in MIGRATIONS[version:]:
                for statement in statements(step):
                    self._connection.execute(statement)
            self._connection.execute(f"PRAGMA user_version = {newest}")

    def _only_learner(self) -> str:
        """The learner of this log, under a name that says nothing about the person."""
        first = "SELECT id FROM learner ORDER BY made_at LIMIT 1"
        with self._translated():
            if self._connection.execute(first).fetchone() is None:
                made_at = _utc(datetime.now().astimezone())
                with self._writing():
                    # Only if still nobody is there: another terminal may have been first.
                    self._connection.execute(
                        "INSERT INTO learner SELECT ?, ? WHERE NOT EXISTS (SELECT 1 FROM learner)",
                        (str(uuid.uuid4()), made_at),
                    )
            return str(self._one(first))

    def begin_round(
        self,
        asked_for: dict[str, object],
        planned: Sequence[tuple[str, str, int]],
        wanted: int,
        day: date,
        at: datetime,
    ) -> str:
        """Writes down a round and what it plans to ask; returns its id."""
        id_ = str(uuid.uuid4())
        row = (
            id_, self.learner, _canonical(asked_for), json.dumps(list(planned)), wanted, day.isoformat(), _utc(at)
        )  # fmt: skip
        with self._translated(), self._writing():
            self._connection.execute("INSERT INTO round VALUES (?, ?, ?, ?, ?, ?, ?, NULL)", row)
        return id_

    def end_round(self, id_: str, at: datetime) -> None:
        """Marks a round as ended, so that it is not gone on with."""
        with self._translated(), self._writing():
            self._connection.execute("UPDATE round SET ended_at = ? WHERE id = ?", (_utc(at), id_))

    def open_round(self, asked_for: dict[str, object], day: date) -> OpenRound | None:
        """The latest round of the day that was asked for in the same words and not ended, with its answers."""
        with self._translated():
            found = self._connection.execute(
                "SELECT id, planned, wanted FROM round WHERE learner = ? AND asked_for = ? AND day_local = ?"
                " AND ended_at IS NULL ORDER BY begun_at DESC LIMIT 1",
                (self.learner, _canonical(asked_for), day.isoformat()),
            ).fetchone()
            if found is None:
                return None
            id_, planned, wanted = found
            plans = tuple((str(rule), str(way), int(seed)) for rule, way, seed in json.loads(planned))
            return OpenRound(str(id_), plans, int(wanted), self._answers("AND round = ?", (id_,)))

    def count_in_round(self, id_: str) -> int:
        """How many answers of a round are on disk."""
        with self._translated():
            found = self._connection.execute("SELECT count(*) FROM answer WHERE round = ?", (id_,)).fetchone()
            return int(found[0])

    def add(self, round_id: str, answer: Answer, fingerprint: str, ms: int, day: date, at: datetime) -> str:
        """Writes an answer down; it is on disk when this returns. Returns its id."""
        id_ = str(uuid.uuid4())
        row = (
            id_, self.learner, round_id, answer.rule, fingerprint, answer.way, answer.seed, answer.response,
            answer.key, int(answer.right), answer.grade.value, answer.blamed_rule, answer.hints, int(answer.unsure),
            ms, _utc(at), day.isoformat(), self.tool_version,
        )  # fmt: skip
        with self._translated(), self._writing():
            self._connection.execute(
                "INSERT INTO answer (uuid, learner, round, rule, rule_fingerprint, way, seed, response, key, is_right,"
                " grade, blamed_rule, hints, unsure, ms, at_utc, day_local, tool_version)"
                f" VALUES ({', '.join('?' * len(row))})",
                row,
            )
        return id_

    def answers(self) -> tuple[LoggedAnswer, ...]:
        """Every answer of the learner, in the order given."""
        with self._translated():
            return self._answers("", ())

    def _answers(self, which: str, values: tuple[object, ...]) -> tuple[LoggedAnswer, ...]:
        rows = self._connection.execute(
            "SELECT rule, rule_fingerprint, way, grade, blamed_rule, day_local FROM answer"
            f" WHERE learner = ? {which} ORDER BY number",
            (self.learner, *values),
        )
        return tuple(
            LoggedAnswer(rule, printed, way, Grade(grade), blamed, date.fromisoformat(day))
            for rule, printed, way, grade, blamed, day in rows
        )

    def _one(self, statement: str) -> object:
        return self._connection.execute(statement).fetchone()[0]

    @contextmanager
    def _writing(self) -> Iterator[None]:
        """A transaction that takes the write lock at once, so that two terminals wait for each other and never fail."""
        self._connection.execute("BEGIN IMMEDIATE")
        try:
            yield
        except BaseException:
            self._connection.execute("ROLLBACK")
            raise
        self._connection.execute("COMMIT")

    @contextmanager
    def _translated(self) -> Iterator[None]:
        try:
            yield
        except sqlite3.Error as problem:
            raise LogRefused(f"The record {self.path} cannot be used: {problem}.") from problem


def _canonical(asked_for: dict[str, object]) -> str:
    return json.dumps(asked_for, sort_keys=True)


def _utc(at: datetime) -> str:
    """A moment with its zone, to the millisecond, in UTC."""
    return at.astimezone(UTC).isoformat(timespec="milliseconds")
