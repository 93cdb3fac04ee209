"""HTTP: requests to domain values, one call, answers back. No arithmetic lives here.

Start with ``app``, then ``problems`` and ``views``. ``desk`` holds what handlers share, ``bodies``
reads what callers send, ``conditions`` and ``answering`` hold the rules of RFC 9110 and 9111,
``operations`` says of each handler what the OpenAPI document must know. Modules with a ``blueprint``
are found by themselves.
"""
