"""Weighing: a formula's lines to grams, each with its band, its basis and what was assumed.

``scales`` is the door; ``mass`` weighs one line, ``totals`` adds up what the lines bring.
"""
