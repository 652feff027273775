"""Quarter Turn: the safe range of a recurve bow's limb bolts, and what a turn of one does."""

__version__ = "0.1.0"
