"""The trade's numbers: CSV tables with a source in each row, and what reads and indexes them.

``rows`` says what each table holds, ``loader`` reads and refuses, ``cupboard`` is where the rest of
the service looks things up. A table is one file (``units.csv``) or a folder of files that are read
as one (``ingredients/flours.csv``, ``ingredients/nuts.csv`` …). Nothing here computes a gram.
"""
