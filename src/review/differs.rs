//! Two lists compared: which entries changed, came and went.

/// The places that differ, by the longest common run of what is the same: a removed and an added entry at one place
/// are one changed entry. Each pair is the place before and the place after. Cost: the product of the lengths.
///
/// # Examples
/// ```
/// use benchleaf::review::differences;
/// assert_eq!(differences(&["a", "c"], &["a", "b", "c"]), [(None, Some(1))]);
/// ```
pub fn differences<T: PartialEq>(old: &[T], new: &[T]) -> Vec<(Option<usize>, Option<usize>)> {
    let mut common = vec![vec![0_usize; new.len() + 1]; old.len() + 1];
    for a in (0..old.len()).rev() {
        for b in (0..new.len()).rev() {
            common[a][b] = if old[a] == new[b] {
                common[a + 1][b + 1] + 1
            } else {
                common[a + 1][b].max(common[a][b + 1])
            };
        }
    }
    let (mut a, mut b) = (0, 0);
    let mut out = Vec::new();
    let (mut gone, mut come) = (Vec::new(), Vec::new());
    loop {
        let both = a < old.len() && b < new.len();
        if (both && old[a] == new[b]) || (a == old.len() && b == new.len()) {
            let longest = gone.len().max(come.len());
            out.extend((0..longest).map(|at| (gone.get(at).copied(), come.get(at).copied())));
            gone.clear();
            come.clear();
            if !both {
                return out;
            }
            a += 1;
            b += 1;
        } else if b == new.len() || (a < old.len() && common[a + 1][b] >= common[a][b + 1]) {
            gone.push(a);
            a += 1;
        } else {
            come.push(b);
            b += 1;
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_stays_is_left_out_and_what_is_replaced_is_one_change() {
        let lines = |text: &str| text.split_whitespace().map(str::to_owned).collect::<Vec<_>>();
        let places = |old: &str, new: &str| differences(&lines(old), &lines(new));
        assert_eq!(places("a b c", "a b c"), []);
        assert_eq!(places("a b c", "a x c"), [(Some(1), Some(1))]);
        assert_eq!(places("a c", "a b c"), [(None, Some(1))]);
        assert_eq!(places("a b c", "b c"), [(Some(0), None)]);
        assert_eq!(places("", "a"), [(None, Some(0))]);
        assert_eq!(places("a b c d", "b x d e"), [(Some(0), None), (Some(2), Some(1)), (None, Some(3))]);
    }
}
