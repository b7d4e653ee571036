-- name: channel_ids
-- Every channel's name with its id.
SELECT name, id FROM channel;

-- name: add_channel
-- Gives a channel name an id.
INSERT INTO channel (name) VALUES (?);

-- name: add_reading
-- Keeps a reading; one that is there already stays as it is. Only a doubled key is let pass:
-- OR IGNORE would also drop a reading whose value is missing.
INSERT INTO reading (channel, taken_us, value, quality) VALUES (?, ?, ?, ?)
ON CONFLICT (channel, taken_us) DO NOTHING;

-- name: tip
-- The number and chain of the last event; no row before the first.
SELECT seq, chain FROM tip;

-- name: move_tip
-- Records which event is the last.
INSERT INTO tip (only, seq, chain) VALUES (1, ?, ?)
ON CONFLICT (only) DO UPDATE SET seq = excluded.seq, chain = excluded.chain;

-- name: add_event
-- Adds an event to the end of the journal.
INSERT INTO event (seq, at_us, bench, lot, kind, body, chain) VALUES (?, ?, ?, ?, ?, ?, ?);

-- name: open_lot
-- Projection: a lot began.
INSERT INTO lot (id, bench, recipe, vessels, opened_us)
VALUES (:id, :bench, :recipe, :vessels, :opened_us);

-- name: close_lot
-- Projection: the bench is done with a lot. The first closing counts.
UPDATE lot SET closed_us = coalesce(closed_us, :closed_us) WHERE id = :id;

-- name: keep_recipe
-- Projection: a recipe was added or changed.
INSERT INTO recipe (name, document, updated_us, seq)
VALUES (:name, :document, :updated_us, :seq)
ON CONFLICT (name) DO UPDATE
SET document = excluded.document, updated_us = excluded.updated_us, seq = excluded.seq;

-- name: add_alarm_event
-- Projection: an event belongs to the life of an alarm.
INSERT INTO alarm_event (alarm, seq) VALUES (:alarm, :seq);

-- name: keep_lot
-- Projection: the readings of a lot are kept for good. The first event that says so counts.
INSERT INTO kept_lot (lot, seq) VALUES (:lot, :seq) ON CONFLICT (lot) DO NOTHING;

-- name: release_lot
-- Projection: the readings of a lot need not be kept any longer.
DELETE FROM kept_lot WHERE lot = :lot;

-- name: show_photograph
-- Projection: a photograph was kept with a lot.
INSERT INTO photograph (lot, photograph, digest, size)
VALUES (:lot, :photograph, :digest, :size);

-- name: drop_photograph
-- Projection: a photograph was taken back.
DELETE FROM photograph WHERE lot = :lot AND photograph = :photograph;
