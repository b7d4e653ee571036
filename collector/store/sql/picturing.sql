-- name: arrive
-- Notes that a picture is on disk and that no event tells of it yet.
INSERT INTO picture_arriving (digest) VALUES (?) ON CONFLICT (digest) DO NOTHING;

-- name: keep
-- Keeps a picture's bytes; the same bytes are kept once.
INSERT INTO picture (digest, body) VALUES (?, ?) ON CONFLICT (digest) DO NOTHING;

-- name: told
-- An event tells of a picture now.
DELETE FROM picture_arriving WHERE digest = ?;

-- name: drop_unshown
-- Takes away a picture's bytes where no photograph shows them and none is about to.
DELETE FROM picture WHERE digest = :digest
AND NOT EXISTS (SELECT 1 FROM photograph WHERE photograph.digest = :digest)
AND NOT EXISTS (SELECT 1 FROM picture_arriving WHERE picture_arriving.digest = :digest);

-- name: arriving
-- The pictures that no event tells of yet.
SELECT digest FROM picture_arriving ORDER BY digest;

-- name: sizes
-- The bytes of each picture that a photograph shows, out of an index alone.
SELECT DISTINCT digest, size FROM photograph;

-- name: shown
-- The bytes of a lot's photograph; no row where it has none by that name.
SELECT picture.body FROM photograph JOIN picture USING (digest)
WHERE photograph.lot = ? AND photograph.photograph = ?;

-- name: all
-- Every picture.
SELECT digest, body FROM picture ORDER BY digest;

-- name: photographs
-- Which picture each photograph shows.
SELECT lot, photograph, digest FROM photograph ORDER BY lot, photograph;
