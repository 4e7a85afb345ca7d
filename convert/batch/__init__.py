"""Many pictures with one set of options, or each with its own."""
