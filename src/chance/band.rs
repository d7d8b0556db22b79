//! What the draws say: a band, a chance, and how near both are to the truth.

use crate::numerics::{TO_WHOLE, ends};
use serde::Serialize;

/// An answer as low, middle and high: its 5, 50 and 95 % quantiles. Sorted by value, never by size: low is not above
/// middle and middle not above high, whatever their signs. Only [`Band::new`] makes one.
#[derive(Debug, Clone, Copy, PartialEq, Default, Serialize)]
pub struct Band<T = f64> {
    /// One draw in twenty lies below.
    pub low: T,
    /// Half of the draws lie below, or the middle draw's answer.
    pub middle: T,
    /// One draw in twenty lies above.
    pub high: T,
    #[serde(skip)]
    sorted: Sorted,
}

/// What only this file can put into a [`Band`].
#[derive(Debug, Clone, Copy, PartialEq, Default)]
struct Sorted;

/// The two, the smaller value first.
#[must_use]
pub fn in_order<T: PartialOrd>([a, b]: [T; 2]) -> [T; 2] {
    if b < a { [b, a] } else { [a, b] }
}

/// Shares of the three ends of a band.
const SHARES: [f64; 3] = [0.05, 0.5, 0.95];

impl<T: Copy + PartialOrd> Band<T> {
    /// The band with these two ends about a middle; an end that the middle passes goes with it.
    #[must_use]
    pub fn new(ends: [T; 2], middle: T) -> Self {
        let [low, high] = in_order(ends);
        let [low, _] = in_order([low, middle]);
        let [_, high] = in_order([middle, high]);
        Self {
            low,
            middle,
            high,
            sorted: Sorted,
        }
    }

    /// An answer known for sure.
    #[must_use]
    pub fn exactly(value: T) -> Self {
        Self::new([value; 2], value)
    }

    /// The same ends about another middle, such as the middle draw's answer.
    #[must_use]
    pub fn about(self, middle: T) -> Self {
        Self::new([self.low, self.high], middle)
    }

    /// The band of a rising or falling function of the answer.
    #[must_use]
    pub fn map<U: Copy + PartialOrd>(&self, f: impl Fn(T) -> U) -> Band<U> {
        Band::new([f(self.low), f(self.high)], f(self.middle))
    }
}

impl<T: Copy + std::ops::Sub> Band<T> {
    /// High less low.
    #[must_use]
    pub fn width(&self) -> T::Output {
        self.high - self.low
    }
}

impl Band {
    /// The band of the draws' answers, whose order changes. `None` without a draw or when one is not a number.
    #[must_use]
    pub fn of(answers: &mut [f64]) -> Option<Self> {
        let [low, middle, high] = quantiles(answers, SHARES)?;
        Some(Self::new([low, high], middle))
    }

    /// Whether a value lies in the band.
    #[must_use]
    pub fn holds(&self, value: f64) -> bool {
        self.low <= value && value <= self.high
    }
}

/// Quantiles at rising shares, linear between the ordered answers: the
/// definition 7 of Hyndman and Fan (*The American Statistician* 50, 1996).
fn quantiles<const N: usize>(answers: &mut [f64], shares: [f64; N]) -> Option<[f64; N]> {
    if answers.is_empty() || answers.iter().any(|answer| answer.is_nan()) {
        return None;
    }
    let last = answers.len() - 1;
    let mut found = [0.0; N];
    let mut settled = 0;
    let boxes = Boxes::of(answers);
    for (found, share) in found.iter_mut().zip(shares) {
        let place = share.clamp(0.0, 1.0) * last as f64;
        let below = place.floor() as usize;
        let part = place - below as f64;
        let (at, next) = if let Some(boxes) = &boxes {
            boxes.from(answers, below)
        } else {
            let (_, at, above) =
                answers[settled..].select_nth_unstable_by(below - settled, f64::total_cmp);
            let at = *at;
            settled = below;
            (
                at,
                above.iter().copied().min_by(f64::total_cmp).unwrap_or(at),
            )
        };
        *found = if part > 0.0 {
            at + (next - at) * part
        } else {
            at
        };
    }
    Some(found)
}

/// So many answers, and more, are put in boxes before they are ordered.
const MANY: usize = 512;
/// Boxes from the smallest answer to the largest.
const BOXES: usize = 1024;

/// Many answers in equal boxes between the smallest and the largest: to find the answer at a place of their order, only those of its
/// box are ordered.
struct Boxes {
    /// The box of each answer: a greater answer is in no earlier one.
    numbers: Vec<u16>,
    /// How many answers are in the boxes before each.
    before: [u32; BOXES + 2],
}

impl Boxes {
    /// `None` for few answers, for equal ones and where one has no limit.
    fn of(answers: &[f64]) -> Option<Self> {
        if answers.len() < MANY || answers.len() > u32::MAX as usize {
            return None;
        }
        let [least, most] = ends(answers)?.map(|place| answers[place]);
        let per_box = BOXES as f64 / (most - least);
        if !(per_box.is_finite() && per_box > 0.0) {
            return None;
        }
        let number = |answer: &f64| ((answer - least) * per_box + TO_WHOLE).to_bits() as u16;
        let numbers: Vec<u16> = answers.iter().map(number).collect();
        let mut before = [0; BOXES + 2];
        for number in &numbers {
            before[usize::from(*number) + 1] += 1;
        }
        for number in 0..=BOXES {
            before[number + 1] += before[number];
        }
        Some(Self { numbers, before })
    }

    /// The answers at a place of the order and at the next; the last twice.
    fn from(&self, answers: &[f64], place: usize) -> (f64, f64) {
        let (members, first) = self.around(answers, place);
        let at = members[place - first];
        let next = (members.get(place - first + 1).copied())
            .or_else(|| (place + 1 < answers.len()).then(|| self.around(answers, place + 1).0[0]));
        (at, next.unwrap_or(at))
    }

    /// The answers in the box of a place, in their order, and the place of the first of them.
    fn around(&self, answers: &[f64], place: usize) -> (Vec<f64>, usize) {
        let after = self
            .before
            .partition_point(|before| *before as usize <= place);
        let number = (after - 1) as u16;
        let mut members: Vec<f64> = answers
            .iter()
            .zip(&self.numbers)
            .filter(|(_, its)| **its == number)
            .map(|(answer, _)| *answer)
            .collect();
        members.sort_unstable_by(f64::total_cmp);
        (members, self.before[after - 1] as usize)
    }
}

/// The value that a share of the answers stays below; their order changes.
/// `None` without an answer or when one is not a number.
#[must_use]
pub fn quantile(answers: &mut [f64], share: f64) -> Option<f64> {
    quantiles(answers, [share]).map(|[value]| value)
}

/// How many in a hundred of the draws hold; `None` without a draw.
pub fn chance_percent(holds: impl IntoIterator<Item = bool>) -> Option<f64> {
    let mut draws = 0_u64;
    let mut held = 0_u64;
    for hold in holds {
        draws += 1;
        held += u64::from(hold);
    }
    (draws > 0).then(|| 100.0 * held as f64 / draws as f64)
}
