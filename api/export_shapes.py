"""What there is to export of a lot, as JSON."""

from pydantic import BaseModel, Field

from api.export.formats import FormatName


class FormatShown(BaseModel):
    """One format in which a lot can be had."""

    format: FormatName
    file: str = Field(description="what the file is called")
    bytes: int = Field(description="about how large it becomes")
    unavailable: str | None = Field(description="why this machine cannot write it")


class ExportShown(BaseModel):
    """What an export of a lot would hold."""

    lot: str
    readings: int
    readings_removed: bool = Field(description="whether some may have been removed from the store")
    formats: list[FormatShown]
