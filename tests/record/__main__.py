"""All recorded commands next to the baseline: ``python -m tests.record``.

Ids as further words run only these. ``--save`` writes the baseline anew (the works kept in it stay), ``--toml`` prints
what differs in the form of ``changes.toml``. Texts are told of where their figures differ, with ``--words`` also where
only the wording does.
"""

import argparse
import json
import sys
import tempfile
import time
from pathlib import Path

sys.path.insert(0, str(Path(__file__).resolve().parents[2]))
sys.path.insert(0, str(Path(__file__).resolve().parents[1]))

from record.commands import COMMANDS
from record.compare import SAME_FIGURES, compare
from record.run import BASELINE, baseline, changes, contents, options_not_tried, save, works


def tell(differences, chosen):
    """Print what differs."""
    for each in differences:
        if chosen.toml:
            print("[[change]]", *(f"{part} = {json.dumps(getattr(each, part))}" for part in each._fields[:4]), sep="\n")
            print('why = ""\n')
        elif chosen.words or each.figures != SAME_FIGURES:
            print(f"    {each.file} {each.part}: {each.figures}{' (words)' if each.loose else ''}")


def main():
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("ids", nargs="*", metavar="ID")
    for word in ("--save", "--toml", "--words"):
        parser.add_argument(word, action="store_true")
    chosen = parser.parse_args()
    if strange := set(chosen.ids) - set(COMMANDS):
        parser.error(f"no such id: {' '.join(sorted(strange))}")
    for name, spellings in options_not_tried():
        print(f"not tried: {name} {' '.join(spellings)}")
    kept, old, new = {}, {}, {}
    if BASELINE.exists():
        kept, old = (baseline()[part] for part in ("kept", "commands"))
    else:
        with tempfile.TemporaryDirectory() as folder:
            kept = works(Path(folder))
    known, seen, failed = changes(), set(), 0
    with tempfile.TemporaryDirectory() as folder:
        start = time.perf_counter()
        for name, content in contents(Path(folder), kept, chosen.ids or COMMANDS):
            took, start = time.perf_counter() - start, time.perf_counter()
            new[name] = content
            found = list(compare(name, old.get(name, {}), content))
            seen.update(difference[:4] for difference in found)
            strange = [difference for difference in found if not difference.loose and difference[:4] not in known]
            failed += bool(strange)
            said = "differs" if strange else "as known" if any(not each.loose for each in found) else "same"
            print(f"{name}: {said} ({took:.1f} s)" if not chosen.toml else f"# {name}", flush=True)
            tell(strange if chosen.toml else found, chosen)
    stale = [change for change in known - seen if change[0] in new]
    for change in stale:
        print("no longer so:", *change)
    if chosen.save:
        save(kept, {name: (old | new)[name] for name in COMMANDS if name in old | new})
    elif failed or stale:
        sys.exit(f"{failed} of {len(new)} commands differ")


if __name__ == "__main__":
    main()
