"""`python -m sample_clips.corpus OUT [--count N] [--seed S] [--first I] [--step K] [--only WORD] [--truth]`."""

import argparse
from pathlib import Path

from sample_clips.corpus import COUNT, SEED, corpus


def main() -> None:
    """Draw the corpus, or a part of it; clips that are there already are left alone."""
    parser = argparse.ArgumentParser(prog="python -m sample_clips.corpus", description=__doc__)
    parser.add_argument("out", type=Path)
    parser.add_argument("--count", type=int, default=COUNT, help="how many recipes the corpus has")
    parser.add_argument("--seed", type=int, default=SEED)
    parser.add_argument("--first", type=int, default=0, help="start at this recipe")
    parser.add_argument("--step", type=int, default=1, help="take every so manieth, so that several can draw at once")
    parser.add_argument("--only", default="", help="only names that contain this")
    parser.add_argument("--truth", action="store_true", help="draw nothing; write the truth of what is there anew")
    options = parser.parse_args()
    from sample_clips.film import build, renew  # torch is slow to import

    for recipe in corpus(options.count, options.seed)[options.first :: options.step]:
        there = (options.out / f"{recipe.name}.mp4.truth.json").exists()
        if options.only in recipe.name and there == options.truth:
            print((renew if options.truth else build)(recipe, options.out), flush=True)


if __name__ == "__main__":
    main()
