"""What is well-formed but is probably not meant: natural mistakes, asked about as warnings."""
