"""A small page round a runtime, under the strict policy, that starts the worker and tells all it said."""

from __future__ import annotations

import shutil
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from pathlib import Path

    from playwright.sync_api import Page

    from web_server import Server

# Nothing but files of this origin and wasm, for the page and the worker alike.
POLICY = (
    "default-src 'none'; script-src 'self' 'wasm-unsafe-eval'; connect-src 'self'; worker-src 'self'; img-src 'self'"
)
PAGE = """<!doctype html><meta charset="utf-8"><title>worker</title>
<link rel="icon" href="icon.png"><script src="page.js"></script>"""
SCRIPT = """
window.listen = (address, questions, jumpAt, name) => new Promise((resolve) => {
  const heard = [];
  const worker = new Worker(address, { type: "module", name });
  const done = () => { worker.terminate(); resolve(heard); };
  worker.onerror = (event) => { heard.push({ crashed: event.message ?? "" }); done(); };
  worker.onmessage = ({ data }) => {
    heard.push(data);
    if (data.loaded === jumpAt) worker.postMessage({ jump: true });
    const answers = heard.filter((one) => "answer" in one).length;
    if ("failed" in data || (answers === questions.length && heard.some((one) => one.ready))) done();
  };
  setTimeout(() => { heard.push({ crashed: "neither ready nor failed" }); done(); }, 300_000);
  questions.forEach((ask, at) => worker.postMessage({ id: at + 1, ask }));
});
"""
Heard = list[dict[str, Any]]


def lay_out(site: Path, built: Path) -> str:
    """Make a little site round a runtime; return the runtime's folder within it."""
    shutil.copytree(built, site / "runtime" / built.name)
    (site / "index.html").write_text(PAGE, encoding="utf-8")
    (site / "icon.png").write_bytes(b"")
    (site / "page.js").write_text(SCRIPT, encoding="utf-8")
    (site / "_headers").write_text(f"/*\n  Content-Security-Policy: {POLICY}\n", encoding="utf-8")
    return f"runtime/{built.name}/"


def listen(
    page: Page,
    server: Server,
    folder: str,
    questions: list[str],
    silence: int = 300,
    jump_at: int = -1,
    name: str = "calculator",
) -> Heard:
    """Start the worker and return all it said, until every question is answered or it has failed.

    Once it has loaded `jump_at` bytes it is told that its time has passed; only a worker with a clock of a test's own
    listens to that.
    """
    page.goto(server.address)
    heard = page.evaluate(
        "([address, questions, jumpAt, name]) => listen(address, questions, jumpAt, name)",
        [f"{folder}worker.js?silence={silence}", questions, jump_at, name],
    )
    assert isinstance(heard, list)
    return heard


def starts(page: Page, server: Server, folder: str) -> bool:
    """Start the worker; tell whether it became ready."""
    return listen(page, server, folder, [])[-1] == {"ready": True}


def failure(heard: Heard) -> tuple[str, str]:
    """Return the stage and the message of the failure that ended a start."""
    assert not any("ready" in one or "crashed" in one for one in heard), heard
    last = heard[-1]
    return str(last["failed"]), str(last["message"])
