"""The mechanics: SI floats in, SI floats out; pure functions, no other units, no record."""
