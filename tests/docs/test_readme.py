"""README is true: every call in it is made, and every answer holds what README shows of it.

What README shows is no evidence about the trade; this only keeps the page from growing old.
"""

from __future__ import annotations

import json
import subprocess
from itertools import pairwise

import pytest

from tests.docs.examples import ROOT, Example, examples, lacks

BLOCKS = list(examples("README.md"))
CALLS = [
    (call, shown)
    for call, shown in pairwise(BLOCKS)
    if call.language == "bash" and shown.language == "json"
]
COMMANDS = [block for block in BLOCKS if block.language == "bash" and "curl" not in block.text]


def test_every_call_shows_its_answer() -> None:
    assert sum("curl" in block.text for block in BLOCKS) == len(CALLS) >= 4


@pytest.mark.parametrize(("call", "shown"), CALLS, ids=[f"line {call.line}" for call, _ in CALLS])
def test_an_answer_holds_what_is_shown_of_it(call: Example, shown: Example, port: int) -> None:
    command = call.text.replace("127.0.0.1:8765", f"127.0.0.1:{port}")
    done = subprocess.run(
        ["bash", "-c", command], capture_output=True, text=True, timeout=60, check=True
    )
    answers = [json.loads(line) for line in done.stdout.splitlines()]
    expected = [json.loads(line) for line in _documents(shown.text)]
    assert not list(lacks(expected, answers)), done.stdout


def _documents(text: str) -> list[str]:
    """Cut a block into its JSON documents: each begins at the left margin."""
    documents: list[str] = []
    for line in text.splitlines():
        if line.startswith("{"):
            documents.append(line)
        else:
            documents[-1] += line
    return documents


def test_the_two_commands_are_the_ones_that_are_tried() -> None:
    assert [block.text for block in COMMANDS][:2] == ["bash deploy/run", "bash deploy/test"]
    assert all((ROOT / block.text.split()[1]).is_file() for block in COMMANDS[:2])


def test_the_archive_command_is_taken_as_it_stands(tmp_path: object) -> None:
    from service.cli import read_command

    words = next(block.text for block in COMMANDS if "tarebook archive" in block.text).split()
    given = read_command(words[1:])
    assert given.out == "answers.ndjson"
    assert given.jobs == 2


def test_the_licence_stands_in_full() -> None:
    text = (ROOT / "README.md").read_text("utf-8")
    assert text.split("## Licence")[1].strip().startswith("MIT License")
    assert 'THE SOFTWARE IS PROVIDED "AS IS"' in text
