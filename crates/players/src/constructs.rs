//! Everything that the machine form can be made of, by name; and forms in which one of these things is altered.
//!
//! Whether play exercises a construct is seen by altering it everywhere in the form: where the referee then plays the same
//! ticks otherwise, it mattered. The walk takes every structure apart by all its fields and every kind by all its cases, so
//! that whatever is added to the form does not compile here until it has a name.

mod expressions;
mod walk;

use rules::form::Form;
use std::collections::BTreeSet;

/// An enumeration with all of its cases in a list.
macro_rules! constructs {
    (played: $($played:ident)*; read: $($read:ident)*;) => {
        /// Something a form can be made of.
        #[allow(missing_docs, reason = "each is named after the part of the form that it is")]
        #[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
        pub enum Construct { $($played,)* $($read,)* }

        /// What shows in play.
        pub const PLAYED: &[Construct] = &[$(Construct::$played),*];
        /// What is only read: by whoever prints C, proves, or tunes the rules.
        pub const ONLY_READ: &[Construct] = &[$(Construct::$read),*];
    };
}

constructs! {
    played:
        Seed Setting
        NumberStart NumberEnds ShownOn Kept
        DwellTimer CyclicTimer LongestOfTimer
        Remember RememberTicks TiesFirst TiesAlternately TiesRandom
        Dwell Entry Exit Pose
        LightsOne LightsIndexed LightsEach IndexHeld Level LevelHeld LightsWhen
        Writes Zeros Flash
        Order OnAlways OnPress OnMessageOfOne OnMessageOfSeveral OnTimer Condition SideOfWay GoOther GoSelf Stay
        Set Start Stop Send Press Play
        Const Number In Running Due Held Pressed NodeSetting Left Spot Draw Pick Not Neg
        Add Sub Mul Div Rem Min Max Eq Ne Lt Le Gt Ge And Or;
    read:
        TickOfTen TickOther TwoSides ThreeSides
        SliderOfTime SliderOfNumber
        Buttons8 Buttons16 Buttons32
        ClaimNever ClaimAlways ClaimLeads ClaimGiven
        Prompt PromptOfNoSide PromptComing Bout
        Width8 Width16 Width32
        TimerOfByte TimerOf16Bits TimerOf32Bits;
}

/// The constructs that a form is made of.
pub fn of(form: &Form) -> BTreeSet<Construct> {
    let mut walk = walk::Walk::default();
    walk.form(&mut form.clone());
    walk.seen
}

/// The form with a construct altered wherever it stands.
pub fn altered(form: &Form, construct: Construct) -> Form {
    let mut form = form.clone();
    walk::Walk { altering: Some(construct), ..walk::Walk::default() }.form(&mut form);
    form
}
