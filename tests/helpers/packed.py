"""The built runtime's zips, taken out of what they are packed in."""

from __future__ import annotations

import gzip
import io
import zipfile
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from pathlib import Path


def unpacked(file: Path) -> zipfile.ZipFile:
    """The zip in a packed file, to be read."""
    return zipfile.ZipFile(io.BytesIO(gzip.decompress(file.read_bytes())))
