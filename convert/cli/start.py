"""What runs first: until the command line is loaded, Ctrl-C ends the program without a word."""

import signal


def main() -> None:
    """Run the command line."""
    if signal.getsignal(signal.SIGINT) is not signal.SIG_IGN:
        signal.signal(signal.SIGINT, signal.SIG_DFL)
    from convert.cli.app import main as run

    run()
