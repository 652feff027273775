"""How quick the start is: the time to the first computed result as a ratio to a plain ``loadPyodide()``.

    .made/venv/bin/python build_scripts/measure_start.py [--rounds 5] [--pyodide VERSION]

Both run in a module worker of the same headless Chromium, in turns, from the same server on this machine.  A first
visit has an empty profile; a second visit opens the page again in the same browser; the third comes after the
browser was closed and started again.  The bytes are those of a first visit behind a host that compresses html, css,
js, json and wasm, and sends a zip as it is.  Not a test: it is for people who change the runtime.
"""

from __future__ import annotations

import argparse
import gzip
import json
import shutil
import statistics
import sys
import tempfile
import threading
from dataclasses import dataclass, field
from pathlib import Path
from typing import TYPE_CHECKING

from playwright.sync_api import sync_playwright

import runtime
from places import ROOT
from web_server import Server, Site

sys.path.insert(0, str(ROOT / "tests"))

if TYPE_CHECKING:
    from playwright.sync_api import BrowserContext, Playwright

QUESTION = json.dumps({"ask": "answer", "widget": "safe-range", "record": {"version": 1}})
VISITS = ("first visit", "second visit", "after a restart of the browser")
COMPRESSED = {".html", ".css", ".js", ".mjs", ".json", ".wasm"}
PAGE = '<!doctype html><meta charset="utf-8"><title>measure</title><script src="page.js"></script>'
PAGE_SCRIPT = """
window.timed = (address, question) => new Promise((resolve, reject) => {
  const started = performance.now();
  const worker = new Worker(address, { type: "module" });
  worker.onerror = (event) => reject(new Error(event.message));
  worker.onmessage = ({ data }) => {
    if (data.failed) reject(new Error(data.message));
    if (data.answer && JSON.parse(data.answer).broken) reject(new Error(data.answer));
    if (data.answer) { worker.terminate(); resolve(performance.now() - started); }
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
HEADERS = """/*
  Content-Security-Policy: default-src 'none'; script-src 'self' 'wasm-unsafe-eval'; connect-src 'self'
/ours/*
  Cache-Control: public, max-age=31536000, immutable
/stock/*
  Cache-Control: public, max-age=31536000, immutable
"""


@dataclass(slots=True)
class Times:
    """Milliseconds of every round, by visit."""

    ours: dict[str, list[float]] = field(default_factory=lambda: {visit: [] for visit in VISITS})
    stock: dict[str, list[float]] = field(default_factory=lambda: {visit: [] for visit in VISITS})
    recalculation: list[float] = field(default_factory=list)


def lay_out(site: Path, ours: Path, stock: Path) -> None:
    """Put both runtimes and the measuring page into one folder."""
    shutil.copytree(ours, site / "ours")
    shutil.copytree(stock, site / "stock")
    (site / "stock" / "worker.js").write_text(STOCK_WORKER, encoding="utf-8")
    (site / "index.html").write_text(PAGE, encoding="utf-8")
    (site / "page.js").write_text(PAGE_SCRIPT, encoding="utf-8")
    (site / "_headers").write_text(HEADERS, encoding="utf-8")


def profile(playwright: Playwright, folder: str) -> BrowserContext:
    """Start a browser whose profile, caches included, lies in a folder."""
    from helpers.site import ARGUMENTS, chromium_path

    arguments = [*ARGUMENTS, "--no-sandbox"]
    path = chromium_path(playwright)
    return playwright.chromium.launch_persistent_context(folder, executable_path=path, args=arguments)


def visit(context: BrowserContext, address: str, which: str) -> float:
    """Open the page and return the milliseconds from making the worker to its first result."""
    page = context.new_page()
    page.goto(address)
    taken = page.evaluate("([address, question]) => timed(address, question)", [f"{which}/worker.js", QUESTION])
    # What the browser compiles and keeps for the next visit is written after a while.
    page.wait_for_timeout(1500)
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


def first_visit_bytes(folder: Path, names: list[str]) -> int:
    """Return the bytes that a host sends which compresses what hosts compress."""
    contents = ((Path(name).suffix, (folder / name).read_bytes()) for name in names)
    return sum(len(gzip.compress(data, 6, mtime=0)) if kind in COMPRESSED else len(data) for kind, data in contents)


def measured(site: Path, rounds: int) -> Times:
    """Measure both kinds in turns."""
    times = Times()
    with Server(Site(site)) as server, sync_playwright() as playwright:
        threading.Thread(target=server.serve_forever, daemon=True).start()
        for number in range(rounds):
            kinds = [("ours", times.ours), ("stock", times.stock)]
            # Whoever goes first changes, so that a machine that warms up or slows down favours neither.
            for which, into in kinds if number % 2 else reversed(kinds):
                one_round(playwright, server.address, which, into)
            print(f"round {number + 1} of {rounds}", file=sys.stderr, flush=True)
        times.recalculation = recalculations(playwright, server.address)
        server.shutdown()
    return times


def report(times: Times, ours: Path, stock: Path) -> str:
    """Return the table."""
    lines = [f"{'':34}{'ratio':>7}{'lowest':>8}{'highest':>8}{'ours ms':>9}{'plain ms':>10}"]
    for name in VISITS:
        ratios = [a / b for a, b in zip(times.ours[name], times.stock[name], strict=True)]
        medians = statistics.median(times.ours[name]), statistics.median(times.stock[name])
        lines.append(
            f"{name:34}{statistics.median(ratios):7.2f}{min(ratios):8.2f}{max(ratios):8.2f}"
            f"{medians[0]:9.0f}{medians[1]:10.0f}"
        )
    engine = next(name for name in runtime.ENGINES if (stock / name).is_file())
    plain = [runtime.LOADER, engine, runtime.WASM, runtime.STOCK_LIBRARY, runtime.STOCK_LOCK]
    own_bytes = first_visit_bytes(ours, [path.name for path in ours.iterdir()])
    plain_bytes = first_visit_bytes(stock, plain)
    taken = sorted(times.recalculation)
    return "\n".join(
        [
            *lines,
            "",
            f"bytes of a first visit, compressed: {own_bytes:,}; plain: {plain_bytes:,}",
            f"one recalculation, asked and answered: {statistics.median(taken):.1f} ms"
            f" (95 % within {taken[int(0.95 * len(taken))]:.1f} ms)",
        ]
    )


def main() -> int:
    """Measure and print."""
    parser = argparse.ArgumentParser(description="Measure the start against a plain loadPyodide().")
    parser.add_argument("--rounds", type=int, default=5)
    parser.add_argument("--pyodide", metavar="VERSION", choices=sorted(runtime.INTEGRITY))
    chosen = parser.parse_args()
    version = runtime.chosen_version(chosen.pyodide)
    ours, stock = runtime.build(version), runtime.fetch(version)
    with tempfile.TemporaryDirectory() as folder:
        lay_out(Path(folder), ours, stock)
        times = measured(Path(folder), chosen.rounds)
    print(f"Pyodide {version}, {chosen.rounds} rounds; ratio: time to the first result / plain loadPyodide()")
    print(report(times, ours, stock))
    return 0


if __name__ == "__main__":
    sys.exit(main())
