"""The two faces of a round: a prompt on a terminal, and plain lines everywhere else."""
