-- A project is its log. `version` is the sequence number of the last row of the log; `head` is the row whose
-- project is the present one; `tip` is the row that redo leads to.
CREATE TABLE project (
    id INTEGER PRIMARY KEY AUTOINCREMENT,
    created TEXT NOT NULL,
    name TEXT NOT NULL,
    demo INTEGER NOT NULL DEFAULT 0,
    version INTEGER NOT NULL,
    head INTEGER NOT NULL,
    tip INTEGER NOT NULL
) STRICT;

-- Append-only. `create` begins a log; an `edit` stands on the row `parent`; `undo` and `redo` go from the row
-- `parent` to the row `target`. `depth` counts the edits from the beginning to this one.
CREATE TABLE log (
    project_id INTEGER NOT NULL REFERENCES project (id) ON DELETE CASCADE,
    seq INTEGER NOT NULL,
    kind TEXT NOT NULL CHECK (kind IN ('create', 'edit', 'undo', 'redo')),
    parent INTEGER,
    target INTEGER NOT NULL,
    depth INTEGER NOT NULL,
    at TEXT NOT NULL,
    author TEXT NOT NULL,
    label TEXT NOT NULL,
    edit TEXT,
    PRIMARY KEY (project_id, seq)
) STRICT, WITHOUT ROWID;

-- Whole projects, so that no more than a few edits are ever replayed.
CREATE TABLE snapshot (
    project_id INTEGER NOT NULL REFERENCES project (id) ON DELETE CASCADE,
    seq INTEGER NOT NULL,
    project TEXT NOT NULL,
    PRIMARY KEY (project_id, seq)
) STRICT, WITHOUT ROWID;

-- The pictures of plan sheets, by fingerprint.
CREATE TABLE sheet (
    project_id INTEGER NOT NULL REFERENCES project (id) ON DELETE CASCADE,
    image TEXT NOT NULL,
    png BLOB NOT NULL,
    PRIMARY KEY (project_id, image)
) STRICT;

CREATE TRIGGER log_is_append_only BEFORE UPDATE ON log
BEGIN
    SELECT RAISE(ABORT, 'the log is append-only');
END;
