"""The tables of the log of answers, and how a log of an earlier version is brought up to date."""

from __future__ import annotations

import sqlite3
from collections.abc import Iterator

MIGRATIONS: tuple[str, ...] = (
    """
    CREATE TABLE learner (
        id TEXT PRIMARY KEY,
        made_at TEXT NOT NULL
    ) STRICT;
    CREATE TABLE round (
        id TEXT PRIMARY KEY,
        learner TEXT NOT NULL REFERENCES learner (id),
        asked_for TEXT NOT NULL,
        planned TEXT NOT NULL,
        wanted INTEGER NOT NULL,
        day_local TEXT NOT NULL,
        begun_at TEXT NOT NULL,
        ended_at TEXT
    ) STRICT;
    CREATE TABLE answer (
        uuid TEXT NOT NULL UNIQUE,
        number INTEGER PRIMARY KEY AUTOINCREMENT,
        learner TEXT NOT NULL REFERENCES learner (id),
        round TEXT NOT NULL REFERENCES round (id),
        rule TEXT NOT NULL,
        rule_fingerprint TEXT NOT NULL,
        way TEXT NOT NULL,
        seed INTEGER NOT NULL,
        response TEXT NOT NULL,
        key TEXT NOT NULL,
        is_right INTEGER NOT NULL CHECK (is_right IN (0, 1)),
        grade TEXT NOT NULL CHECK (grade IN ('sound', 'shaky', 'missed', 'blind spot')),
        blamed_rule TEXT,
        hints INTEGER NOT NULL,
        unsure INTEGER NOT NULL CHECK (unsure IN (0, 1)),
        ms INTEGER NOT NULL,
        at_utc TEXT NOT NULL,
        day_local TEXT NOT NULL,
        tool_version TEXT NOT NULL
    ) STRICT;
    CREATE INDEX answer_of_round ON answer (round);
    CREATE TRIGGER answer_is_kept BEFORE UPDATE ON answer BEGIN
        SELECT RAISE(ABORT, 'an answer in the log is never changed');
    END;
    """,
    """
    ALTER TABLE answer ADD COLUMN purpose TEXT NOT NULL DEFAULT 'practice'
        CHECK (purpose IN ('practice', 'placement', 'exam'));
    ALTER TABLE answer ADD COLUMN guided INTEGER NOT NULL DEFAULT 0 CHECK (guided IN (0, 1));
    ALTER TABLE round ADD COLUMN seed INTEGER;
    CREATE TABLE setting (
        learner TEXT NOT NULL REFERENCES learner (id),
        name TEXT NOT NULL,
        value TEXT NOT NULL,
        PRIMARY KEY (learner, name)
    ) STRICT;
    CREATE TABLE draft (
        round TEXT PRIMARY KEY REFERENCES round (id),
        rule TEXT NOT NULL,
        hints INTEGER NOT NULL,
        helped INTEGER NOT NULL CHECK (helped IN (0, 1)),
        unsure INTEGER NOT NULL CHECK (unsure IN (0, 1))
    ) STRICT;
    """,
)
"""Each takes a log from the version before to its own. What has been released is never edited; new steps follow it."""


def statements(script: str) -> Iterator[str]:
    """The statements of a script one by one, since running a whole script would commit behind a transaction's back."""
    gathered = ""
    for line in script.splitlines(keepends=True):
        gathered += line
        if sqlite3.complete_statement(gathered):
            yield gathered
            gathered = ""
