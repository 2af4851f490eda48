//! What changed from one text to the next, line by line.

/// A line of either text.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct Line {
    /// It went: it stands in the earlier text alone.
    pub(super) went: bool,
    /// It came: it stands in the later text alone.
    pub(super) came: bool,
    pub(super) words: String,
}

/// Both texts as one: lines that stayed, went and came, in their order.
pub(super) fn lines(earlier: &str, later: &str) -> Vec<Line> {
    let (a, b): (Vec<&str>, Vec<&str>) = (earlier.lines().collect(), later.lines().collect());
    // common[i][j]: how many lines a[i..] and b[j..] have in common, in order.
    let mut common = vec![vec![0_usize; b.len() + 1]; a.len() + 1];
    for i in (0..a.len()).rev() {
        for j in (0..b.len()).rev() {
            common[i][j] = if a[i] == b[j] {
                common[i + 1][j + 1] + 1
            } else {
                common[i + 1][j].max(common[i][j + 1])
            };
        }
    }
    let line = |words: &str, went: bool, came: bool| Line {
        went,
        came,
        words: words.to_owned(),
    };
    let (mut i, mut j, mut all) = (0, 0, Vec::new());
    while i < a.len() || j < b.len() {
        if i < a.len() && j < b.len() && a[i] == b[j] {
            all.push(line(a[i], false, false));
            (i, j) = (i + 1, j + 1);
        } else if j == b.len() || (i < a.len() && common[i + 1][j] >= common[i][j + 1]) {
            all.push(line(a[i], true, false));
            i += 1;
        } else {
            all.push(line(b[j], false, true));
            j += 1;
        }
    }
    all
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_line_that_was_written_anew_went_and_came() {
        let all = lines("# a\n- one\n- two\n", "# a\n- one\n- zwei\n- three\n");
        let marks: Vec<(&str, bool, bool)> = all
            .iter()
            .map(|l| (l.words.as_str(), l.went, l.came))
            .collect();
        assert_eq!(
            marks,
            [
                ("# a", false, false),
                ("- one", false, false),
                ("- two", true, false),
                ("- zwei", false, true),
                ("- three", false, true),
            ]
        );
    }

    #[test]
    fn the_same_text_has_not_changed() {
        assert!(lines("a\nb", "a\nb").iter().all(|l| !l.went && !l.came));
    }
}
