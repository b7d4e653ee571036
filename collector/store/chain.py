"""The chain that ties each event of the journal to all before it.

SHA-256: NIST FIPS 180-4. The chain shows that a stored event was changed or removed by accident
or by hand. It is not a signature: who rewrites the whole file can also recompute the chain.
"""

from hashlib import sha256

GENESIS = sha256(b"pourkeep journal").digest()
"""What the first event is chained to."""


def link(previous: bytes, body: bytes) -> bytes:
    """Return the chain of an event: SHA-256 of the previous chain followed by its JSON."""
    return sha256(previous + body).digest()
