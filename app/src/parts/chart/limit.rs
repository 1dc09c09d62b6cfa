//! Where the words of a limit go: inside the hatching where they hide least.

use super::place::Rect;

/// Room around the words, in CSS pixels.
pub const GAP: f64 = 4.0;

/// What it costs to cover other words: more than all else together.
pub const HIDDEN: usize = 10_000;

/// A stack of rows that looks for a place.
pub struct Words {
    /// Width of the widest row.
    pub w: f64,
    /// Height of all rows.
    pub h: f64,
}

/// Picks the place for a limit's words within `area`, next to the limit that begins at height `at`
/// and is certain from `certain`: above the limit if they fit, left before right before middle, and wherever they cover the fewest lines.
/// They never cover words already placed unless there is no room at all. Returns the place and
/// what it costs, to be weighed against other ways to break the rows.
pub fn place_words(
    words: &Words,
    area: &Rect,
    (at, certain): (f64, f64),
    lines: &[Vec<(f64, f64)>],
    taken: &[Rect],
) -> (Rect, usize) {
    let columns = [
        area.x + GAP,
        area.right() - GAP - words.w,
        area.x + (area.w - words.w) / 2.0,
    ];
    let top = area.y + GAP;
    let lowest = area.bottom() - GAP - words.h;
    let mut rows = vec![
        top,
        at - GAP - words.h,
        at + GAP,
        (top + lowest) / 2.0,
        lowest,
    ];
    rows.extend(taken.iter().map(|other| other.bottom() + GAP));
    let mut best = Rect {
        x: columns[0],
        y: top,
        w: words.w,
        h: words.h,
    };
    let mut least = usize::MAX;
    for (rank, &y) in rows.iter().enumerate() {
        if y < area.y || y > lowest.max(top) {
            continue;
        }
        for (column, &x) in columns.iter().enumerate() {
            let place = Rect { x, y, ..best };
            let covered = lines.iter().filter(|line| crosses(line, &place)).count();
            let hidden = taken.iter().filter(|other| other.meets(&place)).count();
            let below = if y + words.h > at && at > area.y {
                // Far from the hatching, words no longer say what it is.
                10 + ((y - at).max(0.0) / 2.0) as usize
            } else {
                0
            };
            let edges = [at, certain].map(|edge| usize::from(y < edge && edge < y + words.h));
            let cost = HIDDEN * hidden
                + 100 * covered
                + 10 * (edges[0] + edges[1])
                + below
                + 3 * column
                + rank;
            if cost < least {
                least = cost;
                best = place;
            }
        }
    }
    (best, least)
}

/// Whether a line with ascending x passes through a rectangle.
fn crosses(line: &[(f64, f64)], place: &Rect) -> bool {
    line.windows(2).any(|pair| {
        let (a, b) = (pair[0], pair[1]);
        let from = a.0.max(place.x);
        let to = b.0.min(place.right());
        if from > to {
            return false;
        }
        let height = |x: f64| {
            if b.0 > a.0 {
                a.1 + (b.1 - a.1) * (x - a.0) / (b.0 - a.0)
            } else {
                a.1
            }
        };
        let (first, last) = (height(from), height(to));
        first.min(last) < place.bottom() && first.max(last) > place.y
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    const AREA: Rect = Rect {
        x: 50.0,
        y: 0.0,
        w: 200.0,
        h: 150.0,
    };
    const WORDS: Words = Words { w: 80.0, h: 18.0 };

    #[test]
    fn words_go_to_the_upper_left_of_a_free_hatching() {
        let rising = vec![(50.0, 150.0), (250.0, 10.0)];
        let place = place_words(&WORDS, &AREA, (40.0, 40.0), &[rising], &[]).0;
        assert_eq!((place.x, place.y), (54.0, 4.0));
    }

    #[test]
    fn words_give_way_to_a_line() {
        let falling = vec![(50.0, 10.0), (250.0, 150.0)];
        let place = place_words(
            &WORDS,
            &AREA,
            (40.0, 40.0),
            std::slice::from_ref(&falling),
            &[],
        )
        .0;
        assert!(!crosses(&falling, &place));
        assert!(place.x > 100.0);
    }

    #[test]
    fn two_limits_do_not_cover_each_other() {
        let first = place_words(&WORDS, &AREA, (30.0, 30.0), &[], &[]).0;
        let second = place_words(&WORDS, &AREA, (34.0, 34.0), &[], &[first]).0;
        assert!(!first.meets(&second));
    }
}
