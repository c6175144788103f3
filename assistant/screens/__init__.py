"""The Textual face: shows frozen values, emits what the printer did. Decides nothing."""
