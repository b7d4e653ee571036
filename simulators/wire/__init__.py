"""How instruments put their state into bytes. Pure functions."""
