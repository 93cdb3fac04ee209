"""Judge a weighed formula: part it into baked groups, give each its class, run the rules."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace

from service.domain.finding import Finding
from service.domain.weighed import Weighed, WeighedLine
from service.rules.classes import with_class
from service.rules.frying import without_frying_fat
from service.rules.judged import BAKED, Judged, Sizes
from service.rules.melting import with_forms
from service.rules.registry import run_rules
from service.rules.remedies import with_remedies
from service.tables.cupboard import Cupboard


@dataclass(frozen=True, slots=True)
class Verdict:
    """A group with its findings; ``told_by`` says where its class comes from."""

    judged: Judged
    told_by: str
    findings: tuple[Finding, ...]


def groups_of(
    weighed: Weighed,
    cupboard: Cupboard,
    sizes: Sizes | None = None,
    altitude: float | None = None,
    market: str | None = None,
) -> tuple[tuple[Judged, str], ...]:
    """Part a formula into its groups, the baked one first, each with its class and what told it."""
    by_group: dict[str, list[WeighedLine]] = {}
    for line in weighed.lines:
        by_group.setdefault(line.group, []).append(line)
    names = sorted(by_group, key=lambda name: name != BAKED)
    parted = (_group(name, by_group[name], weighed, cupboard, sizes) for name in names)
    groups = map(without_frying_fat, parted)
    classed = (with_class(replace(each, altitude=altitude, market=market)) for each in groups)
    return tuple((with_forms(judged), told_by) for judged, told_by in classed)


def _group(
    name: str,
    lines: list[WeighedLine],
    weighed: Weighed,
    cupboard: Cupboard,
    sizes: Sizes | None,
) -> Judged:
    indices = dict.fromkeys(line.component for line in lines)
    return Judged(
        weighed=weighed,
        formula=weighed.formula,
        group=name,
        components=tuple(weighed.formula.components[i] for i in indices),
        lines=tuple(lines),
        product_class=None,
        class_stated=False,
        cupboard=cupboard,
        sizes=sizes,
    )


def judge(
    weighed: Weighed,
    cupboard: Cupboard,
    sizes: Sizes | None = None,
    altitude: float | None = None,
    market: str | None = None,
) -> tuple[Verdict, ...]:
    """Judge every group of a weighed formula, the baked one first.

    ``sizes`` finds the units of pans and ovens; without it they are not judged. ``altitude``: the
    height at which it is baked, in metres. ``market``: the one whose public targets are asked for.
    """
    return tuple(
        Verdict(judged, told_by, with_remedies(judged, run_rules(judged)))
        for judged, told_by in groups_of(weighed, cupboard, sizes, altitude, market)
    )


def verdict_of(verdicts: Iterable[Verdict]) -> str:
    """Give the verdict on a formula.

    ``unsound`` where a certain error stands; else ``undetermined`` where a line with an amount could
    not be weighed or a group's class is not known; else ``check`` where a warning or an uncertain
    error stands; else ``sound``.
    """
    several = tuple(verdicts)
    findings = [finding for each in several for finding in each.findings]
    if any(f.severity == "error" and f.certain for f in findings):
        return "unsound"
    if not several or any(
        each.judged.product_class is None or not each.judged.complete for each in several
    ):
        return "undetermined"
    return "check" if any(f.severity in ("error", "warning") for f in findings) else "sound"
