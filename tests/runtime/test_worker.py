"""The worker in a browser, under the strict policy and in a sub-folder: it starts, answers, says what is wrong."""

from __future__ import annotations

import gzip
import hashlib
import io
import json
import zipfile
from typing import TYPE_CHECKING

import pytest

import runtime
from helpers.site import SUB_FOLDER, serving
from helpers.worker_page import failure, lay_out, listen, starts

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

    from playwright.sync_api import Page

    from web_server import Server

pytestmark = pytest.mark.browser

# Put before the worker's own text: what it wants to do after two seconds, it does when told that they have passed.
CLOCK = """
{
  const later = new Map();
  const { setTimeout: set, clearTimeout: clear } = self;
  self.setTimeout = (act, delay, ...others) => {
    if (delay !== 2000) return set(act, delay, ...others);
    const id = -1 - later.size;
    later.set(id, act);
    return id;
  };
  self.clearTimeout = (id) => later.delete(id) || clear(id);
  self.addEventListener("message", ({ data }) => {
    if (data.jump) for (const act of [...later.values()]) act();
  });
}
"""


@pytest.fixture
def small_server(tmp_path: Path, small_runtime: Path) -> Iterator[Server]:
    lay_out(tmp_path, small_runtime)
    with serving(tmp_path, prefix=SUB_FOLDER) as running:
        yield running


def test_it_starts_counts_bytes_and_answers_in_order(page: Page, small_server: Server, small_runtime: Path) -> None:
    folder = f"runtime/{small_runtime.name}/"
    heard = listen(page, small_server, folder, ['{"quarters": 3}', '{"ask": "raise"}', "{}"])
    manifest = json.loads((small_runtime / "manifest.json").read_text(encoding="utf-8"))
    total = sum(one["bytes"] for one in manifest["files"])
    progress = [one for one in heard if "stage" in one]
    assert list(dict.fromkeys(one["stage"] for one in progress)) == ["fetch", "start", "package"]
    assert [one["loaded"] for one in progress] == sorted(one["loaded"] for one in progress)
    assert len({one["loaded"] for one in progress}) > 8
    assert progress[-1]["loaded"] == progress[-1]["total"] == total
    assert {one["total"] for one in progress[1:]} == {total}
    answers = [one for one in heard if "answer" in one]
    assert [one["id"] for one in answers] == [1, 2, 3]
    first, broken, last = (json.loads(one["answer"]) for one in answers)
    assert first["html"] == "&lt;0.75 turns&gt;"
    assert "ValueError: asked to raise" in broken["broken"]
    assert last["html"] == "&lt;0.0 turns&gt;"
    assert all(path.startswith(SUB_FOLDER) for path in small_server.site.requests)


@pytest.mark.expects("404", "wasm instantiation failed")
@pytest.mark.parametrize(
    "name", ["manifest.json", "pyodide.mjs", "engine", runtime.WASM, runtime.LIBRARY, "quarterturn.packed"]
)
def test_a_missing_file_is_named(page: Page, small_server: Server, small_runtime: Path, name: str) -> None:
    name = engine_of(small_runtime) if name == "engine" else name
    folder = f"runtime/{small_runtime.name}/"
    small_server.site.missing.add(folder + name)
    stage, message = failure(listen(page, small_server, folder, []))
    assert stage == "fetch"
    assert message == f"the file {name} is missing on the server (HTTP status 404)"
    small_server.site.missing.clear()
    assert starts(page, small_server, folder)


def engine_of(built: Path) -> str:
    return next(name for name in runtime.ENGINES if (built / name).is_file())


def cut_off(content: bytes) -> bytes:
    return content[: len(content) // 2]


def one_bit_flipped(content: bytes) -> bytes:
    # Near the end, where a text file has code too and a zip has its directory.
    at = len(content) * 3 // 4
    return content[:at] + bytes([content[at] ^ 1]) + content[at + 1 :]


def another_page(_: bytes) -> bytes:
    return b"<!doctype html><title>Sign in</title>"


HARMS = ((cut_off, "bytes instead of"), (one_bit_flipped, "is damaged"), (another_page, "bytes instead of"))


@pytest.mark.expects("wasm instantiation failed", "CompileError", "Failed to load module script")
@pytest.mark.parametrize("name", ["pyodide.mjs", "engine", runtime.WASM, runtime.LIBRARY, "quarterturn.packed"])
def test_a_damaged_file_is_named(page: Page, small_server: Server, small_runtime: Path, name: str) -> None:
    name = engine_of(small_runtime) if name == "engine" else name
    folder = f"runtime/{small_runtime.name}/"
    whole = (small_runtime / name).read_bytes()
    # Each of them is a first start: this server lets nothing be kept without asking for it again.
    for harm, words in HARMS:
        small_server.site.replaced[folder + name] = harm(whole)
        stage, message = failure(listen(page, small_server, folder, []))
        assert stage in ("fetch", "start"), harm
        assert message.startswith(f"the file {name} "), harm
        assert words in message, harm


@pytest.mark.own_profile
@pytest.mark.expects("wasm instantiation failed", "CompileError", "Failed to load module script")
@pytest.mark.parametrize("name", ["pyodide.mjs", "engine", runtime.WASM, runtime.LIBRARY, "quarterturn.packed"])
def test_a_file_that_was_kept_damaged_is_had_anew_once_it_is_whole(
    page: Page, small_server: Server, small_runtime: Path, name: str
) -> None:
    """On a host that lets its files be kept for long, as the site's own headers do."""
    headers = small_server.site.folder / "_headers"
    kept = "/runtime/*\n  Cache-Control: public, max-age=31536000, immutable\n"
    headers.write_text(headers.read_text(encoding="utf-8") + kept, encoding="utf-8")
    name = engine_of(small_runtime) if name == "engine" else name
    folder = f"runtime/{small_runtime.name}/"
    whole = (small_runtime / name).read_bytes()
    for harm in (one_bit_flipped, cut_off):
        small_server.site.replaced[folder + name] = harm(whole)
        _, message = failure(listen(page, small_server, folder, []))
        assert message.startswith(f"the file {name} "), harm
        assert "is damaged" in message or "bytes instead of" in message, harm
    small_server.site.replaced.clear()
    # The first start may only find that a fresh copy is whole.
    heard = listen(page, small_server, folder, [])
    if "failed" in heard[-1]:
        message = failure(heard)[1]
        assert "a fresh copy is here now" in message or f"the browser refused the file {name}" in message
        assert starts(page, small_server, folder)
    else:
        assert heard[-1] == {"ready": True}


def test_a_damaged_manifest_is_named(page: Page, small_server: Server, small_runtime: Path) -> None:
    folder = f"runtime/{small_runtime.name}/"
    small_server.site.replaced[folder + "manifest.json"] = b'{"files": ['
    assert failure(listen(page, small_server, folder, []))[1] == "the file manifest.json is damaged: it cannot be read"


def test_a_start_that_stands_still_is_ended_by_the_workers_own_clock(
    page: Page, small_server: Server, small_runtime: Path
) -> None:
    folder = f"runtime/{small_runtime.name}/"
    # Neither answered nor refused.
    page.context.route(f"**/{runtime.WASM}", lambda _route: None)
    # The worker's clock stands until all else is here: a busy machine must not be taken for a start that stands still.
    worker = (small_runtime / "worker.js").read_text(encoding="utf-8")
    small_server.site.replaced[folder + "worker.js"] = (CLOCK + worker).encode()
    manifest = json.loads((small_runtime / "manifest.json").read_text(encoding="utf-8"))
    rest = sum(one["bytes"] for one in manifest["files"] if one["name"] != runtime.WASM)
    heard = listen(page, small_server, folder, [], silence=2, jump_at=rest)
    stage, message = failure(heard)
    assert stage == "fetch"
    assert message == f"nothing has moved for 2 seconds; not yet here: {runtime.WASM}"


@pytest.mark.parametrize(
    ("interface", "words"),
    [
        ("import nowhere_to_be_found", "could not import quarterturn.worker_interface: ModuleNotFoundError"),
        ("other = 1", "module quarterturn.worker_interface has no function ask"),
    ],
)
def test_a_package_that_cannot_be_used_is_a_failure(
    page: Page, small_server: Server, small_runtime: Path, interface: str, words: str
) -> None:
    # As built and delivered, but for a package with another content.
    content = io.BytesIO()
    with zipfile.ZipFile(content, "w") as archive:
        archive.writestr("quarterturn/__init__.py", "")
        archive.writestr("quarterturn/worker_interface.py", interface)
    manifest = json.loads((small_runtime / "manifest.json").read_text(encoding="utf-8"))
    described = next(one for one in manifest["files"] if one["role"] == "package")
    packed = gzip.compress(content.getvalue())
    described |= {"bytes": len(packed), "sha256": hashlib.sha256(packed).hexdigest()}
    folder = f"runtime/{small_runtime.name}/"
    small_server.site.replaced[folder + "quarterturn.packed"] = packed
    small_server.site.replaced[folder + "manifest.json"] = json.dumps(manifest).encode()
    stage, message = failure(listen(page, small_server, folder, []))
    assert stage == "package"
    assert words in message
