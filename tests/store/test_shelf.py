"""The shelf: versions that stay, tombstones, searches, keys. Promises: contract, sections 2.7 and 6."""

from __future__ import annotations

import sqlite3
import threading
from pathlib import Path

import pytest

from service.errors import Conflict, Gone, KeyReused, NotFound, PreconditionFailed, StoreBusy, StoreFull
from service.store.shelf import Shelf
from service.store.values import Draft, Key, Search, Version

NOW = "2026-03-01T08:00:00Z"


def draft(name: str, text: str = "", **members: object) -> Draft:
    body = f'{{"name":"{name}","text":"{text}"}}'.encode()
    return Draft(body, f"digest of {name} {text}", "knowledge", name, words=text, **members)  # type: ignore[arg-type]


def told(version: Version) -> bytes:
    return f"{version.formula} {version.version}".encode()


@pytest.fixture
def shelf(tmp_path: Path) -> Shelf:
    found = Shelf(tmp_path / "store" / "tarebook.sqlite", lambda: NOW)
    found.prepare()
    return found


def at(version: int) -> object:
    return lambda newest: newest == version


def test_gives_back_what_was_stored(shelf: Shelf) -> None:
    assert shelf.add("tea-cake", draft("Tea cake"), told).answer == b"tea-cake 1"
    stored = shelf.newest("tea-cake")
    assert (stored.version, stored.body) == (1, b'{"name":"Tea cake","text":""}')
    assert (stored.digest, stored.knowledge, stored.created) == ("digest of Tea cake ", "knowledge", NOW)
    assert shelf.version("tea-cake", 1) == stored


def test_finds_a_free_id_near_the_one_asked_for(shelf: Shelf) -> None:
    given = [shelf.add("cake", draft("Cake"), told).formula for _ in range(12)]
    assert given[0] == "cake"
    assert len(set(given)) == 12
    assert all(name.startswith("cake") for name in given)


def test_refuses_an_own_id_that_is_taken(shelf: Shelf) -> None:
    shelf.add_named("cake", draft("Cake"), told)
    with pytest.raises(Conflict):
        shelf.add_named("cake", draft("Other"), told)


def test_replaces_only_the_version_that_was_seen(shelf: Shelf) -> None:
    shelf.add_named("cake", draft("Cake"), told)
    assert shelf.replace("cake", lambda newest: newest == 1, draft("Cake", "more")).version == 2
    with pytest.raises(PreconditionFailed):
        shelf.replace("cake", lambda newest: newest == 1, draft("Cake", "lost race"))
    assert shelf.version("cake", 1).newest == 2
    assert [entry.version for entry in shelf.versions("cake")] == [1, 2]
    assert [entry.version for entry in shelf.versions("cake", after=1)] == [2]


def test_the_same_formula_again_is_no_new_version(shelf: Shelf) -> None:
    shelf.add_named("cake", draft("Cake"), told)
    assert shelf.replace("cake", lambda _: True, draft("Cake")).version == 1


def test_a_deleted_formula_leaves_its_versions_and_its_id(shelf: Shelf) -> None:
    shelf.add_named("cake", draft("Cake", "walnut"), told)
    shelf.replace("cake", lambda _: True, draft("Cake", "raisin"))
    assert shelf.remove("cake", lambda _: True).version == 2
    for look in (shelf.head, shelf.newest):
        with pytest.raises(Gone) as gone:
            look("cake")
        assert gone.value.version == 2
    assert shelf.version("cake", 2).body == b'{"name":"Cake","text":"raisin"}'
    assert shelf.page(Search()) == ()
    assert shelf.page(Search(words="raisin")) == ()
    with pytest.raises(Gone):
        shelf.create("cake", draft("Cake"))
    with pytest.raises(Gone):
        shelf.replace("cake", lambda _: True, draft("Cake"))
    with pytest.raises(Gone):
        shelf.remove("cake", lambda _: True)
    assert shelf.add("cake", draft("Cake"), told).formula == "cake-2"


def test_misses_are_told(shelf: Shelf) -> None:
    for look in (shelf.head, shelf.newest, shelf.versions):
        with pytest.raises(NotFound):
            look("nothing")  # type: ignore[operator]
    shelf.add_named("cake", draft("Cake"), told)
    with pytest.raises(NotFound):
        shelf.version("cake", 2)


def test_creates_once(shelf: Shelf) -> None:
    assert shelf.create("cake", draft("Cake")).version == 1
    with pytest.raises(PreconditionFailed):
        shelf.create("cake", draft("Cake"))


def test_pages_follow_on_without_gap_or_overlap(shelf: Shelf) -> None:
    names = [f"cake-{letter}" for letter in "abcdefg"]
    for name in names:
        shelf.add_named(name, draft(name), told)
    seen, after = [], ""
    while page := shelf.page(Search(after=after, limit=3)):
        seen += [entry.formula for entry in page[:3]]
        after = seen[-1]
    assert seen == names


def test_searches_words_class_and_tag(shelf: Shelf) -> None:
    shelf.add_named(
        "a", draft("Crème cake", "raisins and rye", product_class="pound", tags=("tea",)), told
    )
    shelf.add_named("b", draft("Plain cake", "rye", product_class="sponge", tags=("tea", "old")), told)

    def found(search: Search) -> list[str]:
        return [entry.formula for entry in shelf.page(search)]

    assert found(Search(words="rye")) == ["a", "b"]
    assert found(Search(words="rye creme")) == ["a"]
    assert found(Search(product_class="sponge")) == ["b"]
    assert found(Search(tag="tea")) == ["a", "b"]
    assert found(Search(tag="tea", words="plain")) == ["b"]
    assert shelf.page(Search(tag="old"))[0].tags == ("tea", "old")
    shelf.replace("b", lambda _: True, draft("Plain cake", "oats"))
    assert found(Search(words="rye")) == ["a"]
    assert found(Search(tag="old")) == []


@pytest.mark.parametrize("words", ['"', "a OR", "*", "NEAR(", "( )", "-", "name:x", "'", "\x00"])
def test_a_search_is_words_and_no_query_language(shelf: Shelf, words: str) -> None:
    shelf.add_named("a", draft("Cake"), told)
    assert shelf.page(Search(words=words)) in ((), shelf.page(Search()))


def test_a_key_is_answered_once(shelf: Shelf) -> None:
    key = Key("POST k1", "digest of the request")
    assert shelf.recall(key) is None
    first = shelf.add("cake", draft("Cake"), told, key)
    assert shelf.add("cake", draft("Cake"), told, key) == first == shelf.recall(key)
    assert len(shelf.page(Search())) == 1
    with pytest.raises(KeyReused):
        shelf.add("cake", draft("Other"), told, Key("POST k1", "another request"))


def test_an_answer_that_fails_stores_nothing(shelf: Shelf) -> None:
    def broken(version: Version) -> bytes:
        raise ValueError(version.formula)

    with pytest.raises(ValueError, match="cake"):
        shelf.add("cake", draft("Cake"), broken, Key("k", "r"))
    assert shelf.page(Search()) == ()
    with pytest.raises(NotFound):
        shelf.newest("cake")


@pytest.mark.parametrize(
    "statement",
    [
        "UPDATE versions SET body = x'00'",
        "DELETE FROM versions",
        "INSERT OR REPLACE INTO versions SELECT * FROM versions",
        "UPDATE house SET body = x'00'",
        "DELETE FROM house",
    ],
)
def test_the_log_refuses_to_be_rewritten(shelf: Shelf, tmp_path: Path, statement: str) -> None:
    shelf.add_named("cake", draft("Cake"), told)
    shelf.larder.put("rye-flour", lambda _: True, b"{}", "d")
    connection = sqlite3.connect(tmp_path / "store" / "tarebook.sqlite")
    connection.execute("PRAGMA recursive_triggers = ON")
    with pytest.raises(sqlite3.IntegrityError):
        connection.execute(statement)
    connection.close()


def test_threads_have_connections_of_their_own(shelf: Shelf) -> None:
    def write(name: str) -> None:
        for _ in range(10):
            shelf.add(name, draft(name), told)
        shelf.close()

    threads = [threading.Thread(target=write, args=(f"cake-{n}",)) for n in "abcd"]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert len(shelf.page(Search(limit=100))) == 40


def test_a_full_disk_is_told_and_leaves_nothing_half_stored(tmp_path: Path) -> None:
    path = tmp_path / "tarebook.sqlite"
    shelf = Shelf(path, lambda: NOW)
    shelf.prepare()
    pages = sqlite3.connect(path).execute("PRAGMA page_count").fetchone()[0]
    full = Shelf(path, lambda: NOW, most_pages=pages + 12)
    stored: list[str] = []

    def fill() -> None:
        for number in range(100):
            answered = full.add("cake", draft("Cake", "x" * 3000), told, Key(f"{number}", "r"))
            stored.append(answered.formula)

    with pytest.raises(StoreFull):
        fill()
    assert stored
    assert {entry.formula for entry in shelf.page(Search(limit=100))} == set(stored)
    assert shelf.recall(Key(f"{len(stored)}", "r")) is None
    assert full.newest(stored[-1]).version == 1  # reading goes on


def test_a_file_that_is_no_store_is_told(tmp_path: Path) -> None:
    path = tmp_path / "tarebook.sqlite"
    path.write_bytes(b"not a database, but long enough to be looked at" * 100)
    with pytest.raises(StoreBusy):
        Shelf(path, lambda: NOW).prepare()


def test_a_store_that_another_holds_is_told(
    shelf: Shelf, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("service.store.connection.PATIENCE", 0.01)
    other = sqlite3.connect(tmp_path / "store" / "tarebook.sqlite", isolation_level=None)
    other.execute("BEGIN IMMEDIATE")
    with pytest.raises(StoreBusy):
        shelf.add("cake", draft("Cake"), told)
    other.execute("ROLLBACK")
    assert shelf.add("cake", draft("Cake"), told).formula == "cake"
    other.close()


def test_the_house_has_versions_too(shelf: Shelf) -> None:
    larder = shelf.larder
    assert larder.state() == 0
    assert larder.put("rye-flour", lambda newest: newest is None, b"1", "d1").version == 1
    before = larder.state()
    with pytest.raises(PreconditionFailed):
        larder.put("rye-flour", lambda newest: newest is None, b"2", "d2")
    assert larder.put("rye-flour", lambda newest: newest == 1, b"2", "d2").version == 2
    assert larder.put("oat-milk", lambda newest: newest is None, b"3", "d3").version == 1
    assert larder.state() > before
    assert [(row.code, row.body) for row in larder.all()] == [("oat-milk", b"3"), ("rye-flour", b"2")]
    assert larder.get("rye-flour").version == 2
    with pytest.raises(NotFound):
        larder.get("nothing")
