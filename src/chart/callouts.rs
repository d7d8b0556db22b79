//! Names in two columns beside a drawing, each with a line to what it names: as many rows as needed, none on another.

use super::ink::Ink;
use super::layout::Frame;
use super::lettering::fitted;
use super::piece_picture::name_style;
use super::sheet::{Point, Sheet};

/// Height of one name.
const ROW: f64 = 16.0;
/// Widest name before it is shortened.
const WIDEST: f64 = 190.0;
/// Between a name and the drawing.
const GAP: f64 = 26.0;

/// A name and the point it belongs to, in the units of the drawing.
#[derive(Debug, Clone)]
pub(super) struct Callout {
    text: String,
    anchor: Point,
    fault: bool,
}

impl Callout {
    pub(super) fn new(text: &str, anchor: Point, fault: bool) -> Self {
        Self {
            text: fitted(text, name_style(fault).size(), false, WIDEST),
            anchor,
            fault,
        }
    }
}

/// A name in its place.
#[derive(Debug, Clone)]
struct PlacedName {
    text: String,
    frame: Frame,
    from: Point,
    to: Point,
    right: bool,
    fault: bool,
}

/// All names of a drawing.
pub(super) struct Callouts {
    list: Vec<Callout>,
    placed: Vec<PlacedName>,
}

impl Callouts {
    pub(super) const fn new(list: Vec<Callout>) -> Self {
        Self {
            list,
            placed: Vec::new(),
        }
    }

    /// Width of one column with its gap.
    pub(super) fn column_width(&self) -> f64 {
        let widest = self
            .list
            .iter()
            .map(|callout| name_style(callout.fault).width(&callout.text))
            .fold(60.0, f64::max);
        // Room for a font that is wider than Helvetica.
        widest * 1.15 + GAP + 10.0
    }

    /// Height that the longer column takes.
    pub(super) fn height(&self) -> f64 {
        self.list.len().div_ceil(2) as f64 * ROW
    }

    /// Puts every name into a column: the left half of the anchors to the left, the rest to the right, top to bottom.
    pub(super) fn place(
        &mut self,
        left: f64,
        right: f64,
        top: f64,
        height: f64,
        px: impl Fn(Point) -> Point,
    ) {
        let anchors: Vec<Point> = self.list.iter().map(|callout| px(callout.anchor)).collect();
        let mut order: Vec<usize> = (0..anchors.len()).collect();
        order.sort_by(|a, b| anchors[*a].0.total_cmp(&anchors[*b].0).then(a.cmp(b)));
        let middle = f64::midpoint(left, right);
        let leftward = order
            .iter()
            .filter(|index| anchors[**index].0 < middle)
            .count();
        let most = self.list.len().div_ceil(2);
        let split = leftward.clamp(self.list.len() - most, most);
        for (column, to_right) in [(&order[..split], false), (&order[split..], true)] {
            let mut column = column.to_vec();
            column.sort_by(|a, b| anchors[*a].1.total_cmp(&anchors[*b].1).then(a.cmp(b)));
            let wanted: Vec<f64> = column.iter().map(|index| anchors[*index].1).collect();
            for (index, y) in column
                .iter()
                .zip(spread(&wanted, top + ROW / 2.0, top + height))
            {
                let callout = &self.list[*index];
                let width = name_style(callout.fault).width(&callout.text);
                let x = if to_right { right + GAP } else { left - GAP };
                let frame = Frame {
                    left: if to_right { x } else { x - width },
                    top: y - ROW / 2.0,
                    right: if to_right { x + width } else { x },
                    bottom: y + ROW / 2.0,
                };
                self.placed.push(PlacedName {
                    text: callout.text.clone(),
                    frame,
                    from: (if to_right { x - 4.0 } else { x + 4.0 }, y),
                    to: anchors[*index],
                    right: to_right,
                    fault: callout.fault,
                });
            }
        }
    }

    pub(super) fn draw(&self, sheet: &Sheet) {
        for name in &self.placed {
            sheet.path(Ink::Dimension, &[name.from, name.to]);
            sheet.dot(Ink::Arrow, name.to, 1.6);
        }
        for name in &self.placed {
            let style = name_style(name.fault).level();
            let middle = f64::midpoint(name.frame.top, name.frame.bottom);
            if name.right {
                sheet.text(style, &name.text, (name.frame.left, middle));
            } else {
                sheet.text(style.right(), &name.text, (name.frame.right, middle));
            }
        }
    }
}

/// Heights as near as may be to those wanted, in their order, a row apart and inside the ends.
fn spread(wanted: &[f64], top: f64, bottom: f64) -> Vec<f64> {
    let mut heights: Vec<f64> = Vec::with_capacity(wanted.len());
    for y in wanted {
        let above = heights.last().map_or(top, |last| last + ROW);
        heights.push(y.max(above));
    }
    let mut below = bottom - ROW / 2.0;
    for y in heights.iter_mut().rev() {
        *y = y.min(below);
        below = *y - ROW;
    }
    heights
}

#[cfg(test)]
mod tests {
    use super::{ROW, spread};

    #[test]
    fn names_keep_their_order_a_row_apart_and_inside_the_ends() {
        let wanted = [10.0, 10.0, 11.0, 300.0, 300.0];
        let placed = spread(&wanted, 8.0, 312.0);
        for pair in placed.windows(2) {
            assert!(pair[1] - pair[0] >= ROW - 1e-9, "{placed:?}");
        }
        assert!(placed[0] >= 8.0 && placed[4] <= 304.0 + 1e-9, "{placed:?}");
        // As many as there is room for fill it.
        let full = spread(&[0.0; 10], 8.0, 160.0);
        assert!(
            (full[0] - 8.0).abs() < 1e-9 && (full[9] - 152.0).abs() < 1e-9,
            "{full:?}"
        );
    }
}
