//! Display to Plan: every number worked out once, with its working.
