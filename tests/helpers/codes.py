"""Reads QR codes back with zxing-cpp, which was written apart from the library that makes them."""

from __future__ import annotations

import re
import xml.etree.ElementTree as ElementTree
from typing import TYPE_CHECKING, Any

import numpy as np
import zxingcpp

if TYPE_CHECKING:
    from numpy.typing import NDArray

    Image = NDArray[np.uint8]

RUN = re.compile(r"M(\d+) (\d+)h(\d+)v1h-(\d+)z")
PLACED = re.compile(r"translate\(([\d.]+) ([\d.]+)\) scale\(([\d.]+)\)")


def read(image: Image) -> list[str]:
    """The words of every QR code in a picture."""
    return [found.text for found in found_in(image)]


def found_in(image: Image) -> list[Any]:
    """What the reader finds: with words, version and level of error correction."""
    return list(zxingcpp.read_barcodes(image, formats=zxingcpp.BarcodeFormats(zxingcpp.BarcodeFormat.QRCode)))


def code_path(svg: str) -> ElementTree.Element:
    """The one path of a card's code."""
    paths = [one for one in ElementTree.fromstring(svg).iter() if one.attrib.get("class") == "qt-card-code"]
    (path,) = paths
    return path


def drawn(svg: str, width: float, height: float, *, dots: float = 12.0) -> Image:
    """The code of a picture on white paper, with so many dots a millimetre; nothing else of the picture."""
    path = code_path(svg)
    placed = PLACED.fullmatch(path.attrib["transform"])
    assert placed is not None
    x, y, module = map(float, placed.groups())
    image = np.full((round(height * dots), round(width * dots)), 255, dtype=np.uint8)
    outline = path.attrib["d"]
    assert RUN.sub("", outline) == ""
    for first, row, count, back in (map(int, run.groups()) for run in RUN.finditer(outline)):
        assert count == back > 0
        left, right = (round((x + at * module) * dots) for at in (first, first + count))
        top, bottom = (round((y + at * module) * dots) for at in (row, row + 1))
        image[top:bottom, left:right] = 0
    return image


def grey(picture: NDArray[np.uint8]) -> Image:
    """A picture of colours as greys."""
    return np.ascontiguousarray(picture[..., :3].mean(axis=2).astype(np.uint8))
