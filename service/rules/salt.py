"""Salt: by class on flour, in fillings and meringues, and against public targets.

Counted as salt: salt itself, and what salted fats bring by their sodium. Sources: rows of ``limits``
with the codes SALT-01 to SALT-04.
"""

from __future__ import annotations

from service.rules.registry import range_rule

range_rule("SALT-01", "salt_pct", "Salt stays inside its class's range, as a percentage of flour.")
range_rule("SALT-02", "salt_of_whole", "Salt of a filling stays inside its range.")
range_rule("SALT-03", "salt_on_white", "Salt on egg white stays inside its range.")
range_rule("SALT-04", "salt_in_product", "Salt by all sodium against public targets.", severity="note")
