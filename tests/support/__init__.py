"""What several tests share: other readings of the same conditions, generated cases, processes that may die."""
