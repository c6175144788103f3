"""The manual page, made from the text of `--help`: `make manual` writes it."""
