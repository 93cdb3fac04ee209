"""The atmosphere and boiling water against published tables, and what authorities change by height.

Feet are turned to metres by the international foot (0.3048 m, exact); a tablespoon is 1/16 of a US cup.
"""

from __future__ import annotations

import pytest

from service.rules.altitude import TOLD
from service.rules.heights import adjusted, air_at, boiling_kelvin, pressure_at, rows_at
from service.tables.rule_rows import AltitudeRow
from tests.rules.hand import cupboard

CONSTANTS = cupboard().constants
FOOT = 0.3048

FORMULA = "computed outside the project by P = 101325 (1 - h/44331)^5.255876"
STANDARD = f"U.S. Standard Atmosphere 1976, troposphere; {FORMULA}"
SATURATION = "the same pressure on the IAPWS-IF97 saturation line, computed outside the project"
AS_PRINTED_PSI = "Engineering table of the U.S. Standard Atmosphere, pressure in psi"
AS_PRINTED_PA = "Engineering table of the U.S. Standard Atmosphere, pressure in N/m2"
PSI = 6894.757  # pascals: NIST Special Publication 811 (2008), appendix B.8


@pytest.mark.parametrize(
    ("feet", "kilopascals", "within", "source"),
    [
        (0, 101.325, 0.0005, "U.S. Standard Atmosphere 1976, sea-level pressure"),
        (500, 99.51, 0.05, STANDARD),
        (1000, 97.72, 0.05, STANDARD),
        (3000, 90.81, 0.05, STANDARD),
        (5000, 84.31, 0.05, STANDARD),
        (5280, 83.43, 0.05, STANDARD),
        (7000, 78.19, 0.05, STANDARD),
        (7500, 76.71, 0.05, STANDARD),
        (10000, 69.68, 0.05, STANDARD),
        (11000, 67.02, 0.05, STANDARD),
        (5000, 12.228 * PSI / 1000, 0.01 * PSI / 1000, AS_PRINTED_PSI),
        (10000, 10.108 * PSI / 1000, 0.01 * PSI / 1000, AS_PRINTED_PSI),
        (7000, 78.1934, 0.01, AS_PRINTED_PA),
        (10000, 69.6922, 0.01, AS_PRINTED_PA),
    ],
)
def test_pressure(feet: float, kilopascals: float, within: float, source: str) -> None:
    assert pressure_at(feet * FOOT, CONSTANTS) / 1000 == pytest.approx(kilopascals, abs=within), source


@pytest.mark.parametrize(
    ("megapascals", "kelvin"), [(0.1, 372.755919), (1, 453.035632), (10, 584.149488)]
)
def test_saturation_line(megapascals: float, kelvin: float) -> None:
    """IAPWS R7-97(2012), table 36: verification values of equation 31, nine figures."""
    assert boiling_kelvin(megapascals * 1e6, CONSTANTS) == pytest.approx(kelvin, abs=5e-7)


def celsius(fahrenheit: float) -> float:
    return (fahrenheit - 32) / 1.8


BOILING = "Encyclopaedia table of boiling points, credited to NOAA and NASA, in Fahrenheit"
#: Printed to a tenth or a whole degree, and weather apart: 0.6 degrees Fahrenheit.
ROUNDED = 0.6 / 1.8


@pytest.mark.parametrize(
    ("feet", "boils", "within", "source"),
    [
        (0, 99.97, 0.1, SATURATION),
        (1000, 98.96, 0.1, SATURATION),
        (3000, 96.93, 0.1, SATURATION),
        (5000, 94.90, 0.1, SATURATION),
        (7000, 92.87, 0.1, SATURATION),
        (7500, 92.36, 0.1, SATURATION),
        (10000, 89.81, 0.1, SATURATION),
        (7500, celsius(198), ROUNDED, "University of Wyoming Extension, Baking at High Altitudes"),
        (500, celsius(211.1), ROUNDED, BOILING),
        (1000, celsius(210.2), ROUNDED, BOILING),
        (2000, celsius(208.4), ROUNDED, BOILING),
        (5000, celsius(203.0), ROUNDED, BOILING),
        (6000, celsius(201.1), ROUNDED, BOILING),
        (8000, celsius(197.4), ROUNDED, BOILING),
        (10000, celsius(193.6), ROUNDED, BOILING),
    ],
)
def test_boiling_point(feet: float, boils: float, within: float, source: str) -> None:
    boiling = air_at(feet * FOOT, CONSTANTS).boiling
    assert boiling.value == pytest.approx(boils, abs=within), source
    assert boiling.low < boiling.value < boiling.high, "the weather moves it"


@pytest.mark.parametrize(
    ("feet", "expansion"),
    [(0, 1.0), (1000, 1.037), (3000, 1.116), (5000, 1.202), (7500, 1.321), (10000, 1.454)],
)
def test_gas_expansion(feet: float, expansion: float) -> None:
    """Boyle's law on the pressures of the U.S. Standard Atmosphere 1976; computed outside."""
    assert air_at(feet * FOOT, CONSTANTS).expansion == pytest.approx(expansion, abs=0.001)


@pytest.mark.parametrize(("feet", "left"), [(5000, 0.832), (7000, 0.772)])
def test_powder_that_keeps_the_gas(feet: float, left: float) -> None:
    """Powder times P/P0 keeps the gas's volume: U.S. Standard Atmosphere 1976; computed outside."""
    said = adjusted("ALT-01", "butter-cake", feet * FOOT, cupboard())
    assert said is not None
    assert said.gas is not None
    assert 1 - said.gas == pytest.approx(left, abs=0.002)


# -- what authorities say --

WYOMING = "University of Wyoming Extension, Altitude Adjusters, cakes table"
GISSLEN = "Gisslen, Professional Cooking (2014), table 33.3 and its example"


def said_by(rule: str, feet: float, authority: str) -> AltitudeRow:
    (row,) = [
        row
        for row in rows_at(rule, "butter-cake", feet * FOOT, cupboard())
        if row.source.startswith(authority)
    ]
    return row


@pytest.mark.parametrize(
    ("rule", "feet", "by", "have", "sign", "low", "high", "source"),
    [
        ("ALT-01", 3000, "University of Wyoming", 4, -1, 3.5, 3.5, f"{WYOMING}: 4 tsp, 1/8 less"),
        ("ALT-01", 5000, "University of Wyoming", 2, -1, 1.5, 1.75, f"{WYOMING}: 2 tsp"),
        ("ALT-01", 7000, "University of Wyoming", 2, -1, 1.5, 1.5, f"{WYOMING}: 2 tsp, 1/4 less"),
        ("ALT-02", 7000, "University of Wyoming", 32, -1, 26, 30, f"{WYOMING}: 2 cups less 2 to 6 tbsp"),
        ("ALT-03", 5000, "University of Wyoming", 1, 1, 1.125, 1.25, f"{WYOMING}: 1 cup"),
        ("ALT-03", 3000, "University of Wyoming", 24, 1, 25.5, 27, f"{WYOMING}: 1 1/2 cups, in tbsp"),
        ("ALT-07", 7546, "Gisslen", 16, 1, 18.4, 18.4, f"{GISSLEN}: eggs 16 oz at 2300 m"),
        ("ALT-01", 5000, "Gisslen", 20, -1, 12, 12, f"{GISSLEN}: powder 20 g"),
        ("ALT-02", 3000, "Gisslen", 500, -1, 485, 485, f"{GISSLEN}: sugar 500 g, first step"),
    ],
)
def test_worked_adjustments(
    rule: str, feet: float, by: str, have: float, sign: int, low: float, high: float, source: str
) -> None:
    row = said_by(rule, feet, by)
    assert row.low is not None
    assert row.high is not None
    ends = sorted(have * (1 + sign * end) for end in (row.low, row.high))
    assert ends == pytest.approx([low, high], abs=0.001), source


def test_authorities_that_disagree_give_the_band() -> None:
    """At 5,000 ft: Wyoming 12.5 to 25 percent of powder, Gisslen 40 (table 33.3)."""
    said = adjusted("ALT-01", "butter-cake", 5000 * FOOT, cupboard())
    assert said is not None
    assert (said.low, said.high) == (0.125, 0.4)
    assert len({row.source for row in said.rows}) == 3


@pytest.mark.parametrize(("metres", "speaks"), [(914.3, False), (914.4, True), (914.5, True)])
def test_nothing_is_adjusted_below_3000_feet(metres: float, speaks: bool) -> None:
    """University of Wyoming Extension: usually no change up to 3,000 ft (914.4 m)."""
    rows = [row for rule in TOLD for row in rows_at(rule, "butter-cake", metres, cupboard())]
    assert bool(rows) is speaks


def test_every_row_is_of_a_rule_and_of_classes() -> None:
    for rule, rows in cupboard().altitude.items():
        assert rule in TOLD
        for row in rows:
            assert row.classes, row.code
            assert set(row.classes) <= cupboard().classes.keys(), row.code
            if row.low is not None:
                assert row.typical is not None
                assert row.low <= row.typical <= (row.high or 0.0), row.code
            for product_class in row.classes:
                step = max(row.above, CONSTANTS["altitude_least"].value)
                assert row in rows_at(rule, product_class, step, cupboard()), row.code
