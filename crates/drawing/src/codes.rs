//! Every code that reading a drawing can give.

use finding::Explained;

/// The codes, in the order in which they are listed.
pub const CODES: &[&Explained] = &[
    &Explained::new(
        "drawing/not-xml",
        "The file is no XML, so it is no SVG drawing.",
        "Something in the text is broken, often at the place shown: a tag that is not closed, or a file cut short. Save it again \
         from the drawing program.",
    )
    .example("</dfs>", "</defs>"),
    &Explained::new(
        "drawing/not-svg",
        "The file is XML, but no SVG drawing.",
        "A drawing begins with `<svg xmlns=\"http://www.w3.org/2000/svg\">`.",
    )
    .example(
        "<svg xmlns=\"http://www.w3.org/1999/xhtml\"",
        "<svg xmlns=\"http://www.w3.org/2000/svg\"",
    ),
    &Explained::new(
        "drawing/doctype",
        "A drawing may not define entities of its own.",
        "A DOCTYPE can make a small file unfold into an endless one, so none is taken. Delete it, or save as plain SVG.",
    )
    .example("<!DOCTYPE svg>\n<svg xmlns", "<svg xmlns"),
    &Explained::new(
        "drawing/no-groups",
        "The drawing has no groups.",
        "Each pose is a group at the top of the drawing, named after the pose. Lines that several poses share are found by \
         themselves.",
    ),
    &Explained::new(
        "drawing/group-without-id",
        "A group at the top of the drawing has no name.",
        "Its `id` is the name of the pose in the rules.",
    )
    .example("<g>", "<g id=\"left\">"),
    &Explained::new(
        "drawing/bad-name",
        "A group's name cannot be the name of a pose.",
        "The rules have to write it: letters, digits, `-` and `_`. A drawing program may keep its own label beside the `id`; the \
         `id` is what counts.",
    )
    .example("id=\"my right\"", "id=\"right\""),
    &Explained::new(
        "drawing/duplicate-id",
        "Two elements have one `id`.",
        "Names tell poses apart, and say which element is used again. Copying a group often copies its `id` too.",
    )
    .example("id=\"left\"", "id=\"right\""),
    &Explained::new(
        "drawing/empty-pose",
        "A pose has no lines.",
        "A pose without lines would be dark. If that is meant, let a state show no pose.",
    ),
    &Explained::new(
        "drawing/outside-groups",
        "A line stands outside the groups and belongs to no pose.",
        "Move it into the group of its pose, or into all poses that show it.",
    )
    .example("<path d=\"M0 0 L9 9\"/><g id=\"left\">", "<g id=\"left\">"),
    &Explained::new(
        "drawing/not-a-line",
        "Something in a pose is not a line.",
        "Strands follow lines. Words, pictures and filters have none; convert words to paths, and trace pictures.",
    )
    .example("<g id=\"left\"><text>x</text>", "<g id=\"left\">"),
    &Explained::new(
        "drawing/no-size",
        "Something drawn has no size.",
        "A pose that is a single point, or a circle whose radius is nothing, has no line to put lamps on.",
    ),
    &Explained::new(
        "drawing/bad-path",
        "A path cannot be read.",
        "The `d` of a path is a row of letters and numbers, such as `M0 0 L9 9`.",
    ),
    &Explained::new(
        "drawing/bad-number",
        "A number of a shape cannot be read, or there is one too few.",
        "Lengths are plain numbers, or have a unit that stands on paper. Percentages depend on a window that nobody drills.",
    ),
    &Explained::new(
        "drawing/bad-transform",
        "A transform cannot be read.",
        "It moves, turns or scales what is in the group: `translate(10 0)`, `rotate(5)`, `scale(2)`, `matrix(...)`.",
    )
    .example("<g id=\"left\" transform=\"turn(3)\">", "<g id=\"left\">"),
    &Explained::new(
        "drawing/external",
        "A drawing uses something from outside its own file.",
        "What is built must be what is in the folder. Copy the element into this file.",
    )
    .example("<use href=\"other.svg#body\"/>", "<use href=\"#body\"/>"),
    &Explained::new(
        "drawing/unknown-id",
        "A drawing uses an element that is not there.",
        "No element of this file has the `id` behind the `#`.",
    )
    .example("<use href=\"#bodi\"/>", "<use href=\"#body\"/>"),
    &Explained::new(
        "drawing/use-cycle",
        "An element uses itself.",
        "It would be drawn without end. Look at what the element and its groups use.",
    ),
    &Explained::new(
        "drawing/too-deep",
        "Groups are nested too deep, or elements use each other too deep.",
        "The limits are 64 groups within each other and 16 uses; they guard against files made to harm. Ungroup, or flatten the \
         drawing.",
    ),
    &Explained::new(
        "drawing/too-many-elements",
        "The drawing has more than 10000 elements.",
        "A traced photograph often has. Trace it with fewer, longer lines.",
    ),
    &Explained::new(
        "drawing/too-many-points",
        "The lines have more than 200000 points.",
        "Simplify the paths: no lamp follows a bend of a tenth of a millimetre.",
    ),
    &Explained::new(
        "drawing/too-far",
        "A line leads farther than a million units from the origin.",
        "A slip in a number, or a transform too many. The size of the figure is written in display.toml, not drawn.",
    ),
];
