"""How soon an alarm wants an answer: ISA-18.2 and IEC 62682 advise few levels, here three."""

from enum import StrEnum


class Priority(StrEnum):
    """How soon an alarm wants an answer."""

    HIGH = "high"
    MEDIUM = "medium"
    LOW = "low"
