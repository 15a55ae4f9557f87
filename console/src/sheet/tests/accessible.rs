//! What a page owes to who does not see it, or sees it badly: the Web Content Accessibility Guidelines 2.1, by their numbers.

use super::{Bench, Reader, read, text_of};
use bevelbook_core::prescription::Eye;
use bevelbook_core::sizing::Outcome;
use roxmltree::Node;

/// Every kind of page of a job in work.
fn pages() -> Vec<String> {
    let mut bench = Bench::with(|_| {});
    bench.pass(Eye::Right, 300, Outcome::JustTooBig, false);
    bench.pass(Eye::Right, 100, Outcome::Fits, false);
    [Reader::Bench, Reader::Tray, Reader::Wearer].map(|reader| bench.page(reader, None)).to_vec()
}

#[test]
fn its_headings_go_down_by_one_and_one_stands_above_all() {
    for sheet in pages() {
        let page = read(&sheet);
        let level = |node: Node<'_, '_>| node.tag_name().name().strip_prefix('h')?.parse::<u32>().ok();
        let levels: Vec<u32> = page.descendants().filter_map(level).collect();
        assert_eq!(levels.iter().filter(|level| **level == 1).count(), 1, "{levels:?}");
        assert!(levels[0] == 1 && levels.windows(2).all(|pair| pair[1] <= pair[0] + 1), "1.3.1: {levels:?}");
        assert_eq!(page.root_element().attribute("lang"), Some("en"), "3.1.1");
        for landmark in ["header", "main", "footer"] {
            assert_eq!(
                page.descendants().filter(|node| node.has_tag_name(landmark)).count(),
                1,
                "{landmark}"
            );
        }
    }
}

#[test]
fn every_picture_says_what_it_shows_and_every_head_of_a_table_of_what() {
    for sheet in pages() {
        let page = read(&sheet);
        let named = |name| page.descendants().filter(move |node: &Node<'_, '_>| node.has_tag_name(name));
        for picture in named("svg") {
            let first = picture.first_element_child().filter(|node| node.has_tag_name("title"));
            assert!(picture.attribute("role") == Some("img") && !text_of(first.unwrap()).is_empty(), "1.1.1");
        }
        assert!(named("th").all(|head| head.attribute("scope").is_some()), "1.3.1");
    }
}

#[test]
fn what_is_written_stands_out_from_its_paper_in_light_and_dark() {
    // Relative luminance and contrast as in the definitions of WCAG 2.1.
    let channel =
        |value: f64| if value <= 0.03928 { value / 12.92 } else { ((value + 0.055) / 1.055).powf(2.4) };
    let luminance = |colour: &str| {
        let wide: String = match colour.len() {
            3 => colour.chars().flat_map(|digit| [digit, digit]).collect(),
            _ => colour.into(),
        };
        let part = |at: usize| channel(f64::from(u8::from_str_radix(&wide[at..at + 2], 16).unwrap()) / 255.0);
        0.2126 * part(0) + 0.7152 * part(2) + 0.0722 * part(4)
    };
    let contrast = |one: &str, other: &str| {
        let (one, other) = (luminance(one), luminance(other));
        (one.max(other) + 0.05) / (one.min(other) + 0.05)
    };
    assert!((contrast("000", "fff") - 21.0).abs() < 1e-9 && (contrast("777", "ffffff") - 4.48).abs() < 0.01);
    let style = include_str!("../style.css");
    let schemes: Vec<&str> = style.lines().filter(|line| line.contains("--ink:")).collect();
    assert_eq!(schemes.len(), 2);
    for scheme in schemes {
        let colour = |name: &str| {
            let (_, after) = scheme.split_once(&format!("--{name}: #")).unwrap();
            after.split_once(';').unwrap().0
        };
        // 1.4.3: 4.5 for text, which is written in ink, on paper and on what is shaded; 1.4.11: 3 for lines.
        assert!(contrast(colour("ink"), colour("paper")) >= 4.5, "{scheme}");
        assert!(contrast(colour("ink"), colour("shade")) >= 4.5, "{scheme}");
        assert!(contrast(colour("fine"), colour("paper")) >= 3.0, "{scheme}");
    }
}
