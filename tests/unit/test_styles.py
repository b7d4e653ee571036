"""All styles of the screens end in one file: a class that two views style would be both."""

import re
from collections import defaultdict
from pathlib import Path

VIEWS = Path(__file__).resolve().parents[2] / "dashboards" / "src" / "views"


def test_a_class_by_itself_is_styled_by_one_view() -> None:
    styled = defaultdict(set)
    for file in VIEWS.glob("*.css"):
        text = re.sub(r"/\*.*?\*/", "", file.read_text(encoding="utf-8"), flags=re.DOTALL)
        for selectors in re.findall(r"([^{}]+)\{", text):
            for selector in selectors.split(","):
                if alone := re.fullmatch(r"\.([\w-]+)", selector.strip()):
                    styled[alone[1]].add(file.name)
    assert styled["figure"] == {"figure.css"}
    assert {name: sorted(files) for name, files in styled.items() if len(files) > 1} == {}
