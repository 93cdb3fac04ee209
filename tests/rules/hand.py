"""Weighed formulas built by hand, so that a rule is tried on stated grams and nothing else."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from functools import cache

from service.domain.band import Band
from service.domain.finding import Finding
from service.domain.formula import Bake, Component, Formula, Line, Pan, pointer_of
from service.domain.reading import Problem
from service.domain.weighed import Basis, Weighed, WeighedLine
from service.rules.judged import BAKED, Judged
from service.rules.judging import groups_of
from service.rules.registry import run_rules
from service.tables.cupboard import Cupboard, open_cupboard

#: Grams, or a band of them.
Grams = float | tuple[float, float, float]
WRITTEN = Basis("written-mass", "units:g", "as written", "R")


@cache
def cupboard() -> Cupboard:
    return open_cupboard()


def a_line(
    code: str,
    grams: Grams | None,
    position: int = 0,
    component: int = 0,
    group: str = BAKED,
    line: Line | None = None,
    alternatives: tuple[WeighedLine, ...] = (),
) -> WeighedLine:
    """A line of a known ingredient; a code that no table knows is an unknown one."""
    known = code in cupboard().ingredients
    band = None
    if grams is not None:
        band = Band(*grams) if isinstance(grams, tuple) else Band.exact(grams)
    return WeighedLine(
        component=component,
        position=position,
        pointer=pointer_of(component, position),
        line=line or Line(ingredient=code),
        code=code if known else None,
        name=cupboard().ingredients[code].name if known else code,
        as_written=f"{grams} g {code}",
        grams=band,
        basis=WRITTEN if band else None,
        reason=None if band else "unknown-ingredient",
        left_to_cook=False,
        group=group,
        alternatives=alternatives,
    )


def a_formula(
    *components: Mapping[str, Grams | None] | Sequence[WeighedLine],
    of_class: str | None = None,
    name: str = "Test Formula",
    roles: Sequence[str | None] = (),
    methods: Sequence[tuple[str, ...]] = (),
    pans: tuple[Pan, ...] = (),
    bake: Bake | None = None,
    method: tuple[str, ...] = (),
    problems: tuple[Problem, ...] = (),
) -> Weighed:
    """Weigh components by hand: mappings of ingredient to grams, or lines ready made."""
    lines: list[WeighedLine] = []
    made: list[Component] = []
    for place, given in enumerate(components):
        role = roles[place] if place < len(roles) else None
        group = f"/components/{place}" if role in ("filling", "topping", "glaze") else BAKED
        if isinstance(given, Mapping):
            own = [
                a_line(code, grams, position, place, group)
                for position, (code, grams) in enumerate(given.items())
            ]
        else:
            own = list(given)
        lines += own
        steps = methods[place] if place < len(methods) else ()
        made.append(Component(None, role, None, tuple(line.line for line in own), steps))
    formula = Formula(
        name=name, components=tuple(made), product_class=of_class, pans=pans, bake=bake, method=method
    )
    complete = all(line.grams is not None for line in lines)
    return Weighed(formula, tuple(lines), {}, {}, (), problems, complete, {})


def judged(weighed: Weighed, group: int = 0, style: str | None = None) -> Judged:
    """A group, by a style of its class where a test asks for one."""
    one = groups_of(weighed, cupboard())[group][0]
    if style is not None:
        one.memo["style"] = one.memo["meant"] = style or None
    return one


def found(weighed: Weighed, rule: str, group: int = 0, style: str | None = None) -> list[Finding]:
    """The findings of one rule on one group; a ``style`` of "" is the class at large."""
    return [each for each in run_rules(judged(weighed, group, style)) if each.rule == rule]
