"""Pictures and models of a predicted surface."""
