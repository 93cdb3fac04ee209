"""The measures: one pint registry, defined from the ``units`` table alone, and every factor taken
from it once, at start. A caller's text never reaches the registry's parser: words are looked up in
the table. Start with ``measures``.
"""
