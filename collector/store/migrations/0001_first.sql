-- Readings, the journal, and what is derived from it. schema.sql explains each table.

CREATE TABLE migration (
    number INTEGER PRIMARY KEY,
    name TEXT NOT NULL
) STRICT;

CREATE TABLE channel (
    id INTEGER PRIMARY KEY,
    name TEXT NOT NULL UNIQUE
) STRICT;

CREATE TABLE reading (
    channel INTEGER NOT NULL REFERENCES channel (id),
    taken_us INTEGER NOT NULL,
    value INTEGER NOT NULL,
    quality INTEGER NOT NULL CHECK (quality BETWEEN 0 AND 3),
    PRIMARY KEY (channel, taken_us)
) STRICT, WITHOUT ROWID;

CREATE TABLE event (
    seq INTEGER PRIMARY KEY,
    at_us INTEGER NOT NULL,
    bench TEXT,
    lot TEXT,
    kind TEXT NOT NULL,
    body BLOB NOT NULL,
    chain BLOB NOT NULL CHECK (length(chain) = 32)
) STRICT;

CREATE INDEX event_by_lot ON event (lot) WHERE lot IS NOT NULL;
CREATE INDEX event_by_bench ON event (bench) WHERE bench IS NOT NULL;
CREATE INDEX event_by_kind ON event (kind);

CREATE TRIGGER event_is_never_changed BEFORE UPDATE ON event
BEGIN
    SELECT RAISE(ABORT, 'the journal is only added to: an event is never changed');
END;

CREATE TRIGGER event_is_never_deleted BEFORE DELETE ON event
BEGIN
    SELECT RAISE(ABORT, 'the journal is only added to: an event is never deleted');
END;

CREATE TRIGGER event_is_never_replaced BEFORE INSERT ON event
WHEN NEW.seq <= (SELECT max(seq) FROM event)
BEGIN
    SELECT RAISE(ABORT, 'the journal is only added to: an event comes after the last one');
END;

CREATE TABLE tip (
    only INTEGER PRIMARY KEY CHECK (only = 1),
    seq INTEGER NOT NULL,
    chain BLOB NOT NULL CHECK (length(chain) = 32)
) STRICT;

CREATE TABLE lot (
    id TEXT PRIMARY KEY,
    bench TEXT NOT NULL,
    recipe TEXT NOT NULL,
    vessels INTEGER NOT NULL,
    opened_us INTEGER NOT NULL,
    closed_us INTEGER
) STRICT, WITHOUT ROWID;

CREATE INDEX lot_by_opening ON lot (opened_us);
CREATE INDEX lot_open ON lot (bench) WHERE closed_us IS NULL;

CREATE TABLE recipe (
    name TEXT PRIMARY KEY,
    document TEXT NOT NULL CHECK (json_valid(document)),
    updated_us INTEGER NOT NULL,
    seq INTEGER NOT NULL
) STRICT, WITHOUT ROWID;

CREATE TABLE alarm_event (
    alarm TEXT NOT NULL,
    seq INTEGER NOT NULL,
    PRIMARY KEY (alarm, seq)
) STRICT, WITHOUT ROWID;
