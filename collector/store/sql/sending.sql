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
