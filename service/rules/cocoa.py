"""Soda against cocoa: what natural and alkalised cocoa would leave over, and which one is meant.

Natural cocoa is acid, alkalised cocoa is not; a card that says "cocoa" says neither. Where soda meets
cocoa both sums are told, from the ``acidity`` table, and where the name leaves the kind open the
finding says what settles it.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from service.domain.finding import Finding, Measured
from service.rules.judged import Judged
from service.rules.ledger import Ledger, keep_ledger, soda_grams
from service.rules.ranges import plain
from service.rules.registry import rule
from service.tables.rows import AcidityRow, IngredientRow


@dataclass(frozen=True, slots=True)
class CocoaLedger:
    """The group's ledger if all of its cocoa were this ``cocoa``, by this row of acidity."""

    cocoa: IngredientRow
    acidity: AcidityRow
    ledger: Ledger


def ledgers_by_cocoa(judged: Judged) -> tuple[CocoaLedger, ...]:
    """Keep the ledger for each kind of cocoa; nothing where the group lacks cocoa or soda."""
    cocoas = {line.code for line in judged.amounts.lines("cocoa_powder") if line.code}
    if not cocoas or judged.amounts.of("soda").value <= 0:
        return ()
    flour, cupboard = judged.amounts.of("flour"), judged.cupboard
    return tuple(
        CocoaLedger(
            row,
            cupboard.acidity[row.code],
            keep_ledger(judged.lines, flour, cupboard, dict.fromkeys(cocoas, row.code)),
        )
        for row in cupboard.ingredients.values()
        if row.role == "cocoa" and row.code in cupboard.acidity
    )


@rule("LEAVEN-10", severity="note", source="acidity: the cocoas")
def soda_hangs_on_the_cocoa(judged: Judged) -> Iterator[Finding]:
    """What soda leaves over beside cocoa is told for every kind of cocoa."""
    kinds = ledgers_by_cocoa(judged)
    if not kinds:
        return
    constants = judged.cupboard.constants
    left = [(each, soda_grams(each.ledger.soda_left, constants)) for each in kinds]
    told = ", ".join(
        f"{plain(grams.value)} ({plain(grams.low)} to {plain(grams.high)}) g with {each.cocoa.name}"
        for each, grams in left
    )
    lines = judged.amounts.lines("cocoa_powder")
    codes = {each.cocoa.code for each in kinds}
    open_lines = [line for line in lines if codes.intersection(line.otherwise)]
    here = soda_grams(judged.ledger.soda_left, constants)
    yield Finding(
        rule="LEAVEN-10",
        severity="note",
        message=f"What the soda leaves over hangs on the cocoa: {told}.",
        measured=Measured(here.value, here.low, here.high, "g of soda left over"),
        expected=None,
        certain=not open_lines,
        lines=tuple(line.pointer for line in (*judged.amounts.lines("soda"), *lines)),
        source="; ".join(dict.fromkeys(each.acidity.source for each in kinds)),
        evidence="/".join(dict.fromkeys(each.acidity.evidence for each in kinds)),
        settle="Name the cocoa: natural or alkalised." if open_lines else None,
        group=judged.group,
    )
