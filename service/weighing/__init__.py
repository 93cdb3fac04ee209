"""Weighing: a formula's lines to grams, each with its band, its basis and what was assumed.

``scales`` is the door. A line goes through ``settling`` (its text read, its ingredient found), ``mass``
(which of its measures decides) and ``picking`` (which shelf of ``shelves`` its states mean); then
``percent`` weighs what is stated in percent of the flour, and ``totals`` adds up what the lines bring.
``customs`` says what is taken where a formula leaves its measuring unsaid.
"""
