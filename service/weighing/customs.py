"""What a formula leaves unsaid about measuring, and what is taken for it."""

from __future__ import annotations

from typing import NamedTuple

from service.domain.formula import Formula

#: The system of measures that is taken where a formula names none, and the likeliest other one.
USUAL_MEASURES, OTHER_MEASURES = "us", "metric"
#: The handling that is taken where a formula names none, and the likeliest other one.
USUAL_HANDLING, OTHER_HANDLING = "spooned", "dipped"
#: From the loosest to the densest way of filling a measure.
HANDLING_ORDER = ("sifted", "spooned", "dipped", "packed")
#: Between which handlings the band lies where none is named.
HANDLING_SPAN = ("sifted", "spooned", "dipped")
#: The grade of an egg that is taken where a formula names none, then the next likely ones.
USUAL_GRADE: dict[str, tuple[str, ...]] = {
    "us": ("us-large", "us-medium", "us-extra-large"),
    "us-label": ("us-large", "us-medium", "us-extra-large"),
    "imperial": ("gb-m", "gb-l", "gb-size-3"),
    "metric": ("eu-m", "eu-l", "eu-s"),
    "au": ("au-extra-large", "au-large", "au-jumbo"),
    "ca": ("ca-large", "ca-medium", "ca-extra-large"),
    "jp": ("jp-m", "jp-ms", "jp-l"),
}
#: How a size that a line names ("2 large eggs") is written in the grades of a market's law.
GRADE_WORDS: dict[str, dict[str, str]] = {
    market: {"small": "s", "medium": "m", "large": "l", "extra-large": "xl", "jumbo": "xl"}
    for market in ("eu", "gb")
} | {"jp": {"small": "s", "medium": "m", "large": "l", "extra-large": "ll", "jumbo": "ll"}}
#: The ingredients that are eggs given by count, and which column of the grades is theirs.
EGG_PARTS = {"egg": "whole", "egg-white": "white", "egg-yolk": "yolk"}
#: The size of a piece that is taken where a line names none, then the next likely ones.
SIZES = ("medium", "large", "small")
#: Forms that fill a measure much alike, finer by the row: where no weight is known of one, another
#: of its row is nearer than the plain thing.
ALIKE = (
    ("chunks", "cubes", "diced", "pieces", "chopped", "slivered", "sliced"),
    ("grated", "shredded", "flakes"),
    ("crumbled", "crumbs", "crushed", "ground"),
    ("pureed", "mashed"),
    ("halves", "whole"),
)


class Customs(NamedTuple):
    """How one formula measures: its system, handling and egg grade, each as stated or ``None``."""

    measures: str | None = None
    handling: str | None = None
    egg_grade: str | None = None
    language: str = "en"

    @property
    def system(self) -> str:
        """Give the system of measures: the stated one, else the usual one."""
        return self.measures or USUAL_MEASURES


def customs_of(formula: Formula) -> Customs:
    """Give the customs of a formula."""
    return Customs(formula.measures, formula.handling, formula.egg_grade, formula.language or "en")


def grade_for(size: str | None, customs: Customs) -> tuple[str, tuple[str, ...]]:
    """Give the grade of an egg and the grades that might be meant instead (none where stated).

    A size in the line ("2 large eggs") goes before the formula's grade and takes its market.
    """
    usual = USUAL_GRADE[customs.system]
    if size is None:
        return (customs.egg_grade, ()) if customs.egg_grade else (usual[0], usual[1:])
    market = (customs.egg_grade or usual[0]).split("-")[0]
    grade = f"{market}-{GRADE_WORDS.get(market, {}).get(size, size)}"
    if customs.egg_grade or customs.measures:
        return grade, ()
    other = "eu" if market == "us" else "us"
    return grade, (f"{other}-{GRADE_WORDS.get(other, {}).get(size, size)}",)
