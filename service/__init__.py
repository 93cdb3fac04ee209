"""Tarebook: formulas read, weighed, checked, scaled, converted and labelled.

The rooms, from the ground up (an arrow of import may only point to a room named earlier):
``errors``, ``domain``, ``tables``, ``units``, ``reading``, ``weighing``, ``rules``, ``changes``,
``kitchen``, ``views``, ``render``; then the service around the core: ``store``, ``archive``, ``http``,
``cli``.
"""

__version__ = "0.1.0"
