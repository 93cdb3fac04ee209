"""The archive: records in, answers out, as generators; never holds the whole input."""
