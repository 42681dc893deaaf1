//! Four players of the same rules, compared tick by tick; tests only.
//!
//! The referee (`rules::step`) records what every other player has to give: the page's player under Node, the generated C
//! on this machine, and the same C on an emulated controller.

pub mod chip;
pub mod constructs;
pub mod host;
pub mod limits;
pub mod page;
pub mod parts;
pub mod pins;
pub mod random_rules;
pub mod recording;
pub mod roll;
pub mod script;
pub mod tools;
pub mod watch;

use rules::vectors::{TickOut, Vector};

/// So many rule sets are compiled into one program.
const IN_ONE_PROGRAM: usize = 20;

/// Plays vectors with every player but the referee, on two threads; gives what differs, in order.
///
/// # Panics
/// Where a tool that the players need is missing.
pub fn disagreements(vectors: &[Vector], watch: host::Watch) -> Vec<String> {
    let mut all = page::differences(vectors);
    let together: Vec<&[Vector]> = vectors.chunks(IN_ONE_PROGRAM).collect();
    for list in in_two(&together, |vectors| compiled(vectors, watch)) {
        all.extend(list);
    }
    all
}

/// The generated C on this machine and on the emulated controller.
fn compiled(vectors: &[Vector], watch: host::Watch) -> Vec<String> {
    let mut all = Vec::new();
    let mut written = Vec::new();
    for vector in vectors {
        match firmware::rules_c(&vector.form) {
            Ok(c) => written.push((c, vector)),
            Err(unfit) => all.push(format!("{}: {unfit}", vector.name)),
        }
    }
    let jobs: Vec<host::Job<'_>> =
        written.iter().map(|((header, source), vector)| host::Job { header, source, vector }).collect();
    for (job, played) in jobs.iter().zip(host::play_all(&jobs, watch)) {
        all.extend(different("C on this machine", job.vector, played));
    }
    for job in &jobs {
        let played = chip::play(job.header, job.source, job.vector, watch);
        all.extend(different("C on the emulated controller", job.vector, played));
    }
    all
}

/// What a player made of a vector, where that is wrong.
fn different<E: std::fmt::Display>(
    player: &str,
    vector: &Vector,
    played: Result<Vec<TickOut>, E>,
) -> Option<String> {
    match played {
        Ok(got) => recording::first_difference(vector, &got).map(|words| format!("{player}, {words}")),
        Err(trouble) => Some(format!("{player}, {}: {trouble}", vector.name)),
    }
}

/// Does something for each item, half of them on a second thread; results in order.
///
/// # Panics
/// Where one of them panics.
#[allow(clippy::panic, reason = "a panic of one half is the test's own")]
pub fn in_two<T: Sync, R: Send>(items: &[T], each: impl Fn(&T) -> R + Sync) -> Vec<R> {
    let (first, second) = items.split_at(items.len() / 2);
    std::thread::scope(|scope| {
        let half = scope.spawn(|| second.iter().map(&each).collect::<Vec<R>>());
        let mut all: Vec<R> = first.iter().map(&each).collect();
        all.extend(half.join().unwrap_or_else(|_| panic!("the second half failed")));
        all
    })
}
