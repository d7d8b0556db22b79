//! The table of woods: built in, with the maker's own in front.

use super::join;
use super::names::{self, NameIndex, UnknownSpecies};
use super::record::Species;
use super::user::{self, UserTableError};
use std::sync::OnceLock;

/// Every wood the program knows, found by name.
#[derive(Debug, Clone)]
pub struct SpeciesTable {
    species: Vec<Species>,
    index: NameIndex,
    front: usize,
}

impl SpeciesTable {
    /// The built-in table, read once in the life of the program.
    #[must_use]
    pub fn built_in() -> &'static Self {
        static BUILT_IN: OnceLock<SpeciesTable> = OnceLock::new();
        BUILT_IN.get_or_init(|| {
            let (species, index) = join::join();
            Self {
                species,
                index,
                front: 0,
            }
        })
    }

    /// The built-in table with a maker's own CSV in front.
    ///
    /// A row whose name is that of a built-in wood takes its place: columns
    /// that the row leaves empty keep the built-in figures, save the
    /// volumetric shrinkage, which would no longer belong to the rest.
    /// `origin` names the text in errors and stands as the source of rows
    /// without one. Columns: `species`, `radial_percent` and
    /// `tangential_percent` always; the others as [`UserTableError`] lists them.
    ///
    /// ```
    /// use heartside::species::SpeciesTable;
    ///
    /// let text = "species,radial_percent,tangential_percent\nPear,4.6,9.1\n";
    /// let table = SpeciesTable::with_user_csv(text, "my woods.csv")?;
    /// let pear = table.find("pear").map_err(|error| error.to_string());
    /// assert_eq!(pear.map(|wood| wood.tangential_percent()), Ok(9.1));
    /// # Ok::<(), heartside::species::UserTableError>(())
    /// ```
    ///
    /// # Errors
    /// [`UserTableError`] with every fault of the text: its row, column,
    /// reason and remedy.
    pub fn with_user_csv(text: &str, origin: &str) -> Result<Self, UserTableError> {
        let built_in = Self::built_in();
        let mut species = user::read(text, origin, built_in)?;
        let front = species.len();
        for known in &built_in.species {
            if !species[..front].iter().any(|own| own.name == known.name) {
                species.push(known.clone());
            }
        }
        let index = NameIndex::of(&species, &join::built_in_names());
        Ok(Self {
            species,
            index,
            front,
        })
    }

    /// The wood meant by a common name in either order (`white oak`, `Oak, white`),
    /// by another name of the trade (`hard maple`) or by its Latin name; case
    /// and punctuation do not matter.
    ///
    /// ```
    /// use heartside::species::SpeciesTable;
    ///
    /// let oak = SpeciesTable::built_in().find("white oak")?;
    /// assert_eq!(oak.name, "Oak, white");
    /// assert_eq!(oak.tangential_percent(), 10.5);
    /// // No table tells this wood's rolling shear modulus: the rule that stands in is given.
    /// assert!(oak.shear_modulus_rt_mpa().rule.is_some());
    /// # Ok::<(), heartside::species::UnknownSpecies>(())
    /// ```
    ///
    /// # Errors
    /// [`UnknownSpecies`] with the nearest names when none fits, and with every
    /// wood that fits when there are several (`maple`).
    pub fn find(&self, name: &str) -> Result<&Species, UnknownSpecies> {
        self.index
            .find(name, self.front)
            .map(|record| &self.species[record])
    }

    /// The record whose own name this is, in either order.
    pub(super) fn named(&self, name: &str) -> Option<&Species> {
        let wanted = names::key(name);
        self.species
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
        &self.species
    }

    /// Every record with the other names that the trade or another table has for it.
    pub fn with_other_names(&self) -> impl Iterator<Item = (&Species, Vec<&str>)> {
        let others = |record| self.index.others_of(record).collect();
        self.species
            .iter()
            .enumerate()
            .map(move |(record, species)| (species, others(record)))
    }

    /// How many records at the head of [`SpeciesTable::all`] are a maker's own.
    #[must_use]
    pub const fn own_count(&self) -> usize {
        self.front
    }
}
