//! Physical quantities: reading what a builder writes, printing in the builder's units.
