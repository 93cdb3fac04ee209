"""Reading: a card's text to a formula, with the span of text that each part came from.

``scan`` cuts a line into tokens, ``line`` says what they mean, ``reader`` keeps what was read,
``card`` joins lines into a formula. What is not understood is a problem with its place; nothing is
dropped and nothing is guessed without saying so.
"""
