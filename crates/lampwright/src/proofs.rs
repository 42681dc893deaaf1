//! Answers of `prove`, remembered in the display's own hidden folder by the content of everything they depend on.
//!
//! Beside the display, because they are worth as much as it is and go with a copy of it. A folder is named after the hash of the
//! rules' form and the program's version, a file in it after that of the claim and the limits. It carries the hash of the
//! answer: what was cut off, mixed up or edited is looked at again, never believed.

use crate::ending::Stop;
use prove::{Answer, Limits};
use rules::form::Form;
use serde::{Deserialize, Serialize};
use sha2::{Digest, Sha256};
use std::fs;
use std::io::Write;
use std::path::{Path, PathBuf};

/// Where they are kept, within the display's folder; those about one form in a folder of their own.
const FOLDER: &str = ".lampwright/proofs";

/// No answer is longer, traces of long plays included; a longer file is not ours.
const MOST_BYTES: u64 = 64 << 20;

/// What one form's answers under certain limits are kept as.
pub(crate) struct Proofs {
    folder: PathBuf,
    /// All that an answer depends on besides form and claim.
    limits: String,
}

#[derive(Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct Kept {
    key: String,
    answer: Answer,
    sum: String,
}

/// The folder of the answers about a form, within the display's; none when the form cannot be written down.
pub(crate) fn folder_of(form: &Form) -> Option<String> {
    let form = serde_json::to_string(form).ok()?;
    Some(format!("{FOLDER}/{}", hash(&[env!("CARGO_PKG_VERSION"), &form])))
}

/// The answer in a file, if it is whole.
pub(crate) fn believed(bytes: &[u8]) -> Option<Answer> {
    let kept: Kept = serde_json::from_slice(bytes).ok()?;
    (sum(&kept.answer)? == kept.sum).then_some(kept.answer)
}

impl Proofs {
    /// For a form and limits; nothing is written yet.
    pub(crate) fn of(display: &Path, form: &Form, limits: &Limits) -> Result<Self, Stop> {
        let limits = serde_json::to_string(limits).map_err(|why| Stop::System(why.to_string()))?;
        let folder =
            folder_of(form).ok_or_else(|| Stop::System("the rules cannot be written as JSON".into()))?;
        Ok(Self { folder: display.join(folder), limits })
    }

    fn key(&self, claim: &str) -> String {
        hash(&[claim, &self.limits])
    }

    fn path(&self, key: &str) -> PathBuf {
        self.folder.join(format!("{key}.json"))
    }

    /// The answer, if it was kept and is whole.
    pub(crate) fn known(&self, claim: &str) -> Option<Answer> {
        let key = self.key(claim);
        let path = self.path(&key);
        if fs::metadata(&path).ok()?.len() > MOST_BYTES {
            return None;
        }
        let bytes = fs::read(path).ok()?;
        let kept: Kept = serde_json::from_slice(&bytes).ok()?;
        believed(&bytes).filter(|answer| kept.key == key && answer.claim == claim)
    }

    /// Keeps an answer. Where that fails (a folder that may not be written), it is worked out again next time.
    pub(crate) fn keep(&self, answer: &Answer) {
        let _ = self.try_keep(answer);
    }

    fn try_keep(&self, answer: &Answer) -> Option<()> {
        let key = self.key(&answer.claim);
        let path = self.path(&key);
        let kept = Kept { key, sum: sum(answer)?, answer: answer.clone() };
        fs::create_dir_all(&self.folder).ok()?;
        let mut fresh = tempfile::NamedTempFile::new_in(&self.folder).ok()?;
        fresh.write_all(serde_json::to_string(&kept).ok()?.as_bytes()).ok()?;
        fresh.as_file().sync_all().ok()?;
        fresh.persist(path).ok()?;
        Some(())
    }
}

fn sum(answer: &Answer) -> Option<String> {
    Some(hash(&[&serde_json::to_string(answer).ok()?]))
}

/// SHA-256 (FIPS 180-4) of the texts, each with its length before it.
fn hash(texts: &[&str]) -> String {
    let mut hash = Sha256::new();
    for text in texts {
        hash.update(text.len().to_le_bytes());
        hash.update(text.as_bytes());
    }
    hash.finalize().iter().map(|byte| format!("{byte:02x}")).collect()
}
