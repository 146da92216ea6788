"""One rule, one file, one function: takes the assessed vehicle, gives findings."""
