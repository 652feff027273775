"""The names of the site's pages, as mkdocs.yml lists them."""

from __future__ import annotations

import re
from pathlib import Path

_SETTINGS = Path(__file__).parents[2] / "mkdocs.yml"


def page_names() -> set[str]:
    """Every page of the navigation, "" for the first one, whichever group it is in."""
    nav = _SETTINGS.read_text(encoding="utf-8").split("\nnav:\n")[1].split("\n\n")[0]
    names = re.findall(r"^ +- [^:]+: ([\w-]+)\.md$", nav, re.MULTILINE)
    groups = re.findall(r"^  - [^:]+:$", nav, re.MULTILINE)
    assert len(names) + len(groups) == len(nav.splitlines())
    return {"" if name == "index" else name for name in names}
