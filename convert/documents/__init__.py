"""Documents that are made of a design for people: each in a package of its own."""
