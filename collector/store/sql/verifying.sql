-- name: journal
-- Every event as stored, in order.
SELECT seq, at_us, bench, lot, kind, body, chain FROM event ORDER BY seq;

-- name: lot_projection
-- The lots, to compare with a fresh fold of the journal.
SELECT id, bench, recipe, vessels, opened_us, closed_us FROM lot ORDER BY id;

-- name: kept_projection
-- The lots that are kept, to compare with a fresh fold of the journal.
SELECT lot, seq FROM kept_lot ORDER BY lot;

-- name: recipe_projection
-- The recipes, to compare with a fresh fold of the journal.
SELECT name, document, updated_us, seq FROM recipe ORDER BY name;

-- name: alarm_projection
-- The alarms' events, to compare with a fresh fold of the journal.
SELECT alarm, seq FROM alarm_event ORDER BY alarm, seq;

-- name: photograph_projection
-- The photographs that lots show, to compare with a fresh fold of the journal.
SELECT lot, photograph, digest, size FROM photograph ORDER BY lot, photograph;

-- name: channels
-- Every channel.
SELECT id, name FROM channel ORDER BY id;

-- name: channel_blocks
-- The blocks of a channel, in time order.
SELECT first_us, last_us, count, crc, digest, times, amounts, qualities FROM block
WHERE channel = ? ORDER BY first_us;

-- name: row_times
-- When the rows of a channel in a span were taken, ends included.
SELECT taken_us FROM reading WHERE channel = ? AND taken_us BETWEEN ? AND ? ORDER BY taken_us;

-- name: count_rows
-- How many rows of a channel in a span, ends included, a bench was fed: none that came late.
SELECT count(*) FROM reading
WHERE channel = :channel AND taken_us BETWEEN :from_us AND :to_us AND quality < 4;

-- name: schema
-- The text of each table, index and trigger; an index that SQLite made itself has none.
SELECT name, sql FROM sqlite_schema WHERE sql IS NOT NULL ORDER BY name;

-- name: parts_of
-- Tables (a JSON list of names) and what belongs to them, each table before its indexes.
SELECT tbl_name, sql FROM sqlite_schema
WHERE sql IS NOT NULL AND tbl_name IN (SELECT value FROM json_each(?))
ORDER BY tbl_name, type = 'index', name;

-- name: extent
-- The number of the last event (0 before the first) and its time (NULL then).
SELECT coalesce(max(seq), 0), (SELECT at_us FROM event ORDER BY seq DESC LIMIT 1) FROM event;
