//! Tests of whole features through the library's public face: one binary.

mod documents;
mod plan_import;
