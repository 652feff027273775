"""How quick the start is: the time to the first computed result as a ratio to a plain ``loadPyodide()``.

    .made/venv/bin/python build_scripts/measure_start.py [--rounds 5] [--pyodide VERSION] [--also FOLDER]

Both run in a module worker of the same headless Chromium, in turns, from the same server on this machine; with them
another state's runtime, where its folder is given.  A first visit has an empty profile; a second visit opens the page
again in the same browser; the third comes after the browser was closed and started again.  A worker lives on for three
seconds, for only then the browser keeps the compiled wasm, and the worker Python's memory.  The bytes are those of a
first visit behind a host that compresses html, css, js, json and wasm, and sends a zip as it is.  Not a test: it is
for people who change the runtime.
"""

from __future__ import annotations

import argparse
import json
import shutil
import statistics
import sys
import tempfile
import threading
from pathlib import Path
from typing import TYPE_CHECKING

from playwright.sync_api import sync_playwright

import runtime
from places import ROOT
from web_server import Server, Site

sys.path.insert(0, str(ROOT / "tests"))

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator

    from playwright.sync_api import BrowserContext, Playwright

QUESTION = json.dumps({"ask": "answer", "widget": "safe-range", "record": {"version": 1}})
VISITS = ("first visit", "second visit", "after a restart of the browser")
ALIVE = 3000
"""How long every worker lives on after its first result, ms: as on a page that is read."""
PAGE = '<!doctype html><meta charset="utf-8"><title>measure</title><script src="page.js"></script>'
PAGE_SCRIPT = """
window.timed = (address, question) => new Promise((resolve, reject) => {
  const started = performance.now();
  const worker = (window.kept = new Worker(address, { type: "module" }));
  worker.onerror = (event) => reject(new Error(event.message));
  worker.onmessage = ({ data }) => {
    if (data.failed) reject(new Error(data.message));
    if (data.answer && JSON.parse(data.answer).broken) reject(new Error(data.answer));
    if (data.answer) resolve(performance.now() - started);
  };
  worker.postMessage({ id: 1, ask: question });
});
window.repeated = (address, question, times) => new Promise((resolve, reject) => {
  const worker = new Worker(address, { type: "module" });
  const taken = [];
  let sent = 0;
  const send = () => { sent = performance.now(); worker.postMessage({ id: taken.length, ask: question }); };
  worker.onmessage = ({ data }) => {
    if (data.failed) reject(new Error(data.message));
    if (data.ready) send();
    if (!data.answer) return;
    taken.push(performance.now() - sent);
    if (taken.length < times) send(); else { worker.terminate(); resolve(taken); }
  };
});
"""
STOCK_WORKER = """
import { loadPyodide } from "./pyodide.mjs";
const pyodide = await loadPyodide();
postMessage({ answer: JSON.stringify({ value: pyodide.runPython("1 + 1") }) });
"""
OURS, PLAIN, ALSO = "ours", "plain", "also"
HEADERS = (
    "/*\n  Content-Security-Policy: default-src 'none'; script-src 'self' 'wasm-unsafe-eval'; connect-src 'self'\n"
    + "".join(f"/{kind}/*\n  Cache-Control: public, max-age=31536000, immutable\n" for kind in (OURS, PLAIN, ALSO))
)
Times = dict[str, dict[str, list[float]]]
"""Milliseconds of every round, by kind of runtime and visit."""


def lay_out(site: Path, kinds: dict[str, Path]) -> None:
    """Put the runtimes and the measuring page into one folder."""
    for kind, folder in kinds.items():
        shutil.copytree(folder, site / kind)
    (site / PLAIN / "worker.js").write_text(STOCK_WORKER, encoding="utf-8")
    (site / "index.html").write_text(PAGE, encoding="utf-8")
    (site / "page.js").write_text(PAGE_SCRIPT, encoding="utf-8")
    (site / "_headers").write_text(HEADERS, encoding="utf-8")


def profile(playwright: Playwright, folder: str) -> BrowserContext:
    """Start a browser whose profile, caches included, lies in a folder."""
    from helpers.site import ARGUMENTS, chromium_path

    arguments = [*ARGUMENTS, "--no-sandbox"]
    path = chromium_path(playwright, whole=True)
    return playwright.chromium.launch_persistent_context(folder, executable_path=path, args=arguments)


def visit(context: BrowserContext, address: str, which: str) -> float:
    """Open the page and return the milliseconds from making the worker to its first result."""
    page = context.new_page()
    page.goto(address)
    taken = page.evaluate("([address, question]) => timed(address, question)", [f"{which}/worker.js", QUESTION])
    # What the browser compiles and keeps for the next visit is written after a while, and only while the worker lives.
    page.wait_for_timeout(ALIVE)
    page.close()
    return float(taken)


def one_round(playwright: Playwright, address: str, which: str, times: dict[str, list[float]]) -> None:
    """Measure the three visits of one kind with a fresh profile."""
    with tempfile.TemporaryDirectory(ignore_cleanup_errors=True) as folder:
        for visits in (VISITS[:2], VISITS[2:]):
            context = profile(playwright, folder)
            for name in visits:
                times[name].append(visit(context, address, which))
            context.close()


def recalculations(playwright: Playwright, address: str) -> list[float]:
    """Return the milliseconds of sixty questions and answers, one after the other, after ten to warm up."""
    with tempfile.TemporaryDirectory(ignore_cleanup_errors=True) as folder:
        context = profile(playwright, folder)
        page = context.new_page()
        page.goto(address)
        taken = page.evaluate("(question) => repeated('ours/worker.js', question, 70)", QUESTION)
        context.close()
    return [float(one) for one in taken[10:]]


def measured(site: Path, kinds: Iterable[str], rounds: int) -> tuple[Times, list[float]]:
    """Measure all kinds in turns, and how long our recalculations take."""
    order = list(kinds)
    times: Times = {kind: {name: [] for name in VISITS} for kind in order}
    with Server(Site(site)) as server, sync_playwright() as playwright:
        threading.Thread(target=server.serve_forever, daemon=True).start()
        for number in range(rounds):
            # Whoever goes first changes, so that a machine that warms up or slows down favours none.
            for kind in order if number % 2 else reversed(order):
                one_round(playwright, server.address, kind, times[kind])
            print(f"round {number + 1} of {rounds}", file=sys.stderr, flush=True)
        recalculation = recalculations(playwright, server.address)
        server.shutdown()
    return times, recalculation


def report(times: Times) -> Iterator[str]:
    """The lines of the table: every kind against plain, round by round."""
    yield f"{'':34}{'ratio':>7}{'lowest':>8}{'highest':>8}{'ms':>9}{'plain ms':>10}"
    for kind in [each for each in times if each != PLAIN]:
        for name in VISITS:
            ratios = [a / b for a, b in zip(times[kind][name], times[PLAIN][name], strict=True)]
            medians = [statistics.median(times[each][name]) for each in (kind, PLAIN)]
            yield (
                f"{kind + ': ' + name:34}{statistics.median(ratios):7.2f}{min(ratios):8.2f}{max(ratios):8.2f}"
                f"{medians[0]:9.0f}{medians[1]:10.0f}"
            )


def plain_files(folder: Path) -> list[str]:
    """The files that a plain start fetches."""
    engine = next(name for name in runtime.ENGINES if (folder / name).is_file())
    return [runtime.LOADER, engine, runtime.WASM, runtime.STOCK_LIBRARY, runtime.STOCK_LOCK]


def main() -> int:
    """Measure and print."""
    parser = argparse.ArgumentParser(description="Measure the start against a plain loadPyodide().")
    parser.add_argument("--rounds", type=int, default=5)
    parser.add_argument("--pyodide", metavar="VERSION", choices=sorted(runtime.INTEGRITY))
    parser.add_argument("--also", metavar="FOLDER", type=Path, help="the built runtime of another state")
    chosen = parser.parse_args()
    version = runtime.chosen_version(chosen.pyodide)
    kinds = {OURS: runtime.build(version), PLAIN: runtime.fetch(version)}
    if chosen.also is not None:
        kinds[ALSO] = chosen.also
    with tempfile.TemporaryDirectory() as folder:
        lay_out(Path(folder), kinds)
        times, recalculation = measured(Path(folder), kinds, chosen.rounds)
    print(f"Pyodide {version}, {chosen.rounds} rounds; ratio: time to the first result / plain loadPyodide()")
    print("\n".join(report(times)), end="\n\n")
    for kind, built in kinds.items():
        found = runtime.first_visit_bytes(built, plain_files(built) if kind == PLAIN else None)
        print(f"{kind}: {found:,} bytes of a first visit, compressed")
    taken = sorted(recalculation)
    print(
        f"one recalculation, asked and answered: {statistics.median(taken):.1f} ms"
        f" (95 % within {taken[int(0.95 * len(taken))]:.1f} ms)"
    )
    return 0


if __name__ == "__main__":
    sys.exit(main())
