//! How the module is linked.

/// More memory than a car, its day and a short log take, in bytes. Pages that are not used yet cost nothing.
///
/// With memory that had to grow while it was computing, WebKit (WebKitGTK 2.50.6) now and then read and wrote where it had
/// been before: a trap, or a loop without an end.
const MEMORY: usize = 16 << 20;

fn main() {
    println!("cargo::rerun-if-changed=build.rs");
    if std::env::var("CARGO_CFG_TARGET_ARCH").is_ok_and(|arch| arch == "wasm32") {
        println!("cargo::rustc-link-arg-bins=--initial-memory={MEMORY}");
    }
}
