//! Tests of whole features through the library's public face: one binary.

mod support;
mod projects;
mod editor_api;
mod pages;
mod security;
mod headless;
mod substances;
mod demo;
mod documents;
mod labels;
mod plan_import;
mod scale;
mod made_floors;
mod tidy;
