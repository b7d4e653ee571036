-- The store as all migrations leave it. Not run by the service: a test holds the two equal.

-- What has been done to this file, in order.
CREATE TABLE migration (
    number INTEGER PRIMARY KEY,
    name TEXT NOT NULL
) STRICT;

-- Channel names are long and readings are many: each name is kept once.
CREATE TABLE channel (
    id INTEGER PRIMARY KEY,
    name TEXT NOT NULL UNIQUE
) STRICT;

-- A reading is known by channel and time taken (UTC microseconds). The value is an integer of
-- its quantity's resolution. quality holds `Quality` in its two low bits and, as 4, that the
-- reading came late. WITHOUT ROWID: the key is the order in which readings are read.
CREATE TABLE reading (
    channel INTEGER NOT NULL REFERENCES channel (id),
    taken_us INTEGER NOT NULL,
    value INTEGER NOT NULL,
    quality INTEGER NOT NULL CHECK (quality BETWEEN 0 AND 7),
    PRIMARY KEY (channel, taken_us)
) STRICT, WITHOUT ROWID;

-- Sealed readings: some thousands of one channel in three compressed arrays. Blocks of a channel
-- never overlap, and no reading is both in a block and a row. With a rowid and the arrays last,
-- looking for blocks reads the narrow indexes and the first page of a row, never its arrays.
-- crc is of the three arrays as stored, digest is SHA-256 of what they hold.
CREATE TABLE block (
    id INTEGER PRIMARY KEY,
    channel INTEGER NOT NULL REFERENCES channel (id),
    first_us INTEGER NOT NULL,
    last_us INTEGER NOT NULL,
    count INTEGER NOT NULL CHECK (count > 0),
    crc INTEGER NOT NULL,
    digest BLOB NOT NULL CHECK (length(digest) = 32),
    times BLOB NOT NULL,
    amounts BLOB NOT NULL,
    qualities BLOB NOT NULL
) STRICT;

CREATE UNIQUE INDEX block_by_start ON block (channel, first_us);
CREATE INDEX block_by_age ON block (last_us, first_us);

-- The journal. body is the event's JSON; the columns before it repeat what is searched for.
-- chain is SHA-256 of the previous event's chain followed by body.
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

-- The journal is only ever added to. The third trigger closes the way past the second:
-- INSERT OR REPLACE deletes without telling a delete trigger.
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

-- The journal's last link, so that events missing from its end are noticed. One row.
CREATE TABLE tip (
    only INTEGER PRIMARY KEY CHECK (only = 1),
    seq INTEGER NOT NULL,
    chain BLOB NOT NULL CHECK (length(chain) = 32)
) STRICT;

-- Projection: the lots that the journal tells of. closed_us is NULL while a lot is open.
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

-- Projection: each recipe as it was last kept; seq is the event that did.
CREATE TABLE recipe (
    name TEXT PRIMARY KEY,
    document TEXT NOT NULL CHECK (json_valid(document)),
    updated_us INTEGER NOT NULL,
    seq INTEGER NOT NULL
) STRICT, WITHOUT ROWID;

-- Projection: which events an alarm's life consists of.
CREATE TABLE alarm_event (
    alarm TEXT NOT NULL,
    seq INTEGER NOT NULL,
    PRIMARY KEY (alarm, seq)
) STRICT, WITHOUT ROWID;

-- What is still to be sent elsewhere: one row for each commit and target, written in the commit's
-- own transaction. The id is never given twice (AUTOINCREMENT), so that what a target confirms
-- late cannot mean another row. first_seq and last_seq name the commit's events, readings are
-- MessagePack: the rows they came from may be sealed before they are sent.
CREATE TABLE outbox (
    id INTEGER PRIMARY KEY AUTOINCREMENT,
    target TEXT NOT NULL,
    first_seq INTEGER,
    last_seq INTEGER,
    readings BLOB NOT NULL,
    CHECK ((first_seq IS NULL) = (last_seq IS NULL))
) STRICT;

CREATE INDEX outbox_by_target ON outbox (target, id);

-- What a target refused for good: set aside with the reason, for a person to look at.
CREATE TABLE refused (
    id INTEGER PRIMARY KEY,
    target TEXT NOT NULL,
    refused_us INTEGER NOT NULL,
    reason TEXT NOT NULL,
    body TEXT NOT NULL
) STRICT;

CREATE INDEX refused_by_target ON refused (target, id);

-- Projection: the lots whose readings are kept for good; seq is the event that says so.
CREATE TABLE kept_lot (
    lot TEXT PRIMARY KEY,
    seq INTEGER NOT NULL
) STRICT, WITHOUT ROWID;

-- Projection: the photographs that lots show, with the SHA-256 (hex) and the bytes of each.
CREATE TABLE photograph (
    lot TEXT NOT NULL,
    photograph TEXT NOT NULL,
    digest TEXT NOT NULL,
    size INTEGER NOT NULL,
    PRIMARY KEY (lot, photograph)
) STRICT, WITHOUT ROWID;

CREATE INDEX photograph_by_digest ON photograph (digest, size);

-- The bytes of photographs: the one thing here that does not follow from the journal and is of a
-- person's making. A picture that several photographs show is kept once.
CREATE TABLE picture (
    digest TEXT PRIMARY KEY CHECK (length(digest) = 64),
    body BLOB NOT NULL
) STRICT;

-- Pictures that are on disk and that no event tells of yet: a row goes as its event comes. What
-- stands here when a store is opened, its service did not live to tell of: it goes.
CREATE TABLE picture_arriving (
    digest TEXT PRIMARY KEY
) STRICT, WITHOUT ROWID;
