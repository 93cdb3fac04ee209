"""Do the main job once over HTTP: serve, post a card, look at it through every view, stop.

Called by ``deploy/run --check``; uses a store of its own inside the data folder, which it removes.
"""

from __future__ import annotations

import json
import os
import runpy
import subprocess
import sys
import tempfile
import time
import urllib.error
import urllib.request
from pathlib import Path

HERE = Path(__file__).resolve().parent
PORT = os.environ["TAREBOOK_PORT"]
AT = f"http://127.0.0.1:{PORT}"
PATIENCE = 30.0

CARD = """Tea Urn White Cake
2 ¼ cups sifted cake flour
1 ¼ cups sugar
2 ½ teaspoons baking powder
½ teaspoon salt
½ cup butter, melted
¾ cup milk
Whites 4 eggs
½ cup walnut meats, chopped
Bake in a moderate oven.
"""
STORED = "/v1/formulas/tea-urn-white-cake"
BROKEN = '{"title": "No lines at all"}'


class NotAsPromised(Exception):
    """The service did not do its job; the message says where."""


def ask(path: str, body: str | None = None, media: str = "application/json", want: int = 200) -> bytes:
    """Send a request and give the answer's body. Raises: NotAsPromised."""
    data = None if body is None else body.encode()
    request = urllib.request.Request(AT + path, data, {"Content-Type": media} if data else {})  # noqa: S310
    try:
        with urllib.request.urlopen(request, timeout=PATIENCE) as answer:  # noqa: S310
            status, content = answer.status, answer.read()
    except urllib.error.HTTPError as refusal:
        status, content = refusal.code, refusal.read()
    if status != want:
        raise NotAsPromised(f"{path} answered {status}, not {want}: {content.decode()}")
    return bytes(content)


def wait_until_served(server: subprocess.Popen[bytes]) -> None:
    """Wait for the first good answer. Raises: NotAsPromised, SystemExit where it refused to start."""
    until = time.monotonic() + PATIENCE
    while time.monotonic() < until:
        if server.poll() is not None:
            sys.exit(server.returncode)  # it has said why, in one line
        try:
            ask("/healthz")
        except (NotAsPromised, OSError):
            time.sleep(0.02)
        else:
            return
    raise NotAsPromised(f"no answer within {PATIENCE:.0f} seconds")


def expect(what: str, holds: bool) -> None:
    """Refuse an answer that is not what it should be. Raises: NotAsPromised."""
    if not holds:
        raise NotAsPromised(f"not as it should be: {what}")


def weigh() -> None:
    """Store the card and print what its lines weigh."""
    stored = json.loads(ask("/v1/formulas", CARD, "text/plain; charset=utf-8", 201))
    weights = json.loads(ask(f"{STORED}/weights"))
    expect("every line of the card weighs", weights["complete"])
    print(f"{stored['formula']['name']} (version {stored['version']}), weighed:")
    for line in weights["lines"]:
        percent = line["percent"]
        share = "" if percent is None else f"{percent:7.1f} %"
        print(f"  {line['grams']:8.1f} g {share}  {line['as_written']}")
    print(f"  {len(weights['assumptions'])} assumptions, each said with its worth")


def check_and_label() -> None:
    """Print findings and allergens."""
    findings = json.loads(ask(f"{STORED}/findings"))
    print(f"findings: {findings['verdict']}, class {findings['class']}")
    for finding in findings["findings"]:
        print(f"  {finding['severity']} {finding['rule']}: {finding['message']}")
    for market in ("eu", "us"):
        answer = json.loads(ask(f"{STORED}/allergens?market={market}"))
        names = ", ".join(entry["declare_as"] for entry in answer["contains"])
        expect(f"the walnuts are declared for {market}", "walnut" in names.lower())
        hidden = ", ".join(entry["declare_as"] for entry in answer["undetermined"]) or "nothing"
        print(f"allergens ({market}): contains {names}; undetermined: {hidden}")


def change() -> None:
    """Print the formula halved, and in grams; what comes out must go back in."""
    scaled = json.loads(ask(f"{STORED}/scaled?factor=1/2"))
    print(f"scaled by 1/2: drift factor {scaled['drift']['factor']}")
    converted = json.loads(ask(f"{STORED}/converted?measures=metric&as=mass"))
    ask("/v1/weights", json.dumps(converted["formula"]))
    print("converted to grams, and the answer goes back in")


def run_archive() -> None:
    """Send three records, one of them broken, and print what comes back."""
    title, *lines = CARD.splitlines()
    good = json.dumps({"title": title, "lines": lines[:-1], "method": lines[-1]})
    body = "\n".join((good, BROKEN, good)) + "\n"
    answers = ask("/v1/archive?views=weights", body, "application/x-ndjson").splitlines()
    statuses = [json.loads(answer)["status"] for answer in answers[:-1]]
    expect(f"a broken record costs itself alone: {statuses}", statuses[1] == "refused")
    expect(f"the good records are read: {statuses}", "refused" not in (statuses[0], statuses[2]))
    print(f"archive: {', '.join(statuses)}; {answers[-1].decode()}")


def main() -> int:
    """Serve, do the job, stop."""
    data = Path(os.environ["TAREBOOK_DATA"])
    try:
        data.mkdir(parents=True, exist_ok=True)
        with tempfile.TemporaryDirectory(prefix=".check-", dir=data) as store:
            return serve_and_check({**os.environ, "TAREBOOK_DATA": store})
    except OSError as error:
        print(f"tarebook: cannot write in the data folder {data}: {error.strerror}", file=sys.stderr)
        return 1


def serve_and_check(environment: dict[str, str]) -> int:
    """Run the server for as long as the checks take."""
    os.environ.update(environment)
    runpy.run_path(str(HERE / "gunicorn.conf.py"))["check_port"]()  # else another one might answer
    command = [sys.executable, "-m", "gunicorn", "--config", str(HERE / "gunicorn.conf.py")]
    with subprocess.Popen(command, env=environment, stdout=subprocess.DEVNULL) as server:
        try:
            wait_until_served(server)
            for step in (weigh, check_and_label, change, run_archive):
                step()
        except NotAsPromised as fault:
            print(f"tarebook: {fault}", file=sys.stderr)
            return 1
        finally:
            server.terminate()
    print("the main job was done")
    return 0


if __name__ == "__main__":
    sys.exit(main())
