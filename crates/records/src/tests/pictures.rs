//! Pictures: what is taken in, what is refused, and that what is kept can be told from what was altered.

use std::io::Cursor;

use image::{DynamicImage, ImageFormat, Rgb, RgbImage};

use super::book::{bare, book};
use super::fresh;
use crate::pictures::{self, ComingIn, NewPicture, Of, Shelved, Unfit};
use crate::{Day, JobId, PictureId, Store, backup, doctor, log};

/// A picture of some size, its left half red and its right half blue.
fn halves(width: u32, height: u32) -> DynamicImage {
    let at = |x, _| {
        if x < width / 2 {
            Rgb([200, 0, 0])
        } else {
            Rgb([0, 0, 200])
        }
    };
    DynamicImage::ImageRgb8(RgbImage::from_fn(width, height, at))
}

fn encoded(picture: &DynamicImage, format: ImageFormat) -> Vec<u8> {
    let mut bytes = Cursor::new(Vec::new());
    picture.write_to(&mut bytes, format).unwrap();
    bytes.into_inner()
}

/// A JPEG with metadata as a phone writes it: orientation, a place on the earth, the maker.
pub(super) fn from_a_phone(width: u32, height: u32, orientation: u8) -> Vec<u8> {
    let plain = encoded(&halves(width, height), ImageFormat::Jpeg);
    let mut tiff = b"II*\0\x08\0\0\0".to_vec();
    tiff.extend([3, 0]);
    // Maker (text at 50), orientation, and the way to the place (at 60).
    tiff.extend([0x0F, 1, 2, 0, 10, 0, 0, 0, 50, 0, 0, 0]);
    tiff.extend([0x12, 1, 3, 0, 1, 0, 0, 0, orientation, 0, 0, 0]);
    tiff.extend([0x25, 0x88, 4, 0, 1, 0, 0, 0, 60, 0, 0, 0]);
    tiff.extend([0, 0, 0, 0]);
    tiff.extend(b"SECRETCAM\0");
    // One entry of the place: north.
    tiff.extend([1, 0, 1, 0, 2, 0, 2, 0, 0, 0, b'N', 0, 0, 0, 0, 0, 0, 0]);
    let mut segment = b"Exif\0\0".to_vec();
    segment.extend(tiff);
    let length = u16::try_from(segment.len() + 2).unwrap().to_be_bytes();
    [&plain[..2], &[0xFF, 0xE1], &length, &segment, &plain[2..]].concat()
}

/// A PNG whose header promises this many pixels, with next to nothing behind it.
fn promising(width: u32, height: u32) -> Vec<u8> {
    let mut bytes = encoded(&halves(8, 8), ImageFormat::Png);
    bytes[16..20].copy_from_slice(&width.to_be_bytes());
    bytes[20..24].copy_from_slice(&height.to_be_bytes());
    let sum = crc(&bytes[12..29]).to_be_bytes();
    bytes[29..33].copy_from_slice(&sum);
    bytes
}

fn crc(bytes: &[u8]) -> u32 {
    !bytes.iter().fold(u32::MAX, |sum, byte| {
        (0..8).fold(sum ^ u32::from(*byte), |s, _| {
            (s >> 1) ^ (0xEDB8_8320 & 0u32.wrapping_sub(s & 1))
        })
    })
}

async fn shelve(store: &Store, bytes: &[u8]) -> Result<Shelved, Unfit> {
    let file = ComingIn::new(store.folder()).unwrap();
    std::fs::write(file.path(), bytes).unwrap();
    pictures::shelve(store.folder(), file).await.unwrap()
}

async fn keep(store: &Store, job: JobId, caption: &'static str) -> PictureId {
    let shelved = shelve(store, &encoded(&halves(640, 480), ImageFormat::Jpeg))
        .await
        .unwrap();
    store
        .write("Ada", move |w| {
            Box::pin(async move {
                let new = NewPicture {
                    of: Of::Job,
                    subject_id: job.get(),
                    job: None,
                    caption: caption.into(),
                    taken_on: Day::read("2026-11-03").unwrap(),
                    shelved,
                };
                pictures::make(w, &new).await
            })
        })
        .await
        .unwrap()
}

async fn one_picture() -> (tempfile::TempDir, Store, pictures::Picture) {
    let (folder, store) = fresh().await;
    let job = book(&store, bare()).await.unwrap();
    let id = keep(&store, job, "the crown").await;
    let picture = pictures::find(&store, id).await.unwrap();
    (folder, store, picture)
}

#[tokio::test]
async fn a_picture_is_kept_upright_in_two_sizes_without_what_the_phone_wrote() {
    let (_folder, store) = fresh().await;
    let job = book(&store, bare()).await.unwrap();
    // Lying on its side: the left of what is stored is the top of what was seen.
    let sent = from_a_phone(3000, 2000, 6);
    assert!(sent.windows(4).any(|w| w == b"Exif"));
    let shelved = shelve(&store, &sent).await.unwrap();
    let id = store
        .write("Ada", move |w| {
            Box::pin(async move {
                let new = NewPicture {
                    of: Of::Job,
                    subject_id: job.get(),
                    job: None,
                    caption: String::new(),
                    taken_on: Day::read("2026-11-03").unwrap(),
                    shelved,
                };
                pictures::make(w, &new).await
            })
        })
        .await
        .unwrap();
    let kept = pictures::find(&store, id).await.unwrap();
    assert_eq!((kept.width, kept.height), (1067, 1600));
    assert_eq!((kept.small_width, kept.small_height), (214, 320));
    assert_eq!(kept.says(), "the job");
    for hash in [&kept.page_sha256, &kept.small_sha256] {
        let path = pictures::file(&store, hash).await.unwrap();
        let bytes = std::fs::read(path).unwrap();
        assert_eq!(&crate::sha256(&bytes), hash);
        for secret in [b"Exif".as_slice(), b"SECRETCAM", b"http"] {
            assert!(!bytes.windows(secret.len()).any(|w| w == secret));
        }
        let seen = image::load_from_memory(&bytes).unwrap().to_rgb8();
        let (top, bottom) = (
            seen.get_pixel(50, 20),
            seen.get_pixel(50, seen.height() - 20),
        );
        assert!(top.0[0] > 150 && bottom.0[2] > 150, "{top:?} {bottom:?}");
    }
    assert!(
        std::fs::read_dir(store.folder().join("pictures/coming-in"))
            .unwrap()
            .next()
            .is_none(),
        "nothing of the file itself is left"
    );
}

#[tokio::test]
async fn png_and_webp_are_taken_and_what_is_seen_through_lies_on_white() {
    let (_folder, store) = fresh().await;
    let clear = DynamicImage::new_rgba8(40, 30);
    for format in [ImageFormat::Png, ImageFormat::WebP] {
        let shelved = shelve(&store, &encoded(&clear, format)).await.unwrap();
        let shown = format!("{shelved:?}");
        let hash = shown.split('"').nth(1).unwrap();
        let bytes = std::fs::read(pictures::path_of(&store, hash)).unwrap();
        let seen = image::load_from_memory(&bytes).unwrap().to_rgb8();
        assert_eq!(seen.dimensions(), (40, 30));
        assert!(seen.get_pixel(5, 5).0.iter().all(|c| *c > 250));
    }
}

/// Sixty files that are no pictures, or cannot be opened, or promise too much. None is taken in.
fn hostile() -> Vec<(String, Vec<u8>)> {
    let jpeg = encoded(&halves(200, 150), ImageFormat::Jpeg);
    let png = encoded(&halves(200, 150), ImageFormat::Png);
    let webp = encoded(&halves(200, 150), ImageFormat::WebP);
    let mut all: Vec<(String, Vec<u8>)> = Vec::new();
    let mut add = |name: &str, bytes: &[u8]| all.push((name.to_owned(), bytes.to_vec()));
    add("nothing", b"");
    add(
        "svg",
        b"<svg xmlns=\"http://www.w3.org/2000/svg\"><script>alert(1)</script></svg>",
    );
    add("html", b"<!doctype html><script>alert(1)</script>");
    add("pdf", b"%PDF-1.7\n1 0 obj\n");
    add("heic", b"\0\0\0\x18ftypheic\0\0\0\0mif1heic");
    add("avif", b"\0\0\0\x18ftypavif\0\0\0\0mif1avif");
    add("gif", b"GIF89a\x01\0\x01\0\x80\0\0\0\0\0\xff\xff\xff!\xf9\x04\x01\0\0\0\0,\0\0\0\0\x01\0\x01\0\0\x02\x02D\x01\0;");
    add("bmp", b"BM\x46\0\0\0\0\0\0\0\x36\0\0\0");
    add("tiff", b"II*\0\x08\0\0\0\0\0");
    add("zip", b"PK\x03\x04\x14\0\0\0");
    add("program", b"\x7fELF\x02\x01\x01\0");
    add("sound in a riff", b"RIFF\x24\0\0\0WAVEfmt ");
    add("gif before a jpeg", &[b"GIF89a".as_slice(), &jpeg].concat());
    add(
        "script before a jpeg",
        &[b"#!/bin/sh\n".as_slice(), &jpeg].concat(),
    );
    add(
        "html in a jpeg's coat",
        b"\xFF\xD8\xFF\xE0<html><script>alert(1)</script></html>",
    );
    add(
        "svg in a png's coat",
        b"\x89PNG\r\n\x1a\n<svg onload=alert(1)></svg>",
    );
    add("html in a webp's coat", b"RIFF\xff\0\0\0WEBP<html></html>");
    add("first bytes of a jpeg", b"\xFF\xD8\xFF");
    add("first bytes of a png", b"\x89PNG\r\n\x1a\n");
    add("a jpeg of its end alone", b"\xFF\xD8\xFF\xD9");
    for (width, height) in [
        (60_000, 60_000),
        (12_001, 10),
        (10, 12_001),
        (12_000, 12_000),
        (7_100, 7_100),
        (u32::MAX, u32::MAX),
        (0, 10),
        (10, 0),
        (i32::MAX as u32, 1),
    ] {
        add(
            &format!("png promising {width} by {height}"),
            &promising(width, height),
        );
    }
    // A JPEG's frame header may promise as much.
    for side in [60_000u16, 12_001, 65_535] {
        let mut bomb = jpeg.clone();
        let frame = bomb.windows(2).position(|w| w == [0xFF, 0xC0]).unwrap();
        bomb[frame + 5..frame + 7].copy_from_slice(&side.to_be_bytes());
        bomb[frame + 7..frame + 9].copy_from_slice(&side.to_be_bytes());
        add(&format!("jpeg promising {side} a side"), &bomb);
    }
    for part in 1..10 {
        for (kind, whole) in [("png", &png), ("webp", &webp)] {
            add(
                &format!("{part} tenths of a {kind}"),
                &whole[..whole.len() * part / 10],
            );
        }
    }
    for part in 1..6 {
        add(
            &format!("{part} tenths of a jpeg"),
            &jpeg[..jpeg.len() * part / 10],
        );
    }
    let mut spoilt = png.clone();
    spoilt[60] ^= 0xFF;
    add("a png with a spoilt byte", &spoilt);
    add(
        "a png without its picture",
        &[&png[..33], &png[png.len() - 12..]].concat(),
    );
    add("text", "just words".as_bytes());
    add("dots", &[0; 4096]);
    add("sixteen-bit promise", &{
        let mut deep = promising(6_500, 6_500);
        deep[24] = 16;
        deep[25] = 6;
        let sum = crc(&deep[12..29]).to_be_bytes();
        deep[29..33].copy_from_slice(&sum);
        deep
    });
    all
}

#[tokio::test]
async fn no_hostile_file_is_taken_in() {
    let (_folder, store) = fresh().await;
    let corpus = hostile();
    assert!(corpus.len() >= 60, "only {} files", corpus.len());
    let mut accepted = Vec::new();
    for (name, bytes) in &corpus {
        if shelve(&store, bytes).await.is_ok() {
            accepted.push(name.clone());
        }
    }
    println!(
        "hostile pictures: {} files, accepted {}",
        corpus.len(),
        accepted.len()
    );
    assert_eq!(accepted, [""; 0]);
    let shelf = std::fs::read_dir(store.folder().join("pictures")).unwrap();
    let left: Vec<_> = shelf.map(|e| e.unwrap().file_name()).collect();
    assert_eq!(left, ["coming-in"], "nothing of them is on the shelf");
}

#[tokio::test]
async fn what_hangs_behind_a_picture_is_not_kept() {
    let (_folder, store) = fresh().await;
    let jpeg = encoded(&halves(200, 150), ImageFormat::Jpeg);
    let behind = b"PK\x03\x04<script>alert(1)</script>";
    let both = [jpeg.as_slice(), behind].concat();
    let plain = shelve(&store, &jpeg).await.unwrap();
    // The same picture, dot for dot, is the same file: nothing of what hung behind it is in it.
    assert_eq!(shelve(&store, &both).await.unwrap(), plain);
}

#[tokio::test]
async fn only_what_a_row_names_is_answered_with() {
    let (folder, store, picture) = one_picture().await;
    assert!(pictures::file(&store, &picture.small_sha256).await.is_ok());
    let stray = crate::sha256(b"stray");
    std::fs::create_dir_all(folder.path().join("pictures").join(&stray[..2])).unwrap();
    std::fs::write(
        folder
            .path()
            .join(format!("pictures/{}/{stray}.jpg", &stray[..2])),
        b"stray",
    )
    .unwrap();
    for name in [stray.as_str(), "../gaugeglass", "..%2f..", ""] {
        assert!(pictures::file(&store, name).await.is_err(), "{name}");
    }
}

#[tokio::test]
async fn a_missing_or_altered_picture_is_named_by_verify_doctor_and_backup() {
    let (folder, store, picture) = one_picture().await;
    let line = log::verify::verify(&store, None).await.unwrap().line();
    assert_eq!(line, "verify: 0 trials, 0 entries, 1 pictures, OK");
    let path = pictures::path_of(&store, &picture.page_sha256);
    let whole = std::fs::read(&path).unwrap();
    let name = format!(
        "pictures/{}/{}.jpg",
        &picture.page_sha256[..2],
        picture.page_sha256
    );
    let into = tempfile::tempdir().unwrap();
    for (wrong, says) in [(Some(()), "has been altered"), (None, "is missing")] {
        match wrong {
            Some(()) => {
                let mut spoilt = whole.clone();
                spoilt[700] ^= 1;
                std::fs::write(&path, spoilt).unwrap();
            }
            None => std::fs::remove_file(&path).unwrap(),
        }
        let expected = format!("{name} {says} (picture 1, of a job, the crown)");
        let report = log::verify::verify(&store, None).await.unwrap();
        assert_eq!(report.faults, std::slice::from_ref(&expected));
        let checks = doctor::look(folder.path()).await.unwrap();
        let chains = checks.iter().find(|c| c.what == "chains").unwrap();
        assert_eq!(chains.found, "verify: 0 trials, 0 entries, OK");
        let check = checks.iter().find(|c| c.what == "pictures").unwrap();
        assert_eq!(
            (check.good, check.found.as_str()),
            (false, expected.as_str())
        );
        let copy = backup::make(folder.path(), into.path()).await.unwrap();
        assert_eq!(copy.faults, [expected]);
    }
}

#[tokio::test]
async fn pictures_go_with_a_backup_and_come_back() {
    let (folder, store, picture) = one_picture().await;
    let into = tempfile::tempdir().unwrap();
    let copy = backup::make(folder.path(), into.path()).await.unwrap();
    assert_eq!((copy.pictures, copy.faults.len()), (1, 0));
    // The files beside the backup lie there once, however often a backup is made.
    backup::make(folder.path(), into.path()).await.unwrap();
    store.close().await;
    drop(store);
    let other = tempfile::tempdir().unwrap();
    let back = backup::restore(&copy.path, other.path()).await.unwrap();
    assert_eq!((back.pictures, back.faults.len()), (1, 0));
    let restored = Store::open(other.path()).await.unwrap();
    let path = pictures::file(&restored, &picture.page_sha256)
        .await
        .unwrap();
    assert_eq!(
        crate::sha256(&std::fs::read(path).unwrap()),
        picture.page_sha256
    );
    // A backup whose picture was altered says which.
    let shelved = into.path().join(format!(
        "pictures/{}/{}.jpg",
        &picture.page_sha256[..2],
        picture.page_sha256
    ));
    std::fs::write(shelved, b"other").unwrap();
    let third = tempfile::tempdir().unwrap();
    let damaged = backup::restore(&copy.path, third.path()).await.unwrap();
    assert_eq!(damaged.faults.len(), 1, "{:?}", damaged.faults);
}
