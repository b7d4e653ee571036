"""The shape of health over HTTP."""

from typing import Literal

from pydantic import BaseModel, ConfigDict

Status = Literal["ok", "warning", "failing"]
"""In order: what is worse comes later."""


class Check(BaseModel):
    """One thing that was looked at; `sentence` is for a person. Its numbers stand beside it.

    Seconds end in `_s`, bytes in `_bytes`; null where nobody knows.
    """

    model_config = ConfigDict(extra="allow")

    name: str
    status: Status
    sentence: str


class Health(BaseModel):
    """How the service does: as well as the worst of its checks."""

    status: Status
    checks: list[Check]
