"""The service serves every page that the screens know, and no other."""

import re
from pathlib import Path

from api.pages import PATHS

PLACES = Path(__file__).resolve().parents[2] / "dashboards" / "src" / "places.ts"


def test_the_service_and_the_screens_know_the_same_pages() -> None:
    table = PLACES.read_text(encoding="utf-8").split("const PATHS")[1].split("};")[0]
    known = re.findall(r'^  "(/[^"]*)":', table, re.MULTILINE)
    served = [path.replace(":path", "") for path in PATHS]  # a name may have slashes in it
    assert sorted(served) == sorted(path.replace("*", "{name}") for path in known)
