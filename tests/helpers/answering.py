"""A worker that needs no start, for the tests of the page: it has its questions answered by this very Python.

That Pyodide in the browser answers the same, to the last byte, is tested by itself (`test_same_numbers.py`, and
`test_three_pythons.py` for every widget); so is what the real worker does. A browser that has the cookie gets this
worker in place of the real one, from the same address and under the same policy.
"""

from __future__ import annotations

import json
import re
from typing import ClassVar

from helpers.roomy_caches import forget
from quarterturn.worker_interface import ask
from web_server import Handler, Server

COOKIE = "answered-by=this-python"
WORKER_FILE = re.compile(r"runtime/\w+/worker\.js")
QUESTIONS = re.compile(r"runtime/\w+/ask")
# As the real one it is deaf while it answers, and keeps to the messages that stand at the top of worker.js.
WORKER = """
const answer = (question) => {
  const request = new XMLHttpRequest();
  request.open("POST", new URL("ask", self.location.href), false);
  request.send(question);
  return request.responseText;
};
self.onmessage = ({ data: { id, ask } }) => postMessage({ id, answer: answer(ask) });
for (const stage of ["fetch", "start", "package"]) postMessage({ stage, loaded: 1, total: 1 });
postMessage({ ready: true });
"""


class AnsweringHandler(Handler):
    """Serves a site, and the worker of this file with the answers to its questions."""

    def do_GET(self) -> None:  # noqa: N802
        """Answer a GET."""
        within = self.within() or ""
        harmed = within in self.site.missing or within in self.site.replaced
        if WORKER_FILE.fullmatch(within) and not harmed and COOKIE in self.headers.get("Cookie", ""):
            self.site.requests.append(self.path)
            forget()  # a worker that starts has none of what others were asked
            self.reply(".js", WORKER.encode())
        else:
            super().do_GET()

    def do_POST(self) -> None:  # noqa: N802
        """Answer a question as the real worker does."""
        if not QUESTIONS.fullmatch(self.within() or ""):
            self.send_error(405)
            return
        question = self.rfile.read(int(self.headers["Content-Length"])).decode()
        try:
            answer = ask(question)
        except Exception as error:
            answer = json.dumps({"broken": f"{type(error).__name__}: {error}"})
        self.reply(".json", answer.encode())

    def reply(self, kind: str, content: bytes) -> None:
        """Send what is no file."""
        self.send_response(200)
        self.send_header("Content-Type", self.extensions_map[kind])
        self.send_header("Content-Length", str(len(content)))
        self.end_headers()
        self.wfile.write(content)


class AnsweringServer(Server):
    """Serves one site with such a worker beside the real one."""

    handler: ClassVar[type[Handler]] = AnsweringHandler


class SteadyHandler(AnsweringHandler):
    """Serves a site of which nothing changes: a browser need not ask again for style sheets and modules."""

    def keeping(self) -> str:
        """Keep what stands beside the pages; a page is asked for each time."""
        return "max-age=86400" if (self.within() or "").startswith("assets/") else super().keeping()


class SteadyServer(AnsweringServer):
    """Serves one site, which no test may damage, to all tests."""

    handler: ClassVar[type[Handler]] = SteadyHandler
