-- name: channels
-- Every channel, and up to when it is sealed; NULL where nothing of it is.
SELECT id, name, (
    SELECT last_us FROM block WHERE channel = channel.id ORDER BY first_us DESC LIMIT 1
) FROM channel ORDER BY id;

-- name: rows
-- At most so many rows of a channel in a span, ends included, in time order.
SELECT taken_us, value, quality FROM reading
WHERE channel = :channel AND taken_us BETWEEN :from_us AND :to_us ORDER BY taken_us LIMIT :most;

-- name: drop_rows
-- Takes away the rows of a channel in a span, ends included.
DELETE FROM reading WHERE channel = :channel AND taken_us BETWEEN :from_us AND :to_us;

-- name: block_at
-- The last block of a channel that begins at or before a time.
SELECT id, first_us, last_us, count, crc, digest, times, amounts, qualities FROM block
WHERE channel = ? AND first_us <= ? ORDER BY first_us DESC LIMIT 1;

-- name: first_block
-- The first block of a channel.
SELECT id, first_us, last_us, count, crc, digest, times, amounts, qualities FROM block
WHERE channel = ? ORDER BY first_us LIMIT 1;

-- name: next_start
-- When the first block of a channel begins that begins after a time; NULL where there is none.
SELECT min(first_us) FROM block WHERE channel = ? AND first_us > ?;

-- name: add_block
-- Keeps a block of sealed readings.
INSERT INTO block (channel, first_us, last_us, count, crc, digest, times, amounts, qualities)
VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?);

-- name: drop_block
-- Takes away a block.
DELETE FROM block WHERE id = ?;

-- name: spared_spans
-- The spans of the lots whose readings are never removed: open ones and kept ones.
SELECT opened_us, closed_us FROM lot
WHERE closed_us IS NULL OR id IN (SELECT lot FROM kept_lot) ORDER BY opened_us;

-- name: oldest_blocks
-- The blocks that end before a time, the oldest first, out of their index alone.
SELECT id, first_us, last_us FROM block WHERE last_us < ? ORDER BY last_us, first_us;

-- name: block_size
-- How many readings a block holds, and the bytes of its arrays.
SELECT count, length(times) + length(amounts) + length(qualities) FROM block WHERE id = ?;

-- name: oldest_row
-- When the first row of a channel from a time on was taken that is before another time; NULL
-- where there is none.
SELECT min(taken_us) FROM reading
WHERE channel = :channel AND taken_us >= :from_us AND taken_us < :before_us;

-- name: drop_old_rows
-- Takes away at most so many rows of a channel in a span, ends included, the oldest first.
DELETE FROM reading WHERE channel = :channel AND taken_us IN (
    SELECT taken_us FROM reading
    WHERE channel = :channel AND taken_us BETWEEN :from_us AND :to_us
    ORDER BY taken_us LIMIT :most
);
