"""Numbers of colours in words."""


def colours_in_words(number: int) -> str:
    """Return the number with its noun.

    Examples
    --------
    >>> colours_in_words(1), colours_in_words(7)
    ('1 colour', '7 colours')
    """
    return f"{number} colour" if number == 1 else f"{number} colours"
