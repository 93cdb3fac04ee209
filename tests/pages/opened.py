"""A small site beside the service, with pages that open its drawings as documents of their own.

A page holds each drawing in a frame of a stated width and writes down, once all are there, where each
text came to lie, in which colours, and what the drawing asked for. The drawings come over HTTP, with
the headers that keep them from fetching anything.
"""

from __future__ import annotations

import html
import json
import re
import subprocess
import tempfile
import threading
from collections.abc import Iterator
from contextlib import contextmanager
from typing import Any

from flask import Flask, request
from werkzeug.middleware.dispatcher import DispatcherMiddleware
from werkzeug.serving import make_server

from tests.pages.framed import FLAGS, SCHEMES, chromium

_PAGE = """<!doctype html><meta charset="utf-8"><title>drawings</title>
<style>body{margin:0} iframe{border:0;display:block;height:4000px}</style>
FRAMES
<pre id="seen"></pre>
<script>
function shown(element) { return element.getClientRects().length > 0; }
function box(element) {
  const r = element.getBoundingClientRect();
  return {left: r.left, top: r.top, right: r.right, bottom: r.bottom};
}
function look(frame) {
  const page = frame.contentDocument, root = page.documentElement, view = frame.contentWindow;
  return {
    name: frame.dataset.name, width: view.innerWidth, root: root.tagName, sheet: box(root),
    ground: view.getComputedStyle(root).backgroundColor,
    asked: view.performance.getEntriesByType('resource').map(entry => entry.name),
    texts: [...page.querySelectorAll('text')].filter(shown).map(text => ({
      text: text.textContent, ...box(text),
    })),
    plots: [...page.querySelectorAll('use')].filter(shown).map(box),
  };
}
window.onload = () => {
  const seen = [...document.querySelectorAll('iframe')].map(look);
  document.getElementById('seen').textContent = JSON.stringify(seen);
};
</script>
"""


def _looking() -> Flask:
    """Make the pages that look: ``/?width=320&draw=PATH&draw=PATH``."""
    pages = Flask("pages")

    @pages.get("/")
    def page() -> str:
        width = int(request.args["width"])
        frames = (
            f'<iframe data-name="{path}" width="{width}" src="{path}"></iframe>'
            for path in map(html.escape, request.args.getlist("draw"))
        )
        return _PAGE.replace("FRAMES", "\n".join(frames))

    return pages


@contextmanager
def site(app: Flask) -> Iterator[str]:
    """Serve an app, with the pages that look under ``/look/``; give the address."""
    both = DispatcherMiddleware(app, {"/look": _looking()})
    server = make_server("127.0.0.1", 0, both, threaded=True)
    thread = threading.Thread(target=server.serve_forever, daemon=True)
    thread.start()
    try:
        yield f"http://127.0.0.1:{server.port}"
    finally:
        server.shutdown()
        thread.join()
        server.server_close()


def looked_at(address: str, scheme: str) -> list[dict[str, Any]]:
    """Open a page that looks, under a colour scheme; give what it wrote down, drawing by drawing."""
    with tempfile.TemporaryDirectory(ignore_cleanup_errors=True) as profile:
        done = subprocess.run(
            [
                chromium(), *FLAGS, f"--user-data-dir={profile}", "--window-size=1100,900",
                f"--blink-settings=preferredColorScheme={SCHEMES[scheme]}",
                "--virtual-time-budget=10000", "--dump-dom", address,
            ],
            capture_output=True, timeout=120, check=False,
        )  # fmt: skip
    page = done.stdout.decode("utf-8", "replace")
    seen = re.search(r'<pre id="seen">(.+?)</pre>', page, re.DOTALL)
    assert seen, f"the page did not look: {page[-500:]} {done.stderr[-500:]!r}"
    found: list[dict[str, Any]] = json.loads(html.unescape(seen[1]))
    return found
