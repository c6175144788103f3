"""The commands, and the only place that wires the parts together."""
