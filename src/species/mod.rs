//! What one wood is like: the record that everything else asks.
//!
//! Answers which wood a name means, what it shrinks, how stiff and strong it
//! is along and across the grain, and where each of these figures comes from.
//! Needs nothing but text: the built-in tables are part of the program
//! (`species_data/`, one file per published table), and a maker's own table
//! can stand in front of them ([`SpeciesTable::with_user_csv`]).
//!
//! A figure from a table is a [`Sourced`] value with its source and whether it
//! was read there or recalled. A figure no table holds is `None`; the getters
//! that must answer all the same give a [`Resolved`] value with the rule that
//! filled the gap, so that an answer can say so. The numbers come from the
//! Wood Handbook (USDA Forest Products Laboratory, FPL-GTR-190) and, for
//! European woods, from *The Structural Conservation of Panel Paintings*
//! (Getty Conservation Institute, 1998); `species_data/README.md` tells the rest.

mod class;
mod fallback;
mod groups;
mod join;
mod names;
mod publications;
mod record;
mod sawing;
mod sheet;
mod sourced;
mod strength;
mod table;
pub mod tables;
mod user;
mod user_columns;
mod witness;

pub use class::MovementClass;
pub use fallback::{GroupAverages, averages};
pub use groups::Member;
pub use names::UnknownSpecies;
pub use record::{
    AcrossGrain, ChangeCoefficients, ElasticRatios, GreenMoisture, Group, Kind, Mechanical,
    PoissonRatios, Species, TotalShrinkage,
};
pub use sawing::Sawn;
pub use sheet::Sheet;
pub use sourced::{Resolved, Sourced, Status};
pub use table::{Named, SpeciesTable, YardName};
pub use witness::Witness;
