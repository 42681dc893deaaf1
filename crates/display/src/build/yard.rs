//! Building what stands and hangs in the yard.

use super::{Building, length_or, part};
use crate::keys::yard::{ENDS_RULE, GUYS_RULE, HANGERS_RULE, LIFTED_RULE, PATH_RULE, SAG_RULE, TILT_RULE};
use crate::keys::{CABLE, CABLE_RULE};
use crate::model::{Clock, Digits, Hangs, HangsAlong, Object, Post, Season, Site, Span, Spot, Stands, Tie};
use finding::{Fault, Known, Origin, suggestion};
use parts::reader::{Entry, Read, Values};
use quantity::{Angle, Length, Ratio, unit};

/// A value as written, or the one of a rule.
fn or<T>(written: Option<Known<T>>, default: T, rule: &'static str) -> Known<T> {
    written.unwrap_or(Known::new(default, Origin::Default(rule)))
}

/// The two lengths of a list.
fn pair(values: &Values, key: &str) -> Option<[Known<Length>; 2]> {
    let length = |entry: &Entry| match entry.value {
        Read::Length(length) => Some(Known::new(length, entry.origin())),
        _ => None,
    };
    match values.list(key) {
        [first, second] => Some([length(first)?, length(second)?]),
        _ => None,
    }
}

/// Where something stands.
pub(super) fn spot(values: &Values) -> Option<Spot> {
    let [x, depth] = pair(values, "at")?;
    Some(Spot { x, depth })
}

/// How a panel stands.
pub(super) fn stands(values: &Values) -> Option<Stands> {
    Some(Stands {
        at: spot(values)?,
        base: values.length("base")?,
        guys: or(values.whole("guys"), 0, GUYS_RULE),
        lifted: length_or(Some(values), "lifted", "0 in", LIFTED_RULE),
    })
}

/// A time like `21:30`, in minutes after midnight.
fn time(words: &str) -> Option<u32> {
    let (hours, minutes) = words.split_once(':')?;
    let number = |digits: &str, below: u32| {
        let plain = (1..=2).contains(&digits.len()) && digits.chars().all(|c| c.is_ascii_digit());
        digits.parse().ok().filter(|number: &u32| plain && *number < below)
    };
    (minutes.len() == 2).then_some(())?;
    Some(number(hours, 24)? * 60 + number(minutes, 60)?)
}

impl Building<'_> {
    /// The posts.
    pub(crate) fn posts(&self, values: &Values) -> Vec<Post> {
        let posts = values.named("post").filter_map(|(name, _, values)| {
            Some(Post { name: name.to_owned(), at: spot(values)?, height: values.length("height")? })
        });
        posts.collect()
    }

    /// The objects.
    pub(crate) fn objects(&mut self, values: &Values) -> Vec<Object> {
        values.named("object").filter_map(|(name, _, values)| self.object(name, values)).collect()
    }

    fn object(&mut self, name: &str, values: &Values) -> Option<Object> {
        let drawing = values.entry("drawing").map(|entry| self.drawing(entry));
        let strand = values
            .entry("strand")
            .and_then(|entry| part(&self.shelf.strands, entry, "strand", &mut self.faults));
        Some(Object {
            name: name.to_owned(),
            drawing: match drawing {
                Some(drawing) => Some(drawing?),
                None => None,
            },
            size: pair(values, "size")?,
            mass: values.mass("mass")?,
            hangers: or(values.whole("hangers"), 2, HANGERS_RULE),
            tilt: or(values.angle("tilt"), Angle::new::<unit::degree>(0.0), TILT_RULE),
            strand: strand?,
        })
    }

    /// The spans. A span whose posts or object are not there is left out, which is a fault.
    pub(crate) fn spans(&mut self, values: &Values, posts: &[Post], objects: &[Object]) -> Vec<Span> {
        values
            .named("span")
            .filter_map(|(name, _, table)| self.span(name, table, values, posts, objects))
            .collect()
    }

    fn span(
        &mut self,
        name: &str,
        span: &Values,
        values: &Values,
        posts: &[Post],
        objects: &[Object],
    ) -> Option<Span> {
        let from = span.table("from").and_then(|tie| self.tie(tie, values, posts));
        let to = span.table("to").and_then(|tie| self.tie(tie, values, posts));
        let hangs = span.table("hangs").and_then(|hangs| self.hangs(hangs, values, objects));
        let rope =
            span.entry("rope").and_then(|entry| part(&self.shelf.ropes, entry, "rope", &mut self.faults));
        let (from, to) = (from?, to?);
        self.judge_ties(span, posts, &from, &to)?;
        Some(Span {
            name: name.to_owned(),
            from,
            to,
            rope: rope?,
            sag: or(span.share("sag"), Ratio::new::<unit::percent>(5.0), SAG_RULE),
            hangs: hangs?,
            cable: length_or(Some(span), "cable", CABLE, CABLE_RULE),
        })
    }

    /// A span goes from left to right, between two posts that are high enough for its ties.
    fn judge_ties(&mut self, span: &Values, posts: &[Post], from: &Tie, to: &Tie) -> Option<()> {
        let place = |end: &str, key: &str| {
            span.table(end).and_then(|tie| tie.entry(key)).map(|entry| entry.place.clone())
        };
        let (left, right) = (posts.get(from.post)?, posts.get(to.post)?);
        for (end, tie, post) in [("from", from, left), ("to", to, right)] {
            if tie.height.value > post.height.value {
                let message = format!("the tie is higher than post `{}`", post.name);
                self.faults.push(Fault::new("span/tie-too-high", place(end, "height"), message));
            }
        }
        if left.at.x.value >= right.at.x.value {
            let message =
                format!("post `{}` does not stand to the right of post `{}`", right.name, left.name);
            let fault = Fault::new("span/posts-swapped", place("to", "post"), message);
            self.faults.push(fault.hint("`from` is the left end as the viewers see it, `to` the right one"));
            return None;
        }
        Some(())
    }

    fn tie(&mut self, tie: &Values, values: &Values, posts: &[Post]) -> Option<Tie> {
        let wanted = tie.entry("post")?;
        let post =
            self.named_thing("post", wanted, values, |name| posts.iter().position(|post| post.name == name));
        Some(Tie { post: post?, height: tie.length("height")? })
    }

    fn hangs(&mut self, hangs: &Values, values: &Values, objects: &[Object]) -> Option<Hangs> {
        let object = hangs.entry("object").and_then(|wanted| {
            let find = |name: &str| objects.iter().position(|object| object.name == name);
            self.named_thing("object", wanted, values, find)
        });
        let path = hangs.words("path").map(|path| {
            path.map(|word| if word == "parabola" { HangsAlong::Parabola } else { HangsAlong::Level })
        });
        let top = hangs.length("top")?;
        let ends = match hangs.entry("ends") {
            Some(_) => hangs.length("ends")?,
            None => Known::new(top.value, Origin::Default(ENDS_RULE)),
        };
        Some(Hangs {
            object: object?,
            count: hangs.whole("count")?,
            path: or(path, HangsAlong::Level, PATH_RULE),
            top,
            ends,
        })
    }

    /// The thing that an entry names: none with a fault when nothing bears that name, none without one when the thing
    /// is written but has faults of its own.
    pub(super) fn named_thing<T>(
        &mut self,
        kind: &str,
        wanted: &Entry,
        values: &Values,
        find: impl Fn(&str) -> Option<T>,
    ) -> Option<T> {
        let name = wanted.words()?;
        let found = find(name);
        let written: Vec<&str> = values
            .table(kind)
            .map(|table| table.entries.iter().map(|(name, _)| name.as_str()).collect())
            .unwrap_or_default();
        if found.is_none() && !written.contains(&name) {
            let code = match kind {
                "post" => "post/unknown",
                "object" => "object/unknown",
                _ => "circuit/unknown",
            };
            let fault = Fault::new(code, Some(wanted.place.clone()), format!("no {kind} is called `{name}`"));
            let fault = match suggestion(name, written.iter().copied()) {
                Some(near) => fault.hint(near),
                None => fault.hint(format!("add [{kind}.{name}]")),
            };
            self.faults.push(fault);
        }
        found
    }

    /// The digits.
    pub(crate) fn digits(&mut self, values: &Values) -> Vec<Digits> {
        values.named("digits").filter_map(|(name, _, values)| self.digits_of(name, values)).collect()
    }

    fn digits_of(&mut self, name: &str, values: &Values) -> Option<Digits> {
        let led =
            values.entry("led").and_then(|entry| part(&self.shelf.leds, entry, "LED", &mut self.faults));
        Some(Digits {
            name: name.to_owned(),
            count: values.whole("count")?,
            height: values.length("height")?,
            at: spot(values),
            lifted: length_or(Some(values), "lifted", "0 in", LIFTED_RULE),
            led: led?,
            cable: length_or(Some(values), "cable", CABLE, CABLE_RULE),
        })
    }

    /// Facts of the place.
    pub(crate) fn site(&mut self, values: &Values) -> Site {
        let Some(place) = values.table("place") else { return Site::default() };
        Site {
            latitude: place.number("latitude"),
            longitude: place.number("longitude"),
            timezone: place.words("timezone"),
            season: place.table("season").and_then(|season| self.season(season)),
            gust: place.speed("gust"),
        }
    }

    fn season(&mut self, season: &Values) -> Option<Season> {
        let on = season.entry("on").and_then(|entry| self.clock(entry, true));
        let off = season.entry("off").and_then(|entry| self.clock(entry, false));
        let (from, to) = (season.date("from")?, season.date("to")?);
        if to.value < from.value {
            let place = season.entry("to").map(|entry| entry.place.clone());
            let message = "the season ends before it begins";
            self.faults.push(Fault::new("place/season", place, message));
            return None;
        }
        Some(Season { from, to, on: on?, off: off? })
    }

    fn clock(&mut self, entry: &Entry, dusk: bool) -> Option<Known<Clock>> {
        let words = entry.words()?;
        let clock = match (words, time(words)) {
            ("dusk", _) if dusk => Clock::Dusk,
            (_, Some(minutes)) => Clock::At(minutes),
            _ => {
                let message = format!("`{}` is not a time of day", words.escape_debug());
                let fault = Fault::new("value/time", Some(entry.place.clone()), message);
                let hint =
                    if dusk { "write `dusk` or a time like `17:30`" } else { "write a time like `21:30`" };
                self.faults.push(fault.hint(hint));
                return None;
            }
        };
        Some(Known::new(clock, entry.origin()))
    }
}

#[cfg(test)]
mod tests {
    #[test]
    fn a_time_has_two_digits_of_minutes_and_no_hour_25() {
        for (words, minutes) in
            [("21:30", Some(1290)), ("0:00", Some(0)), ("7:5", None), ("24:00", None), ("-1:00", None)]
        {
            assert_eq!(super::time(words), minutes, "{words}");
        }
    }
}
