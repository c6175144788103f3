"""Benchmarks: figures as ratios within one run, on a machine that does nothing else. `make bench` runs them all."""
