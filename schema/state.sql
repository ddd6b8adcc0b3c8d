-- The state: a fold over the journal, in number order, of the effective entries. It may be thrown away
-- and rebuilt at any time. {schema} is replaced by the schema it is made in.

-- Entries that a correction or a strike has changed.
CREATE TABLE {schema}.amended(
  entry INTEGER NOT NULL PRIMARY KEY,
  corrected_by INTEGER,  -- the correction whose body counts
  struck_by INTEGER      -- the strike that takes the entry out
) STRICT;

-- What has an id of its own, and the entry that made it.
CREATE TABLE {schema}.thing(
  id TEXT NOT NULL PRIMARY KEY,
  class TEXT NOT NULL,   -- workshop, worker, place, species, product, wood, glue, finish, other, batch
  entry INTEGER NOT NULL
) STRICT, WITHOUT ROWID;
CREATE INDEX {schema}.thing_of_class ON thing(class, entry);

-- Batches, and tins and lots, that an id bears on by an entry in force: those that use it, those made
-- of it.
CREATE TABLE {schema}.reach(
  id TEXT NOT NULL,        -- of a tin, lot, product, species or place
  reached TEXT NOT NULL,
  PRIMARY KEY (id, reached)
) STRICT, WITHOUT ROWID;

-- Which entries speak of which id, struck ones too.
CREATE TABLE {schema}.mention(
  id TEXT NOT NULL,
  entry INTEGER NOT NULL,
  kind TEXT NOT NULL,
  struck INTEGER NOT NULL,
  PRIMARY KEY (id, entry)
) STRICT, WITHOUT ROWID;
CREATE INDEX {schema}.mention_of_few ON mention(kind, entry)
  WHERE kind = 'answer' OR kind = 'complaint' OR kind = 'rules' OR kind = 'withdraw';
-- Of a product, tin or place few of the thousands of entries that speak of it say what it is.
CREATE INDEX {schema}.mention_of_product ON mention(kind, id, struck) WHERE kind = 'product';
CREATE INDEX {schema}.mention_of_statement ON mention(kind, id, struck) WHERE kind = 'statement';
CREATE INDEX {schema}.mention_of_place ON mention(kind, id, struck) WHERE kind = 'place';
CREATE INDEX {schema}.mention_of_withdrawal ON mention(kind, id, struck) WHERE kind = 'withdraw';
CREATE INDEX {schema}.mention_struck ON mention(struck, id, entry) WHERE struck = 1;

CREATE TABLE {schema}.piece(
  code TEXT NOT NULL PRIMARY KEY,
  batch TEXT NOT NULL,
  number INTEGER NOT NULL,
  signed_off INTEGER,    -- entry of the sign-off in force
  signed_off_at TEXT,    -- when it happened, UTC
  given INTEGER,         -- entry of the gift or sale, unless it was taken back since
  scrapped INTEGER,      -- entry that scrapped it
  turn INTEGER           -- entry of the latest split or take-back: its own way of finishing
) STRICT, WITHOUT ROWID;
CREATE INDEX {schema}.piece_of_batch ON piece(batch, number);

-- Batches with pieces that have neither left nor been scrapped.
CREATE TABLE {schema}.open_batch(
  batch TEXT NOT NULL PRIMARY KEY,
  left_here INTEGER NOT NULL
) STRICT, WITHOUT ROWID;

-- What steps and mixes took out of a tin, and when it was first opened or taken from.
CREATE TABLE {schema}.tin_use(
  tin TEXT NOT NULL PRIMARY KEY,
  drawn_ul INTEGER NOT NULL,
  drawn_mg INTEGER NOT NULL,
  first_s INTEGER NOT NULL,      -- seconds since 1970, UTC
  first_offset INTEGER NOT NULL  -- minutes that local time was ahead of UTC
) STRICT, WITHOUT ROWID;

-- Rags of a self-heating finish that nobody has confirmed as dealt with.
CREATE TABLE {schema}.open_rags(
  entry INTEGER NOT NULL PRIMARY KEY,
  batch TEXT NOT NULL
) STRICT;
CREATE INDEX {schema}.open_rags_of_batch ON open_rags(batch);

-- What entries made wrong (corrections, strikes, late readings, papers), and complaints, that nobody
-- has dealt with; `what` may also be answer or complaint.
CREATE TABLE {schema}.made_wrong(
  entry INTEGER NOT NULL,
  piece TEXT NOT NULL,
  what TEXT NOT NULL,    -- sign-off, card or gift
  PRIMARY KEY (entry, piece, what)
) STRICT, WITHOUT ROWID;
CREATE INDEX {schema}.made_wrong_of_piece ON made_wrong(piece, what);

-- Stretches of time that each entry of readings covers, to find those that a batch needs.
CREATE TABLE {schema}.readings_span(
  place TEXT NOT NULL,
  first_s INTEGER NOT NULL,  -- seconds since 1970, UTC
  entry INTEGER NOT NULL,
  last_s INTEGER NOT NULL,   -- behind the key's columns, else SQLite 3.40.1's integrity_check errs
  PRIMARY KEY (place, first_s, entry)
) STRICT, WITHOUT ROWID;

-- Temperatures noted with a step, by time and by whether a humidity was noted too.
CREATE TABLE {schema}.noted_air(
  place TEXT NOT NULL,
  has_rh INTEGER NOT NULL,
  at_s INTEGER NOT NULL,     -- seconds since 1970, UTC
  entry INTEGER NOT NULL,
  temp_milli INTEGER NOT NULL,  -- thousandths of a degree Celsius
  rh_permille INTEGER,          -- nothing: none was noted
  PRIMARY KEY (place, has_rh, at_s, entry)
) STRICT, WITHOUT ROWID;

-- The last number given out for each kind of id ("F", "26-"), so that none is ever used again.
CREATE TABLE {schema}.counter(
  prefix TEXT NOT NULL PRIMARY KEY,
  last INTEGER NOT NULL
) STRICT, WITHOUT ROWID;
