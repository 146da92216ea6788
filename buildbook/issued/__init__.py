"""What revisions said when they were issued."""
