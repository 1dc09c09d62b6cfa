//! Sorting of short lists.

use std::cmp::Ordering;

/// Sorts a short list; what compares equal stays in its order.
///
/// By insertion: quick enough for some dozens of entries or for what is nearly in order. The
/// standard library's sort is made for long lists and brings several kilobytes of code for each
/// type of entry, which the phone would have to download.
pub fn sort_short<T>(list: &mut [T], order: impl Fn(&T, &T) -> Ordering) {
    for end in 1..list.len() {
        let mut at = end;
        while let Some([before, this]) = at.checked_sub(1).and_then(|from| list.get_mut(from..=at))
            && order(this, before).is_lt()
        {
            std::mem::swap(before, this);
            at -= 1;
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn sorts_as_the_standard_library_does() {
        let mut list: Vec<(u32, usize)> = (0..60).map(|at| (at * 37 % 11, at as usize)).collect();
        for end in 0..list.len() {
            let (mut found, mut wanted) = (list[..end].to_vec(), list[..end].to_vec());
            sort_short(&mut found, |a, b| a.0.cmp(&b.0));
            wanted.sort_by_key(|entry| entry.0);
            assert_eq!(found, wanted);
        }
        list.reverse();
        sort_short(&mut list, |a, b| a.0.cmp(&b.0));
        assert!(
            list.windows(2)
                .all(|two| (two[0].0, two[1].1) <= (two[1].0, two[0].1))
        );
    }
}
