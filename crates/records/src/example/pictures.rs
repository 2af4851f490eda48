//! The example's pictures: drawn here, dot by dot, so that nobody's plant is shown.

use image::{Rgb, RgbImage};

use crate::customers::NewCustomer;
use crate::error::Error;
use crate::jobs::Job;
use crate::pictures::{self, ComingIn, NewPicture, Of};
use crate::publish;
use crate::store::Store;
use crate::{Day, PictureId, customers, defects, jobs, sittings};

const WIDTH: u32 = 1200;
const HEIGHT: u32 = 900;
const BENCH: [f32; 3] = [96.0, 74.0, 52.0];
const COPPER: [f32; 3] = [176.0, 104.0, 62.0];
const BRASS: [f32; 3] = [196.0, 160.0, 78.0];
const DARK: [f32; 3] = [34.0, 30.0, 28.0];
const WATER: [f32; 3] = [120.0, 150.0, 160.0];

/// Hangs the pictures of the launch plant's job; a workshop without that job stays as it is.
///
/// # Errors
/// Whatever the disk or the database says.
pub async fn hang(store: &Store) -> Result<(), Error> {
    let open = jobs::open(store).await?;
    let Some(job) = open.iter().find(|j| j.plant.starts_with("Marigold")) else {
        return Ok(());
    };
    if !pictures::of_job(store, job.id).await?.is_empty() {
        return Ok(());
    }
    let defect = defects::of_job(store, job.id)
        .await?
        .into_iter()
        .find(|d| d.what.starts_with("Check valve"));
    let sitting = sittings::of_job(store, job.id).await?.into_iter().next();
    picture(
        store,
        (Of::Job, job.id.get(), job.came_in_on.clone()),
        "As it came, on its board",
        plant,
    )
    .await?;
    if let Some(sitting) = sitting {
        picture(
            store,
            (Of::Sitting, sitting.id.get(), sitting.on_day.clone()),
            "The glass after cleaning: water to be seen again",
            glass,
        )
        .await?;
    }
    if let Some(defect) = defect {
        let seat = picture(
            store,
            (Of::Defect, defect.id.get(), defect.made_at.day()),
            "The seat, with a score at the lower left",
            seat,
        )
        .await?;
        show(store, job, seat).await?;
    }
    Ok(())
}

/// The customer agreed, and sees one of them.
async fn show(store: &Store, job: &Job, seat: PictureId) -> Result<(), Error> {
    let came = job.came_in_on.clone();
    let (customer, mut choices, job) = (
        customers::find(store, job.customer_id).await?,
        publish::choices(store, job.id).await?,
        job.id,
    );
    let words = "Where the valve lets the water back: the scratch at the lower left.";
    choices.pictures.push((seat, words.to_owned()));
    store
        .write(super::OWNER, move |w| {
            Box::pin(async move {
                let agreed = NewCustomer {
                    name: customer.name,
                    ways: customer.ways,
                    note: customer.note,
                    pictures_agreed_on: Some(came),
                    pictures_agreed_how: "said so when it was brought".to_owned(),
                };
                customers::change(w, customer.id, &agreed).await?;
                publish::choose(w, job, &choices).await
            })
        })
        .await
}

async fn picture(
    store: &Store,
    (of, subject_id, taken_on): (Of, i64, Day),
    caption: &'static str,
    colour_at: fn(f32, f32) -> [f32; 3],
) -> Result<PictureId, Error> {
    let file = ComingIn::new(store.folder())?;
    paint(colour_at)
        .save_with_format(file.path(), image::ImageFormat::Png)
        .map_err(|e| Error::Folder(e.to_string()))?;
    let shelved = pictures::shelve(store.folder(), file)
        .await?
        .map_err(|unfit| Error::Refused(unfit.to_string()))?;
    store
        .write(super::OWNER, move |w| {
            Box::pin(async move {
                let new = NewPicture {
                    of,
                    subject_id,
                    job: None,
                    caption: caption.to_owned(),
                    taken_on,
                    shelved,
                };
                pictures::make(w, &new).await
            })
        })
        .await
}

/// Asks the colour of every dot, from -1 to 1 across and from -0.75 to 0.75 down, and lays a little grain on it.
fn paint(colour_at: fn(f32, f32) -> [f32; 3]) -> RgbImage {
    let mut grain: u32 = 1;
    let at = |n: u32, of: u32, by: u32| -> f32 {
        let (n, of, by) = (small(n), small(of), small(by));
        (2.0 * n - of) / by
    };
    RgbImage::from_fn(WIDTH, HEIGHT, |x, y| {
        grain = grain.wrapping_mul(1_664_525).wrapping_add(1_013_904_223);
        let light = small(grain >> 28) - 8.0;
        let colour = colour_at(at(x, WIDTH, WIDTH), at(y, HEIGHT, WIDTH));
        Rgb(colour.map(|c| byte(c + light)))
    })
}

fn small(n: u32) -> f32 {
    f32::from(u16::try_from(n).unwrap_or(u16::MAX))
}

/// The nearest whole step of a colour, found by halving: floats are not cast.
fn byte(colour: f32) -> u8 {
    let mut found = 0;
    for bit in [128, 64, 32, 16, 8, 4, 2, 1] {
        if f32::from(found | bit) <= colour {
            found |= bit;
        }
    }
    found
}

/// A colour lit from the left, `across` from -1 to 1 over a round body.
fn lit(colour: [f32; 3], across: f32) -> [f32; 3] {
    let light = 0.55 + 0.6 * (1.0 - (across + 0.35).abs());
    colour.map(|c| c * light)
}

/// A vertical boiler on its board, with a funnel, a dome and a glass.
fn plant(x: f32, y: f32) -> [f32; 3] {
    if x.abs() < 0.16 && (-0.7..-0.42).contains(&y) {
        return lit(DARK, x / 0.16);
    }
    if (x / 0.42).powi(2) + ((y + 0.32) / 0.14).powi(2) < 1.0 && y < -0.32 {
        return lit(BRASS, x / 0.42);
    }
    if (x - 0.27).abs() < 0.025 && (-0.2..0.18).contains(&y) {
        return if y > 0.02 {
            WATER
        } else {
            [214.0, 220.0, 222.0]
        };
    }
    if x.abs() < 0.42 && (-0.32..0.5).contains(&y) {
        let band = (y + 0.2).abs() < 0.02 || (y - 0.38).abs() < 0.02;
        return lit(if band { BRASS } else { COPPER }, x / 0.42);
    }
    board(x, y)
}

/// A gauge glass between its two cocks, the water at two thirds.
fn glass(x: f32, y: f32) -> [f32; 3] {
    if x.abs() < 0.16 && (y.abs() - 0.56).abs() < 0.14 {
        return lit(BRASS, x / 0.16);
    }
    if x.abs() < 0.075 && y.abs() < 0.44 {
        let stripe = x.abs() < if y > -0.12 { 0.045 } else { 0.015 };
        let glass = if y > -0.12 {
            WATER
        } else {
            [224.0, 230.0, 232.0]
        };
        return if stripe { [40.0, 80.0, 150.0] } else { glass };
    }
    lit(COPPER, x)
}

/// A valve seat from above: rings, and a score across the lower left of the face.
fn seat(x: f32, y: f32) -> [f32; 3] {
    let from_middle = x.hypot(y);
    let scored = (x + y).abs() < 0.012 && x < 0.0;
    match from_middle {
        r if r < 0.18 => DARK,
        r if r < 0.42 => {
            if scored {
                DARK
            } else {
                lit([222.0, 196.0, 120.0], x)
            }
        }
        r if r < 0.62 => lit(BRASS, x / 0.62),
        _ => board(x, y),
    }
}

fn board(x: f32, y: f32) -> [f32; 3] {
    let joint = (y * 3.0 + (x * 2.0).sin() * 0.08).fract().abs() < 0.03;
    let shade = if joint { 0.6 } else { 1.0 };
    BENCH.map(|c| c * shade * (0.9 + 0.1 * (x * 40.0).sin().abs()))
}
