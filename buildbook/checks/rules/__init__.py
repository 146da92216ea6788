"""One rule, one file, one function: takes the context, gives findings."""
