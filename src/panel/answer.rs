//! The best layouts given: what each gives up, why the first wins, and the flag
//! that a bookmatch adds its bows.

use super::composite::adds_bows;
use super::force_words::felt;
use super::laying::Panel;
use super::leaf_match::{Layout, LeafMatch};
use super::score::Faults;
use super::search::search;
use super::shape::{PanelShape, SEEN_MM};
use crate::numerics::Deadline;
use crate::units::notation::{force_shown, shown};
use crate::units::{Length, UnitSystem};

/// Starts looked at for the first layout, and for each of the others where the first took more.
const STEPS_FOR_FIRST: u64 = 20_000_000;
const STEPS_FOR_OTHERS: u64 = 4_000_000;
/// How much is spent on layouts with the same faults: coupled leaves are one banded system, whose cost grows with the cube of their
/// number. 500 layouts of eight leaves, 256 of ten, four of forty.
const COUPLED_WORK: usize = 256_000;
/// Scores and bows that differ by less are the same but for rounding, mm.
const SAME_SCORE: f64 = 1e-9;

/// Whether two layouts have the same faults but for rounding.
fn alike(one: Faults, other: Faults) -> bool {
    [
        (one.bow, other.bow),
        (one.cup, other.cup),
        (one.twist, other.twist),
        (one.seam, other.seam),
    ]
    .into_iter()
    .all(|(a, b)| (a.abs() - b.abs()).abs() < SAME_SCORE)
}

/// The best layouts of a panel under its match.
#[derive(Debug, Clone, PartialEq)]
pub struct BestLayouts {
    /// Layouts that truly differ, best first: any two differ by 0.1 mm or more in bow, cup, twist or seam misfit.
    pub layouts: Vec<PanelShape>,
    /// Whether no layout under the rule scores less than the first: every one was looked at or ruled out.
    pub first_is_proven: bool,
    /// The same for the whole list.
    pub list_is_proven: bool,
    /// No layout under the rule scores less than this; equal to the first's score where it is proven.
    pub bound: f64,
    /// What had to be taken for granted, and findings.
    pub notes: Vec<String>,
}

/// A fault that layouts are compared by.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Fault {
    /// Bow of the panel.
    Bow,
    /// Cup after the change of moisture.
    Cup,
    /// Lift of a corner.
    Twist,
    /// The worst seam before glue.
    SeamMisfit,
}

impl Fault {
    /// All of them.
    pub const ALL: [Self; 4] = [Self::Bow, Self::Cup, Self::Twist, Self::SeamMisfit];

    /// What a maker calls it.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Bow => "bow",
            Self::Cup => "cup",
            Self::Twist => "twist",
            Self::SeamMisfit => "seam misfit",
        }
    }

    /// Its size in a shape, without sign.
    #[must_use]
    pub fn size(self, shape: &PanelShape) -> Length {
        match self {
            Self::Bow => shape.bow,
            Self::Cup => shape.cup,
            Self::Twist => shape.twist,
            Self::SeamMisfit => shape.seam_misfit,
        }
        .abs()
    }
}

impl Panel {
    /// The best `count` layouts that truly differ, by their score; of the orders that score the same, each is the one whose coupled
    /// leaves keep the least bow.
    ///
    /// Up to sixteen sets the search is branch and bound over every layout; the answer says whether it
    /// came to its end. Beyond, or where it did not, the best found stand there with a bound that no
    /// layout can beat.
    #[must_use]
    pub fn best(&self, count: usize) -> BestLayouts {
        self.best_within(count, Deadline::NEVER)
    }

    /// The same before a deadline. Cut off, it gives the best met until then and what no layout can beat, and nothing is
    /// proven; without time for a single look there is no layout at all.
    #[must_use]
    pub fn best_within(&self, count: usize, deadline: Deadline<'_>) -> BestLayouts {
        let mut met = None;
        let first = search(self, &[], STEPS_FOR_FIRST, &mut met, deadline);
        let mut layouts: Vec<PanelShape> = Vec::new();
        let mut known = Vec::new();
        let mut list_is_proven = first.complete;
        let steps_for_others = if first.complete {
            STEPS_FOR_FIRST
        } else {
            STEPS_FOR_OTHERS
        };
        let mut next = first.best;
        while let Some(layout) = next {
            known.push(self.faults(&layout));
            layouts.push(self.coupled_best(layout, deadline));
            next = None;
            if layouts.len() < count {
                let search = search(self, &known, steps_for_others, &mut met, deadline);
                list_is_proven &= search.complete;
                next = search.best;
            }
        }
        // Where a search stopped early, a later one may have met a better layout.
        layouts.sort_by(|a, b| {
            let kept = |shape: &PanelShape| shape.largest_bow.abs().mm();
            a.score
                .total_cmp(&b.score)
                .then(kept(a).total_cmp(&kept(b)))
        });
        let min = layouts.first().map_or(0.0, |first| first.score);
        BestLayouts {
            first_is_proven: first.complete,
            list_is_proven,
            bound: first.bound.min(min),
            notes: self.notes().to_vec(),
            layouts,
        }
    }

    /// The score counts the mean bow, which does not see in which order leaves of unlike bow lie; coupled leaves do. Of the orders
    /// with the same faults, the one whose edges and seams keep the least bow, by exchanging sets two at a time.
    fn coupled_best(&self, layout: Layout, deadline: Deadline<'_>) -> PanelShape {
        let mut best = self.shape(&layout);
        let faults = self.faults(&layout);
        let [row] = &layout.rows[..] else {
            return best;
        };
        let set = row.len() / self.sets.len().max(1);
        let places = self.sets.len();
        let mut left = COUPLED_WORK / row.len().pow(3).max(1);
        let mut bettered = true;
        while bettered {
            bettered = false;
            for (one, other) in (0..places).flat_map(|i| (i + 1..places).map(move |j| (i, j))) {
                let mut changed = best.layout.clone();
                for leaf in 0..set {
                    changed.rows[0].swap(one * set + leaf, other * set + leaf);
                }
                if !alike(self.faults(&changed), faults) || !self.keeps_rule(&changed) {
                    continue;
                }
                if left == 0 || deadline.is_over() {
                    return best;
                }
                left -= 1;
                let shape = self.shape(&changed);
                if shape.largest_bow.abs().mm() < best.largest_bow.abs().mm() - SAME_SCORE {
                    best = shape;
                    bettered = true;
                }
            }
        }
        best
    }

    /// What bookmatching does to the bows beside slip-matching, for leaves that pair; `None` where either rule
    /// cannot be kept. `best` are this panel's own best layouts, so that no figure is searched twice.
    #[must_use]
    pub fn bookmatch_flag(&self, best: &BestLayouts) -> Option<BookmatchFlag> {
        self.bookmatch_flag_within(best, Deadline::NEVER)
    }

    /// The same before a deadline; cut off, the best met of the other match stands beside this one's.
    #[must_use]
    pub fn bookmatch_flag_within(
        &self,
        best: &BestLayouts,
        deadline: Deadline<'_>,
    ) -> Option<BookmatchFlag> {
        let first = |leaf_match| {
            if leaf_match == self.leaf_match() {
                return best.layouts.first().cloned();
            }
            let panel = self.with_match(leaf_match).ok()?;
            panel.best_within(1, deadline).layouts.into_iter().next()
        };
        Some(BookmatchFlag {
            bookmatched: first(LeafMatch::Bookmatch)?,
            slip_matched: first(LeafMatch::SlipMatch)?,
            length: self.leaf_length(),
            rings_given: self.leaves().iter().any(|leaf| leaf.rings.is_some()),
        })
    }
}

/// The best bookmatch beside the best slip-match of the same pairs.
#[derive(Debug, Clone, PartialEq)]
pub struct BookmatchFlag {
    /// The best bookmatch.
    pub bookmatched: PanelShape,
    /// The best slip-match.
    pub slip_matched: PanelShape,
    /// Length of the leaves.
    pub length: Length,
    /// Whether the rings of any leaf were given.
    pub rings_given: bool,
}

impl BookmatchFlag {
    /// Whether bookmatching adds the bows.
    #[must_use]
    pub fn adds_bows(&self) -> bool {
        adds_bows(self.bookmatched.force_factor)
    }

    /// The flag in words: what each does to the bow, that the figure would not mirror, and that the cup from
    /// rings and from set go opposite ways.
    #[must_use]
    pub fn words(&self, system: UnitSystem) -> String {
        let show = |length: Length| shown(length.abs(), system);
        let (book, slip) = (&self.bookmatched, &self.slip_matched);
        let bow = |shape: &PanelShape| shape.bow_words(system);
        let over = shown(self.length, system);
        let (book_bow, slip_bow) = (bow(book), bow(slip));
        let mut words = if book.largest_bow.abs().mm() < SEEN_MM
            && slip.largest_bow.abs().mm() < SEEN_MM
        {
            format!("Neither bookmatching nor slip-matching these leaves a bow over {over}.")
        } else if self.adds_bows() {
            format!(
                "Bookmatching these adds their bows: {book_bow} over {over}; slip-matched {slip_bow}, and the figure would not mirror. Holding the bookmatched panel flat takes {} at its middle, {}.",
                force_shown(book.hold_flat, system),
                felt(book.hold_flat)
            )
        } else if adds_bows(slip.force_factor) {
            format!(
                "Slip-matching these adds their bows: {slip_bow} over {over}; bookmatched {book_bow}, and the figure mirrors."
            )
        } else {
            format!(
                "Bookmatched the bow is {book_bow} over {over}, slip-matched {slip_bow}; in neither do the bows add."
            )
        };
        let (book_ring, slip_ring) = (book.ring_cup.abs(), slip.ring_cup.abs());
        if self.rings_given && (book_ring - slip_ring).abs().mm() >= SEEN_MM {
            let other_way = (book.bow.abs() > slip.bow.abs()) == (book_ring < slip_ring);
            words.push_str(&format!(
                " The ring cup {}: {} bookmatched, {} slip-matched.",
                if other_way {
                    "goes the other way"
                } else {
                    "goes the same way here"
                },
                show(book_ring),
                show(slip_ring)
            ));
        } else if !self.rings_given {
            words.push_str(" The ring cup goes the other way: bookmatched leaves lie heart side alternating and washboarding, slip-matched they make one arc; give the rings for its size.");
        }
        let (book_set, slip_set) = (book.set_cup.abs(), slip.set_cup.abs());
        if (book_set - slip_set).abs().mm() >= SEEN_MM {
            words.push_str(&format!(
                " The cup the leaves have now goes with the bow: {} across the panel bookmatched, {} slip-matched.",
                show(book_set),
                show(slip_set)
            ));
        }
        words
    }
}

/// What `this` has more and less of than `other`, in words; "nothing a maker would see" where they agree.
#[must_use]
pub fn compared(this: &PanelShape, other: &PanelShape, system: UnitSystem) -> String {
    let mut more = Vec::new();
    let mut less = Vec::new();
    for fault in Fault::ALL {
        let by = fault.size(this) - fault.size(other);
        if by.mm() >= SEEN_MM {
            more.push(format!("{} more {}", shown(by, system), fault.word()));
        } else if by.mm() <= -SEEN_MM {
            less.push(format!("{} less {}", shown(-by, system), fault.word()));
        }
    }
    match (more.is_empty(), less.is_empty()) {
        (true, true) => "nothing a maker would see".to_owned(),
        (false, true) => more.join(", "),
        (true, false) => less.join(", "),
        (false, false) => format!("{}, for {}", more.join(", "), less.join(", ")),
    }
}

impl PanelShape {
    /// Its bow in words, without sign: one size where all edges bow alike, else what either edge keeps. Opposed bows
    /// cancel at the seam only.
    #[must_use]
    pub fn bow_words(&self, system: UnitSystem) -> String {
        let show = |length: Length| shown(length.abs(), system);
        let edges = self
            .rows
            .iter()
            .filter_map(super::shape::RowShape::unlike_edges)
            .max_by(|one, other| {
                let size = |edges: &(Length, Length)| edges.0.abs().max(edges.1.abs()).mm();
                size(one).total_cmp(&size(other))
            });
        match edges {
            None => show(self.bow),
            Some((first, last)) if first.mm() * last.mm() < 0.0 => format!(
                "{} at one edge and {} the other way at the other",
                show(first),
                show(last)
            ),
            Some((first, last)) => {
                format!(
                    "{} at one edge and {} at the other",
                    show(first),
                    show(last)
                )
            }
        }
    }
}

impl BestLayouts {
    /// What the layout of that rank gives up against the first; for the first, against the second.
    #[must_use]
    pub fn gives_up(&self, rank: usize, system: UnitSystem) -> String {
        let other = usize::from(rank == 0);
        match (self.layouts.get(rank), self.layouts.get(other)) {
            (Some(this), Some(other)) => compared(this, other, system),
            _ => "nothing: no other layout of these leaves truly differs".to_owned(),
        }
    }

    /// Why the first stands first.
    #[must_use]
    pub fn why_first(&self, system: UnitSystem) -> String {
        let Some(first) = self.layouts.first() else {
            return String::new();
        };
        let proven = if self.first_is_proven {
            "every layout under the rule was looked at or ruled out, and none scores less"
                .to_owned()
        } else {
            format!(
                "it is the best found; no layout can score less than {:.2}",
                self.bound
            )
        };
        match self.layouts.get(1) {
            None => format!(
                "It scores {:.2} mm: {proven}; the others give the same.",
                first.score
            ),
            Some(second) => format!(
                "It scores {:.2} mm against {:.2}: the second has {}. {}{}.",
                first.score,
                second.score,
                compared(second, first, system),
                proven[..1].to_uppercase(),
                &proven[1..]
            ),
        }
    }
}
