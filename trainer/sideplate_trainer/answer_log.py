"""The log of answers: append-only, in SQLite. All that is known of a learner is derived from it.

An answer is on disk before its ruling is shown, so a process killed at any moment loses at most the question on the
screen. Several terminals may write to one log. Only this module and `log_file` touch the database.
"""

from __future__ import annotations

import json
import uuid
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import UTC, date, datetime
from pathlib import Path

from sideplate_trainer.answers import Answer, Draft, Grade, LoggedAnswer, Purpose
from sideplate_trainer.log_file import BUSY_SECONDS, LogFile, LogRefused

__all__ = ["BUSY_SECONDS", "AnswerLog", "LogRefused", "OpenRound"]


@dataclass(frozen=True, slots=True)
class OpenRound:
    """A round that was begun and not ended: what it planned, what was answered in it, and the help taken since.

    `ms` is the time that its answers took together.
    """

    id: str
    planned: tuple[tuple[str, str, int], ...]
    wanted: int
    answered: tuple[LoggedAnswer, ...]
    draft: Draft | None = None
    ms: int = 0
    seed: int | None = None


class AnswerLog(LogFile):
    """One learner's log. Use it as a context; every write is committed when its method returns."""

    def __init__(self, path: Path, tool_version: str | None = None) -> None:
        """Opens the log, making it where there is none and bringing an older one up to date. Raises LogRefused.

        Without a version, answers are written down with that of the installed Sideplate.
        """
        super().__init__(path)
        self._tool_version = tool_version
        try:
            self.learner = self._only_learner()
        except BaseException:
            self.close()
            raise

    @property
    def tool_version(self) -> str:
        """The version that answers are written down with."""
        if self._tool_version is None:
            # Looked up when it is wanted: that takes as long as opening the log.
            from importlib.metadata import version

            self._tool_version = version("sideplate")
        return self._tool_version

    def _only_learner(self) -> str:
        """The learner of this log, under a name that says nothing about the person."""
        first = "SELECT id FROM learner ORDER BY made_at LIMIT 1"
        with self.translated():
            if self.one(first) is None:
                made_at = _utc(datetime.now().astimezone())
                with self.writing() as connection:
                    # Only if still nobody is there: another terminal may have been first.
                    connection.execute(
                        "INSERT INTO learner SELECT ?, ? WHERE NOT EXISTS (SELECT 1 FROM learner)",
                        (str(uuid.uuid4()), made_at),
                    )
            return str(self.one(first))

    def begin_round(
        self,
        asked_for: dict[str, object],
        planned: Sequence[tuple[str, str, int]],
        wanted: int,
        day: date,
        at: datetime,
        seed: int | None = None,
    ) -> str:
        """Writes down a round, what it plans to ask and from which seed; returns its id."""
        id_ = str(uuid.uuid4())
        row = (
            id_, self.learner, _canonical(asked_for), json.dumps(list(planned)), wanted, day.isoformat(), _utc(at),
            seed,
        )  # fmt: skip
        with self.translated(), self.writing() as connection:
            connection.execute("INSERT INTO round VALUES (?, ?, ?, ?, ?, ?, ?, NULL, ?)", row)
        return id_

    def end_round(self, id_: str, at: datetime) -> None:
        """Marks a round as ended, so that it is not gone on with."""
        with self.translated(), self.writing() as connection:
            connection.execute("UPDATE round SET ended_at = ? WHERE id = ?", (_utc(at), id_))
            connection.execute("DELETE FROM draft WHERE round = ?", (id_,))

    def open_round(self, asked_for: dict[str, object], day: date) -> OpenRound | None:
        """The latest round of the day that was asked for in the same words and not ended, with its answers."""
        with self.translated() as connection:
            found = connection.execute(
                "SELECT id, planned, wanted, seed FROM round WHERE learner = ? AND asked_for = ? AND day_local = ?"
                " AND ended_at IS NULL ORDER BY begun_at DESC LIMIT 1",
                (self.learner, _canonical(asked_for), day.isoformat()),
            ).fetchone()
            if found is None:
                return None
            id_, planned, wanted, seed = found
            ms = self.one("SELECT coalesce(sum(ms), 0) FROM answer WHERE round = ?", (id_,))
            return OpenRound(
                id_,
                tuple((rule, way, seed) for rule, way, seed in json.loads(planned)),
                wanted,
                self._answers("AND round = ?", (id_,)),
                self._draft(id_),
                int(str(ms)),
                seed,
            )

    def count_in_round(self, id_: str) -> int:
        """How many answers of a round are on disk."""
        with self.translated():
            return int(str(self.one("SELECT count(*) FROM answer WHERE round = ?", (id_,))))

    def keep_draft(self, round_id: str, draft: Draft) -> None:
        """Writes down the help taken and the doubt told on the question at hand, before they are answered to."""
        row = (round_id, draft.rule, draft.hints, int(draft.helped), int(draft.unsure))
        with self.translated(), self.writing() as connection:
            connection.execute("INSERT OR REPLACE INTO draft VALUES (?, ?, ?, ?, ?)", row)

    def _draft(self, round_id: str) -> Draft | None:
        row = self._connection.execute(
            "SELECT rule, hints, helped, unsure FROM draft WHERE round = ?", (round_id,)
        ).fetchone()
        return None if row is None else Draft(row[0], row[1], bool(row[2]), bool(row[3]))

    def add(self, round_id: str, answer: Answer, fingerprint: str, ms: int, day: date, at: datetime) -> str:
        """Appends an answer, and drops the draft of it, in one transaction; returns its id once it is on disk.

        `ms` is the time it took, `day` the learner's own calendar day.
        """
        id_ = str(uuid.uuid4())
        row = {
            "uuid": id_, "learner": self.learner, "round": round_id, "rule": answer.rule,
            "rule_fingerprint": fingerprint, "way": answer.way, "seed": answer.seed, "response": answer.response,
            "key": answer.key, "is_right": int(answer.right), "grade": answer.grade.value,
            "blamed_rule": answer.blamed_rule, "hints": answer.hints, "unsure": int(answer.unsure), "ms": ms,
            "at_utc": _utc(at), "day_local": day.isoformat(), "tool_version": self.tool_version,
            "purpose": answer.purpose.value, "guided": int(answer.guided),
        }  # fmt: skip
        with self.translated(), self.writing() as connection:
            connection.execute(
                f"INSERT INTO answer ({', '.join(row)}) VALUES ({', '.join('?' * len(row))})",
                tuple(row.values()),
            )
            connection.execute("DELETE FROM draft WHERE round = ?", (round_id,))
        return id_

    def answers(self) -> tuple[LoggedAnswer, ...]:
        """Every answer of the learner, in the order given."""
        with self.translated():
            return self._answers("", ())

    def answers_in_round(self, id_: str) -> tuple[LoggedAnswer, ...]:
        """The answers of one round, in the order given."""
        with self.translated():
            return self._answers("AND round = ?", (id_,))

    def _answers(self, which: str, values: tuple[object, ...]) -> tuple[LoggedAnswer, ...]:
        rows = self._connection.execute(
            "SELECT rule, rule_fingerprint, way, grade, blamed_rule, day_local, unsure, guided, purpose, response,"
            f" key, seed FROM answer WHERE learner = ? {which} ORDER BY number",
            (self.learner, *values),
        )
        return tuple(_logged(*row) for row in rows)

    def setting(self, name: str) -> object:
        """A setting kept with the record; None where it was never made."""
        with self.translated():
            kept = self.one("SELECT value FROM setting WHERE learner = ? AND name = ?", (self.learner, name))
            return None if kept is None else json.loads(str(kept))

    def keep_setting(self, name: str, value: object) -> None:
        """Keeps a setting (whatever JSON can hold) with the record; None takes it away."""
        with self.translated(), self.writing() as connection:
            if value is None:
                connection.execute("DELETE FROM setting WHERE learner = ? AND name = ?", (self.learner, name))
            else:
                connection.execute(
                    "INSERT OR REPLACE INTO setting VALUES (?, ?, ?)",
                    (self.learner, name, json.dumps(value)),
                )


def _logged(
    rule: str, printed: str, way: str, grade: str, blamed: str | None, day: str, unsure: int, guided: int, purpose: str,
    response: str, key: str, seed: int,
) -> LoggedAnswer:  # fmt: skip
    return LoggedAnswer(
        rule, printed, way, Grade(grade), blamed, date.fromisoformat(day), bool(unsure), bool(guided),
        Purpose(purpose), response, key, seed,
    )  # fmt: skip


def _canonical(asked_for: dict[str, object]) -> str:
    return json.dumps(asked_for, sort_keys=True)


def _utc(at: datetime) -> str:
    """A moment with its zone, to the millisecond, in UTC."""
    return at.astimezone(UTC).isoformat(timespec="milliseconds")
