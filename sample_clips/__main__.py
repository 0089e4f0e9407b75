"""`python -m sample_clips list | build NAME... | truth NAME... [--all] [--out DIR]`."""

import argparse
from pathlib import Path

from sample_clips.recipes import RECIPES

HERE = Path(__file__).parent


def main() -> None:
    """Run from the command line."""
    parser = argparse.ArgumentParser(prog="python -m sample_clips", description=__doc__)
    commands = parser.add_subparsers(dest="command", required=True)
    commands.add_parser("list", help="names of the recipes")
    for command, help_text in (("build", "draw clips and write their truth"), ("truth", "write only their truth anew")):
        make = commands.add_parser(command, help=help_text)
        make.add_argument("names", nargs="*", metavar="NAME")
        make.add_argument("--all", action="store_true", help="every recipe")
        make.add_argument("--out", type=Path, default=HERE, help="folder to write to (default: this one)")
    options = parser.parse_args()
    if options.command == "list":
        print("\n".join(RECIPES))
        return
    names = list(RECIPES) if options.all else options.names
    unknown = [name for name in names if name not in RECIPES]
    if unknown or not names:
        parser.error(f"no such recipe: {', '.join(unknown)}; see `list`" if unknown else "say which recipes, or --all")
    from sample_clips.film import build, renew  # torch is slow to import, and `list` does not need it

    make_one = build if options.command == "build" else renew
    for name in names:
        path = make_one(RECIPES[name], options.out)
        print(f"{path}  {path.stat().st_size / 1e6:.2f} MB", flush=True)


if __name__ == "__main__":
    main()
