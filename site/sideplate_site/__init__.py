"""What turns the knowledge into the reference site."""
