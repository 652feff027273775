"""The watch over pages sees what it is there to see; a page that does nothing wrong leaves it empty."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from helpers.profiles import watched_page
from helpers.site import Watch, serving

if TYPE_CHECKING:
    from pathlib import Path

    from playwright.sync_api import Browser

pytestmark = pytest.mark.browser

PAGE = """<!doctype html>
<title>page</title>
<meta http-equiv="Content-Security-Policy" content="default-src 'self'; connect-src *; img-src 'self' data:">
<link rel="icon" href="data:,">
<body><script src="page.js"></script>
"""
FAULTY = """
console.error("said");
fetch("gone.json").catch(() => 0);
fetch("http://other.invalid/x").catch(() => 0);
const image = new Image(); image.src = "http://other.invalid/picture"; document.body.append(image);
new Worker("worker.js").onmessage = () => { document.title = "done" };
setTimeout(() => { throw new Error("thrown") });
"""
WORKER = """
console.error("said in the worker");
postMessage("ready");
"""


def faults_of(browser: Browser, folder: Path, script: str) -> list[str]:
    (folder / "index.html").write_text(PAGE)
    (folder / "page.js").write_text(script)
    (folder / "worker.js").write_text(WORKER)
    watch = Watch()
    with serving(folder) as server, watched_page(browser, watch) as page:
        page.goto(server.address)
        page.wait_for_function("() => document.title === 'done'")
        page.wait_for_timeout(200)
    return watch.faults


def test_each_kind_of_fault_is_seen(browser: Browser, tmp_path: Path) -> None:
    faults = faults_of(browser, tmp_path, FAULTY)
    for kind, part in (
        ("console", "said"),
        ("console", "said in the worker"),
        ("console", "404"),
        ("exception", "thrown"),
        ("policy", "img-src blocked http://other.invalid/picture"),
        ("foreign", "http://other.invalid/x"),
    ):
        assert any(fault.startswith(f"{kind}: ") and part in fault for fault in faults), (kind, part, faults)


def test_a_clean_page_leaves_nothing(browser: Browser, tmp_path: Path) -> None:
    assert faults_of(browser, tmp_path, "document.title = 'done'") == []


def test_only_what_is_expected_is_forgiven() -> None:
    watch = Watch(["console: 404 engine.wasm", "console: other"])
    watch.expect("engine.wasm")
    with pytest.raises(AssertionError, match=r"not clean:\nconsole: other$"):
        watch.check()
    watch.expect("other")
    watch.check()
