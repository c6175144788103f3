"""What a printer reckons in the head: pure functions over the standard library, nothing else."""
