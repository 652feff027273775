"""Pictures drawn from numbers: strings of SVG, coloured by classes only."""
