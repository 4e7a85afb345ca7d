"""A job that ends the process that takes it up."""

import os

DIES = "__import__('os').kill(__import__('os').getpid(), 9)"


class Deadly(int):
    """A yes that does something in another process that takes it from its queue."""

    def __new__(cls, what):
        made = super().__new__(cls, 1)
        made.what = what
        return made

    def __reduce__(self):
        here = f"__import__('os').getpid() == {os.getpid()}"
        return eval, (f"__import__('deadly_job').Deadly({self.what!r}) if {here} else {self.what}",)
