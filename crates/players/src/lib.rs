//! Four players of the same rules, compared tick by tick; tests only.
//!
//! The referee (`rules::step`) records what every other player has to give: the page's player under Node, the generated C
//! on this machine, and the same C on an emulated controller.

pub mod chip;
pub mod host;
pub mod limits;
pub mod page;
pub mod parts;
pub mod pins;
pub mod random_rules;
pub mod recording;
pub mod script;
pub mod tools;
pub mod watch;

use rules::vectors::Vector;

/// Plays vectors with every player but the referee, on two threads; gives what differs, in order.
///
/// # Panics
/// Where a tool that the players need is missing.
pub fn disagreements(vectors: &[Vector], watch: host::Watch) -> Vec<String> {
    let mut all = page::differences(vectors);
    for list in in_two(vectors, |vector| compiled(vector, watch)) {
        all.extend(list);
    }
    all
}

/// The generated C on this machine and on the emulated controller.
fn compiled(vector: &Vector, watch: host::Watch) -> Vec<String> {
    let (header, source) = match firmware::rules_c(&vector.form) {
        Ok(written) => written,
        Err(unfit) => return vec![format!("{}: {unfit}", vector.name)],
    };
    let mut all = Vec::new();
    match host::play(&header, &source, vector, watch) {
        Ok(got) => {
            all.extend(
                recording::first_difference(vector, &got).map(|words| format!("C on this machine, {words}")),
            );
        }
        Err(words) => all.push(format!("{}: {words}", vector.name)),
    }
    match chip::play(&header, &source, vector, watch) {
        Ok(got) => all.extend(
            recording::first_difference(vector, &got)
                .map(|words| format!("C on the emulated controller, {words}")),
        ),
        Err(trouble) => all.push(format!("{}: the emulated controller: {trouble}", vector.name)),
    }
    all
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
