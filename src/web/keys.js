// Which keys there are, how they are written and what is said of them comes from Rust's table. Here is only how a page
// finds its way in it.

/** The row of a key that was pressed; letters count in either case. */
const keyed = (keys, pressed) => keys.find(({ names }) => names.some((name) => name.toLowerCase() === pressed.toLowerCase()));

/** How the key of an act is written. */
const keyOf = (keys, act) => keys.find((key) => key.act === act).shown;
