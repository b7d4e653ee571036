-- name: shift
-- Moves the readings of a channel in a span, the beginning left out, by so much. On the way they
-- lie before 1970, where no reading is, so that none meets another that has still to move.
UPDATE reading SET taken_us = -(taken_us + :by_us)
WHERE channel = (SELECT id FROM channel WHERE name = :channel)
AND taken_us > :after_us AND taken_us <= :until_us;

-- name: leap
-- The same by more than the length of the span: none meets another, and once is enough.
UPDATE reading SET taken_us = taken_us + :by_us
WHERE channel = (SELECT id FROM channel WHERE name = :channel)
AND taken_us > :after_us AND taken_us <= :until_us;

-- name: times
-- When the readings of a channel in a span were taken, the beginning left out.
SELECT taken_us FROM reading
WHERE channel = (SELECT id FROM channel WHERE name = :channel)
AND taken_us > :after_us AND taken_us <= :until_us;

-- name: place
-- Moves one reading.
UPDATE reading SET taken_us = :to_us
WHERE channel = (SELECT id FROM channel WHERE name = :channel) AND taken_us = :at_us;

-- name: arrive
-- Puts what a query above moved in its place.
UPDATE reading SET taken_us = -taken_us
WHERE channel = (SELECT id FROM channel WHERE name = :channel) AND taken_us < 0;

-- name: consigned
-- What waits in the outboxes.
SELECT id, readings FROM outbox;

-- name: consign_again
-- Puts other readings in the place of those of a commit that waits.
UPDATE outbox SET readings = ? WHERE id = ?;
