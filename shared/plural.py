"""Numbers and nouns in plain words."""

_WORDS = ("no", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten", "eleven", "twelve")


def in_words(number: int) -> str:
    """Return a number up to twelve in words, a larger one in figures.

    Examples
    --------
    >>> in_words(0), in_words(1), in_words(12), in_words(13)
    ('no', 'one', 'twelve', '13')
    """
    return _WORDS[number] if number < len(_WORDS) else f"{number:,}"


def counted(number: int, noun: str) -> str:
    """Return a number in figures with its noun, which takes an s where it must.

    Examples
    --------
    >>> counted(1, "bead"), counted(0, "bead"), counted(12, "bead")
    ('1 bead', '0 beads', '12 beads')
    """
    return f"{number:,} {noun}{'' if number == 1 else 's'}"


def listed(words: list[str]) -> str:
    """Join words as one does in a sentence.

    Examples
    --------
    >>> listed(["3"]), listed(["3", "5"]), listed(["3", "5", "7"])
    ('3', '3 and 5', '3, 5 and 7')
    """
    return " and ".join([", ".join(words[:-1]), words[-1]]) if len(words) > 1 else "".join(words)
