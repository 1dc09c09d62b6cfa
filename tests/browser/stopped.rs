//! The app stops in the middle: no dead page, nothing lost, everything to be had as a text.

use anyhow::{Context, Result};
use laneside_core::car::{Car, demo};
use laneside_tests::browser::Browser;
use laneside_tests::browser::app::car_key;
use laneside_tests::cars;
use serde_json::{Value, json};

use crate::share::{open_file, written_down};
use crate::storage_faults::as_saved;
use crate::visit::Visit;

/// A module whose only function traps, called as a tap calls one: (module (func (export "f") unreachable)).
const TRAP: &str = "
    const module = new WebAssembly.Module(new Uint8Array([
        0, 97, 115, 109, 1, 0, 0, 0, 1, 4, 1, 96, 0, 0, 3, 2, 1, 0, 7, 5, 1, 1, 102, 0, 0, 10, 5, 1, 3, 0, 0, 11,
    ]));
    const { f } = new WebAssembly.Instance(module).exports;";
const IN_PROMISE: &str = "Promise.resolve().then(f);";
const IN_CALL: &str = "setTimeout(f);";
/// The file as it would be saved.
const CATCH: &str = "
    const real = URL.createObjectURL;
    URL.createObjectURL = (blob) => { blob.text().then((text) => window.saved = text); return real(blob) };";

/// Everything, as the stopped app gives it out.
async fn given_out(phone: &Browser) -> Result<Value> {
    phone.tap(".stopped .button:nth-of-type(2)").await?;
    let is_there = "return typeof window.saved === 'string'";
    phone.wait_until("the file", is_there, vec![]).await?;
    let saved = phone.script("return window.saved", vec![]).await?;
    Ok(serde_json::from_str(saved.as_str().unwrap_or_default())?)
}

#[tokio::test]
async fn a_stopped_app_says_so_and_gives_everything_out() -> Result<()> {
    for in_promise in [false, true] {
        let visit = Visit::with(&[cars::over(), cars::holds()], "pulleys").await?;
        let phone = &visit.device;
        phone.retype("#fitted", "2 1/2").await?;
        let before = phone.stored(&car_key(1)).await?;
        // Past the start.
        tokio::time::sleep(std::time::Duration::from_millis(1_500)).await;
        phone.script(CATCH, vec![]).await?;
        let call = if in_promise { IN_PROMISE } else { IN_CALL };
        phone.in_page(&format!("{TRAP}{call}")).await?;
        phone.wait_text(".stopped", "Your cars are saved").await?;
        phone.screenshot("stopped").await?;
        // Nothing beneath can be tapped any more.
        let beneath =
            "return document.elementFromPoint(innerWidth / 2, 60)?.closest('header') === null";
        assert_eq!(phone.script(beneath, vec![]).await?, json!(true));
        let saved = given_out(phone).await?;
        assert_eq!(saved["format"], "laneside-raw");
        let entries = saved["entries"]
            .as_array()
            .map(Vec::as_slice)
            .unwrap_or_default();
        for id in [1, 2] {
            let text = phone.stored(&car_key(id)).await?;
            assert!(entries.contains(&json!([car_key(id), text])), "car {id}");
        }
        let spares = saved["passes"].as_array().map(Vec::len);
        assert!(spares >= Some(1), "{spares:?}");

        phone.tap(".stopped .button:nth-of-type(1)").await?;
        phone.wait_gone(".stopped").await?;
        phone.wait_for("#fitted").await?;
        assert_eq!(phone.stored(&car_key(1)).await?, before);
        assert_eq!(phone.value("#fitted").await?, "2 1/2 in");
        // The console tells of the trap, as it must.
        phone.complaints().await?;
        visit.end().await?;
    }
    Ok(())
}

/// Waits until there is a saved car of this number.
async fn is_kept(phone: &Browser, id: usize) -> Result<()> {
    let is_there = "return localStorage.getItem(arguments[0]) !== null";
    let key = vec![json!(car_key(id))];
    phone.wait_until("it is kept", is_there, key).await
}

/// What is kept, under the name that the car had before: what is kept beside another of its name is numbered.
async fn but_for_its_name(phone: &Browser, id: usize, car: &Car) -> Result<Car> {
    let mut kept = phone.saved_car(id).await?;
    assert!(kept.name.starts_with(&car.name), "{}", kept.name);
    kept.name.clone_from(&car.name);
    Ok(kept)
}

/// On another phone the text opens as a file of cars does, with what can be read of each: the entry, else the good copy or
/// the spare one, whichever is newer. What waited to be kept opens too.
#[tokio::test]
async fn what_it_gave_out_opens_elsewhere() -> Result<()> {
    let visit = Visit::with(&[cars::over(), cars::holds()], "pulleys").await?;
    let phone = &visit.device;
    phone.retype("#fitted", "2 1/2").await?;
    tokio::time::sleep(std::time::Duration::from_millis(1_500)).await;
    let sent = demo::tansy().to_short_file()?;
    let hash = laneside_tests::link::hash(&sent)?;
    let to = "location.hash = arguments[0]";
    phone.script(to, vec![json!(hash)]).await?;
    phone.wait_text(".received", "Tansy").await?;
    written_down(phone, 1).await?;
    let own = [phone.saved_car(1).await?, phone.saved_car(2).await?];
    let [first, second] = own.clone();
    let cars = [first, second, Car::from_file(&sent)?];
    phone.script(CATCH, vec![]).await?;
    phone.in_page(&format!("{TRAP}{IN_CALL}")).await?;
    phone.wait_for(".stopped").await?;
    let mut text = given_out(phone).await?;
    phone.complaints().await?;
    visit.end().await?;

    let visit = Visit::with(&[demo::nettle()], "cars").await?;
    let phone = &visit.device;
    open_file(phone, &text.to_string()).await?;
    phone.tap(".received button:nth-of-type(4)").await?;
    phone.wait_gone(".received").await?;
    for (id, car) in [2, 3, 4].into_iter().zip(&cars) {
        is_kept(phone, id).await?;
        assert_eq!(&but_for_its_name(phone, id, car).await?, car);
    }

    // Of the first car the spare copy is newer than the entry; the second's entry is torn, and its good copy is not.
    // What was set aside cannot be read.
    let of = |key: String| move |entry: &&mut Value| entry[0] == json!(key);
    let entries = text["entries"].as_array_mut().context("no entries")?;
    let entry = entries.iter_mut().find(of(car_key(2)));
    let second = std::mem::replace(&mut entry.context("no entry")?[1], json!("{\"file\":"));
    entries.retain(|entry| entry[0] != json!("laneside.good.2"));
    entries.push(json!(["laneside.good.2", second]));
    entries.push(json!(["laneside.aside.7", "{"]));
    let copies = text["passes"].as_array_mut().context("no passes")?;
    copies.retain(|copy| copy[0] != json!([0, 2]) && copy[0][0] != json!(-1));
    let spare = copies.iter_mut().find(|copy| copy[0] == json!([0, 1]));
    let spare = &mut spare.context("no spare copy")?[1];
    let mut record: Value = serde_json::from_str(spare.as_str().context("no text")?)?;
    record["stamp"] = json!(record["stamp"].as_f64().context("no stamp")? + 1.0);
    let mut newer = own[0].clone();
    newer.name = "Newer".to_owned();
    record["file"] = json!(newer.to_file()?);
    *spare = json!(record.to_string());
    open_file(phone, &text.to_string()).await?;
    let told = "one car in it that cannot be read";
    phone.wait_text("#car-file-fault", told).await?;
    phone.tap(".received button:nth-of-type(4)").await?;
    phone.wait_gone(".received").await?;
    is_kept(phone, 6).await?;
    assert_eq!(phone.saved_car(5).await?, newer);
    assert_eq!(but_for_its_name(phone, 6, &own[1]).await?, own[1]);

    // Nothing can be read.
    let torn = json!({ "format": "laneside-raw", "version": 1, "passes": [],
        "entries": [["laneside.car.1", "{"], ["laneside.car.2", "{"], ["laneside.order", "[]"]] });
    open_file(phone, &torn.to_string()).await?;
    let told = "Found 2 cars in it that cannot be read";
    phone.wait_text("#car-file-fault", told).await?;
    assert_eq!(phone.count(".received").await?, 0);
    visit.end().await
}

/// Where a car itself makes it stop, it starts without one.
#[tokio::test]
async fn it_starts_with_no_car_open() -> Result<()> {
    let visit = Visit::with(&[cars::over(), cars::holds()], "pulleys").await?;
    let phone = &visit.device;
    tokio::time::sleep(std::time::Duration::from_millis(1_500)).await;
    phone.in_page(&format!("{TRAP}{IN_CALL}")).await?;
    phone.tap(".stopped .button:nth-of-type(3)").await?;
    phone.wait_gone(".stopped").await?;
    phone.wait_for(".cars li").await?;
    assert_eq!(phone.count(".cars li").await?, 2);
    assert_eq!(phone.count(".cars [aria-current]").await?, 0);
    assert_eq!(phone.saved_car(1).await?, as_saved(&cars::over())?);
    phone.tap(".cars li:nth-child(2) button").await?;
    phone.wait_text(".car-name", "Holds").await?;
    phone.complaints().await?;
    visit.end().await
}
