"""Wire code without I/O: bytes in, samples out, one file per protocol."""
