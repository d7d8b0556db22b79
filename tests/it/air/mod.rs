//! Room `air`.

mod commands;
mod epw;
mod equilibrium;
mod indoor;
mod logger;
mod logger_dates;
mod places;
mod psychrometrics;
mod record;
mod years;
