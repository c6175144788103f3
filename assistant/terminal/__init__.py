"""The red guarantee: output gate, supervisor and probe. Standard library only, importable before Textual."""
