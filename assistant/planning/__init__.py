"""From a recipe and a number of copies to a plan: what is needed, and in which order copies go."""
