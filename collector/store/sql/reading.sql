-- name: lot_events
-- The events of one lot, in order.
SELECT seq, body FROM event WHERE lot = ? ORDER BY seq;

-- name: bench_events
-- The events of one bench that follow a number, in order.
SELECT seq, body FROM event WHERE bench = ? AND seq > ? ORDER BY seq;

-- name: kind_events
-- The events of some kinds (a JSON list of names), in order.
SELECT seq, body FROM event WHERE kind IN (SELECT value FROM json_each(?)) ORDER BY seq;

-- name: events_after
-- At most so many events that follow a number, in order.
SELECT seq, body FROM event WHERE seq > ? ORDER BY seq LIMIT ?;

-- name: alarm_events
-- The life of one alarm, in order.
SELECT event.seq, event.body FROM alarm_event JOIN event USING (seq)
WHERE alarm_event.alarm = ? ORDER BY event.seq;

-- name: all_alarm_events
-- The lives of all alarms, in order.
SELECT event.seq, event.body FROM alarm_event JOIN event USING (seq) ORDER BY event.seq;

-- name: last_seq
-- The number of the last event, 0 before the first.
SELECT coalesce(max(seq), 0) FROM event;

-- name: latest_event_us
-- The latest time among the last events, 0 before the first. The events of one moment may stand
-- in any order, but no further apart than this.
SELECT coalesce(max(at_us), 0) FROM (SELECT at_us FROM event ORDER BY seq DESC LIMIT 1000);

-- name: lots
-- Every lot, the newest first.
SELECT id, bench, recipe, vessels, opened_us, closed_us,
    id IN (SELECT lot FROM kept_lot) AS kept FROM lot
ORDER BY opened_us DESC, id DESC;

-- name: open_lots
-- The lots that are not closed, the newest first.
SELECT id, bench, recipe, vessels, opened_us, closed_us,
    id IN (SELECT lot FROM kept_lot) AS kept FROM lot
WHERE closed_us IS NULL ORDER BY opened_us DESC, id DESC;

-- name: lot
-- One lot.
SELECT id, bench, recipe, vessels, opened_us, closed_us,
    id IN (SELECT lot FROM kept_lot) AS kept FROM lot WHERE id = ?;

-- name: numbered_lots
-- The lots whose id is a prefix and then a digit. ':' is the character after '9'.
SELECT id FROM lot WHERE id >= :prefix || '0' AND id < :prefix || ':';

-- name: recipes
-- Every recipe as last kept, by name.
SELECT event.body, recipe.document, recipe.updated_us FROM recipe JOIN event USING (seq)
ORDER BY recipe.name;

-- name: recipe
-- One recipe as last kept.
SELECT event.body, recipe.document, recipe.updated_us FROM recipe JOIN event USING (seq)
WHERE recipe.name = ?;

-- name: channel_id
-- The id of a channel.
SELECT id FROM channel WHERE name = ?;

-- name: readings
-- The readings of a channel in a span, ends included, as one row of three comma-separated
-- lists: half the time of fetching each reading as a row of its own. NULLs where there are none.
SELECT group_concat(taken_us), group_concat(value), group_concat(quality) FROM (
    SELECT taken_us, value, quality FROM reading
    WHERE channel = ? AND taken_us BETWEEN ? AND ? ORDER BY taken_us
);

-- name: reading_count
-- How many readings of a channel in a span, ends included, are rows.
SELECT count(*) FROM reading WHERE channel = :channel AND taken_us BETWEEN :from_us AND :to_us;

-- name: nth_reading_us
-- When the reading was taken that follows so many others of a channel in a span; no row where
-- there are not so many.
SELECT taken_us FROM reading
WHERE channel = :channel AND taken_us BETWEEN :from_us AND :to_us
ORDER BY taken_us LIMIT 1 OFFSET :skipped;

-- name: last_reading_us
-- When the latest reading of a channel that is a row was taken; NULL where there is none.
SELECT max(taken_us) FROM reading WHERE channel = ?;

-- name: last_judged_us
-- When the latest reading of a channel that is a row and has a mark below so much was taken; no
-- row where there is none.
SELECT taken_us FROM reading WHERE channel = ? AND quality < ? ORDER BY taken_us DESC LIMIT 1;

-- name: blocks_back
-- The blocks of a channel, the last first.
SELECT first_us, last_us, count, crc, digest, times, amounts, qualities FROM block
WHERE channel = ? ORDER BY first_us DESC;

-- name: blocks
-- The blocks of a channel that reach into a span, in time order. None overlaps another, so those
-- before the last that begins at or before the span end before it.
SELECT first_us, last_us, count, crc, digest, times, amounts, qualities FROM block
WHERE channel = :channel AND first_us <= :to_us AND last_us >= :from_us
AND first_us >= coalesce(
    (SELECT max(first_us) FROM block WHERE channel = :channel AND first_us <= :from_us), :from_us
)
ORDER BY first_us;

-- name: last_sealed_us
-- When the latest sealed reading of a channel was taken; no row where none is sealed.
SELECT last_us FROM block WHERE channel = ? ORDER BY first_us DESC LIMIT 1;
