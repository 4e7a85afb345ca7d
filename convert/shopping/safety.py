"""Cautions for somebody who stitches or wears the work: own words after published rules, which come first.

Small parts: 16 CFR 1501; Directive 2009/48/EC, from 2030 Regulation (EU) 2025/2509. Sharp points: 16 CFR 1500.48.
Nickel: Regulation (EC) 1907/2006, Annex XVII entry 27. Lead and cadmium: CPSIA 2008; the same Annex, entries 63 and 23.
"""

CAUTIONS = (
    (
        "Local rules come first",
        "The rules of the place where you stitch, wear or sell this work come before this list.",
    ),
    ("Small parts", "Glass beads can choke. Not for children under 3 years; keep them from small children and pets."),
    (
        "Needles and thread",
        (
            "Beading needles and cut ends of thread are sharp. Count your needles before and after, and keep them "
            "closed away. Children need an adult beside them."
        ),
    ),
    (
        "Broken glass",
        (
            "A broken bead has sharp edges. Do not force a needle or bite it, and guard your eyes when you break a "
            "bead out."
        ),
    ),
    (
        "Nickel",
        (
            "Choose a clasp that is sold as meeting the nickel limit where you live (in the European Union 0.5 µg/cm² "
            "a week) if the wearer may be sensitive."
        ),
    ),
    (
        "Lead and cadmium",
        (
            "For anything meant for a child, use beads and clasps that are sold as meeting the limits for children's "
            "products."
        ),
    ),
    ("Wearing", "A band can break. Take it off to sleep, and never leave it on a child who is alone."),
    (
        "Selling",
        (
            "If you sell what you have made, the rules of the place of sale apply. This sheet does not say that any "
            "rule is met."
        ),
    ),
)
