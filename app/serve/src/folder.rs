//! Puts a build into a folder for a file host: parts first, what names them last; nothing of anyone else's is touched.
//!
//! The stamp in the folder lists every file that was written, with its hash. A file is ours only while it still has a
//! recorded hash; all others are left alone, and a build that would need their names is refused before anything is written.

use crate::build::INDEX;
use rayon::prelude::*;
use sha2::{Digest, Sha256};
use std::collections::BTreeMap;
use std::fs::{self, File, OpenOptions};
use std::hash::{DefaultHasher, Hash, Hasher};
use std::io::Write;
use std::path::{Path, PathBuf};

/// Files of a build by name.
pub(crate) type Files = BTreeMap<String, Vec<u8>>;

/// The list of what was written.
const STAMP: &str = ".stamp";
/// First line of a stamp of this form.
const FORM: &str = "amp-larder site 2";
/// How the name of each copy of a file ends: as it is, by brotli, by gzip.
const COPIES: [&str; 3] = ["", ".br", ".gz"];
/// Strength of brotli and its window.
const BROTLI: (u32, u32) = (11, 22);
/// Builds whose parts stay: this one, the one before it, and one whose run may have been cut short.
const KEPT: usize = 3;
/// Files that browsers look at for a newer build: written when all else is there, in this order.
const LAST: [&str; 2] = [INDEX, "sw.js"];
/// Files whose names carry no hash, beside those.
const PLAIN_NAMES: [&str; 5] = [
    "favicon.svg",
    "icon-192.png",
    "icon-512.png",
    "manifest.webmanifest",
    "plan.schema.json",
];

/// What a stamp says: hashes by name of each build, the last one first. A build that was being written when its run ended
/// counts as one of them.
#[derive(Debug, Default, PartialEq)]
struct Stamp {
    builds: Vec<BTreeMap<String, String>>,
}

impl Stamp {
    /// Reads a folder's stamp, as far as its names are such as this program writes; nothing where there is none, or an empty one.
    ///
    /// # Errors
    /// A sentence where the file was not written by this program.
    fn read(folder: &Path) -> Result<Self, String> {
        let path = folder.join(STAMP);
        let foreign = format!(
            "{} was not written by this program, or was damaged. Nothing was written. Move it away, or choose another folder.",
            path.display()
        );
        match fs::symlink_metadata(&path) {
            Err(_) => return Ok(Self::default()),
            Ok(found) if !found.is_file() => return Err(foreign),
            Ok(_) => {}
        }
        let text = fs::read_to_string(&path).map_err(|_| foreign.clone())?;
        let mut stamp = Self::default();
        if text.is_empty() {
            return Ok(stamp);
        }
        let mut lines = text.lines();
        if lines.next() != Some(FORM) {
            stamp
                .builds
                .push(earlier_form(folder, &text).ok_or(foreign)?);
            return Ok(stamp);
        }
        for line in lines {
            match line.split_once(' ') {
                None if line == "build" => stamp.builds.push(BTreeMap::new()),
                Some((hash, name)) if is_own_name(name) => {
                    if let Some(build) = stamp.builds.last_mut() {
                        build.insert(name.to_owned(), hash.to_owned());
                    }
                }
                _ => {}
            }
        }
        Ok(stamp)
    }

    fn text(&self) -> String {
        let mut text = format!("{FORM}\n");
        for build in &self.builds {
            text += "build\n";
            for (name, hash) in build {
                text += &format!("{hash} {name}\n");
            }
        }
        text
    }

    /// Whether a file in a folder, if there is one, was written by this program and not changed since.
    fn owns(&self, folder: &Path, name: &str) -> bool {
        let path = folder.join(name);
        match fs::symlink_metadata(&path) {
            Err(_) => return true,
            Ok(found) if !found.is_file() => return false,
            Ok(_) => {}
        }
        let Ok(content) = fs::read(&path) else {
            return false;
        };
        let hash = hex(&Sha256::digest(&content));
        // Nobody's work is in an empty file, nor in one whose name is a hash: such a change is damage.
        let is_damage = content.is_empty() || !is_plain_name(name);
        let mut recorded = self.builds.iter().filter_map(|build| build.get(name));
        recorded.any(|known| is_damage || *known == hash)
    }
}

/// Hashes of a build in the earlier form of the stamp: one hash of all contents, then the names without their copies. Nothing
/// unless the files still have that hash.
fn earlier_form(folder: &Path, text: &str) -> Option<BTreeMap<String, String>> {
    let (hash, names) = text.split_once('\n')?;
    let names: Vec<&str> = names.lines().collect();
    if !names.iter().all(|name| is_own_name(name)) {
        return None;
    }
    let read = |name: &&str| Some(((*name).to_owned(), fs::read(folder.join(name)).ok()?));
    let files: Files = names.iter().map(read).collect::<Option<_>>()?;
    let mut hasher = DefaultHasher::new();
    files.hash(&mut hasher);
    if hash != format!("{:016x}", hasher.finish()) {
        return None;
    }
    let names = names
        .iter()
        .flat_map(|name| COPIES.map(|copy| format!("{name}{copy}")));
    let found = names.filter_map(|name| Some((name.clone(), hash_of_file(&folder.join(&name))?)));
    Some(found.collect())
}

/// A name without the ending of its copy.
fn without_copy(name: &str) -> &str {
    let mut endings = COPIES.iter().rev();
    endings
        .find_map(|copy| name.strip_suffix(copy))
        .unwrap_or(name)
}

/// Whether a name is one of the few that carry no hash.
fn is_plain_name(name: &str) -> bool {
    let name = without_copy(name);
    LAST.contains(&name) || PLAIN_NAMES.contains(&name)
}

/// Whether a name is one that a build may have: no folder, no dot file, a hash or one of the few fixed names.
fn is_own_name(name: &str) -> bool {
    if is_plain_name(name) {
        return true;
    }
    let name = without_copy(name);
    let Some((stem, kind)) = name.split_once('.') else {
        return false;
    };
    let Some((stem, hash)) = stem.rsplit_once('-') else {
        return false;
    };
    ["js", "wasm", "css", "txt"].contains(&kind)
        && hash.len() == 16
        && hash.bytes().all(|byte| byte.is_ascii_hexdigit())
        && stem
            .bytes()
            .all(|byte| byte.is_ascii_lowercase() || byte == b'-')
}

/// Bytes as hexadecimal digits.
pub(crate) fn hex(bytes: &[u8]) -> String {
    bytes.iter().map(|byte| format!("{byte:02x}")).collect()
}

fn hash_of_file(path: &Path) -> Option<String> {
    Some(hex(&Sha256::digest(fs::read(path).ok()?)))
}

/// Puts a build into a folder. The parts of the builds just before it stay, for pages that are still open; older ones go.
///
/// # Errors
/// A sentence that names the files that are in the way, and then nothing has been written; or what the system refused.
pub(crate) fn publish(folder: &Path, files: &Files) -> Result<(), String> {
    // Two builds into one folder take turns, where the system can lock a folder.
    let lock = File::open(folder);
    let _ = lock.as_ref().map(File::lock);
    let stamp = Stamp::read(folder)?;
    let names: Vec<String> = files
        .keys()
        .flat_map(|name| COPIES.map(|copy| format!("{name}{copy}")))
        .collect();
    let foreign = names.iter().filter(|name| !stamp.owns(folder, name));
    let foreign: Vec<&str> = foreign.map(String::as_str).collect();
    if !foreign.is_empty() {
        return Err(format!(
            "{} has files of the same names that this program did not write, or that were changed since: {}. Nothing was written. Move them away, or choose another folder.",
            folder.display(),
            foreign.join(", ")
        ));
    }
    if let Some(last) = stamp.builds.first()
        && is_whole(folder, files, last)
    {
        return Ok(());
    }
    // Progress that can't be shown stops no build.
    let _ = crate::tell("Compressing …\n");
    let copies = compressed(files)?;
    let hash = |(name, content): (&String, &Vec<u8>)| (name.clone(), hex(&Sha256::digest(content)));
    let new: BTreeMap<String, String> = copies.iter().map(hash).collect();
    // The same build, mended where something was missing, takes no other's place.
    let earlier = stamp.builds.iter().filter(|build| **build != new);
    let mut builds: Vec<_> = [&new].into_iter().chain(earlier).cloned().collect();
    // Written before the files, so that a run that is cut short leaves nothing that the next one does not know.
    put_stamp(folder, &builds)?;
    let is_last = |name: &str| LAST.iter().any(|last| name.starts_with(last));
    copies
        .par_iter()
        .filter(|(name, _)| !is_last(name))
        .try_for_each(|(name, content)| put(folder, name, content))?;
    for (last, copy) in LAST.iter().flat_map(|last| COPIES.map(|copy| (last, copy))) {
        let name = format!("{last}{copy}");
        if let Some(content) = copies.get(&name) {
            put(folder, &name, content)?;
        }
    }
    let older = builds.split_off(builds.len().min(KEPT));
    for name in older.iter().flat_map(BTreeMap::keys) {
        let is_kept = builds.iter().any(|build| build.contains_key(name));
        if !is_kept && stamp.owns(folder, name) {
            // What is gone already is no fault.
            let _ = fs::remove_file(folder.join(name));
        }
    }
    // Half-written files of a run that was cut short.
    for name in stamp.builds.iter().flat_map(BTreeMap::keys) {
        let _ = fs::remove_file(arriving(folder, name));
    }
    put_stamp(folder, &builds)
}

/// Where a file is written before it takes its name.
fn arriving(folder: &Path, name: &str) -> PathBuf {
    folder.join(format!(".{}.new", name.trim_start_matches('.')))
}

fn put_stamp(folder: &Path, builds: &[BTreeMap<String, String>]) -> Result<(), String> {
    let builds = builds.to_vec();
    put(folder, STAMP, Stamp { builds }.text().as_bytes())
}

/// Whether a folder holds these files, each with its copies as they were written.
fn is_whole(folder: &Path, files: &Files, written: &BTreeMap<String, String>) -> bool {
    let is_same = |(name, content): (&String, &Vec<u8>)| {
        written.get(name) == Some(&hex(&Sha256::digest(content)))
    };
    written.len() == files.len() * COPIES.len()
        && files.iter().all(is_same)
        && written
            .iter()
            .all(|(name, hash)| hash_of_file(&folder.join(name)).as_ref() == Some(hash))
}

/// Each file with its compressed copies.
fn compressed(files: &Files) -> Result<Files, String> {
    let of_one = |(name, content): (&String, &Vec<u8>)| {
        let contents = [content.clone(), brotli_of(content)?, gzip_of(content)?];
        let names = COPIES.map(|copy| format!("{name}{copy}"));
        Ok(names.into_iter().zip(contents).collect::<Vec<_>>())
    };
    let all: Result<Vec<_>, String> = files.par_iter().map(of_one).collect();
    Ok(all?.into_iter().flatten().collect())
}

/// Writes a file under another name, then renames it: a reader gets all of the old content or all of the new.
fn put(folder: &Path, name: &str, content: &[u8]) -> Result<(), String> {
    let path = folder.join(name);
    let arriving = arriving(folder, name);
    let write = || {
        // What an earlier run left; a link in its place is removed, not followed.
        let _ = fs::remove_file(&arriving);
        let mut file = OpenOptions::new()
            .write(true)
            .create_new(true)
            .open(&arriving)?;
        file.write_all(content)?;
        file.sync_all()?;
        fs::rename(&arriving, &path)
    };
    write().map_err(|fault| format!("{} can't be written: {fault}.", path.display()))
}

fn brotli_of(bytes: &[u8]) -> Result<Vec<u8>, String> {
    let mut writer = brotli::CompressorWriter::new(Vec::new(), 4096, BROTLI.0, BROTLI.1);
    writer.write_all(bytes).map_err(|fault| fault.to_string())?;
    Ok(writer.into_inner())
}

fn gzip_of(bytes: &[u8]) -> Result<Vec<u8>, String> {
    let mut writer = flate2::write::GzEncoder::new(Vec::new(), flate2::Compression::best());
    writer.write_all(bytes).map_err(|fault| fault.to_string())?;
    writer.finish().map_err(|fault| fault.to_string())
}

#[cfg(test)]
mod tests;
