"""The ways in: HTTP, the event stream and the command line."""
