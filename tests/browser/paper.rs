//! What others get to see: the card on one screen, the chart as a picture, the report on paper.

use anyhow::{Context, Result};
use laneside_core::car::demo;
use laneside_tests::browser::Browser;
use laneside_tests::cars;
use serde_json::{Value, json};

use crate::visit::Visit;

const CATCH: &str = "
    window.files = [];
    const make = URL.createObjectURL;
    URL.createObjectURL = (file) => { window.files.push(file); return make.call(URL, file); };";

async fn tap(phone: &Browser, name: &str) -> Result<()> {
    let find = "[...document.querySelectorAll('main button')].find((one) => one.innerText === arguments[0]).click()";
    phone.script(find, vec![json!(name)]).await?;
    Ok(())
}

/// Size, kind, ground color of the corner, and how much of it is ink.
async fn picture(phone: &Browser) -> Result<Value> {
    phone
        .wait_until("a picture", "return window.files.length > 0", vec![])
        .await?;
    let look = "
        const done = arguments[arguments.length - 1];
        createImageBitmap(window.files[0]).then((image) => {
            const canvas = document.createElement('canvas');
            canvas.width = image.width;
            canvas.height = image.height;
            const at = canvas.getContext('2d');
            at.drawImage(image, 0, 0);
            const { data } = at.getImageData(0, 0, image.width, image.height);
            const dark = (x, y) => data[4 * (y * image.width + x)] < 90;
            let ink = 0, edge = 0;
            for (let y = 0; y < image.height; y += 1) {
                for (let x = 0; x < image.width; x += 1) {
                    if (!dark(x, y)) continue;
                    ink += 1;
                    if (x < 4 || y < 4 || x >= image.width - 4 || y >= image.height - 4) edge += 1;
                }
            }
            done({ width: image.width, height: image.height, type: window.files[0].type, name: window.files[0].name,
                ground: [...data.slice(0, 4)], ink, edge });
        });";
    phone.script_later(look, vec![]).await
}

/// The chart at print resolution in the colors for the sun, even in the night theme, with nothing cut off at its edges.
#[tokio::test]
async fn the_chart_is_a_picture() -> Result<()> {
    let visit = Visit::with(&[demo::nettle()], "share").await?;
    let phone = &visit.device;
    visit.device.color_scheme("dark").await?;
    phone.script(CATCH, vec![]).await?;
    tap(phone, "Chart as a picture").await?;
    phone.wait_text("main", "among its downloads").await?;
    let found = picture(phone).await?;
    assert_eq!(
        (&found["type"], &found["name"]),
        (&json!("image/png"), &json!("Nettle.png"))
    );
    assert!(
        found["width"].as_f64().context("no width")? >= 2_160.0,
        "{found}"
    );
    assert_eq!(found["ground"], json!([0xFF, 0xFD, 0xF6, 0xFF]));
    assert!(
        found["ink"].as_f64().context("no ink")? > 20_000.0,
        "{found}"
    );
    assert_eq!(found["edge"], 0, "nothing touches the edge");
    visit.end().await
}

/// The card fits a phone's screen without scrolling, for every kind of verdict, and is shared as a picture.
#[tokio::test]
async fn the_card_is_one_screen() -> Result<()> {
    for car in [
        cars::over(),
        cars::holds(),
        cars::short_at_idle(),
        cars::too_close(),
        cars::no_size(),
    ] {
        let name = car.name.clone();
        let visit = Visit::with(&[car], "card").await?;
        let phone = &visit.device;
        phone.wait_for(".drawn").await?;
        // The code comes once it is packed.
        phone
            .wait_until(
                "the code",
                "return decodeURIComponent(document.querySelector('.drawn').src).includes('crispEdges')",
                vec![],
            )
            .await?;
        let fits = "
            const root = document.scrollingElement, box = document.querySelector('.drawn').getBoundingClientRect();
            return [root.scrollHeight <= innerHeight, box.bottom <= innerHeight, box.height > 400,
                document.querySelector('.drawn').alt]";
        let (page, card, large, said): (bool, bool, bool, String) =
            serde_json::from_value(phone.script(fits, vec![]).await?)?;
        assert!(page && card && large, "{name}: {page} {card} {large}");
        for part in [name.as_str(), "rpm", "Laneside", "20"] {
            assert!(said.contains(part), "{part} in {said}");
        }
        assert!(said.contains("(limit assumed)"), "{said}");
        visit.end().await?;
    }
    let visit = Visit::with(&[cars::over()], "card").await?;
    let phone = &visit.device;
    phone.wait_for(".drawn").await?;
    phone.script(CATCH, vec![]).await?;
    tap(phone, "Share as a picture").await?;
    let found = picture(phone).await?;
    assert_eq!(found["width"], 1_170);
    assert_eq!(found["edge"], 0, "nothing touches the edge");
    assert!(
        found["ink"].as_f64().context("no ink")? > 20_000.0,
        "{found}"
    );
    visit.end().await
}

/// The report has what it has to have, its chart at print resolution, and fits A4 and letter.
#[tokio::test]
async fn the_report_prints() -> Result<()> {
    let visit = Visit::with(&[demo::nettle()], "report").await?;
    let phone = &visit.device;
    phone.wait_for(".report-chart").await?;
    let text = phone.text(".report").await?;
    for part in [
        "Nettle",
        "Laneside",
        "A spinning belt takes fingers",
        "Speed limit of the alternator",
        "At the speeds that matter",
        "Assumed",
        "What it rests on",
        "licensed practice",
    ] {
        assert!(text.contains(part), "{part}");
    }
    let width = phone
        .script(
            "return document.querySelector('.report-chart').naturalWidth",
            vec![],
        )
        .await?;
    assert!(width.as_f64().context("no width")? >= 2_160.0, "{width}");
    for (width, height) in [(8.27, 11.69), (8.5, 11.0)] {
        let paper = phone.print(width, height).await?;
        assert!(paper.starts_with(b"%PDF"), "a PDF");
        assert!(paper.len() > 45_000, "with its chart: {}", paper.len());
        if let Some(folder) = std::env::var_os("LANESIDE_PAPER") {
            let path = std::path::Path::new(&folder).join(format!("report-{height}.pdf"));
            std::fs::write(path, paper)?;
        }
    }
    visit.end().await
}
