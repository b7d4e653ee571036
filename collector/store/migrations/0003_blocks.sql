-- Sealed readings, readings that came late, and lots that are kept. schema.sql explains each.

ALTER TABLE reading RENAME TO reading_before;

CREATE TABLE reading (
    channel INTEGER NOT NULL REFERENCES channel (id),
    taken_us INTEGER NOT NULL,
    value INTEGER NOT NULL,
    quality INTEGER NOT NULL CHECK (quality BETWEEN 0 AND 7),
    PRIMARY KEY (channel, taken_us)
) STRICT, WITHOUT ROWID;

INSERT INTO reading (channel, taken_us, value, quality)
SELECT channel, taken_us, value, quality FROM reading_before ORDER BY channel, taken_us;

DROP TABLE reading_before;

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

CREATE TABLE kept_lot (
    lot TEXT PRIMARY KEY,
    seq INTEGER NOT NULL
) STRICT, WITHOUT ROWID;
