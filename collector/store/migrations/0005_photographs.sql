-- Photographs of lots and their bytes. schema.sql explains each table.

CREATE TABLE photograph (
    lot TEXT NOT NULL,
    photograph TEXT NOT NULL,
    digest TEXT NOT NULL,
    size INTEGER NOT NULL,
    PRIMARY KEY (lot, photograph)
) STRICT, WITHOUT ROWID;

CREATE INDEX photograph_by_digest ON photograph (digest, size);

CREATE TABLE picture (
    digest TEXT PRIMARY KEY CHECK (length(digest) = 64),
    body BLOB NOT NULL
) STRICT;

CREATE TABLE picture_arriving (
    digest TEXT PRIMARY KEY
) STRICT, WITHOUT ROWID;
