//! A second version of the built app, made by the build's own last step.

use std::fs;
use std::path::{Path, PathBuf};
use std::process::Command;

use anyhow::{Context, Result, ensure};
use laneside_tests::browser::{built_app, workspace};
use tempfile::TempDir;

/// A copy of the build with changes, in a folder of its own.
pub struct Version(TempDir);

impl Version {
    /// The build as it is.
    pub fn current() -> Result<Self> {
        let folder = tempfile::tempdir()?;
        copy(&built_app()?, folder.path())?;
        Ok(Self(folder))
    }

    /// The build that would follow it: the page, an icon and the WebAssembly differ.
    pub fn next() -> Result<Self> {
        let version = Self::current()?;
        version.append("index.html", b"<meta name=\"next-version\">\n")?;
        version.append("icon.svg", b"<!-- redrawn -->\n")?;
        // A custom section, of no effect: id 0, three bytes, the name "up".
        version.append(&version.wasm()?, &[0, 3, 2, b'u', b'p'])?;
        version.finish()?;
        Ok(version)
    }

    pub fn folder(&self) -> &Path {
        self.0.path()
    }

    pub fn path(&self, name: &str) -> PathBuf {
        self.0.path().join(name)
    }

    /// The name of the WebAssembly file.
    pub fn wasm(&self) -> Result<String> {
        for entry in fs::read_dir(self.folder())? {
            let name = entry?.file_name().to_string_lossy().into_owned();
            if name.ends_with(".wasm") {
                return Ok(name);
            }
        }
        anyhow::bail!("the build has no WebAssembly file")
    }

    pub fn append(&self, name: &str, more: &[u8]) -> Result<()> {
        let mut data = fs::read(self.path(name)).with_context(|| name.to_owned())?;
        data.extend_from_slice(more);
        fs::write(self.path(name), data)?;
        Ok(())
    }

    /// Puts other bytes on the server than the ones the service worker was told of.
    pub fn spoil(&self, name: &str, change: impl FnOnce(&mut Vec<u8>)) -> Result<()> {
        let mut data = fs::read(self.path(name))?;
        change(&mut data);
        fs::write(self.path(name), data)?;
        self.drop_compressed(name)
    }

    pub fn remove(&self, name: &str) -> Result<()> {
        fs::remove_file(self.path(name))?;
        self.drop_compressed(name)
    }

    fn drop_compressed(&self, name: &str) -> Result<()> {
        let compressed = self.path(&format!("{name}.br"));
        if compressed.exists() {
            fs::remove_file(compressed)?;
        }
        Ok(())
    }

    /// Runs the build's last step again: new hashes, a new service worker.
    pub fn finish(&self) -> Result<()> {
        let status = Command::new("node")
            .arg(workspace()?.join("app/build/finish.mjs"))
            .arg(self.folder())
            .env_remove("TRUNK_PROFILE")
            .status()?;
        ensure!(status.success(), "finish.mjs failed");
        Ok(())
    }
}

fn copy(from: &Path, to: &Path) -> Result<()> {
    fs::create_dir_all(to)?;
    for entry in fs::read_dir(from)? {
        let entry = entry?;
        let target = to.join(entry.file_name());
        if entry.file_type()?.is_dir() {
            copy(&entry.path(), &target)?;
        } else {
            fs::copy(entry.path(), target)?;
        }
    }
    Ok(())
}
