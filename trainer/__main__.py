"""`python -m trainer`: the same as `coupling-yard`."""

from trainer.cli import main

if __name__ == "__main__":
    main()
