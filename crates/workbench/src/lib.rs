//! The local server and its page.
