//! The program as a wasm module, and the page as one file around it.
//!
//! | file | holds |
//! |---|---|
//! | `exports` | what the module exports |
//! | `one_file` | the page with all its files inside |
//! | `carrier.js`, `worker.js` | the way from the page to the module and back |
//! | `offline.js` | beside the page on a web site: keeps it for a device without a network |
//! | `make.rs` | writes the file |
//! | `build` | the script that makes module and file |

#[cfg(all(feature = "web", target_arch = "wasm32"))]
mod exports;
mod one_file;

pub use one_file::{OFFLINE_SCRIPT, one_file};
