//! Tension by ear, with a microphone that plays what is made here: plucks, silence, noise, a running engine.

use std::f64::consts::PI;
use std::path::{Path, PathBuf};

use anyhow::{Context, Result, anyhow};
use base64::Engine as _;
use base64::prelude::BASE64_STANDARD as BASE64;
use laneside_core::belt::BeltStudy;
use laneside_core::car::demo;
use laneside_tests::browser::{Chromium, Device, Engine, Profile, Screen, built_app};
use laneside_tests::server::Server;
use rand::rngs::StdRng;
use rand::{RngExt, SeedableRng};
use serde_json::json;
use tempfile::TempDir;

const RATE: u32 = 48_000;
const SECONDS: u32 = 6;
const STATUS: &str = ".ear .heard";

/// Where no file can be played to the microphone itself: the page is given one that plays it.
const STAND_IN: &str = "
    const [file] = arguments;
    const bytes = Uint8Array.from(atob(file), (one) => one.charCodeAt(0));
    MediaDevices.prototype.getUserMedia = async () => {
        const context = new AudioContext({ sampleRate: 48000 });
        const sound = context.createBufferSource();
        sound.buffer = await context.decodeAudioData(bytes.buffer.slice(0));
        sound.loop = true;
        const ear = context.createMediaStreamDestination();
        sound.connect(ear);
        sound.start();
        return ear.stream;
    };";

/// A phone whose microphone plays a file.
struct Phone {
    device: Device,
    _server: Server,
    _profile: Profile,
    _files: TempDir,
}

/// Samples from -1 to 1 as a file: one channel of 16 bits.
fn wav(folder: &Path, samples: &[f64]) -> Result<PathBuf> {
    let data: Vec<u8> = samples
        .iter()
        .flat_map(|sample| ((32_767.0 * sample.clamp(-1.0, 1.0)) as i16).to_le_bytes())
        .collect();
    let mut file = Vec::new();
    file.extend(b"RIFF");
    file.extend((36 + data.len() as u32).to_le_bytes());
    file.extend(b"WAVEfmt ");
    file.extend(16_u32.to_le_bytes());
    file.extend(1_u16.to_le_bytes());
    file.extend(1_u16.to_le_bytes());
    file.extend(RATE.to_le_bytes());
    file.extend((2 * RATE).to_le_bytes());
    file.extend(2_u16.to_le_bytes());
    file.extend(16_u16.to_le_bytes());
    file.extend(b"data");
    file.extend((data.len() as u32).to_le_bytes());
    file.extend(data);
    let path = folder.join("sound.wav");
    std::fs::write(&path, file)?;
    Ok(path)
}

/// So many seconds of a function of time.
fn made(sound: impl FnMut(f64) -> f64) -> Vec<f64> {
    let times = (0..SECONDS * RATE).map(|at| f64::from(at) / f64::from(RATE));
    times.map(sound).collect()
}

/// Noise at this level.
fn noise(level: f64) -> impl FnMut() -> f64 {
    let mut random = StdRng::seed_from_u64(17);
    move || level * (random.random::<f64>() - 0.5) * 12.0_f64.sqrt()
}

/// A pluck every second and a half, at a quality of 15, with overtones that die sooner.
fn plucks(hz: f64) -> Vec<f64> {
    let mut hiss = noise(0.01);
    made(|time| {
        let since = time % 1.5 - 0.4;
        let tone = |n: f64| {
            let decay = (-PI * n * hz * since / 15.0).exp();
            0.3 * decay * (2.0 * PI * n * hz * since).sin() / n
        };
        let rings = if since < 0.0 {
            0.0
        } else {
            tone(1.0) + tone(2.0) + tone(3.0)
        };
        rings + hiss()
    })
}

/// An engine at 900 rpm: firing and its multiples, a little uneven.
fn engine() -> Vec<f64> {
    let mut hiss = noise(0.02);
    let mut phase = 0.0;
    made(|time| {
        phase += 30.0 * (1.0 + 0.01 * (4.0 * time).sin()) / f64::from(RATE);
        let tones: f64 = (1..=8)
            .map(f64::from)
            .map(|n| (2.0 * PI * n * phase + n * n).sin() / n.sqrt())
            .sum();
        0.08 * tones + hiss()
    })
}

impl Phone {
    async fn hearing(samples: &[f64]) -> Result<Self> {
        let files = tempfile::tempdir()?;
        let path = wav(files.path(), samples)?;
        if Engine::chosen()? == Engine::Chromium {
            let profile = Profile::new()?;
            let playing = format!("--use-file-for-fake-audio-capture={}", path.display());
            let arguments = [
                "--accept-lang=en-US",
                "--use-fake-device-for-media-stream",
                "--use-fake-ui-for-media-stream",
                &playing,
            ];
            let chromium = Chromium::start_with(&profile, Screen::PHONE, &arguments).await?;
            return Self::on(Device::Chromium(chromium), profile, files).await;
        }
        let profile = Profile::with_sound().await?;
        let device = Device::start(&profile, Screen::PHONE).await?;
        let phone = Self::on(device, profile, files).await?;
        let data = BASE64.encode(std::fs::read(path)?);
        phone.device.script(STAND_IN, vec![json!(data)]).await?;
        Ok(phone)
    }

    async fn on(device: Device, profile: Profile, files: TempDir) -> Result<Self> {
        let server = Server::start(&built_app()?, 0)?;
        device.open(&server.url()).await?;
        device.save_cars(&[demo::nettle()], "belt").await?;
        device.wait_for("#ear-listen").await?;
        Ok(Self {
            device,
            _server: server,
            _profile: profile,
            _files: files,
        })
    }

    /// Counts the tracks of the microphone that are open, from now on.
    async fn watch_microphone(&self) -> Result<()> {
        let watch = "
            window.tracks = [];
            const { prototype } = MediaDevices, { getUserMedia } = prototype;
            prototype.getUserMedia = async (wanted) => {
                window.wanted = wanted;
                const stream = await getUserMedia.call(navigator.mediaDevices, wanted);
                window.tracks.push(...stream.getTracks());
                return stream;
            };";
        self.device.script(watch, vec![]).await?;
        Ok(())
    }

    async fn is_microphone_open(&self) -> Result<bool> {
        let open = "return window.tracks.some((track) => track.readyState === 'live')";
        let open = self.device.script(open, vec![]).await?;
        open.as_bool().context("no answer")
    }

    /// The readings on the page, Hz.
    async fn readings(&self) -> Result<Vec<f64>> {
        let read = "return [...document.querySelectorAll('#ear-readings .option')]
            .map((plate) => parseFloat(plate.innerText))";
        Ok(serde_json::from_value(
            self.device.script(read, vec![]).await?,
        )?)
    }
}

#[tokio::test]
async fn plucks_are_heard_and_come_to_a_tension() -> Result<()> {
    for hz in [68.0, 131.0] {
        let phone = Phone::hearing(&plucks(hz)).await?;
        let page = &phone.device;
        phone.watch_microphone().await?;
        page.tap("#ear-listen").await?;
        page.wait_text("#ear-listen", "Stop").await?;
        // It ends by itself, and with it the microphone.
        page.wait_text(STATUS, "5 plucks heard").await?;
        page.wait_text("#ear-listen", "Listen").await?;
        assert!(!phone.is_microphone_open().await?);
        let raw = "const audio = window.wanted.audio;
            return [audio.echoCancellation, audio.noiseSuppression, audio.autoGainControl]";
        assert_eq!(
            page.script(raw, vec![]).await?,
            json!([false, false, false])
        );
        let readings = phone.readings().await?;
        assert!(readings.len() >= 5, "{readings:?}");
        for reading in readings {
            assert!((reading / hz - 1.0).abs() < 0.02, "{reading} of {hz} Hz");
        }
        // 4 m L^2 f^2 of what the page itself says of span and belt, against what it says of the tension.
        page.wait_text(".ear .verdict .figure", "lbf").await?;
        let heard = page.saved_car(1).await?.belt_drive.heard;
        assert_eq!(heard.len(), 5);
        page.tap("#ear-take").await?;
        page.wait_gone("#ear-take").await?;
        let car = page.saved_car(1).await?;
        let study = BeltStudy::new(&car, None).map_err(|error| anyhow!("{error:?}"))?;
        let belt = study.to_pluck(false);
        let longest = belt.spans.first().context("no span")?;
        let wanted = 4.0 * belt.kg_per_m * (longest.length_mm / 1_000.0 * hz).powi(2);
        let found = car.belt_drive.tension_n.context("no tension")?;
        assert!((found / wanted - 1.0).abs() < 0.04, "{found} of {wanted} N");

        // Listening anew takes the place of it.
        page.tap("#ear-listen").await?;
        page.wait_text(STATUS, "heard").await?;
        page.tap("#ear-listen").await?;
        page.wait_text("#ear-listen", "Listen").await?;
        let fewer = "return document.querySelectorAll('#ear-readings .option').length < 5";
        page.wait_until("fewer readings", fewer, vec![]).await?;
        phone.device.end(&[]).await?;
    }
    Ok(())
}

#[tokio::test]
async fn what_is_no_pluck_says_so() -> Result<()> {
    let mut loud = noise(0.08);
    let cases = [
        (made(|_| 0.0), "Nothing to hear"),
        (made(|_| loud()), "Noise"),
        (engine(), "an engine"),
    ];
    for (sound, said) in cases {
        let phone = Phone::hearing(&sound).await?;
        phone.watch_microphone().await?;
        phone.device.tap("#ear-listen").await?;
        phone.device.wait_text(STATUS, said).await?;
        assert!(phone.is_microphone_open().await?);
        assert_eq!(phone.readings().await?, [] as [f64; 0]);
        phone.device.tap("#ear-listen").await?;
        phone.device.wait_text("#ear-listen", "Listen").await?;
        assert!(!phone.is_microphone_open().await?);
        phone.device.end(&[]).await?;
    }
    Ok(())
}

#[tokio::test]
async fn leaving_the_page_frees_the_microphone_and_keeps_what_was_heard() -> Result<()> {
    let phone = Phone::hearing(&plucks(90.0)).await?;
    let page = &phone.device;
    phone.watch_microphone().await?;
    page.tap("#ear-listen").await?;
    page.wait_text(STATUS, "heard").await?;
    assert!(phone.is_microphone_open().await?);
    page.go("pulleys").await?;
    assert!(!phone.is_microphone_open().await?);
    page.go("belt").await?;
    page.wait_for("#ear-readings").await?;
    let kept = page.saved_car(1).await?.belt_drive.heard;
    assert!(!kept.is_empty() && kept.len() < 5, "{kept:?}");

    // A page that is hidden hears nothing.
    page.tap("#ear-listen").await?;
    page.wait_text("#ear-listen", "Stop").await?;
    page.wait_text(STATUS, "heard").await?;
    assert!(phone.is_microphone_open().await?);
    let hide = "
        Object.defineProperty(document, 'hidden', { value: true, configurable: true });
        document.dispatchEvent(new Event('visibilitychange', { bubbles: true }));";
    page.script(hide, vec![]).await?;
    assert!(!phone.is_microphone_open().await?);
    page.wait_text("#ear-listen", "Listen").await?;
    phone.device.end(&[]).await
}

#[tokio::test]
async fn a_refused_microphone_leaves_the_frequency_by_hand() -> Result<()> {
    let profile = Profile::new()?;
    let device = Device::start(&profile, Screen::PHONE).await?;
    let phone = Phone::on(device, profile, tempfile::tempdir()?).await?;
    let page = &phone.device;
    page.refuse_capture().await?;
    page.tap("#ear-listen").await?;
    page.wait_text(STATUS, "refused").await?;

    // A text that is none stays beside its error, over a reload too.
    page.retype("#ear-hz", "loud").await?;
    page.tap("#ear-add").await?;
    page.wait_text("#ear-hz-fault", "loud").await?;
    page.reload().await?;
    page.wait_text("#ear-hz-fault", "loud").await?;
    assert_eq!(page.value("#ear-hz").await?, "loud");
    page.retype("#ear-hz", "9,000").await?;
    page.tap("#ear-add").await?;
    page.wait_text("#ear-hz-fault", "600 Hz").await?;
    assert_eq!(phone.readings().await?, [] as [f64; 0]);

    page.retype("#ear-hz", "97 Hz").await?;
    page.tap("#ear-add").await?;
    page.wait_text("#ear-readings", "97.0 Hz").await?;
    assert_eq!(page.value("#ear-hz").await?, "");
    page.retype("#ear-hz", "99").await?;
    page.tap("#ear-add").await?;
    page.wait_text(".ear .readout", "2 readings").await?;

    // What is not one span's is no tension; what is left out does not count.
    page.retype("#ear-hz", "180").await?;
    page.tap("#ear-add").await?;
    page.wait_text(".ear [role=alert]", "too far apart").await?;
    assert_eq!(page.count(".ear .readout").await?, 0);
    page.tap("#ear-readings .option:last-child").await?;
    page.wait_text(".ear .readout", "2 readings").await?;
    page.reload().await?;
    page.wait_text(".ear .readout", "2 readings").await?;
    assert_eq!(phone.readings().await?.len(), 3);
    phone.device.end(&[]).await
}
