"""``python -m abreast`` is the command line."""

from abreast.cli import main

if __name__ == "__main__":
    raise SystemExit(main())
