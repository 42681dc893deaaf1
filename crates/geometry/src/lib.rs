//! Curves, shared lines, spacing and hop-limited threading; no domain words.
