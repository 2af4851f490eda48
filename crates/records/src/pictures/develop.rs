//! A file that somebody sent, made into two JPEGs of our own: upright, of a known size, without metadata.
//!
//! What it is is told by its first bytes and by decoding it, never by its name. Sizes are looked at in its
//! header before a pixel is decoded, and what is kept is what was encoded here: nothing of the file itself
//! is ever stored or served.

use std::fs::File;
use std::io::{BufReader, Read};
use std::path::Path;

use image::codecs::jpeg::JpegEncoder;
use image::imageops::FilterType;
use image::metadata::Orientation;
use image::{DynamicImage, ImageDecoder, ImageFormat, ImageReader, Limits, RgbImage};

use super::whole::jpeg_is_whole;

/// Most bytes a picture may come with.
pub const MOST_BYTES: u64 = 20 * 1024 * 1024;
/// Most pixels a picture may have.
const MOST_PIXELS: u64 = 50_000_000;
/// Most pixels along a side.
const MOST_SIDE: u32 = 12_000;
/// Most memory that decoding may ask for.
const MOST_MEMORY: u64 = 256 * 1024 * 1024;
/// The longer side on a page of its own.
const PAGE: u32 = 1600;
/// The longer side in a row.
const SMALL: u32 = 320;

/// Why a file is not taken in as a picture.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum Unfit {
    /// Nothing was sent.
    #[error("No picture came with this. Take one or choose one, and send it again.")]
    Empty,
    /// Its first bytes are of no kind that is taken.
    #[error(
        "This is no JPEG, PNG or WebP picture, whatever it is named. Save it as one of these, or take it with the phone's camera."
    )]
    NotAPicture,
    /// Too many bytes or pixels.
    #[error("{0} Send a smaller picture.")]
    TooLarge(String),
    /// It says it is a picture and cannot be decoded.
    #[error(
        "This picture is damaged or cut short and cannot be opened. Send it again, or take it anew."
    )]
    Damaged,
}

/// Two JPEGs made of one file.
#[derive(Debug)]
pub(crate) struct Developed {
    pub(crate) page: Sized,
    pub(crate) small: Sized,
}

/// A JPEG and its size in pixels.
#[derive(Debug)]
pub(crate) struct Sized {
    pub(crate) bytes: Vec<u8>,
    pub(crate) width: u32,
    pub(crate) height: u32,
}

/// Makes both sizes. Takes memory and time: one at a time, never on the threads that answer.
pub(crate) fn develop(file: &Path) -> std::io::Result<Result<Developed, Unfit>> {
    let size = std::fs::metadata(file)?.len();
    if size == 0 {
        return Ok(Err(Unfit::Empty));
    }
    if size > MOST_BYTES {
        return Ok(Err(too_many_bytes()));
    }
    let Some(format) = kind_of(file)? else {
        return Ok(Err(Unfit::NotAPicture));
    };
    if format == ImageFormat::Jpeg && !jpeg_is_whole(&std::fs::read(file)?) {
        return Ok(Err(Unfit::Damaged));
    }
    let source = BufReader::new(File::open(file)?);
    Ok(both_sizes(source, format))
}

/// What is said of a file with too many bytes.
#[must_use]
pub fn too_many_bytes() -> Unfit {
    Unfit::TooLarge(format!(
        "This file is larger than {} MB.",
        MOST_BYTES / 1024 / 1024
    ))
}

/// The kind told by its first bytes.
fn kind_of(file: &Path) -> std::io::Result<Option<ImageFormat>> {
    let mut first = Vec::with_capacity(16);
    File::open(file)?.take(16).read_to_end(&mut first)?;
    Ok(match first.as_slice() {
        [0xFF, 0xD8, 0xFF, ..] => Some(ImageFormat::Jpeg),
        [0x89, b'P', b'N', b'G', 0x0D, 0x0A, 0x1A, 0x0A, ..] => Some(ImageFormat::Png),
        [
            b'R',
            b'I',
            b'F',
            b'F',
            _,
            _,
            _,
            _,
            b'W',
            b'E',
            b'B',
            b'P',
            ..,
        ] => Some(ImageFormat::WebP),
        _ => None,
    })
}

fn both_sizes(source: BufReader<File>, format: ImageFormat) -> Result<Developed, Unfit> {
    let mut limits = Limits::default();
    limits.max_image_width = Some(MOST_SIDE);
    limits.max_image_height = Some(MOST_SIDE);
    limits.max_alloc = Some(MOST_MEMORY);
    let mut reader = ImageReader::with_format(source, format);
    reader.limits(limits);
    let mut decoder = reader.into_decoder().map_err(unfit)?;
    let (width, height) = decoder.dimensions();
    let pixels = u64::from(width) * u64::from(height);
    if pixels > MOST_PIXELS || decoder.total_bytes() > MOST_MEMORY {
        return Err(Unfit::TooLarge(format!(
            "This picture is {width} × {height} pixels; at most {} million are taken.",
            MOST_PIXELS / 1_000_000
        )));
    }
    // A picture whose orientation cannot be read is shown as it lies.
    let orientation = decoder.orientation().unwrap_or(Orientation::NoTransforms);
    let whole = DynamicImage::from_decoder(decoder).map_err(unfit)?;
    let mut page = opaque(&within(&whole, PAGE));
    drop(whole);
    page.apply_orientation(orientation);
    let small = within(&page, SMALL);
    Ok(Developed {
        page: jpeg(&page)?,
        small: jpeg(&small)?,
    })
}

/// Smaller where it is larger; first by a coarse step that needs little memory, then by a fine one.
fn within(picture: &DynamicImage, side: u32) -> DynamicImage {
    if picture.width() <= side && picture.height() <= side {
        return picture.clone();
    }
    let coarse = side * 2;
    if picture.width() > coarse || picture.height() > coarse {
        return picture
            .thumbnail(coarse, coarse)
            .resize(side, side, FilterType::Triangle);
    }
    picture.resize(side, side, FilterType::Triangle)
}

/// On white paper, where it could be seen through.
fn opaque(picture: &DynamicImage) -> DynamicImage {
    if !picture.color().has_alpha() {
        return DynamicImage::ImageRgb8(picture.to_rgb8());
    }
    let seen_through = picture.to_rgba8();
    let mut paper = RgbImage::new(picture.width(), picture.height());
    for (on, from) in paper.pixels_mut().zip(seen_through.pixels()) {
        let [red, green, blue, alpha] = from.0;
        let blend = |colour: u8| {
            let (colour, alpha) = (u32::from(colour), u32::from(alpha));
            u8::try_from((colour * alpha + 255 * (255 - alpha)) / 255).unwrap_or(u8::MAX)
        };
        on.0 = [blend(red), blend(green), blend(blue)];
    }
    DynamicImage::ImageRgb8(paper)
}

fn jpeg(picture: &DynamicImage) -> Result<Sized, Unfit> {
    let mut bytes = Vec::new();
    JpegEncoder::new_with_quality(&mut bytes, 82)
        .encode_image(picture)
        .map_err(unfit)?;
    Ok(Sized {
        bytes,
        width: picture.width(),
        height: picture.height(),
    })
}

fn unfit(error: image::ImageError) -> Unfit {
    match error {
        image::ImageError::Limits(_) => Unfit::TooLarge(format!(
            "This picture is larger than {MOST_SIDE} pixels along a side, or needs too much memory to open."
        )),
        _ => Unfit::Damaged,
    }
}
