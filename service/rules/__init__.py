"""The checks: one function a rule, found by itself, each with code, severity and source.

Start with ``registry``, then ``salt``. A rule reads a ``Judged`` group and yields findings; it knows
no pint, no file and no other rule's private helpers.
"""
