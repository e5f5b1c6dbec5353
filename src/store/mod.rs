//! Files that are never half written.
