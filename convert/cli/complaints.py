"""What is said on standard error."""

import typer


def complain(sentence: str) -> None:
    """Say what is wrong; characters that would move the cursor are shown as what they are."""
    typer.echo(f"hummock: {plainly(sentence)}", err=True)


def plainly(text: str) -> str:
    r"""Return text that a terminal can show: names of files may hold any character.

    Examples
    --------
    >>> plainly("tide\x1b[2J.png: is empty")
    'tide\\x1b[2J.png: is empty'
    """
    return "".join(letter if letter.isprintable() or letter == "\n" else ascii(letter)[1:-1] for letter in text)
