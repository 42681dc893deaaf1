//! Answers of `prove`, remembered in the display's own hidden folder by the content of everything they depend on.
//!
//! Beside the display, because they are worth as much as it is and go with a copy of it. A file is named after the hash of the
//! rules' form, the claim, the limits and the program's version, and carries the hash of the answer in it: what was cut off,
//! mixed up or edited is looked at again, never believed.

use crate::ending::Stop;
use prove::{Answer, Limits};
use rules::form::Form;
use serde::{Deserialize, Serialize};
use sha2::{Digest, Sha256};
use std::fs;
use std::io::Write;
use std::path::{Path, PathBuf};

/// Where they are kept, within the display's folder.
pub(crate) const FOLDER: &str = ".lampwright/proofs";

/// No answer is longer, traces of long plays included; a longer file is not ours.
const MOST_BYTES: u64 = 64 << 20;

/// What one form's answers under certain limits are kept as.
pub(crate) struct Proofs {
    folder: PathBuf,
    /// All that an answer depends on besides the claim.
    basis: String,
}

#[derive(Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct Kept {
    key: String,
    answer: Answer,
    sum: String,
}

impl Proofs {
    /// For a form and limits; nothing is written yet.
    pub(crate) fn of(display: &Path, form: &Form, limits: &Limits) -> Result<Self, Stop> {
        let words = |why: serde_json::Error| Stop::System(why.to_string());
        let form = serde_json::to_string(form).map_err(words)?;
        let limits = serde_json::to_string(limits).map_err(words)?;
        let basis = format!("{}\n{limits}\n{form}", env!("CARGO_PKG_VERSION"));
        Ok(Self { folder: display.join(FOLDER), basis })
    }

    fn key(&self, claim: &str) -> String {
        hash(&[claim, &self.basis])
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
        let kept: Kept = serde_json::from_str(&fs::read_to_string(path).ok()?).ok()?;
        let whole = kept.key == key && kept.answer.claim == claim && sum(&kept.answer)? == kept.sum;
        whole.then_some(kept.answer)
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
