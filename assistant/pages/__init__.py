"""What is made to be read on paper or kept in a file: pure, from a printed session or a recipe to its text or HTML."""
