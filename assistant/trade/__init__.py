"""what a printer works out in the head: pure functions over the standard library, nothing else."""
