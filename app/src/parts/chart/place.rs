//! Where text goes: wrapping it, and keeping labels apart.

/// A rectangle in CSS pixels.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Rect {
    /// Left edge.
    pub x: f64,
    /// Top edge.
    pub y: f64,
    /// Width.
    pub w: f64,
    /// Height.
    pub h: f64,
}

impl Rect {
    /// Right edge.
    pub fn right(&self) -> f64 {
        self.x + self.w
    }

    /// Bottom edge.
    pub fn bottom(&self) -> f64 {
        self.y + self.h
    }

    /// Whether the two share any area.
    pub fn meets(&self, other: &Self) -> bool {
        self.x < other.right()
            && other.x < self.right()
            && self.y < other.bottom()
            && other.y < self.bottom()
    }
}

/// Something that wants to be centered at `at` and takes `size` along one direction.
#[derive(Clone, Copy, Debug)]
pub struct Wish {
    /// Where its center would best be.
    pub at: f64,
    /// The room it takes.
    pub size: f64,
}

/// The order that makes values ascend; equal ones keep theirs.
///
/// By insertion: there are few, and a library sort is several kilobytes on the phone's way.
pub fn ascending(values: impl Iterator<Item = f64>) -> Vec<usize> {
    let values: Vec<f64> = values.collect();
    let mut order = Vec::with_capacity(values.len());
    for (index, value) in values.iter().enumerate() {
        let at = order.partition_point(|&before: &usize| values[before] <= *value);
        order.insert(at, index);
    }
    order
}

/// Moves the centers apart so that none overlap, keeping their order and moving them as little as
/// possible in the sense of least squares (pool adjacent violators), all between `lo` and `hi`.
/// When they do not fit they start at `lo` and run past `hi`.
pub fn apart(wishes: &[Wish], lo: f64, hi: f64) -> Vec<f64> {
    struct Block {
        start: f64,
        size: f64,
        // Sum over the members of the start that each would choose for the whole block.
        wanted: f64,
        count: usize,
    }
    impl Block {
        fn settle(&mut self, lo: f64, hi: f64) {
            self.start = (self.wanted / self.count as f64)
                .min(hi - self.size)
                .max(lo);
        }
    }

    let order = ascending(wishes.iter().map(|wish| wish.at));
    let mut blocks: Vec<Block> = Vec::with_capacity(order.len());
    for &index in &order {
        let wish = wishes[index];
        let mut block = Block {
            start: 0.0,
            size: wish.size,
            wanted: wish.at - wish.size / 2.0,
            count: 1,
        };
        block.settle(lo, hi);
        while let Some(before) = blocks.pop_if(|b| b.start + b.size > block.start) {
            block = Block {
                start: 0.0,
                size: before.size + block.size,
                wanted: before.wanted + block.wanted - before.size * block.count as f64,
                count: before.count + block.count,
            };
            block.settle(lo, hi);
        }
        blocks.push(block);
    }

    let mut centers = vec![0.0; wishes.len()];
    let mut members = order.into_iter();
    for block in blocks {
        let mut edge = block.start;
        for index in members.by_ref().take(block.count) {
            centers[index] = edge + wishes[index].size / 2.0;
            edge += wishes[index].size;
        }
    }
    centers
}

/// Breaks text into rows no wider than `width`: at spaces (not at no-break spaces), and inside a
/// word that is wider alone.
pub fn wrap(text: &str, width: f64, measure: &mut dyn FnMut(&str) -> f64) -> Vec<String> {
    let mut rows: Vec<String> = Vec::new();
    let mut row = String::new();
    for word in text.split(' ').filter(|word| !word.is_empty()) {
        let joined = if row.is_empty() {
            word.to_owned()
        } else {
            format!("{row} {word}")
        };
        if measure(&joined) <= width {
            row = joined;
            continue;
        }
        if !row.is_empty() {
            rows.push(std::mem::take(&mut row));
        }
        for letter in word.chars() {
            row.push(letter);
            if row.chars().nth(1).is_some() && measure(&row) > width {
                row.pop();
                rows.push(std::mem::take(&mut row));
                row.push(letter);
            }
        }
    }
    if !row.is_empty() {
        rows.push(row);
    }
    rows
}

#[cfg(test)]
mod tests {
    use super::*;

    fn wishes(at: &[f64], size: f64) -> Vec<Wish> {
        at.iter().map(|&at| Wish { at, size }).collect()
    }

    #[test]
    fn labels_that_do_not_touch_stay_where_they_are() {
        assert_eq!(
            apart(&wishes(&[50.0, 20.0], 10.0), 0.0, 100.0),
            vec![50.0, 20.0]
        );
    }

    #[test]
    fn labels_at_one_height_share_the_move() {
        assert_eq!(
            apart(&wishes(&[50.0, 50.0, 50.0], 10.0), 0.0, 100.0),
            vec![40.0, 50.0, 60.0]
        );
    }

    #[test]
    fn labels_stay_between_the_ends() {
        assert_eq!(
            apart(&wishes(&[100.0, 100.0, 2.0], 10.0), 0.0, 100.0),
            vec![85.0, 95.0, 5.0]
        );
    }

    #[test]
    fn none_overlap_and_the_order_is_kept() {
        // A fixed linear congruential sequence: arbitrary, but the same at every run.
        let mut state = 12_345_u32;
        let mut next = || {
            state = state.wrapping_mul(1_664_525).wrapping_add(1_013_904_223);
            f64::from(state >> 8) / f64::from(1_u32 << 24)
        };
        for _ in 0..500 {
            let wishes: Vec<Wish> = (0..8)
                .map(|_| Wish {
                    at: 200.0 * next(),
                    size: 5.0 + 15.0 * next(),
                })
                .collect();
            let centers = apart(&wishes, 0.0, 200.0);
            let mut sorted: Vec<usize> = (0..wishes.len()).collect();
            sorted.sort_by(|&a, &b| wishes[a].at.total_cmp(&wishes[b].at));
            let mut edge = -1e-9;
            for index in sorted {
                let half = wishes[index].size / 2.0;
                assert!(centers[index] - half >= edge - 1e-9);
                edge = centers[index] + half;
            }
            assert!(edge <= 200.0 + 1e-9);
        }
    }

    #[test]
    fn text_is_wrapped_and_no_letter_is_lost() {
        let mut measure = |text: &str| text.chars().count() as f64;
        assert_eq!(wrap("on car 2 1/4", 20.0, &mut measure), ["on car 2 1/4"]);
        assert_eq!(wrap("on car 2 1/4", 7.0, &mut measure), ["on car", "2 1/4"]);
        assert_eq!(
            wrap("a headlampswitch b", 6.0, &mut measure),
            ["a", "headla", "mpswit", "ch b"]
        );
        assert_eq!(wrap("ab", 0.5, &mut measure), ["a", "b"]);
        assert_eq!(
            wrap("on car 2\u{a0}1/4", 8.0, &mut measure),
            ["on car", "2\u{a0}1/4"]
        );
        assert!(wrap("  ", 5.0, &mut measure).is_empty());
    }
}
