"""The service's own log: text for a person, or a JSON object a line for a program."""

import json
import logging
import sys
from datetime import UTC, datetime

FORMS = ("text", "json")
FIELDS = ("instrument", "channel", "bench", "lot", "alarm", "companion", "sender")
"""What a call may say beside its message; nothing else gets into a line."""

_TEXT = "%(asctime)s %(levelname)s %(name)s: %(message)s"


class JsonLines(logging.Formatter):
    """One JSON object a line: time (RFC 3339, UTC), level, logger, message and fields."""

    def format(self, record: logging.LogRecord) -> str:
        """Return the line of a record."""
        made = datetime.fromtimestamp(record.created, UTC)
        line: dict[str, object] = {
            "time": made.isoformat(timespec="milliseconds").replace("+00:00", "Z"),
            "level": record.levelname.lower(),
            "logger": record.name,
            "message": record.getMessage(),
        }
        line |= {name: getattr(record, name) for name in FIELDS if hasattr(record, name)}
        if record.exc_info:
            line["error"] = self.formatException(record.exc_info)
        return json.dumps(line, ensure_ascii=False, default=str)


def set_up(form: str, level: int) -> None:
    """Let the program's log go to its standard error, in one of `FORMS`."""
    handler = logging.StreamHandler(sys.stderr)
    handler.setFormatter(JsonLines() if form == "json" else logging.Formatter(_TEXT))
    logging.basicConfig(level=level, handlers=[handler])
    logging.captureWarnings(capture=True)
