"""From a picture to a pattern: the steps, the writers and the command line."""
