//! Pixels by what must hold of them: inside the display, apart from each other, different where the data differ.

use super::super::samples;
use super::super::{Body, Line, Picture, Plane, Screen, Shade, Tone};
use super::*;
use embedded_graphics::framebuffer::{Framebuffer, buffer_size};
use embedded_graphics::image::GetPixel as _;
use embedded_graphics::mono_font::MonoTextStyle;
use embedded_graphics::mono_font::iso_8859_1::{FONT_4X6, FONT_5X8, FONT_6X9, FONT_6X10};
use embedded_graphics::pixelcolor::BinaryColor;
use embedded_graphics::pixelcolor::raw::{LittleEndian, RawU1};
use embedded_graphics::text::{Baseline, Text};
use std::string::String;
use std::vec::Vec;

type Grey = Canvas<[Plane; 1]>;

/// What the library draws on by itself.
type Paper = Framebuffer<BinaryColor, RawU1, LittleEndian, 128, 64, { buffer_size::<BinaryColor>(128, 64) }>;

fn drawn(screen: &Screen) -> Grey {
    let mut canvas = Canvas::in_shades();
    draw(screen, &mut canvas);
    canvas
}

fn with_ink(canvas: &mut Canvas, draw: impl FnOnce(&mut Ink<'_>)) {
    draw(&mut Ink::new(canvas));
}

fn shade(canvas: &Canvas, at: Point) -> Shade {
    canvas.shade(at.x as usize, at.y as usize)
}

fn is_on(canvas: &Canvas, at: Point) -> bool {
    shade(canvas, at) != Shade::Off
}

/// The box round what is on within `area`.
fn inked(canvas: &Canvas, area: Rectangle) -> Option<Rectangle> {
    let points = || area.points().filter(|at| is_on(canvas, *at));
    let from = Point::new(points().map(|at| at.x).min()?, points().map(|at| at.y).min()?);
    let to = Point::new(points().map(|at| at.x).max()?, points().map(|at| at.y).max()?);
    Some(Rectangle::with_corners(from, to))
}

/// To look at them: one portable bitmap a screen, in the folder that `BEVELBOOK_SCREENS` names.
#[test]
fn every_sample_covers_the_display_and_nothing_outside() {
    for (name, screen) in samples::all() {
        let paper = drawn(&screen);
        assert_eq!(paper.outside, 0, "{name}");
        let over: &mut Canvas = &mut drawn(&samples::refusal());
        draw(&screen, over);
        assert_eq!(*over, *(&paper as &Canvas), "{name}: what stood there before must go");
        if let Some(folder) = std::env::var_os("BEVELBOOK_SCREENS") {
            let mut file = String::from("P1\n128 64\n");
            for y in 0..HEIGHT as i32 {
                let lit = |x| is_on(&paper, Point::new(x, y));
                file.extend((0..WIDTH as i32).map(|x| if lit(x) { '1' } else { '0' }));
                file.push('\n');
            }
            std::fs::write(std::path::Path::new(&folder).join(std::format!("{name}.pbm")), file).unwrap();
        }
    }
}

#[test]
fn a_screen_full_of_the_longest_lines_stays_inside() {
    for tone in [Tone::Plain, Tone::Warning, Tone::Refusal] {
        for letter in ["W", "g", "Å", "ł", "/"] {
            for screen in samples::full(letter, tone) {
                let paper = drawn(&screen);
                assert_eq!(paper.outside, 0, "{screen:?}");
            }
        }
    }
}

#[test]
fn the_parts_of_a_question_never_touch() {
    let pictures = [Picture::Axis(15), samples::gauge(350, Some(500), Some(200))];
    for figure in ["5", "+0.35", "+10.125", "12345678", "pl", "31.5/30", "123456789012"] {
        for detail in ["", "order 175", "the longest of detail"] {
            for picture in pictures {
                let (figure, detail) = (Line::new(figure), Line::new(detail));
                let places = Places::of(&figure, &detail, picture, true);
                let area = places.picture.unwrap();
                let apart = |a: &Rectangle, b: &Rectangle| a.intersection(b).is_zero_sized();
                assert!(apart(&places.figure, &area), "{figure:?} {detail:?}");
                assert!(apart(&places.detail, &area), "{figure:?} {detail:?}");
                assert!(apart(&places.figure, &places.detail));
                assert!(area.size.width >= picture::LEAST_WIDTH);
                let answers = Rectangle::new(Point::new(0, VERTICAL_TOP), Size::new(WIDTH, 16));
                assert!([places.figure, places.detail, area].iter().all(|place| apart(place, &answers)));
            }
        }
    }
}

#[test]
fn each_part_of_a_question_stays_in_its_place() {
    let whole = Rectangle::new(Point::zero(), Size::new(WIDTH, HEIGHT));
    let pictures = (0..=180).map(Picture::Axis).chain([
        samples::gauge(500, None, None),
        samples::gauge(500, Some(500), None),
        samples::gauge(9_000, Some(500), Some(100)),
        samples::gauge(-900_000, Some(900_000), Some(100)),
        samples::gauge(100, Some(100), Some(500)),
    ]);
    for picture in pictures {
        for text in ["+0.35", "gp/5,jyQ", "12345678"] {
            let (figure, detail) = (Line::new(text), Line::new("at 9"));
            let places = Places::of(&figure, &detail, picture, true);
            let ink_of = |figure: &Line, detail: &Line, picture: Picture| {
                let mut paper = Canvas::in_shades();
                with_ink(&mut paper, |ink| {
                    ink.wipe(whole);
                    places.draw(figure, detail, picture, ink);
                });
                assert_eq!(paper.outside, 0);
                inked(&paper, whole).unwrap()
            };
            let none = Line::default();
            let within = |inner: Rectangle, outer: Rectangle| inner.intersection(&outer) == inner;
            assert!(within(ink_of(&figure, &none, Picture::None), places.figure), "{text}");
            assert!(within(ink_of(&none, &detail, Picture::None), places.detail));
            assert!(within(ink_of(&none, &none, picture), places.picture.unwrap()), "{picture:?}");
        }
    }
}

#[test]
fn the_picture_and_the_figure_follow_the_data() {
    let question = |figure: &str, picture| {
        let mut screen = samples::sizing();
        let Body::Question { figure: stands, picture: drawn, .. } = &mut screen.body else { unreachable!() };
        (*stands, *drawn) = (Line::new(figure), picture);
        screen
    };
    let axis = |degrees| drawn(&question("15", Picture::Axis(degrees)));
    assert_ne!(axis(15), axis(165));
    assert_ne!(axis(15), axis(20));
    assert_ne!(drawn(&question("+0.35", Picture::None)), drawn(&question("+0.36", Picture::None)));
    let size = |now| drawn(&question("x", samples::gauge(now, Some(500), Some(200))));
    assert_ne!(size(300), size(350));
}

#[test]
fn the_hand_of_the_dial_points_as_the_trade_counts() {
    // Where the hand ends, from where it begins.
    let hand = |degrees| {
        let area = Rectangle::new(Point::zero(), Size::new(60, 28));
        let ink_at = |picture| {
            let mut paper = Canvas::in_shades();
            with_ink(&mut paper, |ink| picture::draw(picture, area, ink));
            paper
        };
        // What two hands have in common is the dial; what is left is the hand.
        let (paper, other) = (ink_at(Picture::Axis(degrees)), ink_at(Picture::Axis((degrees + 90) % 180)));
        let alone: Vec<Point> =
            area.points().filter(|at| is_on(&paper, *at) && !is_on(&other, *at)).collect();
        let sum = alone.iter().fold(Point::zero(), |sum, at| sum + *at);
        let count = alone.len() as i32;
        Point::new(sum.x / count, sum.y / count)
    };
    let centre = Point::new(59 - 26, 26);
    assert!(hand(20).x > centre.x + 5 && hand(20).y < centre.y, "20 lies to the right");
    assert!((hand(90).x - centre.x).abs() <= 1 && hand(90).y < centre.y - 5, "90 stands upright");
    assert!(hand(160).x < centre.x - 5 && hand(160).y < centre.y, "160 lies to the left");
}

#[test]
fn a_warning_and_a_refusal_invert_the_title() {
    let lit = |tone| {
        let paper = drawn(&Screen { tone, ..samples::sizing() });
        let title = Rectangle::new(Point::new(0, TITLE_TOP), Size::new(WIDTH, TITLE_HEIGHT));
        title.points().filter(|at| is_on(&paper, *at)).count()
    };
    let half = (WIDTH * TITLE_HEIGHT / 2) as usize;
    assert!(lit(Tone::Plain) < half);
    assert!(lit(Tone::Warning) > half && lit(Tone::Refusal) > half);
    assert_ne!(lit(Tone::Warning), lit(Tone::Refusal), "the signs differ");
}

#[test]
fn shades_change_how_bright_a_pixel_is_and_never_whether_it_is_lit() {
    let mut dim = 0;
    for (name, screen) in samples::all() {
        let (grey, plain): (&Canvas, &mut Canvas) = (&drawn(&screen), &mut Canvas::black_and_white());
        draw(&screen, plain);
        assert_eq!(grey.pages(), plain.pages(), "{name}");
        let places = (0..WIDTH as usize).flat_map(|x| (0..HEIGHT as usize).map(move |y| (x, y)));
        dim += places.filter(|(x, y)| grey.shade(*x, *y) == Shade::Dim).count();
    }
    assert!(dim > 1000, "{dim}");
}

#[test]
fn letters_are_written_as_the_library_writes_them() {
    let ascii: String = (' '..='~').collect();
    let latin: String = (' '..='~').chain('\u{a0}'..='ÿ').collect();
    let fonts = [
        (letters::TITLE, &FONT_6X10, &ascii),
        (letters::SAID, &FONT_6X9, &latin),
        (letters::SMALL, &FONT_5X8, &latin),
        (letters::SMALLEST, &FONT_4X6, &ascii),
    ];
    for (font, original, text) in fonts {
        for part in text.chars().collect::<Vec<_>>().chunks(COLUMNS) {
            let (part, at) = (part.iter().collect::<String>(), Point::new(1, 9));
            let mut ours = Canvas::black_and_white();
            with_ink(&mut ours, |ink| ink.write(font, at, &part));
            let mut theirs = Paper::new();
            let style = MonoTextStyle::new(original, BinaryColor::On);
            Text::with_baseline(&part, at, style, Baseline::Top).draw(&mut theirs).unwrap();
            let whole = theirs.bounding_box();
            let differs = |at: &Point| theirs.pixel(*at) != Some(is_on(&ours, *at).into());
            assert_eq!(whole.points().find(differs), None, "{part}");
        }
    }
}
