//! What carries a car from phone to phone, against its standards and against programs of other hands.

use laneside_core::car::demo;
use laneside_core::carry::code::{Code, QUIET};
use laneside_core::carry::parts::{Collected, PIECE, split};
use laneside_core::carry::{base45, scan};
use serde_json::Value;

const CODES: &str = include_str!("../fixtures/codes.json");

/// A code's squares as a picture of gray values, `scale` pixels a square, turned by some degrees, on a gray ground.
fn picture(
    size: usize,
    dark: impl Fn(usize, usize) -> bool,
    scale: f64,
    degrees: f64,
) -> (Vec<u8>, usize) {
    let side = ((size + 2 * QUIET) as f64 * scale * 1.5) as usize;
    let middle = side as f64 / 2.0;
    let (sin, cos) = degrees.to_radians().sin_cos();
    let square = |x: f64, y: f64| {
        let (x, y) = (x - middle, y - middle);
        let (x, y) = (x * cos + y * sin, y * cos - x * sin);
        let half = size as f64 / 2.0;
        let (column, row) = (x / scale + half, y / scale + half);
        let quiet = QUIET as f64;
        let end = size as f64;
        if [column, row]
            .iter()
            .any(|at| *at < -quiet || *at >= end + quiet)
        {
            return 130.0;
        }
        let is_in = [column, row].iter().all(|at| (0.0..end).contains(at));
        if is_in && dark(column as usize, row as usize) {
            20.0
        } else {
            235.0
        }
    };
    let mut gray = Vec::with_capacity(side * side);
    for y in 0..side {
        for x in 0..side {
            // Four samples a pixel: edges are as soft as a camera's.
            let sum: f64 = [(0.25, 0.25), (0.75, 0.25), (0.25, 0.75), (0.75, 0.75)]
                .iter()
                .map(|(dx, dy)| square(x as f64 + dx, y as f64 + dy))
                .sum();
            gray.push((sum / 4.0) as u8);
        }
    }
    (gray, side)
}

/// Validation. Source: RFC 9285, sections 4.3 and 4.4 (the examples of encoding and decoding).
#[test]
fn base45_is_that_of_its_standard() {
    for (bytes, text) in [
        ("AB", "BB8"),
        ("Hello!!", "%69 VD92EX0"),
        ("base-45", "UJCLQE7W581"),
        ("ietf!", "QED8WEX0"),
    ] {
        assert_eq!(base45::encode(bytes.as_bytes()), text);
        assert_eq!(base45::decode(text).as_deref(), Some(bytes.as_bytes()));
    }
    // Section 4.2: what is above 65535, of another alphabet or of no length that is written is an error.
    for bad in [":::", "GGW", "a", "A", "::", "BB8!", "BB8A"] {
        assert_eq!(base45::decode(bad), None, "{bad}");
    }
    // FGW is the largest of three characters: 65535.
    assert_eq!(base45::decode("FGW"), Some(vec![255, 255]));
}

/// Validation. Source: codes by `segno` (BSD licence), by `tests/fixtures/make_codes.py`. Straight and turned, large and small.
#[test]
fn codes_of_another_encoder_are_read() {
    let fixture: Value = serde_json::from_str(CODES).unwrap();
    let codes = fixture["codes"].as_array().unwrap();
    assert_eq!(codes.len(), 5);
    let mut collected = Collected::default();
    let mut whole = None;
    for code in codes {
        let rows: Vec<&[u8]> = code["rows"]
            .as_array()
            .unwrap()
            .iter()
            .map(|row| row.as_str().unwrap().as_bytes())
            .collect();
        let text = code["text"].as_str().unwrap();
        // The smallest codes, which are not this app's, only from nearby.
        let least = if rows.len() < 40 { 8.0 } else { 4.0 };
        for (scale, degrees) in [(1.0, 0.0), (1.0, 7.0), (1.4, -30.0), (1.0, 180.0)] {
            let scale = least * scale;
            let (gray, side) = picture(rows.len(), |x, y| rows[y][x] == b'1', scale, degrees);
            assert_eq!(
                scan::texts(&gray, side),
                [text],
                "{scale} px, {degrees} degrees"
            );
        }
        if text.starts_with("LS1:") {
            whole = collected.take(text).unwrap();
        }
    }
    let hex: String = whole
        .unwrap()
        .iter()
        .map(|byte| format!("{byte:02x}"))
        .collect();
    assert_eq!(hex, fixture["data"].as_str().unwrap());
}

/// Verification, the reader (`quircs`) being of other hands than the writer (`qrcodegen`): every code that is shown is read
/// back, at the four pixels a square that a phone's camera has of another's screen.
#[test]
fn every_code_that_is_shown_is_read() {
    let file = demo::nettle().to_short_file().unwrap();
    let texts = split(file.as_bytes()).unwrap();
    assert!(texts.len() > 4, "several codes");
    let mut collected = Collected::default();
    let mut whole = None;
    for text in &texts {
        let code = Code::of_part(text).unwrap();
        assert_eq!(code.size, 73, "version 14");
        let dark = |x: usize, y: usize| code.dark[y * code.size + x];
        let (gray, side) = picture(code.size, dark, 4.0, 4.0);
        assert_eq!(scan::texts(&gray, side), std::slice::from_ref(text));
        whole = collected.take(text).unwrap();
    }
    assert_eq!(whole.as_deref(), Some(file.as_bytes()));
}

/// Verification: the fullest piece fits its code, and a link that is too long for one is none.
#[test]
fn the_largest_piece_fits() {
    let full = split(&vec![0xA5; PIECE]).unwrap();
    assert_eq!(full.len(), 1);
    assert_eq!(Code::of_part(&full[0]).unwrap().size, 73);
    assert!(Code::of_link(&"a".repeat(1_200)).is_some());
    assert!(Code::of_link(&"a".repeat(1_400)).is_none());
    assert!(Code::of_part("lower case is not packed").is_none());
}

/// Verification: nothing in a picture is no code, and no picture is none either.
#[test]
fn a_picture_of_nothing_holds_nothing() {
    assert!(scan::texts(&[], 0).is_empty());
    assert!(scan::texts(&[0; 100], 0).is_empty());
    assert!(scan::texts(&[0; 100], 7).is_empty());
    for gray in [0, 128, 255] {
        assert!(scan::texts(&[gray; 640 * 480], 640).is_empty());
    }
    let mut seed = 1_u32;
    let mut noise = || {
        seed = seed.wrapping_mul(1_664_525).wrapping_add(1_013_904_223);
        (seed >> 24) as u8
    };
    let gray: Vec<u8> = (0..320 * 240).map(|_| noise()).collect();
    assert!(scan::texts(&gray, 320).is_empty());
}
