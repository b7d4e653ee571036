"""Alarms told beyond the room: what is told, in which words, and each target for itself."""
