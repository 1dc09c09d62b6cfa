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
        Self::of(&built_app()?)
    }

    /// Another build.
    pub fn of(build: &Path) -> Result<Self> {
        let folder = tempfile::tempdir()?;
        copy(build, folder.path())?;
        Ok(Self(folder))
    }

    /// The build that would follow it: the page, an icon and the WebAssembly differ.
    pub fn next() -> Result<Self> {
        Self::after(1)
    }

    /// The build that would follow it after that many others.
    pub fn after(count: u8) -> Result<Self> {
        let version = Self::current()?;
        let mark = format!("<meta name=\"next-version\" content=\"{count}\">\n");
        version.append("index.html", mark.as_bytes())?;
        version.append("icon.svg", format!("<!-- redrawn {count} -->\n").as_bytes())?;
        // A custom section, of no effect: id 0, three bytes, a name of two.
        version.append(&version.wasm()?, &[0, 3, 2, b'u', b'0' + count])?;
        version.finish()?;
        Ok(version)
    }

    /// The build with other words of its second language: English and translation of each message.
    pub fn speaking(&self, messages: &[(String, String)]) -> Result<()> {
        let name = self.words()?;
        let mut lines: Vec<String> = messages
            .iter()
            .map(|(english, other)| format!("{english}\t{other}"))
            .collect();
        lines.sort_unstable();
        let before = self.integrity(&name)?;
        fs::write(self.path(&name), lines.join("\n"))?;
        self.drop_compressed(&name)?;
        let page = fs::read_to_string(self.path("index.html"))?;
        let page = page.replace(&before, &self.integrity(&name)?);
        fs::write(self.path("index.html"), page)?;
        self.drop_compressed("index.html")?;
        self.finish()
    }

    /// The name of the file of words.
    pub fn words(&self) -> Result<String> {
        self.named("words-", ".txt")
    }

    /// The hash of a file as a page names it.
    fn integrity(&self, name: &str) -> Result<String> {
        let hash = "const { readFileSync } = require('fs');
            const { createHash } = require('crypto');
            const data = readFileSync(process.argv[1]);
            process.stdout.write('sha256-' + createHash('sha256').update(data).digest('base64'));";
        let path = self.path(name);
        let told = Command::new("node")
            .arg("-e")
            .arg(hash)
            .arg(path)
            .output()?;
        ensure!(told.status.success(), "no hash of {name}");
        Ok(String::from_utf8(told.stdout)?)
    }

    /// Changes a file and finishes the build again, as a release with a fault in it is finished.
    pub fn with_fault(self, name: &str, change: impl FnOnce(&mut Vec<u8>)) -> Result<Self> {
        self.spoil(name, change)?;
        self.finish()?;
        Ok(self)
    }

    /// The name of the script whose name starts so.
    pub fn script(&self, start: &str) -> Result<String> {
        self.named(start, ".js")
    }

    fn named(&self, start: &str, end: &str) -> Result<String> {
        for entry in fs::read_dir(self.folder())? {
            let name = entry?.file_name().to_string_lossy().into_owned();
            if name.starts_with(start) && name.ends_with(end) {
                return Ok(name);
            }
        }
        anyhow::bail!("the build has no {start}*{end}")
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
            // Without compressing: that takes most of a minute, and no test here is about it.
            .env("TRUNK_PROFILE", "debug")
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
