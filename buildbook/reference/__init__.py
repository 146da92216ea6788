"""What can be written and what comes out, told from what the program itself knows."""
