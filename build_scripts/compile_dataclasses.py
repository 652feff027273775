"""Compile what dataclasses would compile in the browser.  Runs inside Pyodide, with compile_library.py.

The decorator of the standard library writes the methods of every class as text and compiles it while the module is
imported, which takes most of a start's time.  The texts depend on the names of the fields alone.  So the package is
imported once here, every text that dataclasses compiles is noted, and the browser's library gets each compiled, by the
text's sum of 64 bits.  Everything else is the standard library's own: a text that is not there is compiled as ever.

And a class without a docstring, as all are once docstrings are left out, gets one of the signature that `inspect` finds
for it.  Nobody reads it in the browser: that is left out too.
"""

import dataclasses
import importlib
import marshal
import os
import sys
from collections.abc import Iterable
from importlib.util import source_hash

MODULE = "dataclasses.py"
TABLE = "_compiled_dataclasses"
MENDS = (
    ("import re\n", f"import re\nfrom {TABLE} import compiled\n"),
    ("exec(txt, self.globals, ns)", "exec(compiled(txt), self.globals, ns)"),
    ("    if not getattr(cls, '__doc__'):\n", "    if False:\n"),
)
"""What of the library's source is replaced by what: each stands there exactly once."""
LOOK_UP = """
import marshal
from importlib.util import source_hash

def compiled(text):
    code = CODE.get(source_hash(text.encode()))
    return text if code is None else marshal.loads(code)
"""


class MendError(Exception):
    """The library's dataclasses are not those that the mends are made for."""


def mended(source: str) -> str:
    """The source of dataclasses with its mends.

    Raises:
        MendError: where one does not fit.
    """
    for before, after in MENDS:
        if source.count(before) != 1:
            raise MendError(f"dataclasses has {before.strip()!r} {source.count(before)} times instead of once.")
        source = source.replace(before, after)
    return source


def texts(files: dict[str, bytes], modules: Iterable[str], folder: str) -> list[str]:
    """Import modules from their sources, and return every text that dataclasses compiles for them, sorted.

    `files` are all sources that they may import beside the library, by path; they are written to `folder`.
    """
    for path, source in files.items():
        os.makedirs(os.path.dirname(os.path.join(folder, path)), exist_ok=True)
        with open(os.path.join(folder, path), "wb") as file:
            file.write(source)
    found: set[str] = set()

    def noted(text: str, module: dict[str, object], names: dict[str, object]) -> None:
        found.add(text)
        exec(text, module, names)

    sys.path.insert(0, folder)
    # The name stands in the module before the built-in one.
    vars(dataclasses)["exec"] = noted
    try:
        for name in modules:
            importlib.import_module(name)
    finally:
        del vars(dataclasses)["exec"]
        sys.path.remove(folder)
    return sorted(found)


def table(found: Iterable[str]) -> str:
    """The source of the module that has the code of each text, by its sum.

    Raises:
        MendError: where two have the same sum.
    """
    by_sum = {source_hash(text.encode()): text for text in found}
    if sorted(by_sum.values()) != sorted(found):
        raise MendError("Two texts that dataclasses compiles have the same sum.")
    code = {each: marshal.dumps(compile(text, "<string>", "exec", dont_inherit=True)) for each, text in by_sum.items()}
    # Those of one length are much alike: beside each other they are compressed to two thirds.
    ordered = dict(sorted(code.items(), key=lambda item: (len(item[1]), item)))
    return f"CODE = {ordered!r}\n{LOOK_UP}"
