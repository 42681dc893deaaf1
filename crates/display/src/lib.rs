//! The description of a display: reading, located faults, patches, schema.
