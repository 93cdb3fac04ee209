"""The loader refuses a bad row and names its file, line and column."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from service.errors import TableFault
from service.tables.loader import load_table, load_tables, read_rows, table_files
from service.tables.rows import TABLES, AcidityRow, IngredientRow, NameRow, WeightRow

WEIGHTS = "ingredient,state,measure,amount,grams,low,high,rank,source,evidence,note"
INGREDIENTS = "code,name,group,role,flour,usual_state,pack,note,source,evidence"
ACIDITY = "ingredient,meq,low,high,source,evidence,note"
TABLES_FOLDER = Path(__file__).parents[2] / "service" / "tables"
GOOD = "butter,,cup_us,1,227,222,232,1,USDA SR Legacy 2018-04,R,"


def _case(tail: str, said: str, *, id: str) -> Any:  # noqa: A002
    return pytest.param(f"butter,,cup_us,{tail}", said, id=id)


# Each case: the row after its measure, and what the message must say of it beside file and line.
BAD_WEIGHTS = [
    _case("one,227,222,232,1,USDA,R,", "column amount", id="amount no number"),
    _case("1,,222,232,1,USDA,R,", "column grams: must not be empty", id="no grams"),
    _case("1,nan,222,232,1,USDA,R,", "column grams", id="grams not a number"),
    _case("1,inf,222,232,1,USDA,R,", "column grams", id="grams without end"),
    _case("1,227,222,2e999,1,USDA,R,", "column high", id="high overflows"),
    _case("1,227,222,232,1.5,USDA,R,", "column rank", id="rank no whole number"),
    _case("1,227,222,232,,USDA,R,", "column rank: must not be empty", id="no rank"),
    _case("1,227,222,232,1,,R,", "source: must not be empty", id="no source"),
    _case("1,227,222,232,1,  ,R,", "source: must not be empty", id="blank source"),
    _case("1,227,222,232,1,USDA,X,", "evidence: 'X'", id="evidence unknown"),
    _case("1,227,222,232,1,USDA,,", "evidence: ''", id="evidence empty"),
    _case("1,227,232,222,1,USDA,R,", "low 232.0 lies above high 222.0", id="upside down"),
    _case("1,227,228,232,1,USDA,R,", "low 228.0 lies above the value 227.0", id="low too high"),
    _case("1,227,222,226,1,USDA,R,", "high 226.0 lies below the value 227.0", id="high too low"),
    _case("1,227,222,232,1,USDA,R", "10 cells, not 11", id="a cell short"),
    _case("1,227,222,232,1,USDA,R,,x", "12 cells, not 11", id="a cell too many"),
]  # fmt: skip


@pytest.mark.parametrize(("row", "said"), BAD_WEIGHTS)
def test_a_bad_row_is_refused_with_file_line_and_column(row: str, said: str) -> None:
    text = f"# a remark\n{WEIGHTS}\n{GOOD}\n{row}\n"
    with pytest.raises(TableFault) as refused:
        list(read_rows("weights/fats.csv", text, WeightRow))
    message = str(refused.value)
    assert message.startswith("weights/fats.csv, line 4: ")
    assert said in message


def test_a_boolean_is_yes_or_no() -> None:
    text = f"{INGREDIENTS}\nbutter,butter,fats,fat,0,,maybe,,USDA,R\n"
    with pytest.raises(TableFault, match=r"ingredients\.csv, line 2: column pack: yes or no"):
        list(read_rows("ingredients.csv", text, IngredientRow))


def test_a_band_of_negative_values_is_ordered_too() -> None:
    text = f"{ACIDITY}\ncocoa-alkalised,-6,-4,0,Cocoa solids article,T,\n"
    with pytest.raises(TableFault, match=r"low -4\.0 lies above the value -6\.0"):
        list(read_rows("acidity.csv", text, AcidityRow))


@pytest.mark.parametrize(
    "header", [WEIGHTS.replace("state,measure", "measure,state"), WEIGHTS + ",more"]
)
def test_wrong_columns_are_refused(header: str) -> None:
    with pytest.raises(TableFault, match=r"weights\.csv, line 1: columns are"):
        list(read_rows("weights.csv", f"{header}\n{GOOD}\n", WeightRow))


def test_a_good_row_is_read_cell_by_cell() -> None:
    text = f'# remark\n\n{WEIGHTS}\n"butter",,cup_us,1,227,222,232,1,"USDA, NDB 01145",R,"a ""note"""\n'
    (row,) = read_rows("weights.csv", text, WeightRow)
    assert row == WeightRow(
        "butter", "", "cup_us", 1.0, 227.0, 222.0, 232.0, 1, "USDA, NDB 01145", "R", 'a "note"'
    )


def test_lists_and_booleans_are_read() -> None:
    header = "name,code,language,measures,state,part,instead,old,source,evidence"
    text = f"{header}\nflour,plain,en,us; ca,,,cake;bread,yes,usage,M\n"
    (row,) = read_rows("names.csv", text, NameRow)
    assert (row.measures, row.instead, row.old) == (("us", "ca"), ("cake", "bread"), True)


def test_every_table_of_the_service_loads() -> None:
    tables = load_tables()
    assert set(tables) == set(TABLES)
    for table in TABLES:
        assert tables[table], f"{table} has no row"


def test_a_folder_of_files_reads_as_one_table() -> None:
    files = table_files("weights")
    assert len(files) > 1
    rows = 0
    for file in files:
        rows += len(list(read_rows(file.name, file.read_text("utf-8"), WeightRow)))
    assert len(load_table("weights")) == rows


def test_a_table_that_has_no_file_is_empty() -> None:
    assert table_files("no-such-table") == []


@pytest.mark.parametrize("path", sorted((TABLES_FOLDER / "weights").glob("*.csv")), ids=lambda p: p.stem)
def test_a_file_of_weights_says_how_its_bands_were_got(path: Path) -> None:
    remarks = [line for line in path.read_text("utf-8").splitlines() if line.startswith("#")]
    assert any("Bands: " in line for line in remarks)
