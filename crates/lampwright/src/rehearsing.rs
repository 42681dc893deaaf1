//! Rehearsals for whoever asks: the command, the book, the page.

use crate::showing::Reading;
use crate::tuning;
use book::Beside;
use display::Display;
use rehearse::rehearsal::Rehearsal;
use rehearse::{Cast, Order, Ready, Variant, rehearse, unattended};
use rules::form::{Form, Slider, Unit};
use source::Text;

/// So many parties of each sort play for the book: enough for its words, and no builder waits for it.
const FOR_THE_BOOK: u64 = 80;
/// So many parties of each sort, where nothing else is said.
pub(crate) const GAMES: u64 = 300;
/// Of all chance, where nothing else is said: the same description gives the same bytes.
pub(crate) const SEED: u64 = 1;
/// Rules with more ways out than this are not played while a book is printed: nothing may keep it waiting.
const MOST_WAYS: usize = 1500;
/// Nor are rules with a first visit of more moments than this; and all visits together have no more than that, or fewer come.
const MOST_MOMENTS: u64 = 50_000;
const ALL_MOMENTS: u64 = 4_000_000;
/// Why they are not.
const TOO_BUSY: &str = "too much happens in these rules to play them while the book is printed; `lampwright rehearse` plays them";
/// So long is looked at what is seen with nobody there, but for no more than so many ticks.
const UNATTENDED_S: u64 = 60;
const UNATTENDED_TICKS: u64 = 6000;

/// What the book shows of play; nothing here depends on anything but the description.
pub(crate) fn beside(reading: &Reading, display: &Display) -> Beside {
    let form = &display.form;
    let about = tuning::rules_text(&reading.texts).and_then(|text| about(text.content()));
    if ways(form) > MOST_WAYS {
        return Beside { about, unrehearsed: Some(TOO_BUSY.to_owned()), ..Beside::default() };
    }
    let found = for_the_book(display, &reading.texts);
    let (rehearsal, unrehearsed) = match found {
        Ok(rehearsal) => (Some(rehearsal), None),
        Err(why) => (None, Some(why)),
    };
    let seconds = (UNATTENDED_TICKS * u64::from(form.tick_ms.max(1)) / 1000).min(UNATTENDED_S);
    let alone = unattended(form, seconds);
    Beside { about, unattended: Some(alone), rehearsal, unrehearsed }
}

fn ways(form: &Form) -> usize {
    form.machines.iter().flat_map(|machine| &machine.states).map(|state| state.transitions.len()).sum()
}

/// The first paragraph of the comment at the beginning of the rules.
fn about(rules: &str) -> Option<String> {
    let lines = rules.lines().map(str::trim).skip_while(|line| line.is_empty());
    let comment = lines.map_while(|line| line.strip_prefix('#')).map(str::trim);
    let words: Vec<&str> = comment.take_while(|line| !line.is_empty()).collect();
    let words = words.join(" ").trim().to_owned();
    (!words.is_empty()).then_some(words)
}

fn for_the_book(display: &Display, texts: &[Text]) -> Result<Rehearsal, String> {
    let ready = Ready::new(&display.form).map_err(|why| why.to_string())?;
    let casts = Cast::usual(ready.places());
    let games = as_many(&ready, &casts).ok_or_else(|| TOO_BUSY.to_owned())?;
    let variants = variants(display, texts);
    let order = Order { form: &display.form, variants: &variants, casts: &casts, games, seed: SEED };
    rehearse(&order, &|_, _| ()).map_err(|why| why.to_string())
}

/// How many parties of each sort may come, by the first visit of each.
fn as_many(ready: &Ready, casts: &[Cast]) -> Option<u64> {
    let first = |cast: &Cast| ready.moments(cast, SEED, 0, MOST_MOMENTS);
    let each: u64 = casts.iter().map(first).sum::<Option<u64>>()?;
    Some((ALL_MOMENTS / each.max(1)).clamp(1, FOR_THE_BOOK))
}

/// How many values of a constant are tried between its limits, besides the limits themselves.
const BETWEEN: i64 = 4;

/// The same rules with one constant changed: its least and greatest value, and some between. Values with which the rules
/// cannot be read, because of another constant, are left out.
pub(crate) fn variants(display: &Display, texts: &[Text]) -> Vec<Variant> {
    let Some(text) = tuning::rules_text(texts) else { return Vec::new() };
    let of = |slider: &Slider| -> Vec<Variant> {
        values(slider, i64::from(display.form.tick_ms.max(1)))
            .into_iter()
            .filter_map(|value| variant(display, text, slider, value))
            .collect()
    };
    display.form.sliders.iter().flat_map(of).collect()
}

/// Values from limit to limit, whole ticks where they are times; without the one that is written.
fn values(slider: &Slider, tick_ms: i64) -> Vec<i64> {
    let step = match slider.unit {
        Unit::Ms => tick_ms,
        Unit::Number => 1,
    };
    let part = |n: i64| slider.min + (slider.max - slider.min) * n / (BETWEEN + 1) / step * step;
    let mut values: Vec<i64> = (0..=BETWEEN + 1).map(part).filter(|value| *value != slider.value).collect();
    values.dedup();
    values
}

fn variant(display: &Display, text: &Text, slider: &Slider, value: i64) -> Option<Variant> {
    let place = rules::constant_place(text, &slider.name)?;
    let (before, behind) = (text.content().get(..place.start)?, text.content().get(place.end..)?);
    let unit = match slider.unit {
        Unit::Ms => " ms",
        Unit::Number => "",
    };
    let changed = Text::new(text.name(), format!("{before}{value}{unit}{behind}"));
    let (form, faults) = rules::read(&changed, &display.interface);
    let readable = !faults.iter().any(finding::Fault::stops);
    readable.then(|| Variant { name: slider.name.clone(), value, form })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn values_go_from_limit_to_limit_in_whole_ticks_without_the_written_one() {
        let slider = |unit, value, min, max| Slider { name: "a".to_owned(), value, min, max, unit };
        assert_eq!(values(&slider(Unit::Ms, 500, 200, 1500), 10), [200, 460, 720, 980, 1240, 1500]);
        assert_eq!(values(&slider(Unit::Ms, 500, 500, 510), 10), [510]);
        assert_eq!(values(&slider(Unit::Number, 3, 1, 5), 10), [1, 2, 4, 5]);
    }

    /// Rules that never rest: no bout ends, and something happens in every tick of a millisecond.
    #[test]
    fn rules_that_never_rest_do_not_keep_the_book_waiting() {
        let rules = "tick 1 ms\nmachine busy\n  state a\n  state b\n  a after 1 ms go b\n  b after 1 ms go a\n\
                     prompt never press go when busy is a and busy is b\nbout while busy is a or busy is b\n";
        let interface = rules::interface::Interface {
            buttons: vec!["go".into()],
            ..rules::interface::Interface::default()
        };
        let (form, faults) = rules::read(&Text::new("busy.rules", rules), &interface);
        assert!(!faults.iter().any(finding::Fault::stops), "{faults:?}");
        let ready = Ready::new(&form).unwrap();
        assert_eq!(as_many(&ready, &Cast::usual(ready.places())), None);
    }

    #[test]
    fn what_rules_say_of_themselves_is_the_comment_at_their_beginning() {
        assert_eq!(about("\n# One\n#  two.\n#\n# three\nmachine a\n").as_deref(), Some("One two."));
        assert_eq!(about("machine a\n# later\n"), None);
    }
}
