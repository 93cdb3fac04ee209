"""Every measure against what is published of it, and every word against what it should mean."""

from __future__ import annotations

import csv
from dataclasses import replace
from pathlib import Path

import pint
import pytest

from service.domain.formula import SYSTEMS
from service.errors import TableFault
from service.tables.loader import load_table
from service.tables.rows import UnitRow
from service.units.measures import FALLBACK, Measures

VECTORS = Path(__file__).parent.parent / "vectors"


def rows(name: str) -> list[dict[str, str]]:
    lines = (VECTORS / name).read_text("utf-8").splitlines()
    return list(csv.DictReader(line for line in lines if not line.startswith("#")))


@pytest.fixture(scope="module")
def table() -> dict[str, UnitRow]:
    return {row.code: row for row in load_table("units")}


@pytest.fixture(scope="module")
def measures(table: dict[str, UnitRow]) -> Measures:
    return Measures(table)


@pytest.mark.parametrize("row", rows("unit_sizes.csv"), ids=lambda r: f"{r['count']} {r['unit']}")
def test_size_is_the_published_one(measures: Measures, row: dict[str, str]) -> None:
    size = float(row["count"]) * measures.by_code[row["unit"]].size
    assert size == pytest.approx(float(row["size"]), abs=float(row["within"])), row["source"]


@pytest.mark.parametrize("row", rows("unit_words.csv"), ids=lambda r: f"{r['word']} {r['system']}")
def test_word_means_the_unit(measures: Measures, row: dict[str, str]) -> None:
    unit = measures.find(row["word"], row["system"])
    assert (unit.code if unit else "") == row["unit"], row["source"]


#: Names of pint's stock registry for units that our table defines by itself.
STOCK = {
    "gal_us": "gallon", "qt_us": "quart", "pt_us": "pint", "cup_us": "cup", "gill_us": "gill",
    "floz_us": "fluid_ounce", "tbsp_us": "tablespoon", "tsp_us": "teaspoon", "fldr_us": "fluid_dram",
    "minim_us": "minim", "qt_us_dry": "dry_quart", "pt_us_dry": "dry_pint", "peck_us": "peck",
    "bushel_us": "bushel", "gal_imperial": "imperial_gallon", "qt_imperial": "imperial_quart",
    "pt_imperial": "imperial_pint", "cup_imperial": "imperial_cup", "gill_imperial": "imperial_gill",
    "floz_imperial": "imperial_fluid_ounce", "fldr_imperial": "imperial_fluid_drachm",
    "minim_imperial": "imperial_minim", "peck_imperial": "imperial_peck",
    "bushel_imperial": "imperial_bushel", "l": "liter", "ml": "milliliter", "cl": "centiliter",
    "dl": "deciliter", "cubic_inch": "cubic_inch", "lb": "pound", "oz": "ounce", "stone": "stone",
    "grain": "grain", "dram": "dram", "g": "gram", "kg": "kilogram", "mg": "milligram",
    "inch": "inch", "cm": "centimeter", "mm": "millimeter", "m": "meter",
}  # fmt: skip
BASES = {"volume": "milliliter", "mass": "gram", "length": "meter"}


def test_agrees_with_the_stock_registry_of_a_units_library(measures: Measures) -> None:
    """Source: pint's stock definitions, which cite NIST and the international yard and pound."""
    stock: pint.UnitRegistry[float] = pint.UnitRegistry()
    for code, name in STOCK.items():
        unit = measures.by_code[code]
        size = stock.Quantity(1.0, name).to(BASES[unit.kind]).magnitude
        assert unit.size == pytest.approx(size, rel=1e-9), code


@pytest.mark.parametrize(
    ("unit", "value", "kelvin", "source"),
    [
        ("fahrenheit", 350.0, 449.816667, "UCUM 2.2 heat table: 350 [degF] is 176.666667 Cel"),
        ("celsius", 180.0, 453.15, "UCUM 2.2: Cel is K + 273.15"),
        ("fahrenheit", -40.0, 233.15, "UCUM 2.2 heat table: -40 [degF] is -40 Cel"),
    ],
)
def test_temperatures_have_an_offset(
    measures: Measures, unit: str, value: float, kelvin: float, source: str
) -> None:
    found = measures.by_code[unit]
    assert value * found.size + found.offset == pytest.approx(kelvin, abs=1e-5), source


def test_a_contested_measure_has_a_band_around_its_rival(measures: Measures) -> None:
    spoon = measures.by_code["tbsp_imperial"]
    assert spoon.low < 14.21 < spoon.size < 17.77, "half a fluid ounce, 14.21 mL: UCUM [foz_br] / 2"
    glass = measures.by_code["wineglass_us"]
    assert glass.low < 73.93 < glass.high, "five tablespoons: Cocroft's table of measures"
    pinch = measures.by_code["pinch"]
    assert pinch.high > 0.616, "an eighth of a teaspoon: older household tables"


def test_every_measure_lies_in_its_own_band(measures: Measures) -> None:
    assert all(0 < u.low <= u.size <= u.high for u in measures.by_code.values())


def test_every_word_of_the_table_finds_its_unit(measures: Measures, table: dict[str, UnitRow]) -> None:
    for code, row in table.items():
        system = row.system if row.system in SYSTEMS else "us"
        for word in (row.name, *row.words, code, row.ucum):
            if word:
                found = measures.find(word, system)
                assert found is not None, f"{word!r} in {system}"
                own = row.system == system or row.system in ("any", "old")
                assert not own or found.size == measures.by_code[code].size or word == row.ucum, word


def test_every_system_has_cups_and_spoons(measures: Measures) -> None:
    assert set(FALLBACK) == set(SYSTEMS)
    for system in SYSTEMS:
        for word in ("cup", "tbsp", "tsp"):
            found = measures.find(word, system)
            assert found is not None
            assert found.system == system


def test_a_hostile_word_is_only_a_word(measures: Measures) -> None:
    assert measures.find("9**9**9**9", "us") is None
    assert measures.find("__import__('os')", "us") is None
    assert measures.find("x" * 2000, "us") is None
    for number in range(5000):
        measures.find(f"word {number}", "us")
    assert measures.find("cup", "us") is not None


@pytest.mark.parametrize(
    ("change", "says"),
    [
        ({"definition": "no_such_unit * 2"}, "no_such_unit"),
        ({"definition": "g * 2"}, "no volume"),
        ({"definition": "((("}, "definition"),
        ({"low": 250.0, "high": 260.0}, "outside"),
        ({"system": "mars"}, "no system"),
        ({"words": ("quart",)}, "alike"),
    ],
)
def test_a_bad_row_is_refused(table: dict[str, UnitRow], change: dict[str, object], says: str) -> None:
    bad = replace(table["cup_us"], **change)  # type: ignore[arg-type]
    with pytest.raises(TableFault, match=says):
        Measures({**table, "cup_us": bad})
