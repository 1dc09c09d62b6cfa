//! Texts kept in the browser's database (IndexedDB), sorted by owner: there is more room than in the local
//! storage, and a text of a megabyte does not hold up the page.
//!
//! A key is `[owner, number]`. Everything here may be refused or run full; who calls is told, and keeps the
//! text at hand.

use js_sys::futures::JsFuture;
use js_sys::{Array, Function, Promise};
use wasm_bindgen::closure::Closure;
use wasm_bindgen::{JsCast, JsValue};
use web_sys::{
    IdbDatabase, IdbKeyRange, IdbObjectStore, IdbRequest, IdbTransaction, IdbTransactionMode,
};

const DATABASE: &str = "laneside";
const VERSION: u32 = 1;
const TEXTS: &str = "passes";

/// The owner of the spare copies of cars; no car has it.
pub const SPARE: f64 = 0.0;

/// The owner of cars that came from elsewhere and are not kept yet; no car has it.
pub const WAITING: f64 = -1.0;

/// Why the database did not do it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum ShelfError {
    /// There is none, or it may not be used.
    Refused,
    /// No room is left.
    Full,
}

impl ShelfError {
    fn from_js(error: &JsValue) -> Self {
        let name = js_sys::Reflect::get(error, &"name".into()).ok();
        match name.and_then(|name| name.as_string()).as_deref() {
            Some("QuotaExceededError") => Self::Full,
            _ => Self::Refused,
        }
    }
}

type Kept<T> = Result<T, ShelfError>;

/// Waits for one of two events.
async fn either(listen: impl Fn(&Function, &Function)) -> bool {
    let promise = Promise::new(&mut |done, failed| listen(&done, &failed));
    JsFuture::from(promise).await.is_ok()
}

async fn answer(request: &IdbRequest) -> Kept<JsValue> {
    let is_done = either(|done, failed| {
        request.set_onsuccess(Some(done));
        request.set_onerror(Some(failed));
    });
    if is_done.await {
        request
            .result()
            .map_err(|error| ShelfError::from_js(&error))
    } else {
        let error = request.error().ok().flatten();
        Err(error.map_or(ShelfError::Refused, |error| ShelfError::from_js(&error)))
    }
}

async fn open() -> Kept<IdbDatabase> {
    let refused = |_: JsValue| ShelfError::Refused;
    let factory = leptos::prelude::window().indexed_db().map_err(refused)?;
    let request = factory
        .ok_or(ShelfError::Refused)?
        .open_with_u32(DATABASE, VERSION)
        .map_err(refused)?;
    let opened = request.clone();
    let make = Closure::<dyn FnMut()>::once(move || {
        if let Ok(database) = opened.result() {
            // Refused, the first use of the store tells.
            let _ = database
                .unchecked_into::<IdbDatabase>()
                .create_object_store(TEXTS);
        }
    });
    request.set_onupgradeneeded(Some(make.as_ref().unchecked_ref()));
    Ok(answer(&request).await?.unchecked_into())
}

/// What is done with the texts in one go: all of it, or nothing.
struct Work {
    database: IdbDatabase,
    transaction: IdbTransaction,
    texts: IdbObjectStore,
}

impl Work {
    async fn start(mode: IdbTransactionMode) -> Kept<Self> {
        let refused = |error: JsValue| ShelfError::from_js(&error);
        let database = open().await?;
        let transaction = database
            .transaction_with_str_and_mode(TEXTS, mode)
            .map_err(refused)?;
        let texts = transaction.object_store(TEXTS).map_err(refused)?;
        Ok(Self {
            database,
            transaction,
            texts,
        })
    }

    /// Waits until all of it is written for good.
    async fn end(&self) -> Kept<()> {
        let is_done = either(|done, failed| {
            self.transaction.set_oncomplete(Some(done));
            self.transaction.set_onabort(Some(failed));
        });
        let is_done = is_done.await;
        if is_done {
            return Ok(());
        }
        let error = self.transaction.error();
        Err(error.map_or(ShelfError::Refused, |error| ShelfError::from_js(&error)))
    }
}

impl Drop for Work {
    /// One left open would hold up another version's change of the database.
    fn drop(&mut self) {
        self.database.close();
    }
}

fn key(owner: f64, number: f64) -> JsValue {
    Array::of2(&owner.into(), &number.into()).into()
}

/// All keys of an owner: an array sorts after every number.
fn all_of(owner: f64) -> Kept<IdbKeyRange> {
    let until = Array::of2(&owner.into(), &Array::new());
    IdbKeyRange::bound(&Array::of1(&owner.into()), &until).map_err(|_| ShelfError::Refused)
}

/// The texts of an owner, each with its number, by number.
pub async fn texts(owner: f64) -> Kept<Vec<(f64, String)>> {
    let work = Work::start(IdbTransactionMode::Readonly).await?;
    let refused = |error: JsValue| ShelfError::from_js(&error);
    let range = all_of(owner)?;
    let keys = work.texts.get_all_keys_with_key(&range).map_err(refused)?;
    let values = work.texts.get_all_with_key(&range).map_err(refused)?;
    // Both are asked for before either is waited for: a transaction with nothing to do ends.
    let keys: Array = answer(&keys).await?.unchecked_into();
    let values: Array = answer(&values).await?.unchecked_into();
    let number = |key: JsValue| key.unchecked_into::<Array>().get(1).as_f64();
    let pairs = keys.iter().zip(values.iter());
    Ok(pairs
        .filter_map(|(key, text)| Some((number(key)?, text.as_string()?)))
        .collect())
}

/// Keeps texts under their numbers; all of them or none.
pub async fn put(owner: f64, texts: &[(f64, String)]) -> Kept<()> {
    let work = Work::start(IdbTransactionMode::Readwrite).await?;
    for (number, text) in texts {
        work.texts
            .put_with_key(&text.as_str().into(), &key(owner, *number))
            .map_err(|error| ShelfError::from_js(&error))?;
    }
    work.end().await
}

/// Deletes one text of an owner.
pub async fn delete(owner: f64, number: f64) -> Kept<()> {
    delete_at(key(owner, number)).await
}

/// Deletes all texts of an owner.
pub async fn delete_all(owner: f64) -> Kept<()> {
    delete_at(all_of(owner)?.into()).await
}

async fn delete_at(place: JsValue) -> Kept<()> {
    let work = Work::start(IdbTransactionMode::Readwrite).await?;
    work.texts
        .delete(&place)
        .map_err(|error| ShelfError::from_js(&error))?;
    work.end().await
}

/// The owners of which passes are kept.
pub async fn owners() -> Kept<Vec<f64>> {
    let work = Work::start(IdbTransactionMode::Readonly).await?;
    let keys = work.texts.get_all_keys();
    let keys = keys.map_err(|error| ShelfError::from_js(&error))?;
    let keys: Array = answer(&keys).await?.unchecked_into();
    let owner = |key: JsValue| key.unchecked_into::<Array>().get(0).as_f64();
    let mut owners: Vec<f64> = keys.iter().filter_map(owner).collect();
    owners.retain(|owner| ![SPARE, WAITING].contains(owner));
    owners.dedup();
    Ok(owners)
}
