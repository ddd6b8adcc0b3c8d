-- The vault: what the journal names by a digest and keeps apart, so that a person can be forgotten.
CREATE TABLE person(
  id TEXT NOT NULL PRIMARY KEY CHECK (length(id) = 32),  -- random, hexadecimal
  salt TEXT NOT NULL CHECK (length(salt) = 64),          -- random, hexadecimal; part of the seal
  name TEXT NOT NULL,
  contact TEXT NOT NULL                                  -- may be empty
) STRICT, WITHOUT ROWID;

CREATE TABLE file(
  sha256 TEXT NOT NULL PRIMARY KEY CHECK (length(sha256) = 64),
  bytes BLOB NOT NULL
) STRICT;

CREATE TRIGGER person_is_never_altered BEFORE UPDATE ON person
BEGIN SELECT RAISE(ABORT, 'a person is forgotten or kept, never altered'); END;

CREATE TRIGGER file_is_never_altered BEFORE UPDATE ON file
BEGIN SELECT RAISE(ABORT, 'a file is never altered'); END;

CREATE TRIGGER file_is_never_removed BEFORE DELETE ON file
BEGIN SELECT RAISE(ABORT, 'a file is never removed'); END;
