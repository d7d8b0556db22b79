//! The program over HTTP, on this machine alone.
//!
//! | file | holds |
//! |---|---|
//! | `guard` | who may ask, how much, and what an answer may load |
//! | `lanes` | which question is worked on when |
//! | `patient` | a connection that does not wait for ever |
//! | `routes` | questions and replies as HTTP has them |
//! | `seats` | seats for connections, and who gives one up |
//! | `socket` | the socket: patience, crowds, a clean end |

mod guard;
mod lanes;
mod patient;
mod routes;
mod seats;
mod socket;

pub use guard::Patience;
pub use routes::{Page, router};
pub use socket::serve;
