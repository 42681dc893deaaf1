//! The nearest known name to one that is not known.

/// The known name most like `name`, if one is close enough that a slip of the finger explains it.
pub fn nearest<'a>(name: &str, known: impl IntoIterator<Item = &'a str>) -> Option<&'a str> {
    let wanted = name.to_lowercase();
    known
        .into_iter()
        .map(|candidate| (strsim::damerau_levenshtein(&wanted, &candidate.to_lowercase()), candidate))
        .filter(|(distance, candidate)| *distance <= (candidate.chars().count().max(3)) / 3)
        .min()
        .map(|(_, candidate)| candidate)
}

/// `did you mean ...?`, or the list of what is known when nothing is near.
pub fn suggestion<'a>(name: &str, known: impl IntoIterator<Item = &'a str>) -> Option<String> {
    let known: Vec<&str> = known.into_iter().collect();
    match nearest(name, known.iter().copied()) {
        Some(near) => Some(format!("did you mean `{near}`?")),
        None if known.is_empty() => None,
        None if known.len() > 12 => Some(format!("known here: {}, ...", known[..12].join(", "))),
        None => Some(format!("known here: {}", known.join(", "))),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_slip_finds_its_name_and_a_stranger_does_not() {
        let known = ["height", "drawing", "strand"];
        assert_eq!(nearest("hieght", known), Some("height"));
        assert_eq!(nearest("strnad", known), Some("strand"));
        assert_eq!(nearest("banana", known), None);
        assert_eq!(suggestion("banana", known).as_deref(), Some("known here: height, drawing, strand"));
    }
}
