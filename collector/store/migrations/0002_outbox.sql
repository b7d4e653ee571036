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
