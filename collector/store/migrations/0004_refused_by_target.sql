-- What a target refused is counted every few seconds: not by reading all that was set aside.

CREATE INDEX refused_by_target ON refused (target, id);
