"""A recipe file read, checked and turned into frozen types; the only room that knows YAML."""
