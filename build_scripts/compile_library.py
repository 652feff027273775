"""Cut and compile the library for the browser.  Runs inside Pyodide, started by compile_library.mjs.

The browser gets two zip files of compiled modules: the part of Python's own library that is needed, and the
package.  They are compiled by the very Pyodide that will run them, because compiling the sources in the
browser takes more than half of a plain start.

What goes into the library:

* every module that Pyodide itself had loaded when it was ready (seen here, not guessed);
* every module that the package imports, also inside functions, and what those modules import when they are
  imported (their module level, conditions and ``try`` included);
* for a module that the package names itself, also what that module imports inside its functions;
* the modules of `KEEP`, each with its reason;
* none that is frozen into the interpreter, for that one is used in any case.

The package is taken whole, without the command line and the JSON Schema, which the browser does not have. With it go
the modules of other packages that it imports, of those that are lent to it.

All are compiled without docstrings and without the columns of every instruction (compile_library.mjs starts Python so),
the package also without the annotations of its functions: an error is told with file and line.  What dataclasses would
compile in the browser is compiled here (compile_dataclasses.py).
"""

import _imp
import ast
import binascii
import importlib.util
import io
import json
import marshal
import sys
import zipfile
from collections.abc import Iterable, Iterator

import compile_dataclasses

KEEP = {
    "traceback": "the text of an error in the package reaches the page through it",
    "linecache": "traceback asks it for lines (there are none) and fails without it",
    "tokenize": "linecache opens files with it",
    "encodings.ascii": "a codec that may be named in a call of str.encode without an import",
    "encodings.latin_1": "the same",
    "encodings.utf_8": "the same, and Python does not start without it",
    "copyreg": "copy and dataclasses.replace of some objects need it without an import of their own",
    "_weakrefset": "abc of the pure kind asks for it",
}
"""Modules kept though no import statement that counts names them: name and reason."""

NEVER_LOADED = {
    "getopt": "only for base64's own command line",
    "importlib._bootstrap": "frozen into the interpreter, under another name",
    "importlib._bootstrap_external": "the same",
}
"""Modules left out though an import names them: name and reason."""

NOT_IN_THE_BROWSER = frozenset({"__main__", "notebook", "schema"})
OPTIMIZE = 2
"""Without docstrings and asserts."""
FIXED_DATE = (1980, 1, 1, 0, 0, 0)


class MissingModuleError(Exception):
    """The package imports a module that Pyodide's library does not have."""


class Sources:
    """The Python sources of one tree, by module name."""

    def __init__(self, files: dict[str, bytes]) -> None:
        self._files = files

    def with_files(self, files: dict[str, bytes]) -> "Sources":
        """Return the tree with these files in the place of its own, or beside them."""
        return Sources(self._files | files)

    def path(self, module: str) -> str | None:
        """Return the file of a module, or None if there is none."""
        stem = module.replace(".", "/")
        for candidate in (stem + "/__init__.py", stem + ".py"):
            if candidate in self._files:
                return candidate
        return None

    def text(self, module: str) -> bytes:
        """Return the source of a module that is here."""
        path = self.path(module)
        if path is None:
            raise MissingModuleError(module)
        return self._files[path]

    def is_package(self, module: str) -> bool:
        """Say whether the module is a package (a folder)."""
        return (self.path(module) or "").endswith("/__init__.py")

    def modules(self) -> list[str]:
        """Return all module names, sorted."""
        return sorted(
            path.removesuffix(".py").removesuffix("/__init__").replace("/", ".")
            for path in self._files
            if path.endswith(".py")
        )


def _is_never_true(test: ast.expr) -> bool:
    text = ast.unparse(test)
    return "TYPE_CHECKING" in text or "__name__ == '__main__'" in text


def _statements(node: ast.AST, inside_functions: bool) -> Iterator[ast.Import | ast.ImportFrom]:
    for child in ast.iter_child_nodes(node):
        if isinstance(child, ast.Import | ast.ImportFrom):
            yield child
        elif isinstance(child, ast.FunctionDef | ast.AsyncFunctionDef) and not inside_functions:
            continue
        elif isinstance(child, ast.If) and _is_never_true(child.test):
            for other in child.orelse:
                yield from _statements(ast.Module([other], []), inside_functions)
        else:
            yield from _statements(child, inside_functions)


def _parent(module: str, is_package: bool, level: int) -> str:
    parts = module.split(".")
    drop = level - 1 if is_package else level
    return ".".join(parts[: len(parts) - drop])


def imported(source: bytes, module: str, is_package: bool, inside_functions: bool) -> dict[str, set[str]]:
    """Return the modules that a source names in imports, each with the names taken from it.

    A name taken may itself be a module; the caller knows which modules there are.
    """
    found: dict[str, set[str]] = {}
    for statement in _statements(ast.parse(source), inside_functions):
        if isinstance(statement, ast.Import):
            for alias in statement.names:
                found.setdefault(alias.name, set())
            continue
        base = _parent(module, is_package, statement.level) if statement.level else ""
        target = ".".join(part for part in (base, statement.module) if part)
        found.setdefault(target, set()).update(alias.name for alias in statement.names)
    return found


def _with_parents(module: str) -> Iterator[str]:
    parts = module.split(".")
    for count in range(1, len(parts) + 1):
        yield ".".join(parts[:count])


def _named(library: Sources, found: dict[str, set[str]]) -> Iterator[str]:
    for target, names in found.items():
        taken = [f"{target}.{name}" for name in names if library.path(f"{target}.{name}") is not None]
        yield from (each for each in [*_with_parents(target), *taken] if each not in NEVER_LOADED)


def _exists(library: Sources, module: str) -> bool:
    return library.path(module) is not None or module in sys.builtin_module_names or module in sys.modules


def lent_to_package(package: Sources, lent: Sources) -> list[str]:
    """Return the borrowed modules that the package imports anywhere, and those that they import, sorted."""
    todo = [(package, name) for name in package.modules() if name.split(".")[-1] not in NOT_IN_THE_BROWSER]
    taken: set[str] = set()
    while todo:
        sources, module = todo.pop()
        found = imported(sources.text(module), module, sources.is_package(module), inside_functions=True)
        for name in _named(lent, found):
            if lent.path(name) is not None and name not in taken:
                taken.add(name)
                todo.append((lent, name))
    return sorted(taken)


def asked_by_package(package: Sources, library: Sources, lent: Sources) -> list[str]:
    """Return the modules outside the package and what is lent to it that either imports anywhere, sorted.

    Raises MissingModuleError with a sentence for a module that is nowhere.
    """
    asked: set[str] = set()
    own = {name.split(".")[0] for name in package.modules()}
    others = {name.split(".")[0] for name in lent.modules()}
    todo = [(package, name) for name in package.modules() if name.split(".")[-1] not in NOT_IN_THE_BROWSER]
    todo += [(lent, name) for name in lent_to_package(package, lent)]
    for sources, module in todo:
        found = imported(sources.text(module), module, sources.is_package(module), inside_functions=True)
        for target, names in found.items():
            if target.split(".")[0] in own | others:
                if package.path(target) is None and lent.path(target) is None:
                    raise MissingModuleError(f"{module} imports {target}, which is not in the package.")
                continue
            if not _exists(library, target):
                raise MissingModuleError(f"{module} imports {target}, which Pyodide's standard library does not have.")
            asked.update(_named(library, {target: names}))
    return sorted(asked)


def closure(library: Sources, named: Iterable[str], roots: Iterable[str]) -> list[str]:
    """Return the library's modules that `named` and `roots` need, themselves included, sorted.

    `named` are followed into their functions, everything else at module level only.
    """
    deep = set(named)
    todo = sorted(deep | set(roots))
    seen: set[str] = set()
    while todo:
        module = todo.pop()
        if module in seen or library.path(module) is None:
            continue
        seen.add(module)
        found = imported(library.text(module), module, library.is_package(module), module in deep)
        todo.extend([*_named(library, found), *_with_parents(module)])
    return sorted(seen)


def _is_frozen(module: str) -> bool:
    return bool(_imp.is_frozen(module))


class _WithoutAnnotations(ast.NodeTransformer):
    """Takes the annotations off functions; those of a class's fields stay, for dataclasses asks for them."""

    def visit_FunctionDef(self, node: ast.FunctionDef) -> ast.AST:
        node.returns = None
        return self.generic_visit(node)

    def visit_arg(self, node: ast.arg) -> ast.AST:
        node.annotation = None
        return node


def compiled(source: bytes, shown_name: str, annotated: bool = True) -> bytes:
    """Return the bytes of a .pyc that is never checked against its source (there is none to check)."""
    tree = ast.parse(source, shown_name)
    if not annotated:
        tree = _WithoutAnnotations().visit(tree)
    code = compile(tree, shown_name, "exec", dont_inherit=True, optimize=OPTIMIZE)
    unchecked_hash = (1).to_bytes(4, "little")
    return importlib.util.MAGIC_NUMBER + unchecked_hash + importlib.util.source_hash(source) + marshal.dumps(code)


def zipped(files: dict[str, bytes]) -> bytes:
    """Return a zip with fixed dates, in the order of the names; nothing in it is compressed, for the whole will be."""
    target = io.BytesIO()
    with zipfile.ZipFile(target, "w") as archive:
        for name in sorted(files):
            entry = zipfile.ZipInfo(name, FIXED_DATE)
            entry.external_attr = 0o644 << 16
            archive.writestr(entry, files[name], zipfile.ZIP_STORED)
    return target.getvalue()


def compiled_files(sources: Sources, modules: Iterable[str], prefix: str, annotated: bool = True) -> dict[str, bytes]:
    """Compile the named modules: the bytes of each by its path."""
    files: dict[str, bytes] = {}
    for module in sorted(modules):
        path = sources.path(module)
        if path is not None:
            files[path + "c"] = compiled(sources.text(module), prefix + path, annotated)
    return files


def sources_of_zip(data: bytes) -> Sources:
    """Read every .py of a zip."""
    with zipfile.ZipFile(io.BytesIO(data)) as archive:
        return Sources({name: archive.read(name) for name in archive.namelist() if name.endswith(".py")})


def make(
    library_zip: bytes, package_files: dict[str, bytes], lent_files: dict[str, bytes], booted: list[str]
) -> dict[str, object]:
    """Make both zips; the answer is ready for JSON but for the two values of bytes."""
    library = sources_of_zip(library_zip)
    package, lent = Sources(package_files), Sources(lent_files)
    asked = asked_by_package(package, library, lent)
    taken = lent_to_package(package, lent)
    kept = [name for name in KEEP if library.path(name) is not None]
    wanted = (set(booted) - set(NEVER_LOADED)) | set(closure(library, asked, kept))
    needed = sorted(name for name in wanted if library.path(name) is not None and not _is_frozen(name))
    in_browser = [name for name in package.modules() if name.split(".")[-1] not in NOT_IN_THE_BROWSER]
    zip_name = f"/lib/python{sys.version_info.major}{sys.version_info.minor}.zip/"
    ours = compiled_files(package, in_browser, "", annotated=False) | compiled_files(lent, taken, "")
    found = compile_dataclasses.texts(package_files | lent_files, in_browser, "/tools/imported")
    changed = {
        compile_dataclasses.MODULE: compile_dataclasses.mended(library.text("dataclasses").decode()).encode(),
        f"{compile_dataclasses.TABLE}.py": compile_dataclasses.table(found).encode(),
    }
    needed = sorted({*needed, "marshal", compile_dataclasses.TABLE})
    return {
        "library": zipped(compiled_files(library.with_files(changed), needed, zip_name)),
        "package": zipped(ours),
        "python": ".".join(str(part) for part in sys.version_info[:3]),
        "library_modules": needed,
        "library_of": len(library.modules()),
        "package_modules": [*in_browser, *taken],
        "asked": asked,
        "dataclass_texts": len(found),
    }


def text_report(library_zip: bytes, package_json: str, lent_json: str, booted: list[str]) -> str:
    """Do `make` with strings only at the border to JavaScript: JSON in, JSON out, bytes as base64."""
    package_files, lent_files = (
        {name: text.encode() for name, text in json.loads(files).items()} for files in (package_json, lent_json)
    )
    try:
        made = make(library_zip, package_files, lent_files, booted)
    except (MissingModuleError, compile_dataclasses.MendError) as error:
        return json.dumps({"refused": str(error)})
    except SyntaxError as error:
        return json.dumps({"refused": f"{error.filename}, line {error.lineno}: {error.msg}"})
    for key in ("library", "package"):
        value = made[key]
        if isinstance(value, bytes):
            made[key] = binascii.b2a_base64(value, newline=False).decode()
    return json.dumps(made)
