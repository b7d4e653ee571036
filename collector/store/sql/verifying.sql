-- name: journal
-- Every event as stored, in order.
SELECT seq, at_us, bench, lot, kind, body, chain FROM event ORDER BY seq;

-- name: lot_projection
-- The lots, to compare with a fresh fold of the journal.
SELECT id, bench, recipe, vessels, opened_us, closed_us FROM lot ORDER BY id;

-- name: recipe_projection
-- The recipes, to compare with a fresh fold of the journal.
SELECT name, document, updated_us, seq FROM recipe ORDER BY name;

-- name: alarm_projection
-- The alarms' events, to compare with a fresh fold of the journal.
SELECT alarm, seq FROM alarm_event ORDER BY alarm, seq;

-- name: count_readings
-- How many readings a channel has in a span, ends included.
SELECT count(*) FROM reading
WHERE channel = (SELECT id FROM channel WHERE name = ?) AND taken_us BETWEEN ? AND ?;

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
