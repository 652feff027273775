"""What the archer does at the bench: method, readings, window, moves."""
