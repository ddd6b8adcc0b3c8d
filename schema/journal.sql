-- The journal: one row an entry, never altered, never removed. docs/book-format.md explains it.
-- application_id is "TRNC"; user_version is the version of this file's layout.
CREATE TABLE book(
  id TEXT NOT NULL CHECK (length(id) = 32),  -- random, hexadecimal; begins the chain of hashes
  one INTEGER NOT NULL PRIMARY KEY CHECK (one = 1)
) STRICT;

CREATE TABLE entry(
  number INTEGER PRIMARY KEY,
  happened_at TEXT NOT NULL,         -- UTC, ISO 8601: 2026-12-05T14:30:00Z
  happened_offset INTEGER NOT NULL,  -- minutes that local time was ahead of UTC
  written_at TEXT NOT NULL,          -- UTC
  written_by INTEGER NOT NULL,       -- a worker's id
  kind TEXT NOT NULL,
  kind_version INTEGER NOT NULL,
  body TEXT NOT NULL,                -- RFC 8785 JSON; these bytes are hashed
  hash TEXT NOT NULL CHECK (length(hash) = 64)
) STRICT;

CREATE TRIGGER entry_is_never_altered BEFORE UPDATE ON entry
BEGIN SELECT RAISE(ABORT, 'the journal is never altered'); END;

CREATE TRIGGER entry_is_never_removed BEFORE DELETE ON entry
BEGIN SELECT RAISE(ABORT, 'nothing is removed from the journal'); END;

CREATE TRIGGER entry_is_appended BEFORE INSERT ON entry
WHEN new.number IS NOT (SELECT coalesce(max(number), 0) + 1 FROM entry)
BEGIN SELECT RAISE(ABORT, 'an entry is appended with the next number'); END;

CREATE TRIGGER book_is_never_altered BEFORE UPDATE ON book
BEGIN SELECT RAISE(ABORT, 'the id of a book is never altered'); END;

CREATE TRIGGER book_is_never_removed BEFORE DELETE ON book
BEGIN SELECT RAISE(ABORT, 'the id of a book is never removed'); END;
