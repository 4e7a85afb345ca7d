"""What a patient stitcher makes of word rows with slips of the pen; it shares no code with the project.

It reads what may be typed: extra blanks, any letter case, a count of 1 or a row's bead count left out, `#` before
comments, `;` before notes. It gives up, with ValueError, wherever the rows contradict themselves: a line that says
nothing, a count, a kind, a direction, a number, a note of a turn that is none, a size of the work below the title.
"""

import re
from typing import NamedTuple

NUMBER, KEY = r"\d+", r"[A-Z]+\d*"
ROW = "(?:ROWS? ?)?"
SPAN = rf"{ROW}{NUMBER}(?: ?[-–] ?{NUMBER})?"
ARROWS = {"→": ">", "->": ">", ">": ">", "←": "<", "<-": "<", "<": "<"}
SIZES = ["CYLINDER 11/0", "ROUND 11/0", "ROUND 8/0", "ROUND 6/0"]
MARKS = dict(zip(SIZES, ["", "11", "8", "6"], strict=True))


class Work(NamedTuple):
    """The finished piece."""

    columns: int
    tail: str
    start: str
    drop: int
    cells: dict  # (row, column) to (size, colour, name)
    keys: dict  # (row, column) to key
    beads: dict  # key to (size, colour, name)
    unmarked: int  # rows written out whose odd-count turn no note tells


def work_of(text):
    """Stitch it all."""
    bead_lines, entries, said = {}, [], {"start": "top", "drop": 1}
    seen, comments = set(), []
    for raw in re.split("\r\n|\r|\n", text):
        line = re.sub(r"\s", " ", raw).strip()
        if not line or line[0] == "#":
            comments += [line[1:].strip()] if line.strip("# ") and not entries else []
            continue
        if re.match(rf"{KEY} *:", line.upper()) and not re.match(r"(ROWS? ?|DROP ?: ?)\d|DROP ?:", line.upper()):
            key, bead = bead_of(line)
            if key in bead_lines:
                raise ValueError("two beads with one key")
            bead_lines[key] = bead
            continue
        line = " ".join(line.partition("#")[0].upper().split())
        body, _, note = (part.strip() for part in line.partition(";"))
        heading = heading_of(body)
        if heading:
            if heading[0] in seen:
                raise ValueError("said twice")
            seen.add(heading[0])
            said[heading[0]] = heading[1]
        else:
            entries.append((body, note))
    columns, tail, keys, unmarked = stitched(entries, said["drop"])
    check_head(comments[1:], columns, max(row for row, _ in keys), said["drop"], tail)
    cells = {place: bead_lines[key] if key in bead_lines else missing(key) for place, key in keys.items()}
    return Work(columns, tail, said["start"], said["drop"], cells, keys, bead_lines, unmarked)


def check_head(comments, columns, rows, drop, tail):
    for comment in comments:
        head = re.fullmatch(
            r"(\d+) COLUMNS?, (\d+) ROWS?, (TWO-DROP )?(ODD|EVEN)-COUNT FLAT PEYOTE, TAIL AT (LEFT|RIGHT)",
            " ".join(comment.upper().split()),
        )
        if head:
            made = (columns, rows, drop == 2, "EVEN" if columns // drop % 2 == 0 else "ODD", tail.upper())
            if made != (int(head[1]), int(head[2]), bool(head[3]), head[4], head[5]):
                raise ValueError(comment)
            return


def missing(key):
    raise ValueError(f"no bead {key}")


def heading_of(body):
    if body in ("START TOP", "START BOTTOM"):
        return "start", body.split()[1].lower()
    if body in ("TWO-DROP", "TWO DROP", "TWODROP"):
        return "drop", 2
    return None


def bead_of(line):
    if not line.isprintable():
        raise ValueError(line)
    found = re.fullmatch(r"(\w+) *:([^,]*),(.*\S.*)\(#([0-9a-fA-F]{6})\)", line)
    if not found or not re.fullmatch(KEY, found[1].upper()):
        raise ValueError(line)
    key, size = found[1].upper(), re.sub(" ?/ ?", "/", " ".join(found[2].upper().split()))
    if size not in MARKS or re.sub("[A-Z]+", "", key) != MARKS[size]:
        raise ValueError(line)
    return key, (size, found[4].lower(), found[3].strip())


def stitched(entries, drop):
    needle = Needle(drop)
    for body, note in entries:
        needle.follow(body, note)
    if not needle.row:
        raise ValueError("no rows")
    return needle.columns, needle.tail, needle.keys, needle.unmarked


class Needle:
    """Where the needle is, and what it has laid so far."""

    def __init__(self, drop):
        self.columns, self.drop, self.tail, self.row, self.keys, self.unmarked = 0, drop, "", 0, {}, 0

    def follow(self, body, note):
        repeat = re.fullmatch(rf"({SPAN}) ?(?:=|: ?AS) ?({SPAN})", body)
        found = re.fullmatch(rf"{ROW}({NUMBER})(?: ?\+ ?({NUMBER}))? ?(->|<-|[<>→←]) ?({NUMBER})? ?: ?(.*)", body)
        if repeat and body.isprintable():
            self.again(*(int(n) for span in repeat.groups() for n in ends_of(span)))
        elif found and body.isprintable():
            runs = found[5].rstrip(", ")
            laid = [key for run in runs.split(",") if runs for key in run_of(run)]
            if found[4] and int(found[4]) != len(laid):
                raise ValueError(body)
            self.lay(int(found[1]), int(found[2] or found[1]), ARROWS[found[3]], laid)
            self.turn(note)
        else:
            raise ValueError(body)

    def again(self, first, last, low, high):
        length = high - low + 1
        if first != self.row + 1 or not 3 <= low <= high < first <= last or (last - first + 1) % length:
            raise ValueError("no whole repeats")
        for self.row in range(first, last + 1):
            source = low + (self.row - first) % length
            if (self.row - source) % 2:
                raise ValueError("an odd row for an even one")
            self.keys |= {(self.row, c): key for (r, c), key in list(self.keys.items()) if r == source}

    def lay(self, first, last, direction, laid):
        if not self.row:
            self.string(first, last, direction, laid)
            return
        self.row += 1
        places = [column for column in range(1, self.columns + 1) if self.holds(self.row, column)]
        from_tail = (direction == ">") == (self.tail == "left")
        if (first, last) != (self.row, self.row) or len(places) != len(laid) or from_tail != (self.row % 2 == 0):
            raise ValueError(f"row {first}")
        order = places if from_tail else places[::-1]
        self.keys |= {(self.row, column): key for column, key in zip(order, laid, strict=True)}

    def string(self, first, last, direction, laid):
        if (first, last) != (1, 2) or len(laid) < 2 * self.drop or len(laid) % self.drop:
            raise ValueError("rows 1 and 2")
        self.columns, self.tail, self.row = len(laid), {">": "left", "<": "right"}[direction], 2
        self.keys = {(1 if self.holds(1, column) else 2, column): key for column, key in enumerate(laid, 1)}

    def holds(self, row, column):
        return (self.columns // self.drop - (column + self.drop - 1) // self.drop + row) % 2 == 1

    def turn(self, note):
        marked = re.search(r"\bODD[- ]COUNT TURN\b", note)
        turns = self.columns // self.drop % 2 and self.row % 2
        if marked and not turns:
            raise ValueError(note)
        self.unmarked += bool(turns and not marked)


def ends_of(span):
    first, *last = re.findall(NUMBER, span)
    return first, *(last or [first])


def run_of(run):
    found = re.fullmatch(rf" ?({NUMBER})? ?({KEY}) ?", run)
    if not found or (found[1] and int(found[1]) == 0):
        raise ValueError(run)
    return [found[2]] * int(found[1] or 1)


def skips_a_size(work):
    """Return whether beads that touch differ by more than one size of the bead sizes."""
    level = {place: SIZES.index(bead[0]) for place, bead in work.cells.items()}
    steps = [(2, 0), (1, -1), (1, 1)] + [(0, 1)] * (work.drop == 2)
    return any(
        abs(own - level[row + down, column + across]) > 1
        for (row, column), own in level.items()
        for down, across in steps
        if (row + down, column + across) in level and ((down, across) != (0, 1) or column % 2)
    )
