"""The changes that any view takes: choose, swap, scale, convert, round; in this order.

``apply`` is the door and holds the order; each kind of change is one module.
"""
