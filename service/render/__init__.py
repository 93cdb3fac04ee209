"""From a view's answer to what people look at: SVG, text, bytes.

A module here draws the answers of one view and says so with ``registry.renders``; it shows figures as
they stand in the answer and computes none. A drawing is a list of marks (``sheet``), written by
``svg``. Imports: ``domain`` and the answers of ``views``. Start reading at ``balance``.
"""
