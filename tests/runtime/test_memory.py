"""The next start goes on from a memory that was kept, of the same build in the same browser, or else from the files.

That nothing goes on where it should not is seen from the zips of the build: a start from the files asks for them.
"""

from __future__ import annotations

import hashlib
import json
from contextlib import contextmanager
from typing import TYPE_CHECKING, Any

import pytest

import runtime
from helpers.runtime_requests import check_requests_of_every_kind, requests_of_every_kind
from helpers.site import SUB_FOLDER, serving
from helpers.worker_page import lay_out, listen

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator
    from pathlib import Path

    from playwright.sync_api import Page

    from web_server import Server

pytestmark = pytest.mark.browser

PATIENCE = 120_000
SCRIPT = """
const NAME = "quarter-turn SUB_FOLDERruntime/ memory";
const wait = (event) => new Promise((resolve, reject) => {
  event.onsuccess = () => resolve(event.result);
  event.onerror = () => reject(event.error);
});
async function within(mode, act) {
  // To open what is not there would make it.
  if (!(await indexedDB.databases()).some(({ name }) => name === NAME)) return null;
  const database = await wait(indexedDB.open(NAME));
  try {
    return (await wait(act(database.transaction("memory", mode).objectStore("memory")))) ?? null;
  } finally {
    database.close();
  }
}
window.kept = (key = "kept") => within("readonly", (store) => store.get(key));
window.about = async () => (await kept())?.about ?? null;
window.put = (one, key = "kept") => within("readwrite", (store) => store.put(one, key));
window.holds = async (words) => {
  const { bytes } = await kept();
  const text = new TextDecoder("latin1").decode(await bytes.arrayBuffer());
  return words.map((word) => [word, [...word].join("\\0")].some((one) => text.includes(one)));
};
// Start a worker that lives on, and ask it something before it is ready and something when it is.
window.begin = (address, early, late) => new Promise((resolve) => {
  const worker = (window.living = new Worker(address, { type: "module" }));
  window.room = null;
  worker.onmessage = ({ data }) => {
    if (data.ready) worker.postMessage({ id: 2, ask: late });
    if ("room" in data) window.room = data.room;
    if (data.id === 2) resolve();
  };
  worker.postMessage({ id: 1, ask: early });
});
const flipped = async (bytes) => {
  const content = new Uint8Array(await bytes.arrayBuffer());
  content[content.length >> 1] ^= 1;
  return new Blob([content]);
};
// The memory's own pages begin with what Pyodide knows it by. The sum is that of their words, every fourth by itself.
const unknown = async ({ about, bytes }) => {
  const content = new Uint8Array(await bytes.arrayBuffer());
  const [used, pages] = about.parts;
  const at = Math.ceil(used.length / 16) * 16;
  content[at] ^= 1;
  const sums = [1, 2, 3, 4];
  new Int32Array(content.buffer, at, pages.length / 4).forEach((word, index) => {
    sums[index % 4] = (Math.imul(sums[index % 4], 31) + word) | 0;
  });
  const parts = about.parts.with(1, { ...pages, sum: sums.join(" ") });
  return { about: { ...about, parts }, bytes: new Blob([content]) };
};
const HARMS = {
  "is of another Pyodide": unknown,
  "is cut": async ({ about, bytes }) => ({ about, bytes: bytes.slice(0, bytes.size - 16) }),
  "has a bit turned": async ({ about, bytes }) => ({ about, bytes: await flipped(bytes) }),
  "lacks a part": async ({ about, bytes }) => ({ about: { ...about, parts: about.parts.slice(1) }, bytes }),
  "has no bytes": async ({ about }) => ({ about }),
  "is another build's": async ({ about, bytes }) => ({ about: { ...about, build: "another" }, bytes }),
  "is another browser's": async ({ about, bytes }) => ({ about: { ...about, agent: "another" }, bytes }),
  "is nothing known": async () => "what is this",
  "is too short": async ({ about, bytes }) => ({ about: { ...about, length: 1 << 20 }, bytes }),
  "answers otherwise": async ({ about, bytes }) => ({ about: { ...about, trial: "another" }, bytes }),
};
window.keepWhole = async () => put(await kept(), "whole");
window.harm = async (how) => put(await HARMS[how](await kept("whole")));
"""
QUESTION, ANSWER = '{"quarters": 3}', "&lt;0.75 turns&gt;"
MARKS = ("zyx-early-zyx", "zyx-late-zyx")
BROKEN = ("is of another Pyodide", "answers otherwise")
"""What is only seen when Python has gone on, or has tried to."""
UNUSABLE = (
    "is cut",
    "has a bit turned",
    "lacks a part",
    "has no bytes",
    "is another build's",
    "is another browser's",
    "is nothing known",
    "is too short",
)
Folder = str


@pytest.fixture
def small(tmp_path: Path, small_runtime: Path) -> Iterator[tuple[Server, Folder]]:
    with served(tmp_path, small_runtime) as both:
        yield both


@contextmanager
def served(site: Path, built: Path) -> Iterator[tuple[Server, Folder]]:
    """The runtime in a little site, whose page also looks at the memory."""
    folder = lay_out(site, built)
    with (site / "page.js").open("a", encoding="utf-8") as file:
        file.write(SCRIPT.replace("SUB_FOLDER", SUB_FOLDER))
    with serving(site, prefix=SUB_FOLDER) as server:
        yield server, folder


def begin(page: Page, server: Server, folder: Folder, early: str = "{}", late: str = "{}") -> None:
    """Start a worker that lives on."""
    page.goto(server.address)
    page.evaluate("([address, early, late]) => begin(address, early, late)", [f"{folder}worker.js", early, late])


def about(page: Page) -> dict[str, Any] | None:
    found: dict[str, Any] | None = page.evaluate("about()")
    return found


def wait_until(page: Page, happened: Callable[[], object]) -> None:
    for _ in range(PATIENCE // 100):
        if happened():
            return
        page.wait_for_timeout(100)
    raise AssertionError("it did not happen")


def wait_until_kept(page: Page) -> dict[str, Any]:
    """Wait for a whole memory; return what is said of it."""
    wait_until(page, lambda: "parts" in (about(page) or {}))
    return about(page) or {}


def goes_on(page: Page, server: Server, folder: Folder, name: str = "calculator") -> bool:
    """Start the worker, see that it answers as it should, and tell whether it went on from a memory."""
    server.site.requests.clear()
    heard = listen(page, server, folder, [QUESTION], name=name)
    (answer,) = (json.loads(one["answer"]) for one in heard if "answer" in one)
    assert answer["html"] == ANSWER
    assert heard[-2 if "answer" in heard[-1] else -1] == {"ready": True}
    progress = [one for one in heard if "stage" in one]
    assert progress[-1]["loaded"] == progress[-1]["total"]
    asked = {path.rsplit("/", 1)[-1] for path in server.site.requests}
    zips = {runtime.LIBRARY, "quarterturn.packed"}
    assert zips <= asked or not zips & asked
    return not zips & asked


def test_the_second_start_goes_on_and_nothing_of_a_reader_is_kept(page: Page, small: tuple[Server, Folder]) -> None:
    """The early question waits while the memory is copied; the late one is answered before it is kept."""
    server, folder = small
    assert not goes_on(page, server, folder)
    begin(page, server, folder, *(json.dumps({"quarters": 1, "note": mark}) for mark in MARKS))
    wait_until_kept(page)
    # What Python knows by name is found in its memory; what it was asked is not.
    assert page.evaluate("(words) => holds(words)", ["worker_interface", *MARKS]) == [True, False, False]
    assert goes_on(page, server, folder)
    # What went on is not copied, for it has been asked something.
    assert about(page) is not None
    assert goes_on(page, server, folder)


def test_it_answers_as_cpython_does(page: Page, tmp_path: Path, real_runtime: Path) -> None:
    with served(tmp_path, real_runtime) as (server, folder):
        begin(page, server, folder)
        wait_until_kept(page)
        server.site.requests.clear()
        heard = listen(page, server, folder, requests_of_every_kind())
        assert not any(path.endswith(".packed") for path in server.site.requests)
        check_requests_of_every_kind([one["answer"] for one in heard if "answer" in one])


@pytest.mark.expects("wasm instantiation failed", "Python", "memory")
def test_a_memory_that_is_not_right_is_not_used(page: Page, small: tuple[Server, Folder]) -> None:
    server, folder = small
    begin(page, server, folder)
    wait_until_kept(page)
    page.evaluate("keepWhole()")
    for how in (*UNUSABLE, *BROKEN):
        page.goto(server.address)
        page.evaluate("(how) => harm(how)", how)
        assert not goes_on(page, server, folder), how
        assert ((about(page) or {}).get("unfit") is True) == (how in BROKEN), how
    # One that failed is not tried again, nor is another kept for this build.
    assert not goes_on(page, server, folder)
    assert (about(page) or {})["unfit"] is True


def test_a_worker_that_was_told_so_starts_from_its_files(page: Page, small: tuple[Server, Folder]) -> None:
    """One before it stopped, perhaps by what was kept: that is not tried again."""
    server, folder = small
    begin(page, server, folder)
    wait_until_kept(page)
    assert goes_on(page, server, folder)
    assert not goes_on(page, server, folder, name="from its files")
    wait_until(page, lambda: (about(page) or {})["unfit"] is True)
    begin(page, server, folder)
    # Another would be kept by now.
    page.wait_for_timeout(4_000)
    assert (about(page) or {})["unfit"] is True
    assert not goes_on(page, server, folder)


def test_a_new_build_takes_the_place_of_the_old(page: Page, small: tuple[Server, Folder]) -> None:
    server, folder = small
    begin(page, server, folder)
    before = wait_until_kept(page)["build"]
    manifest = json.loads((server.site.folder / folder / "manifest.json").read_text(encoding="utf-8"))
    (memory,) = (one for one in manifest["files"] if one["role"] == "memory")
    text = (server.site.folder / folder / memory["name"]).read_bytes() + b"// Another build.\n"
    memory |= {"bytes": len(text), "sha256": hashlib.sha256(text).hexdigest()}
    server.site.replaced[folder + memory["name"]] = text
    server.site.replaced[folder + "manifest.json"] = json.dumps(manifest).encode()
    assert not goes_on(page, server, folder)
    begin(page, server, folder)
    wait_until(page, lambda: wait_until_kept(page)["build"] != before)
    assert goes_on(page, server, folder)


ROOM = """
navigator.storage.estimate = async () => {
  setTimeout(() => postMessage({ room: true }), 0);
  return { quota: QUOTA, usage: 100_000_000 };
};
"""


@pytest.mark.parametrize(("quota", "is_kept"), [(10_000_000_000, True), (250_000_000, False)])
def test_it_is_kept_only_where_there_is_room(
    page: Page, small: tuple[Server, Folder], quota: int, is_kept: bool
) -> None:
    server, folder = small
    worker = (server.site.folder / folder / "worker.js").read_bytes()
    server.site.replaced[folder + "worker.js"] = ROOM.replace("QUOTA", str(quota)).encode() + worker
    begin(page, server, folder)
    wait_until(page, lambda: page.evaluate("room"))
    if is_kept:
        wait_until_kept(page)
    else:
        # All that would be kept would be put together by now.
        page.wait_for_timeout(2_000)
        assert about(page) is None


@pytest.mark.parametrize(
    "database", ["get() { throw new Error('refused'); }", "value: { open: () => ({}) }", "value: undefined"]
)
def test_without_a_database_it_starts_from_its_files(page: Page, small: tuple[Server, Folder], database: str) -> None:
    server, folder = small
    worker = (server.site.folder / folder / "worker.js").read_bytes()
    prefix = f'Object.defineProperty(self, "indexedDB", {{ {database} }});\n'
    server.site.replaced[folder + "worker.js"] = prefix.encode() + worker
    assert not goes_on(page, server, folder)


@pytest.mark.expects("404")
def test_without_the_module_that_keeps_it_it_starts_from_its_files(page: Page, small: tuple[Server, Folder]) -> None:
    server, folder = small
    server.site.missing.add(folder + "memory.js")
    assert not goes_on(page, server, folder)
