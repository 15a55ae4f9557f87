//! One name for one thing.

use super::rooms;
use std::collections::BTreeMap;

/// How many names of types may stand twice. It only becomes smaller.
const MOST: usize = 18;

#[test]
fn few_types_share_a_name() {
    let tree = rooms();
    let mut found: BTreeMap<String, Vec<&str>> = BTreeMap::new();
    for file in tree.files.values() {
        // What is seen beyond its room: `pub`, or `pub(crate)`.
        let words: Vec<String> =
            file.words.iter().map(ToString::to_string).filter(|word| word != "(crate)").collect();
        for three in words.windows(3) {
            if let [public, kind, name] = three
                && public == "pub"
                && ["struct", "enum", "trait", "type", "union"].contains(&&**kind)
            {
                found.entry(name.clone()).or_default().push(&file.path);
            }
        }
    }
    let twice: Vec<String> = found
        .iter()
        .filter(|(_, files)| files.len() > 1)
        .map(|(name, files)| format!("{name}: {}", files.join(" ")))
        .collect();
    println!("{}", twice.join("\n"));
    assert!(
        twice.len() <= MOST,
        "{} names stand twice, at most {MOST} may:\n{}",
        twice.len(),
        twice.join("\n")
    );
}
