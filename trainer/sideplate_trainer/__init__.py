"""Practice, records, the prompt and the command line."""
