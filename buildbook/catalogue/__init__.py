"""The trade's own tables: wire, fuses, contacts, colours; every row with its source."""
