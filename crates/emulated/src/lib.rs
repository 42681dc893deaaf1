//! An emulated ATmega328P for tests; never linked into what users run.
