"""The views: each one function from a formula at work to an answer, served through every door.

Start with ``registry`` and ``work``, then ``weights``. A view knows no web and no store.
"""
