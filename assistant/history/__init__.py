"""What a printed session is, as the records keep it and every page and screen shows it; pure, below both."""
