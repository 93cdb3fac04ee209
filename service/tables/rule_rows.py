"""Row types of the tables that the checks rest on: limits, constants, leaveners, classes, cautions.

As in ``rows``: the fields are the columns, in the same order; what a cell may hold is said there.
"""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class LimitRow:
    """A limit that a rule holds a formula to: table ``limits``.

    ``product_class`` is a class code or ``all``; ``style`` one of the class's styles (table
    ``styles``), empty for a row of the class at large; ``measure`` what is measured; an empty end is
    open; ``severity_low`` and ``severity_high`` say what it is to lie outside: error | warning |
    note."""

    code: str
    rule: str
    product_class: str
    style: str
    measure: str
    low: float | None
    typical: float | None
    high: float | None
    unit: str
    severity_low: str
    severity_high: str
    source: str
    evidence: str
    note: str


@dataclass(frozen=True, slots=True)
class AltitudeRow:
    """What an authority changes at altitude: table ``altitude``.

    ``rule`` names what is changed, ``classes`` for which classes, ``above`` from which height on
    (metres; an authority speaks at the highest of its steps that is passed). ``unit``: share (of what
    stands in the formula) | Cel (degrees more) | of the pan (what it is to be) | words (``note`` is
    the advice)."""

    code: str
    rule: str
    classes: tuple[str, ...]
    above: float
    low: float | None
    typical: float | None
    high: float | None
    unit: str
    source: str
    evidence: str
    note: str


@dataclass(frozen=True, slots=True)
class ConstantRow:
    """A constant of nature or convention: table ``constants`` (molar masses, gas volume, the
    reference powder, a cup of flour in grams)."""

    code: str
    value: float
    low: float | None
    high: float | None
    unit: str
    source: str
    evidence: str
    note: str


@dataclass(frozen=True, slots=True)
class LeavenerRow:
    """A leavener's chemistry: table ``leaveners``.

    ``kind``: carbonate | ammonia | acid | powder | yeast. Per gram of it: ``carbonate_meq`` what acid
    it takes up, ``acid_meq`` what carbonate it takes up, ``co2_mmol`` the gas it can give with enough
    acid (a powder: by itself) as carbon dioxide, ``nh3_mmol`` as ammonia, ``sodium_mg``.
    ``fresh_yeast``: grams of fresh yeast that one gram stands for."""

    ingredient: str
    kind: str
    carbonate_meq: float | None
    acid_meq: float | None
    acid_meq_low: float | None
    acid_meq_high: float | None
    co2_mmol: float | None
    co2_low: float | None
    co2_high: float | None
    nh3_mmol: float | None
    nh3_low: float | None
    nh3_high: float | None
    sodium_mg: float | None
    fresh_yeast: float | None
    source: str
    evidence: str
    note: str


@dataclass(frozen=True, slots=True)
class CautionRow:
    """A food-safety caution: table ``cautions``. ``trigger`` names the test that raises it."""

    key: str
    trigger: str
    caution: str
    value: str
    source: str
    evidence: str


@dataclass(frozen=True, slots=True)
class ClassRow:
    """A product class: table ``classes``.

    ``raised_by``: what makes it rise, the chief means first: gas (soda, powder, ammonia) | yeast |
    foam (air beaten into egg) | cream (air beaten into fat) | steam | none; ``what`` says in words
    what the class is; ``folds_chocolate``: chocolate that nobody melts is folded into it in pieces."""

    code: str
    name: str
    raised_by: tuple[str, ...]
    what: str
    folds_chocolate: bool
    source: str
    evidence: str


@dataclass(frozen=True, slots=True)
class StyleRow:
    """A style of a product class, with ranges of its own beside the class's: table ``styles``.

    A formula is held to the one style, or to the class at large, whose rows it strains least; where its
    title names a style, to that. ``needs``: what a formula of the style has (``nut>=20``) or has not
    (``flour<=6``), by kind (see ``service.rules.kinds``), or ``title``: that its title names the style;
    without it no formula is held to it. Units: percent of the whole."""

    code: str
    product_class: str
    name: str
    what: str
    needs: tuple[str, ...]
    source: str
    evidence: str


@dataclass(frozen=True, slots=True)
class StyleWordRow:
    """A word of a title that tells a style of its class: table ``style_words``. ``word`` is folded (see
    ``service.domain.words.key_of``)."""

    word: str
    style: str
    source: str
    evidence: str


@dataclass(frozen=True, slots=True)
class UndoingRow:
    """A slip that is undone where nothing is strained: table ``undoings``.

    Each line that brings ``kind`` (see ``service.rules.kinds``) is taken ``factor`` times, or as the
    ``ingredient`` that was meant. The slip is told where no more than ``share`` of the unease is left,
    and, where at least ``outside`` measures lie outside and most are brought back, no more than
    ``share_outside``; what is empty tells none. ``slip`` is its kind: double | triple | decimal |
    exchange."""

    code: str
    kind: str
    factor: float
    ingredient: str
    share: float | None
    outside: int
    share_outside: float | None
    slip: str
    source: str
    evidence: str


@dataclass(frozen=True, slots=True)
class LeftOutRow:
    """A line that a card may have lost: table ``left_out``.

    Where a group has none of the kinds ``without`` (see ``service.rules.kinds``), the ``ingredient`` is
    tried in these ``shares``; ``says`` names what is left out. Units: percent of flour; of flour itself,
    percent of all that stands."""

    code: str
    says: str
    without: tuple[str, ...]
    ingredient: str
    shares: tuple[str, ...]
    source: str
    evidence: str


@dataclass(frozen=True, slots=True)
class UsualAmountRow:
    """How amounts of a unit are written in kitchens: table ``usual_amounts``.

    ``unit`` is a trade name of formulas; ``role`` that of the ingredients for which the row holds,
    empty where none of their own does; ``denominators`` those of the fractions that are written
    (``1``: whole amounts); ``least`` and ``most`` (exact amounts, ``1/4``; ``most`` may be open) bound
    what is measured by this unit and not by the next."""

    unit: str
    role: str
    denominators: tuple[str, ...]
    least: str
    most: str
    source: str
    evidence: str


@dataclass(frozen=True, slots=True)
class ClassWordRow:
    """A word or phrase that tells a product class: table ``class_words``.

    ``where``: title | title us | title gb (a title in the usage of North America, or of Britain and
    Australia, which goes before ``title``) | method (tells by itself) | narrows (a phrase of a method
    that narrows what a title leaves open) | role (a component's role). ``classes``: the classes that it
    may mean, the likeliest first; where there are several, the method and then the composition decide;
    ``none`` is a thing for which there is no class."""

    word: str
    where: str
    classes: tuple[str, ...]
    source: str
    evidence: str
