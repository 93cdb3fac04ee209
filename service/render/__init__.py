"""Rendering: an answer to text for people and machines. Nothing is computed here."""
