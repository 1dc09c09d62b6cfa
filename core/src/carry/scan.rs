//! A picture of a camera, looked through for codes.

use quircs::Quirc;

/// Pixels of a picture that is looked at, at the most: more than any camera is asked for.
const MOST_PIXELS: usize = 4_000_000;

/// The texts of the codes in a picture of gray values, row by row; none where it is no such picture.
///
/// Where a code is too small to be read, it is read in a picture twice as large, whose pixels lie between those that were
/// taken: from three pixels a square on that finds most of what the first look does not.
pub fn texts(gray: &[u8], width: usize) -> Vec<String> {
    let height = gray.len().checked_div(width).unwrap_or_default();
    if height == 0 || gray.len() != width * height || gray.len() > MOST_PIXELS {
        return Vec::new();
    }
    let found = look(gray, width, height);
    if found.is_empty() {
        look(&doubled(gray, width, height), 2 * width, 2 * height)
    } else {
        found
    }
}

fn look(gray: &[u8], width: usize, height: usize) -> Vec<String> {
    let mut finder = Quirc::default();
    let codes = finder.identify(width, height, gray);
    let read = codes.filter_map(|code| code.ok()?.decode().ok());
    read.filter_map(|code| String::from_utf8(code.payload).ok())
        .collect()
}

/// The picture with twice as many pixels each way, each weighed from the four around it.
fn doubled(gray: &[u8], width: usize, height: usize) -> Vec<u8> {
    // Of the two pixels about a new one's middle, the nearer counts thrice.
    let pair = |at: usize, end: usize| {
        let near = at / 2;
        let far = if at.is_multiple_of(2) {
            near.saturating_sub(1)
        } else {
            (near + 1).min(end - 1)
        };
        (near, far)
    };
    let mut large = Vec::with_capacity(4 * gray.len());
    for y in 0..2 * height {
        let (row, other) = pair(y, height);
        for x in 0..2 * width {
            let (column, beside) = pair(x, width);
            let at = |row: usize, column: usize| u32::from(gray[row * width + column]);
            let sum =
                9 * at(row, column) + 3 * (at(row, beside) + at(other, column)) + at(other, beside);
            large.push((sum / 16) as u8);
        }
    }
    large
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Verification, by hand: a new pixel is nine sixteenths of its own, three of each beside it and one across.
    #[test]
    fn a_picture_is_doubled_between_its_pixels() {
        let wanted = [0, 40, 120, 160];
        assert_eq!(doubled(&[0, 160, 0, 160], 2, 2), wanted.repeat(4));
        let turned: Vec<u8> = wanted.iter().flat_map(|gray| [*gray; 4]).collect();
        assert_eq!(doubled(&[0, 0, 160, 160], 2, 2), turned);
        // One pixel alone, across from the others: 1, 3 and 9 sixteenths of it.
        let corner = doubled(&[0, 0, 0, 160], 2, 2);
        assert_eq!(
            (corner[5], corner[6], corner[9], corner[10]),
            (10, 30, 30, 90)
        );
        assert_eq!(doubled(&[7; 6], 3, 2), [7; 24]);
    }
}
