"""`python -m tests.bench [accuracy | speed | sources]`: how good and how fast, against the truth of the sample clips."""

import argparse
import json
import os
from pathlib import Path

from rich.console import Console

from tests.bench import accuracy, sources, speed, tables
from tests.bench.truth import clips_in

SAMPLE_CLIPS = Path(__file__).parents[2] / "sample_clips"


def main() -> None:
    parser = argparse.ArgumentParser(prog="python -m tests.bench", description=__doc__)
    parser.add_argument("what", nargs="?", choices=["accuracy", "speed", "both", "sources"], default="both")
    parser.add_argument("--clips", type=Path, default=SAMPLE_CLIPS, help="folder of clips with their truth beside them")
    parser.add_argument("--only", default="", help="measure clips whose name contains this")
    parser.add_argument("--baseline", action="store_true", help="measure the plain baseline too (slow)")
    parser.add_argument("--jobs", type=int, default=1, help="clips measured at the same time")
    parser.add_argument("--detail", action="store_true", help="show every value")
    parser.add_argument("--json", type=Path, help="write all figures to this file")
    options = parser.parse_args()
    console = Console(width=None if os.isatty(1) else 190)
    clips = [clip for clip in clips_in(options.clips) if options.only in clip.name]
    if not clips:
        parser.error(f"{options.clips} holds no clip with a truth beside it; say --clips FOLDER")
    figures: tables.Figures = {}
    if options.what in ("accuracy", "both"):
        results = accuracy.run(clips, plain=False, jobs=options.jobs)
        plain = accuracy.run(clips, plain=True, jobs=options.jobs) if options.baseline else []
        if options.detail:
            console.print(tables.detail(results))
        tables.show(console, results, plain)
        figures["accuracy"] = tables.as_json(results, plain)
    if options.what in ("speed", "both"):
        timed = speed.run(clips)
        speed.show(console, timed)
        figures["speed"] = speed.as_json(timed)
    if options.what == "sources":
        console.print(sources.show(sources.run(clips)))
    if options.json:
        options.json.write_text(json.dumps(figures, indent=1), encoding="utf-8")


if __name__ == "__main__":
    main()
