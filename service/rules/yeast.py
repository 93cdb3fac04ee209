"""Yeast by class, all kinds counted as fresh yeast. Source: rows of ``limits`` with YEAST-01."""

from __future__ import annotations

from service.rules.registry import range_rule

range_rule("YEAST-01", "yeast_pct", "Yeast on flour, as fresh yeast, stays inside its class's range.")
