"""The shapes at the edge: what a caller may send, and how values become documents.

``formula`` loads and dumps formula documents, ``canonical`` gives their canonical bytes and digest,
``answers`` turns a view's answer into a JSON-ready document and into its schema.
"""
