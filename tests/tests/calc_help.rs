//! The examples that the help of `calc` shows, all of them, for every calculation it lists.

use bevelbook_tests::{Shop, bevelbook};

/// What an example finds as `frame.txt`: a record made up for this project.
const FRAME: &str = include_str!("../../core/tests/vectors/record.txt");

/// The calculations, as the help lists them.
fn commands() -> Vec<String> {
    let help = bevelbook(["calc", "--help"]).stdout;
    let listed = help.lines().skip_while(|line| *line != "Commands:").skip(1);
    let listed = listed.take_while(|line| !line.is_empty());
    // What a line cannot hold goes on further in.
    let named = listed.filter_map(|line| line.strip_prefix("  ").filter(|line| !line.starts_with(' ')));
    named
        .filter_map(|line| line.split(' ').next())
        .filter(|name| *name != "help")
        .map(str::to_owned)
        .collect()
}

/// The arguments of every example in the help of a command, quotes taken off.
fn examples(command: &str) -> Vec<Vec<String>> {
    let help = bevelbook(["calc", command, "--help"]).stdout;
    // What stands above is the usage.
    let shown = help.lines().skip_while(|line| !line.starts_with("Example"));
    let lines = shown.filter_map(|line| {
        let line = line.trim();
        line.strip_prefix("Example: ").unwrap_or(line).strip_prefix("bevelbook ")
    });
    let arguments = |line: &str| {
        let quoted = line.split('"').enumerate();
        let words = quoted.flat_map(|(i, part)| match i % 2 {
            0 => part.split_whitespace().map(str::to_owned).collect(),
            _ => vec![part.to_owned()],
        });
        words.collect()
    };
    lines.map(arguments).collect()
}

#[test]
fn every_example_of_every_help_works() {
    let commands = commands();
    assert!(commands.len() >= 16, "{commands:?}");
    let shop = Shop::new();
    std::fs::write(shop.folder().join("frame.txt"), FRAME).unwrap();
    for command in &commands {
        let examples = examples(command);
        assert!(!examples.is_empty(), "{command} has no example");
        for args in examples {
            assert_eq!(args[..2], ["calc", command]);
            let text = shop.run(&args);
            assert_eq!(text.status, Some(0), "{args:?}: {text:?}");
            assert!(!text.stdout.trim().is_empty() && !text.stdout.contains('{'), "{text:?}");
            let json = shop.run(args.iter().map(String::as_str).chain(["--json"]));
            assert_eq!(json.status, Some(0), "{args:?}: {json:?}");
            assert!(json.json().is_object(), "{json:?}");
        }
    }
}

#[test]
fn help_shows_each_way_of_giving_a_shape_or_a_surface() {
    for (command, ways) in [
        ("blank", &["--ed MM --decentration MM", "--trace FILE --eye R|L", "--a MM --b MM"][..]),
        ("girth", &["--a MM --b MM [--offset MM | --curve D]", "--trace FILE [--eye R|L]"]),
        ("curve", &["--radius MM --index N", "--power D --index N", "--clock D [--clock-index N] --index N"]),
    ] {
        let help = bevelbook(["calc", command, "--help"]).stdout;
        for way in ways {
            assert!(help.contains(way), "{command} lacks `{way}`: {help}");
        }
    }
}

#[test]
fn prism_shows_each_of_its_four_ways_and_imbalance_both_of_its() {
    assert_eq!((examples("prism").len(), examples("imbalance").len()), (4, 2));
}
