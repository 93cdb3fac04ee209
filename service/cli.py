"""The command ``tarebook``: archives, the OpenAPI document and a book of formulas, from a terminal."""

from __future__ import annotations

import argparse
import json
import sys
from collections.abc import Sequence
from pathlib import Path

from service.archive.asking import read_asked
from service.archive.run import Run, run_archive
from service.domain.faults import do_not_fit, not_understood
from service.errors import TarebookError
from service.kitchen import open_kitchen


def main(words: Sequence[str] | None = None) -> int:
    """Run a command; refusals are told in one line each. Gives the exit code."""
    given = read_command(words)
    try:
        given.command(given)
    except TarebookError as refusal:
        print(f"tarebook: {refusal.detail or refusal.title}", file=sys.stderr)
        for fault in refusal.faults:
            place = "" if fault.pointer is None else f"{fault.pointer}: "
            print(f"  {place}{fault.detail}", file=sys.stderr)
        return 1
    except OSError as error:
        print(f"tarebook: {error.filename}: {error.strerror}", file=sys.stderr)
        return 1
    return 0


def read_command(words: Sequence[str] | None = None) -> argparse.Namespace:
    """Read the words of a command. Raises: SystemExit, where they are none."""
    return _parser().parse_args(words)


def _parser() -> argparse.ArgumentParser:
    parser = argparse.ArgumentParser(prog="tarebook", description=__doc__)
    commands = parser.add_subparsers(required=True, metavar="command")
    archive = commands.add_parser("archive", help="turn records to weighed, checked formulas")
    archive.add_argument("file", help="NDJSON records; - reads the standard input")
    archive.add_argument("--out", default="-", help="where the answers go; - is the standard output")
    archive.add_argument("--views", default="", help="views to add to each answer: weights,findings")
    archive.add_argument(
        "--ask", action="append", default=[], metavar="NAME=VALUE",
        help="a parameter as in a query: market=eu, factor=1/2, measures=metric; repeatable",
    )  # fmt: skip
    archive.add_argument("--jobs", type=int, default=1, metavar="N", help="worker processes (1)")
    archive.add_argument(
        "--resume", action="store_true", help="go on where an earlier run with --out stopped"
    )
    archive.set_defaults(command=_archive)
    openapi = commands.add_parser("openapi", help="print the OpenAPI document")
    openapi.set_defaults(command=_openapi)
    load = commands.add_parser("load", help="store the formula documents of a folder")
    load.add_argument("folder", type=Path, help="a folder of JSON documents, each named by its id")
    load.set_defaults(command=_load)
    return parser


def _archive(given: argparse.Namespace) -> None:
    """Answer every record of a file and print the tally. Raises: Invalid, Conflict."""
    asked = read_asked(given.views, _words(given.ask), open_kitchen())
    counts = run_archive(Run(given.file, given.out, asked, max(1, given.jobs), given.resume))
    if given.out != "-":
        print(json.dumps(counts.document(), indent=2))


def _words(asked: Sequence[str]) -> dict[str, list[str]]:
    """Read ``name=value`` words as a query would. Raises: Invalid."""
    words: dict[str, list[str]] = {}
    for each in asked:
        name, equals, value = each.partition("=")
        if not equals:
            raise do_not_fit((not_understood("--ask", each, "name=value", "market=eu"),))
        words.setdefault(name, []).append(value)
    return words


def _openapi(given: argparse.Namespace) -> None:
    """Print the OpenAPI document as it is checked in."""
    from service.http.openapi import openapi_text

    sys.stdout.write(openapi_text())


def _load(given: argparse.Namespace) -> None:
    """Store a folder's documents through the service's own door."""
    from service.http.app import create_app
    from service.http.book import load_book

    for slug, what in load_book(create_app(), given.folder):
        print(f"{slug}: {what}")


if __name__ == "__main__":
    sys.exit(main())
