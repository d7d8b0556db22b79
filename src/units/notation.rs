//! Shop notation in and out.
