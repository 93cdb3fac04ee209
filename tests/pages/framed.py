"""A headless Chromium that opens a page and gives what the page's script wrote into it."""

from __future__ import annotations

import html
import json
import os
import re
import shutil
import subprocess
import tempfile
from pathlib import Path
from typing import Any

#: The drawings stand in a page of this: it waits for no one and writes what it measures as its body.
MEASURE = (Path(__file__).parent / "measure.js").read_text("utf-8")
FLAGS = (
    "--headless", "--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run",
    "--disable-background-networking", "--disable-component-update", "--disable-sync",
    "--hide-scrollbars", "--disable-dev-shm-usage",
)  # fmt: skip
SCHEMES = {"light": "1", "dark": "0"}
CANDIDATES = (os.environ.get("TAREBOOK_CHROMIUM", ""), "chromium", "chromium-browser", "google-chrome")


def chromium() -> str:
    """Give the browser's path. Raises: AssertionError where there is none."""
    found = next((path for each in CANDIDATES if each and (path := shutil.which(each))), None)
    assert found, "no chromium or google-chrome on the PATH: bash deploy/test installs it"
    return found


def measured(drawings: dict[str, str], width: int, scheme: str, folder: Path) -> dict[str, Any]:
    """Open each drawing (SVG text by name) inline in a frame of a width, and measure them all.

    Shape: by name, ``texts`` with text, box, size and colours, ``sheet`` the drawing's box.
    """
    for place, text in enumerate(drawings.values()):
        svg = re.sub(r"^<\?xml[^>]*\?>", "", text)
        page = f'<!doctype html><meta charset="utf-8"><style>body{{margin:0}}</style>{svg}'
        (folder / f"{place}.html").write_text(page, "utf-8")
    frames = "".join(
        f'<iframe title={json.dumps(str(place))} src="{place}.html" width="{width}" height="3000"'
        ' style="border:0;display:block"></iframe>'
        for place in range(len(drawings))
    )
    page = folder / "all.html"
    page.write_text(
        f'<!doctype html><meta charset="utf-8"><body>{frames}<script>{MEASURE}</script>', "utf-8"
    )
    found = json.loads(_body(page, scheme))
    return dict(zip(drawings, found, strict=True))


def _body(page: Path, scheme: str) -> str:
    """Give the text that a page's script left in its ``pre``."""
    with tempfile.TemporaryDirectory(ignore_cleanup_errors=True) as own:
        command = [
            chromium(), *FLAGS, f"--user-data-dir={own}", "--allow-file-access-from-files",
            f"--blink-settings=preferredColorScheme={SCHEMES[scheme]}",
            "--virtual-time-budget=10000", "--dump-dom", page.as_uri(),
        ]  # fmt: skip
        done = subprocess.run(command, capture_output=True, text=True, timeout=120, check=False)
    found = re.search(r"<pre>(.*)</pre>", done.stdout, re.DOTALL)
    assert found, f"Chromium wrote no measures: {done.stderr[-400:]}"
    return html.unescape(found[1])
