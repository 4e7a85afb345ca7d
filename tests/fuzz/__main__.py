"""A fuzzer led by coverage for one reader: ``python tests/fuzz design --seconds 120``.

What it finds is kept in the folder for finds, as ``crash-…``; give such a file instead of seconds to see it again:
``python tests/fuzz design --again finds/crash-…``.
"""

import argparse
import sys
import tempfile
from pathlib import Path

import atheris

HERE = Path(__file__).resolve().parent
sys.path[:0] = [str(HERE.parent / "helpers"), str(HERE.parents[1])]

with atheris.instrument_imports(include=["convert", "palettes", "shared", "PIL", "tomllib"]):
    from readers import READERS, Reader

RAW, EDITED = b"\x01", b"\x00"
"""How an input begins that is a file, and one that says which edits of a good file to make."""


def law_of(reader: Reader, data: bytes) -> None:
    """Hold the law of a reader to an input of the fuzzer."""
    if data[:1] != EDITED:
        reader.law(data[1:])
        return
    provider = atheris.FuzzedDataProvider(data[1:])
    reader.law(reader.edit(lambda limit: provider.ConsumeIntInRange(0, limit - 1)))


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("reader", choices=READERS)
    parser.add_argument("--seconds", type=int, default=60)
    parser.add_argument("--finds", type=Path, default=Path("finds"), help="folder for what is found")
    parser.add_argument("--again", type=Path, help="hold the law to this input of the fuzzer only")
    chosen = parser.parse_args()
    reader = READERS[chosen.reader]
    if chosen.again is not None:
        law_of(reader, chosen.again.read_bytes())
        return
    chosen.finds.mkdir(parents=True, exist_ok=True)
    with tempfile.TemporaryDirectory() as corpus:
        for place, good in enumerate(reader.good):
            (Path(corpus) / f"good-{place}").write_bytes(RAW + good)
        for seed in range(8):
            (Path(corpus) / f"edits-{seed}").write_bytes(EDITED + bytes(range(seed, seed + 40)))
        words = [f"-max_total_time={chosen.seconds}", "-max_len=8192", "-timeout=20", "-rss_limit_mb=3000"]
        atheris.Setup(
            [sys.argv[0], corpus, *words, f"-artifact_prefix={chosen.finds}/", "-print_final_stats=1"],
            lambda data: law_of(reader, data),
        )
        atheris.Fuzz()


if __name__ == "__main__":
    main()
