"""The adviser's interview at a prompt or over a pipe: what is shown, what a typed line means, and the job card."""
