"""The balance of a formula by its class: one rule a measure, all held to rows of ``limits``.

The ranges are percentages of flour or ratios of grams; what each kind counts stands in ``amounts``,
how a row is held in ``ranges``.
"""

from __future__ import annotations

from service.rules.registry import range_rule

_RULES = (
    ("BAL-01", "sugar_pct", "Sugar on flour stays inside its class's range."),
    ("BAL-02", "fat_pct", "Fat on flour stays inside its class's range."),
    ("BAL-03", "egg_pct", "Egg on flour stays inside its class's range."),
    ("BAL-04", "white_pct", "Egg white on flour stays inside its class's range."),
    ("BAL-05", "yolk_pct", "Egg yolk on flour stays inside its class's range."),
    ("BAL-06", "water_pct", "Water of all lines on flour stays inside its class's range."),
    ("BAL-07", "milk_solids_pct", "Milk solids on flour stay inside their class's range."),
    ("BAL-08", "cocoa_pct", "Cocoa on flour stays inside its class's range."),
    ("BAL-09", "syrup_pct", "Molasses and syrup on flour stay inside their class's range."),
    ("BAL-10", "puree_pct", "Pulp on flour stays inside its class's range."),
    ("BAL-11", "liquid_pct", "Added liquid on flour stays inside its class's range."),
    ("BAL-12", "sugar_to_white", "Sugar stands in proportion to egg white."),
    ("BAL-13", "sugar_to_egg", "Sugar stands in proportion to egg."),
    ("BAL-14", "flour_to_white", "Flour stands in proportion to egg white."),
    ("BAL-15", "flour_to_egg", "Flour stands in proportion to egg."),
    ("BAL-16", "egg_to_fat", "Egg carries the fat."),
    ("BAL-17", "egg_to_pure_fat", "Egg carries the fat, butter counted by its fat alone."),
    ("BAL-18", "yolk_to_fat", "Yolk carries the oil."),
    ("BAL-19", "fat_to_sugar", "Fat does not exceed sugar."),
    ("BAL-20", "sugar_to_fat", "Sugar stands in proportion to fat."),
    ("BAL-21", "liquid_to_flour", "Egg and liquid stand in proportion to flour."),
    ("BAL-22", "liquid_to_sugar", "Egg and liquid stand in proportion to sugar."),
    ("BAL-23", "flour_to_sugar", "Flour stands in proportion to sugar."),
    ("BAL-24", "sugar_to_flour_and_cocoa", "Sugar stands in proportion to flour and cocoa."),
    ("BAL-25", "fat_to_water", "Fat stands in proportion to added liquid."),
    ("BAL-26", "tough_to_tender", "Tougheners balance tenderisers."),
    ("BAL-27", "dry_to_moist", "Driers balance moisteners."),
    ("BAL-28", "tartar_to_white", "Acid stands in proportion to egg white."),
    ("BAL-29", "starch_on_white", "Starch stands in proportion to egg white."),
    ("BAL-30", "powder_pct", "Baking powder on flour does not exceed its class's range."),
    ("BAL-31", "soda_pct", "Soda on flour does not exceed its class's range."),
    ("BAL-32", "soda_to_syrup", "Soda stands in proportion to molasses or syrup."),
    ("BAL-33", "starch_to_milk", "Starch sets the milk of a cream."),
    ("BAL-34", "sugar_to_milk", "Sugar stands in proportion to the milk of a cream."),
    ("BAL-35", "yolk_to_milk", "Yolk stands in proportion to the milk of a cream."),
    ("BAL-36", "egg_to_milk", "Egg sets the milk of a custard."),
    ("BAL-37", "custard_sugar_to_milk", "Sugar stands in proportion to the milk of a custard."),
    ("BAL-38", "cream_to_chocolate", "Cream stands in proportion to chocolate."),
    ("BAL-39", "sugar_to_butter", "Sugar stands in proportion to the butter of an icing."),
    ("BAL-40", "gelatin_pct", "Gelatin of the whole stays inside its range."),
    ("BAL-41", "foam_sugar_to_white", "The sugar beaten into whites stands in proportion to them."),
    ("BAL-42", "dry_sugar_pct", "Dry sugar on flour stays inside its class's range."),
    ("BAL-44", "flour_to_milk", "Flour sets the milk of a cream."),
    ("BAL-45", "liquid_without_egg_pct", "Liquid on flour stays inside its class's range, without egg."),
    ("BAL-46", "sugar_to_egg_alone", "Sugar stands in proportion to egg that raises a sponge alone."),
    ("BAL-47", "flour_to_egg_alone", "Flour stands in proportion to egg that raises a sponge alone."),
    ("BAL-43", "fat_on_white", "Whites that are to be beaten are free of fat."),
    ("BAL-48", "flour_of_whole", "What is built on flour has flour."),
)

for _code, _measure, _says in _RULES:
    range_rule(_code, _measure, _says)
