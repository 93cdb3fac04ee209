"""The trade's own things as frozen values: no file, no clock, no web, no third party.

Start with ``quantity`` and ``formula`` (what a caller says), then ``weighed`` (what it weighs),
``finding`` (what a check says of it) and ``drift`` (what a change moved). ``faults`` words the refusal
of a query's parameters.
"""
