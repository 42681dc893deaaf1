//! Every code that putting a display together can give.

use finding::Explained;

/// Files that the description names.
pub const FILES: &[&Explained] = &[
    &Explained::new(
        "file/missing",
        "A file is not there.",
        "display.toml is looked for in the folder of the display; drawings and rules under the path that is written there.",
    )
    .example("drawing = \"art/fx.svg\"", "drawing = \"art/fox.svg\""),
    &Explained::new(
        "file/outside",
        "A path leads out of the display's folder.",
        "A display is one folder that can be handed on whole. Copy the file into it.",
    )
    .example("drawing = \"../fox.svg\"", "drawing = \"art/fox.svg\""),
    &Explained::new(
        "file/too-large",
        "A file is larger than 8 MiB.",
        "No drawing or description needs that much. A traced photograph may: trace it with fewer lines.",
    ),
    &Explained::new(
        "file/unreadable",
        "The system does not give the file.",
        "Often it belongs to somebody else, or is a folder. The system's own words stand beside it.",
    ),
    &Explained::new(
        "file/not-text",
        "A file is not text in UTF-8.",
        "Save it again as UTF-8; a drawing must be plain SVG, not compressed.",
    ),
];

/// Things of the description that do not go together.
pub const TOGETHER: &[&Explained] = &[
    &Explained::new(
        "figure/unknown",
        "A panel carries a figure that is not there.",
        "A panel carries the figure of its own name, or the one behind `figure`.",
    )
    .example("[panel.cat]", "[panel.fox]"),
    &Explained::new(
        "figure/no-poses",
        "A figure's drawing shows no pose.",
        "Each pose is a named group at the top of the drawing.",
    ),
    &Explained::new(
        "panel/name-taken",
        "A panel has the name of a figure that it does not carry.",
        "The figure would then have no panel. Give the panel another name.",
    ),
    &Explained::new(
        "button/no-lamp",
        "A button is to be lit, but its part has no lamp.",
        "Take a push-button with a lamp, or write `lamp = false`.",
    ),
    &Explained::new(
        "object/unknown",
        "A span hangs something that is not there.",
        "Hung things stand as `[object.NAME]` in display.toml.",
    )
    .example("hangs = { object = \"clib\",", "hangs = { object = \"club\","),
    &Explained::new(
        "object/name-taken",
        "A hung object has the name of other lights.",
        "The rules name the lights of a span after its object, and a button's lamp after the button. One name cannot mean both.",
    ),
    &Explained::new(
        "post/unknown",
        "A span is tied to a post that is not there.",
        "Posts stand as `[post.NAME]` in display.toml.",
    )
    .example("from  = { post = \"wst\",", "from  = { post = \"west\","),
    &Explained::new(
        "circuit/unknown",
        "Something hangs on a circuit that is not there.",
        "Circuits stand as `[circuit.NAME]` in display.toml.",
    ),
    &Explained::new(
        "span/tie-too-high",
        "A rope is tied higher than its post reaches.",
        "Make the post longer, or tie lower.",
    )
    .example(
        "from  = { post = \"west\", height = \"24 ft\" }",
        "from  = { post = \"west\", height = \"14 ft\" }",
    ),
    &Explained::new(
        "span/posts-swapped",
        "The two ends of a span are the wrong way round.",
        "`from` is the left end as the viewers see it, `to` the right one; the lights are counted from left to right.",
    )
    .example("from  = { post = \"east\",", "from  = { post = \"west\","),
    &Explained::new(
        "place/viewers",
        "The farthest viewer stands nearer than the nearest.",
        "Lamps are spaced for the farthest viewer and sizes judged for the nearest; probably the two are exchanged.",
    )
    .example(
        "viewers = { nearest = \"50 ft\", farthest = \"10 ft\" }",
        "viewers = { nearest = \"10 ft\", farthest = \"50 ft\" }",
    ),
    &Explained::new(
        "place/season",
        "The season ends before it begins.",
        "A season that passes New Year ends in the next year: write the year with both dates.",
    )
    .example("to = 2027-01-02", "to = 2028-01-02"),
];
