"""The description joined up: after this no name is looked up."""
