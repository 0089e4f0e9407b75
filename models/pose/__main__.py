"""`python -m models.pose`: fetch the landmark weights ahead of their first use, and say where they are."""

import sys

from models.errors import BadInput
from models.pose import weights_path


def main() -> int:
    """Print the path of the weights, or why they cannot be had; return the exit status."""
    try:
        print(weights_path())
    except BadInput as fault:
        print(fault, file=sys.stderr)
        return 2
    return 0


if __name__ == "__main__":
    sys.exit(main())
