//! The desk's library: show files, pictures, findings, link.
