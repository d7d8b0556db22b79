//! Kept for the local web page. Nothing stands in this room yet: the report is the page that a maker has.
//!
//! Its place in the order is held so that a page may use the report and the forecast, and so that only it and the
//! command line touch files, sockets and the clock.
