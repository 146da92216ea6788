"""`python -m buildbook`: the same as `buildbook`."""

from buildbook.cli import main

main(prog_name="buildbook")
