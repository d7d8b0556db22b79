//! The table of woods: built in, with the maker's own in front.

use super::join;
use super::names::{self, NameIndex, UnknownSpecies};
use super::record::Species;
use super::sawing::Sawn;
use super::user;
use crate::units::Refusals;
use crate::units::Region;
use std::sync::{Arc, OnceLock};

/// Every wood the program knows, found by name. A copy shares what it holds.
#[derive(Debug, Clone)]
pub struct SpeciesTable {
    held: Arc<Held>,
    region: Option<Region>,
}

#[derive(Debug)]
struct Held {
    species: Vec<Species>,
    index: NameIndex,
    front: usize,
}

/// A wood as a maker named it.
#[derive(Debug, Clone)]
pub struct Named<'a> {
    /// Its record.
    pub species: &'a Species,
    /// The way of sawing that words before or after the name give.
    pub sawn: Option<Sawn>,
    /// What to know of the name: that it is a group's, that it means another wood elsewhere.
    pub cautions: Vec<String>,
}

/// A name of the yard and what it means there.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct YardName<'a> {
    /// The name.
    pub name: &'a str,
    /// Where it is used so.
    pub region: Region,
    /// The record it means.
    pub species: &'a str,
    /// What else to know of it.
    pub note: Option<&'a str>,
}

impl SpeciesTable {
    /// The built-in table, read once in the life of the program.
    #[must_use]
    pub fn built_in() -> &'static Self {
        static BUILT_IN: OnceLock<SpeciesTable> = OnceLock::new();
        BUILT_IN.get_or_init(|| {
            let (species, index) = join::join();
            Self::holding(species, index, 0)
        })
    }

    /// Whether it is the very same as another, read once.
    pub(crate) fn is_that_of(&self, other: &Self) -> bool {
        Arc::ptr_eq(&self.held, &other.held) && self.region == other.region
    }

    fn holding(species: Vec<Species>, index: NameIndex, front: usize) -> Self {
        Self {
            held: Arc::new(Held {
                species,
                index,
                front,
            }),
            region: None,
        }
    }

    /// The same table where names of the yard mean what they do in a region.
    #[must_use]
    pub fn in_region(&self, region: Option<Region>) -> Self {
        Self {
            held: Arc::clone(&self.held),
            region: region.or(self.region),
        }
    }

    /// The built-in table with a maker's own CSV in front.
    ///
    /// A row whose name is that of a built-in wood takes its place: columns
    /// that the row leaves empty keep the built-in figures, save the
    /// volumetric shrinkage, which would no longer belong to the rest.
    /// `origin` names the text in errors and stands as the source of rows
    /// without one.
    ///
    /// Columns understood: `species`, `latin`, `group` (hardwood or softwood), `radial_percent`, `tangential_percent`,
    /// `volumetric_percent`, `longitudinal_percent`, `fiber_saturation_percent`, `specific_gravity` (oven-dry mass on green
    /// volume), `modulus_mpa`, `bending_strength_mpa`, `shear_mpa`, `tension_across_mpa`, `compression_across_mpa`,
    /// `tangential_ratio`, `radial_ratio`, `shear_lr_ratio`, `shear_lt_ratio`, `shear_rt_ratio` (over the stiffness along
    /// the grain), `source`, `status` (seen, memory, derived, judgement, measured, given), `note`; the first,
    /// `radial_percent` and `tangential_percent` always.
    ///
    /// ```
    /// use heartside::species::SpeciesTable;
    ///
    /// let text = "species,radial_percent,tangential_percent\nPear,4.6,9.1\n";
    /// let table = SpeciesTable::with_user_csv(text, "my woods.csv")?;
    /// let pear = table.find("pear").map_err(|error| error.to_string());
    /// assert_eq!(pear.map(|wood| wood.tangential_percent()), Ok(9.1));
    /// # Ok::<(), heartside::units::Refusals>(())
    /// ```
    ///
    /// # Errors
    /// [`Refusals`] with every fault of the text: its row, column,
    /// reason and remedy.
    pub fn with_user_csv(text: &str, origin: &str) -> Result<Self, Refusals> {
        let built_in = Self::built_in();
        let mut species = user::read(text, origin, built_in)?;
        let front = species.len();
        for known in built_in.all() {
            if !species[..front].iter().any(|own| own.name == known.name) {
                species.push(known.clone());
            }
        }
        let index =
            NameIndex::of(&species, &join::built_in_names()).with_yard_of(&built_in.held.index);
        Ok(Self::holding(species, index, front))
    }

    /// The wood meant by a yard's name (`white oak`), by a table's name (`Oak, white`), by a sheet's name
    /// (`baltic birch plywood`) or by a Latin name; case and punctuation do not matter, and words of sawing or
    /// figure may stand before or after it.
    ///
    /// A yard's name may mean several woods: `white oak` is the weighted mean of six, `Oak, white` is
    /// *Quercus alba* alone.
    ///
    /// ```
    /// use heartside::species::SpeciesTable;
    ///
    /// let oak = SpeciesTable::built_in().find("Oak, white")?;
    /// assert_eq!(oak.tangential_percent(), 10.5);
    /// // No table holds this wood's rolling shear modulus: the answer names the rule that fills the gap.
    /// assert!(oak.shear_modulus_rt_mpa().rule.is_some());
    /// let yard = SpeciesTable::built_in().find("qs white oak")?;
    /// assert_eq!(yard.name, "white oak");
    /// # Ok::<(), heartside::species::UnknownSpecies>(())
    /// ```
    ///
    /// # Errors
    /// [`UnknownSpecies`] with the nearest names when none fits, and with every
    /// wood that fits when there are several (`maple`).
    pub fn find(&self, name: &str) -> Result<&Species, UnknownSpecies> {
        self.look_up(name).map(|named| named.species)
    }

    /// As [`SpeciesTable::find`], with the way of sawing that the words give and what to know of the name.
    ///
    /// # Errors
    /// As [`SpeciesTable::find`].
    pub fn look_up(&self, name: &str) -> Result<Named<'_>, UnknownSpecies> {
        let meant = self
            .held
            .index
            .meaning(name, self.held.front, self.region)?;
        let species = &self.held.species[meant.record];
        let mut cautions: Vec<String> = meant.elsewhere.into_iter().collect();
        cautions.extend(species.cautions());
        Ok(Named {
            species,
            sawn: meant.sawn,
            cautions,
        })
    }

    /// Every name of the yard with what it means in each region.
    pub fn yard_names(&self) -> impl Iterator<Item = YardName<'_>> {
        self.held.index.yard().into_iter().map(|name| YardName {
            name: &name.name,
            region: name.region,
            species: &name.record,
            note: name.note.as_deref(),
        })
    }

    /// The record whose own name this is, in either order.
    pub(super) fn named(&self, name: &str) -> Option<&Species> {
        let wanted = names::key(name);
        self.all()
            .iter()
            .find(|species| names::key(&species.name) == wanted)
            .or_else(|| {
                self.find(name)
                    .ok()
                    .filter(|found| found.name.contains('('))
            })
    }

    /// Every record; a maker's own first, then those of the built-in tables in their order.
    #[must_use]
    pub fn all(&self) -> &[Species] {
        &self.held.species
    }

    /// Every record with the other names that the trade or another table has for it.
    pub fn with_other_names(&self) -> impl Iterator<Item = (&Species, Vec<&str>)> {
        let others = |record| self.held.index.others_of(record).collect();
        self.all()
            .iter()
            .enumerate()
            .map(move |(record, species)| (species, others(record)))
    }

    /// How many records at the head of [`SpeciesTable::all`] are a maker's own.
    #[must_use]
    pub fn own_count(&self) -> usize {
        self.held.front
    }
}
