"""``python -m doughwright`` is the same as ``doughwright``."""

from doughwright.cli import main

if __name__ == "__main__":
    main()
