"""Modules of a package from PyPI that go into the browser together with ours: few, pinned, and checked by their sums.

The package itself is pinned with its hashes in requirements/site.txt. Of what it holds only the modules that are needed
go into the browser; in the place of its own first module, which would bring all the others, goes one with its licence.
"""

from __future__ import annotations

import hashlib
import importlib.metadata
from dataclasses import dataclass
from pathlib import Path


class BorrowedError(Exception):
    """A borrowed package cannot be used; the message is a sentence for the person at the terminal."""


@dataclass(frozen=True, slots=True)
class Borrowed:
    """A package from PyPI: its version, and the files taken from it with their sha256."""

    package: str
    version: str
    files: dict[str, str]
    licence: str


SEGNO = Borrowed(
    package="segno",
    version="1.6.6",
    files={
        "encoder.py": "d764280726708dbf894865e6b63f4404732fcf0037528bbdae054b6a38f97af8",
        "consts.py": "561440243f8e44634edf3b443ad468783d2de733cb15a1b7ec34d8d5a310a738",
    },
    licence="LICENSE",
)
"""Makes QR codes. Its encoder needs nothing but its own constants and light parts of the standard library."""


def sources(borrowed: Borrowed = SEGNO) -> dict[str, str]:
    """The text of each borrowed module by its path, the module that stands for the package among them.

    Raises:
        BorrowedError: where the package is missing, or another than the one expected.
    """
    try:
        found = importlib.metadata.distribution(borrowed.package)
    except importlib.metadata.PackageNotFoundError:
        raise BorrowedError(f"The Python package {borrowed.package} is not installed.") from None
    if found.version != borrowed.version:
        raise BorrowedError(
            f"The Python package {borrowed.package} is of version {found.version}; {borrowed.version} is expected."
        )
    texts = {}
    for name, expected in borrowed.files.items():
        content = Path(str(found.locate_file(f"{borrowed.package}/{name}"))).read_bytes()
        if hashlib.sha256(content).hexdigest() != expected:
            raise BorrowedError(f"{borrowed.package}/{name} is not the file expected: its sha256 is another.")
        texts[f"{borrowed.package}/{name}"] = content.decode()
    licence = next((path for path in found.files or () if path.name == borrowed.licence), None)
    if licence is None:
        raise BorrowedError(f"The licence of {borrowed.package} is missing.")
    words = Path(str(licence.locate())).read_text(encoding="utf-8")
    return {f"{borrowed.package}/__init__.py": f"LICENCE = {words!r}\n", **texts}
