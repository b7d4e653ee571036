-- name: consign
-- Leaves what a commit holds for a target.
INSERT INTO outbox (target, first_seq, last_seq, readings) VALUES (?, ?, ?, ?);

-- name: waiting
-- At most so many commits that wait for a target, those after an id, in order.
SELECT id, first_seq, last_seq, readings FROM outbox
WHERE target = ? AND id > ? ORDER BY id LIMIT ?;

-- name: consigned_events
-- The events of a commit, in order.
SELECT seq, body FROM event WHERE seq BETWEEN ? AND ? ORDER BY seq;

-- name: sent
-- Forgets a commit that a target has.
DELETE FROM outbox WHERE target = ? AND id = ?;

-- name: refuse
-- Sets aside what a target refused for good.
INSERT INTO refused (target, refused_us, reason, body) VALUES (?, ?, ?, ?);

-- name: trim_refused
-- Keeps only so many of what a target refused, the newest.
DELETE FROM refused WHERE target = :target AND id <= (
    SELECT id FROM refused WHERE target = :target ORDER BY id DESC LIMIT 1 OFFSET :most
);

-- name: refused
-- What a target refused, the newest first.
SELECT refused_us, reason, body FROM refused WHERE target = ? ORDER BY id DESC LIMIT ?;

-- name: depth
-- How many commits wait for a target.
SELECT count(*) FROM outbox WHERE target = ?;

-- name: refusals
-- How many pieces of a target's are set aside.
SELECT count(*) FROM refused WHERE target = ?;

-- name: outbox_count
-- How many commits wait, whatever their target.
SELECT count(*) FROM outbox;

-- name: refused_count
-- How many pieces are set aside, whatever their target.
SELECT count(*) FROM refused;

-- name: outbox_sample
-- The bytes of so many commits that wait, spread evenly from the first to the last.
WITH RECURSIVE step (n) AS (SELECT 0 UNION ALL SELECT n + 1 FROM step WHERE n + 1 < :most)
SELECT (
    SELECT length(CAST(target AS BLOB)) + length(readings) FROM outbox
    WHERE id >= low + (high - low) * n / :most ORDER BY id LIMIT 1
) FROM step, (SELECT (SELECT min(id) FROM outbox) AS low, (SELECT max(id) FROM outbox) AS high)
WHERE low IS NOT NULL;

-- name: refused_sample
-- The bytes of so many pieces that are set aside, spread evenly from the first to the last.
WITH RECURSIVE step (n) AS (SELECT 0 UNION ALL SELECT n + 1 FROM step WHERE n + 1 < :most)
SELECT (
    SELECT length(CAST(target || reason || body AS BLOB)) FROM refused
    WHERE id >= low + (high - low) * n / :most ORDER BY id LIMIT 1
) FROM step, (SELECT (SELECT min(id) FROM refused) AS low, (SELECT max(id) FROM refused) AS high)
WHERE low IS NOT NULL;
