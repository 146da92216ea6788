"""The commands of the program, one module each; each is imported only when it is called."""
