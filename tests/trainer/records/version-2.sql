PRAGMA user_version = 2;
BEGIN TRANSACTION;
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
    , purpose TEXT NOT NULL DEFAULT 'practice'
        CHECK (purpose IN ('practice', 'placement', 'exam')), guided INTEGER NOT NULL DEFAULT 0 CHECK (guided IN (0, 1))) STRICT;
INSERT INTO "answer" VALUES('00000000-0000-0000-0000-000000000003',1,'00000000-0000-0000-0000-000000000001','00000000-0000-0000-0000-000000000002','connector-code-differs','f1','is_this_allowed',7,'must not','must not',1,'sound',NULL,0,0,4200,'2026-03-02T18:30:00.000+00:00','2026-03-02','0.1.0','practice',0);
INSERT INTO "answer" VALUES('00000000-0000-0000-0000-000000000004',2,'00000000-0000-0000-0000-000000000001','00000000-0000-0000-0000-000000000002','chain-pitch-from-size','f2','how_much',8,'15 mm','15.875 mm',0,'missed','chain-pitch-from-size',2,1,9100,'2026-03-02T18:30:00.000+00:00','2026-03-02','0.1.0','practice',0);
CREATE TABLE draft (
        round TEXT PRIMARY KEY REFERENCES round (id),
        rule TEXT NOT NULL,
        hints INTEGER NOT NULL,
        helped INTEGER NOT NULL CHECK (helped IN (0, 1)),
        unsure INTEGER NOT NULL CHECK (unsure IN (0, 1))
    ) STRICT;
INSERT INTO "draft" VALUES('00000000-0000-0000-0000-000000000002','petrol-on-rings',1,0,0);
CREATE TABLE learner (
        id TEXT PRIMARY KEY,
        made_at TEXT NOT NULL
    ) STRICT;
INSERT INTO "learner" VALUES('00000000-0000-0000-0000-000000000001','2026-03-02T18:30:00.000+00:00');
CREATE TABLE round (
        id TEXT PRIMARY KEY,
        learner TEXT NOT NULL REFERENCES learner (id),
        asked_for TEXT NOT NULL,
        planned TEXT NOT NULL,
        wanted INTEGER NOT NULL,
        day_local TEXT NOT NULL,
        begun_at TEXT NOT NULL,
        ended_at TEXT
    , seed INTEGER) STRICT;
INSERT INTO "round" VALUES('00000000-0000-0000-0000-000000000002','00000000-0000-0000-0000-000000000001','{"questions": 3, "seed": null, "topic": null}','[["connector-code-differs", "is_this_allowed", 7], ["chain-pitch-from-size", "how_much", 8], ["petrol-on-rings", "is_this_allowed", 9]]',3,'2026-03-02','2026-03-02T18:30:00.000+00:00',NULL,NULL);
CREATE TABLE setting (
        learner TEXT NOT NULL REFERENCES learner (id),
        name TEXT NOT NULL,
        value TEXT NOT NULL,
        PRIMARY KEY (learner, name)
    ) STRICT;
INSERT INTO "setting" VALUES('00000000-0000-0000-0000-000000000001','assessment','{"on": "2026-12-20"}');
CREATE INDEX answer_of_round ON answer (round);
CREATE TRIGGER answer_is_kept BEFORE UPDATE ON answer BEGIN
        SELECT RAISE(ABORT, 'an answer in the log is never changed');
    END;
DELETE FROM "sqlite_sequence";
INSERT INTO "sqlite_sequence" VALUES('answer',2);
COMMIT;
