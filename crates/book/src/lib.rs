//! The printed recipe: book, templates, tables.
