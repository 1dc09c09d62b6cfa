//! The car file against its JSON Schema.
