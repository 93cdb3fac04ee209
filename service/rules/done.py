"""How hot the centre is when it is done, as the method says it."""

from __future__ import annotations

import re

from service.domain.band import Band
from service.rules.judged import Judged
from service.rules.oven import celsius_of

_CENTRE = re.compile(
    r"\b(?:internal|inside|centre|center|core|middle)\b[^.;]*?"
    r"\b(\d{2,3})(?: *(?:to|-|–) *(\d{2,3}))? *(?:°|degrees?\b)? *(C|F)(?:elsius|ahrenheit)?\b",
    re.IGNORECASE,
)
_UNITS = {"C": "Cel", "F": "[degF]"}


def centre_celsius(judged: Judged) -> Band | None:
    """Give the heat of the centre at which the method ends the baking, in degrees Celsius; ``None``
    where no sentence says one."""
    for sentence in judged.method:
        told = _CENTRE.search(sentence)
        if told is not None:
            unit = _UNITS[told.group(3).upper()]
            low = celsius_of(float(told.group(1)), unit, judged)
            high = celsius_of(float(told.group(2) or told.group(1)), unit, judged)
            if low is not None and high is not None:
                return Band((low + high) / 2, min(low, high), max(low, high))
    return None
