"""What is made to be read on paper or kept in a file: pure, from a printed session or a recipe to its text or HTML.

Units: spans come in as whole ms and are written as minutes and seconds; pages are laid out in mm, drawings in pixels.
"""
