//! A car from screen to camera: the codes that one phone shows, as the picture of another phone's camera.

use std::path::PathBuf;

use anyhow::{Context, Result};
use base64::Engine as _;
use base64::prelude::BASE64_STANDARD as BASE64;
use laneside_core::car::{Car, demo};
use laneside_core::carry::parts::split;
use laneside_tests::browser::{
    Browser, Chromium, Device, Engine, Profile, Screen, Taste, built_app,
};
use laneside_tests::server::Server;
use serde_json::{Value, json};
use tempfile::TempDir;

use crate::visit::Visit;

/// The camera's picture.
const WIDE: usize = 1_280;
const HIGH: usize = 720;
/// How large a code is in it: four and a half pixels a square.
const SIDE: usize = 365;

/// Where no film can be played to the camera itself: the page is given one that plays it.
const STAND_IN: &str = "
    const [pictures, wide, high, isStill] = arguments;
    const canvas = document.createElement('canvas');
    canvas.width = wide;
    canvas.height = high;
    const to = canvas.getContext('2d', { willReadFrequently: true });
    const made = pictures.map((picture) => {
        const gray = atob(picture), image = to.createImageData(wide, high);
        for (let at = 0; at < gray.length; at += 1) {
            image.data.fill(gray.charCodeAt(at), 4 * at, 4 * at + 3);
            image.data[4 * at + 3] = 255;
        }
        return image;
    });
    let frames = 0;
    const draw = () => {
        to.putImageData(made[Math.floor(frames / 3) % made.length], 0, 0);
        frames += 1;
    };
    MediaDevices.prototype.getUserMedia = async () => {
        draw();
        setInterval(draw, 250);
        return canvas.captureStream();
    };
    // WebKit's GTK port goes on showing the first picture of such a film.
    const { prototype } = CanvasRenderingContext2D, { drawImage } = prototype;
    if (isStill) prototype.drawImage = function (image, ...place) {
        drawImage.call(this, image instanceof HTMLVideoElement ? canvas : image, ...place);
    };";

/// The gray values of a camera's picture with what the page shows at the place of its code.
async fn seen(phone: &Browser) -> Result<Vec<u8>> {
    let shot = phone.client().screenshot().await?;
    let draw = "
        const [png, wide, high, side, done] = arguments;
        const box = document.querySelector('svg.code').getBoundingClientRect();
        const image = new Image();
        image.onload = () => {
            const canvas = document.createElement('canvas');
            canvas.width = wide;
            canvas.height = high;
            const to = canvas.getContext('2d');
            to.fillStyle = '#777';
            to.fillRect(0, 0, wide, high);
            const scale = image.width / innerWidth;
            to.translate(wide / 2, high / 2);
            to.rotate(0.05);
            to.drawImage(image, box.x * scale, box.y * scale, box.width * scale, box.height * scale,
                -side / 2, -side / 2, side, side);
            const { data } = to.getImageData(0, 0, wide, high);
            let gray = '';
            for (let at = 0; at < data.length; at += 4) gray += String.fromCharCode(data[at + 1]);
            done(btoa(gray));
        };
        image.src = 'data:image/png;base64,' + png;";
    let data = json!(BASE64.encode(shot));
    let gray = phone
        .script_later(draw, vec![data, json!(WIDE), json!(HIGH), json!(SIDE)])
        .await?;
    Ok(BASE64.decode(gray.as_str().context("no picture")?)?)
}

/// Shows a car's codes one after another, and takes the picture of each.
async fn shown(car: &Car, dark: bool) -> Result<Vec<Vec<u8>>> {
    let visit = Visit::with(std::slice::from_ref(car), "codes").await?;
    let phone = &visit.device;
    if dark {
        visit.device.color_scheme("dark").await?;
    }
    phone.wait_for("svg.code").await?;
    // By hand it stands still.
    phone.tap("main .actions button:nth-child(2)").await?;
    while !phone.text(".code-place strong").await?.starts_with("1 of") {
        phone.tap("main .actions button:nth-child(1)").await?;
    }
    let count = phone.text(".code-place strong").await?;
    let count: usize = count.split(' ').next_back().context("no count")?.parse()?;
    let mut pictures = Vec::new();
    for place in 1..=count {
        phone
            .wait_text(".code-place strong", &format!("{place} of {count}"))
            .await?;
        phone.settle().await?;
        pictures.push(seen(phone).await?);
        phone.tap("main .actions button:nth-child(2)").await?;
    }
    visit.end().await?;
    Ok(pictures)
}

/// A film of pictures, each for three quarters of a second.
fn film(folder: &TempDir, pictures: &[&Vec<u8>]) -> Result<PathBuf> {
    let mut film = format!("YUV4MPEG2 W{WIDE} H{HIGH} F4:1 Ip A1:1 C420jpeg\n").into_bytes();
    for picture in pictures {
        for _ in 0..3 {
            film.extend(b"FRAME\n");
            film.extend(*picture);
            film.extend(vec![128; WIDE * HIGH / 2]);
        }
    }
    let path = folder.path().join("camera.y4m");
    std::fs::write(&path, film)?;
    Ok(path)
}

struct Scanning {
    device: Device,
    _server: Server,
    _profile: Profile,
    _files: TempDir,
}

impl Scanning {
    /// Ready to scan these pictures, with a script before those of the page.
    async fn start(pictures: &[&Vec<u8>], before: &str) -> Result<Self> {
        let files = tempfile::tempdir()?;
        let server = Server::start(&built_app()?, 0)?;
        let profile = Profile::new()?;
        let is_chromium = Engine::chosen()? == Engine::Chromium;
        let device = if is_chromium {
            let path = film(&files, pictures)?;
            let film = format!("--use-file-for-fake-video-capture={}", path.display());
            let mut arguments = vec!["--accept-lang=en-US", "--use-fake-device-for-media-stream"];
            arguments.extend(["--use-fake-ui-for-media-stream", &film]);
            Device::Chromium(Chromium::start_with(&profile, Screen::PHONE, &arguments).await?)
        } else {
            Device::start(&profile, Screen::PHONE).await?
        };
        device.open(&server.url()).await?;
        device.before_pages(before).await?;
        device.save_cars(&[demo::tansy()], "scan").await?;
        if !is_chromium {
            let pictures: Vec<_> = pictures.iter().map(|one| BASE64.encode(one)).collect();
            let is_still = json!(Engine::chosen()? == Engine::WebKit);
            let arguments = vec![json!(pictures), json!(WIDE), json!(HIGH), is_still];
            device.script(STAND_IN, arguments).await?;
        }
        let watch = "
            window.tracks = [];
            const { prototype } = MediaDevices, { getUserMedia } = prototype;
            prototype.getUserMedia = async (wanted) => {
                window.wanted = wanted;
                const stream = await getUserMedia.call(navigator.mediaDevices, wanted);
                window.tracks.push(...stream.getTracks());
                return stream;
            };";
        device.script(watch, vec![]).await?;
        Ok(Self {
            device,
            _server: server,
            _profile: profile,
            _files: files,
        })
    }

    async fn scan(&self) -> Result<()> {
        self.device.tap("main .button.large").await?;
        Ok(())
    }

    async fn wait_freed(&self) -> Result<()> {
        let freed = "return window.tracks.length > 0 && window.tracks.every((track) => track.readyState === 'ended')";
        self.device
            .wait_until("the camera is free", freed, vec![])
            .await
    }
}

/// From the pixels of one phone's screen, in the night theme, to the car on another: in an odd order, some twice. Nothing is
/// kept before the tap, and the camera is free once all is there.
#[tokio::test]
async fn a_car_goes_from_screen_to_camera() -> Result<()> {
    let pictures = shown(&demo::nettle(), true).await?;
    assert!(pictures.len() > 1, "several codes");
    let mut order: Vec<&Vec<u8>> = pictures.iter().rev().collect();
    order.push(&pictures[0]);
    order.insert(1, &pictures[pictures.len() - 1]);
    let phone = Scanning::start(&order, "").await?;
    let app = &phone.device;
    assert_eq!(
        app.script("return window.tracks.length", vec![]).await?,
        json!(0),
        "asked for by a tap"
    );
    let own = app.stored("laneside.car.1").await?;
    phone.scan().await?;
    app.wait_text(".received", "Nettle").await?;
    app.wait_text("h1", "Which pulley?").await?;
    phone.wait_freed().await?;
    let wanted: Value = app.script("return window.wanted", vec![]).await?;
    assert_eq!(wanted["video"]["facingMode"], "environment");
    assert!(
        wanted.get("audio").is_none_or(|audio| audio == false),
        "{wanted}"
    );
    assert_eq!(app.stored("laneside.car.2").await?, None);
    assert_eq!(app.stored("laneside.car.1").await?, own);
    app.tap(".received .button").await?;
    app.wait_gone(".received").await?;
    let sent = Car::from_file(&demo::nettle().to_file()?)?;
    assert_eq!(app.saved_car(2).await?, sent);
    phone.device.end(&[]).await
}

/// A code of another car is refused with a word, and what was scanned stays; going elsewhere frees the camera.
#[tokio::test]
async fn codes_of_two_cars_are_not_mixed() -> Result<()> {
    let (nettle, tansy) = (
        shown(&demo::nettle(), false).await?,
        shown(&demo::tansy(), false).await?,
    );
    let phone = Scanning::start(&[&nettle[0], &tansy[1]], "").await?;
    let app = &phone.device;
    phone.scan().await?;
    app.wait_text("main .note[role=status]", "1 of").await?;
    app.wait_text("#scan-fault", "another car").await?;
    app.wait_text("main .note[role=status]", "1 of").await?;
    app.go("cars").await?;
    phone.wait_freed().await?;
    assert_eq!(app.count(".received").await?, 0);
    phone.device.end(&[]).await
}

/// Where the browser finds codes itself, it does; where that fails, the app does.
#[tokio::test]
async fn the_browsers_own_finder_is_used() -> Result<()> {
    let pictures = shown(&demo::nettle(), false).await?;
    let order: Vec<&Vec<u8>> = pictures.iter().collect();
    let texts = split(&[7; 900]).context("no parts")?;
    let stub = "
        window.asked = 0;
        window.BarcodeDetector = class {
            constructor({ formats }) { this.formats = formats; }
            async detect(source) {
                window.asked += 1;
                if (this.formats[0] !== 'qr_code' || !(source instanceof HTMLVideoElement)) throw new Error('asked wrongly');
                if (window.asked > 2) throw new Error('no more');
                return [{ rawValue: PART }];
            }
        };";
    let stub = stub.replace("PART", &json!(texts[0]).to_string());
    let phone = Scanning::start(&order, &stub).await?;
    let app = &phone.device;
    phone.scan().await?;
    app.wait_text("main .note[role=status]", "1 of 3").await?;
    // It has failed since, and the film's codes are another car's.
    app.wait_text("#scan-fault", "another car").await?;
    let asked = app.script("return window.asked", vec![]).await?;
    assert!(asked.as_u64() >= Some(3), "{asked}");
    tokio::time::sleep(std::time::Duration::from_secs(1)).await;
    assert_eq!(app.script("return window.asked", vec![]).await?, asked);
    phone.device.end(&[]).await
}

/// After the app was left it goes on with what was taken; the person's own stop begins anew. Damaged codes are all wanted
/// again, and no count of them stands beside the fault.
#[tokio::test]
async fn scanning_goes_on_after_a_break() -> Result<()> {
    let texts = split(&[7; 900]).context("no parts")?;
    // The last character makes another byte of the piece, of the same range.
    let mut damaged = texts[2].clone();
    let last = damaged.pop().context("an empty part")?;
    damaged.push(if last == '1' { '2' } else { '1' });
    let stub = "
        window.shown = [];
        window.BarcodeDetector = class {
            async detect() { return window.shown.map((rawValue) => ({ rawValue })) }
        };";
    let gray = vec![128; WIDE * HIGH];
    let phone = Scanning::start(&[&gray], stub).await?;
    let app = &phone.device;
    let show = async |text: &str| -> Result<()> {
        app.in_page(&format!("window.shown = [{}]", json!(text)))
            .await
    };
    show(&texts[0]).await?;
    phone.scan().await?;
    let note = "main .note[role=status]";
    app.wait_text(note, "1 of 3").await?;
    let leave = "
        Object.defineProperty(document, 'hidden', { configurable: true, value: true });
        document.dispatchEvent(new Event('visibilitychange'));
        delete document.hidden;";
    app.in_page(leave).await?;
    app.wait_text(note, "app was left").await?;
    show(&texts[1]).await?;
    phone.scan().await?;
    app.wait_text(note, "2 of 3").await?;
    show(&damaged).await?;
    app.wait_text("#scan-fault", "do not make a whole car")
        .await?;
    assert!(!app.text(note).await?.contains("of 3"));
    show(&texts[0]).await?;
    app.wait_text(note, "1 of 3").await?;
    app.tap("main .button:not(.large)").await?;
    show(&texts[1]).await?;
    phone.scan().await?;
    app.wait_text(note, "1 of 3").await?;
    app.wait_text(note, "Wanted: 1, 3").await?;
    app.go("cars").await?;
    phone.wait_freed().await?;
    phone.device.end(&[]).await
}

/// A camera that is refused is told, with the other ways.
#[tokio::test]
async fn a_refused_camera_is_told() -> Result<()> {
    let visit = Visit::with(&[demo::tansy()], "scan").await?;
    let app = &visit.device;
    app.refuse_capture().await?;
    app.tap("main .button.large").await?;
    app.wait_text("#scan-fault", "closed to this app").await?;
    app.wait_text("#scan-fault", "link or file").await?;
    visit.end().await
}

/// Codes change by themselves, slowly, unless the phone is to be still; by hand they stand.
#[tokio::test]
async fn codes_take_turns_unless_motion_is_unwanted() -> Result<()> {
    let visit = Visit::with(&[demo::nettle()], "codes").await?;
    let phone = &visit.device;
    phone.wait_text(".code-place strong", "2 of").await?;
    phone.tap("main .actions button:nth-child(3)").await?;
    phone.wait_text("main .actions", "Change by itself").await?;
    let colors = "
        const code = document.querySelector('svg.code');
        return [code.querySelector('rect').getAttribute('fill'), code.querySelector('path').getAttribute('fill'),
            code.getBoundingClientRect().width, innerWidth]";
    let colors: (String, String, f64, f64) =
        serde_json::from_value(phone.script(colors, vec![]).await?)?;
    assert_eq!((colors.0.as_str(), colors.1.as_str()), ("#fff", "#000"));
    assert!(colors.2 > 0.9 * colors.3, "{} of {}", colors.2, colors.3);
    phone.prefer(Taste::Still).await?;
    phone.go("cars").await?;
    phone.go("codes").await?;
    phone.wait_text("main .actions", "Change by itself").await?;
    phone.wait_text(".code-place strong", "1 of").await?;
    tokio::time::sleep(std::time::Duration::from_secs(4)).await;
    phone.wait_text(".code-place strong", "1 of").await?;
    visit.end().await
}
