//! Whether a JPEG is whole: decoders paint grey over what is missing, and a picture cut short must not pass for one.

/// Goes from marker to marker and answers whether the end of the picture is reached. What may hang behind that is
/// not looked at.
pub(super) fn jpeg_is_whole(bytes: &[u8]) -> bool {
    let mut at = 2;
    let mut scanned = false;
    loop {
        // Between segments, and inside a scan, any run of fill bytes leads to the next marker.
        let Some(marker) = next_marker(bytes, &mut at) else {
            return false;
        };
        match marker {
            0xD9 => return scanned,
            // Markers that stand alone.
            0x01 | 0xD0..=0xD8 => {}
            _ => {
                let (Some(high), Some(low)) = (bytes.get(at), bytes.get(at + 1)) else {
                    return false;
                };
                at += usize::from(*high) * 256 + usize::from(*low);
                scanned |= marker == 0xDA;
            }
        }
    }
}

/// The next marker at or after a place; the place is then behind it. A stuffed zero is no marker.
fn next_marker(bytes: &[u8], at: &mut usize) -> Option<u8> {
    loop {
        let found = bytes.get(*at..)?.iter().position(|b| *b == 0xFF)?;
        *at += found + 1;
        match bytes.get(*at)? {
            0xFF => {}
            0x00 => *at += 1,
            marker => {
                *at += 1;
                return Some(*marker);
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::jpeg_is_whole;

    #[test]
    fn only_an_end_outside_of_a_segment_ends_a_picture() {
        let head = [0xFF, 0xD8, 0xFF, 0xE1, 0, 4, 0xFF, 0xD9, 0xFF, 0xDA, 0, 2];
        let scan = [1, 0xFF, 0, 2, 0xFF, 0xD0, 3];
        let end = [0xFF, 0xFF, 0xD9, 7];
        assert!(jpeg_is_whole(&[&head[..], &scan, &end].concat()));
        assert!(!jpeg_is_whole(&[&head[..], &scan].concat()));
        assert!(!jpeg_is_whole(&[0xFF, 0xD8, 0xFF, 0xD9]));
        assert!(!jpeg_is_whole(&head[..5]));
        assert!(!jpeg_is_whole(&[]));
    }
}
